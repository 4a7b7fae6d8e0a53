"""Clamp hub: two halves, or one slit ring, that screws pull together round the shaft.

Torque is carried by friction alone. How the pressure spreads round the shaft is not known: with play in the bore
it is two lines, with a close fit nearly even, and the torque lies between both. The screws' pull scatters: slip
is rated with the lowest, screw and pressure with the highest.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np

from layshaft.mechanics import rings, threads
from layshaft.mechanics.margin import margin
from layshaft.trace.checks import Check
from layshaft.trace.formula import formula, governs, group, named, remark_if
from layshaft.trace.inputs import Inputs, quantity
from layshaft.trace.source import Source
from layshaft.trace.units import (
    COUNT,
    FORCE,
    LENGTH,
    RATIO,
    STRESS,
    TORQUE,
    Count,
    Force,
    Length,
    Ratio,
    Stress,
    Torque,
)

CLAMP = Source("Roloff/Matek, Maschinenelemente", "clamped joints: even, cosine and line pressure", "from memory")
SLIP = Source("required margin on slip of a clamped hub", "1.5 to 2", "common practice")
PROOF = Source("required margin on the proof load of a screw", "the limit is the requirement", "common practice")
CRUSH = Source("required margin on pressure under a clamp", "design factor on yield", "common practice")
EVEN = math.pi / 2
LINE = 1.0
"""How the pressure spreads where the hub touches on two lines."""


@dataclass(frozen=True, kw_only=True)
class ClampHubInputs(Inputs):
    """One clamped hub with all its screws alike."""

    T: Torque = quantity("torque through the hub", TORQUE, at_least=0)
    F_a: Force = quantity("force along the shaft", FORCE, at_least=0)
    d: Length = quantity("shaft diameter", LENGTH, above=0)
    L: Length = quantity("length of the hub on the shaft", LENGTH, above=0)
    mu: Ratio = quantity("coefficient of friction", RATIO, above=0)
    c: Ratio = quantity("how the pressure spreads: 1 on two lines, pi/2 evenly", RATIO, at_least=1, at_most=EVEN)
    z: Count = quantity("screws in all", COUNT, at_least=1)
    d_b: Length = quantity("outside diameter of the thread", LENGTH, above=0)
    P: Length = quantity("pitch of the thread", LENGTH, above=0)
    S_p: Stress = quantity("proof strength of the screws", STRESS, above=0)
    T_A: Torque = quantity("tightening torque of each screw", TORQUE, above=0)
    K: Ratio = quantity("nut factor", RATIO, above=0)
    s: Ratio = quantity("scatter of the preload about its mean, as a share", RATIO, at_least=0, at_most=0.99)
    l_s: Length = quantity("distance from hinge to screws", LENGTH, above=0)
    l_d: Length = quantity("distance from hinge to shaft axis", LENGTH, above=0)
    R_e_shaft: Stress = quantity("yield strength, shaft", STRESS, above=0)
    R_e_hub: Stress = quantity("yield strength, hub", STRESS, above=0)
    S_slip: Ratio = quantity("required margin on slip", RATIO, above=0)
    S_screw: Ratio = quantity("required margin on the proof load", RATIO, above=0)
    S_crush: Ratio = quantity("required margin on pressure", RATIO, above=0)


@dataclass(frozen=True, slots=True)
class ClampHubRating:
    """Torque held at the lowest pull of the screws, and at the bound of even pressure."""

    T_h: Torque
    T_even: Torque
    p: Stress
    checks: tuple[Check, ...]


@formula("F_N", "force that closes the hub on the shaft", CLAMP, where={"F": "pull of one screw"})
def closing_force(z: Count, F: Force, l_s: Length, l_d: Length) -> Force:
    """All screws together, with the lever of a hinge; a hub of two halves has no hinge and a lever of one."""
    return z * F * l_s / l_d


@formula("T_h", "torque the clamp holds", CLAMP, where={"F_N": "force that closes the hub on the shaft"})
def clamp_torque(c: Ratio, mu: Ratio, F_N: Force, d: Length) -> Torque:
    """Two lines carry friction times force times diameter; spread evenly the same force carries half pi times that."""
    return c * mu * F_N * d


@formula("T_even", "torque at most, pressed evenly", CLAMP, where={"F_N": "force that closes the hub on the shaft"})
def even_torque(mu: Ratio, F_N: Force, d: Length) -> Torque:
    """The upper bound, whatever the fit."""
    return math.pi / 2 * mu * F_N * d


@formula("p", "mean pressure on the shaft", CLAMP, where={"F_N": "force that closes the hub on the shaft"})
def clamp_pressure(F_N: Force, d: Length, L: Length) -> Stress:
    """Force over the projected area of the bore."""
    return F_N / (d * L)


@formula("loose", "an even pressure is counted on", CLAMP)
def counts_on_even(c: Ratio) -> Count:
    """1 where the remark applies, else 0."""
    return np.where(c > LINE, 1.0, 0.0)


def rate(k: ClampHubInputs) -> ClampHubRating:
    """Rate one clamped hub, or many at once when the inputs are arrays."""
    with group("Screws"):
        k = k.record()
        A_s = threads.stress_area(threads.flank_diameter(k.d_b, k.P), threads.core_diameter(k.d_b, k.P))
        F = threads.preload(k.T_A, k.K, k.d_b)
        F_min, F_max = threads.lowest_preload(F, k.s), threads.highest_preload(F, k.s)
        F_p = threads.proof_load(A_s, k.S_p)
        S_b = named("S_b", margin(F_p, F_max), "margin on the proof load")
    with group("Clamp hub"):
        F_N = closing_force(k.z, F_min, k.l_s, k.l_d)
        T_h = clamp_torque(k.c, k.mu, F_N, k.d)
        T_even = even_torque(k.mu, F_N, k.d)
        asked = rings.joint_demand(k.T, k.F_a, k.d)
        S_f = named("S_f", margin(T_h, asked), "margin on slip")
        most = named("F_Nmax", closing_force(k.z, F_max, k.l_s, k.l_d), "largest force that closes the hub")
        p = clamp_pressure(most, k.d, k.L)
        weakest = governs("R_e_min", "yield strength, weaker of both", STRESS,
                          {"shaft": k.R_e_shaft, "hub": k.R_e_hub}, CLAMP, pick="smallest")
        S_p = named("S_p", margin(weakest, p), "margin on pressure")
        remark_if(counts_on_even(k.c), "An even pressure is counted on: that takes a bore without play on the shaft, "
                  "such as H7/k6. With play only two lines touch, and a third of the torque is lost.", CLAMP)
    return ClampHubRating(T_h, T_even, p, (
        Check("clamp slip", TORQUE, asked, T_h, S_f, k.S_slip, CLAMP, SLIP),
        Check("clamp screw load", FORCE, F_max, F_p, S_b, k.S_screw, threads.STRESS_AREA, PROOF),
        Check("clamp pressure", STRESS, p, weakest, S_p, k.S_crush, CLAMP, CRUSH),
    ))
