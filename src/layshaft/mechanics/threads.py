"""Screw threads: what a bolt carries, and how hard a tightening torque pulls it.

A torque wrench sets the pull of a bolt only within a quarter or a third: what must hold is reckoned
with the lowest pull, what must not overstretch with the highest.
"""

from __future__ import annotations

import math

import numpy as np

from layshaft.listings.tables import Row, table
from layshaft.trace.formula import formula
from layshaft.trace.source import MECHANICS_OF_MATERIALS, Source
from layshaft.trace.units import Angle, Area, Force, Length, Ratio, Stiffness, Stress, Torque

PROFILE = Source("ISO 724, basic dimensions of metric threads", "", "second text")
STRESS_AREA = Source("ISO 898-1, stress area of a metric thread", "", "second text")
NUT_FACTOR = Source("Shigley's Mechanical Engineering Design, 9th ed.", "bolt torque, eq. 8-27", "second text")
FRICTION = Source("U.C. Jindal, Machine Design, ch. 9", "torque from the friction of thread and head, ex. 9-3, p. 267",
                  "second text")
CONE = Source("Shigley's Mechanical Engineering Design, 9th ed.", "stiffness of clamped parts, eq. 8-20 to 8-22",
              "second text")
REUSED = Source("Shigley's Mechanical Engineering Design, 9th ed.", "preload of joints that are opened again, eq. 8-31",
                "second text")
MEGA, MILLI = 1e6, 1e-3
THREAD = {
    "d": "outside diameter of the thread", "P": "pitch", "d_2": "pitch diameter of the thread",
    "d_3": "core diameter of the thread", "A_s": "stress area of the thread", "S_p": "proof strength",
    "T": "tightening torque", "K": "nut factor", "F": "preload, the pull of the tightened bolt",
    "s": "scatter of the preload about its mean, as a share", "mu_G": "friction in the thread",
    "mu_K": "friction under the head or nut", "A": "area of the stretched section", "E": "Young's modulus",
    "l": "grip, thickness of all that is clamped", "alpha": "half the angle of the cone of pressure, 30 degrees",
    "k_b": "stiffness of the bolt", "k_m": "stiffness of the clamped parts",
}


def thread(size: str) -> Row | None:
    """The row of a size such as M10 or M16x1.5, or None where the table has none."""
    return table("threads_metric").get(size)


def property_class(name: str, d: float) -> Row | None:
    """The row of a class such as 8.8 for a bolt of diameter `d` in metres, or None where there is none."""
    for row in table("bolt_classes").rows:
        low, high = row.number("d_over_mm", MILLI), row.number("d_to_mm", MILLI)
        if row.text("class") == name and low < d <= high + 1e-9:
            return row
    return None


@formula("d_2", "pitch diameter of the thread", PROFILE, where=THREAD)
def flank_diameter(d: Length, P: Length) -> Length:
    """Three eighths of the height of the sharp profile in from the outside, on both sides."""
    return d - 0.64952 * P


@formula("d_3", "core diameter of the thread", PROFILE, where=THREAD)
def core_diameter(d: Length, P: Length) -> Length:
    """Root of the bolt's thread."""
    return d - 1.22687 * P


@formula("A_s", "stress area of the thread", STRESS_AREA, where=THREAD)
def stress_area(d_2: Length, d_3: Length) -> Area:
    """A threaded bar breaks like a plain one of the mean of pitch and core diameter."""
    return math.pi / 4 * ((d_2 + d_3) / 2) ** 2


@formula("F_p", "proof load", STRESS_AREA, where=THREAD)
def proof_load(A_s: Area, S_p: Stress) -> Force:
    """Largest pull that leaves no lasting stretch."""
    return A_s * S_p


@formula("F_75", "usual preload of a joint that is opened again", REUSED, where=THREAD)
def reusable_preload(A_s: Area, S_p: Stress) -> Force:
    """Three quarters of the proof load."""
    return 0.75 * A_s * S_p


@formula("F", "preload at a tightening torque", NUT_FACTOR, where=THREAD)
def preload(T: Torque, K: Ratio, d: Length) -> Force:
    """Most of the torque goes into friction; the nut factor holds all of it."""
    return T / (K * d)


@formula("T", "tightening torque for a preload", NUT_FACTOR, where=THREAD)
def tightening_torque(F: Force, K: Ratio, d: Length) -> Torque:
    """The same the other way about."""
    return K * F * d


@formula("F_min", "lowest preload", NUT_FACTOR, where=THREAD)
def lowest_preload(F: Force, s: Ratio) -> Force:
    """What is left of the mean where friction was high."""
    return F * (1 - s)


@formula("F_max", "highest preload", NUT_FACTOR, where=THREAD)
def highest_preload(F: Force, s: Ratio) -> Force:
    """What the same torque pulls where friction was low."""
    return F * (1 + s)


@formula("K", "nut factor from friction", FRICTION, where=THREAD)
def nut_factor(d: Length, d_2: Length, P: Length, mu_G: Ratio, mu_K: Ratio) -> Ratio:
    """Slope and friction of the thread, flanks at 30 degrees, and a head that rubs at five eighths of the diameter."""
    return d_2 / (2 * d) * (P / (math.pi * d_2) + mu_G / np.cos(math.pi / 6)) / (
        1 - P / (math.pi * d_2) * mu_G / np.cos(math.pi / 6)) + 0.625 * mu_K


@formula("k", "stiffness of a stretched bolt", MECHANICS_OF_MATERIALS, where=THREAD)
def bolt_stiffness(A: Area, E: Stress, l: Length) -> Stiffness:
    """A bar of one area over the grip."""
    return A * E / l


@formula("k_m", "stiffness of the clamped parts", CONE, where=THREAD)
def clamped_stiffness(E: Stress, d: Length, l: Length, alpha: Angle) -> Stiffness:
    """Two cones of pressure from heads one and a half diameters wide, in parts of one material."""
    return math.pi * E * d * np.tan(alpha) / (
        2 * np.log(5 * (l * np.tan(alpha) + d / 2) / (l * np.tan(alpha) + 5 / 2 * d)))


@formula("C", "share of an outside pull that reaches the bolt", CONE, where=THREAD)
def stiffness_share(k_b: Stiffness, k_m: Stiffness) -> Ratio:
    """Bolt and clamped parts stretch alike: the stiffer takes more."""
    return k_b / (k_b + k_m)


@formula("F_b", "pull of the loaded bolt", CONE, where=THREAD | {"F_P": "outside pull on one bolt"})
def bolt_pull(F: Force, C: Ratio, F_P: Force) -> Force:
    """The preload, and the share of the outside pull that reaches the bolt."""
    return F + C * F_P


@formula("F_c", "clamping force left under one bolt", CONE, where=THREAD | {"F_P": "outside pull on one bolt"})
def clamping_force(F: Force, C: Ratio, F_P: Force) -> Force:
    """The preload less the share of the outside pull that the joint itself gives up."""
    return F - (1 - C) * F_P
