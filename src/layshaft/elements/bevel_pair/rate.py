"""One straight bevel pair rated: root, flank and jam, with cones and forces that the rating stands on.

Turning gears draw in fingers and sleeves: they run behind a guard that a tool opens.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from layshaft.elements.bevel_pair import geometry, strength
from layshaft.mechanics.margin import margin
from layshaft.mechanics.spur_teeth import (
    SLOW_WORDS,
    WEAR,
    WEAR_LEADS,
    dynamic_load,
    form_factor,
    meeting_frequency,
    pitch_line_speed,
    ratio_factor,
    slow,
    tangential_force,
    wear_factor,
)
from layshaft.trace.checks import Check
from layshaft.trace.formula import governs, group, named, remark_if
from layshaft.trace.inputs import Inputs, quantity
from layshaft.trace.source import Source
from layshaft.trace.units import (
    ANGLE,
    COUNT,
    FORCE,
    LENGTH,
    RATIO,
    SPEED,
    STRESS,
    TORQUE,
    Angle,
    Count,
    Force,
    Length,
    Ratio,
    Speed,
    Stress,
    Torque,
    Velocity,
)

REQUIRED = Source("required margins of slow bevel gears", "none in a standard for this method", "common practice")
YIELD = Source("Lewis equation against yield", "held fast, no velocity factor", "derived")
STRIPPED = ("Teeth that strip let go of all that hangs behind them: keep a second holder on the load's side, and a "
            "guard over the mesh. Local codes and licensed practice have the last word.")


@dataclass(frozen=True, kw_only=True)
class BevelInputs(Inputs):
    """One bevel pair in one case. In a case that holds the train fast read the jam check alone."""

    m: Length = quantity("module at the large end", LENGTH, above=0)
    z_1: Count = quantity("teeth of the pinion", COUNT, at_least=5)
    z_2: Count = quantity("teeth of the wheel", COUNT, at_least=5)
    b: Length = quantity("face width", LENGTH, above=0)
    alpha: Angle = quantity("pressure angle", ANGLE, above=0, at_most=np.pi / 4)
    sigma: Angle = quantity("angle between the shafts", ANGLE, above=0, at_most=np.pi)
    n_o: Count = quantity("gears of the pair that overhang their bearings", COUNT, at_least=0, at_most=2)
    T_1: Torque = quantity("torque on the pinion", TORQUE, at_least=0)
    omega_1: Speed = quantity("turning speed of the pinion", SPEED, at_least=0)
    R_m1: Stress = quantity("ultimate strength, pinion", STRESS, above=0)
    R_m2: Stress = quantity("ultimate strength, wheel", STRESS, above=0)
    R_e1: Stress = quantity("yield strength, pinion", STRESS, above=0)
    R_e2: Stress = quantity("yield strength, wheel", STRESS, above=0)
    H_B1: Ratio = quantity("Brinell hardness, pinion", RATIO, above=0)
    H_B2: Ratio = quantity("Brinell hardness, wheel", RATIO, above=0)
    S_root: Ratio = quantity("required margin on root strength", RATIO, above=0)
    S_wear: Ratio = quantity("required margin on flank wear", RATIO, above=0)
    S_jam: Ratio = quantity("required margin on root yield when held fast", RATIO, above=0)


@dataclass(frozen=True, slots=True)
class Cones:
    """Large ends, cone angles, cone distance and virtual teeth."""

    d_1: Length
    delta_1: Angle
    delta_2: Angle
    A_0: Length
    z_v1: Ratio
    z_v2: Ratio


@dataclass(frozen=True, slots=True)
class BevelRating:
    """Forces at the middle of the face, speed, cones and checks of one pair."""

    F_tm: Force
    F_r1: Force
    F_a1: Force
    v: Velocity
    cones: Cones
    checks: tuple[Check, ...]


def cones(m: Length, z_1: Count, z_2: Count, sigma: Angle) -> Cones:
    """Both cones and the spur gears they unroll to."""
    d_1 = named("d_1", geometry.large_diameter(z_1, m), "reference diameter of the pinion at the large end")
    delta_1 = named("delta_1", geometry.cone_angle(z_1, z_2, sigma), "cone angle of the pinion")
    delta_2 = named("delta_2", geometry.cone_angle(z_2, z_1, sigma), "cone angle of the wheel")
    return Cones(d_1, delta_1, delta_2, geometry.cone_distance(d_1, delta_1),
                 named("z_v1", geometry.virtual_teeth(z_1, delta_1), "virtual teeth of the pinion"),
                 named("z_v2", geometry.virtual_teeth(z_2, delta_2), "virtual teeth of the wheel"))


def _capacity(symbol: str, what: str, stress: tuple[Stress, Stress], g: BevelInputs, c: Cones,
              Y: tuple[Ratio, Ratio]) -> Force:
    """The weaker of pinion and wheel at one level of stress."""
    one, two = (named(f"{symbol}{i}", strength.root_capacity(sigma_b, g.b, g.m, c.A_0, form))
                for i, sigma_b, form in zip((1, 2), stress, Y, strict=True))
    return governs(symbol, what, FORCE, {"pinion": one, "wheel": two}, strength.ROOT, pick="smallest")


def _wearing(g: BevelInputs, c: Cones) -> Force:
    H_B = governs("H_B", "Brinell hardness of the softer gear", RATIO,
                  {"pinion": g.H_B1, "wheel": g.H_B2}, WEAR, pick="smallest")
    Q = named("Q", ratio_factor(c.z_v1, c.z_v2), "ratio factor of the virtual pair")
    return strength.wear_capacity(c.d_1, g.b, Q, wear_factor(H_B), c.delta_1, g.alpha)


def _at_the_middle(g: BevelInputs, c: Cones) -> tuple[Force, Force, Force]:
    """Forces that bearings and shafts feel, on the pinion."""
    d_m1 = named("d_m1", geometry.mean_diameter(c.d_1, g.b, c.delta_1), "mean diameter of the pinion")
    F_tm = named("F_tm", tangential_force(g.T_1, d_m1), "tangential force at the middle of the face")
    return (F_tm, named("F_r1", geometry.radial_force(F_tm, g.alpha, c.delta_1), "radial force of the pinion"),
            named("F_a1", geometry.axial_force(F_tm, g.alpha, c.delta_1), "axial force of the pinion"))


def rate(g: BevelInputs) -> BevelRating:
    """Rate one straight bevel pair, or many at once when the inputs are arrays."""
    with group("Bevel pair"):
        g = g.record()
        c = cones(g.m, g.z_1, g.z_2, g.sigma)
        middle = _at_the_middle(g, c)
        meeting_frequency(g.omega_1, g.z_1)
        v = pitch_line_speed(g.omega_1, c.d_1)
        F_t = named("F_t", tangential_force(g.T_1, c.d_1), "tangential force at the large end")
        K_v = governs("K_v", "velocity factor", RATIO,
                      {"cut by form": strength.form_cut_factor(v), "generated": strength.generated_factor(v)},
                      strength.FASTER, pick="largest")
        K_m = strength.mounting_factor(g.n_o, g.b)
        F_d = dynamic_load(F_t, K_v)
        F_mb = named("F_mb", strength.mounted_load(F_d, K_m), "tooth load in running, mounting counted")
        F_my = named("F_my", strength.mounted_load(F_t, K_m), "tooth load held fast, mounting counted")
        Y = form_factor(c.z_v1, g.alpha, "Y_1"), form_factor(c.z_v2, g.alpha, "Y_2")
        sigma_b = (named("sigma_b1", strength.endurance_stress(g.R_m1)),
                   named("sigma_b2", strength.endurance_stress(g.R_m2)))
        F_b = _capacity("F_b", "tooth load the weaker root carries", sigma_b, g, c, Y)
        S_F = named("S_F", margin(F_b, F_mb), "margin on root strength")
        F_w = _wearing(g, c)
        S_H = named("S_H", margin(F_w, F_d), "margin on flank wear")
        F_y = _capacity("F_y", "tooth load at which a root yields", (g.R_e1, g.R_e2), g, c, Y)
        S_y = named("S_y", margin(F_y, F_my), "margin on root yield")
        remark_if(slow(v), SLOW_WORDS, WEAR_LEADS)
    return BevelRating(*middle, v, c, (
        Check("root strength", FORCE, F_mb, F_b, S_F, g.S_root, strength.ROOT, REQUIRED),
        Check("flank wear", FORCE, F_d, F_w, S_H, g.S_wear, strength.FLANK, REQUIRED),
        Check("jam strength", FORCE, F_my, F_y, S_y, g.S_jam, YIELD, REQUIRED, STRIPPED),
    ))
