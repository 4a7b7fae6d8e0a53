"""What can go wrong with those who do the work, each as one clear sentence."""

from __future__ import annotations


class NoCluster(Exception):
    """A cluster that cannot be used: not there, without workers, or with another Layshaft."""


class WorkLost(Exception):
    """Work that nobody is left to do; what was done before is kept."""
