"""The room a worm and its wheel take, to the tips of thread and teeth."""

from __future__ import annotations

from layshaft.elements.worm_pair.geometry import least_length
from layshaft.mechanics.outlines import Round


def worm(d_1: float, m: float, z_2: float) -> Round:
    """The thread stands one module beyond the reference cylinder; as long as its wheel asks for at least."""
    return Round(d_1 / 2 + m, float(least_length(m, z_2)))


def wheel(d_2: float, m: float, x: float, face: float) -> Round:
    """Teeth one module beyond the reference circle, moved by the shift."""
    return Round(d_2 / 2 + m * (1 + x), face)
