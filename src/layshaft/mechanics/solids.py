"""Bodies: volume, middle of mass and moment of inertia of the usual solids, and of sums of them.

Moments are about the body's own axis or, where the name says across, about an axis through its
middle that stands square to it. Mass is `inertia.mass`; sums are made by `inertia.parallel_axis`,
with a hole as a mass below zero. Tubes, discs, spheres, rods and tori stand in `inertia`.
"""

from __future__ import annotations

import math

import numpy as np

from layshaft.trace.formula import formula
from layshaft.trace.source import Source
from layshaft.trace.units import Area, Count, Inertia, Length, Mass, SecondMoment, Volume

BODIES = Source("volumes and moments of inertia of bodies, integrals of the shape", obtained="derived")
BODY = {
    "a": "length of the one side", "b": "length of the next side", "h": "height", "r": "radius",
    "R": "radius of the base", "r_t": "radius of the top", "m": "mass", "L": "length",
    "d_o": "outside diameter", "d_i": "bore, 0 if solid", "A": "area of the section",
    "I_p": "polar second moment of the section", "R_c": "distance of the section's middle from the axis",
    "I": "second moment of the section about its own middle, for radial distances",
    "c": "radius of its round section", "n": "how many", "r_m": "distance of its middle from the axis",
    "J_0": "moment of inertia about its own middle, parallel to the axis", "V": "volume",
    "J_x": "moment of inertia about x", "J_y": "moment of inertia about y",
    "J_xy": "product of inertia, sum of mass times x times y",
}

# Volume ----------------------------------------------------------------------------------------


@formula("V", "volume of a block", BODIES, where=BODY)
def block_volume(a: Length, b: Length, h: Length) -> Volume:
    """Three sides."""
    return a * b * h


@formula("V", "volume of a cone", BODIES, where=BODY)
def cone_volume(r: Length, h: Length) -> Volume:
    """A third of the cylinder round it."""
    return math.pi / 3 * r**2 * h


@formula("V", "volume of a cut cone", BODIES, where=BODY)
def frustum_volume(R: Length, r_t: Length, h: Length) -> Volume:
    """Base, top and the mean between them, a third of the height each."""
    return math.pi / 3 * h * (R**2 + R * r_t + r_t**2)


@formula("V", "volume of a half sphere", BODIES, where=BODY)
def half_sphere_volume(r: Length) -> Volume:
    """Two thirds of the cylinder round it."""
    return 2 / 3 * math.pi * r**3


@formula("V", "volume of a bar of any section", BODIES, where=BODY)
def prism_volume(A: Area, L: Length) -> Volume:
    """Section times length."""
    return A * L


@formula("V", "volume of a ring of any section", BODIES, where=BODY)
def revolved_volume(A: Area, R_c: Length) -> Volume:
    """Section times the way of its middle."""
    return 2 * math.pi * R_c * A


# Middle of mass --------------------------------------------------------------------------------


@formula("z_c", "height of the middle of a cone above its base", BODIES, where=BODY)
def cone_centre(h: Length) -> Length:
    """A quarter of the height."""
    return h / 4


@formula("z_c", "height of the middle of a cut cone above its base", BODIES, where=BODY)
def frustum_centre(R: Length, r_t: Length, h: Length) -> Length:
    """Between a quarter and a half of the height, for a top no wider than the base."""
    return h / 4 * (R**2 + 2 * R * r_t + 3 * r_t**2) / (R**2 + R * r_t + r_t**2)


@formula("z_c", "height of the middle of a half sphere above its flat", BODIES, where=BODY)
def half_sphere_centre(r: Length) -> Length:
    """Three eighths of the radius."""
    return 3 / 8 * r


# Moments of inertia ----------------------------------------------------------------------------


@formula("J", "moment of inertia of a block or plate", BODIES, where=BODY)
def block(m: Mass, a: Length, b: Length) -> Inertia:
    """About the middle axis square to the sides a and b."""
    return m * (a**2 + b**2) / 12


@formula("J", "moment of inertia of a round bar, disc or tube across its axis", BODIES, where=BODY)
def tube_across(m: Mass, d_o: Length, d_i: Length, L: Length) -> Inertia:
    """About its middle: as a thick bar that is swung end over end."""
    return m * (d_o**2 + d_i**2) / 16 + m * L**2 / 12


@formula("J", "moment of inertia of a cone about its axis", BODIES, where=BODY)
def cone(m: Mass, r: Length) -> Inertia:
    """Most of its mass is near the axis."""
    return 3 / 10 * m * r**2


@formula("J", "moment of inertia of a cone across its axis", BODIES, where=BODY)
def cone_across(m: Mass, r: Length, h: Length) -> Inertia:
    """About its middle of mass."""
    return m * (3 / 20 * r**2 + 3 / 80 * h**2)


@formula("J", "moment of inertia of a cut cone about its axis", BODIES, where=BODY)
def frustum(m: Mass, R: Length, r_t: Length) -> Inertia:
    """Runs from the cone to the cylinder as the top grows to the base."""
    return 3 / 10 * m * (R**4 + R**3 * r_t + R**2 * r_t**2 + R * r_t**3 + r_t**4) / (R**2 + R * r_t + r_t**2)


@formula("J", "moment of inertia of a cut cone across its axis", BODIES, where=BODY)
def frustum_across(m: Mass, R: Length, r_t: Length, h: Length) -> Inertia:
    """About its middle of mass: half the moment about the axis, and the spread of its slices along it."""
    return (
        3 / 20 * m * (R**4 + R**3 * r_t + R**2 * r_t**2 + R * r_t**3 + r_t**4) / (R**2 + R * r_t + r_t**2)
        + m * h**2 * (R**2 + 3 * R * r_t + 6 * r_t**2) / (10 * (R**2 + R * r_t + r_t**2))
        - m * h**2 * (R**2 + 2 * R * r_t + 3 * r_t**2) ** 2 / (16 * (R**2 + R * r_t + r_t**2) ** 2)
    )


@formula("J", "moment of inertia of a half sphere about its axis", BODIES, where=BODY)
def half_sphere(m: Mass, r: Length) -> Inertia:
    """As of the whole sphere of twice the mass, halved."""
    return 2 / 5 * m * r**2


@formula("J", "moment of inertia of a half sphere across its axis", BODIES, where=BODY)
def half_sphere_across(m: Mass, r: Length) -> Inertia:
    """About its middle of mass, parallel to the flat."""
    return 83 / 320 * m * r**2


@formula("J", "moment of inertia of a torus across its axis", BODIES, where=BODY)
def torus_across(m: Mass, R_c: Length, c: Length) -> Inertia:
    """About a diameter of the ring."""
    return m * (R_c**2 / 2 + 5 / 8 * c**2)


@formula("J", "moment of inertia of a bar of any section about its own middle line", BODIES, where=BODY)
def prism(m: Mass, I_p: SecondMoment, A: Area) -> Inertia:
    """Polar second moment over area is the square of the radius at which the mass counts."""
    return m * I_p / A


@formula("J", "moment of inertia of a ring of any section about its axis", BODIES, where=BODY)
def revolved(m: Mass, R_c: Length, I: SecondMoment, A: Area) -> Inertia:
    """For a section that is alike on both sides of its middle circle; a lopsided one needs its parts summed."""
    return m * (R_c**2 + 3 * I / A)


# Sums ------------------------------------------------------------------------------------------


@formula("J", "moment of inertia of equal bodies round an axis", BODIES, where=BODY)
def round_the_axis(n: Count, J_0: Inertia, m: Mass, r_m: Length) -> Inertia:
    """Each with its own moment, and its mass at the distance of its middle: spokes, bolts, weights."""
    return n * (J_0 + m * r_m**2)


@formula("J_1", "largest moment of inertia in a plane of two axes", BODIES, where=BODY)
def largest_principal(J_x: Inertia, J_y: Inertia, J_xy: Inertia) -> Inertia:
    """Middle of Mohr's circle and its radius."""
    return (J_x + J_y) / 2 + (((J_x - J_y) / 2) ** 2 + J_xy**2) ** 0.5


@formula("J_2", "smallest moment of inertia in a plane of two axes", BODIES, where=BODY)
def smallest_principal(J_x: Inertia, J_y: Inertia, J_xy: Inertia) -> Inertia:
    """Middle of Mohr's circle less its radius."""
    return (J_x + J_y) / 2 - (((J_x - J_y) / 2) ** 2 + J_xy**2) ** 0.5


# Pieces of a wheel -----------------------------------------------------------------------------


@formula("V", "volume of a round bar", BODIES, where=BODY | {"d": "diameter"})
def rod_volume(d: Length, L: Length) -> Volume:
    """Circle times length."""
    return math.pi / 4 * d**2 * L


@formula("J", "moment of inertia of a solid disc about its axis", BODIES, where=BODY | {"d": "diameter"})
def disc(m: Mass, d: Length) -> Inertia:
    """Half the mass at the full radius."""
    return m * d**2 / 8


@formula("J", "moment of inertia of a thick round bar across its length", BODIES, where=BODY | {"d": "diameter"})
def rod_across(m: Mass, d: Length, L: Length) -> Inertia:
    """About its middle; the thickness counts."""
    return m * (d**2 / 16 + L**2 / 12)


@formula("L", "length between two radii", BODIES,
         where={"r_1": "radius where it begins", "r_2": "radius where it ends"},
         outside="it ends no farther out than it begins")
def radial_length(r_1: Length, r_2: Length) -> Length:
    """From the hub to the rim."""
    return np.where(r_2 > r_1, r_2 - r_1, np.nan)


@formula("r_m", "radius of the middle between two radii", BODIES,
         where={"r_1": "radius where it begins", "r_2": "radius where it ends"})
def middle_radius(r_1: Length, r_2: Length) -> Length:
    """Halfway."""
    return (r_1 + r_2) / 2


@formula("m", "mass of equal pieces", BODIES, where=BODY)
def mass_of_many(n: Count, m: Mass) -> Mass:
    """Count times mass."""
    return n * m


@formula("m", "mass of what is taken out, below zero", BODIES, where=BODY)
def mass_taken_out(n: Count, m: Mass) -> Mass:
    """A hole weighs less than nothing."""
    return -n * m


@formula("J", "moment of inertia of what is taken out, below zero", BODIES, where=BODY)
def inertia_taken_out(n: Count, J_0: Inertia, m: Mass, r_m: Length) -> Inertia:
    """Holes round the axis, with the mass they would have."""
    return -n * (J_0 + m * r_m**2)


@formula("J", "moment of inertia of equal masses at a radius of gyration", BODIES, where=BODY | {
    "k": "radius of gyration about the axis of the wheel"})
def masses_at(n: Count, m: Mass, k: Length) -> Inertia:
    """As if all of it went round at that radius."""
    return n * m * k**2
