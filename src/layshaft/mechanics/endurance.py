"""Endless life of a steel shaft: endurance limit of the real part, distortion energy, Goodman line.

A slow shaft still turns a million times in a season, so it is rated for endless life. Room
temperature, no corrosion: rust or fretting can halve the endurance limit.
"""

from __future__ import annotations

import math
from typing import Any

import numpy as np

from layshaft.listings.tables import table
from layshaft.trace.formula import formula, looked_up
from layshaft.trace.source import Source
from layshaft.trace.units import RATIO, Force, Length, Ratio, Stress, Torque

BOOK = "Shigley's Mechanical Engineering Design, 9th ed."
LIMIT = Source(BOOK, "eq. 6-8", "read")
MARIN = Source(BOOK, "eq. 6-18", "read")
SURFACE = Source(BOOK, "eq. 6-19, Table 6-2", "read")
SIZE = Source(BOOK, "eq. 6-20", "read")
RELIABILITY = Source(BOOK, "eq. 6-29, Table 6-5", "read")
STRESSES = Source(BOOK, "eq. 7-5 and 7-6, distortion energy", "read")
GOODMAN = Source(BOOK, "eq. 7-7 and 7-8, DE-Goodman", "read")
YIELD = Source(BOOK, "eq. 7-15, distortion energy", "read")
MEGA = 1e6
MILLI = 1e-3
LOADS = {
    "d": "diameter of the section", "K_f": "fatigue notch factor, bending",
    "K_fs": "fatigue notch factor, torsion", "M": "bending moment that turns with respect to the shaft",
    "M_m": "bending moment steady in the shaft", "T_m": "mean torque", "T_a": "alternating torque",
    "F_a": "axial force", "R_m": "tensile strength", "R_e": "yield strength",
}


@formula("S_e0", "endurance limit of a polished test bar", LIMIT, where=LOADS)
def bar_limit(R_m: Stress) -> Stress:
    """Half the tensile strength, at most 700 MPa."""
    return np.minimum(0.5 * R_m, 700 * MEGA)


@formula("k_a", "surface factor", SURFACE, where={
    **LOADS, "a_s": "surface constant, for strength in MPa", "b_s": "surface exponent",
})
def surface_factor(a_s: Ratio, R_m: Stress, b_s: Ratio) -> Ratio:
    """Rough surfaces start cracks, in hard steel sooner."""
    return a_s * (R_m / MEGA) ** b_s


@formula("k_b", "size factor", SIZE, outside="diameter outside 2.79 to 254 mm", where=LOADS)
def size_factor(d: Length) -> Ratio:
    """More volume under high stress: a weak spot is more likely."""
    return np.where((d >= 2.79 * MILLI) & (d <= 254 * MILLI), np.where(
        d <= 51 * MILLI, 1.24 * (d / MILLI) ** -0.107, 1.51 * (d / MILLI) ** -0.157), np.nan)


@formula("k_e", "reliability factor", RELIABILITY, where={
    "z_a": "standard deviations below the mean endurance limit",
})
def reliability_factor(z_a: Ratio) -> Ratio:
    """Test bars scatter by 8 percent."""
    return 1 - 0.08 * z_a


@formula("S_e", "endurance limit of the part", MARIN, where={
    "k_c": "load factor", "k_d": "temperature factor",
})
def endurance_limit(k_a: Ratio, k_b: Ratio, k_c: Ratio, k_d: Ratio, k_e: Ratio, S_e0: Stress) -> Stress:
    """The test bar's limit, lowered by surface, size, kind of load, temperature and reliability."""
    return k_a * k_b * k_c * k_d * k_e * S_e0


@formula("A", "alternating equivalent moment", STRESSES, where=LOADS)
def alternating_moment(K_f: Ratio, M: Torque, K_fs: Ratio, T_a: Torque) -> Torque:
    """Bending and torsion that change, joined by distortion energy."""
    return np.sqrt(4 * (K_f * M) ** 2 + 3 * (K_fs * T_a) ** 2)


@formula("B", "mean equivalent moment", STRESSES, where=LOADS)
def mean_moment(K_f: Ratio, M_m: Torque, F_a: Force, d: Length, K_fs: Ratio, T_m: Torque) -> Torque:
    """As for the alternating part; an axial force counts as the moment F d/8 of equal stress."""
    return np.sqrt(4 * (K_f * (np.abs(M_m) + np.abs(F_a) * d / 8)) ** 2 + 3 * (K_fs * T_m) ** 2)


@formula("C", "greatest equivalent moment", YIELD, where=LOADS)
def greatest_moment(K_f: Ratio, M: Torque, M_m: Torque, F_a: Force, d: Length, K_fs: Ratio,
                    T_m: Torque, T_a: Torque) -> Torque:
    """Everything at its greatest at once; factors of 1 leave the notch out, as is usual for ductile steel."""
    return np.sqrt(4 * (K_f * (np.abs(M) + np.abs(M_m) + np.abs(F_a) * d / 8)) ** 2
                   + 3 * (K_fs * (np.abs(T_m) + np.abs(T_a))) ** 2)


@formula("sigma", "equivalent stress at the surface", STRESSES, where={
    **LOADS, "M_v": "equivalent moment",
})
def equivalent_stress(M_v: Torque, d: Length) -> Stress:
    """Equivalent moment over the polar section modulus."""
    return 16 * M_v / (math.pi * d**3)


@formula("sigma_r", "fully reversed stress of equal damage", GOODMAN, where={
    **LOADS, "sigma_a": "alternating equivalent stress", "sigma_m": "mean equivalent stress",
})
def reversed_stress(sigma_a: Stress, sigma_m: Stress, S_e: Stress, R_m: Stress) -> Stress:
    """Goodman's straight line: mean stress counts in the ratio of endurance limit to strength."""
    return sigma_a + sigma_m * S_e / R_m


@formula("d", "diameter by DE-Goodman", GOODMAN, where={
    **LOADS, "A": "alternating equivalent moment", "B": "mean equivalent moment",
    "S_e": "endurance limit of the part", "n": "wanted margin",
})
def goodman_diameter(n: Ratio, A: Torque, S_e: Stress, B: Torque, R_m: Stress) -> Length:
    """Diameter at which the margin against fatigue is just reached."""
    return np.cbrt(16 * n / math.pi * (A / S_e + B / R_m))


def surface_constants(finish: str) -> tuple[Any, Any] | None:
    """a and b of a surface finish; None if the table does not know it."""
    row = table("surface_factors").get(finish)
    if row is None:
        return None
    a_s, b_s = (
        looked_up(symbol, f"surface {word}", RATIO, row.number(column), table=row.table, row=row.name,
                  source=row.source)
        for symbol, word, column in (("a_s", "constant, for strength in MPa", "a"), ("b_s", "exponent", "b"))
    )
    return a_s, b_s


def deviations_below_mean(reliability: str) -> Any | None:
    """z_a for a reliability such as `99 %`; None if the table does not know it."""
    row = table("reliability_factors").get(reliability)
    if row is None:
        return None
    return looked_up("z_a", "standard deviations below the mean endurance limit", RATIO, row.number("z_a"),
                     table=row.table, row=row.name, source=row.source)
