"""Strength of straight bevel teeth in the classical form: Lewis on the virtual tooth, Buckingham on its flank.

The load counts at the large end. As for spur gears of this house no notch and no share between teeth is counted, and
the torque is that of each case, so that no application factor comes on top. Mounting counts once in each check: in
the root by a factor on the load, in the flank by the three quarters of the face that are taken to bear.
"""

from __future__ import annotations

import numpy as np

from layshaft.mechanics.spur_teeth import TWENTY_DEGREES
from layshaft.trace.formula import formula
from layshaft.trace.source import Source
from layshaft.trace.units import Angle, Count, Force, Length, Ratio, Stress, Velocity

ROOT = Source("Lewis equation of bevel teeth, in Khurmi & Gupta, A Textbook of Machine Design", "ch. 30: (L - b)/L")
THIRD = Source("Jindal, Machine Design", "ch. 27: a third of the ultimate strength")
FLANK = Source("Buckingham wear load of bevel teeth, in Jindal, Machine Design", "ex. 27-4, p. 713")
GENERATED = Source("velocity factor of generated bevel teeth, in Jindal, Machine Design", "ex. 27-6")
FORM_CUT = Source("Barth velocity factor of cut teeth, in Khurmi & Gupta, A Textbook of Machine Design",
                  "ch. 30: 6/(6 + v), v in m/s")
FASTER = Source("velocity factor", "the file does not say how the teeth were cut: the larger one", "derived")
MOUNTING = Source("ANSI/AGMA 2003-B97, load distribution of bevel gears, in Shigley's Mechanical Engineering Design",
                  "eq. 15-11", "second text")

CUT_SPEED = 6.0
"""m/s at which the load of form-cut teeth is doubled."""

GENERATED_SPEED = 5.6**2
"""m/s at which the load of generated teeth is doubled."""

MILLI = 1e-3

MEANING = {
    "v": "pitch line speed at the large end",
    "K_m": "mounting factor",
    "n_o": "gears of the pair that overhang their bearings",
    "R_m": "ultimate strength",
    "sigma_b": "stress allowed at the root",
    "b": "face width",
    "m": "module at the large end",
    "Y": "form factor of the virtual tooth",
    "A_0": "cone distance",
    "d": "reference diameter of the pinion at the large end",
    "delta": "cone angle of the pinion",
    "Q": "ratio factor of the virtual pair",
    "K": "wear factor",
    "alpha": "pressure angle",
}


@formula("K_vc", "velocity factor, teeth cut by form", FORM_CUT, where=MEANING)
def form_cut_factor(v: Velocity) -> Ratio:
    """Doubled at 6 m/s."""
    return (CUT_SPEED + v) / CUT_SPEED


@formula("K_vg", "velocity factor, generated teeth", GENERATED, where=MEANING)
def generated_factor(v: Velocity) -> Ratio:
    """The printed (5.6 + sqrt v)/5.6, with v in m/s."""
    return 1 + np.sqrt(v / GENERATED_SPEED)


@formula("K_m", "mounting factor", MOUNTING, where=MEANING)
def mounting_factor(n_o: Count, b: Length) -> Ratio:
    """An overhung gear leans from its mate and loads one end of the face, a wide one more so."""
    return np.where(n_o < 1, 1.0, np.where(n_o < 2, 1.1, 1.25)) + 5.6e-6 * (b / MILLI) ** 2


@formula("sigma_b", "stress allowed at the root for long running", THIRD, where=MEANING)
def endurance_stress(R_m: Stress) -> Stress:
    """A third of the ultimate strength; the required margin comes on top."""
    return R_m / 3


@formula("F_m", "tooth load with its mounting counted", MOUNTING, where=MEANING | {"F_d": "load on the teeth"})
def mounted_load(F_d: Force, K_m: Ratio) -> Force:
    """The load that, spread evenly, would bend the root as much as the uneven one does."""
    return F_d * K_m


@formula("F_b", "tooth load the root carries", ROOT, where=MEANING,
         outside="the face is as wide as the cone is long")
def root_capacity(sigma_b: Stress, b: Length, m: Length, A_0: Length, Y: Ratio) -> Force:
    """A beam that tapers to the point of the cone: slices near it are smaller and nearer to the axis."""
    return sigma_b * b * m * Y * np.where(b < A_0, 1 - b / A_0, np.nan)


@formula("F_w", "tooth load the flank carries", FLANK, where=MEANING,
         outside="the wear factor is known for a pressure angle of 20 degrees alone")
def wear_capacity(d: Length, b: Length, Q: Ratio, K: Stress, delta: Angle, alpha: Angle) -> Force:
    """As the virtual spur pair, three quarters of the face bearing: one gear at least leans from the other."""
    return np.where(np.abs(alpha - TWENTY_DEGREES) < 1e-6, 0.75 * d * b * Q * K / np.cos(delta), np.nan)
