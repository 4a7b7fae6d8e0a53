"""Beams of one section on two supports, or held at one end: moment, sag and slope at any place.

Places are measured from the left support, or from the end that is held. Loads across, sags and moments
count as positive; what several loads do adds up. Slopes are positive where the beam falls away.
"""

from __future__ import annotations

import numpy as np

from layshaft.trace.formula import formula
from layshaft.trace.source import Source
from layshaft.trace.units import (
    Acceleration,
    Force,
    Length,
    Mass,
    MassPerLength,
    Ratio,
    SecondMoment,
    Slope,
    Stiffness,
    Stress,
    Torque,
)

BEAM = Source("beam of Euler and Bernoulli, integrals of the moment", obtained="derived")
LIFT = Source("beam hung at two points, statics", obtained="derived")
SPAN = {
    "F": "force across", "q": "load per length", "L": "span", "a": "place of the force", "x": "place asked for",
    "E": "Young's modulus", "I": "second moment of area", "m": "mass that is spread over it",
    "rho_A": "own mass per length", "g": "acceleration", "k": "shock of lifting, times the weight",
    "e": "distance of each lifting point from its end",
}

# On two supports -------------------------------------------------------------------------------


@formula("M", "moment of a force between two supports", BEAM, where=SPAN)
def moment_between(F: Force, L: Length, a: Length, x: Length) -> Torque:
    """Greatest under the force, falling evenly to both supports."""
    return F * np.where(x <= a, (L - a) * x, a * (L - x)) / L


@formula("w", "sag under a force between two supports", BEAM, where=SPAN)
def sag_between(F: Force, L: Length, a: Length, x: Length, E: Stress, I: SecondMoment) -> Length:
    """Greatest near the middle wherever the force is."""
    return F / (6 * E * I * L) * np.where(
        x <= a, (L - a) * x * (L**2 - (L - a) ** 2 - x**2), a * (L - x) * (L**2 - a**2 - (L - x) ** 2))


@formula("theta", "slope under a force between two supports", BEAM, where=SPAN)
def slope_between(F: Force, L: Length, a: Length, x: Length, E: Stress, I: SecondMoment) -> Slope:
    """Greatest at the nearer support."""
    return F / (6 * E * I * L) * np.where(
        x <= a, (L - a) * (L**2 - (L - a) ** 2 - 3 * x**2), -a * (L**2 - a**2 - 3 * (L - x) ** 2))


@formula("M", "moment of an even load between two supports", BEAM, where=SPAN)
def even_moment_between(q: Stiffness, L: Length, x: Length) -> Torque:
    """A parabola, an eighth of q L^2 in the middle."""
    return q * x * (L - x) / 2


@formula("w", "sag under an even load between two supports", BEAM, where=SPAN)
def even_sag_between(q: Stiffness, L: Length, x: Length, E: Stress, I: SecondMoment) -> Length:
    """Five parts of 384 in the middle."""
    return q * x * (L**3 - 2 * L * x**2 + x**3) / (24 * E * I)


@formula("theta", "slope under an even load between two supports", BEAM, where=SPAN)
def even_slope_between(q: Stiffness, L: Length, x: Length, E: Stress, I: SecondMoment) -> Slope:
    """Sixteen fifths of the middle's sag over the span, at the supports."""
    return q * (L**3 - 6 * L * x**2 + 4 * x**3) / (24 * E * I)


# Held at one end -------------------------------------------------------------------------------


@formula("M", "moment of a force on a beam held at one end", BEAM, where=SPAN)
def moment_held(F: Force, a: Length, x: Length) -> Torque:
    """Force times its distance from the place, nought beyond it."""
    return F * np.maximum(a - x, 0)


@formula("w", "sag under a force on a beam held at one end", BEAM, where=SPAN)
def sag_held(F: Force, a: Length, x: Length, E: Stress, I: SecondMoment) -> Length:
    """Straight beyond the force."""
    return F / (6 * E * I) * np.where(x <= a, x**2 * (3 * a - x), a**2 * (3 * x - a))


@formula("theta", "slope under a force on a beam held at one end", BEAM, where=SPAN)
def slope_held(F: Force, a: Length, x: Length, E: Stress, I: SecondMoment) -> Slope:
    """Grows up to the force."""
    return F / (2 * E * I) * np.where(x <= a, x * (2 * a - x), a**2)


@formula("M", "moment of an even load on a beam held at one end", BEAM, where=SPAN)
def even_moment_held(q: Stiffness, L: Length, x: Length) -> Torque:
    """What hangs beyond the place, at half its length."""
    return q * (L - x) ** 2 / 2


@formula("w", "sag under an even load on a beam held at one end", BEAM, where=SPAN)
def even_sag_held(q: Stiffness, L: Length, x: Length, E: Stress, I: SecondMoment) -> Length:
    """An eighth of q L^4 over E I at the end."""
    return q * x**2 * (6 * L**2 - 4 * L * x + x**2) / (24 * E * I)


@formula("theta", "slope under an even load on a beam held at one end", BEAM, where=SPAN)
def even_slope_held(q: Stiffness, L: Length, x: Length, E: Stress, I: SecondMoment) -> Slope:
    """A sixth of q L^3 over E I at the end."""
    return q * x * (3 * L**2 - 3 * L * x + x**2) / (6 * E * I)


# Weight ----------------------------------------------------------------------------------------


@formula("q", "load per length of one beam", BEAM, where=SPAN)
def even_load(rho_A: MassPerLength, m: Mass, L: Length, g: Acceleration) -> Stiffness:
    """Its own weight, and what is spread over it."""
    return (rho_A + m / L) * g


@formula("M_L", "greatest moment of a beam that is lifted at two points", LIFT,
         where=SPAN | {"m": "mass that hangs on it, at its middle or at both ends"},
         outside="the lifting points lie beyond the middle")
def lifting_moment(rho_A: MassPerLength, m: Mass, L: Length, g: Acceleration, k: Ratio, e: Length) -> Torque:
    """Between the slings or over them: own weight, and the mass where it bends most, at the middle or at both ends."""
    return k * g * np.where(e < L / 2, np.maximum(
        rho_A * e**2 / 2 + m * e / 2, rho_A * ((L - 2 * e) ** 2 / 8 - e**2 / 2) + m * (L - 2 * e) / 4), np.nan)
