"""Shear pin: breaks first, and then passes nothing on.

Unlike a slip clutch it lets go for good: what it drives is free, and so is what drives. Pins that carry a torque that
comes and goes tire and break below their strength; change them before they do.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from layshaft.mechanics import friction
from layshaft.mechanics.margin import margin
from layshaft.trace.checks import Check
from layshaft.trace.formula import formula, group, named, remark_if
from layshaft.trace.inputs import Inputs, quantity
from layshaft.trace.source import MECHANICS_OF_MATERIALS, Source
from layshaft.trace.units import COUNT, LENGTH, RATIO, STRESS, TORQUE, Area, Count, Length, Ratio, Stress, Torque

SETTING = Source("choice of a shear pin", "above the running torque, below what it protects", "common practice")
DANGER = Source("pins that let go", "local codes and licensed practice decide", "common practice")
CAUTION = (
    "When the pin shears, what drives is free at once: a weight in front of it runs away, a crank jumps from the hand. "
    "Never put it between a weight and what holds or governs that weight. Never mend it with a harder pin. Local codes "
    "and licensed practice have the last word."
)
TIRES = "A pin under a torque that comes and goes tires and shears early: change it before every season."
FATIGUE = Source("shear pins", "fatigue under pulsating torque", "common practice")


@dataclass(frozen=True, kw_only=True)
class ShearPinInputs(Inputs):
    """One set of equal pins."""

    T: Torque = quantity("torque they must pass without shearing", TORQUE, at_least=0)
    d: Length = quantity("diameter of a pin where it shears", LENGTH, above=0)
    i: Count = quantity("pins that carry together", COUNT, at_least=1)
    n_s: Count = quantity("sections sheared of each pin", COUNT, at_least=1, at_most=2)
    r: Length = quantity("radius at which a section shears", LENGTH, above=0)
    tau_u: Stress = quantity("ultimate shear strength", STRESS, above=0)
    s: Ratio = quantity("share by which it shears earlier or later", RATIO, at_least=0, at_most=0.9)
    S_required: Ratio = quantity("required margin against shearing", RATIO, above=0)


@dataclass(frozen=True, slots=True)
class ShearPinRating:
    """Ends of the torque that shears the pins, and the checks."""

    T_low: Torque
    T_high: Torque
    checks: tuple[Check, ...]


@formula("A_s", "sheared area", MECHANICS_OF_MATERIALS)
def sheared_area(d: Length, i: Count, n_s: Count) -> Area:
    """Every section of every pin goes at once."""
    return i * n_s * np.pi * d**2 / 4


@formula("T_B", "torque that shears the pins", MECHANICS_OF_MATERIALS)
def shearing_torque(tau_u: Stress, A_s: Area, r: Length) -> Torque:
    """Ultimate shear strength on the sheared area, at its radius."""
    return tau_u * A_s * r


def rate(c: ShearPinInputs) -> ShearPinRating:
    """Rate one set of pins, or many at once when the inputs are arrays."""
    with group("Shear pin"):
        c = c.record()
        T_B = shearing_torque(c.tau_u, sheared_area(c.d, c.i, c.n_s), c.r)
        T_low, T_high = friction.earliest(T_B, c.s), friction.latest(T_B, c.s)
        S = named("S_g", margin(T_low, c.T), "margin against shearing")
        who = c.origins["S_required"]
        remark_if(True, TIRES, FATIGUE)
        remark_if(True, CAUTION, DANGER)
        return ShearPinRating(T_low, T_high, (
            Check("grip in running", TORQUE, c.T, T_low, S, c.S_required, SETTING, who),
            Check("grip when caught", TORQUE, c.T, T_low, S, c.S_required, SETTING, who,
                  "it stands between a weight and what holds it: nothing that can let go belongs there"),
        ))
