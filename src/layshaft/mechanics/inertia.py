"""Mass and moment of inertia of turning bodies, and how they look from another shaft."""

from __future__ import annotations

import math

from layshaft.trace.formula import formula
from layshaft.trace.source import KINEMATICS, Source
from layshaft.trace.units import Density, Inertia, Length, Mass, Ratio, Volume

SOLIDS = Source("volumes and moments of inertia of solids, integrals of the shape", obtained="derived")
BODY = {
    "d_o": "outside diameter", "d_i": "bore, 0 if solid", "b": "width", "rho": "density", "m": "mass",
    "L": "length", "V": "volume", "d": "diameter",
    "R": "radius of the ring's centre line", "c": "radius of its round section",
    "J_0": "moment of inertia about its own axis", "e": "distance of the axes",
    "i": "speed of the part over speed of the shaft it is seen from", "J": "moment of inertia",
    "r": "radius at which the mass hangs or is driven",
}


@formula("V", "volume of a disc or ring", SOLIDS, where=BODY)
def ring_volume(d_o: Length, d_i: Length, b: Length) -> Volume:
    """Area of the face times width."""
    return math.pi / 4 * (d_o**2 - d_i**2) * b


@formula("V", "volume of a sphere", SOLIDS, where=BODY)
def sphere_volume(d: Length) -> Volume:
    """A sixth of pi times the diameter cubed."""
    return math.pi / 6 * d**3


@formula("V", "volume of a torus", SOLIDS, where=BODY)
def torus_volume(R: Length, c: Length) -> Volume:
    """Area of the round section times the way of its centre."""
    return 2 * math.pi**2 * R * c**2


@formula("m", "mass", SOLIDS, where=BODY)
def mass(rho: Density, V: Volume) -> Mass:
    """Density times volume."""
    return rho * V


@formula("J", "moment of inertia of a disc or ring about its axis", SOLIDS, where=BODY)
def ring(m: Mass, d_o: Length, d_i: Length) -> Inertia:
    """The squares of both diameters add: a ring of equal mass has more than a disc."""
    return m * (d_o**2 + d_i**2) / 8


@formula("J", "moment of inertia of a slender rod about its end", SOLIDS, where=BODY)
def rod_about_end(m: Mass, L: Length) -> Inertia:
    """Thickness is neglected."""
    return m * L**2 / 3


@formula("J", "moment of inertia of a slender rod about its middle", SOLIDS, where=BODY)
def rod_about_middle(m: Mass, L: Length) -> Inertia:
    """Thickness is neglected; a quarter of that about the end."""
    return m * L**2 / 12


@formula("J", "moment of inertia of a sphere", SOLIDS, where=BODY)
def sphere(m: Mass, d: Length) -> Inertia:
    """About any axis through its centre."""
    return m * d**2 / 10


@formula("J", "moment of inertia of a torus about its axis", SOLIDS, where=BODY)
def torus(m: Mass, R: Length, c: Length) -> Inertia:
    """A rim of round section."""
    return m * (R**2 + 3 / 4 * c**2)


@formula("J", "moment of inertia about a parallel axis", SOLIDS, where=BODY)
def parallel_axis(J_0: Inertia, m: Mass, e: Length) -> Inertia:
    """Its own, and its whole mass at the distance of the axes."""
    return J_0 + m * e**2


@formula("J_red", "moment of inertia seen from another shaft", KINEMATICS, where=BODY)
def reflected(J: Inertia, i: Ratio) -> Inertia:
    """Equal kinetic energy: the speed ratio counts squared."""
    return J * i**2


@formula("J_red", "moment of inertia of a mass on a cord or chain", KINEMATICS, where=BODY)
def reflected_mass(m: Mass, r: Length) -> Inertia:
    """Equal kinetic energy: the mass moves with the rim."""
    return m * r**2
