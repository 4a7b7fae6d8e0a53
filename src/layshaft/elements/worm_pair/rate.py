"""Rates one worm pair, or many at once: root, flank and jam of the wheel, bending of the worm, heat of a case."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from layshaft.elements.worm_pair import forces, friction, geometry, strength
from layshaft.mechanics.margin import margin
from layshaft.trace.checks import Check
from layshaft.trace.formula import formula, given, governs, group, named, remark_if
from layshaft.trace.inputs import Inputs, quantity
from layshaft.trace.source import Source
from layshaft.trace.units import (
    ANGLE,
    AREA,
    COUNT,
    FORCE,
    LENGTH,
    RATIO,
    SPEED,
    STRESS,
    TEMPERATURE,
    TORQUE,
    Angle,
    Area,
    Count,
    Force,
    Length,
    Ratio,
    Speed,
    Stress,
    Temperature,
    Torque,
    Velocity,
)

REQUIRED = Source("required margins of slow worm gears", "none in a standard for this method", "common practice")
LOCKING = Source("Machinery's Handbook, worm gearing", "irreversible worms are not to be relied on", "second text")
ADVICE = Source("machine design handbooks, worm gears", obtained="common practice")

NO_BRAKE = (
    "Friction may hold this worm at rest against its wheel. Vibration, fresh oil or wear let it creep or run: it is no "
    "brake for a hanging weight or for people. Put a ratchet, or a brake that a spring or its own weight puts on, on "
    "the wheel's side.")
DRIVES_BACK = ("The wheel drives this worm back: whatever holds or stops the machine must act on it or beyond it, and "
               "a crank on the worm can kick.")


@dataclass(frozen=True, kw_only=True)
class WormInputs(Inputs):
    """One worm pair in one case. In a case that holds the train fast read the jam check alone."""

    m: Length = quantity("axial module of the worm, module of the wheel", LENGTH, above=0)
    z_1: Count = quantity("starts of the worm", COUNT, at_least=1)
    z_2: Count = quantity("teeth of the wheel", COUNT, at_least=12)
    d_1: Length = quantity("reference diameter of the worm", LENGTH, above=0)
    a: Length = quantity("centre distance", LENGTH, above=0)
    alpha_n: Angle = quantity("normal pressure angle", ANGLE, above=0, at_most=np.pi / 4)
    b: Length = quantity("face width of the wheel", LENGTH, above=0)
    T_1: Torque = quantity("torque on the worm", TORQUE)
    T_2: Torque = quantity("torque on the wheel", TORQUE)
    omega_1: Speed = quantity("turning speed of the worm", SPEED)
    eta_0: Ratio = quantity("efficiency the machine counts with, the worm driving", RATIO, above=0, at_most=1)
    y: Ratio = quantity("form factor of a worm wheel's tooth", RATIO, above=0)
    z_m: Count = quantity("teeth below which the wheel is undercut", COUNT, above=0)
    sigma_f: Stress = quantity("fatigue stress of the wheel's bronze", STRESS, above=0)
    R_e: Stress = quantity("yield strength of the wheel's bronze", STRESS, above=0)
    K_w: Stress = quantity("wear factor of the pair", STRESS, above=0)
    D_c: Length = quantity("diameter up to which castings of its kind are alike", LENGTH, above=0)
    c_0: Ratio = quantity("strength of the casting, constant part", RATIO, above=0)
    c_1: Ratio = quantity("strength of the casting lost per tenfold diameter", RATIO, at_least=0)
    H_w: Ratio = quantity("Brinell hardness of the worm's threads", RATIO, above=0)
    y_y: Length = quantity("deflection of the worm in one plane", LENGTH)
    y_z: Length = quantity("deflection of the worm in the other plane", LENGTH)
    A_h: Area = quantity("outside of the closed case", AREA, above=0)
    t_lim: Temperature = quantity("highest temperature of the oil", TEMPERATURE)
    t_a: Temperature = quantity("warmest air around the case", TEMPERATURE)
    S_root: Ratio = quantity("required margin on root strength", RATIO, above=0)
    S_wear: Ratio = quantity("required margin on the flank, the worm's bending and heat", RATIO, above=0)
    S_jam: Ratio = quantity("required margin on root yield when held fast", RATIO, above=0)


@dataclass(frozen=True, slots=True)
class WormRating:
    """Sizes that follow, forces and checks of one pair."""

    gamma: Angle
    v_s: Velocity
    F_t1: Force
    F_t2: Force
    F_r: Force
    checks: tuple[Check, ...]


@formula("holds_itself", "locks at rest or running", LOCKING, where={
    "mu_l": "friction from which on the worm locks", "mu_0": "friction at rest"})
def holds_itself(mu_l: Ratio, mu_0: Ratio) -> Count:
    """1 where the remark applies, else 0."""
    return np.where(mu_0 >= mu_l, 1.0, 0.0)


@formula("runs_back", "never locks", LOCKING, where={
    "mu_l": "friction from which on the worm locks", "mu_0": "friction at rest"})
def runs_back(mu_l: Ratio, mu_0: Ratio) -> Count:
    """1 where the remark applies, else 0."""
    return np.where(mu_0 < mu_l, 1.0, 0.0)


@formula("far_off", "efficiency stated far from the mesh's", ADVICE, where={"eta": "efficiency of the mesh alone"})
def far_off(eta_0: Ratio, eta: Ratio) -> Count:
    """1 where the two are more than a tenth apart, else 0."""
    return np.where(np.abs(eta_0 - eta) > 0.1, 1.0, 0.0)


@formula("wide", "face wider than carries", geometry.FACE, where={"b_e": "face width that carries"})
def wide(b: Length, b_e: Length) -> Count:
    """1 where the remark applies, else 0."""
    return np.where(b > b_e, 1.0, 0.0)


@formula("few", "fewer teeth than an uncut root asks for", ADVICE)
def few(z_2: Count, z_m: Count) -> Count:
    """1 where the remark applies, else 0."""
    return np.where(z_2 < z_m, 1.0, 0.0)


def rate(c: WormInputs) -> WormRating:
    """Rate one worm pair, or many at once when the inputs are arrays."""
    with group("Worm pair"):
        c = c.record()
        d_2 = geometry.wheel_diameter(c.m, c.z_2)
        d_w = geometry.rolling_diameter(c.a, d_2)
        gamma = geometry.lead_angle(c.m, c.z_1, d_w)
        v_s = geometry.sliding_speed(c.omega_1, d_w, gamma)
        mu = friction.mesh_friction(v_s)
        F_t2 = forces.wheel_force(c.T_2, d_2)
        F_t1 = forces.worm_force(F_t2, c.alpha_n, gamma, mu)
        F_r = forces.radial_force(F_t2, c.alpha_n, gamma, mu)
        b_e = geometry.carrying_face(c.b, c.d_1)
        _remarks(c, gamma, mu, b_e)
        return WormRating(gamma, v_s, F_t1, F_t2, F_r, (
            *_root(c, gamma, F_t2, b_e), *_flank(c, v_s, F_t2, d_2, b_e), *_around(c)))


def _dynamic(c: WormInputs, F_t2: Force) -> Force:
    return strength.dynamic_load(F_t2, strength.velocity_factor(geometry.wheel_speed(c.omega_1, c.m, c.z_1)))


def _root(c: WormInputs, gamma: Angle, F_t2: Force, b_e: Length) -> tuple[Check, ...]:
    p_n = geometry.normal_pitch(geometry.axial_pitch(c.m), gamma)
    sigma = governs("sigma", "stress allowed at the root", STRESS, {"fatigue": c.sigma_f, "yield": c.R_e},
                    strength.ROOT, pick="smallest")
    F_d = _dynamic(c, F_t2)
    F_b = strength.root_capacity(sigma, b_e, p_n, c.y)
    S_F = named("S_F", margin(F_b, F_d), "margin on root strength")
    F_y = named("F_y", strength.root_capacity(c.R_e, b_e, p_n, c.y), "tooth load at which the root yields")
    S_y = named("S_y", margin(F_y, F_t2), "margin on root yield")
    return (Check("root strength", FORCE, F_d, F_b, S_F, c.S_root, strength.ROOT, REQUIRED),
            Check("jam strength", FORCE, F_t2, F_y, S_y, c.S_jam, strength.YIELD, REQUIRED,
                  "a stripped wheel lets go of everything at once"))


def _flank(c: WormInputs, v_s: Velocity, F_t2: Force, d_2: Length, b_e: Length) -> tuple[Check, ...]:
    F_d = _dynamic(c, F_t2)
    F_w = strength.wear_capacity(d_2, b_e, c.K_w)
    S_H = named("S_H", margin(F_w, F_d), "margin on flank wear")
    C_s = strength.material_factor(d_2, c.a, c.D_c, c.c_0, c.c_1, c.H_w)
    F_c = strength.durable_force(C_s, d_2, b_e, strength.ratio_factor(c.z_1, c.z_2), strength.speed_factor(v_s))
    S_c = named("S_c", margin(F_c, F_t2), "margin on flank durability")
    return (Check("flank wear", FORCE, F_d, F_w, S_H, c.S_wear, strength.WEAR, REQUIRED),
            Check("flank durability", FORCE, F_t2, F_c, S_c, c.S_wear, strength.DURABILITY, REQUIRED))


def _around(c: WormInputs) -> tuple[Check, ...]:
    y_b = strength.deflection(c.y_y, c.y_z)
    y_lim = strength.deflection_limit(c.m)
    S_d = named("S_d", margin(y_lim, y_b), "margin on the worm's deflection")
    rise = strength.temperature_rise(
        strength.lost_power(c.T_1, c.T_2, c.omega_1, c.z_1, c.z_2), c.A_h, c.omega_1)
    left = strength.allowed_rise(c.t_lim, c.t_a)
    S_t = named("S_t", margin(left, rise), "margin on heat")
    return (Check("worm deflection", LENGTH, y_b, y_lim, S_d, c.S_wear, strength.BENDING, REQUIRED),
            Check("heat of running", TEMPERATURE, rise, left, S_t, c.S_wear, strength.HEAT, REQUIRED,
                  "as if it ran on for hours: a case this hot burns skin"))


def _remarks(c: WormInputs, gamma: Angle, mu: Ratio, b_e: Length) -> None:
    mu_l = friction.locking_friction(c.alpha_n, gamma)
    mu_0 = given("mu_0", "friction at rest", RATIO, friction.AT_REST, friction.CURVE)
    remark_if(holds_itself(mu_l, mu_0), NO_BRAKE, LOCKING)
    remark_if(runs_back(mu_l, mu_0), DRIVES_BACK, LOCKING)
    eta = friction.efficiency(c.alpha_n, mu, gamma)
    remark_if(far_off(c.eta_0, eta), "The efficiency stated is more than a tenth away from what these sizes give at "
              "the published friction. Bearings and seals take some of it; measure it, or leave it out.", ADVICE)
    remark_if(wide(c.b, b_e), "The face is wider than two thirds of the worm's diameter: what stands out carries "
              "nothing and is not counted.", geometry.FACE)
    remark_if(few(c.z_2, c.z_m), "The hob cuts into the root of so few teeth: take more, or a larger pressure angle.",
              ADVICE)
