"""The room a bevel gear takes: a cone from its large end, to the pitch circle."""

from __future__ import annotations

import numpy as np

from layshaft.elements.bevel_pair.geometry import large_diameter
from layshaft.mechanics.outlines import Round, cone


def gear(z: float, z_mate: float, m: float, face: float, towards: float) -> tuple[Round, ...]:
    """Slices of the cone; `towards` says on which side of the seat the axes cross."""
    r, other = float(large_diameter(z, m)) / 2, float(large_diameter(z_mate, m)) / 2
    slant = float(np.hypot(r, other))
    return cone(r, r - face * r / slant, face * other / slant, towards)
