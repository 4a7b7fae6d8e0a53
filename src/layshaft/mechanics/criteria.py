"""Other lines between alternating and mean stress than Goodman's, with the same equivalent stresses.

Soderberg asks most: it guards against yield as well. Gerber and the ellipse run through the middle of the
test points and do not guard against yield in the first turn; a margin by them needs the one against yield
beside it.
"""

from __future__ import annotations

import math

import numpy as np

from layshaft.trace.formula import formula
from layshaft.trace.source import Source
from layshaft.trace.units import Length, Ratio, Stress, Torque

BOOK = "Shigley's Mechanical Engineering Design, 9th ed."
GERBER = Source(BOOK, "sec. 7-4, DE-Gerber", "second text")
ELLIPTIC = Source(BOOK, "sec. 7-4, DE-ASME elliptic", "second text")
SODERBERG = Source(BOOK, "sec. 7-4, DE-Soderberg", "second text")
LEAST = 1e-6
"""One over the factor of a place that carries nothing: finite, so that it can be said to hold."""

STRESSES = {
    "sigma_a": "alternating equivalent stress", "sigma_m": "mean equivalent stress",
    "S_e": "endurance limit of the part", "R_m": "tensile strength", "R_e": "yield strength",
    "A": "alternating equivalent moment", "B": "mean equivalent moment", "n": "wanted margin",
}


@formula("S_S", "margin by Soderberg's line", SODERBERG, where=STRESSES)
def soderberg_margin(sigma_a: Stress, sigma_m: Stress, S_e: Stress, R_e: Stress) -> Ratio:
    """A straight line to the yield strength."""
    return 1 / np.maximum(sigma_a / S_e + sigma_m / R_e, LEAST)


@formula("S_G", "margin by Gerber's parabola", GERBER, where=STRESSES)
def gerber_margin(sigma_a: Stress, sigma_m: Stress, S_e: Stress, R_m: Stress) -> Ratio:
    """A parabola to the tensile strength: the root of S a + (S m)^2 = 1."""
    return 2 / np.maximum(sigma_a / S_e + np.sqrt((sigma_a / S_e) ** 2 + (2 * sigma_m / R_m) ** 2), LEAST)


@formula("S_E", "margin by the ellipse", ELLIPTIC, where=STRESSES)
def elliptic_margin(sigma_a: Stress, sigma_m: Stress, S_e: Stress, R_e: Stress) -> Ratio:
    """A quarter of an ellipse to the yield strength."""
    return 1 / np.maximum(np.hypot(sigma_a / S_e, sigma_m / R_e), LEAST)


@formula("d", "diameter by DE-Soderberg", SODERBERG, where=STRESSES)
def soderberg_diameter(n: Ratio, A: Torque, S_e: Stress, B: Torque, R_e: Stress) -> Length:
    """Diameter at which the margin is just reached."""
    return np.cbrt(16 * n / math.pi * (A / S_e + B / R_e))


@formula("d", "diameter by DE-Gerber", GERBER, where=STRESSES)
def gerber_diameter(n: Ratio, A: Torque, S_e: Stress, B: Torque, R_m: Stress) -> Length:
    """Diameter at which the margin is just reached."""
    return np.cbrt(8 * n / math.pi * (A / S_e + np.sqrt((A / S_e) ** 2 + (2 * B / R_m) ** 2)))


@formula("d", "diameter by the DE ellipse", ELLIPTIC, where=STRESSES)
def elliptic_diameter(n: Ratio, A: Torque, S_e: Stress, B: Torque, R_e: Stress) -> Length:
    """Diameter at which the margin is just reached."""
    return np.cbrt(16 * n / math.pi * np.hypot(A / S_e, B / R_e))
