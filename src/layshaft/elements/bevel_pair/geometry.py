"""Cones of a straight bevel pair, its virtual spur pair by Tredgold, and the forces at the middle of its face.

Developed on its back cone a bevel gear is a spur gear with more teeth than it has. Teeth taper to the point of the
cones, so that all sizes shrink alike and the contact ratio is the same all along the face. Equal addenda of one
module, no shift.
"""

from __future__ import annotations

import numpy as np

from layshaft.trace.formula import formula
from layshaft.trace.source import STATICS, Source
from layshaft.trace.units import DEGREE, Angle, Count, Force, Length, Ratio

CONES = Source("geometry of two cones that roll on each other", obtained="derived")
TREDGOLD = Source("Tredgold's back cone, in Jindal, Machine Design", "ex. 27-2, p. 712")
ISO_21771 = Source("ISO 21771:2007, cylindrical involute gears", "contact ratio, for the virtual spur pair",
                   "second text")
NO_UNDERCUT = Source("gear handbooks", "17 teeth of 20 degrees, of the virtual spur gear", "common practice")
FACE = Source("handbooks of bevel gears", "face no wider than a third of the cone distance and ten modules",
              "common practice")

TWENTY_DEGREES = 20 * DEGREE
"""The usual pressure angle, in radians."""

MEANING = {
    "z": "teeth of this gear",
    "z_m": "teeth of its mate",
    "sigma": "angle between the shafts",
    "delta": "cone angle of this gear",
    "d": "reference diameter at the large end",
    "d_v1": "virtual diameter of the pinion",
    "d_v2": "virtual diameter of the wheel",
    "b": "face width",
    "m": "module at the large end",
    "alpha": "pressure angle",
    "A_0": "cone distance",
    "F_tm": "tangential force at the middle of the face",
}


@formula("d", "reference diameter at the large end", CONES, where=MEANING)
def large_diameter(z: Count, m: Length) -> Length:
    """Teeth times module."""
    return z * m


@formula("delta", "cone angle of a bevel gear", CONES, where=MEANING)
def cone_angle(z: Count, z_m: Count, sigma: Angle) -> Angle:
    """The cones roll without slip; for shafts at 90 degrees tan delta is the tooth ratio."""
    return np.arctan2(np.sin(sigma) * z, z_m + z * np.cos(sigma))


@formula("A_0", "cone distance of a bevel pair", CONES, where=MEANING)
def cone_distance(d: Length, delta: Angle) -> Length:
    """Length of the common edge of both cones."""
    return d / (2 * np.sin(delta))


@formula("d_m", "mean diameter of a bevel gear", CONES, where=MEANING)
def mean_diameter(d: Length, b: Length, delta: Angle) -> Length:
    """Diameter at half the face, where the force is taken to act."""
    return d - b * np.sin(delta)


# The virtual spur pair ---------------------------------------------------------------------------


@formula("z_v", "virtual teeth", TREDGOLD, where=MEANING)
def virtual_teeth(z: Count, delta: Angle) -> Ratio:
    """Teeth of the spur gear that the back cone unrolls to; no whole number."""
    return z / np.cos(delta)


@formula("d_v", "virtual diameter", TREDGOLD, where=MEANING)
def virtual_diameter(d: Length, delta: Angle) -> Length:
    """Twice the length of the back cone."""
    return d / np.cos(delta)


@formula("eps_v", "contact ratio of the virtual pair", ISO_21771, where=MEANING)
def virtual_contact_ratio(d_v1: Length, d_v2: Length, m: Length, alpha: Angle) -> Ratio:
    """Line of action between both tips, one module above the virtual circles, over the base pitch."""
    return (
        np.sqrt((d_v1 / 2 + m) ** 2 - (d_v1 / 2 * np.cos(alpha)) ** 2)
        + np.sqrt((d_v2 / 2 + m) ** 2 - (d_v2 / 2 * np.cos(alpha)) ** 2)
        - (d_v1 + d_v2) / 2 * np.sin(alpha)
    ) / (np.pi * m * np.cos(alpha))


@formula("z_min", "least teeth without undercut", NO_UNDERCUT, where=MEANING)
def least_teeth(delta: Angle, alpha: Angle) -> Ratio:
    """Seventeen virtual teeth at 20 degrees; fewer at a larger pressure angle."""
    return 17 * np.cos(delta) * (np.sin(TWENTY_DEGREES) / np.sin(alpha)) ** 2


@formula("b_c", "widest face by the cone", FACE, where=MEANING)
def widest_by_cone(A_0: Length) -> Length:
    """Beyond a third the small ends of the teeth are too thin to cut and to carry."""
    return A_0 / 3


@formula("b_m", "widest face by the module", FACE, where=MEANING)
def widest_by_module(m: Length) -> Length:
    """A wider face is not borne over its whole width."""
    return 10 * m


# Forces at the middle of the face ----------------------------------------------------------------


@formula("F_rk", "radial force of a bevel gear", STATICS, where=MEANING)
def radial_force(F_tm: Force, alpha: Angle, delta: Angle) -> Force:
    """Across the gear's own axis, at the mean diameter."""
    return F_tm * np.tan(alpha) * np.cos(delta)


@formula("F_ak", "axial force of a bevel gear", STATICS, where=MEANING)
def axial_force(F_tm: Force, alpha: Angle, delta: Angle) -> Force:
    """Away from the point of the cone; with shafts at 90 degrees it is the mate's radial force."""
    return F_tm * np.tan(alpha) * np.sin(delta)
