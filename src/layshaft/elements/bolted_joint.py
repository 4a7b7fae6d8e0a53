"""Bolts that clamp a foot, flange or housing to a frame.

The clamped faces carry force across by friction: what slips has failed, long before a bolt is sheared.
Pull and tilting take clamping force away; a soft joint loses more than a stiff one. If the preload is
lost altogether the bolts must still hold by themselves. Left out, since no method here rates them:
fatigue of the thread, stripping of nut or tapped hole, pressure under the head, prying of thin feet,
and preload lost to paint, gaskets and settling.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np

from layshaft.mechanics import threads
from layshaft.mechanics.margin import margin
from layshaft.trace.checks import Check
from layshaft.trace.formula import chosen, formula, group, named, remark_if
from layshaft.trace.inputs import Inputs, quantity
from layshaft.trace.source import MECHANICS_OF_MATERIALS, STATICS, Source
from layshaft.trace.units import (
    ANGLE,
    COUNT,
    FORCE,
    LENGTH,
    RATIO,
    STRESS,
    TORQUE,
    Area,
    Count,
    Force,
    Length,
    Ratio,
    Stress,
    Torque,
)

JOINT = Source("Shigley's Mechanical Engineering Design, 9th ed.", "preloaded tension joints, eq. 8-24 to 8-30",
               "second text")
MARGIN = Source("required margin of a bolted joint", "", "common practice")
STEEL = Source("Young's modulus of steel, handbooks", "", "common practice")
HALF_ANGLE = Source("Shigley's Mechanical Engineering Design, 9th ed.", "30 degrees for steel, iron and aluminium",
                    "second text")
NOT_IN = ("Fatigue, thread stripping and pressure under the head are not in it. Mark the bolts, and look at them "
          "before a show.")
LAST = "If the preload is lost. A joint that lives on this has failed already: it works loose and frets."


@dataclass(frozen=True, kw_only=True)
class JointInputs(Inputs):
    """Equal bolts in rows along and across the face; loads as sizes, the pull positive away from the face."""

    N: Force = quantity("pull away from the face, below zero where it presses", FORCE)
    V_a: Force = quantity("force across, along the first rows", FORCE, at_least=0)
    V_c: Force = quantity("force across, square to the first rows", FORCE, at_least=0)
    M_a: Torque = quantity("moment that tilts the part along the first rows", TORQUE, at_least=0)
    M_c: Torque = quantity("moment that tilts the part square to them", TORQUE, at_least=0)
    T: Torque = quantity("twist about the normal of the face", TORQUE, at_least=0)
    n_a: Count = quantity("bolts in a row along", COUNT, at_least=1)
    n_c: Count = quantity("bolts in a row across", COUNT, at_least=1)
    l_a: Length = quantity("distance of the outermost bolts along, or from a single bolt to the edge", LENGTH, above=0)
    l_c: Length = quantity("distance of the outermost bolts across, or from a single bolt to the edge", LENGTH, above=0)
    d: Length = quantity("outside diameter of the thread", LENGTH, above=0)
    P: Length = quantity("pitch of the thread", LENGTH, above=0)
    S_p: Stress = quantity("proof strength", STRESS, above=0)
    R_e: Stress = quantity("yield strength of the bolt", STRESS, above=0)
    T_A: Torque = quantity("tightening torque", TORQUE, above=0)
    K: Ratio = quantity("nut factor", RATIO, above=0)
    s: Ratio = quantity("scatter of the preload about its mean, as a share", RATIO, at_least=0, at_most=0.99)
    l_g: Length = quantity("grip, thickness of all that is clamped", LENGTH, above=0)
    E_m: Stress = quantity("Young's modulus of what is clamped", STRESS, above=0)
    mu: Ratio = quantity("friction of the clamped faces", RATIO, at_least=0)
    S_p_required: Ratio = quantity("required margin on the proof load", RATIO, above=0)
    S_o_required: Ratio = quantity("required margin on opening of the joint", RATIO, above=0)
    S_s_required: Ratio = quantity("required margin on slip", RATIO, above=0)
    S_v_required: Ratio = quantity("required margin on the bolt without preload", RATIO, above=0)


@dataclass(frozen=True, slots=True)
class JointRating:
    """Preload, pull on the hardest loaded bolt and margins."""

    F: Force
    F_P: Force
    F_V: Force
    checks: tuple[Check, ...]


@formula("n", "number of bolts", STATICS)
def bolts(n_a: Count, n_c: Count) -> Count:
    """Rows along times rows across."""
    return n_a * n_c


@formula("F_M", "pull of the moments on a bolt of the edge row", STATICS)
def tilting_pull(M_a: Torque, l_a: Length, n_c: Count, M_c: Torque, l_c: Length, n_a: Count) -> Force:
    """The part tilts over one row or edge, and the row at the far end holds it; rows between are left out."""
    return M_a / (l_a * n_c) + M_c / (l_c * n_a)


@formula("F_P", "outside pull on the hardest loaded bolt", STATICS)
def outside_pull(N: Force, n: Count, F_M: Force) -> Force:
    """Its share of the pull and of the moments; what presses takes away from it."""
    return np.maximum(N / n + F_M, 0)


@formula("F_N", "mean outside pull on a bolt", STATICS)
def mean_pull(N: Force, n: Count) -> Force:
    """Moments press on the one side what they lift on the other; what presses is not counted as help."""
    return np.maximum(N / n, 0)


@formula("x", "distance of the corner bolts from the middle, along", STATICS)
def reach_along(l_a: Length, n_a: Count) -> Length:
    """Half the pattern, nought for a single row."""
    return np.where(n_a > 1, l_a / 2, 0.0)


@formula("y", "distance of the corner bolts from the middle, across", STATICS)
def reach_across(l_c: Length, n_c: Count) -> Length:
    """Half the pattern, nought for a single row."""
    return np.where(n_c > 1, l_c / 2, 0.0)


@formula("q", "corner bolts times their distance squared", STATICS, outside="one bolt alone cannot hold a twist")
def corner_spread(x: Length, y: Length, n_a: Count, n_c: Count) -> Area:
    """Bolts at the corners alone resist the twist; those between are left out."""
    return np.where(np.maximum(n_a, n_c) > 1, np.minimum(n_a, 2) * np.minimum(n_c, 2) * (x**2 + y**2), np.nan)


@formula("F_V", "force across on the hardest loaded bolt", STATICS, outside="one bolt alone cannot hold a twist")
def shear_force(V_a: Force, V_c: Force, n: Count, T: Torque, x: Length, y: Length, q: Area) -> Force:
    """Equal shares of the force, and the twist square to the line from the middle, added as vectors at a corner."""
    return np.where(T == 0, np.hypot(V_a, V_c) / n, np.hypot(V_a / n + T * y / q, V_c / n + T * x / q))


@formula("F_o", "clamping force the pull takes away", JOINT, where={"C_o": "share of the pull that reaches the bolt"})
def taken_away(C_o: Ratio, F_P: Force) -> Force:
    """The share of the pull that the joint gives up."""
    return (1 - C_o) * F_P


@formula("F_R", "friction of the faces under one bolt", JOINT, where={"F_c": "clamping force left under one bolt"})
def friction_force(mu: Ratio, F_c: Force) -> Force:
    """Friction times the clamping force that is left; nought where the joint is open."""
    return mu * np.maximum(F_c, 0)


@formula("A", "area of the shank", MECHANICS_OF_MATERIALS)
def shank_area(d: Length) -> Area:
    """Stiffest the bolt can be."""
    return math.pi / 4 * d**2


@formula("sigma_v", "stress of a bolt without preload", MECHANICS_OF_MATERIALS)
def loose_stress(F_P: Force, F_V: Force, A_s: Area) -> Stress:
    """Pull and shear through the thread, by distortion energy."""
    return np.hypot(F_P, 3**0.5 * F_V) / A_s


@formula("slack", "mean preload under a third of the proof load", JOINT, where={
    "F": "preload at the tightening torque", "F_p": "proof load"})
def slack(F: Force, F_p: Force) -> Count:
    """1 where the remark applies, else 0."""
    return np.where(F < F_p / 3, 1.0, 0.0)


def rate(j: JointInputs) -> JointRating:
    """Rate one joint, or many at once when the inputs are arrays."""
    with group("Load on the hardest loaded bolt"):
        j = j.record()
        n = bolts(j.n_a, j.n_c)
        F_P = outside_pull(j.N, n, tilting_pull(j.M_a, j.l_a, j.n_c, j.M_c, j.l_c, j.n_a))
        x, y = reach_along(j.l_a, j.n_a), reach_across(j.l_c, j.n_c)
        F_V = shear_force(j.V_a, j.V_c, n, j.T, x, y, corner_spread(x, y, j.n_a, j.n_c))
    with group("Preload"):
        A_s = threads.stress_area(threads.flank_diameter(j.d, j.P), threads.core_diameter(j.d, j.P))
        F_p = threads.proof_load(A_s, j.S_p)
        F = threads.preload(j.T_A, j.K, j.d)
        F_min, F_max = threads.lowest_preload(F, j.s), threads.highest_preload(F, j.s)
        C = _share(j, shank_area(j.d), "C", "share of the pull that reaches a bolt of full shank")
        C_o = _share(j, A_s, "C_o", "share of the pull that reaches a bolt threaded all along")
        remark_if(slack(F, F_p), "The bolts are tightened to less than a third of their proof load: such joints work "
                  "loose. Tighten more, or take smaller bolts.", JOINT)
    with group("Joint"):
        F_b = threads.bolt_pull(F_max, C, F_P)
        F_o = taken_away(C_o, F_P)
        F_R = friction_force(j.mu, threads.clamping_force(F_min, C_o, mean_pull(j.N, n)))
        sigma_v = loose_stress(F_P, F_V, A_s)
    return JointRating(F, F_P, F_V, _checks(j, (F_b, F_p), (F_o, F_min), (F_V, F_R), sigma_v))


def _share(j: JointInputs, A: Area, symbol: str, meaning: str) -> Ratio:
    """How much of a pull reaches the bolt, with steel bolts and parts of one material between the heads."""
    E_b = chosen("E_b", "Young's modulus of the bolt", STRESS, 206e9, why="steel", source=STEEL)
    alpha = chosen("alpha", "half the angle of the cone of pressure", ANGLE, math.pi / 6, why="the usual one",
                   source=HALF_ANGLE)
    k_m = threads.clamped_stiffness(j.E_m, j.d, j.l_g, alpha)
    return named(symbol, threads.stiffness_share(threads.bolt_stiffness(A, E_b, j.l_g), k_m), meaning)


Pair = tuple[Force, Force]


def _checks(j: JointInputs, proof: Pair, opening: Pair, slip: Pair, sigma_v: Stress) -> tuple[Check, ...]:
    """Demand and rating of each way to fail."""
    S_p = named("S_p_bolt", margin(proof[1], proof[0]), "margin on the proof load")
    S_o = named("S_o", margin(opening[1], opening[0]), "margin on opening of the joint")
    S_s = named("S_s", margin(slip[1], slip[0]), "margin on slip")
    S_v = named("S_v", margin(j.R_e, sigma_v), "margin of the bolt without preload")
    return (
        Check("bolt proof load", FORCE, *proof, S_p, j.S_p_required, JOINT, MARGIN, NOT_IN),
        Check("joint opening", FORCE, *opening, S_o, j.S_o_required, JOINT, MARGIN),
        Check("joint slip", FORCE, *slip, S_s, j.S_s_required, JOINT, MARGIN),
        Check("bolt without preload", STRESS, sigma_v, j.R_e, S_v, j.S_v_required, MECHANICS_OF_MATERIALS, MARGIN,
              LAST),
    )
