"""One spur pair rated: root, flank and jam, with the geometry that the rating stands on.

Turning gears draw in fingers and sleeves: they run behind a guard that a tool opens.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from layshaft.elements.gear_pair import forces, geometry, strength
from layshaft.mechanics.margin import margin
from layshaft.mechanics.spur_teeth import SLOW_WORDS, WEAR_LEADS
from layshaft.mechanics.spur_teeth import slow as slow
from layshaft.trace.checks import Check
from layshaft.trace.formula import formula, given, governs, group, named, remark_if
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

REQUIRED = Source("required margins of slow spur gears", "none in a standard for this method",
                  "common practice")
YIELD = Source("Lewis equation against yield", "held fast, no velocity factor", "derived")
ADVICE = Source("gear handbooks", "contact ratio at least 1.2", "common practice")
SPUR = Source("spur teeth", "no helix", "derived")


@dataclass(frozen=True, kw_only=True)
class GearInputs(Inputs):
    """One spur pair in one case. In a case that holds the train fast read the jam check alone."""

    m: Length = quantity("module", LENGTH, above=0)
    z_1: Count = quantity("teeth of the pinion", COUNT, at_least=5)
    z_2: Count = quantity("teeth of the wheel", COUNT, at_least=5)
    b: Length = quantity("face width", LENGTH, above=0)
    x_1: Ratio = quantity("profile shift coefficient of the pinion", RATIO, at_least=-1, at_most=2)
    x_2: Ratio = quantity("profile shift coefficient of the wheel", RATIO, at_least=-1, at_most=2)
    alpha: Angle = quantity("pressure angle", ANGLE, above=0, at_most=np.pi / 4)
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
class SpurGeometry:
    """What the pair looks like when it is mounted without backlash."""

    d_1: Length
    alpha_w: Angle
    a_w: Length
    d_a1: Length
    d_a2: Length
    eps_alpha: Ratio
    x_min1: Ratio
    x_min2: Ratio


@dataclass(frozen=True, slots=True)
class GearRating:
    """Forces, geometry and checks of one pair."""

    F_t: Force
    F_r: Force
    v: Velocity
    geometry: SpurGeometry
    checks: tuple[Check, ...]


@formula("thin_contact", "contact ratio below 1.2", ADVICE)
def thin_contact(eps_alpha: Ratio) -> Count:
    """1 where the remark applies, else 0."""
    return np.where(eps_alpha < 1.2, 1.0, 0.0)


@formula("undercut", "teeth cut away at the root", ADVICE,
         where={"x_min1": "smallest shift of the pinion", "x_min2": "smallest shift of the wheel"})
def undercut(x_1: Ratio, x_min1: Ratio, x_2: Ratio, x_min2: Ratio) -> Count:
    """1 where the remark applies, else 0."""
    return np.where((x_1 < x_min1) | (x_2 < x_min2), 1.0, 0.0)


def spur_geometry(g: GearInputs) -> SpurGeometry:
    """Mounted without backlash at the centre distance the shifts ask for."""
    d_1 = named("d_1", geometry.reference_diameter(g.z_1, g.m), "reference diameter, pinion")
    d_2 = named("d_2", geometry.reference_diameter(g.z_2, g.m), "reference diameter, wheel")
    a = geometry.reference_centre_distance(g.z_1, g.z_2, g.m)
    inv_w = geometry.working_involute(g.alpha, g.alpha, g.x_1, g.x_2, g.z_1, g.z_2)
    alpha_w = geometry.working_angle(inv_w)
    a_w = geometry.working_centre_distance(a, g.alpha, alpha_w)
    k = geometry.tip_shortening(g.x_1, g.x_2, geometry.centre_modification(a_w, a, g.m))
    d_a1 = named("d_a1", geometry.tip_diameter(d_1, g.m, g.x_1, k), "tip diameter, pinion")
    d_a2 = named("d_a2", geometry.tip_diameter(d_2, g.m, g.x_2, k), "tip diameter, wheel")
    d_b1 = named("d_b1", geometry.base_diameter(d_1, g.alpha), "base diameter, pinion")
    d_b2 = named("d_b2", geometry.base_diameter(d_2, g.alpha), "base diameter, wheel")
    g_a = geometry.path_of_contact(d_a1, d_b1, d_a2, d_b2, a_w, alpha_w)
    eps_alpha = geometry.contact_ratio(g_a, geometry.base_pitch(g.m, g.alpha))
    beta = given("beta", "helix angle", ANGLE, 0.0, SPUR)
    x_min1 = named("x_min1", geometry.undercut_limit(g.z_1, g.alpha, beta))
    x_min2 = named("x_min2", geometry.undercut_limit(g.z_2, g.alpha, beta))
    return SpurGeometry(d_1, alpha_w, a_w, d_a1, d_a2, eps_alpha, x_min1, x_min2)


def _capacity(symbol: str, what: str, stress: tuple[Stress, Stress], g: GearInputs,
              Y: tuple[Ratio, Ratio]) -> Force:
    """The weaker of pinion and wheel at one level of stress."""
    return governs(
        symbol, what, FORCE,
        {"pinion": named(f"{symbol}1", strength.root_capacity(stress[0], g.b, g.m, Y[0])),
         "wheel": named(f"{symbol}2", strength.root_capacity(stress[1], g.b, g.m, Y[1]))},
        strength.LEWIS, pick="smallest",
    )


def _form_factors(g: GearInputs) -> tuple[Ratio, Ratio]:
    Y_1 = strength.shifted_form_factor(strength.form_factor(g.z_1, g.alpha, "Y_01"), g.x_1, g.alpha)
    Y_2 = strength.shifted_form_factor(strength.form_factor(g.z_2, g.alpha, "Y_02"), g.x_2, g.alpha)
    return (named("Y_1", Y_1, "form factor, pinion"), named("Y_2", Y_2, "form factor, wheel"))


def _remarks(g: GearInputs, s: SpurGeometry, v: Velocity) -> None:
    remark_if(thin_contact(s.eps_alpha), "The contact ratio is below 1.2: the next pair of teeth "
              "takes over too late, and the drive is rough.", ADVICE)
    remark_if(undercut(g.x_1, s.x_min1, g.x_2, s.x_min2), "A rack cutter cuts into the root of the "
              "teeth: take more teeth or a larger shift.", ADVICE)
    remark_if(slow(v), SLOW_WORDS, WEAR_LEADS)


def rate(g: GearInputs) -> GearRating:
    """Rate one spur pair, or many at once when the inputs are arrays."""
    with group("Spur gear pair"):
        g = g.record()
        s = spur_geometry(g)
        v = geometry.pitch_line_speed(g.omega_1, s.d_1)
        F_t = forces.tangential_force(g.T_1, s.d_1)
        d_w = geometry.working_diameter(s.a_w, g.z_1, g.z_2)
        F_tw = named("F_tw", forces.tangential_force(g.T_1, d_w), "force at the working circle")
        F_r = forces.radial_force(F_tw, s.alpha_w)
        F_d = strength.dynamic_load(F_t, strength.barth_factor(v))
        Y = _form_factors(g)
        sigma_e = (named("sigma_e1", strength.endurance_stress(g.R_m1)),
                   named("sigma_e2", strength.endurance_stress(g.R_m2)))
        F_b = _capacity("F_b", "tooth load the weaker root carries", sigma_e, g, Y)
        S_F = named("S_F", margin(F_b, F_d), "margin on root strength")
        H_B = governs("H_B", "Brinell hardness of the softer gear", RATIO,
                      {"pinion": g.H_B1, "wheel": g.H_B2}, strength.WEAR, pick="smallest")
        F_w = strength.wear_capacity(s.d_1, g.b, strength.ratio_factor(g.z_1, g.z_2),
                                     strength.wear_factor(H_B))
        S_H = named("S_H", margin(F_w, F_d), "margin on flank wear")
        F_y = _capacity("F_y", "tooth load at which a root yields", (g.R_e1, g.R_e2), g, Y)
        S_y = named("S_y", margin(F_y, F_t), "margin on root yield")
        _remarks(g, s, v)
    return GearRating(F_t, F_r, v, s, (
        Check("root strength", FORCE, F_d, F_b, S_F, g.S_root, strength.LEWIS, REQUIRED),
        Check("flank wear", FORCE, F_d, F_w, S_H, g.S_wear, strength.WEAR, REQUIRED),
        Check("jam strength", FORCE, F_t, F_y, S_y, g.S_jam, YIELD, REQUIRED),
    ))
