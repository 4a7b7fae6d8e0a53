"""Geometry of spur and helical pairs with profile shift.

Shift coefficients count in normal modules, also for helical teeth; the basic rack is that of
ISO 53 profile A: addendum one module, dedendum one and a quarter. Signs of a pair with internal
teeth are those of ISO 21771: the ring's teeth, its diameters and the centre distance carry a minus,
and a positive shift makes its teeth thicker too.
"""

from __future__ import annotations

import numpy as np

from layshaft.mechanics.spur_teeth import pitch_line_speed as pitch_line_speed
from layshaft.trace.formula import equation, formula
from layshaft.trace.source import KINEMATICS, Source
from layshaft.trace.units import (
    ANGLE,
    Angle,
    Count,
    Length,
    Ratio,
)

ISO_21771 = Source("ISO 21771:2007, cylindrical involute gears", "geometry", "second text")
ISO_53 = Source("ISO 53:1998, basic rack", "profile A", "from memory")

LARGEST_INVOLUTE = np.tan(np.pi / 3) - np.pi / 3
"""Involute of 60 degrees; no pair works at a larger pressure angle."""

MEANING = {
    "m_n": "normal module",
    "m_t": "transverse module",
    "alpha_n": "normal pressure angle",
    "alpha_t": "transverse pressure angle",
    "alpha_wt": "working transverse pressure angle",
    "alpha": "pressure angle",
    "inv_wt": "involute of the working pressure angle",
    "beta": "helix angle",
    "z": "teeth",
    "z_1": "teeth of the pinion",
    "z_2": "teeth of the wheel",
    "x": "profile shift coefficient",
    "x_1": "profile shift coefficient of the pinion",
    "x_2": "profile shift coefficient of the wheel",
    "a": "reference centre distance",
    "a_w": "working centre distance",
    "y": "centre distance modification",
    "k": "tip shortening in modules",
    "d": "reference diameter",
    "d_a": "tip diameter",
    "d_b": "base diameter",
    "d_a1": "tip diameter of the pinion",
    "d_b1": "base diameter of the pinion",
    "d_a2": "tip diameter of the wheel",
    "d_b2": "base diameter of the wheel",
    "alpha_a": "pressure angle at the tip",
    "g_a": "length of the path of contact",
    "p_b": "base pitch",
    "b": "face width",
    "delta_c": "how much the centre distance has grown",
}


@formula("m_t", "transverse module", ISO_21771, where=MEANING)
def transverse_module(m_n: Length, beta: Angle) -> Length:
    """The normal module seen in the plane of rotation."""
    return m_n / np.cos(beta)


@formula("alpha_t", "transverse pressure angle", ISO_21771, where=MEANING)
def transverse_angle(alpha_n: Angle, beta: Angle) -> Angle:
    """The normal pressure angle seen in the plane of rotation."""
    return np.arctan(np.tan(alpha_n) / np.cos(beta))


@formula("beta_b", "helix angle at the base cylinder", ISO_21771, where=MEANING)
def base_helix(beta: Angle, alpha_n: Angle) -> Angle:
    """Less inclined than at the reference cylinder."""
    return np.arcsin(np.sin(beta) * np.cos(alpha_n))


@formula("d", "reference diameter", ISO_21771, where=MEANING)
def reference_diameter(z: Count, m_t: Length) -> Length:
    """Teeth times transverse module."""
    return z * m_t


@formula("d_b", "base diameter", ISO_21771, where=MEANING)
def base_diameter(d: Length, alpha_t: Angle) -> Length:
    """Circle the involute unrolls from."""
    return d * np.cos(alpha_t)


@formula("inv", "involute of an angle", ISO_21771, where=MEANING)
def involute(alpha: Angle) -> Angle:
    """Unrolled thread over the base radius, less the angle itself."""
    return np.tan(alpha) - alpha


@formula("inv_wt", "involute of the working pressure angle", ISO_21771,
         where=MEANING)
def working_involute(alpha_t: Angle, alpha_n: Angle, x_1: Ratio, x_2: Ratio, z_1: Count,
                     z_2: Count) -> Angle:
    """Shifted teeth are thicker and drive the centres apart until they fit without backlash."""
    return np.tan(alpha_t) - alpha_t + 2 * (x_1 + x_2) * np.tan(alpha_n) / (z_1 + z_2)


@formula("inv_rest", "residual of the working pressure angle", ISO_21771,
         where=MEANING)
def involute_residual(alpha_wt: Angle, inv_wt: Angle) -> Angle:
    """Zero where the involute of the angle is the one wanted."""
    return np.tan(alpha_wt) - alpha_wt - inv_wt


def _angle_of_involute(inv_wt: Angle) -> Angle:
    """Newton steps from above, where tan a - a is convex; unknown outside 0 to 60 degrees."""
    wanted = np.where((inv_wt > 0) & (inv_wt <= LARGEST_INVOLUTE), inv_wt, np.nan)
    angle = np.cbrt(3 * wanted)
    for _ in range(20):
        angle = angle - (np.tan(angle) - angle - wanted) / np.tan(angle) ** 2
    return angle[()]


def working_angle(inv_wt: Angle) -> Angle:
    """The working transverse pressure angle from its involute."""
    return equation(
        "alpha_wt", "working transverse pressure angle", ANGLE, _angle_of_involute,
        involute_residual, {"inv_wt": inv_wt}, ISO_21771,
    )


@formula("a", "reference centre distance", ISO_21771, where=MEANING)
def reference_centre_distance(z_1: Count, z_2: Count, m_t: Length) -> Length:
    """Sum of the reference radii."""
    return (z_1 + z_2) * m_t / 2


@formula("a_w", "working centre distance", ISO_21771, where=MEANING)
def working_centre_distance(a: Length, alpha_t: Angle, alpha_wt: Angle) -> Length:
    """The line of action keeps touching both base circles."""
    return a * np.cos(alpha_t) / np.cos(alpha_wt)


@formula("alpha_wt", "working transverse pressure angle at a centre distance", ISO_21771,
         where=MEANING, version=2,
         outside="the base circles overlap at this centre distance")
def working_angle_at(a: Length, alpha_t: Angle, a_w: Length) -> Angle:
    """The reverse: the angle the line of action takes at given centres."""
    return np.arccos(
        np.where(np.abs(a) * np.cos(alpha_t) <= np.abs(a_w), a * np.cos(alpha_t) / a_w, np.nan)
    )


@formula("x_s", "sum of the shift coefficients for a centre distance", ISO_21771,
         where=MEANING)
def shift_sum(z_1: Count, z_2: Count, alpha_t: Angle, alpha_wt: Angle, alpha_n: Angle) -> Ratio:
    """What both wheels together must be shifted by, to mesh there without backlash."""
    return (
        (z_1 + z_2) * (np.tan(alpha_wt) - alpha_wt - np.tan(alpha_t) + alpha_t)
        / (2 * np.tan(alpha_n))
    )


@formula("y", "centre distance modification", ISO_21771, where=MEANING)
def centre_modification(a_w: Length, a: Length, m_n: Length) -> Ratio:
    """How far the centres moved apart, in normal modules."""
    return (a_w - a) / m_n


@formula("k", "tip shortening in modules", ISO_21771, where=MEANING, version=2)
def tip_shortening(x_1: Ratio, x_2: Ratio, y: Ratio) -> Ratio:
    """The centres move less than the shifts: tips are turned down to keep the clearance.

    In a ring they move more, and nothing is turned down.
    """
    return np.maximum(x_1 + x_2 - y, 0.0)


@formula("d_a", "tip diameter", ISO_53, where=MEANING)
def tip_diameter(d: Length, m_n: Length, x: Ratio, k: Ratio) -> Length:
    """One module of addendum, plus shift, less shortening."""
    return d + 2 * m_n * (1 + x - k)


@formula("d_f", "root diameter", ISO_53, where=MEANING)
def root_diameter(d: Length, m_n: Length, x: Ratio) -> Length:
    """One and a quarter modules of dedendum, less shift."""
    return d - 2 * m_n * (1.25 - x)


@formula("g_a", "length of the path of contact", ISO_21771,
         where=MEANING, version=2,
         outside="a tip lies inside its base circle")
def path_of_contact(d_a1: Length, d_b1: Length, d_a2: Length, d_b2: Length, a_w: Length,
                    alpha_wt: Angle) -> Length:
    """The part of the line of action between the two tip circles; the ring's share counts less."""
    return (
        np.sqrt(np.where(d_a1 >= d_b1, d_a1**2 - d_b1**2, np.nan)) / 2
        + np.sqrt(np.where(np.abs(d_a2) >= np.abs(d_b2), d_a2**2 - d_b2**2, np.nan)) / 2
        * d_b2 / np.abs(d_b2) - a_w * np.sin(alpha_wt)
    )


@formula("p_b", "transverse base pitch", ISO_21771, where=MEANING)
def base_pitch(m_t: Length, alpha_t: Angle) -> Length:
    """Distance from flank to flank along the line of action."""
    return np.pi * m_t * np.cos(alpha_t)


@formula("eps_alpha", "contact ratio", ISO_21771, where=MEANING)
def contact_ratio(g_a: Length, p_b: Length) -> Ratio:
    """Pairs of teeth in contact, on average."""
    return g_a / p_b


@formula("eps_beta", "overlap ratio", ISO_21771, where=MEANING)
def overlap_ratio(b: Length, beta: Angle, m_n: Length) -> Ratio:
    """How far the helix carries contact along the face; for double helical use one half."""
    return b * np.sin(beta) / (np.pi * m_n)


@formula("alpha_a", "pressure angle at the tip", ISO_21771, where=MEANING, version=2,
         outside="the tip lies inside the base circle")
def tip_angle(d_b: Length, d_a: Length) -> Angle:
    """Where the involute ends."""
    return np.arccos(np.where(np.abs(d_b) <= np.abs(d_a), d_b / d_a, np.nan))


@formula("eps_a", "contact ratio of one tip", ISO_21771, where=MEANING)
def tip_contact_ratio(z: Count, alpha_a: Angle, alpha_wt: Angle) -> Ratio:
    """Contact past the pitch point; the two tips add to the contact ratio."""
    return z / (2 * np.pi) * (np.tan(alpha_a) - np.tan(alpha_wt))


@formula("x_min", "smallest shift without undercut", ISO_21771, where=MEANING)
def undercut_limit(z: Count, alpha_t: Angle, beta: Angle) -> Ratio:
    """The straight flank of the rack must end on the line of action."""
    return 1 - z * np.sin(alpha_t) ** 2 / (2 * np.cos(beta))


@formula("j_c", "backlash from centres set apart", ISO_21771, where=MEANING)
def backlash_from_centres(delta_c: Length, alpha_wt: Angle) -> Length:
    """Play at the pitch circle that a larger centre distance brings."""
    return 2 * delta_c * np.tan(alpha_wt)


@formula("d_w", "working pitch diameter of the pinion", KINEMATICS, where=MEANING)
def working_diameter(a_w: Length, z_1: Count, z_2: Count) -> Length:
    """The two pitch circles roll on each other and share the centre distance by teeth."""
    return 2 * a_w * z_1 / (z_1 + z_2)
