"""Synchronous belt on two toothed pulleys: pull of the teeth, tension against jumping, size of the small pulley."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from layshaft.elements.belt.geometry import (
    belt_length,
    belt_speed,
    pulley_diameter,
    teeth_in_mesh,
    wrap_small,
)
from layshaft.elements.belt.tension import (
    centrifugal_tension,
    effective_pull,
    pressing_tension,
    pulley_force,
    tight_tension,
)
from layshaft.elements.belt.v import GUARD, PINCH
from layshaft.mechanics.margin import margin
from layshaft.trace.checks import Check
from layshaft.trace.formula import chosen, formula, group, named, remark_if
from layshaft.trace.inputs import Inputs, quantity
from layshaft.trace.source import STATICS, Source
from layshaft.trace.units import (
    COUNT,
    FORCE,
    LENGTH,
    MASS_PER_LENGTH,
    RATIO,
    SPEED,
    TORQUE,
    Count,
    Force,
    Length,
    MassPerLength,
    Ratio,
    Speed,
    Torque,
)

ISO_5295 = Source("ISO 5295, synchronous belts, power rating", "working tension, mesh and width factors", "from memory")
JUMP = Source("tension at rest of a synchronous belt", "the slack strand keeps some tension at the largest pull",
              "common practice")


@dataclass(frozen=True, kw_only=True)
class SynchronousBeltInputs(Inputs):
    """One synchronous belt on two pulleys."""

    T: Torque = quantity("torque at the small pulley", TORQUE, at_least=0)
    omega: Speed = quantity("turning speed of the small pulley", SPEED, at_least=0)
    p: Length = quantity("pitch", LENGTH, above=0)
    z_1: Count = quantity("teeth of the small pulley", COUNT, at_least=6)
    z_2: Count = quantity("teeth of the large pulley", COUNT, at_least=6)
    a: Length = quantity("distance of the two axes", LENGTH, above=0)
    w: Length = quantity("width of the belt", LENGTH, above=0)
    w_0: Length = quantity("base width of the listing", LENGTH, above=0)
    T_a: Force = quantity("permitted working tension of the base width", FORCE, above=0)
    q: MassPerLength = quantity("mass per length of the belt", MASS_PER_LENGTH, at_least=0)
    z_least: Count = quantity("least teeth of a pulley", COUNT, above=0)
    F_0: Force = quantity("tension of one strand at rest", FORCE, at_least=0)
    S_required: Ratio = quantity("required margin", RATIO, above=0)


@dataclass(frozen=True, slots=True)
class SynchronousBeltRating:
    """Pull, tensions and force on the shaft, and the checks of the belt."""

    F_e: Force
    F_1: Force
    F_s: Force
    L: Length
    checks: tuple[Check, ...]


@formula("k_z", "factor for teeth in mesh", ISO_5295, outside="fewer than two teeth in mesh")
def mesh_factor(z_m: Count) -> Ratio:
    """Six teeth carry all; each one less takes a fifth away."""
    return np.where(z_m >= 2, np.minimum(1, 1 - 0.2 * (6 - z_m)), np.nan)


@formula("k_w", "factor for width", ISO_5295)
def width_factor(w: Length, w_0: Length) -> Ratio:
    """A wide belt is worth more than its share: its edges matter less."""
    return (w / w_0) ** 1.14


@formula("F_a", "permitted working tension", ISO_5295)
def permitted_tension(k_z: Ratio, k_w: Ratio, T_a: Force) -> Force:
    """Of this width with these teeth in mesh."""
    return k_z * k_w * T_a


@formula("F_p", "permitted effective pull", ISO_5295)
def permitted_pull(F_a: Force, F_c: Force) -> Force:
    """The belt's own centrifugal tension is taken off."""
    return F_a - F_c


@formula("F_f", "largest pull before the slack strand is empty", STATICS, where={
    "F_i": "tension at rest less what the curve needs"})
def pull_till_slack(F_i: Force) -> Force:
    """The tension at rest is shared out: one strand gains what the other loses."""
    return 2 * F_i


def rate(c: SynchronousBeltInputs) -> SynchronousBeltRating:
    """Rate one synchronous belt, or many at once when the inputs are arrays."""
    with group("Synchronous belt"):
        c = c.record()
        d = named("d_1", pulley_diameter(c.z_1, c.p), "pitch diameter of the small pulley")
        D = named("d_2", pulley_diameter(c.z_2, c.p), "pitch diameter of the large pulley")
        theta = wrap_small(d, D, c.a)
        L = belt_length(d, D, c.a)
        F_e = effective_pull(c.T, d)
        F_c = centrifugal_tension(c.q, belt_speed(c.omega, d))
        k_z = mesh_factor(teeth_in_mesh(c.z_1, theta))
        F_p = permitted_pull(permitted_tension(k_z, width_factor(c.w, c.w_0), c.T_a), F_c)
        S_p = named("S_p", margin(F_p, F_e), "margin on the pull of the teeth")
        F_f = pull_till_slack(pressing_tension(c.F_0, F_c))
        S_j = named("S_j", margin(F_f, F_e), "margin against jumping")
        S_z = named("S_z", margin(c.z_1, c.z_least), "teeth over the least number")
        one = chosen("i", "belts side by side", COUNT, 1.0, why="one belt", source=STATICS)
        F_1 = tight_tension(c.F_0, F_c, F_e, one)
        remark_if(True, GUARD, PINCH)
        F_s = pulley_force(c.F_0, one, theta)
    required = c.origins["S_required"]
    return SynchronousBeltRating(F_e, F_1, F_s, L, (
        Check("tooth pull", FORCE, F_e, F_p, S_p, c.S_required, ISO_5295, required, GUARD),
        Check("tooth jump", FORCE, F_e, F_f, S_j, c.S_required, JUMP, required, GUARD),
        Check("pulley size", COUNT, c.z_least, c.z_1, S_z, c.S_required, ISO_5295, required),
    ))
