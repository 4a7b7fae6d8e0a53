"""Flank strength by ISO 6336-2: pressure at the pitch point against the limit at which flanks pit.

The helix factor is that of the editions of 2006 and 2019, 1/sqrt(cos beta); the edition of 1996 had
the inverse, and its results are not comparable.
"""

from __future__ import annotations

import numpy as np

from layshaft.trace.formula import formula
from layshaft.trace.source import Source
from layshaft.trace.units import Angle, Count, Force, Length, Ratio, RootStress, Stress

ISO_6336_2 = Source("ISO 6336-2:2006, load capacity of spur and helical gears", "surface durability", "from memory")
ISO_6336_5 = Source("ISO 6336-5:2003, strength and quality of materials", "line of hardness", "from memory")

MEGA = 1e6

MEANING = {
    "E": "modulus of elasticity of both gears",
    "nu": "Poisson's ratio of both gears",
    "beta": "helix angle",
    "beta_b": "helix angle at the base cylinder",
    "alpha_t": "transverse pressure angle",
    "alpha_wt": "working transverse pressure angle",
    "eps_alpha": "contact ratio",
    "eps_beta": "overlap ratio",
    "d_a1": "tip diameter of the pinion",
    "d_b1": "base diameter of the pinion",
    "d_a2": "tip diameter of the wheel",
    "d_b2": "base diameter of the wheel",
    "d_1": "reference diameter of the pinion",
    "z_1": "teeth of the pinion",
    "z_2": "teeth of the wheel, negative for a ring",
    "F_h": "tangential force on one helix",
    "b": "face width, of one half where the helix is double",
    "Z_H": "zone factor",
    "Z_E": "elasticity factor",
    "Z_eps": "contact ratio factor of the flank",
    "Z_beta": "helix factor of the flank",
    "Z_B": "larger of the single contact factors of pinion and wheel",
    "M_1": "pressure where a pair of teeth begins to carry alone, over that at the pitch point",
    "sigma_H0": "nominal pressure of the flanks",
    "K_A": "application factor",
    "K_V": "dynamic factor",
    "K_Hbeta": "load over the face, flank",
    "K_Halpha": "load over the path of contact, flank",
    "A": "rise of the line",
    "B": "foot of the line, MPa",
    "H": "hardness",
    "least": "least hardness the line is for",
    "most": "most hardness the line is for",
    "N": "cycles in the life of this gear",
    "static": "factor at rest",
    "N_0": "cycles up to which the gear carries as at rest",
    "N_e": "cycles at which the endurance limit is reached",
    "sigma_lim": "endurance limit of this gear",
    "Z_NT": "life factor of the flank",
    "Z_LVR": "factor of lubricant, speed and roughness",
    "Z_W": "work hardening factor",
}


@formula("Z_H", "zone factor", ISO_6336_2, where=MEANING)
def zone_factor(beta_b: Angle, alpha_t: Angle, alpha_wt: Angle) -> Ratio:
    """Curvature of the flanks at the pitch point."""
    return np.sqrt(2 * np.cos(beta_b) * np.cos(alpha_wt) / (np.cos(alpha_t) ** 2 * np.sin(alpha_wt)))


@formula("Z_E", "elasticity factor", ISO_6336_2, where=MEANING,
         outside="Poisson's ratio is a half at most")
def elasticity_factor(E: Stress, nu: Ratio) -> RootStress:
    """How far flanks of one material give; 189.8 for steel in N and mm."""
    return np.sqrt(E / (2 * np.pi * (1 - np.where(nu <= 0.5, nu, np.nan) ** 2)))


@formula("Z_eps", "contact ratio factor of the flank", ISO_6336_2, where=MEANING,
         outside="the contact ratio is not between 1 and 2.5")
def contact_factor(eps_alpha: Ratio, eps_beta: Ratio) -> Ratio:
    """Longer lines of contact spread the load; an overlap of more than one counts as one."""
    return np.where(
        (eps_alpha >= 1) & (eps_alpha <= 2.5),
        np.sqrt(np.maximum((4 - eps_alpha) / 3 * (1 - np.minimum(eps_beta, 1.0))
                           + np.minimum(eps_beta, 1.0) / eps_alpha, 0.0)), np.nan)


@formula("Z_beta", "helix factor of the flank", ISO_6336_2, where=MEANING,
         outside="the helix is steeper than 30 degrees")
def helix_factor(beta: Angle) -> Ratio:
    """Editions of 2006 and 2019: leaning lines of contact carry a little less."""
    return np.where(beta <= 0.5237, 1 / np.sqrt(np.cos(beta)), np.nan)


@formula("M_1", "pressure where a pair of teeth begins to carry alone, over that at the pitch point", ISO_6336_2,
         where=MEANING, outside="a tip lies inside its base circle")
def single_contact(alpha_wt: Angle, d_a1: Length, d_b1: Length, d_a2: Length, d_b2: Length, z_1: Count, z_2: Count,
                   eps_alpha: Ratio) -> Ratio:
    """Near the root of the pinion its flank is more curved."""
    return np.tan(alpha_wt) / np.sqrt(np.where(
        (d_a1 > d_b1) & (np.abs(d_a2) > np.abs(d_b2)),
        np.maximum(np.sqrt(np.maximum(d_a1**2 / d_b1**2 - 1, 0.0)) - 2 * np.pi / z_1, 1e-9)
        * np.maximum(np.sqrt(np.maximum(d_a2**2 / d_b2**2 - 1, 0.0)) - (eps_alpha - 1) * 2 * np.pi / z_2, 1e-9),
        np.nan))


@formula("M_2", "pressure where a pair of teeth carries alone for the last time, over that at the pitch point",
         ISO_6336_2, where=MEANING, outside="a tip lies inside its base circle")
def single_contact_of_wheel(alpha_wt: Angle, d_a1: Length, d_b1: Length, d_a2: Length, d_b2: Length, z_1: Count,
                            z_2: Count, eps_alpha: Ratio) -> Ratio:
    """Near the root of the wheel; it leads where the wheel is hardly larger and less shifted. A ring's is hollow."""
    return np.where(z_2 < 0, 1.0, np.tan(alpha_wt) / np.sqrt(np.where(
        (d_a1 > d_b1) & (np.abs(d_a2) > np.abs(d_b2)),
        np.maximum(np.sqrt(np.maximum(d_a2**2 / d_b2**2 - 1, 0.0)) - 2 * np.pi / z_2, 1e-9)
        * np.maximum(np.sqrt(np.maximum(d_a1**2 / d_b1**2 - 1, 0.0)) - (eps_alpha - 1) * 2 * np.pi / z_1, 1e-9),
        np.nan)))


@formula("Z_Br", "single contact factor as reckoned", ISO_6336_2, where=MEANING)
def single_contact_factor(M_1: Ratio, eps_beta: Ratio) -> Ratio:
    """Counted where it raises the pressure; a full overlap leaves none of it."""
    return np.maximum(M_1 - np.minimum(eps_beta, 1.0) * (M_1 - 1), 1.0)


@formula("sigma_H0", "nominal pressure of the flanks", ISO_6336_2, where=MEANING)
def nominal_pressure(Z_H: Ratio, Z_E: RootStress, Z_eps: Ratio, Z_beta: Ratio, F_h: Force, d_1: Length, b: Length,
                     z_1: Count, z_2: Count) -> Stress:
    """Pressure of two cylinders after Hertz, at the pitch point of gears without error."""
    return Z_H * Z_E * Z_eps * Z_beta * np.sqrt(F_h / (d_1 * b) * (z_1 + z_2) / z_2)


@formula("sigma_H", "pressure of the flanks", ISO_6336_2, where=MEANING)
def pressure(Z_B: Ratio, sigma_H0: Stress, K_A: Ratio, K_V: Ratio, K_Hbeta: Ratio, K_Halpha: Ratio) -> Stress:
    """It rises with the root of the load."""
    return Z_B * sigma_H0 * np.sqrt(K_A * K_V * K_Hbeta * K_Halpha)


@formula("sigma_lim", "endurance limit of this gear", ISO_6336_5, where=MEANING,
         outside="the hardness is outside the line of its treatment in table gear_materials")
def limit_of_hardness(A: Ratio, B: Ratio, H: Ratio, least: Count, most: Count) -> Stress:
    """A straight line over hardness, for each treatment and grade."""
    return np.where((least <= H) & (most >= H), (A * H + B) * MEGA, np.nan)


@formula("Z_NT", "life factor of the flank", ISO_6336_2, where=MEANING,
         outside="more than 1e10 cycles: the method ends there")
def flank_life(N: Count, static: Ratio, N_0: Count, N_e: Count) -> Ratio:
    """A short life bears more; no pitting at all is permitted, and beyond the limit the strength goes on falling."""
    return np.where(
        N <= N_e,
        np.exp(np.log(static) * np.log(N_e / np.maximum(N, N_0)) / np.log(N_e / N_0)),
        np.where(N <= 1e10, np.exp(np.log(0.85) * np.log(np.maximum(N, N_e) / N_e) / np.log(1e10 / N_e)), np.nan))


@formula("sigma_HG", "pressure at which the flank pits in its life", ISO_6336_2, where=MEANING)
def flank_strength(sigma_lim: Stress, Z_NT: Ratio, Z_LVR: Ratio, Z_W: Ratio) -> Stress:
    """Endurance limit by life, film and work hardening; size counts for nothing here."""
    return sigma_lim * Z_NT * Z_LVR * Z_W
