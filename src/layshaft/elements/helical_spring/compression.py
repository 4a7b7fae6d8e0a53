"""Compression spring with squared and ground ends: set, solid length, clash, buckling, fatigue, surge."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from layshaft.elements.helical_spring.coil import (
    CAUTION,
    SHARES,
    SHEAR,
    STORED,
    bergstraesser_factor,
    deflection,
    halved_sum,
    halved_swing,
    shear_strength,
    shear_stress,
    spring_energy,
    spring_index,
    spring_rate,
    stress_share,
)
from layshaft.mechanics.margin import margin
from layshaft.mechanics.spring_wire import BOOK, GERBER, endless_strength, fatigue_factor, tensile_strength
from layshaft.trace.checks import Check
from layshaft.trace.formula import formula, group, named, remark_if
from layshaft.trace.inputs import Inputs, quantity
from layshaft.trace.source import Source
from layshaft.trace.units import (
    COUNT,
    DENSITY,
    FORCE,
    LENGTH,
    RATIO,
    SPEED,
    STRESS,
    Count,
    Density,
    Energy,
    Force,
    Length,
    Mass,
    Ratio,
    Speed,
    Stiffness,
    Stress,
)

SOLID = Source(BOOK, "table 10-1, squared and ground ends", "from memory")
CLASH = Source(BOOK, "eq. 10-17, force when solid over the largest in use", "from memory")
BUCKLING = Source(BOOK, "eq. 10-12, absolute stability of steel springs", "from memory")
SURGE = Source(BOOK, "eqs. 10-25 and 10-27, spring between two plates", "from memory")
WIRE = {"d": "diameter of the wire", "D": "mean diameter of the coil"}


@dataclass(frozen=True, kw_only=True)
class CompressionInputs(Inputs):
    """A compression spring between two plates."""

    F: Force = quantity("largest force", FORCE, above=0)
    F_least: Force = quantity("least force", FORCE, at_least=0)
    d: Length = quantity("diameter of the wire", LENGTH, above=0)
    D: Length = quantity("mean diameter of the coil", LENGTH, above=0)
    N_a: Count = quantity("active turns", COUNT, above=0)
    N_t: Count = quantity("all turns", COUNT, above=0)
    L_0: Length = quantity("free length", LENGTH, above=0)
    A: Stress = quantity("strength of a wire of one millimetre", STRESS, above=0)
    m: Ratio = quantity("exponent of the wire", RATIO, at_least=0)
    G: Stress = quantity("shear modulus", STRESS, above=0)
    share: Ratio = quantity("share of the tensile strength before it sets", RATIO, above=0, at_most=1)
    S_a: Stress = quantity("alternating strength of the fatigue tests", STRESS, above=0)
    S_m: Stress = quantity("mean stress of the fatigue tests", STRESS, above=0)
    alpha: Ratio = quantity("factor for how the ends are held", RATIO, above=0)
    rho: Density = quantity("density of the wire", DENSITY, above=0)
    omega: Speed = quantity("rate at which it is worked", SPEED, at_least=0)
    S_required: Ratio = quantity("required margin", RATIO, above=0)


@dataclass(frozen=True, slots=True)
class CompressionRating:
    """Rate, deflection and stored energy, and the checks."""

    k: Stiffness
    y: Length
    E_s: Energy
    checks: tuple[Check, ...]


@formula("L_s", "solid length", SOLID, where=WIRE)
def solid_length(d: Length, N_t: Count) -> Length:
    """All turns on each other, both ends ground flat."""
    return d * N_t


@formula("F_s", "force when solid", CLASH, outside="its free length is no longer than all its turns on each other")
def solid_force(k: Stiffness, L_0: Length, L_s: Length) -> Force:
    """What it takes to press all turns together."""
    return k * np.where(L_s < L_0, L_0 - L_s, np.nan)


@formula("L_cr", "free length below which it cannot buckle", BUCKLING, where=WIRE)
def buckling_length(D: Length, alpha: Ratio) -> Length:
    """Steel springs: 2.63 coil diameters, more or less by how the ends are held."""
    return 2.63 * D / alpha


@formula("m_s", "mass of the active turns", SURGE, where=WIRE)
def spring_mass(d: Length, D: Length, N_a: Count, rho: Density) -> Mass:
    """Wire section times its length in the coil."""
    return np.pi**2 * d**2 * D * N_a * rho / 4


@formula("omega_n", "first natural frequency, as a rate", SURGE, where={"m_s": "mass of the active turns"})
def surge_speed(k: Stiffness, m_s: Mass) -> Speed:
    """A wave runs through the coil and back in one swing."""
    return np.pi * np.sqrt(k / m_s)


@formula("odd", "spring index below 4 or above 12", SOLID)
def odd_index(C: Ratio) -> Count:
    """1 where the remark applies, else 0."""
    return np.where((C < 4) | (C > 12), 1.0, 0.0)


def rate(c: CompressionInputs) -> CompressionRating:
    """Rate one compression spring, or many at once when the inputs are arrays."""
    with group("Compression spring"):
        c = c.record()
        C = spring_index(c.D, c.d)
        K = bergstraesser_factor(C)
        k = spring_rate(c.d, c.G, c.D, c.N_a)
        y = deflection(c.F, k)
        E_s = spring_energy(c.F, y)
        R_m = tensile_strength(c.A, c.d, c.m)
        S_y = named("S_sy", stress_share(c.share, R_m), "shear strength against setting")
        tau = shear_stress(K, c.F, c.D, c.d)
        S_1 = named("S_1", margin(S_y, tau), "margin at the largest force")
        L_s = solid_length(c.d, c.N_t)
        F_s = solid_force(k, c.L_0, L_s)
        tau_s = named("tau_s", shear_stress(K, F_s, c.D, c.d), "shear stress when solid")
        S_2 = named("S_2", margin(S_y, tau_s), "margin when solid")
        S_3 = named("S_3", margin(F_s, c.F), "force when solid over the largest")
        L_cr = buckling_length(c.D, c.alpha)
        S_4 = named("S_4", margin(L_cr, c.L_0), "length that is stable over the free length")
        tau_a = named("tau_a", shear_stress(K, halved_swing(c.F, c.F_least), c.D, c.d), "alternating shear stress")
        tau_m = named("tau_m", shear_stress(K, halved_sum(c.F, c.F_least), c.D, c.d), "mean shear stress")
        S_su = shear_strength(R_m)
        S_e = endless_strength(c.S_a, c.S_m, S_su)
        n_f = fatigue_factor(tau_a, tau_m, S_e, S_su)
        omega_n = surge_speed(k, spring_mass(c.d, c.D, c.N_a, c.rho))
        S_5 = named("S_5", margin(omega_n, c.omega), "natural frequency over the working rate")
        remark_if(odd_index(C), "The spring index is below 4 or above 12: hard to wind, or it tangles.", SOLID)
        remark_if(True, CAUTION, STORED)
    required = c.origins["S_required"]
    return CompressionRating(k, y, E_s, (
        Check("spring set", STRESS, tau, S_y, S_1, c.S_required, SHEAR, required, CAUTION),
        Check("set when solid", STRESS, tau_s, S_y, S_2, c.S_required, SHARES, required),
        Check("coil clash", FORCE, c.F, F_s, S_3, c.S_required, CLASH, required),
        Check("spring buckling", LENGTH, c.L_0, L_cr, S_4, c.S_required, BUCKLING, required),
        Check("spring fatigue", STRESS, tau_a, S_e, n_f, c.S_required, GERBER, required, CAUTION),
        Check("spring surge", SPEED, c.omega, omega_n, S_5, c.S_required, SURGE, required),
    ))
