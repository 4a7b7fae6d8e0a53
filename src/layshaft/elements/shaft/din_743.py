"""DIN 743, load capacity of shafts and axles: fatigue and yield, beside DE-Goodman as a second opinion.

From memory, and marked so throughout: the standard itself could not be read. Steel, -40 to 150 degrees,
no corrosion, no hard layer. The strengths of its part 3 hold at the reference diameter; here the tensile
and yield strength of the bar in use come in, so that its size factor K_1 is counted already. A mean stress
grows with the alternating one (case 2), as it does when somebody pushes harder.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

import numpy as np

from layshaft.mechanics import notch, notch_cuts
from layshaft.trace.formula import formula, named
from layshaft.trace.source import MECHANICS_OF_MATERIALS, Source
from layshaft.trace.units import Count, Force, Length, Ratio, Stress, Torque

if TYPE_CHECKING:
    from layshaft.elements.shaft.section import SectionInputs

PART_1 = Source("DIN 743-1, fatigue and yield of shafts", "", "from memory")
PART_2 = Source("DIN 743-2, notch factors", "", "from memory")
PART_3 = Source("DIN 743-3, strength of steels", "usual shares of the tensile strength", "from memory")
MEGA = 1e6
MILLI = 1e-3
SHAPE = {"D": "diameter beside the notch", "d": "diameter at the notch", "r": "notch radius",
         "R_m": "tensile strength", "R_e": "yield strength"}
SHOULDER = {"bending": (0.62, 5.8, 0.2, 3.0), "torsion": (3.4, 19.0, 1.0, 2.0)}
GROOVE = {"bending": (0.20, 2.75, 0.0, 1.0), "torsion": (0.7, 10.3, 0.0, 1.0)}
"""Coefficients A, B, C and z of the form factor."""


# Notches ---------------------------------------------------------------------------------------


@formula("alpha", "form factor", PART_2, outside="the notch is sharper or lower than the form factors hold for", where={
    **SHAPE, "A": "coefficient", "B": "coefficient", "C": "coefficient", "z": "exponent",
})
def form_factor(A: Ratio, B: Ratio, C: Ratio, z: Ratio, D: Length, d: Length, r: Length) -> Ratio:
    """Shape alone, for shoulders and round grooves in bending or torsion; t = (D - d)/2."""
    return np.where((2 * r >= 0.03 * (D - d)) & (d <= 0.98 * D), 1 + 1 / np.sqrt(
        A * 2 * r / np.maximum(D - d, 0.02 * d) + 2 * B * (r / d) * (1 + 2 * r / d) ** 2
        + C * (2 * r / np.maximum(D - d, 0.02 * d)) ** z * d / D), np.nan)


@formula("alpha_b", "form factor of a cross hole, bending", PART_2, where={"d_h": "diameter of the hole", **SHAPE})
def hole_bending(d_h: Length, d: Length) -> Ratio:
    """On the stress of the section the hole leaves."""
    return 3 + 1.4 * (d_h / d) - 2.8 * np.sqrt(d_h / d)


@formula("alpha_t", "form factor of a cross hole, torsion", PART_2, where={"d_h": "diameter of the hole", **SHAPE})
def hole_torsion(d_h: Length, d: Length) -> Ratio:
    """On the stress of the section the hole leaves."""
    return 2.023 - 1.125 * np.sqrt(d_h / d)


@formula("beta", "fatigue notch factor of a cross hole on the whole bar", PART_2, where={
    "beta_n": "the same on the section the hole leaves", "w": "whole section modulus over what the hole leaves",
})
def on_whole_bar(beta_n: Ratio, w: Ratio) -> Ratio:
    """The house takes its stresses on the whole bar."""
    return beta_n * w


@formula("r", "notch radius of a hole", MECHANICS_OF_MATERIALS, where={"d_h": "diameter of the hole"})
def hole_radius(d_h: Length) -> Length:
    """Half its diameter."""
    return d_h / 2


@formula("G_r", "stress gradient times radius of a cross hole", PART_2, where={
    "g": "2.3 in bending, 1.15 in torsion", "d_h": "diameter of the hole", **SHAPE,
})
def hole_gradient(g: Ratio, d_h: Length, d: Length) -> Ratio:
    """The gradient of the notch and that of the bar add."""
    return g + d_h / d


@formula("G_r", "stress gradient times notch radius", PART_2, where={
    **SHAPE, "g": "2.3 at a shoulder, 2 at a groove, in bending",
})
def bending_gradient(g: Ratio, D: Length, d: Length, r: Length) -> Ratio:
    """A low step holds the stress closer to the surface."""
    return g * (1 + np.where(d > 0.67 * D, 1 / (np.sqrt(8 * np.maximum(D - d, 0) / r) + 2), 0))


@formula("n", "support of the material around the notch", PART_2, where={
    **SHAPE, "G_r": "stress gradient times notch radius",
})
def support(G_r: Ratio, r: Length, R_e: Stress) -> Ratio:
    """Where the stress falls off fast, soft steel feels less of it."""
    return 1 + np.sqrt(G_r * MILLI / r) * 10 ** -(0.33 + R_e / (712 * MEGA))


@formula("beta", "fatigue notch factor", PART_2, where={
    "alpha": "form factor", "n": "support of the material around the notch",
})
def notch_factor(alpha: Ratio, n: Ratio) -> Ratio:
    """What fatigue feels of the shape."""
    return alpha / n


@formula("beta_b", "fatigue notch factor of a keyway in a 40 mm shaft, bending", PART_2, where=SHAPE)
def keyway_bending_40(R_m: Stress) -> Ratio:
    """From tests, hub lightly pressed on; harder steel feels more."""
    return 3 * (R_m / (1000 * MEGA)) ** 0.38


@formula("beta_t", "fatigue notch factor of a keyway in a 40 mm shaft, torsion", PART_2, where={
    "beta_b": "fatigue notch factor in bending",
})
def keyway_torsion_40(beta_b: Ratio) -> Ratio:
    """From the same tests."""
    return 0.56 * beta_b + 0.1


@formula("beta", "fatigue notch factor of all keyways of a seat", PART_2, where={
    "beta": "fatigue notch factor of one keyway", "i": "keyways",
})
def of_keyways(beta: Ratio, i: Count) -> Ratio:
    """A second keyway opposite the first weakens the section by 15 percent more."""
    return np.where(i > 1, 1.15, 1) * beta


# Limits of the part ----------------------------------------------------------------------------


@formula("K_2", "geometric size factor", PART_2, outside="diameter under 7.5 mm", where=SHAPE)
def size_factor(d: Length) -> Ratio:
    """Falls to 0.8 at 150 mm and stays there."""
    return np.where(d >= 7.5 * MILLI, 1 - 0.2 * np.log10(np.minimum(d, 150 * MILLI) / (7.5 * MILLI)) / np.log10(20),
                    np.nan)


@formula("K_F", "roughness factor, bending", PART_2, where={**SHAPE, "R_z": "mean roughness depth"})
def roughness_factor(R_z: Length, R_m: Stress) -> Ratio:
    """Rough surfaces start cracks, in hard steel sooner; 1 below a micrometre."""
    return 1 - 0.22 * np.log10(np.maximum(1000 * R_z / MILLI, 1)) * (np.log10(R_m / (20 * MEGA)) - 1)


@formula("K_Ft", "roughness factor, torsion", PART_2, where={"K_F": "roughness factor, bending"})
def roughness_in_torsion(K_F: Ratio) -> Ratio:
    """Torsion feels roughness about half as much."""
    return 0.575 * K_F + 0.425


@formula("K_FC", "roughness factor counted", PART_2, where={
    "K_F": "roughness factor", "beta_tested": "1 where the notch factor comes from fatigue tests",
})
def counted_roughness(K_F: Ratio, beta_tested: Ratio) -> Ratio:
    """Notch factors from fatigue tests hold the roughness already."""
    return np.where(beta_tested > 0, 1, K_F)


@formula("K", "total influence", PART_1, where={
    "beta": "fatigue notch factor", "K_2": "geometric size factor", "K_F": "roughness factor counted",
})
def total_influence(beta: Ratio, K_2: Ratio, K_F: Ratio) -> Ratio:
    """Notch over size, and roughness added to it; no hard layer."""
    return beta / K_2 + 1 / K_F - 1


@formula("sigma_bWK", "fatigue limit of the part, bending", PART_3, where={**SHAPE, "K_b": "total influence, bending"})
def bending_limit(R_m: Stress, K_b: Ratio) -> Stress:
    """Half the tensile strength for a polished bar."""
    return 0.5 * R_m / K_b


@formula("tau_tWK", "fatigue limit of the part, torsion", PART_3, where={**SHAPE, "K_t": "total influence, torsion"})
def torsion_limit(R_m: Stress, K_t: Ratio) -> Stress:
    """Three tenths of the tensile strength for a polished bar."""
    return 0.3 * R_m / K_t


@formula("psi", "sensitivity to mean stress", PART_1, where={**SHAPE, "W": "fatigue limit of the part"}, version=2,
         outside="the fatigue limit is beyond twice the tensile strength")
def mean_sensitivity(W: Stress, R_m: Stress) -> Ratio:
    """Fatigue limit over twice the tensile strength less the limit."""
    return W / np.where(W < 2 * R_m, 2 * R_m - W, np.nan)


# Stresses and margins --------------------------------------------------------------------------


@formula("sigma_b", "nominal bending stress", MECHANICS_OF_MATERIALS, where={"M": "bending moment", "d": "diameter"})
def bending_stress(M: Torque, d: Length) -> Stress:
    """Moment over section modulus."""
    return 32 * np.abs(M) / (math.pi * d**3)


@formula("tau_t", "nominal torsion stress", MECHANICS_OF_MATERIALS, where={"T": "torque", "d": "diameter"})
def torsion_stress(T: Torque, d: Length) -> Stress:
    """Torque over polar section modulus."""
    return 16 * np.abs(T) / (math.pi * d**3)


@formula("sigma_z", "nominal axial stress", MECHANICS_OF_MATERIALS, where={"F_a": "axial force", "d": "diameter"})
def axial_stress(F_a: Force, d: Length) -> Stress:
    """Force over area."""
    return 4 * np.abs(F_a) / (math.pi * d**2)


@formula("sigma_mv", "equivalent mean stress", PART_1, where={
    "sigma_z": "mean axial stress", "sigma_bm": "mean bending stress", "tau_m": "mean torsion stress",
})
def equivalent_mean(sigma_z: Stress, sigma_bm: Stress, tau_m: Stress) -> Stress:
    """Joined by distortion energy."""
    return np.sqrt((sigma_z + sigma_bm) ** 2 + 3 * tau_m**2)


@formula("u_b", "used share of the fatigue limit, bending", PART_1, where={
    "sigma_a": "alternating bending stress", "psi_b": "sensitivity to mean stress, bending",
    "sigma_mv": "equivalent mean stress", "sigma_bWK": "fatigue limit of the part, bending",
})
def share_in_bending(sigma_a: Stress, psi_b: Ratio, sigma_mv: Stress, sigma_bWK: Stress) -> Ratio:
    """Case 2, the ratio of mean to alternating stress stays."""
    return (sigma_a + psi_b * sigma_mv) / sigma_bWK


@formula("u_t", "used share of the fatigue limit, torsion", PART_1, where={
    "tau_a": "alternating torsion stress", "psi_t": "sensitivity to mean stress, torsion",
    "sigma_mv": "equivalent mean stress", "tau_tWK": "fatigue limit of the part, torsion",
})
def share_in_torsion(tau_a: Stress, psi_t: Ratio, sigma_mv: Stress, tau_tWK: Stress) -> Ratio:
    """As in bending; the equivalent mean shear stress is root three times smaller."""
    return (tau_a + psi_t * sigma_mv / np.sqrt(3)) / tau_tWK


@formula("S_743", "margin against fatigue by DIN 743", PART_1, where={
    "u_b": "used share in bending", "u_t": "used share in torsion",
})
def fatigue_margin(u_b: Ratio, u_t: Ratio) -> Ratio:
    """Shares join as the sides of a right angle."""
    return 1 / np.maximum(np.hypot(u_b, u_t), 1e-6)


@formula("sigma_FK", "yield limit of the part, bending", PART_1, where={
    **SHAPE,
    "alpha": "form or notch factor, 1 where the notch is not counted",
})
def yield_limit(alpha: Ratio, R_e: Stress) -> Stress:
    """The core of a solid bar holds a fifth more than the first yield; triaxial stress at a notch up to 15 percent."""
    return 1.2 * np.where(alpha < 1.5, 1, np.where(alpha < 2, 1.05, np.where(alpha <= 3, 1.10, 1.15))) * R_e


@formula("tau_FK", "yield limit of the part, torsion", PART_1, where=SHAPE)
def shear_yield_limit(R_e: Stress) -> Stress:
    """By distortion energy, with the support of the core."""
    return 1.2 * R_e / np.sqrt(3)


@formula("sigma_max", "greatest stress on what is left", MECHANICS_OF_MATERIALS, where={
    "sigma_a": "alternating stress", "sigma_m": "mean stress", "w": "whole section modulus over what a hole leaves",
})
def together(sigma_a: Stress, sigma_m: Stress, w: Ratio) -> Stress:
    """Everything at its greatest at once."""
    return w * (sigma_a + sigma_m)


@formula("S_F743", "margin against yield by DIN 743", PART_1, where={
    "sigma_z": "greatest axial stress", "sigma_zFK": "yield limit in tension",
    "sigma_b": "greatest bending stress", "sigma_bFK": "yield limit in bending",
    "tau": "greatest torsion stress", "tau_FK": "yield limit in torsion",
})
def yield_margin(sigma_z: Stress, sigma_zFK: Stress, sigma_b: Stress, sigma_bFK: Stress, tau: Stress,
                 tau_FK: Stress) -> Ratio:
    """Shares of normal stress add, and join with that of shear."""
    return 1 / np.maximum(np.hypot(sigma_z / sigma_zFK + sigma_b / sigma_bFK, tau / tau_FK), 1e-6)


# Notch factors of a place ----------------------------------------------------------------------


def cut_factors(kind: str, D: Any, d: Any, r: Any, R_e: Any) -> tuple[Any, Any]:
    """Fatigue notch factors of a `shoulder` or `groove` in bending and torsion."""
    shape = SHOULDER if kind == "shoulder" else GROOVE
    g = (2.3, 1.15) if kind == "shoulder" else (2.0, 1.0)
    gradients = {"bending": bending_gradient(g[0], D, d, r), "torsion": g[1]}
    found = []
    for load, (A, B, C, z) in shape.items():
        alpha = named("alpha", form_factor(A, B, C, z, D, d, r))
        found.append(notch_factor(alpha, support(gradients[load], r, R_e)))
    return found[0], found[1]


def hole_factors(d_h: Any, d: Any, R_e: Any) -> tuple[Any, Any]:
    """Fatigue notch factors of a cross hole, on the stress of the whole bar."""
    r = hole_radius(d_h)
    bending = notch_factor(hole_bending(d_h, d), support(hole_gradient(2.3, d_h, d), r, R_e))
    torsion = notch_factor(hole_torsion(d_h, d), support(hole_gradient(1.15, d_h, d), r, R_e))
    w_b, w_t = notch_cuts.lost_to_hole(d_h, d)
    return on_whole_bar(bending, w_b), on_whole_bar(torsion, w_t)


def keyway_factors(R_m: Any, d: Any, i: Any) -> tuple[Any, Any]:
    """Fatigue notch factors of the keyways of a seat, converted from 40 mm to its diameter."""
    bending = keyway_bending_40(R_m)
    return of_keyways(notch.from_40(bending, d), i), of_keyways(notch.from_40(keyway_torsion_40(bending), d), i)


# The two proofs ---------------------------------------------------------------------------------


@dataclass(frozen=True, slots=True)
class Proof:
    """Margins of both proofs, and the factors and stresses that another method is compared by."""

    S_743: Ratio
    S_F743: Ratio
    K_2: Ratio
    K_FC: Ratio
    sigma_ba: Stress
    W_b: Stress
    tau_ta: Stress
    W_t: Stress


def proofs(s: SectionInputs) -> Proof:
    """Both proofs for one section or many."""
    K_2, K_F = size_factor(s.d), roughness_factor(s.R_z, s.R_m)
    K_FC = counted_roughness(K_F, s.beta_tested)
    K_b = named("K_b", total_influence(s.beta_b, K_2, K_FC), "total influence, bending")
    K_Ft = named("K_FCt", counted_roughness(roughness_in_torsion(K_F), s.beta_tested), "roughness counted, torsion")
    K_t = named("K_t743", total_influence(s.beta_t, K_2, K_Ft), "total influence, torsion")
    W_b, W_t = bending_limit(s.R_m, K_b), torsion_limit(s.R_m, K_t)
    sigma_ba = named("sigma_ba", bending_stress(s.M, s.d), "alternating bending stress, nominal")
    tau_ta = named("tau_ta", torsion_stress(s.T_a, s.d), "alternating torsion stress, nominal")
    sigma_bm = named("sigma_bm", bending_stress(s.M_m, s.d), "mean bending stress, nominal")
    tau_tm = named("tau_tm", torsion_stress(s.T_m, s.d), "mean torsion stress, nominal")
    sigma_z = axial_stress(s.F_a, s.d)
    sigma_mv = equivalent_mean(sigma_z, sigma_bm, tau_tm)
    psi_b = named("psi_b", mean_sensitivity(W_b, s.R_m), "sensitivity to mean stress, bending")
    psi_t = named("psi_t", mean_sensitivity(W_t, s.R_m), "sensitivity to mean stress, torsion")
    S_743 = fatigue_margin(share_in_bending(sigma_ba, psi_b, sigma_mv, W_b),
                           share_in_torsion(tau_ta, psi_t, sigma_mv, W_t))
    S_F743 = yield_margin(sigma_z, s.R_e, together(sigma_ba, sigma_bm, s.w_b), yield_limit(s.beta_b, s.R_e),
                          named("tau_t", together(tau_tm, tau_ta, s.w_t), "greatest torsion stress"),
                          named("tau_FK", shear_yield_limit(s.R_e), "yield limit in torsion"))
    return Proof(S_743, S_F743, K_2, K_FC, sigma_ba, W_b, tau_ta, W_t)
