"""Press fit: a hub that is too small for its shaft and holds by friction.

Least interference, less what roughness, heat and turning take, must hold the torque; greatest interference may
not stretch hub or shaft beyond yield. Elastic, after Lame; a fit beyond yield is out of the method and is said
so by its yield checks. Not for parts that come off: each time costs interference.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from layshaft.mechanics import fits, rings
from layshaft.mechanics.margin import margin
from layshaft.trace.checks import Check
from layshaft.trace.formula import formula, group, named, remark_if
from layshaft.trace.inputs import Inputs, quantity
from layshaft.trace.source import MECHANICS_OF_MATERIALS, Source
from layshaft.trace.units import (
    DENSITY,
    EXPANSION,
    FORCE,
    LENGTH,
    RATIO,
    SPEED,
    STRESS,
    TEMPERATURE,
    TORQUE,
    Count,
    Density,
    Expansion,
    Force,
    Length,
    Ratio,
    Speed,
    Stress,
    Temperature,
    Torque,
)

DIN_7190 = Source("DIN 7190:2001, interference fits", "smoothing, joining clearance", "from memory")
HEAT = Source("linear thermal expansion", "", "derived")
SLIP = Source("required margin on slip of a press fit", "hand drives that jerk", "common practice")
YIELD = Source("required margin on yield at assembly", "DIN 7190 practice, 1.0 to 1.3", "from memory")
SOFTENS = 230.0
"""K above the room: hardened parts are tempered at little more."""

TEMPER = Source("heating of hubs", "what keeps its hardness", "common practice")


@dataclass(frozen=True, kw_only=True)
class PressFitInputs(Inputs):
    """One press fit: deviations of both parts, their materials, and what the joint carries."""

    T: Torque = quantity("torque through the joint", TORQUE, at_least=0)
    F_a: Force = quantity("force along the shaft", FORCE, at_least=0)
    omega: Speed = quantity("turning speed", SPEED)
    d: Length = quantity("diameter of the joint", LENGTH, above=0)
    d_i: Length = quantity("bore of the shaft, 0 where it is solid", LENGTH, at_least=0)
    D: Length = quantity("outside diameter of the hub", LENGTH, above=0)
    L: Length = quantity("length of the joint", LENGTH, above=0)
    ES: Length = quantity("upper deviation of the hole", LENGTH)
    EI: Length = quantity("lower deviation of the hole", LENGTH)
    es: Length = quantity("upper deviation of the shaft", LENGTH)
    ei: Length = quantity("lower deviation of the shaft", LENGTH)
    Rz_s: Length = quantity("roughness Rz of the shaft", LENGTH, at_least=0)
    Rz_h: Length = quantity("roughness Rz of the bore", LENGTH, at_least=0)
    mu: Ratio = quantity("coefficient of friction", RATIO, above=0)
    E_s: Stress = quantity("Young's modulus, shaft", STRESS, above=0)
    E_h: Stress = quantity("Young's modulus, hub", STRESS, above=0)
    nu_s: Ratio = quantity("Poisson's ratio, shaft", RATIO, above=0, at_most=0.5)
    nu_h: Ratio = quantity("Poisson's ratio, hub", RATIO, above=0, at_most=0.5)
    rho_s: Density = quantity("density, shaft", DENSITY, above=0)
    rho_h: Density = quantity("density, hub", DENSITY, above=0)
    alpha_s: Expansion = quantity("thermal expansion, shaft", EXPANSION, above=0)
    alpha_h: Expansion = quantity("thermal expansion, hub", EXPANSION, above=0)
    theta_h: Temperature = quantity("warmest in service", TEMPERATURE)
    theta_c: Temperature = quantity("coldest in service", TEMPERATURE)
    theta_0: Temperature = quantity("temperature the sizes hold at", TEMPERATURE)
    R_e_s: Stress = quantity("yield strength, shaft", STRESS, above=0)
    R_e_h: Stress = quantity("yield strength, hub", STRESS, above=0)
    S_slip: Ratio = quantity("required margin on slip", RATIO, above=0)
    S_yield: Ratio = quantity("required margin on yield", RATIO, above=0)


@dataclass(frozen=True, slots=True)
class PressFitRating:
    """Pressure at both ends of the tolerance, and how the joint is made."""

    p_l: Stress
    p_g: Stress
    F_p: Force
    theta_j: Temperature
    checks: tuple[Check, ...]


@formula("G", "interference lost to roughness", DIN_7190)
def smoothing(Rz_s: Length, Rz_h: Length) -> Length:
    """Four fifths of both roughnesses are flattened when the parts are joined."""
    return 0.8 * (Rz_s + Rz_h)


@formula("Z_h", "interference lost to heat", HEAT, where={"theta": "temperature in service"})
def heat_loss(d: Length, alpha_h: Expansion, alpha_s: Expansion, theta: Temperature,
              theta_0: Temperature) -> Length:
    """The hub grows away from the shaft; parts that grow alike lose nothing at any temperature."""
    return np.where(alpha_h == alpha_s, 0, d * (alpha_h - alpha_s) * (theta - theta_0))


@formula("Z", "most that heat or cold takes", HEAT, where={"Z_h": "lost when warmest", "Z_c": "lost when coldest"})
def worst_loss(Z_h: Length, Z_c: Length) -> Length:
    """The worse of both ends; nothing, where both tighten."""
    return np.maximum(np.maximum(Z_h, Z_c), 0)


@formula("Y", "most that heat or cold adds", HEAT, where={"Z_h": "lost when warmest", "Z_c": "lost when coldest"})
def worst_gain(Z_h: Length, Z_c: Length) -> Length:
    """The tighter of both ends; nothing, where both loosen."""
    return np.maximum(np.maximum(-Z_h, -Z_c), 0)


@formula("Z_w", "interference lost to turning", rings.DISC)
def turning_loss(omega: Speed, d: Length, d_i: Length, D: Length, rho_h: Density, E_h: Stress, nu_h: Ratio,
                 rho_s: Density, E_s: Stress, nu_s: Ratio) -> Length:
    """The hub flies open more than the shaft swells; both as thin discs."""
    return omega**2 * d / 16 * (rho_h / E_h * ((3 + nu_h) * D**2 + (1 - nu_h) * d**2)
                                - rho_s / E_s * ((3 + nu_s) * d_i**2 + (1 - nu_s) * d**2))


@formula("U_w", "least interference that works", DIN_7190, where={
    "U_l": "least interference", "G": "lost to roughness", "Z": "lost to heat", "Z_w": "lost to turning"})
def working_interference(U_l: Length, G: Length, Z: Length, Z_w: Length) -> Length:
    """What is left of the least interference when everything has taken its share."""
    return U_l - G - Z - Z_w


@formula("U_m", "most interference that works", DIN_7190,
         where={"U_g": "greatest interference", "Y": "added by heat or cold"})
def most_interference(U_g: Length, Y: Length) -> Length:
    """Nothing is taken off for smoothing: the yield check stays on the safe side."""
    return U_g + Y


@formula("sigma_b", "hoop stress at the bore while turning", MECHANICS_OF_MATERIALS, where={
    "sigma_t": "hoop stress from the press fit", "sigma_w": "hoop stress from turning"})
def hoop_while_turning(sigma_t: Stress, sigma_w: Stress) -> Stress:
    """Both added; that turning also lowers the pressure is left out, on the safe side."""
    return sigma_t + sigma_w


@formula("theta_j", "temperature to heat the hub to", DIN_7190, where={"U_g": "greatest interference"})
def joining_temperature(theta_0: Temperature, U_g: Length, d: Length, alpha_h: Expansion) -> Temperature:
    """Interference and a thousandth of the diameter as clearance, for a hub that drops over."""
    return theta_0 + (np.maximum(U_g, 0) + d / 1000) / (alpha_h * d)


@formula("hot", "hub heated to where it may soften", TEMPER,
         where={"theta_j": "temperature to heat the hub to", "theta_0": "room temperature"})
def too_hot(theta_j: Temperature, theta_0: Temperature) -> Count:
    """1 where the hub must be more than 230 K warmer than the room."""
    return np.where(theta_j - theta_0 > SOFTENS, 1.0, 0.0)


def rate(k: PressFitInputs) -> PressFitRating:
    """Rate one press fit, or many at once when the inputs are arrays."""
    with group("Press fit"):
        k = k.record()
        U_g = fits.greatest_interference(k.es, k.EI)
        U_l = fits.least_interference(k.ei, k.ES)
        C_h = rings.hub_flexibility(k.D, k.d, k.nu_h)
        C_s = rings.shaft_flexibility(k.d, k.d_i, k.nu_s)
        warm = heat_loss(k.d, k.alpha_h, k.alpha_s, k.theta_h, k.theta_0)
        cold = named("Z_c", heat_loss(k.d, k.alpha_h, k.alpha_s, k.theta_c, k.theta_0))
        lost = turning_loss(k.omega, k.d, k.d_i, k.D, k.rho_h, k.E_h, k.nu_h, k.rho_s, k.E_s, k.nu_s)
    with group("Slip, at the least interference"):
        U_w = working_interference(U_l, smoothing(k.Rz_s, k.Rz_h), worst_loss(warm, cold), lost)
        p_l = named("p_l", rings.joint_pressure(U_w, k.d, C_h, k.E_h, C_s, k.E_s), "least pressure")
        held = rings.friction_torque(k.mu, p_l, k.d, k.L)
        asked = rings.joint_demand(k.T, k.F_a, k.d)
        S_f = named("S_f", margin(held, asked), "margin on slip")
    with group("Yield, at the greatest interference"):
        U_m = most_interference(U_g, worst_gain(warm, cold))
        p_g = named("p_g", rings.joint_pressure(U_m, k.d, C_h, k.E_h, C_s, k.E_s), "greatest pressure")
        hoop = hoop_while_turning(rings.bore_hoop(p_g, k.D, k.d),
                                  rings.turning_hoop(k.rho_h, k.omega, k.D, k.d, k.nu_h))
        sigma_v = rings.bore_equivalent(hoop, p_g)
        S_h = named("S_h", margin(k.R_e_h, sigma_v), "margin on yield of the hub")
        sigma_s = rings.shaft_equivalent(p_g, k.d, k.d_i)
        S_s = named("S_s", margin(k.R_e_s, sigma_s), "margin on yield of the shaft")
    with group("How it is joined"):
        F_p = rings.press_force(k.mu, p_g, k.d, k.L)
        theta_j = joining_temperature(k.theta_0, U_g, k.d, k.alpha_h)
        remark_if(too_hot(theta_j, k.theta_0), "To drop over the shaft the hub must be hotter than about 250 degC, "
                  "where hardened parts soften: press it on, cool the shaft, or take less interference.", TEMPER)
    return PressFitRating(p_l, p_g, F_p, theta_j, (
        Check("press fit slip", TORQUE, asked, held, S_f, k.S_slip, rings.LAME, SLIP),
        Check("press fit hub yield", STRESS, sigma_v, k.R_e_h, S_h, k.S_yield, rings.LAME, YIELD),
        Check("press fit shaft yield", STRESS, sigma_s, k.R_e_s, S_s, k.S_yield, rings.LAME, YIELD),
    ))
