"""The room a belt takes, as far as it is told: its pitch line has no thickness here."""

from __future__ import annotations

from layshaft.mechanics.outlines import Band, Round


def pulley(diameter: float, width: float) -> Round:
    """A pulley to the pitch line of its belt."""
    return Round(diameter / 2, width)


def strand(width: float) -> Band:
    """A strand; belts are thin and their tables do not tell how thin."""
    return Band(0.0, width)
