"""A post of a frame: crushed or bowed by what stands on it.

Slender posts bow after Euler, stout ones after Johnson's parabola. The load is taken in the middle of
the section. Left out, since no method here rates them: loads beside the middle, sway, and the joints.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np

from layshaft.mechanics.margin import margin
from layshaft.mechanics.sections import gyration
from layshaft.trace.checks import Check
from layshaft.trace.formula import formula, group, named
from layshaft.trace.inputs import Inputs, quantity
from layshaft.trace.source import MECHANICS_OF_MATERIALS, Source
from layshaft.trace.units import (
    AREA,
    FORCE,
    LENGTH,
    RATIO,
    SECOND_MOMENT,
    STRESS,
    Area,
    Force,
    Length,
    Ratio,
    SecondMoment,
    Stress,
)

EULER = Source("Shigley's Mechanical Engineering Design, 9th ed.", "Euler and Johnson columns, eq. 4-43 to 4-48",
               "second text")
MARGIN = Source("required margin of a post", "", "common practice")
IN_THE_MIDDLE = "The load in the middle of the section. A load beside it, sway and the joints are not in it."


@dataclass(frozen=True, kw_only=True)
class ColumnInputs(Inputs):
    """One post."""

    N: Force = quantity("load along the post", FORCE, at_least=0)
    L: Length = quantity("length", LENGTH, above=0)
    k: Ratio = quantity("length that bows over length: 1 with both ends hinged, 2 with a free head", RATIO, above=0)
    A: Area = quantity("area of the section", AREA, above=0)
    I: SecondMoment = quantity("least second moment of area", SECOND_MOMENT, above=0)
    E: Stress = quantity("Young's modulus", STRESS, above=0)
    R_e: Stress = quantity("yield strength, or permitted stress of timber", STRESS, above=0)
    S_required: Ratio = quantity("required margin on crushing", RATIO, above=0)
    S_k_required: Ratio = quantity("required margin on buckling", RATIO, above=0)


@dataclass(frozen=True, slots=True)
class ColumnRating:
    """Slenderness, load at which it bows, margins."""

    slenderness: Ratio
    N_k: Force
    checks: tuple[Check, ...]


@formula("lambda_k", "slenderness", EULER, where={"i": "least radius of gyration"})
def slenderness(k: Ratio, L: Length, i: Length) -> Ratio:
    """Length that bows over the radius of gyration."""
    return k * L / i


@formula("lambda_1", "slenderness at which both curves meet", EULER)
def meeting_slenderness(E: Stress, R_e: Stress) -> Ratio:
    """At half the yield strength."""
    return (2 * math.pi**2 * E / R_e) ** 0.5


@formula("sigma_k", "stress at which it bows", EULER)
def buckling_stress(lambda_k: Ratio, lambda_1: Ratio, E: Stress, R_e: Stress) -> Stress:
    """Euler's curve beyond, Johnson's parabola before."""
    return np.where(lambda_k > lambda_1, math.pi**2 * E / np.maximum(lambda_k, lambda_1) ** 2,
                    R_e - (R_e * lambda_k / (2 * math.pi)) ** 2 / E)


@formula("N_k", "load at which it bows", EULER)
def buckling_load(sigma_k: Stress, A: Area) -> Force:
    """Stress times area."""
    return sigma_k * A


@formula("N_e", "load at which it is crushed", MECHANICS_OF_MATERIALS)
def crushing_load(R_e: Stress, A: Area) -> Force:
    """Yield strength times area."""
    return R_e * A


def rate(p: ColumnInputs) -> ColumnRating:
    """Rate one post, or many at once when the inputs are arrays."""
    with group("Post of a frame"):
        p = p.record()
        i = named("i", gyration(p.I, p.A), "least radius of gyration")
        lambda_k = slenderness(p.k, p.L, i)
        N_k = buckling_load(buckling_stress(lambda_k, meeting_slenderness(p.E, p.R_e), p.E, p.R_e), p.A)
        S_k = named("S_k", margin(N_k, p.N), "margin on buckling")
        N_e = crushing_load(p.R_e, p.A)
        S = named("S_e", margin(N_e, p.N), "margin on crushing")
    return ColumnRating(lambda_k, N_k, (
        Check("buckling", FORCE, p.N, N_k, S_k, p.S_k_required, EULER, MARGIN, IN_THE_MIDDLE),
        Check("crushing", FORCE, p.N, N_e, S, p.S_required, MECHANICS_OF_MATERIALS, MARGIN),
    ))
