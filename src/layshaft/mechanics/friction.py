"""What rubbing faces pass on, what they bear, and the heat they make: shared by clutches and brakes.

Coulomb friction, dry. Worn-in linings wear evenly, so pressure times radius is the same everywhere; new
ones press evenly, and pass on more. Heat counts as stored in the mass that is rubbed, none given off while
it slips: an upper bound of the rise. Hot linings lose friction before they burn.
"""

from __future__ import annotations

import numpy as np

from layshaft.trace.formula import formula
from layshaft.trace.source import STATICS, Source
from layshaft.trace.units import (
    Angle,
    Area,
    Count,
    Energy,
    Force,
    Length,
    Mass,
    PressureVelocity,
    Ratio,
    SpecificHeat,
    Speed,
    Stress,
    Temperature,
    Torque,
    Velocity,
)

EVEN_WEAR = Source("Bhandari, Design of Machine Elements", "ch. 11, uniform wear", "second text")
EVEN_PRESSURE = Source("Bhandari, Design of Machine Elements", "ch. 11, uniform pressure", "second text")
CONE = Source("Bhandari, Design of Machine Elements", "ch. 11, cone clutches", "second text")
HEATING = Source("Bhandari, Design of Machine Elements", "ch. 12, temperature rise of a drum", "second text")
COULOMB = Source("friction of Coulomb", obtained="derived")
BAND = Source("rope friction of Euler and Eytelwein", obtained="derived")

MEANING = {
    "mu": "friction of the linings", "F": "force that presses the faces together",
    "d_o": "outer diameter of the faces", "d_i": "inner diameter of the faces",
    "r_e": "radius at which the friction counts as acting", "i": "pairs of rubbing faces",
    "alpha": "angle of the cone to its axis, 90 degrees for a flat disc", "s": "share of scatter to either side",
    "T": "torque", "E": "energy turned into heat", "m": "mass that takes up the heat",
    "c": "specific heat of that mass", "p": "pressure", "v": "rubbing speed", "omega": "turning speed",
    "d": "diameter that rubs", "theta": "angle of wrap", "A": "area",
}


@formula("r_w", "mean radius, worn in", EVEN_WEAR, where=MEANING,
         outside="the inner diameter must be smaller than the outer one")
def wear_radius(d_o: Length, d_i: Length) -> Length:
    """Pressure times radius is the same all over the face."""
    return np.where(d_i < d_o, (d_o + d_i) / 4, np.nan)


@formula("r_p", "mean radius, new", EVEN_PRESSURE, where=MEANING,
         outside="the inner diameter must be smaller than the outer one")
def pressure_radius(d_o: Length, d_i: Length) -> Length:
    """Pressure is the same all over the face."""
    return np.where(d_i < d_o, (d_o**2 + d_o * d_i + d_i**2) / (3 * (d_o + d_i)), np.nan)


@formula("T_f", "friction torque", COULOMB, where=MEANING)
def friction_torque(mu: Ratio, F: Force, r_e: Length, i: Count) -> Torque:
    """Friction of every pair of faces at the mean radius."""
    return mu * F * r_e * i


@formula("F_n", "force square to the faces of a cone", CONE, where=MEANING)
def cone_force(F: Force, alpha: Angle) -> Force:
    """A slim cone wedges: a small push presses its faces hard."""
    return F / np.sin(alpha)


@formula("T_low", "torque at which it slips at the earliest", COULOMB, where=MEANING)
def earliest(T: Torque, s: Ratio) -> Torque:
    """Less by the scatter: oil, wear, cold."""
    return T * (1 - s)


@formula("T_high", "torque at which it slips at the latest", COULOMB, where=MEANING)
def latest(T: Torque, s: Ratio) -> Torque:
    """More by the scatter: rust, standing still, new linings."""
    return T * (1 + s)


@formula("p_i", "largest pressure, at the inner edge", EVEN_WEAR, where=MEANING,
         outside="the inner diameter must lie between nothing and the outer one")
def wear_pressure(F: Force, d_o: Length, d_i: Length) -> Stress:
    """Worn-in faces press hardest where they rub slowest."""
    return 2 * F / (np.pi * np.where((d_i > 0) & (d_i < d_o), d_i * (d_o - d_i), np.nan))


@formula("d_theta", "temperature rise", HEATING, where=MEANING)
def temperature_rise(E: Energy, m: Mass, c: SpecificHeat) -> Temperature:
    """All heat stays in the mass: nothing is given off in so short a time."""
    return E / (m * c)


@formula("v_r", "rubbing speed", COULOMB, where=MEANING)
def rubbing_speed(omega: Speed, d: Length) -> Velocity:
    """At the diameter that rubs."""
    return np.abs(omega) * d / 2


@formula("q", "rubbing power per area", COULOMB, where=MEANING)
def rubbing_power(mu: Ratio, p: Stress, v: Velocity) -> PressureVelocity:
    """Friction times pressure times speed: what decides how hot a lining gets at its face."""
    return mu * p * v


@formula("k_b", "tension ratio of a band", BAND, where=MEANING)
def tension_ratio(mu: Ratio, theta: Angle) -> Ratio:
    """Tight over slack tension when the band is about to slip."""
    return np.exp(mu * theta)


@formula("p_m", "mean pressure", STATICS, where=MEANING)
def mean_pressure(F: Force, A: Area) -> Stress:
    """Force over the area of the lining."""
    return F / A
