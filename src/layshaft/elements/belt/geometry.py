"""Layout of an open belt on two pulleys."""

from __future__ import annotations

from typing import Any

import numpy as np

from layshaft.trace.formula import formula
from layshaft.trace.source import KINEMATICS, Source
from layshaft.trace.units import Angle, Count, Length, Speed, Velocity

GEOMETRY = Source("geometry of an open belt", "two arcs and two tangents", "derived")
SHIGLEY = Source("Shigley's Mechanical Engineering Design, 9th ed.", "eq. 17-16, centre distance of a V belt",
                 "from memory")
TOO_CLOSE = "the pulleys would cut into each other's circles: their axes are nearer than half the difference"
WHERE = {"d": "pitch diameter of the small pulley", "D": "pitch diameter of the large pulley",
         "a": "distance of the two axes", "L": "length of the belt"}


@formula("d", "pitch diameter", KINEMATICS, where={"z": "teeth of the pulley", "p": "pitch"})
def pulley_diameter(z: Count, p: Length) -> Length:
    """A synchronous belt lies on its pulley in an arc: circumference is teeth times pitch."""
    return z * p / np.pi


@formula("theta", "wrap on the small pulley", GEOMETRY, where=WHERE, outside=TOO_CLOSE)
def wrap_small(d: Length, D: Length, a: Length) -> Angle:
    """Half a turn less the lean of the two strands."""
    return np.pi - 2 * np.arcsin(np.where(D - d < 2 * a, (D - d) / (2 * a), np.nan))


@formula("L", "length of the belt", GEOMETRY, where=WHERE, outside=TOO_CLOSE)
def belt_length(d: Length, D: Length, a: Length) -> Length:
    """Two tangents, and what lies on the pulleys."""
    return (2 * np.sqrt(np.where(D - d < 2 * a, a**2 - (D - d)**2 / 4, np.nan)) + np.pi * (D + d) / 2
            + (D - d) * np.arcsin(np.where(D - d < 2 * a, (D - d) / (2 * a), np.nan)))


@formula("a_0", "centre distance, nearly", SHIGLEY, where=WHERE, outside="the belt is too short for these pulleys")
def centre_start(L: Length, d: Length, D: Length) -> Length:
    """From the length with the arcs taken for small leans; near enough to order, not to drill."""
    return ((L - np.pi * (D + d) / 2) + np.sqrt(np.where(
        L > np.pi * (D + d) / 2 + np.sqrt(2) * (D - d), (L - np.pi * (D + d) / 2)**2 - 2 * (D - d)**2, np.nan))) / 4


@formula("L_0", "length at a centre distance less the belt's", GEOMETRY, where=WHERE,
         outside=TOO_CLOSE)
def centre_equation(a: Length, L: Length, d: Length, D: Length) -> Length:
    """Zero where the belt is just tight."""
    return (2 * np.sqrt(a**2 - (D - d)**2 / 4) + np.pi * (D + d) / 2
            + (D - d) * np.arcsin((D - d) / (2 * a)) - L)


def centre_distance(L: Any, d: Any, D: Any) -> Any:
    """Distance of the axes at which an open belt of length L is just tight; NaN where it is too short."""
    a = centre_start.__wrapped__(L, d, D)  # type: ignore[attr-defined]
    for _ in range(STEPS):
        a = a - centre_equation.__wrapped__(  # type: ignore[attr-defined]
            a, L, d, D) / (2 * np.sqrt(1 - ((D - d) / (2 * a)) ** 2))
    return a


STEPS = 8
"""Newton steps: the start is within a per cent and the error squares each time."""


@formula("v", "belt speed", KINEMATICS, where={"omega": "turning speed of that pulley"})
def belt_speed(omega: Speed, d: Length) -> Velocity:
    """Speed of the pitch circle."""
    return omega * d / 2


@formula("z_m", "teeth in mesh", KINEMATICS, where={"z": "teeth of the small pulley"})
def teeth_in_mesh(z: Count, theta: Angle) -> Count:
    """Whole teeth within the wrap."""
    return np.floor(z * (theta / (2 * np.pi)))
