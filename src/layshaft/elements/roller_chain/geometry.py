"""Roller chain: pitch circles, speed, length, centre distance, wrap, slack and wear.

Index 1 is the small sprocket, 2 the large one. Usable alone: the train places shafts with it.
Length and centre distance treat a sprocket as a circle of circumference z p, as the standard does;
the pitch circle, on which the pins sit and the pull acts, is a little larger.
"""

from __future__ import annotations

import numpy as np

from layshaft.trace.formula import equation, formula
from layshaft.trace.source import KINEMATICS, STATICS, Source
from layshaft.trace.units import (
    LENGTH,
    Acceleration,
    Angle,
    Count,
    Force,
    Length,
    MassPerLength,
    Number,
    Ratio,
    Speed,
    Stiffness,
    Velocity,
)

SPROCKETS = Source("ISO 606:2015, short-pitch roller chains", "sprockets, pitch circle", "second text")
LAYOUT = Source("Shigley's Mechanical Engineering Design", "sec. 17-5, eq. 17-31 to 17-36", "second text")
SELECTION = Source("ISO 10823:2004, selection of roller chain drives", "length and centres", "second text")
WEAR = Source("a chain maker's published guidance", "permitted wear elongation", "read")
SAG = Source("elementary statics", "shallow parabola of a hanging strand", "derived")
STRETCH = Source("chain stretch under one eighth of the breaking load", "0.1 to 0.2 %", "typical")

SPARE_LINKS = 0.01
"""Share of a link that sag swallows: an exact length is not lifted by rounding errors."""
WHOLE = 1e-9
"""Keeps a whole number of engaged teeth from being rounded down by the last digit."""
STRETCH_AT_AN_EIGHTH = 0.0015
"""Share of its length by which an eighth of the breaking load stretches a chain, in the middle of 0.1 to 0.2 %."""

TEETH = {"z": "teeth of the sprocket"}


@formula("d", "pitch diameter", SPROCKETS, where=TEETH)
def pitch_diameter(p: Length, z: Count) -> Length:
    """Circle through the pin centres: the links are chords of it."""
    return p / np.sin(np.pi / z)


@formula("v", "chain speed", KINEMATICS, where={**TEETH, "omega": "turning speed of the sprocket"})
def chain_speed(p: Length, z: Count, omega: Speed) -> Velocity:
    """Each turn passes z pitches, whatever the polygon does to the lever arm."""
    return z * p * omega / (2 * np.pi)


@formula("delta_v", "chordal speed variation", LAYOUT, where=TEETH)
def chordal_variation(z: Count) -> Ratio:
    """Fastest minus slowest chain speed over the mean: the sprocket is a polygon, not a circle."""
    return np.pi / z * (1 / np.sin(np.pi / z) - 1 / np.tan(np.pi / z))


@formula("alpha", "half articulation angle", LAYOUT, where=TEETH)
def articulation(z: Count) -> Angle:
    """Half the angle a joint turns through as it runs on to the sprocket."""
    return np.pi / z


@formula("f_3", "length correction for unequal sprockets", SELECTION)
def length_factor(z_1: Count, z_2: Count) -> Ratio:
    """Square of the difference of the two radii, counted in pitches."""
    return ((z_2 - z_1) / (2 * np.pi)) ** 2


@formula("X_0", "links wanted, not yet whole", LAYOUT, where={"a_0": "wanted centre distance"})
def links_exact(a_0: Length, p: Length, z_1: Count, z_2: Count) -> Ratio:
    """Two spans, half of each sprocket, and a little for the lean of the spans (approximate)."""
    return 2 * a_0 / p + (z_1 + z_2) / 2 + ((z_2 - z_1) / (2 * np.pi)) ** 2 * p / a_0


@formula("X_even", "links, next even number", LAYOUT)
def links_even(X_0: Ratio) -> Count:
    """Inner and outer links alternate: an odd number needs a weak cranked link."""
    return 2 * np.ceil((X_0 - SPARE_LINKS) / 2)


@formula("L", "chain length", KINEMATICS)
def chain_length(X: Count, p: Length) -> Length:
    """Links times pitch, new chain."""
    return X * p


@formula(
    "a_approx", "centre distance, approximate", LAYOUT,
    outside="the chain is too short to go round both sprockets",
)
def centre_distance_approximate(X: Count, z_1: Count, z_2: Count, p: Length) -> Length:
    """Inverse of the approximate length formula."""
    return p / 4 * (
        (X - (z_1 + z_2) / 2)
        + np.sqrt(np.where(
            (X - (z_1 + z_2) / 2) ** 2 >= 8 * ((z_2 - z_1) / (2 * np.pi)) ** 2,
            (X - (z_1 + z_2) / 2) ** 2 - 8 * ((z_2 - z_1) / (2 * np.pi)) ** 2,
            np.nan,
        ))
    )


@formula("r_a", "chain length left over", SELECTION,
         outside="the centres are closer than the difference of the pitch radii")
def contact_equation(a: Length, X: Count, z_1: Count, z_2: Count, p: Length) -> Length:
    """Chain minus its path: two tangents and the arcs they leave on two circles. Zero at the answer."""
    return (
        X * p
        - 2 * np.sqrt(a**2 - ((z_2 - z_1) * p / (2 * np.pi)) ** 2)
        - p * (z_1 + z_2) / 2
        - p * (z_2 - z_1) / np.pi * np.arcsin((z_2 - z_1) * p / (2 * np.pi * a))
    )


def centre_distance_exact(X: Number, z_1: Number, z_2: Number, p: Number) -> Number:
    """Root of `contact_equation`, elementwise; NaN where the chain is too short to keep the wheels apart.

    Newton from the approximate value: the length grows with `a` at the rate 2 cos(lean) and its
    curve bends one way only, so five steps reach the last digit wherever the wheels do not touch.
    """
    step = np.abs((z_2 - z_1) * p / (2 * np.pi))  # difference of the radii
    closest = (z_1 + z_2) * p / (2 * np.pi)  # the two circles touch
    shortest = 2 * np.sqrt(closest**2 - step**2) + p * (z_1 + z_2) / 2 + 2 * step * np.arcsin(step / closest)
    fits = X * p >= shortest * (1 - WHOLE)
    path = np.where(fits, X * p, 2 * shortest)
    a = (path - p * (z_1 + z_2) / 2) / 2
    for _ in range(12):
        a = np.maximum(a, closest)
        lean = np.arcsin(step / a)
        a = a - (2 * a * np.cos(lean) + p * (z_1 + z_2) / 2 + 2 * step * lean - path) / (2 * np.cos(lean))
    a = np.where(np.equal(z_1, z_2), p * (X - z_1) / 2, a)
    return np.where(fits, a, np.nan)[()]


def centre_distance(X: Number, z_1: Number, z_2: Number, p: Number) -> Number:
    """Centre distance of a chain of X links, as an equation the sheet can show with its residual."""
    return equation(
        "a", "centre distance", LENGTH, centre_distance_exact, contact_equation,
        {"X": X, "z_1": z_1, "z_2": z_2, "p": p}, SELECTION,
    )


@formula("f_4", "centre distance factor", SELECTION, version=2,
         outside="the chain is too short to go round both sprockets")
def centre_factor(a: Length, X: Count, z_1: Count, z_2: Count, p: Length) -> Ratio:
    """The form in which the standard tabulates the exact centre distance; 0.25 for equal wheels."""
    return a / (p * np.where(2 * X > z_1 + z_2, 2 * X - z_1 - z_2, np.nan))


@formula(
    "beta", "lean of the strands against the line of centres", KINEMATICS,
    where={"d_1": "pitch diameter, small sprocket", "d_2": "pitch diameter, large sprocket"},
    outside="one sprocket would lie inside the other",
)
def lean(d_1: Length, d_2: Length, a: Length) -> Angle:
    """Common tangent of two circles."""
    return np.arcsin(np.where(np.abs(d_2 - d_1) <= 2 * a, (d_2 - d_1) / (2 * a), np.nan))


@formula("theta_1", "wrap, small sprocket", KINEMATICS)
def wrap_small(beta: Angle) -> Angle:
    """Half a turn less the lean of both strands."""
    return np.pi - 2 * beta


@formula("theta_1", "wrap, small sprocket", KINEMATICS, where={"theta_0": "wrap without idlers"})
def wrap_with_idlers(theta_0: Angle, gamma: Angle) -> Angle:
    """An idler on the back of a strand presses more of the chain onto the wheel; one inside lifts it off."""
    return theta_0 + gamma


@formula("theta_2", "wrap, large sprocket", KINEMATICS)
def wrap_large(beta: Angle) -> Angle:
    """Half a turn and the lean of both strands."""
    return np.pi + 2 * beta


@formula("K", "engaged teeth", KINEMATICS, where={**TEETH, "theta": "wrap of the sprocket"})
def engaged_teeth(z: Count, theta: Angle) -> Count:
    """Whole teeth within the wrap, rounded down to be safe."""
    return np.floor(z * theta / (2 * np.pi) + WHOLE)


@formula("l", "free span", KINEMATICS)
def free_span(a: Length, beta: Angle) -> Length:
    """Strand between the points where it leaves the two circles."""
    return a * np.cos(beta)


@formula("f", "sag at mid span", SAG, where={"e_l": "slack: strand length beyond the straight span"})
def sag_of_slack(l: Length, e_l: Length) -> Length:
    """Rise of the shallow parabola that is longer than its chord by the slack."""
    return np.sqrt(3 * l * e_l / 8)


@formula("e_s", "slack of a sagging strand", SAG)
def slack_of_sag(l: Length, s: Ratio) -> Length:
    """Length beyond the straight span that a sag of s times the span takes."""
    return 8 * s**2 * l / 3


@formula("F_low", "slack strand pull at the lower sprocket, own weight", SAG)
def slack_pull_low(q: MassPerLength, g: Acceleration, l: Length, s: Ratio, delta: Angle) -> Force:
    """Pull of a sagging strand less half the weight of a climbing one; on steep runs nothing is left."""
    return np.maximum(
        q * g * l * (np.abs(np.cos(delta)) / (8 * s) - np.abs(np.sin(delta)) / 2), 0.0
    )


@formula("F_top", "slack strand pull at the upper sprocket, own weight", STATICS)
def slack_pull_top(F_low: Force, q: MassPerLength, g: Acceleration, l: Length, delta: Angle) -> Force:
    """The upper end also carries the weight of the strand over the height it climbs."""
    return F_low + q * g * l * np.abs(np.sin(delta))


@formula(
    "e_zul", "permitted wear elongation", WEAR,
    where={"e_max": "permitted elongation, adjustable drive", "e_z": "permitted elongation times teeth",
           "e_fix": "permitted elongation, fixed centres"},
)
def permitted_elongation(z_2: Count, fixed: Count, e_max: Ratio, e_z: Ratio, e_fix: Ratio) -> Ratio:
    """A worn chain climbs its teeth: the more teeth, the sooner; less where position matters."""
    return np.minimum(
        np.where(fixed > 0, e_fix, np.where(fixed <= 0, e_max, np.nan)), e_z / z_2
    )


@formula("L_e", "growth of the chain over its life", KINEMATICS)
def elongation(e_zul: Ratio, X: Count, p: Length) -> Length:
    """Permitted share of the whole length."""
    return e_zul * X * p


@formula("a_e", "centre adjustment that takes up the wear", KINEMATICS)
def take_up_needed(L_e: Length, beta: Angle) -> Length:
    """Both spans grow as the centres part: length per centre distance is 2 cos(lean)."""
    return L_e / (2 * np.cos(beta))


@formula("k", "stiffness of the tight strand", STRETCH)
def strand_stiffness(F_u: Force, l: Length) -> Stiffness:
    """An eighth of the breaking load stretches a chain by about 0.15 %: an estimate, not a rating."""
    return F_u / 8 / (STRETCH_AT_AN_EIGHTH * l)
