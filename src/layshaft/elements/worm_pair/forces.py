"""Forces in the mesh of a worm pair, friction counted: one force, told in the directions of either shaft.

What is tangential on the worm is axial on the wheel, and the other way round; the radial force pushes the
two apart whichever drives.
"""

from __future__ import annotations

import numpy as np

from layshaft.trace.formula import formula
from layshaft.trace.source import STATICS, Source
from layshaft.trace.units import Angle, Force, Length, Ratio, Torque

MESH = Source("Mott, Machine Elements in Mechanical Design", "eq. 10-29 to 10-32", "second text")

MEANING = {
    "T_2": "torque on the wheel", "d_2": "pitch diameter of the wheel", "F_t2": "tangential force on the wheel",
    "alpha_n": "normal pressure angle", "gamma": "lead angle", "mu": "friction of the mesh",
}


@formula("F_t2", "tangential force on the wheel, axial on the worm", STATICS, where=MEANING)
def wheel_force(T_2: Torque, d_2: Length) -> Force:
    """Torque over the radius of the wheel."""
    return 2 * np.abs(T_2) / d_2


@formula("F_t1", "tangential force on the worm, axial on the wheel", MESH, where=MEANING, version=2,
         outside="friction and lead are so large that no push moves the wheel")
def worm_force(F_t2: Force, alpha_n: Angle, gamma: Angle, mu: Ratio) -> Force:
    """What the worm must push with to move the wheel up the slope of its thread, friction against it."""
    return (F_t2 * (np.cos(alpha_n) * np.sin(gamma) + mu * np.cos(gamma))
            / np.where(mu * np.tan(gamma) < np.cos(alpha_n),
                       np.cos(alpha_n) * np.cos(gamma) - mu * np.sin(gamma), np.nan))


@formula("F_r", "radial force on both", MESH, where=MEANING, version=2,
         outside="friction and lead are so large that no push moves the wheel")
def radial_force(F_t2: Force, alpha_n: Angle, gamma: Angle, mu: Ratio) -> Force:
    """The leaning flanks push worm and wheel apart."""
    return F_t2 * np.sin(alpha_n) / np.where(mu * np.tan(gamma) < np.cos(alpha_n),
                                             np.cos(alpha_n) * np.cos(gamma) - mu * np.sin(gamma), np.nan)
