"""The room the gears of a pair take: to the tips of their teeth; of a ring, the teeth that point inward."""

from __future__ import annotations

from layshaft.elements.gear_pair import geometry
from layshaft.mechanics.outlines import Round


def gear(d: float, m_n: float, x: float, k: float, face: float) -> Round:
    """An outside gear: a cylinder over the tips."""
    return Round(abs(float(geometry.tip_diameter(d, m_n, x, k))) / 2, face)


def ring(d: float, m_n: float, x: float, k: float, face: float) -> Round:
    """A ring with teeth inside: its hole ends at the tips, its outside is not told and taken at the roots."""
    root = abs(float(geometry.root_diameter(d, m_n, x))) / 2
    return Round(root, face, hole=abs(float(geometry.tip_diameter(d, m_n, x, k))) / 2)
