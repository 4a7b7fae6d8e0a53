"""Hanging weight: strength of what it hangs on, at rest and when its fall is arrested.

A weight over or beside people is a suspended load. The pull of an arrest follows from energy: what
the weight gives up on its way down is stored in the stretched suspension, so a stiff suspension and
a long drop are what break it. Losses are left out, which is on the safe side.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from layshaft.mechanics.margin import margin
from layshaft.trace.checks import Check
from layshaft.trace.formula import formula, group, named, remark_if, total
from layshaft.trace.inputs import Inputs, quantity
from layshaft.trace.source import STATICS, Source
from layshaft.trace.units import (
    ACCELERATION,
    ANGLE,
    COUNT,
    DEGREE,
    FORCE,
    LENGTH,
    MASS,
    MASS_PER_LENGTH,
    RATIO,
    STIFFNESS,
    Acceleration,
    Angle,
    Count,
    Energy,
    Force,
    Length,
    Mass,
    MassPerLength,
    Ratio,
    Stiffness,
    Velocity,
)

BREAKING = Source("breaking load over pull", "practice of lifting and stage work", "common practice")
OVER_PEOPLE = Source("required factor on breaking load over people", "10 unless local rules say more",
                     "common practice")
WORKING_LOAD = Source("published article on design factors in entertainment rigging",
                      "working load limit", "read")
HALF_LIMIT = Source("DGUV Information 215-313", "section 1.4, loads above persons", "read")
ARREST = Source("energy balance of a weight caught by a spring", "factor 1 + sqrt(1 + 2 h / sag)", "derived")
DANGER = Source("work under hanging loads", "local codes and licensed practice decide", "common practice")

CAUTION = (
    "A hanging weight can kill. Keep people out from under it and fence its path; give it a second, "
    "independent suspension where people come near; lower it to the floor before work on the train. "
    "Local codes and someone licensed for lifting have the last word."
)
REQUIRED_OVER_PEOPLE = 10.0
"""Margin on breaking load in the load path of a weight over or beside people; less only if given."""


@dataclass(frozen=True, kw_only=True)
class HangingInputs(Inputs):
    """A weight on one or more equal parts of chain or rope."""

    m: Mass = quantity("mass of the weight with its hook and wheel", MASS, above=0)
    g: Acceleration = quantity("acceleration of free fall", ACCELERATION, above=0)
    i: Count = quantity("parts of chain or rope that share the weight", COUNT, at_least=1)
    gamma: Angle = quantity("angle of the parts to the plumb line", ANGLE, at_least=0, at_most=60 * DEGREE)
    q: MassPerLength = quantity("mass per length of one part", MASS_PER_LENGTH, at_least=0)
    l: Length = quantity("hanging length of one part", LENGTH, above=0)
    F_u: Force = quantity("breaking load of one part", FORCE, above=0)
    k: Stiffness = quantity("stiffness of the whole suspension, felt at the weight", STIFFNESS, above=0)
    h: Length = quantity("drop before the weight is caught", LENGTH, at_least=0)
    H: Length = quantity("height the weight can fall in all", LENGTH, at_least=0)
    S_required: Ratio = quantity("required factor on breaking load, weight at rest", RATIO, above=0)
    S_arrest_required: Ratio = quantity("required factor on breaking load, weight arrested", RATIO, above=0)


@dataclass(frozen=True, slots=True)
class HangingRating:
    """Pulls at rest and arrested, stored energy, and the checks of the suspension."""

    W: Force
    F: Force
    F_a: Force
    F_limit: Force
    c_a: Ratio
    E: Energy
    v_fall: Velocity
    checks: tuple[Check, ...]


@formula("W", "weight force", STATICS)
def weight(m: Mass, g: Acceleration) -> Force:
    """Mass times the acceleration of free fall."""
    return m * g


@formula("F_i", "pull of the weight in one part", STATICS,
         where={"W": "force of the weight, at rest or arrested"})
def part_pull(W: Force, i: Count, gamma: Angle) -> Force:
    """Equal parts share the weight; parts that spread pull harder."""
    return W / (i * np.cos(gamma))


@formula("F_q", "own weight of one part", STATICS)
def own_weight(q: MassPerLength, l: Length, g: Acceleration) -> Force:
    """The uppermost link also carries the part below it."""
    return q * g * l


@formula("F_limit", "working load limit of one part", WORKING_LOAD)
def working_load_limit(F_u: Force, S_required: Ratio) -> Force:
    """Breaking load over the required factor."""
    return F_u / S_required


@formula("F_people", "pull permitted on a marked limit over people", HALF_LIMIT,
         where={"F_mark": "working load limit marked on the gear"})
def limit_over_people(F_mark: Force) -> Force:
    """Gear that hangs over people may carry half of what is marked on it."""
    return F_mark / 2


@formula("E", "stored energy", STATICS)
def stored_energy(W: Force, H: Length) -> Energy:
    """What the weight gives up on its whole way down."""
    return W * H


@formula("v_fall", "speed after an unbraked fall", STATICS)
def fall_speed(H: Length, g: Acceleration) -> Velocity:
    """All of the energy turned into motion: what hits the floor if the suspension parts."""
    return np.sqrt(2 * g * H)


@formula("W_a", "force of the arrested weight", ARREST)
def arrest_force(W: Force, h: Length, k: Stiffness) -> Force:
    """Stretch energy equals the energy of drop and stretch; twice the weight even without a drop."""
    return W * (1 + np.sqrt(1 + 2 * h * k / W))


@formula("c_a", "jolt", ARREST)
def jolt(W_a: Force, W: Force) -> Ratio:
    """Pull when the weight is caught over its pull at rest. Slack in a short chain gives eight, not two or three."""
    return W_a / W


@formula("k_1", "stiffness of one part", STATICS,
         where={"epsilon": "stretch of the rope under an eighth of its breaking load"})
def part_stiffness(F_u: Force, epsilon: Ratio, l: Length) -> Stiffness:
    """An eighth of the breaking load over how much longer it makes the part."""
    return F_u / 8 / (epsilon * l)


@formula("k_i", "stiffness of equal parts side by side", STATICS,
         where={"k_1": "stiffness of one part"})
def parts_stiffness(k_1: Stiffness, i: Count) -> Stiffness:
    """Each part stretches as far as the weight sinks."""
    return i * k_1


@formula("k_s", "stiffness of two springs one behind the other", STATICS,
         where={"k_1": "stiffness of the first", "k_2": "stiffness of the second"})
def stiffness_in_line(k_1: Stiffness, k_2: Stiffness) -> Stiffness:
    """Chain and what it hangs on both give way: the sum of their stretches counts."""
    return k_1 * k_2 / (k_1 + k_2)


@formula("h", "drop of the weight in one ratchet step", STATICS,
         where={"D": "diameter on which the chain or rope runs", "z": "ratchet teeth",
                "j": "chain or rope run per height of the weight"})
def drop_of_step(D: Length, z: Count, j: Count) -> Length:
    """The drum turns back until the next tooth is caught; a bight halves the drop."""
    return np.pi * D / (z * j)


@formula("h", "drop of the weight within the play of a one-way hub", STATICS,
         where={"phi": "angle the wheel turns back before the hub grips",
                "D": "diameter on which the chain or rope runs", "j": "chain or rope run per height of the weight"})
def drop_of_play(phi: Angle, D: Length, j: Count) -> Length:
    """The wheel turns back until the hub grips; a bight halves the drop."""
    return phi * D / (2 * j)


def rate(c: HangingInputs) -> HangingRating:
    """Rate one hanging weight, or many at once when the inputs are arrays."""
    with group("Hanging weight"):
        c = c.record()
        W = weight(c.m, c.g)
        F_q = own_weight(c.q, c.l, c.g)
        F = total("F", "largest pull in one part, at rest", FORCE,
                  {"share of the weight": part_pull(W, c.i, c.gamma), "own weight": F_q}, STATICS)
        W_a = arrest_force(W, c.h, c.k)
        F_a = total("F_a", "largest pull in one part, arrested", FORCE, {
            "share of the arrested weight": part_pull(W_a, c.i, c.gamma), "own weight": F_q,
        }, STATICS)
        S = named("S_B", margin(c.F_u, F), "factor on breaking load, at rest")
        S_a = named("S_Ba", margin(c.F_u, F_a), "factor on breaking load, arrested")
        remark_if(True, CAUTION, DANGER)
        return HangingRating(
            W, F, F_a, working_load_limit(c.F_u, c.S_required), jolt(W_a, W), stored_energy(W, c.H),
            fall_speed(c.H, c.g), (
                Check("static strength of the suspension", FORCE, F, c.F_u, S, c.S_required, BREAKING,
                      c.origins["S_required"]),
                Check("arrested strength of the suspension", FORCE, F_a, c.F_u, S_a, c.S_arrest_required,
                      ARREST, c.origins["S_arrest_required"], "no loss is counted: on the safe side"),
            ))
