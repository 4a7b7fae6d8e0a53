"""Root strength by ISO 6336-3, method C: the whole load at the tip, and a factor for the pairs that share it.

Method C was printed in the editions of 1996 and 2006 and is left out of that of 2019, which counts the
load at the outer point of single contact alone. It needs no more than the basic rack, and errs to the
safe side. The tooth of a ring is taken as a rack's, as in the edition of 1996.
"""

from __future__ import annotations

import numpy as np

from layshaft.trace.formula import equation, formula
from layshaft.trace.source import Source
from layshaft.trace.units import ANGLE, Angle, Count, Force, Length, Ratio, Stress

ISO_6336_3 = Source("ISO 6336-3:2006, load capacity of spur and helical gears", "tooth bending, method C",
                    "from memory")
ISO_53 = Source("ISO 53:1998, basic rack", "profile A: root fillet 0.38 modules, dedendum 1.25", "from memory")

MILLI = 1e-3
FILLET = 0.38
"""Modules: fillet of the basic rack, ISO 53 profile A."""

DEDENDUM = 1.25
"""Modules: dedendum of the basic rack, ISO 53 profile A."""

RING_FILLET = 0.15
"""Modules; a shaper cutter leaves a small radius in the ring."""

MEANING = {
    "z_n": "teeth seen across the helix",
    "x": "profile shift coefficient",
    "alpha_n": "normal pressure angle",
    "beta_b": "helix angle at the base cylinder",
    "d_a": "tip diameter",
    "d": "reference diameter",
    "m_n": "normal module",
    "G": "auxiliary value of the fillet",
    "H_a": "auxiliary value of the tooth",
    "theta_F": "angle of the tangent to the fillet",
    "alpha_e": "pressure angle at the tip, across the helix",
    "alpha_F": "angle of the force at the tip to the middle of the tooth",
    "h_F": "lever of the force in modules",
    "s_F": "thickness of the root in modules",
    "rho_F": "fillet radius in modules where the root is weakest",
    "eps_alpha": "contact ratio",
    "eps_beta": "overlap ratio",
    "beta": "helix angle",
    "F_h": "tangential force on one helix",
    "b": "face width, of one half where the helix is double",
    "Y_Fa": "form factor of this gear",
    "Y_Sa": "notch factor of this gear",
    "Y_eps": "contact ratio factor of the root",
    "Y_beta": "helix factor of the root",
    "K_A": "application factor",
    "K_V": "dynamic factor",
    "K_Fbeta": "load over the face, root",
    "K_Falpha": "load over the path of contact, root",
    "sigma_F0": "nominal root stress of this gear",
    "N": "cycles in the life of this gear",
    "static": "factor at rest",
    "N_0": "cycles up to which the gear carries as at rest",
    "sigma_lim": "endurance limit of this gear",
    "Y_NT": "life factor of the root",
    "Y_dR": "factor of notch sensitivity and roughness",
    "Y_X": "size factor of the root",
    "soft": "1 where the teeth of this gear run in, else 0",
    "S_1": "margin of the pinion",
    "S_2": "margin of the wheel",
    "sigma_1": "stress of the pinion",
    "sigma_2": "stress of the wheel",
    "R_e": "yield strength of this gear",
}


@formula("G", "auxiliary value of the fillet", ISO_6336_3, where=MEANING)
def fillet_value(x: Ratio) -> Ratio:
    """Where the centre of the rack's tip rounding runs, in modules."""
    return FILLET - DEDENDUM + x


@formula("H_a", "auxiliary value of the tooth", ISO_6336_3, where=MEANING)
def tooth_value(z_n: Count, alpha_n: Angle) -> Angle:
    """From the half pitch to the rounding of the rack's tip, less the third of pi of the tangent."""
    return (
        2 / z_n * (np.pi / 2 - np.pi / 4 + DEDENDUM * np.tan(alpha_n)
                   + (1 - np.sin(alpha_n)) * FILLET / np.cos(alpha_n)) - np.pi / 3
    )


@formula("theta_rest", "residual of the tangent to the fillet", ISO_6336_3, where=MEANING)
def tangent_residual(theta_F: Angle, G: Ratio, z_n: Count, H_a: Angle) -> Angle:
    """Zero where the tangent leans by 30 degrees to the middle of the tooth."""
    return theta_F - 2 * G / z_n * np.tan(theta_F) + H_a


def _tangent(G: Ratio, z_n: Count, H_a: Angle) -> Angle:
    angle = np.pi / 6 + 0 * (G + z_n + H_a)
    for _ in range(6):
        angle = angle - (angle - 2 * G / z_n * np.tan(angle) + H_a) / (1 - 2 * G / z_n / np.cos(angle) ** 2)
    return angle


def tangent_angle(G: Ratio, z_n: Count, H_a: Angle) -> Angle:
    """Where the root is cut for the check: the tangents at 30 degrees."""
    return equation("theta_F", "angle of the tangent to the fillet", ANGLE, _tangent, tangent_residual,
                    {"G": G, "z_n": z_n, "H_a": H_a}, ISO_6336_3)


@formula("s_F", "thickness of the root in modules", ISO_6336_3, where=MEANING)
def root_thickness(z_n: Count, theta_F: Angle, G: Ratio) -> Ratio:
    """Between the two tangents at 30 degrees."""
    return (
        np.abs(z_n) * np.sin(np.pi / 3 - theta_F) + np.sqrt(3) * (G / np.cos(theta_F) - FILLET)
    )


@formula("rho_F", "fillet radius in modules where the root is weakest", ISO_6336_3, where=MEANING)
def root_radius(z_n: Count, theta_F: Angle, G: Ratio) -> Ratio:
    """A rolling rack leaves a rounder fillet than its own tip has."""
    return FILLET + 2 * G**2 / (np.cos(theta_F) * (z_n * np.cos(theta_F) ** 2 - 2 * G))


@formula("alpha_e", "pressure angle at the tip, across the helix", ISO_6336_3, where=MEANING,
         outside="the tip lies inside the base circle of the gear seen across the helix")
def tip_pressure_angle(z_n: Count, d_a: Length, d: Length, m_n: Length, alpha_n: Angle) -> Angle:
    """Of the spur gear seen across the helix, with the same addendum."""
    return np.arccos(np.where(
        z_n * np.cos(alpha_n) * m_n <= z_n * m_n + d_a - d,
        z_n * np.cos(alpha_n) * m_n / (z_n * m_n + d_a - d), np.nan))


@formula("alpha_F", "angle of the force at the tip to the middle of the tooth", ISO_6336_3, where=MEANING)
def force_angle(alpha_e: Angle, z_n: Count, x: Ratio, alpha_n: Angle) -> Angle:
    """The pressure angle at the tip less half the tooth's angle there."""
    return (
        alpha_e - (np.pi / 2 + 2 * x * np.tan(alpha_n)) / z_n - np.tan(alpha_n) + alpha_n
        + np.tan(alpha_e) - alpha_e
    )


@formula("h_F", "lever of the force in modules", ISO_6336_3, where=MEANING)
def lever(z_n: Count, alpha_n: Angle, alpha_e: Angle, alpha_F: Angle, theta_F: Angle, G: Ratio) -> Ratio:
    """From the root to where the force crosses the middle of the tooth."""
    return 0.5 * (
        (np.cos(alpha_e - alpha_F) - np.sin(alpha_e - alpha_F) * np.tan(alpha_F)) * z_n * np.cos(alpha_n)
        / np.cos(alpha_e) - z_n * np.cos(np.pi / 3 - theta_F) - G / np.cos(theta_F) + FILLET
    )


@formula("Y_Fa", "form factor", ISO_6336_3, where=MEANING)
def form(h_F: Ratio, s_F: Ratio, alpha_F: Angle, alpha_n: Angle) -> Ratio:
    """The tooth as a beam that the force at the tip bends."""
    return 6 * h_F * np.cos(alpha_F) / (s_F**2 * np.cos(alpha_n))


@formula("Y_Sa", "notch factor", ISO_6336_3, where=MEANING,
         outside="the notch parameter is not between 1 and 8")
def notch(h_F: Ratio, s_F: Ratio, rho_F: Ratio) -> Ratio:
    """Stress concentration of the fillet, and the shear it does not see."""
    return np.where(
        (s_F >= 2 * rho_F) & (s_F <= 16 * rho_F),
        (1.2 + 0.13 * s_F / h_F) * (s_F / (2 * rho_F)) ** (1 / (1.21 + 2.3 * h_F / s_F)), np.nan)


# A ring's tooth, as a rack's ---------------------------------------------------------------------


@formula("s_Fr", "thickness of the root of a rack in modules", ISO_6336_3, where=MEANING)
def rack_thickness(alpha_n: Angle) -> Ratio:
    """Between the two tangents at 30 degrees, for a ring that a shaper cutter makes."""
    return 2 * (
        np.pi / 4 + (DEDENDUM - RING_FILLET) * np.tan(alpha_n) + RING_FILLET / np.cos(alpha_n)
        - RING_FILLET * np.cos(np.pi / 6)
    )


@formula("Y_Sr", "notch factor of a ring", ISO_6336_3, where=MEANING)
def ring_notch(h_F: Ratio, s_F: Ratio) -> Ratio:
    """Stress concentration of the small fillet that a shaper cutter leaves."""
    return (1.2 + 0.13 * s_F / h_F) * (s_F / (2 * RING_FILLET)) ** (1 / (1.21 + 2.3 * h_F / s_F))


@formula("h_Fr", "lever of the force on a ring's tooth in modules", ISO_6336_3, where=MEANING)
def rack_lever(d_a: Length, d: Length, m_n: Length, x: Ratio, alpha_n: Angle) -> Ratio:
    """From the root to the force at the tip; the whole depth counts, whatever the shift."""
    return (
        (d_a - d) / (2 * m_n) + DEDENDUM - x
        - (np.pi / 4 + (x - (d_a - d) / (2 * m_n)) * np.tan(alpha_n)) * np.tan(alpha_n)
        - RING_FILLET * (1 - np.sin(np.pi / 6))
    )


@formula("Y", "value of a ring or of an external gear", ISO_6336_3, where=MEANING | {
    "ring": "value if it is a ring", "outside_teeth": "value if it is not"})
def of_its_kind(z_n: Count, ring: Ratio, outside_teeth: Ratio) -> Ratio:
    """By the sign of its teeth."""
    return np.where(z_n < 0, ring, outside_teeth)


# Stress and strength ---------------------------------------------------------------------------


@formula("Y_eps", "contact ratio factor of the root", ISO_6336_3, where=MEANING,
         outside="the contact ratio is not between 1 and 2.5")
def sharing(eps_alpha: Ratio, beta_b: Angle) -> Ratio:
    """The tip carries with another pair; that of method C. Beyond two pairs no more is counted."""
    return np.where(
        (eps_alpha >= 1) & (eps_alpha <= 2.5),
        0.25 + 0.75 / np.minimum(eps_alpha / np.cos(beta_b) ** 2, 2.0), np.nan)


@formula("Y_beta", "helix factor of the root", ISO_6336_3, where=MEANING)
def helix_root(eps_beta: Ratio, beta: Angle) -> Ratio:
    """A line of contact that leans over the tooth bends it less; overlap to 1 and helix to 30 degrees count."""
    return 1 - np.minimum(eps_beta, 1.0) * np.minimum(beta, np.pi / 6) / (2 * np.pi / 3)


@formula("sigma_F0", "nominal root stress", ISO_6336_3, where=MEANING)
def nominal_root(F_h: Force, b: Length, m_n: Length, Y_Fa: Ratio, Y_Sa: Ratio, Y_eps: Ratio, Y_beta: Ratio) -> Stress:
    """At the fillet, of gears without error."""
    return F_h / (b * m_n) * Y_Fa * Y_Sa * Y_eps * Y_beta


@formula("sigma_F", "root stress", ISO_6336_3, where=MEANING)
def root_stress(sigma_F0: Stress, K_A: Ratio, K_V: Ratio, K_Fbeta: Ratio, K_Falpha: Ratio) -> Stress:
    """In step with the load."""
    return sigma_F0 * K_A * K_V * K_Fbeta * K_Falpha


@formula("Y_NT", "life factor of the root", ISO_6336_3, where=MEANING,
         outside="more than 1e10 cycles: the method ends there")
def root_life(N: Count, static: Ratio, N_0: Count) -> Ratio:
    """A short life bears more, up to what the root bears at rest; three million cycles reach the endurance limit."""
    return np.where(
        N <= 3e6,
        np.exp(np.log(static) * np.log(3e6 / np.minimum(np.maximum(N, N_0), 3e6)) / np.log(3e6 / N_0)),
        np.where(N <= 1e10, (3e6 / np.maximum(N, 3e6)) ** 0.02, np.nan))


@formula("Y_Xr", "size factor of the root as reckoned", ISO_6336_3, where=MEANING)
def root_size(m_n: Length, soft: Ratio) -> Ratio:
    """One up to a module of 5 mm; large teeth are weaker, hardened ones more so."""
    return np.where(
        soft > 0,
        np.minimum(np.maximum(1.03 - 0.006 * m_n / MILLI, 0.85), 1.0),
        np.minimum(np.maximum(1.05 - 0.01 * m_n / MILLI, 0.8), 1.0))


@formula("sigma_FG", "stress at which the root breaks in its life", ISO_6336_3, where=MEANING)
def root_strength(sigma_lim: Stress, Y_NT: Ratio, Y_dR: Ratio, Y_X: Ratio) -> Stress:
    """Twice the endurance limit: the test gears had a notch of that size."""
    return sigma_lim * 2 * Y_NT * Y_dR * Y_X


@formula("sigma_w", "stress of the gear with the smaller margin", ISO_6336_3, where=MEANING)
def of_the_weaker(S_1: Ratio, S_2: Ratio, sigma_1: Stress, sigma_2: Stress) -> Stress:
    """That of the pinion where both are alike."""
    return np.where(S_2 < S_1, sigma_2, sigma_1)


@formula("sigma_n", "bending stress of a root held fast", ISO_6336_3, where=MEANING)
def held_stress(F_h: Force, b: Length, m_n: Length, Y_Fa: Ratio, K_Fbeta: Ratio) -> Stress:
    """All on one pair at its tip, the load over the face as it lies, no stress concentration."""
    return F_h / (b * m_n) * Y_Fa * K_Fbeta
