"""Notches cut into a round shaft: turned grooves and holes drilled across.

Shape alone, as in `mechanics.notch`: the factors hold on the stress at the bottom of a groove, and on that
of the whole bar at a hole. Fits to Peterson's charts for a groove with a round bottom; a ring groove with a
flat bottom and the same corner radius lies a little below.
"""

from __future__ import annotations

import math
from typing import Any

import numpy as np

from layshaft.mechanics import notch
from layshaft.trace.formula import formula, named
from layshaft.trace.source import Source
from layshaft.trace.units import Length, Ratio

GROOVE = Source("Peterson's Stress Concentration Factors, 3rd ed.", "round bar with a U-shaped groove", "second text")
HOLE_BENDING = Source("Roark's Formulas for Stress and Strain", "Table 17.1, radial hole in a shaft, bending",
                      "from memory")
HOLE_TORSION = Source("Roark's Formulas for Stress and Strain", "Table 17.1, radial hole in a shaft, torsion",
                      "second text")
RIM = Source("distortion energy at the rim of a hole, where the stress is one plain pull", obtained="derived")
STRIP = Source("bar less the strip that a hole takes out of it", "as charts and DIN 743-2 form it", "from memory")
GROOVES = "the groove is shallower than a quarter of its radius or deeper than 50 radii"
HOLES = "the hole is wider than 0.4 of the shaft"
OF_GROOVE = {"t": "depth of the groove over its radius", "z": "depth of the groove over the radius of the shaft"}


@formula("K_t", "stress concentration in bending, round groove", GROOVE, where=OF_GROOVE)
def bending_round_groove(t: Ratio, z: Ratio) -> Ratio:
    """Cubic in the depth, for grooves a quarter to two radii deep."""
    return (0.594 + 2.958 * np.sqrt(t) - 0.520 * t
            + (0.422 - 10.545 * np.sqrt(t) + 2.692 * t) * z
            + (0.501 + 14.375 * np.sqrt(t) - 4.486 * t) * z**2
            + (-0.613 - 6.573 * np.sqrt(t) + 2.177 * t) * z**3)


@formula("K_t", "stress concentration in bending, sharp groove", GROOVE, where=OF_GROOVE)
def bending_sharp_groove(t: Ratio, z: Ratio) -> Ratio:
    """Cubic in the depth, for grooves 2 to 50 radii deep."""
    return (0.965 + 1.926 * np.sqrt(t)
            + (-2.773 - 4.414 * np.sqrt(t) - 0.017 * t) * z
            + (4.785 + 4.681 * np.sqrt(t) + 0.096 * t) * z**2
            + (-1.995 - 2.241 * np.sqrt(t) - 0.074 * t) * z**3)


@formula("K_ts", "stress concentration in torsion, round groove", GROOVE, where=OF_GROOVE)
def torsion_round_groove(t: Ratio, z: Ratio) -> Ratio:
    """Cubic in the depth, for grooves a quarter to two radii deep."""
    return (0.966 + 1.056 * np.sqrt(t) - 0.022 * t
            + (-0.192 - 4.037 * np.sqrt(t) + 0.674 * t) * z
            + (0.808 + 5.321 * np.sqrt(t) - 1.231 * t) * z**2
            + (-0.567 - 2.364 * np.sqrt(t) + 0.566 * t) * z**3)


@formula("K_ts", "stress concentration in torsion, sharp groove", GROOVE, where=OF_GROOVE)
def torsion_sharp_groove(t: Ratio, z: Ratio) -> Ratio:
    """Cubic in the depth, for grooves 2 to 50 radii deep."""
    return (1.089 + 0.924 * np.sqrt(t) + 0.018 * t
            + (-1.504 - 2.141 * np.sqrt(t) - 0.047 * t) * z
            + (2.486 + 2.289 * np.sqrt(t) + 0.091 * t) * z**2
            + (-1.056 - 1.104 * np.sqrt(t) - 0.059 * t) * z**3)


@formula("K", "stress concentration of the groove", GROOVE, outside=GROOVES, where={
    **OF_GROOVE, "K_round": "by the fit for round grooves", "K_sharp": "by the fit for sharp grooves",
})
def groove_fit(K_round: Ratio, K_sharp: Ratio, t: Ratio) -> Ratio:
    """The fit that belongs to the depth."""
    return np.where((t >= 0.25) & (t <= 50), np.where(t <= 2, K_round, K_sharp), np.nan)


@formula("K_t", "stress concentration of a cross hole in bending", HOLE_BENDING, outside=HOLES, where={
    "d_h": "diameter of the hole", "d": "diameter of the shaft",
})
def hole_in_bending(d_h: Length, d: Length) -> Ratio:
    """3, as in a wide plate, for a fine hole; on the stress of the whole bar."""
    return np.where(d_h <= 0.4 * d, 3.000 - 6.250 * (d_h / d) + 41.000 * (d_h / d) ** 2, np.nan)


@formula("K_s", "greatest pull at a cross hole over the shear stress of the whole bar", HOLE_TORSION, outside=HOLES,
         where={"d_h": "diameter of the hole", "d": "diameter of the shaft"})
def hole_in_torsion(d_h: Length, d: Length) -> Ratio:
    """4, as in a wide plate under pure shear, for a fine hole."""
    return np.where(d_h <= 0.4 * d,
                    4.000 - 6.793 * (d_h / d) + 38.382 * (d_h / d) ** 2 - 44.576 * (d_h / d) ** 3, np.nan)


@formula("K_ts", "stress concentration of a cross hole in torsion", RIM, where={
    "K_s": "greatest pull over the shear stress of the whole bar",
})
def as_shear(K_s: Ratio) -> Ratio:
    """A plain pull counts as the shear stress that is root three times smaller. Charts give half of the pull."""
    return K_s / np.sqrt(3)


@formula("w", "section modulus of the whole bar over what a cross hole leaves", STRIP, where={
    "strip": "16/3 in bending, 8/3 in torsion", "d_h": "diameter of the hole", "d": "diameter of the shaft",
}, version=2,
         outside="the hole leaves nothing of the bar")
def left_by_hole(strip: Ratio, d_h: Length, d: Length) -> Ratio:
    """The bar less a strip as wide as the hole: d_h d^2/6 of its section modulus, in bending across the hole."""
    return 1 / np.where(strip / math.pi * d_h < d, 1 - strip / math.pi * d_h / d, np.nan)


def groove(D: Any, d: Any, r: Any) -> tuple[Any, Any]:
    """K_t and K_ts of a groove from D down to d with a round bottom of radius r; unknown outside the fits."""
    t, z = notch.height_ratio(D, d, r), notch.height_share(D, d)
    bending = groove_fit(named("K_round", bending_round_groove(t, z)), named("K_sharp", bending_sharp_groove(t, z)), t)
    torsion = groove_fit(named("K_round", torsion_round_groove(t, z)), named("K_sharp", torsion_sharp_groove(t, z)), t)
    return (named("K_t", bending, "stress concentration of the groove in bending"),
            named("K_ts", torsion, "stress concentration of the groove in torsion"))


def cross_hole(d_h: Any, d: Any) -> tuple[Any, Any]:
    """K_t and K_ts of a hole drilled right through; unknown where it is wider than the fits go."""
    return hole_in_bending(d_h, d), as_shear(hole_in_torsion(d_h, d))


def lost_to_hole(d_h: Any, d: Any) -> tuple[Any, Any]:
    """How much the nominal stress rises beside a cross hole, in bending and in torsion."""
    return left_by_hole(16 / 3, d_h, d), left_by_hole(8 / 3, d_h, d)
