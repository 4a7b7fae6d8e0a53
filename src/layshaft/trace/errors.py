"""The one kind of error a user meets: what was written cannot be used, and what to write instead."""

from __future__ import annotations


class BadInput(ValueError):
    """Something given from outside that cannot be used. The message is whole sentences; no traceback is shown."""
