"""Spiral spring of flat strip between an arbor and a drum: torque, turns, stress, energy, room. SI throughout.

The torque falls in proportion as it runs down, as long as the turns do not touch. Fatigue of the strip is not
rated: no method of the house has strengths for it.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from layshaft.mechanics.margin import margin
from layshaft.trace.checks import Check
from layshaft.trace.formula import formula, group, named, remark_if
from layshaft.trace.inputs import Inputs, quantity
from layshaft.trace.source import STATICS, Source
from layshaft.trace.units import (
    AREA,
    COUNT,
    LENGTH,
    RATIO,
    STRESS,
    TORQUE,
    Angle,
    Area,
    Count,
    Energy,
    Length,
    Ratio,
    Stress,
    Torque,
    TorsionalStiffness,
)

SPIRAL = Source("Bhandari, Design of Machine Elements, ch. 10", "spiral torsion spring", "read")
ROOM = Source("spring in a drum", "strip fills at most half of the space", "common practice")
STORED = Source("work with stored energy", "hold, let down, lock", "common practice")
STRIP = {"b": "width of the strip", "t": "thickness of the strip", "l": "length of the strip"}
CAUTION = (
    "A wound spiral spring let loose whips out of its drum and cuts. Never open the drum before it is let down; hold "
    "arbor and drum by a ratchet that cannot be lifted by accident, and wear gloves and goggles.")


@dataclass(frozen=True, kw_only=True)
class SpiralSpringInputs(Inputs):
    """A strip wound from its arbor into a drum."""

    N: Count = quantity("turns it is wound up", COUNT, above=0)
    N_run: Count = quantity("turns it gives back in one run", COUNT, at_least=0)
    M_least: Torque = quantity("torque asked at the end of the run", TORQUE, at_least=0)
    b: Length = quantity("width of the strip", LENGTH, above=0)
    t: Length = quantity("thickness of the strip", LENGTH, above=0)
    l: Length = quantity("length of the strip", LENGTH, above=0)
    E: Stress = quantity("modulus of elasticity", STRESS, above=0)
    c_e: Ratio = quantity("factor for the outer end: 1 clamped, 2 on a pin", RATIO, at_least=1, at_most=2)
    S_y: Stress = quantity("yield strength of the strip", STRESS, above=0)
    D_d: Length = quantity("inside diameter of the drum", LENGTH, above=0)
    D_a: Length = quantity("diameter of the arbor", LENGTH, above=0)
    fill: Ratio = quantity("share of the space the strip may fill", RATIO, above=0, at_most=1)
    S_required: Ratio = quantity("required margin", RATIO, above=0)


@dataclass(frozen=True, slots=True)
class SpiralSpringRating:
    """Rate, torque wound up and at the end, energy given, and the checks."""

    k: TorsionalStiffness
    M: Torque
    M_end: Torque
    E_run: Energy
    checks: tuple[Check, ...]


@formula("k", "rate", SPIRAL, where=STRIP)
def spring_rate(E: Stress, b: Length, t: Length, l: Length) -> TorsionalStiffness:
    """A strip of that length in pure bending."""
    return E * b * t**3 / (12 * l)


@formula("theta", "angle wound up", STATICS)
def wound_angle(N: Count) -> Angle:
    """Turns as an angle."""
    return 2 * np.pi * N


@formula("N_end", "turns left at the end of the run", STATICS, outside="it is asked to give more turns than it has")
def turns_left(N: Count, N_run: Count) -> Count:
    """What it was wound up, less what it has given."""
    return np.where(N_run <= N, N - N_run, np.nan)


@formula("M", "torque at an angle", SPIRAL)
def spring_torque(k: TorsionalStiffness, theta: Angle) -> Torque:
    """Rate times angle."""
    return k * theta


@formula("sigma", "bending stress in the strip", SPIRAL, where=STRIP | {"M": "torque wound up"})
def bending_stress(c_e: Ratio, M: Torque, b: Length, t: Length) -> Stress:
    """On a pin the far side of the strip takes twice the torque; clamped it takes the torque alone."""
    return c_e * 6 * M / (b * t**2)


@formula("E_run", "energy given in one run", STATICS, where={
    "M": "torque wound up", "M_end": "torque at the end", "theta": "angle wound up", "theta_end": "angle left"})
def run_energy(M: Torque, M_end: Torque, theta: Angle, theta_end: Angle) -> Energy:
    """Mean torque times the angle given back."""
    return (M + M_end) / 2 * (theta - theta_end)


@formula("A_s", "area of the strip, seen from the side", STATICS, where=STRIP)
def strip_area(l: Length, t: Length) -> Area:
    """Length times thickness."""
    return l * t


@formula("A_d", "area the strip may fill", ROOM)
def room_in_drum(fill: Ratio, D_d: Length, D_a: Length) -> Area:
    """A share of the ring between arbor and drum: half gives the most turns."""
    return fill * np.pi / 4 * (D_d**2 - D_a**2)


def rate(c: SpiralSpringInputs) -> SpiralSpringRating:
    """Rate one spiral spring, or many at once when the inputs are arrays."""
    with group("Spiral spring"):
        c = c.record()
        k = spring_rate(c.E, c.b, c.t, c.l)
        theta = wound_angle(c.N)
        M = spring_torque(k, theta)
        theta_end = named("theta_end", wound_angle(turns_left(c.N, c.N_run)), "angle left at the end of the run")
        M_end = named("M_end", spring_torque(k, theta_end), "torque at the end of the run")
        sigma = bending_stress(c.c_e, M, c.b, c.t)
        S_1 = named("S_1", margin(c.S_y, sigma), "margin against setting")
        S_2 = named("S_2", margin(M_end, c.M_least), "torque at the end over that asked")
        A_s, A_d = strip_area(c.l, c.t), room_in_drum(c.fill, c.D_d, c.D_a)
        S_3 = named("S_3", margin(A_d, A_s), "room over the strip")
        E_run = run_energy(M, M_end, theta, theta_end)
        remark_if(True, CAUTION, STORED)
    required = c.origins["S_required"]
    return SpiralSpringRating(k, M, M_end, E_run, (
        Check("spring set", STRESS, sigma, c.S_y, S_1, c.S_required, SPIRAL, required, CAUTION),
        Check("torque at the end", TORQUE, c.M_least, M_end, S_2, c.S_required, SPIRAL, required),
        Check("room in the drum", AREA, A_s, A_d, S_3, c.S_required, ROOM, required),
    ))
