"""Extension spring with a hook at each end: set of the coil, bending and twist of the hook, fatigue of all three."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from layshaft.elements.helical_spring.coil import (
    CAUTION,
    SHEAR,
    STORED,
    bergstraesser_factor,
    halved_sum,
    halved_swing,
    shear_strength,
    shear_stress,
    spring_index,
    spring_rate,
    stress_share,
)
from layshaft.mechanics.margin import margin
from layshaft.mechanics.spring_wire import BOOK, GERBER, endless_strength, fatigue_factor, tensile_strength
from layshaft.trace.checks import Check
from layshaft.trace.formula import formula, group, named, remark_if
from layshaft.trace.inputs import Inputs, quantity
from layshaft.trace.source import STATICS, Source
from layshaft.trace.units import (
    COUNT,
    FORCE,
    LENGTH,
    RATIO,
    STRESS,
    Count,
    Energy,
    Force,
    Length,
    Ratio,
    Stiffness,
    Stress,
)

HOOKS = Source(BOOK, "eqs. 10-34 to 10-37, hooks of extension springs", "from memory")
TURNS = Source(BOOK, "eqs. 10-39 and 10-40, body and hooks", "from memory")
TOO_TIGHT = "a hook bent as tightly as that has no factor: its radius must be above half the wire"
WIRE = {"d": "diameter of the wire", "D": "mean diameter of the coil"}


@dataclass(frozen=True, kw_only=True)
class ExtensionInputs(Inputs):
    """An extension spring on two hooks."""

    F: Force = quantity("largest force", FORCE, above=0)
    F_least: Force = quantity("least force", FORCE, at_least=0)
    F_i: Force = quantity("force at which the turns begin to part", FORCE, at_least=0)
    d: Length = quantity("diameter of the wire", LENGTH, above=0)
    D: Length = quantity("mean diameter of the coil", LENGTH, above=0)
    N_b: Count = quantity("turns of the body", COUNT, above=0)
    r_1: Length = quantity("radius of the hook", LENGTH, above=0)
    r_2: Length = quantity("radius of the bend between body and hook", LENGTH, above=0)
    A: Stress = quantity("strength of a wire of one millimetre", STRESS, above=0)
    m: Ratio = quantity("exponent of the wire", RATIO, at_least=0)
    E: Stress = quantity("modulus of elasticity", STRESS, above=0)
    G: Stress = quantity("shear modulus", STRESS, above=0)
    share: Ratio = quantity("share of the tensile strength before the coil sets", RATIO, above=0, at_most=1)
    share_hook: Ratio = quantity("share before the hook bends open", RATIO, above=0, at_most=1)
    share_bend: Ratio = quantity("share before the hook twists off", RATIO, above=0, at_most=1)
    S_a: Stress = quantity("alternating strength of the fatigue tests", STRESS, above=0)
    S_m: Stress = quantity("mean stress of the fatigue tests", STRESS, above=0)
    S_required: Ratio = quantity("required margin", RATIO, above=0)


@dataclass(frozen=True, slots=True)
class ExtensionRating:
    """Rate, travel and stored energy, and the checks."""

    k: Stiffness
    y: Length
    E_s: Energy
    L_0: Length
    checks: tuple[Check, ...]


@formula("N_a", "active turns", TURNS)
def active_turns(N_b: Count, G: Stress, E: Stress) -> Count:
    """The hooks give way too, as part of a turn."""
    return N_b + G / E


@formula("L_0", "free length inside the hooks", TURNS, where=WIRE)
def body_length(C: Ratio, N_b: Count, d: Length) -> Length:
    """Body and two full hooks."""
    return (2 * C - 1 + N_b) * d


@formula("y", "travel at the largest force", STATICS)
def travel(F: Force, F_i: Force, k: Stiffness) -> Length:
    """It does not move before the turns part."""
    return np.maximum(F - F_i, 0) / k


@formula("E_s", "stored energy", STATICS)
def extension_energy(F: Force, F_i: Force, y: Length) -> Energy:
    """Mean of first and last force times the travel."""
    return (F + F_i) * y / 2


@formula("K_A", "factor for bending of the hook", HOOKS, outside=TOO_TIGHT, where=WIRE)
def hook_bending_factor(r_1: Length, d: Length) -> Ratio:
    """Curvature at the inside of the hook."""
    return (4 * (2 * r_1 / d)**2 - 2 * r_1 / d - 1) / (
        8 * r_1 / d * np.where(2 * r_1 > d, 2 * r_1 / d - 1, np.nan))


@formula("sigma_A", "stress in the hook", HOOKS, where=WIRE)
def hook_bending_stress(F: Force, K_A: Ratio, D: Length, d: Length) -> Stress:
    """Bending by the force at the coil's radius, and the pull itself."""
    return F * (K_A * 16 * D / (np.pi * d**3) + 4 / (np.pi * d**2))


@formula("K_H", "factor for twist where the hook leaves the body", HOOKS, outside=TOO_TIGHT, where=WIRE)
def hook_torsion_factor(r_2: Length, d: Length) -> Ratio:
    """Curvature of the bend between body and hook."""
    return (8 * r_2 / d - 1) / (4 * np.where(2 * r_2 > d, 2 * r_2 / d - 1, np.nan))


@formula("S_eb", "endless strength in bending", HOOKS, where={"S_e": "endless strength in shear"})
def bending_limit(S_e: Stress) -> Stress:
    """From shear to bending by distortion energy."""
    return S_e / 0.577


def rate(c: ExtensionInputs) -> ExtensionRating:
    """Rate one extension spring, or many at once when the inputs are arrays."""
    with group("Extension spring"):
        c = c.record()
        C = spring_index(c.D, c.d)
        K = bergstraesser_factor(C)
        k = spring_rate(c.d, c.G, c.D, active_turns(c.N_b, c.G, c.E))
        y = travel(c.F, c.F_i, k)
        R_m = tensile_strength(c.A, c.d, c.m)
        tau = shear_stress(K, c.F, c.D, c.d)
        S_y = named("S_sy", stress_share(c.share, R_m), "shear strength against setting")
        S_1 = named("S_1", margin(S_y, tau), "margin of the coil")
        K_A, K_H = hook_bending_factor(c.r_1, c.d), hook_torsion_factor(c.r_2, c.d)
        sigma = hook_bending_stress(c.F, K_A, c.D, c.d)
        S_A = named("S_A", stress_share(c.share_hook, R_m), "strength of the hook against bending open")
        S_2 = named("S_2", margin(S_A, sigma), "margin of the hook in bending")
        tau_B = named("tau_B", shear_stress(K_H, c.F, c.D, c.d), "shear stress where the hook leaves the body")
        S_B = named("S_B", stress_share(c.share_bend, R_m), "strength of the bend in torsion")
        S_3 = named("S_3", margin(S_B, tau_B), "margin of the bend in torsion")
        lasting = _fatigue(c, K, K_A, K_H, R_m)
        remark_if(True, CAUTION, STORED)
        E_s, L_0 = extension_energy(c.F, c.F_i, y), body_length(C, c.N_b, c.d)
    required = c.origins["S_required"]
    return ExtensionRating(k, y, E_s, L_0, (
        Check("spring set", STRESS, tau, S_y, S_1, c.S_required, SHEAR, required, CAUTION),
        Check("hook bending", STRESS, sigma, S_A, S_2, c.S_required, HOOKS, required, CAUTION),
        Check("hook torsion", STRESS, tau_B, S_B, S_3, c.S_required, HOOKS, required, CAUTION),
        *lasting,
    ))


def _fatigue(c: ExtensionInputs, K: Ratio, K_A: Ratio, K_H: Ratio, R_m: Stress) -> tuple[Check, ...]:
    """The coil in twist, the hook in bending, and where it leaves the body in twist again."""
    F_a, F_m = halved_swing(c.F, c.F_least), halved_sum(c.F, c.F_least)
    S_su = shear_strength(R_m)
    S_e = endless_strength(c.S_a, c.S_m, S_su)
    tau_a = named("tau_a", shear_stress(K, F_a, c.D, c.d), "alternating shear stress")
    tau_m = named("tau_m", shear_stress(K, F_m, c.D, c.d), "mean shear stress")
    n_f = fatigue_factor(tau_a, tau_m, S_e, S_su)
    s_a = named("sigma_a", hook_bending_stress(F_a, K_A, c.D, c.d), "alternating stress in the hook")
    s_m = named("sigma_m", hook_bending_stress(F_m, K_A, c.D, c.d), "mean stress in the hook")
    S_eb = bending_limit(S_e)
    n_h = named("n_h", fatigue_factor(s_a, s_m, S_eb, R_m), "factor against fatigue of the hook")
    t_a = named("tau_Ba", shear_stress(K_H, F_a, c.D, c.d), "alternating stress where the hook leaves the body")
    t_m = named("tau_Bm", shear_stress(K_H, F_m, c.D, c.d), "mean stress where the hook leaves the body")
    n_t = named("n_t", fatigue_factor(t_a, t_m, S_e, S_su), "factor against fatigue where the hook leaves the body")
    required = c.origins["S_required"]
    return (
        Check("spring fatigue", STRESS, tau_a, S_e, n_f, c.S_required, GERBER, required, CAUTION),
        Check("hook fatigue", STRESS, s_a, S_eb, n_h, c.S_required, GERBER, required, CAUTION),
        Check("hook torsion fatigue", STRESS, t_a, S_e, n_t, c.S_required, GERBER, required, CAUTION),
    )
