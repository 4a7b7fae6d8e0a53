"""One section of a shaft at a notch: endless life and yield, by distortion energy.

A moment that stands still in space turns with respect to the shaft and is fully alternating; the
torque has a mean and an alternating part. The notch factors stay in the mean term, which is on the
safe side; against yield they count only where the file asks for it.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from layshaft.elements.shaft.second import Ours, opinions
from layshaft.mechanics import endurance, notch
from layshaft.mechanics.margin import margin
from layshaft.trace.checks import Check
from layshaft.trace.formula import chosen, formula, group, named, remark_if
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

ADVICE = Source("fillets of shafts", obtained="common practice")
MARGIN = Source("required margin of a shaft",
                "1.5 known loads, 2 guessed loads, 2.5 if a break drops a weight", "common practice")
DRY = ("Holds for a shaft kept free of rust: corrosion or fretting can halve the endurance limit. "
       "Notch factors stay in the mean stress.")
SHARP_CORNER = ("The notch radius is under a fiftieth of the diameter. Where a bearing asks for a small "
                "radius, an undercut or a relieved spacer saves the shaft.")
DUCTILE = ("A notch in ductile steel yields locally and holds: its factor counts against yield only where the file "
           "asks for it.")


@dataclass(frozen=True, kw_only=True)
class SectionInputs(Inputs):
    """One section with its loads, its worst notch and its steel."""

    d: Length = quantity("diameter of the section", LENGTH, above=0)
    M: Torque = quantity("bending moment that turns with respect to the shaft", TORQUE, at_least=0)
    M_m: Torque = quantity("bending moment steady in the shaft", TORQUE)
    T_m: Torque = quantity("mean torque", TORQUE)
    T_a: Torque = quantity("alternating torque", TORQUE)
    F_a: Force = quantity("axial force", FORCE)
    K_t: Ratio = quantity("stress concentration of the notch, bending", RATIO, at_least=1)
    K_ts: Ratio = quantity("stress concentration of the notch, torsion", RATIO, at_least=1)
    tested: Count = quantity("1 where the two factors come from fatigue tests, else 0", COUNT,
                             at_least=0, at_most=1)
    r: Length = quantity("notch radius", LENGTH, at_least=0)
    R_m: Stress = quantity("tensile strength", STRESS, above=0)
    R_e: Stress = quantity("yield strength", STRESS, above=0)
    a_s: Ratio = quantity("surface constant, for strength in MPa", RATIO, above=0)
    b_s: Ratio = quantity("surface exponent", RATIO, at_most=0)
    z_a: Ratio = quantity("standard deviations below the mean endurance limit", RATIO, at_least=0)
    w_b: Ratio = quantity("whole section modulus over what a hole leaves, bending", RATIO, at_least=1)
    w_t: Ratio = quantity("whole section modulus over what a hole leaves, torsion", RATIO, at_least=1)
    counted: Ratio = quantity("1 where notch factors count against yield, else 0", RATIO, at_least=0, at_most=1)
    beta_b: Ratio = quantity("fatigue notch factor by DIN 743, bending", RATIO, at_least=0.8)
    beta_t: Ratio = quantity("fatigue notch factor by DIN 743, torsion", RATIO, at_least=0.8)
    beta_tested: Count = quantity("1 where these two come from fatigue tests, else 0", COUNT, at_least=0, at_most=1)
    R_z: Length = quantity("mean roughness depth", LENGTH, above=0)
    S_D_required: Ratio = quantity("required margin against fatigue", RATIO, above=0)
    S_F_required: Ratio = quantity("required margin against yield", RATIO, above=0)


@dataclass(frozen=True, slots=True)
class SectionRating:
    """Notch factors, endurance limit and the two margins."""

    K_f: Ratio
    K_fs: Ratio
    S_e: Stress
    S_D: Ratio
    S_F: Ratio
    checks: tuple[Check, ...]


def rate(s: SectionInputs) -> SectionRating:
    """Rate one section, or many at once; the caller keeps the checks that fit the case of a row."""
    with group("Shaft section"):
        s = s.record()
        K_f, K_fs = _notch_factors(s)
        S_e, k_a, k_b, k_e = _endurance_limit(s)
        sigma_a = named("sigma_a", endurance.equivalent_stress(
            endurance.alternating_moment(K_f, s.M, K_fs, s.T_a), s.d), "alternating equivalent stress")
        sigma_m = named("sigma_m", endurance.equivalent_stress(
            endurance.mean_moment(K_f, s.M_m, s.F_a, s.d, K_fs, s.T_m), s.d), "mean equivalent stress")
        sigma_r = named("sigma_r", endurance.reversed_stress(sigma_a, sigma_m, S_e, s.R_m))
        S_D = named("S_D", margin(S_e, sigma_r), "margin against fatigue")
        K_y = named("K_y", notch_in_yield(K_f, s.counted, s.w_b), "factor counted against yield, bending")
        K_ys = named("K_ys", notch_in_yield(K_fs, s.counted, s.w_t), "factor counted against yield, torsion")
        sigma_v = named("sigma_v", endurance.equivalent_stress(
            endurance.greatest_moment(K_y, s.M, s.M_m, s.F_a, s.d, K_ys, s.T_m, s.T_a), s.d),
            "greatest equivalent stress")
        S_F = named("S_F", margin(s.R_e, sigma_v), "margin against yield")
        remark_if(sharp(s.r, s.d, s.K_t, s.tested), SHARP_CORNER, ADVICE)
        beside = opinions(s, Ours(k_a, k_b, k_e, K_f, S_e, sigma_a, sigma_m, sigma_r, S_D))
    return SectionRating(K_f, K_fs, S_e, S_D, S_F, (
        Check("fatigue", STRESS, sigma_r, S_e, S_D, s.S_D_required, endurance.GOODMAN, MARGIN, DRY, beside.fatigue),
        Check("yield", STRESS, sigma_v, s.R_e, S_F, s.S_F_required, endurance.YIELD, MARGIN, DUCTILE,
              beside.against_yield),
    ))


@formula("K_y", "factor counted against yield", endurance.YIELD, where={
    "K": "fatigue notch factor", "counted": "1 where it counts against yield, else 0",
    "w": "whole section modulus over what a hole leaves",
}, version=2)
def notch_in_yield(K: Ratio, counted: Ratio, w: Ratio) -> Ratio:
    """Local yielding evens out a notch in ductile steel; brittle steel and cautious readers count it."""
    return np.maximum(w, 1 + (K - 1) * counted)


def _notch_factors(s: SectionInputs) -> tuple[Ratio, Ratio]:
    q = notch.sensitivity(notch.neuber_bending(s.R_m), s.r)
    q_s = named("q_s", notch.sensitivity(notch.neuber_torsion(s.R_m), s.r), "notch sensitivity, torsion")
    return (named("K_f", notch.fatigue_factor(s.K_t, q, s.tested), "fatigue notch factor, bending"),
            named("K_fs", notch.fatigue_factor(s.K_ts, q_s, s.tested), "fatigue notch factor, torsion"))


def _endurance_limit(s: SectionInputs) -> tuple[Stress, Ratio, Ratio, Ratio]:
    """The limit, and its factors for surface, size and reliability."""
    k_c = chosen("k_c", "load factor", RATIO, 1.0, source=endurance.MARIN,
                 why="bending and torsion are joined by distortion energy, which holds the factor already",
                 candidates=("1 joined by distortion energy", "0.85 axial alone", "0.59 torsion alone"))
    k_d = chosen("k_d", "temperature factor", RATIO, 1.0, source=endurance.MARIN,
                 why="the shaft works between frost and summer heat")
    k_a, k_b = endurance.surface_factor(s.a_s, s.R_m, s.b_s), endurance.size_factor(s.d)
    k_e = endurance.reliability_factor(s.z_a)
    S_e = named("S_e", endurance.endurance_limit(k_a, k_b, k_c, k_d, k_e, endurance.bar_limit(s.R_m)))
    return S_e, k_a, k_b, k_e


@formula("sharp", "sharp corner", ADVICE)
def sharp(r: Length, d: Length, K_t: Ratio, tested: Count) -> Count:
    """1 where the remark applies, else 0."""
    return np.where((r < d / 50) & (K_t > 1) & (tested < 1), 1.0, 0.0)
