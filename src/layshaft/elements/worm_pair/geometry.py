"""Sizes of a cylindrical worm and its wheel on shafts at right angles.

The axial module of the worm is the module of its wheel. The lead is the same on every cylinder of the worm,
so its angle is steeper on a smaller one. A wheel whose profile is shifted rolls on another cylinder of the
same worm: that is how one worm and one wheel fit a given centre distance.
"""

from __future__ import annotations

import numpy as np

from layshaft.trace.formula import formula
from layshaft.trace.source import KINEMATICS, Source
from layshaft.trace.units import Angle, Count, Length, Ratio, Speed, Velocity

SIZES = Source("DIN 3975, cylindrical worm gears", "terms and definitions", "from memory")
HANDBOOK = Source("Mott, Machine Elements in Mechanical Design, 4th ed.", "ch. 8, wormgearing", "from memory")
FACE = Source("Mott, Machine Elements in Mechanical Design, 4th ed.", "ex. 10-8, p. 437: no wider than 0.67 of the "
              "worm's diameter", "second text")
LENGTH_OF_WORM = Source("a gear maker's handbook of metric gears", "length of the worm's threads", "second text")

WIDEST = 0.67
"""Face that carries, over the diameter of the worm."""

MEANING = {
    "m": "axial module of the worm, module of the wheel", "z_1": "starts of the worm", "z_2": "teeth of the wheel",
    "q": "diameter quotient: diameter of the worm over the module", "d_1": "reference diameter of the worm",
    "d_2": "pitch diameter of the wheel", "a": "centre distance", "x": "profile shift coefficient of the wheel",
    "gamma": "lead angle", "gamma_0": "lead angle at the reference diameter", "p_x": "axial pitch",
    "d_w": "diameter of the worm on which the wheel rolls", "omega_1": "turning speed of the worm",
    "b": "face width of the wheel",
}


@formula("d_1", "reference diameter of the worm", SIZES, where=MEANING)
def diameter_by_quotient(q: Ratio, m: Length) -> Length:
    """So many modules wide."""
    return q * m


@formula("d_1", "reference diameter of the worm", SIZES, where=MEANING)
def diameter_by_lead_angle(m: Length, z_1: Count, gamma_0: Angle) -> Length:
    """The lead, unrolled, rises by its angle over the circumference."""
    return m * z_1 / np.tan(gamma_0)


@formula("d_1", "reference diameter of the worm", SIZES, where=MEANING)
def diameter_by_centres(a: Length, m: Length, z_2: Count) -> Length:
    """What a wheel without profile shift leaves of the centre distance."""
    return 2 * a - m * z_2


@formula("d_2", "pitch diameter of the wheel", SIZES, where=MEANING)
def wheel_diameter(m: Length, z_2: Count) -> Length:
    """Module times teeth, as for a spur gear."""
    return m * z_2


@formula("a", "centre distance", SIZES, where=MEANING)
def centre_distance(d_1: Length, d_2: Length, x: Ratio, m: Length) -> Length:
    """Half of both diameters, moved apart by the profile shift of the wheel."""
    return (d_1 + d_2) / 2 + x * m


@formula("x", "profile shift coefficient of the wheel", SIZES, where=MEANING)
def shift_at(a: Length, d_1: Length, d_2: Length, m: Length) -> Ratio:
    """What a given centre distance asks of the wheel: the worm is never shifted."""
    return (a - (d_1 + d_2) / 2) / m


@formula("d_w", "diameter of the worm on which the wheel rolls", SIZES, where=MEANING)
def rolling_diameter(a: Length, d_2: Length) -> Length:
    """The wheel rolls on its own pitch circle, whatever its shift."""
    return 2 * a - d_2


@formula("gamma", "lead angle", SIZES, where=MEANING)
def lead_angle(m: Length, z_1: Count, d_w: Length) -> Angle:
    """Of the cylinder on which the wheel rolls."""
    return np.arctan2(m * z_1, d_w)


@formula("p_x", "axial pitch", SIZES, where=MEANING)
def axial_pitch(m: Length) -> Length:
    """From one thread to the next along the worm; the circular pitch of the wheel."""
    return np.pi * m


@formula("p_n", "normal pitch", HANDBOOK, where=MEANING)
def normal_pitch(p_x: Length, gamma: Angle) -> Length:
    """Square to the thread."""
    return p_x * np.cos(gamma)


@formula("b_e", "face width that carries", FACE, where=MEANING)
def carrying_face(b: Length, d_1: Length) -> Length:
    """What stands out beyond two thirds of the worm's diameter touches nothing."""
    return np.minimum(b, WIDEST * d_1)


@formula("b_1", "least length of the threads", LENGTH_OF_WORM, where=MEANING)
def least_length(m: Length, z_2: Count) -> Length:
    """So that every tooth of the wheel in reach finds a thread."""
    return np.pi * m * (4.5 + 0.02 * z_2)


@formula("v_s", "sliding speed", KINEMATICS, where=MEANING)
def sliding_speed(omega_1: Speed, d_w: Length, gamma: Angle) -> Velocity:
    """Along the thread: the flanks of a worm slide all the way."""
    return np.abs(omega_1) * d_w / (2 * np.cos(gamma))


@formula("v_2", "pitch line speed of the wheel", KINEMATICS, where=MEANING)
def wheel_speed(omega_1: Speed, m: Length, z_1: Count) -> Velocity:
    """One axial pitch and start a turn of the worm."""
    return np.abs(omega_1) * m * z_1 / 2
