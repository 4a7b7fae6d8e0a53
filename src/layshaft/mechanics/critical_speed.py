"""First bending critical speed: where a turning shaft bows out under its own unbalance.

Masses are lumped, bearings and frame are rigid, gyroscopic turning of the discs is left out (it raises
the speed for slender wheels). `first_critical` solves the lumped shaft exactly; two estimates of the
textbooks hold it from both sides: the weighted sag (Rayleigh) from above, the sum of single sags
(Dunkerley) from below.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Any

import numpy as np
import numpy.typing as npt

from layshaft.trace.formula import formula
from layshaft.trace.source import Source
from layshaft.trace.units import (
    Acceleration,
    Length,
    Mass,
    MassPerLength,
    Ratio,
    SecondMoment,
    Speed,
    Stiffness,
    Stress,
)

Array = npt.NDArray[np.float64]
BOOK = "Shigley's Mechanical Engineering Design, 9th ed."
UNIFORM = Source(BOOK, "sec. 7-6, eq. 7-22", "read")
RAYLEIGH = Source(BOOK, "sec. 7-6, eq. 7-23", "read")
DUNKERLEY = Source(BOOK, "sec. 7-6, eq. 7-32", "read")
TWICE = Source(BOOK, "sec. 7-6, p. 383", "read")
BOUNDS = Source("bounds on the lowest natural frequency: Rayleigh above, Dunkerley below", obtained="derived")
ROUNDING = 1e-9
"""Share by which two speeds that are equal may differ by rounding."""

AT_REST = 1e-6
"""Share of the critical speed below which a shaft counts as turning that fast."""


@dataclass(frozen=True, slots=True)
class Whirl:
    """First critical speed in rad/s, and the two sags in m that hold it from above and below."""

    omega_1: Any
    upper_sag: Any
    lower_sag: Any


def first_speed(flexibility: Array, masses: Array) -> Array:
    """First critical speed alone, of many shafts: (shafts, places, places) and (shafts, places) to (shafts,)."""
    root = np.sqrt(masses)
    scaled = root[..., :, None] * flexibility * root[..., None, :]
    return np.asarray(1 / np.sqrt(np.linalg.eigvalsh(scaled)[..., -1]))


def first_critical(flexibility: Array, masses: Array, g: Any) -> Whirl:
    """The lowest eigenvalue of lumped masses on a shaft, with the sags of both estimates.

    `flexibility` is (places, places) in m/N, `masses` (places,) or (samples, places) in kg: the largest
    eigenvalue of M^1/2 D M^1/2 is one over omega squared. The sag of the upper estimate comes from the
    masses pulling the way the first mode bends, so that the parts of an overhung shaft do not cancel.
    Where one mass is not known nothing is.
    """
    known = np.isfinite(masses).all(axis=-1) & bool(np.isfinite(flexibility).all())
    if not np.all(known):
        found = first_critical(np.nan_to_num(flexibility), np.where(np.isfinite(masses), masses, 1.0), g)
        return Whirl(*(np.where(known, value, np.nan)[()] for value in
                       (found.omega_1, found.upper_sag, found.lower_sag)))
    root = np.sqrt(masses)
    scaled = root[..., :, None] * flexibility * root[..., None, :]
    values, vectors = np.linalg.eigh(scaled)
    largest, shape = values[..., -1], vectors[..., -1]
    pull = masses * np.sign(shape) * np.asarray(g)[..., None]
    y = (flexibility @ pull[..., None])[..., 0]
    y_w = (masses * y**2).sum(axis=-1) / (pull * y).sum(axis=-1) * g
    y_s = (masses * np.diagonal(flexibility, axis1=-2, axis2=-1)).sum(axis=-1) * g
    return Whirl(1 / np.sqrt(largest), y_w, y_s)


@formula("omega_c", "critical speed of a uniform shaft on two bearings", UNIFORM, where={
    "L": "distance of the bearings, at the ends of the shaft", "E": "modulus of elasticity",
    "I": "second moment of area", "m_L": "mass per length",
})
def uniform_shaft(L: Length, E: Stress, I: SecondMoment, m_L: MassPerLength) -> Speed:
    """A bare shaft of one diameter bows in half a sine wave."""
    return (math.pi / L) ** 2 * np.sqrt(E * I / m_L)


@formula("omega_c", "critical speed by a sag", RAYLEIGH, where={
    "g": "acceleration of free fall", "y": "sag: of one mass, the weighted one of many, or the sum of single ones",
})
def speed_of_sag(g: Acceleration, y: Length) -> Speed:
    """What sags far under its own weight whirls at a low speed."""
    return np.sqrt(g / y)


@formula("omega_1", "first critical speed, between its two estimates", BOUNDS,
         outside="the exact speed must lie between both estimates", where={
             "omega_1": "first critical speed of the masses given, solved exactly",
             "omega_s": "estimate from below, by the sum of single sags",
             "omega_w": "estimate from above, by the weighted sag",
         })
def bracketed(omega_1: Speed, omega_s: Speed, omega_w: Speed) -> Speed:
    """An answer outside its own bounds would be a fault in the solution: it counts as unknown."""
    return np.where((omega_s <= omega_1 * (1 + ROUNDING)) & (omega_1 <= omega_w * (1 + ROUNDING)), omega_1, np.nan)


@formula("omega_u", "critical speed with more mass, from below", DUNKERLEY, where={
    "omega_1": "critical speed without it", "m_u": "mass that is added",
    "k_u": "stiffness of the shaft where it sits",
})
def with_more_mass(omega_1: Speed, m_u: Mass, k_u: Stiffness) -> Speed:
    """One over the square of the speed grows by no more than that of the added mass alone."""
    return 1 / np.sqrt(1 / omega_1**2 + m_u / k_u)


@formula("m_s", "mass that could be added", DUNKERLEY, where={
    "k_u": "stiffness of the shaft where it sits", "omega": "turning speed",
    "S": "required critical over turning speed", "omega_1": "critical speed without it",
})
def spare_mass(k_u: Stiffness, omega: Speed, S: Ratio, omega_1: Speed) -> Mass:
    """So much more could sit at that place; below zero where it is too much already."""
    return k_u * (1 / (S * np.maximum(omega, AT_REST * omega_1)) ** 2 - 1 / omega_1**2)
