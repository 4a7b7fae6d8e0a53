"""Set screws: cup-pointed screws in the hub that bite into the shaft.

What a screw of a size holds was found by test, on shafts softer than the screw; a set screw holds a wheel in
place, and a light torque. The dent it leaves in the shaft is one more reason not to ask much of it.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from layshaft.mechanics import rings
from layshaft.mechanics.margin import margin
from layshaft.trace.checks import Check
from layshaft.trace.formula import formula, group, named, remark_if
from layshaft.trace.inputs import Inputs, quantity
from layshaft.trace.source import STATICS, Source
from layshaft.trace.units import (
    COUNT,
    FORCE,
    LENGTH,
    RATIO,
    TORQUE,
    Count,
    Force,
    Length,
    Ratio,
    Torque,
)

HOLDING = Source("Shigley's Mechanical Engineering Design, 9th ed.", "section 7-7, Table 7-4, p. 389", "second text")
SECOND = Source("a screw maker's published chart", "two screws opposite hold 1.3 times as much as one", "from memory")
FACTORS = Source("Shigley's Mechanical Engineering Design, 9th ed.",
                 "section 7-7: 1.5 to 2 on static holding power, 4 to 8 on dynamic loads", "read")
PRACTICE = Source("size of set screws", "about a quarter to half of the shaft's diameter", "common practice")


@dataclass(frozen=True, kw_only=True)
class SetScrewInputs(Inputs):
    """One hub held by one or two set screws."""

    T: Torque = quantity("torque through the hub", TORQUE, at_least=0)
    F_a: Force = quantity("force along the shaft", FORCE, at_least=0)
    d: Length = quantity("shaft diameter", LENGTH, above=0)
    d_s: Length = quantity("outside diameter of the screw", LENGTH, above=0)
    F_h: Force = quantity("holding power of one cup-pointed screw at the shaft's surface", FORCE, above=0)
    T_A: Torque = quantity("torque the screw is seated with", TORQUE, above=0)
    T_s: Torque = quantity("seating torque its holding power was found with", TORQUE, above=0)
    c_p: Ratio = quantity("holding power of this point over that of a cup point", RATIO, above=0)
    i: Count = quantity("number of screws", COUNT, at_least=1, at_most=2)
    S_required: Ratio = quantity("required margin", RATIO, above=0)


@dataclass(frozen=True, slots=True)
class SetScrewRating:
    """What the screws hold."""

    T_h: Torque
    S: Ratio
    checks: tuple[Check, ...]


@formula("k_i", "screws that count", SECOND)
def counted_screws(i: Count) -> Ratio:
    """Two screws opposite push against each other's hub and hold little more than one; closer, they hold more."""
    return np.where(i > 1, 1.3, i)


@formula("k_A", "share of the seating torque", HOLDING)
def seated_share(T_A: Torque, T_s: Torque) -> Ratio:
    """Holding power goes with the seating torque; more than was tested counts for nothing."""
    return np.minimum(T_A / T_s, 1)


@formula("F_H", "holding power of the hub", HOLDING,
         where={"k_A": "share of the seating torque", "k_i": "screws that count"})
def holding_power(F_h: Force, c_p: Ratio, k_A: Ratio, k_i: Ratio) -> Force:
    """A force at the surface of the shaft, in any direction along it."""
    return F_h * c_p * k_A * k_i


@formula("T_h", "torque the screws hold", STATICS, where={"F_H": "holding power of the hub"})
def holding_torque(F_H: Force, d: Length) -> Torque:
    """Holding power at half the diameter."""
    return F_H * d / 2


@formula("slender", "screw thinner than a quarter of the shaft", PRACTICE)
def slender(d_s: Length, d: Length) -> Count:
    """1 where the remark applies, else 0."""
    return np.where(d_s < d / 4, 1.0, 0.0)


@formula("carries", "the screws carry torque", PRACTICE)
def carries(T: Torque) -> Count:
    """1 where the remark applies, else 0."""
    return np.where(T > 0, 1.0, 0.0)


def rate(k: SetScrewInputs) -> SetScrewRating:
    """Rate the set screws of one hub, or of many at once when the inputs are arrays."""
    with group("Set screws"):
        k = k.record()
        F_H = holding_power(k.F_h, k.c_p, seated_share(k.T_A, k.T_s), counted_screws(k.i))
        T_h = holding_torque(F_H, k.d)
        asked = rings.joint_demand(k.T, k.F_a, k.d)
        S = named("S", margin(T_h, asked), "margin on holding power")
        remark_if(slender(k.d_s, k.d), "The set screw is thinner than a quarter of the shaft: a thicker one marks the "
                  "shaft no worse and holds more.", PRACTICE)
        remark_if(carries(k.T), "Set screws are for keeping a wheel in its place. Here they are all that carries the "
                  "torque: where it jerks or turns back they work loose. Give it a key, a pin or a clamp.", PRACTICE)
    return SetScrewRating(T_h, S, (
        Check("set screw slip", TORQUE, asked, T_h, S, k.S_required, HOLDING, FACTORS),
    ))
