"""Helical torsion spring on a pin: rate, bending stress, room for the pin when wound up, fatigue. SI throughout."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from layshaft.mechanics.margin import margin
from layshaft.mechanics.spring_wire import BOOK, GERBER, fatigue_factor, tensile_strength
from layshaft.trace.checks import Check
from layshaft.trace.formula import formula, group, named, remark_if
from layshaft.trace.inputs import Inputs, quantity
from layshaft.trace.source import STATICS, Source
from layshaft.trace.units import (
    COUNT,
    LENGTH,
    RATIO,
    STRESS,
    TORQUE,
    Angle,
    Count,
    Energy,
    Length,
    Ratio,
    Stress,
    Torque,
    TorsionalStiffness,
)

RATE = Source(BOOK, "eq. 10-51, rate of real torsion springs", "from memory")
EXACT = Source("Bhandari, Design of Machine Elements, ch. 10", "helical torsion spring, pure bending", "read")
BENDING = Source(BOOK, "eq. 10-43 and 10-44, bending of a curved wire", "from memory")
WOUND = Source(BOOK, "eq. 10-52 and 10-53, diameter when wound up", "from memory")
FATIGUE = Source(BOOK, "eq. 10-59, table 10-10", "from memory")
WIRE = {"d": "diameter of the wire", "D": "mean diameter of the coil", "M": "torque"}
STORED = Source("work with stored energy", "hold, let down, lock", "common practice")
CAUTION = (
    "A wound spring strikes with its legs when it slips off. Load it so that it winds up and not open, keep its legs "
    "captive, wear goggles, and let it down before anything near it is opened.")


@dataclass(frozen=True, kw_only=True)
class TorsionSpringInputs(Inputs):
    """A helical torsion spring that is wound up over a pin."""

    M: Torque = quantity("largest torque", TORQUE, above=0)
    M_least: Torque = quantity("least torque", TORQUE, at_least=0)
    d: Length = quantity("diameter of the wire", LENGTH, above=0)
    D: Length = quantity("mean diameter of the coil", LENGTH, above=0)
    N_b: Count = quantity("turns of the body", COUNT, above=0)
    l_1: Length = quantity("length of the first leg", LENGTH, at_least=0)
    l_2: Length = quantity("length of the second leg", LENGTH, at_least=0)
    D_p: Length = quantity("diameter of the pin inside", LENGTH, above=0)
    A: Stress = quantity("strength of a wire of one millimetre", STRESS, above=0)
    m: Ratio = quantity("exponent of the wire", RATIO, at_least=0)
    E: Stress = quantity("modulus of elasticity", STRESS, above=0)
    share: Ratio = quantity("share of the tensile strength before it sets", RATIO, above=0, at_most=1)
    share_f: Ratio = quantity("share it bears a million times from nothing", RATIO, above=0, at_most=1)
    S_required: Ratio = quantity("required margin", RATIO, above=0)


@dataclass(frozen=True, slots=True)
class TorsionSpringRating:
    """Rate, angle and stored energy, and the checks."""

    k: TorsionalStiffness
    theta: Angle
    E_s: Energy
    checks: tuple[Check, ...]


@formula("C", "spring index", STATICS, where=WIRE)
def spring_index(D: Length, d: Length) -> Ratio:
    """Coil over wire."""
    return D / d


@formula("N_a", "active turns", RATE, where=WIRE)
def active_turns(N_b: Count, l_1: Length, l_2: Length, D: Length) -> Count:
    """Straight legs bend like a third of their length in the coil."""
    return N_b + (l_1 + l_2) / (3 * np.pi * D)


@formula("k_0", "rate without friction between turns", EXACT, where=WIRE)
def exact_rate(d: Length, E: Stress, D: Length, N_a: Count) -> TorsionalStiffness:
    """A bar as long as the active turns in pure bending."""
    return d**4 * E / (64 * D * N_a)


@formula("k", "rate", RATE, where=WIRE)
def spring_rate(d: Length, E: Stress, D: Length, N_a: Count) -> TorsionalStiffness:
    """As springs are measured: 10.8 where pure bending gives 10.2 a turn."""
    return d**4 * E / (10.8 * 2 * np.pi * D * N_a)


@formula("theta", "angle at the largest torque", STATICS, where=WIRE)
def wind_angle(M: Torque, k: TorsionalStiffness) -> Angle:
    """Torque over rate."""
    return M / k


@formula("E_s", "stored energy", STATICS, where=WIRE)
def stored_energy(M: Torque, theta: Angle) -> Energy:
    """Half of torque times angle."""
    return M * theta / 2


@formula("K_i", "factor for curvature, inside", BENDING, outside="the coil is no wider than its wire")
def inner_factor(C: Ratio) -> Ratio:
    """The inside of the coil is bent harder."""
    return (4 * C**2 - C - 1) / (4 * C * np.where(C > 1, C - 1, np.nan))


@formula("sigma", "bending stress inside", BENDING, where=WIRE)
def bending_stress(K_i: Ratio, M: Torque, d: Length) -> Stress:
    """The torque bends the wire of the coil."""
    return K_i * 32 * M / (np.pi * d**3)


@formula("S_y", "strength against setting", BENDING, where={
    "share": "share of the tensile strength", "R_m": "tensile strength of the wire"})
def stress_share(share: Ratio, R_m: Stress) -> Stress:
    """A share of the tensile strength, by wire."""
    return share * R_m


@formula("theta_c", "angle of the body alone", WOUND, where=WIRE)
def body_angle(M: Torque, d: Length, E: Stress, D: Length, N_b: Count) -> Angle:
    """Without the legs: only this draws the coil together."""
    return M * 10.8 * 2 * np.pi * D * N_b / (d**4 * E)


@formula("D_w", "mean diameter when wound up", WOUND, where=WIRE)
def wound_diameter(N_b: Count, D: Length, theta_c: Angle) -> Length:
    """The same wire makes more turns, so each is smaller."""
    return N_b * D / (N_b + theta_c / (2 * np.pi))


@formula("D_in", "inside diameter when wound up", WOUND, where=WIRE)
def inside_diameter(D_w: Length, d: Length) -> Length:
    """What is left for the pin."""
    return D_w - d


@formula("M_a", "alternating part of the torque", STATICS, where={**WIRE, "M_least": "least torque"},
         outside="the least torque is above the largest")
def halved_swing(M: Torque, M_least: Torque) -> Torque:
    """Half of the swing."""
    return np.where(M_least <= M, (M - M_least) / 2, np.nan)


@formula("M_m", "mean torque", STATICS, where={**WIRE, "M_least": "least torque"})
def halved_sum(M: Torque, M_least: Torque) -> Torque:
    """The middle of the swing."""
    return (M + M_least) / 2


@formula("S_e", "endless strength, swinging about nothing", FATIGUE, where={
    "R_m": "tensile strength of the wire"}, version=2,
         outside="half of the stress is beyond the tensile strength")
def endless_strength(S_r: Stress, R_m: Stress) -> Stress:
    """The Gerber line through half of a stress that comes and goes, carried back to no mean stress."""
    return S_r / 2 / np.where(S_r < 2 * R_m, 1 - (S_r / 2 / R_m) ** 2, np.nan)


def rate(c: TorsionSpringInputs) -> TorsionSpringRating:
    """Rate one torsion spring, or many at once when the inputs are arrays."""
    with group("Torsion spring"):
        c = c.record()
        K_i = inner_factor(spring_index(c.D, c.d))
        k = spring_rate(c.d, c.E, c.D, active_turns(c.N_b, c.l_1, c.l_2, c.D))
        theta = wind_angle(c.M, k)
        E_s = stored_energy(c.M, theta)
        R_m = tensile_strength(c.A, c.d, c.m)
        sigma = bending_stress(K_i, c.M, c.d)
        S_y = stress_share(c.share, R_m)
        S_1 = named("S_1", margin(S_y, sigma), "margin against setting")
        D_in = inside_diameter(wound_diameter(c.N_b, c.D, body_angle(c.M, c.d, c.E, c.D, c.N_b)), c.d)
        S_2 = named("S_2", margin(D_in, c.D_p), "inside diameter over the pin")
        s_a = named("sigma_a", bending_stress(K_i, halved_swing(c.M, c.M_least), c.d), "alternating stress")
        s_m = named("sigma_m", bending_stress(K_i, halved_sum(c.M, c.M_least), c.d), "mean stress")
        S_e = endless_strength(named("S_r", stress_share(c.share_f, R_m), "stress borne a million times"), R_m)
        n_f = fatigue_factor(s_a, s_m, S_e, R_m)
        remark_if(True, CAUTION, STORED)
    required = c.origins["S_required"]
    return TorsionSpringRating(k, theta, E_s, (
        Check("spring set", STRESS, sigma, S_y, S_1, c.S_required, BENDING, required, CAUTION),
        Check("pin clearance", LENGTH, c.D_p, D_in, S_2, c.S_required, WOUND, required),
        Check("spring fatigue", STRESS, s_a, S_e, n_f, c.S_required, GERBER, required, CAUTION),
    ))
