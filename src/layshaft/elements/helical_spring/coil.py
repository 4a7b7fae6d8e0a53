"""What pushed and pulled springs share: the coil as a bar wound up and twisted."""

from __future__ import annotations

import numpy as np

from layshaft.mechanics.spring_wire import BOOK
from layshaft.trace.formula import formula
from layshaft.trace.source import STATICS, Source
from layshaft.trace.units import Count, Energy, Force, Length, Ratio, Stiffness, Stress

COIL = Source("Bhandari, Design of Machine Elements, ch. 10", "helical springs, deflection and Wahl factor", "read")
SHEAR = Source(BOOK, "eq. 10-7, shear in the coil", "from memory")
BERGSTRAESSER = Source(BOOK, "eq. 10-5, Bergstraesser factor", "from memory")
SHARES = Source(BOOK, "table 10-6 and eq. 10-30", "from memory")
WIRE = {"d": "diameter of the wire", "D": "mean diameter of the coil"}
CAUTION = (
    "A spring gives all its energy back at once: hold it captive while it is fitted and taken out, wear goggles, "
    "stand out of its line, and let it down before anything near it is opened.")
STORED = Source("work with stored energy", "hold, let down, lock", "common practice")


@formula("C", "spring index", STATICS, where=WIRE, outside="the coil is no wider than its wire")
def spring_index(D: Length, d: Length) -> Ratio:
    """Below 4 it is hard to wind, above 12 it tangles."""
    return np.where(d < D, D / d, np.nan)


@formula("K_W", "Wahl factor", COIL, version=2,
         outside="the wire is thicker than its coil")
def wahl_factor(C: Ratio) -> Ratio:
    """Curvature and direct shear: more at the inside of the coil."""
    return (4 * C - 1) / np.where(C > 1, 4 * C - 4, np.nan) + 0.615 / C


@formula("K_B", "Bergstraesser factor", BERGSTRAESSER, version=2,
         outside="the wire is thicker than its coil")
def bergstraesser_factor(C: Ratio) -> Ratio:
    """The same within one and a half per cent, in a simpler form."""
    return (4 * C + 2) / np.where(C > 1, 4 * C - 3, np.nan)


@formula("tau", "shear stress in the coil", SHEAR, where={"K": "factor for curvature", **WIRE})
def shear_stress(K: Ratio, F: Force, D: Length, d: Length) -> Stress:
    """Force at half the coil's diameter twists the wire."""
    return K * 8 * F * D / (np.pi * d**3)


@formula("k", "spring rate", COIL, where=WIRE)
def spring_rate(d: Length, G: Stress, D: Length, N_a: Count) -> Stiffness:
    """A twisted bar as long as the active turns."""
    return d**4 * G / (8 * D**3 * N_a)


@formula("y", "deflection", STATICS)
def deflection(F: Force, k: Stiffness) -> Length:
    """Force over rate."""
    return F / k


@formula("E_s", "stored energy", STATICS)
def spring_energy(F: Force, y: Length) -> Energy:
    """Half of force times way, from nothing."""
    return F * y / 2


@formula("S_y", "strength against setting", SHARES, where={
    "share": "share of the tensile strength", "R_m": "tensile strength of the wire"})
def stress_share(share: Ratio, R_m: Stress) -> Stress:
    """A share of the tensile strength, by wire and by the kind of stress."""
    return share * R_m


@formula("S_su", "strength against a steady shear", SHARES, where={"R_m": "tensile strength of the wire"})
def shear_strength(R_m: Stress) -> Stress:
    """Two thirds of the tensile strength, nearly."""
    return 0.67 * R_m


@formula("F_a", "alternating part of the force", STATICS, where={"F_least": "least force"},
         outside="the least force is above the largest")
def halved_swing(F: Force, F_least: Force) -> Force:
    """Half of the swing."""
    return np.where(F_least <= F, (F - F_least) / 2, np.nan)


@formula("F_m", "mean force", STATICS, where={"F_least": "least force"})
def halved_sum(F: Force, F_least: Force) -> Force:
    """The middle of the swing."""
    return (F + F_least) / 2
