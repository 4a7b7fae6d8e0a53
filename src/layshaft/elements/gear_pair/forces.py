"""Forces in the mesh of spur and helical pairs; friction left out."""

from __future__ import annotations

import numpy as np

from layshaft.mechanics.spur_teeth import tangential_force as tangential_force
from layshaft.trace.formula import formula
from layshaft.trace.source import STATICS
from layshaft.trace.units import Angle, Force, Length, Ratio, Torque

MEANING = {
    "d": "diameter at which the force acts",
    "F_t": "tangential force",
    "alpha_wt": "working transverse pressure angle",
    "beta": "helix angle at that diameter",
    "F_a": "axial force",
}


@formula("F_r", "radial force of the mesh", STATICS, where=MEANING)
def radial_force(F_t: Force, alpha_wt: Angle) -> Force:
    """Pushes the shafts apart, whichever way the torque goes; F_t at the working pitch circle."""
    return F_t * np.tan(alpha_wt)


@formula("F_a", "axial force of the mesh", STATICS, where=MEANING)
def axial_force(F_t: Force, beta: Angle) -> Force:
    """Changes sign with the hand of the helix and with the sense of the torque.

    In a double helical gear the two halves cancel, if one shaft is free to float.
    """
    return F_t * np.tan(beta)


@formula("F_an", "push along the axis that both shafts feel", STATICS, where=MEANING | {
    "halves": "helices side by side on each gear"})
def net_thrust(F_a: Force, halves: Ratio) -> Force:
    """That of one helix; two helices of opposite hand push against each other inside the gear."""
    return F_a * np.maximum(2 - halves, 0.0)


@formula("M_a", "tilting moment of the axial force", STATICS, where=MEANING)
def axial_moment(F_a: Force, d: Length) -> Torque:
    """The axial force acts at the pitch radius and tilts the wheel."""
    return F_a * d / 2
