"""Strength of spur teeth in the classical form: Lewis at the root, Buckingham at the flank.

No stress concentration and no share of load between teeth is counted: rough, but published, and
on the safe side for slow spur gears. Slow gears end by wear, not by fatigue.
"""

from __future__ import annotations

import numpy as np

from layshaft.mechanics.spur_teeth import BARTH as BARTH
from layshaft.mechanics.spur_teeth import WEAR as WEAR
from layshaft.mechanics.spur_teeth import dynamic_load as dynamic_load
from layshaft.mechanics.spur_teeth import form_factor as form_factor
from layshaft.mechanics.spur_teeth import ratio_factor as ratio_factor
from layshaft.mechanics.spur_teeth import wear_factor as wear_factor
from layshaft.trace.formula import formula
from layshaft.trace.source import Source
from layshaft.trace.units import (
    FOOT,
    Angle,
    Force,
    Length,
    Ratio,
    Stress,
    Velocity,
)

LEWIS = Source("Lewis equation, in Wentzell, Machine Design", "ex. 12.3, p. 258")
ENDURANCE = Source("Wentzell, Machine Design", "ex. 12.5, p. 263: half the ultimate strength")
SHIFT = Source("root thickness of a shifted tooth", "2 x tan(alpha) modules thinner", "derived")

BARTH_SPEED = 600 * FOOT / 60
"""Speed of Barth's factor for cut teeth, m/s: 600 ft/min."""

MEANING = {
    "v": "pitch line speed",
    "R_m": "ultimate strength",
    "sigma": "stress allowed at the root",
    "b": "face width",
    "m": "module",
    "Y": "form factor",
    "Y_0": "form factor of the unshifted tooth",
    "x": "profile shift coefficient",
    "alpha": "pressure angle",
    "d": "reference diameter of the pinion",
    "Q": "ratio factor",
    "K": "wear factor",
}


@formula("K_v", "velocity factor", BARTH, where=MEANING)
def barth_factor(v: Velocity) -> Ratio:
    """Cut teeth knock harder the faster they run: doubled at 600 ft/min."""
    return (BARTH_SPEED + v) / BARTH_SPEED


@formula("sigma_e", "stress allowed at the root for long running", ENDURANCE, where=MEANING)
def endurance_stress(R_m: Stress) -> Stress:
    """Half the ultimate strength; the required margin covers notch and finish."""
    return 0.5 * R_m


@formula("F_b", "tooth load the root carries", LEWIS, where=MEANING)
def root_capacity(sigma: Stress, b: Length, m: Length, Y: Ratio) -> Force:
    """The tooth as a beam of even strength, all load on one tooth near its tip."""
    return sigma * b * m * Y


@formula("Y", "form factor of the shifted tooth", SHIFT, where=MEANING)
def shifted_form_factor(Y_0: Ratio, x: Ratio, alpha: Angle) -> Ratio:
    """A negative shift thins the root and counts squared; a positive one is not counted.

    The root is taken no thicker than the tooth at the pitch circle, which errs to the safe side.
    """
    return Y_0 * (1 + 4 * np.tan(alpha) * np.minimum(x, 0 * x) / np.pi) ** 2


@formula("F_w", "tooth load the flank carries", WEAR, where=MEANING)
def wear_capacity(d: Length, b: Length, Q: Ratio, K: Stress) -> Force:
    """The largest dynamic load that running flanks bear without pitting away."""
    return d * b * Q * K
