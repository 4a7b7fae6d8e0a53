"""Tensions of a belt: what it is hung on with, what it carries, what friction allows, what the shaft feels.

`F_0` is the tension of one strand at rest. It is set on the floor and everything else follows from it.
"""

from __future__ import annotations

import numpy as np

from layshaft.trace.formula import formula
from layshaft.trace.source import STATICS, Source
from layshaft.trace.units import Angle, Count, Force, Length, MassPerLength, Ratio, Torque, Velocity

EYTELWEIN = Source("friction of a belt on a pulley", "general tension equation, exp(mu theta)", "derived")
SHIGLEY = Source("Shigley's Mechanical Engineering Design, 9th ed.", "eqs. 17-8 to 17-11, initial tension",
                 "from memory")
FIXED = Source("belt of one length between fixed axes", "its mean tension stays that at rest", "derived")


@formula("F_e", "effective pull", STATICS, where={"d": "pitch diameter of that pulley", "T": "torque of that pulley"})
def effective_pull(T: Torque, d: Length) -> Force:
    """Tight less slack strand."""
    return 2 * T / d


@formula("F_c", "centrifugal tension", STATICS)
def centrifugal_tension(q: MassPerLength, v: Velocity) -> Force:
    """What the belt needs to keep to its own curve; it presses on no pulley."""
    return q * v**2


@formula("mu_e", "friction as felt in the groove", EYTELWEIN, where={"mu": "friction of belt on flank",
                                                                     "beta": "angle of the groove, 180 deg if flat"})
def groove_friction(mu: Ratio, beta: Angle) -> Ratio:
    """A wedge presses harder on its flanks than it is pulled in."""
    return mu / np.sin(beta / 2)


@formula("R", "largest ratio of the two strands", EYTELWEIN)
def tension_ratio(mu_e: Ratio, theta: Angle) -> Ratio:
    """Both without the centrifugal tension."""
    return np.exp(mu_e * theta)


@formula("F_i", "tension at rest less what the curve needs", FIXED)
def pressing_tension(F_0: Force, F_c: Force) -> Force:
    """Between fixed axes the belt gets no longer: what it needs to keep to its curve no longer presses it on."""
    return np.maximum(F_0 - F_c, 0)


@formula("F_slip", "effective pull at which the belts slip", SHIGLEY, where={
    "i": "belts side by side", "F_i": "tension at rest less what the curve needs"})
def slip_pull(F_i: Force, R: Ratio, i: Count) -> Force:
    """The sum of both strands stays twice the tension at rest; the ratio cannot grow further."""
    return 2 * F_i * i * (R - 1) / (R + 1)


@formula("F_1", "tight strand of one belt", SHIGLEY, where={"i": "belts side by side"})
def tight_tension(F_0: Force, F_c: Force, F_e: Force, i: Count) -> Force:
    """Half of the pull is added to the tension at rest; the whole where the slack strand has none left."""
    return F_c + np.maximum(F_0 + F_e / (2 * i), F_e / i)


@formula("F_2", "slack strand of one belt", SHIGLEY, where={"i": "belts side by side"})
def slack_tension(F_0: Force, F_c: Force, F_e: Force, i: Count) -> Force:
    """Half of the pull is taken off; not below nothing but the centrifugal tension."""
    return F_c + np.maximum(F_0 - F_e / (2 * i), 0)


@formula("F_s", "force on the shaft at rest", STATICS, where={"i": "belts side by side"})
def pulley_force(F_0: Force, i: Count, theta: Angle) -> Force:
    """Both strands of all belts: it loads shaft and bearings before anything turns."""
    return 2 * F_0 * i * np.sin(theta / 2)
