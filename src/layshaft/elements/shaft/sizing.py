"""A first diameter for a shaft, before its notches are known. Only a place to start from."""

from __future__ import annotations

import math
from typing import Any

import numpy as np

from layshaft.listings.tables import table
from layshaft.trace.formula import chosen, formula, plain
from layshaft.trace.source import MECHANICS_OF_MATERIALS, Source
from layshaft.trace.units import LENGTH, Angle, Count, Length, Ratio, Slope, Stress, Torque

ASME = Source("ASME code for transmission shafting, 1927 to 1954", "as given in textbooks", "second text")
RESIZE = Source("Shigley's Mechanical Engineering Design, 9th ed.", "eq. 7-17 and 7-18, p. 382", "read")
MILLI = 1e-3
LOADS = {
    "M": "bending moment", "T": "torque", "tau": "allowed shear stress", "G": "shear modulus",
    "L": "length", "R_m": "tensile strength", "R_e": "yield strength",
}


def smallest_bar(d_needed: Any) -> Any:
    """The smallest bar usually in stock that is not thinner; NaN above the largest."""
    stock = table("bar_diameters")
    sizes = np.array([*(row.number("d_mm", MILLI) for row in stock.rows), np.nan])
    needed = np.asarray(plain(d_needed), dtype=float)
    bar = sizes[np.searchsorted(sizes[:-1], needed - 1e-12)][()]
    return chosen("d", "diameter of the bar", LENGTH, bar, source=stock.source,
                  why="smallest bar usually in stock that is not thinner than needed",
                  candidates=tuple(stock.names))


@formula("d", "diameter by torque alone", MECHANICS_OF_MATERIALS, where=LOADS, stock=smallest_bar)
def torsion_diameter(T: Torque, tau: Stress) -> Length:
    """Shear stress at the surface just reaches what is allowed."""
    return np.cbrt(16 * T / (math.pi * tau))


@formula("d", "first diameter", MECHANICS_OF_MATERIALS, where=LOADS, stock=smallest_bar)
def first_diameter(M: Torque, T: Torque, tau: Stress) -> Length:
    """Greatest shear stress of bending and torsion together just reaches what is allowed."""
    return np.cbrt(16 * np.hypot(M, T) / (math.pi * tau))


@formula("M_s", "moment raised for shock", ASME, where={
    "M": "bending moment or torque", "k": "shock factor: 1 steady, 1.5 usual, 3 heavy shock",
})
def raised_for_shock(M: Torque, k: Ratio) -> Torque:
    """The old code multiplies bending moment and torque each by its own factor."""
    return M * k


@formula("tau", "allowed shear stress", ASME, where={
    **LOADS, "keyed": "1 where the section has a keyway, else 0",
})
def allowed_shear(R_e: Stress, R_m: Stress, keyed: Count) -> Stress:
    """The smaller of 0.30 yield and 0.18 tensile strength, a quarter less at a keyway."""
    return np.minimum(0.30 * R_e, 0.18 * R_m) * np.where(keyed > 0, 0.75, 1)


@formula("d", "diameter by twist", MECHANICS_OF_MATERIALS, where={**LOADS, "phi": "allowed twist"}, stock=smallest_bar)
def twist_diameter(T: Torque, L: Length, G: Stress, phi: Angle) -> Length:
    """Twist over the length just reaches what is allowed."""
    return (32 * T * L / (math.pi * G * phi)) ** 0.25


@formula("d", "diameter by torque and span", MECHANICS_OF_MATERIALS, stock=smallest_bar, where={
    **LOADS, "L": "length over which the torque runs", "phi": "allowed twist over that length",
})
def diameter_by_torque_and_span(T: Torque, tau: Stress, L: Length, G: Stress, phi: Angle) -> Length:
    """The larger of strength and stiffness in torsion; a low stress leaves room for bending not known yet."""
    return np.maximum(np.cbrt(16 * T / (math.pi * tau)), (32 * T * L / (math.pi * G * phi)) ** 0.25)


@formula("d_new", "diameter that brings the slope down", RESIZE, where={
    "d_old": "diameter now", "n": "wanted margin", "theta": "slope now", "theta_limit": "slope allowed",
})
def resized_diameter(d_old: Length, n: Ratio, theta: Slope, theta_limit: Slope) -> Length:
    """Stiffness goes with the fourth power; all diameters are scaled alike."""
    return d_old * (n * np.abs(theta) / theta_limit) ** 0.25


@formula("d", "outside diameter of a tube as strong in torsion", MECHANICS_OF_MATERIALS, where={
    "d_s": "diameter of the solid bar", "k": "bore over outside diameter",
}, version=2,
         outside="the bore is as wide as the tube")
def tube_diameter(d_s: Length, k: Ratio) -> Length:
    """The material near the axis carries little."""
    return d_s / np.cbrt(np.where(k < 1, 1 - k**4, np.nan))
