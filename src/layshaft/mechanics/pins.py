"""Pins that are sheared and that press on their holes."""

from __future__ import annotations

import math

import numpy as np

from layshaft.trace.formula import formula
from layshaft.trace.source import MECHANICS_OF_MATERIALS, Source
from layshaft.trace.units import Count, Force, Length, Stress, Torque

CROSS = Source("cross pins after the German textbook of machine elements, ch. on pins", "shear and hole pressure",
               "from memory")
PIN = {
    "V": "force across the pins", "T": "twist about the normal of the joint", "n": "number of pins",
    "a": "distance of the two outermost pins", "F": "force on the pin", "d": "diameter of the pin",
    "t": "depth of the pin in the weaker plate", "d_w": "diameter of the shaft",
}


@formula("F", "force on the hardest loaded pin", MECHANICS_OF_MATERIALS, where=PIN,
         outside="one pin alone cannot hold a twist")
def pin_force(V: Force, T: Torque, n: Count, a: Length) -> Force:
    """An equal share of the force, and the whole twist on the two outermost pins, as if both pointed one way."""
    return V / n + np.where(T == 0, 0, T / np.where(n > 1, a, np.nan))


@formula("p", "pressure of a pin on its hole", MECHANICS_OF_MATERIALS, where=PIN)
def hole_pressure(F: Force, d: Length, t: Length) -> Stress:
    """Force over the shadow of the pin."""
    return F / (d * t)


@formula("tau", "shear stress of a cross pin at the surface of the shaft", CROSS, where=PIN)
def cross_pin_shear(T: Torque, d: Length, d_w: Length) -> Stress:
    """Two sections half a shaft diameter from the axis."""
    return 4 * T / (math.pi * d**2 * d_w)


@formula("p_max", "greatest pressure of a cross pin in the shaft", CROSS, where=PIN)
def cross_pin_pressure(T: Torque, d: Length, d_w: Length) -> Stress:
    """Pressure that grows evenly from the axis to the surface, one way on each side."""
    return 6 * T / (d * d_w**2)
