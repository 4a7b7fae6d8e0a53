"""A wheel with a heavy rim, on spokes or on a thinner web.

Spokes hold the rim in where they stand and let it bulge between: bending comes on top of the hoop
pull. They carry the torque of the wheel as levers clamped in the hub. A web is pulled outward by
the rim, and its bore doubles that pull; how thick it is does not matter to the bound used here.
Left out, since no method here rates them: joints of rims in pieces, wedges, welds and the boss.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from layshaft.mechanics.margin import margin
from layshaft.mechanics.rotating import (
    LAME,
    MARGIN,
    RINGS,
    SPOKES,
    beside_hole,
    cautioned,
    half_angle,
    rim_bending,
    rim_pull,
    rim_speed,
    rim_stress_at_spoke,
    rim_stress_between,
    rim_stretch,
    run_away,
    run_away_checks,
    spoke_constant,
    spoke_stress,
    stored_energy,
    thin_ring_stress,
    web_stress,
)
from layshaft.trace.checks import Check
from layshaft.trace.formula import formula, governs, group, named
from layshaft.trace.inputs import Inputs, quantity
from layshaft.trace.source import KINEMATICS, MECHANICS_OF_MATERIALS
from layshaft.trace.units import (
    AREA,
    COUNT,
    DENSITY,
    ENERGY,
    INERTIA,
    LENGTH,
    RATIO,
    SECTION_MODULUS,
    SPEED,
    STRESS,
    TORQUE,
    Area,
    Count,
    Density,
    Energy,
    Inertia,
    Length,
    Ratio,
    SectionModulus,
    Speed,
    Stress,
    Torque,
)

JOINTS = "Rim in one piece: joints, wedges and welds are not in it."
LEVERS = "Spokes as levers clamped in the hub and free at the rim; casting stresses, joints and welds are not in it."


@dataclass(frozen=True, kw_only=True)
class RimInputs(Inputs):
    """What every wheel with a rim is told by."""

    d_o: Length = quantity("outside diameter of the rim", LENGTH, above=0)
    d_i: Length = quantity("inside diameter of the rim", LENGTH, above=0)
    rho: Density = quantity("density", DENSITY, above=0)
    J: Inertia = quantity("moment of inertia", INERTIA, above=0)
    omega: Speed = quantity("turning speed", SPEED)
    omega_r: Speed = quantity("greatest turning speed when running", SPEED, at_least=0)
    E_w: Energy = quantity("energy of the weights that can run it away", ENERGY, at_least=0)
    omega_c: Speed = quantity("greatest speed after the loss of one element, or its bound", SPEED, at_least=0)
    omega_s: Speed = quantity("run-away speed that is stated, 0 where weights alone can run it away", SPEED, at_least=0)
    R_lim: Stress = quantity("yield strength, or tensile strength of a brittle wheel", STRESS, above=0)
    R_m: Stress = quantity("tensile strength", STRESS, above=0)
    S_required: Ratio = quantity("required margin", RATIO, above=0)
    S_y_required: Ratio = quantity("required margin on yield at the run-away speed", RATIO, above=0)
    S_b_required: Ratio = quantity("required margin on bursting at the run-away speed", RATIO, above=0)


@dataclass(frozen=True, kw_only=True)
class SpokedInputs(RimInputs):
    """A rim of rectangular section on equal spokes of one section."""

    b: Length = quantity("width of the rim", LENGTH, above=0)
    n: Count = quantity("number of spokes", COUNT, at_least=3)
    A_s: Area = quantity("area of a spoke's section", AREA, above=0)
    W_s: SectionModulus = quantity("section modulus of a spoke in the plane of the wheel", SECTION_MODULUS, above=0)
    r_h: Length = quantity("radius at which the spokes begin", LENGTH, above=0)
    T: Torque = quantity("torque between hub and rim", TORQUE, at_least=0)


@dataclass(frozen=True, kw_only=True)
class WebbedInputs(RimInputs):
    """A rim on a web that fills it down to the bore."""

    nu: Ratio = quantity("Poisson's ratio", RATIO, at_least=0, at_most=0.5)
    k_h: Ratio = quantity("how many times the stress rises beside holes, 1 without", RATIO, at_least=1)
    d_b: Length = quantity("bore of the web, 0 if solid", LENGTH, at_least=0)


@dataclass(frozen=True, slots=True)
class RimWheelRating:
    """What the wheel stores and bears."""

    W: Energy
    sigma: Stress
    S: Ratio
    omega_away: Speed
    checks: tuple[Check, ...]


@formula("r_m", "mean radius of the rim", KINEMATICS, outside="the rim is not wider outside than inside")
def mean_radius(d_o: Length, d_i: Length) -> Length:
    """Halfway through the rim."""
    return np.where(d_i < d_o, (d_o + d_i) / 4, np.nan)


@formula("t", "radial thickness of the rim", KINEMATICS, outside="the rim is not wider outside than inside")
def rim_thickness(d_o: Length, d_i: Length) -> Length:
    """Half the difference of the diameters."""
    return np.where(d_i < d_o, (d_o - d_i) / 2, np.nan)


@formula("A_r", "area of the rim's section", KINEMATICS)
def rim_area(b: Length, t: Length) -> Area:
    """Width times thickness."""
    return b * t


@formula("r", "radius of a diameter", KINEMATICS, where={"d": "a diameter"})
def radius(d: Length) -> Length:
    """Half of it."""
    return d / 2


@formula("sigma_h", "stress in a spoke at the hub from turning", MECHANICS_OF_MATERIALS,
         where={"sigma_a": "stress in a spoke at the rim"}, outside="the spokes begin beyond the rim")
def hub_end_stress(sigma_a: Stress, rho: Density, omega: Speed, r_m: Length, r_h: Length) -> Stress:
    """The pull at the rim, and the spoke's own mass on the way in."""
    return np.where(r_h < r_m, sigma_a + rho * omega**2 * (r_m**2 - r_h**2) / 2, np.nan)


@formula("sigma_T", "bending stress of a spoke at the hub", MECHANICS_OF_MATERIALS,
         outside="the spokes begin beyond the rim")
def spoke_bending(T: Torque, n: Count, r_h: Length, r_m: Length, W_s: SectionModulus) -> Stress:
    """Each spoke pushes its share of the torque at the rim, on the lever from there to the hub."""
    return np.where(r_h < r_m, T * (1 - r_h / r_m) / (n * W_s), np.nan)


@formula("sigma_S", "greatest stress of a spoke", MECHANICS_OF_MATERIALS)
def sum_of_spoke(sigma_h: Stress, sigma_T: Stress) -> Stress:
    """Pull and bending add on one edge."""
    return sigma_h + sigma_T


def rate_spoked(w: SpokedInputs) -> RimWheelRating:
    """Rate one wheel with spokes, or many at once when the inputs are arrays."""
    w = w.record()
    return judged_spoked(w, w.J)


def judged_spoked(w: SpokedInputs, J: Inertia) -> RimWheelRating:
    """Rate inputs that are recorded already; `J` may come from a drawing instead of a given."""
    with group("Wheel with spokes"):
        sigma, sigma_a, r_m = _spoked(w, w.omega)
        W = stored_energy(J, w.omega)
        S = named("S_rim", margin(w.R_lim, sigma), "margin on the strength of the rim")
        sigma_T = spoke_bending(w.T, w.n, w.r_h, r_m, w.W_s)
        sigma_S = sum_of_spoke(hub_end_stress(sigma_a, w.rho, w.omega, r_m, w.r_h), sigma_T)
        S_S = named("S_spoke", margin(w.R_lim, sigma_S), "margin on the strength of a spoke")
        cautioned(W, rim_speed(w.d_o, w.omega))
    with group("Run away"):
        omega_R = run_away(w, J)
        rim_R, spoke_R, r_R = _spoked(w, omega_R)
        sigma_R = governs("sigma_R", "stress at the run-away speed", STRESS, {
            "rim": rim_R, "spoke": hub_end_stress(spoke_R, w.rho, omega_R, r_R, w.r_h)}, SPOKES, pick="largest")
        checks = run_away_checks(w, sigma_R, SPOKES)
    return RimWheelRating(W, sigma, S, omega_R, (
        Check("rim stress", STRESS, sigma, w.R_lim, S, w.S_required, SPOKES, MARGIN, JOINTS),
        Check("spoke stress", STRESS, sigma_S, w.R_lim, S_S, w.S_required, SPOKES, MARGIN, LEVERS), *checks,
    ))


def _spoked(w: SpokedInputs, omega: Speed) -> tuple[Stress, Stress, Length]:
    """Stress of the rim, of a spoke at the rim, and the rim's mean radius."""
    r_m, t = mean_radius(w.d_o, w.d_i), rim_thickness(w.d_o, w.d_i)
    v_m = named("v_m", rim_speed(mean_diameter(r_m), omega), "speed of the rim's middle")
    a = half_angle(w.n)
    f_1 = rim_stretch(a)
    A_r = rim_area(w.b, t)
    C = spoke_constant(f_1, rim_bending(f_1, a), r_m, t, A_r, w.A_s)
    sigma = governs("sigma", "greatest stress of the rim", STRESS, {
        "at a spoke": rim_stress_at_spoke(w.rho, v_m, C, r_m, t, a),
        "between spokes": rim_stress_between(w.rho, v_m, C, r_m, t, a),
        "free ring": thin_ring_stress(w.rho, v_m)}, SPOKES, pick="largest")
    return sigma, spoke_stress(w.rho, v_m, A_r, w.A_s, C), r_m


@formula("d_m", "mean diameter of the rim", KINEMATICS)
def mean_diameter(r_m: Length) -> Length:
    """Twice the mean radius."""
    return 2 * r_m


def rate_webbed(w: WebbedInputs) -> RimWheelRating:
    """Rate one wheel with a web, or many at once when the inputs are arrays."""
    w = w.record()
    return judged_webbed(w, w.J)


def judged_webbed(w: WebbedInputs, J: Inertia) -> RimWheelRating:
    """Rate inputs that are recorded already; `J` may come from a drawing instead of a given."""
    with group("Wheel with a web"):
        sigma = _webbed(w, w.omega)
        W = stored_energy(J, w.omega)
        S = named("S_rim", margin(w.R_lim, sigma), "margin on the strength of rim and web")
        cautioned(W, rim_speed(w.d_o, w.omega))
    with group("Run away"):
        omega_R = run_away(w, J)
        checks = run_away_checks(w, named("sigma_R", _webbed(w, omega_R), "stress at the run-away speed"), LAME)
    return RimWheelRating(W, sigma, S, omega_R, (
        Check("rim stress", STRESS, sigma, w.R_lim, S, w.S_required, LAME, MARGIN, JOINTS), *checks,
    ))


def _webbed(w: WebbedInputs, omega: Speed) -> Stress:
    """The larger of what the web carries and what the rim would carry as a free ring."""
    r_o, r_w, r_b = (named(s, radius(d), m) for s, d, m in (
        ("r_o", w.d_o, "outside radius of the rim"), ("r_w", w.d_i, "outside radius of the web"),
        ("r_b", w.d_b, "radius of the bore")))
    p = rim_pull(w.rho, omega, w.nu, r_o, r_w, r_b)
    web = beside_hole(web_stress(w.rho, omega, w.nu, p, r_w, r_b), w.k_h)
    ring = free_rim_stress(w.rho, omega, w.nu, r_o, r_w)
    return governs("sigma", "greatest stress of rim and web", STRESS, {"web": web, "rim": ring}, RINGS, pick="largest")


@formula("sigma_f", "stress of the rim as a free ring", RINGS, where={
    "r_o": "outside radius of the rim", "r_w": "inside radius of the rim"})
def free_rim_stress(rho: Density, omega: Speed, nu: Ratio, r_o: Length, r_w: Length) -> Stress:
    """At its inside; the web can only lower it."""
    return rho * omega**2 / 4 * ((3 + nu) * r_o**2 + (1 - nu) * r_w**2)
