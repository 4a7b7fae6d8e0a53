"""V belts side by side on two pulleys: grip, life, size of the small pulley.

Each pass bends the belt round both pulleys. Bending counts as a tension of its own, and life follows
from the two peaks by a fit to the makers' ratings, good from 1e8 to 1e9 passes.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from layshaft.elements.belt.geometry import belt_length, belt_speed, wrap_small
from layshaft.elements.belt.tension import (
    SHIGLEY,
    centrifugal_tension,
    effective_pull,
    groove_friction,
    pressing_tension,
    pulley_force,
    slip_pull,
    tension_ratio,
    tight_tension,
)
from layshaft.mechanics.margin import margin
from layshaft.trace.checks import Check
from layshaft.trace.formula import formula, group, named, remark_if
from layshaft.trace.inputs import Inputs, quantity
from layshaft.trace.source import KINEMATICS, Source
from layshaft.trace.units import (
    ANGLE,
    COUNT,
    DEGREE,
    FORCE,
    LENGTH,
    MASS_PER_LENGTH,
    RATIO,
    SPEED,
    TIME,
    TORQUE,
    Angle,
    Count,
    Force,
    Length,
    MassPerLength,
    Ratio,
    Speed,
    Time,
    Torque,
    Velocity,
)

LIFE = Source("Shigley's Mechanical Engineering Design, 9th ed.", "eq. 17-27 and tables 17-16, 17-17", "from memory")
PINCH = Source("moving belts", "nip where belt meets pulley", "common practice")
GUARD = ("A belt draws fingers, hair and cloth in where it runs onto its pulley, at any speed. Guard both pulleys; "
         "never touch it while anything can turn. A belt that slips or jumps off holds nothing: no weight over "
         "people may depend on it.")
MOST_PASSES = 1e9
"""Passes up to which the published life of a belt goes."""

LEAST_PASSES = 1e8
"""Passes from which on the published life of a belt goes."""


@dataclass(frozen=True, kw_only=True)
class VBeltInputs(Inputs):
    """Equal V belts side by side on two pulleys."""

    T: Torque = quantity("torque at the small pulley", TORQUE, at_least=0)
    omega: Speed = quantity("turning speed of the small pulley", SPEED, at_least=0)
    d: Length = quantity("pitch diameter of the small pulley", LENGTH, above=0)
    D: Length = quantity("pitch diameter of the large pulley", LENGTH, above=0)
    a: Length = quantity("distance of the two axes", LENGTH, above=0)
    i: Count = quantity("belts side by side", COUNT, at_least=1)
    F_0: Force = quantity("tension of one strand of one belt, at rest", FORCE, at_least=0)
    q: MassPerLength = quantity("mass per length of one belt", MASS_PER_LENGTH, at_least=0)
    mu: Ratio = quantity("friction of belt on flank", RATIO, above=0)
    beta: Angle = quantity("angle of the groove", ANGLE, above=0, at_most=180 * DEGREE)
    K_b: Torque = quantity("bending constant of the section", TORQUE, at_least=0)
    K: Force = quantity("fatigue strength of the section", FORCE, above=0)
    b: Ratio = quantity("fatigue exponent of the section", RATIO, above=0)
    d_least: Length = quantity("least pitch diameter of the section", LENGTH, above=0)
    t_life: Time = quantity("running time of the whole life", TIME, at_least=0)
    S_required: Ratio = quantity("required margin", RATIO, above=0)


@dataclass(frozen=True, slots=True)
class VBeltRating:
    """Tensions and force on the shaft, and the checks of the belts."""

    F_e: Force
    F_1: Force
    F_s: Force
    L: Length
    checks: tuple[Check, ...]


@formula("F_b", "tension that wears as the bending does", LIFE, where={"d": "pitch diameter of that pulley"})
def bending_pull(K_b: Torque, d: Length) -> Force:
    """The smaller the pulley, the harder each pass."""
    return K_b / d


@formula("T_p", "peak tension on a pulley", LIFE)
def peak_tension(F_1: Force, F_b: Force) -> Force:
    """Tight strand and bending together."""
    return F_1 + F_b


@formula("N_P", "passes the belt lasts", LIFE, outside="fewer than 1e8 passes: below the range of the life fit",
         where={"T_1": "peak tension on the small pulley", "T_2": "peak tension on the large pulley"})
def life_passes(K: Force, b: Ratio, T_1: Force, T_2: Force) -> Count:
    """Damage of the two peaks of each pass added up; a longer life counts as 1e9, the end of the fit."""
    return np.where((T_1 / K) ** b + (T_2 / K) ** b <= 1 / LEAST_PASSES,
                    np.minimum(1 / ((T_1 / K) ** b + (T_2 / K) ** b), MOST_PASSES), np.nan)


@formula("N", "passes wanted", KINEMATICS)
def passes_wanted(v: Velocity, t_life: Time, L: Length) -> Count:
    """Way run over the belt's length."""
    return v * t_life / L


def rate(c: VBeltInputs) -> VBeltRating:
    """Rate one V belt drive, or many at once when the inputs are arrays."""
    with group("V belt"):
        c = c.record()
        theta = wrap_small(c.d, c.D, c.a)
        L = belt_length(c.d, c.D, c.a)
        v = belt_speed(c.omega, c.d)
        F_e = effective_pull(c.T, c.d)
        F_c = centrifugal_tension(c.q, v)
        R = tension_ratio(groove_friction(c.mu, c.beta), theta)
        F_slip = slip_pull(pressing_tension(c.F_0, F_c), R, c.i)
        S_g = named("S_g", margin(F_slip, F_e), "margin against slip")
        F_1 = tight_tension(c.F_0, F_c, F_e, c.i)
        small = named("T_1", peak_tension(F_1, named("F_b1", bending_pull(c.K_b, c.d))))
        large = named("T_2", peak_tension(F_1, named("F_b2", bending_pull(c.K_b, c.D))))
        N_P = life_passes(c.K, c.b, small, large)
        N = passes_wanted(v, c.t_life, L)
        S_l = named("S_l", margin(N_P, N), "passes over those wanted")
        S_d = named("S_d", margin(c.d, c.d_least), "small pulley over the least of the section")
        remark_if(True, GUARD, PINCH)
    required = c.origins["S_required"]
    return VBeltRating(F_e, F_1, pulley_force(c.F_0, c.i, theta), L, (
        Check("grip", FORCE, F_e, F_slip, S_g, c.S_required, SHIGLEY, required, GUARD),
        Check("belt life", COUNT, N, N_P, S_l, c.S_required, LIFE, required),
        Check("pulley size", LENGTH, c.d_least, c.d, S_d, c.S_required, LIFE, required),
    ))
