"""Friction and efficiency of a worm mesh, both ways, and whether it locks.

A worm locks where friction outweighs the slope of its thread. Friction at rest is about twice that of
running flanks and vibration turns one into the other: a worm that locks at rest alone is let go by a shake,
and none of them is a brake for a hanging weight or for people.
"""

from __future__ import annotations

import numpy as np

from layshaft.trace.formula import formula
from layshaft.trace.source import Source
from layshaft.trace.units import FOOT, Angle, Ratio, Velocity

CURVE = Source("ANSI/AGMA 6034, in Mott, Machine Elements in Mechanical Design, and Shigley's Mechanical Engineering "
               "Design", "friction by sliding speed, hard smooth worm on bronze, good oil", "second text")
SCREW = Source("screw statics with the flank leaning by its pressure angle", obtained="derived")

FEET_PER_MINUTE = FOOT / 60
"""Metres a second."""

AT_REST = 0.150
"""Friction of the same curve at no speed."""

MEANING = {
    "v_s": "sliding speed", "mu": "friction of the mesh", "alpha_n": "normal pressure angle", "gamma": "lead angle",
    "eta": "efficiency with the worm driving",
}


@formula("mu", "friction of the mesh", CURVE, where=MEANING)
def mesh_friction(v_s: Velocity) -> Ratio:
    """It falls as the oil film builds up; at rest it is that of bare flanks."""
    return np.where(
        v_s > 10 * FEET_PER_MINUTE,
        0.103 * np.exp(-0.110 * (v_s / FEET_PER_MINUTE) ** 0.450) + 0.012,
        np.where(v_s > 0, 0.124 * np.exp(-0.074 * (v_s / FEET_PER_MINUTE) ** 0.645), AT_REST),
    )


@formula("eta", "efficiency with the worm driving", SCREW, where=MEANING)
def efficiency(alpha_n: Angle, mu: Ratio, gamma: Angle) -> Ratio:
    """Of the mesh alone: bearings, seals and oil take their own share."""
    return (np.cos(alpha_n) - mu * np.tan(gamma)) / (np.cos(alpha_n) + mu / np.tan(gamma))


@formula("eta_r", "efficiency with the wheel driving", SCREW, where=MEANING)
def reverse_efficiency(alpha_n: Angle, mu: Ratio, gamma: Angle) -> Ratio:
    """Zero or less where the worm locks."""
    return (np.cos(alpha_n) - mu / np.tan(gamma)) / (np.cos(alpha_n) + mu * np.tan(gamma))


@formula("mu_i", "friction that an efficiency implies", SCREW, where=MEANING)
def implied_friction(eta: Ratio, alpha_n: Angle, gamma: Angle) -> Ratio:
    """An efficiency that counts bearings in makes it too large, and locking too sure."""
    return np.cos(alpha_n) * (1 - eta) / (np.tan(gamma) + eta / np.tan(gamma))


@formula("mu_l", "friction from which on the worm locks", SCREW, where=MEANING)
def locking_friction(alpha_n: Angle, gamma: Angle) -> Ratio:
    """The wheel can no longer push the threads aside."""
    return np.cos(alpha_n) * np.tan(gamma)


@formula("k_0", "losses at rest over losses when running", SCREW, where=MEANING | {"eta_0": "efficiency at rest"})
def losses_at_rest(eta_0: Ratio, eta: Ratio) -> Ratio:
    """What must be overcome to break away, told as the train asks for it."""
    return (1 - eta_0) / (1 - eta)
