"""Flexible coupling: steady, alternating and peak torque, one budget for all misalignment, reactions.

Torques after DIN 740-2 with factors for temperature, starts and frequency. Offset, angle and end
float share one budget: a coupling at the limit of one has nothing left for the others. A coupling
does not forgive a frame that moves in two places; that takes two joints and a shaft between them.
What it gives way to, it pushes back: stiffness times misalignment loads both shafts' bearings.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from layshaft.listings.tables import table
from layshaft.mechanics.margin import UNLOADED, margin
from layshaft.trace.checks import Check
from layshaft.trace.formula import formula, group, looked_up, named, plain, total
from layshaft.trace.inputs import Inputs, quantity
from layshaft.trace.source import Source
from layshaft.trace.units import (
    ANGLE,
    LENGTH,
    RATIO,
    REV_PER_MIN,
    SPEED,
    STIFFNESS,
    TORQUE,
    TORSIONAL_STIFFNESS,
    Angle,
    Count,
    Force,
    Inertia,
    Length,
    Ratio,
    Speed,
    Stiffness,
    Temperature,
    Torque,
    TorsionalStiffness,
)

DIN_740 = Source("DIN 740-2, flexible shaft couplings", "rated and largest torque", "from memory")
TWO_MASSES = Source("DIN 740-2, flexible shaft couplings", "two-mass model of a shock",
                    "from memory")
BUDGET = Source("coupling handbooks", "used shares of the limits add up to one at most",
                "from memory")
DYNAMIC = Source("DIN 740-2, flexible shaft couplings", "alternating torque with frequency factor",
                 "second text")
SPRING = Source("statics of a spring", "force is stiffness times way", "derived")
MARGIN = Source("required margin of a coupling", "the factors are in the demand",
                "common practice")


@dataclass(frozen=True, kw_only=True)
class CouplingInputs(Inputs):
    """One coupling in one case. A rigid flange takes the alignment its frame can be set to."""

    T_N: Torque = quantity("steady torque", TORQUE, at_least=0)
    T_max: Torque = quantity("largest torque of the case, steady part included", TORQUE, at_least=0)
    T_W: Torque = quantity("alternating torque about the steady one, amplitude", TORQUE, at_least=0)
    omega_w: Speed = quantity("alternations in a time, a full one counted as a turn", SPEED, at_least=0)
    T_KN: Torque = quantity("rated torque", TORQUE, above=0)
    T_KW: Torque = quantity("alternating torque the coupling may carry for ever", TORQUE, above=0)
    T_Kmax: Torque = quantity("largest torque the coupling may see", TORQUE, above=0)
    S_t: Ratio = quantity("temperature factor", RATIO, at_least=1)
    S_Z: Ratio = quantity("start factor", RATIO, at_least=1)
    delta_r: Length = quantity("parallel offset", LENGTH, at_least=0)
    delta_w: Angle = quantity("angle between the shafts", ANGLE, at_least=0)
    delta_a: Length = quantity("end float", LENGTH, at_least=0)
    r_lim: Length = quantity("largest parallel offset", LENGTH, above=0)
    w_lim: Angle = quantity("largest angle between the shafts", ANGLE, above=0)
    a_lim: Length = quantity("largest end float", LENGTH, above=0)
    C_T: TorsionalStiffness = quantity("torsional stiffness", TORSIONAL_STIFFNESS, above=0)
    c_r: Stiffness = quantity("radial stiffness", STIFFNESS, above=0)
    c_w: TorsionalStiffness = quantity("stiffness against an angle between the shafts", TORSIONAL_STIFFNESS, above=0)
    c_a: Stiffness = quantity("axial stiffness", STIFFNESS, above=0)
    S_required: Ratio = quantity("required margin", RATIO, above=0)


@dataclass(frozen=True, slots=True)
class CouplingRating:
    """Torques asked of the coupling, the share of its misalignment budget in use, what it pushes back with."""

    T_n: Torque
    T_w: Torque
    T_k: Torque
    w: Ratio
    C_T: TorsionalStiffness
    F_r: Force
    M_w: Torque
    F_a: Force
    checks: tuple[Check, ...]


@formula("T_n", "steady torque asked of the coupling", DIN_740)
def steady_demand(T_N: Torque, S_t: Ratio) -> Torque:
    """Warm elastomer carries less."""
    return T_N * S_t


@formula("S_f", "frequency factor", DYNAMIC)
def frequency_factor(omega_w: Speed) -> Ratio:
    """Above ten alternations a second rubber warms with the root of their number."""
    return np.sqrt(np.maximum(omega_w / (600 * REV_PER_MIN), 1.0))


@formula("T_w", "alternating torque asked of the coupling", DYNAMIC)
def alternating_demand(T_W: Torque, S_f: Ratio, S_t: Ratio) -> Torque:
    """Swing about the mean, punished for being fast and for being warm."""
    return T_W * S_f * S_t


@formula("T_S", "shock torque", DIN_740)
def shock_torque(T_max: Torque, T_N: Torque) -> Torque:
    """What the largest torque adds to the steady one."""
    return np.maximum(T_max - T_N, 0 * T_N)


@formula("T_k", "peak torque asked of the coupling", DIN_740)
def peak_demand(T_S: Torque, S_Z: Ratio, S_t: Ratio, T_N: Torque) -> Torque:
    """Shock with start and temperature factors, on top of the warm steady torque."""
    return T_S * S_Z * S_t + T_N * S_t


@formula(
    "T_SA", "shock from the driving side", TWO_MASSES,
    where={"T_AS": "largest torque on the driving side", "J_A": "inertia of the driving side",
           "J_L": "inertia of the driven side", "S_A": "shock factor"},
)
def shock_from_drive(T_AS: Torque, J_A: Inertia, J_L: Inertia, S_A: Ratio) -> Torque:
    """The coupling passes on what it takes to speed up the driven side."""
    return T_AS * J_L / (J_A + J_L) * S_A


@formula(
    "T_SL", "shock from the driven side", TWO_MASSES,
    where={"T_LS": "largest torque on the driven side", "J_A": "inertia of the driving side",
           "J_L": "inertia of the driven side", "S_L": "shock factor"},
)
def shock_from_load(T_LS: Torque, J_A: Inertia, J_L: Inertia, S_L: Ratio) -> Torque:
    """The coupling passes on what it takes to speed up the driving side."""
    return T_LS * J_A / (J_A + J_L) * S_L


@formula("w_l", "used share of a limit of length", BUDGET,
         where={"delta": "offset or end float", "limit": "largest offset or end float"})
def used_length(delta: Length, limit: Length) -> Ratio:
    """What is there over what is allowed, on its own."""
    return delta / limit


@formula("w_w", "used share of the angle", BUDGET)
def used_angle(delta_w: Angle, w_lim: Angle) -> Ratio:
    """What is there over what is allowed, on its own."""
    return delta_w / w_lim


@formula("S_w", "margin on misalignment", BUDGET)
def misalignment_margin(w: Ratio) -> Ratio:
    """The whole budget over the share in use."""
    return 1 / np.maximum(w, 1 / UNLOADED)


@formula("F_r", "push of the offset on both shafts", SPRING)
def radial_reaction(c_r: Stiffness, delta_r: Length) -> Force:
    """The coupling wants its two halves in line; its direction stands still while the shafts turn."""
    return c_r * delta_r


@formula("M_w", "bending couple of the angle on both shafts", SPRING)
def bending_reaction(c_w: TorsionalStiffness, delta_w: Angle) -> Torque:
    """The coupling wants its two halves parallel."""
    return c_w * delta_w


@formula("F_a", "axial push of the end float on both shafts", SPRING)
def axial_reaction(c_a: Stiffness, delta_a: Length) -> Force:
    """The coupling wants its gap back."""
    return c_a * delta_a


STEEL = "steel"
COLDEST = -20.0
"""Below this the elastomers of the table stiffen, and it has no factor."""


def _next_row_up(name: str, limit: str, column: str, value: Ratio) -> Ratio:
    """Value of the first row whose limit is not passed; unknown above the last, and for what is not known."""
    rows = table(name).rows
    factors = np.array([*(r.number(column) for r in rows), np.nan])
    return factors[np.searchsorted([r.number(limit) for r in rows], value)]


def temperature_factor(theta: Temperature, element: str = "S_t") -> Ratio:
    """Factor of an elastic element up to a temperature, from the next row up.

    `element` is a column of the table, by default that of an elastomer in general. Unknown below
    -20 degC and above the last row of the element.
    """
    warm = _next_row_up("coupling_temperature", "up_to_degC", element, plain(theta))
    factor = np.where(plain(theta) < COLDEST, np.nan, warm)
    return looked_up("S_t", "temperature factor", RATIO, factor, table="coupling_temperature", row="next row up",
                     source=DIN_740)


def start_factor(z: Count) -> Ratio:
    """Factor for starts an hour, from the next row up; unknown above 240."""
    return looked_up("S_Z", "start factor", RATIO, _next_row_up("coupling_starts", "up_to_per_hour", "S_Z", plain(z)),
                     table="coupling_starts", row="next row up", source=DIN_740)


def rate(c: CouplingInputs) -> CouplingRating:
    """Rate one coupling, or many at once when the inputs are arrays."""
    with group("Coupling"):
        c = c.record()
        T_n = steady_demand(c.T_N, c.S_t)
        S_N = named("S_N", margin(c.T_KN, T_n), "margin on steady torque")
        T_w = alternating_demand(c.T_W, frequency_factor(c.omega_w), c.S_t)
        S_W = named("S_W", margin(c.T_KW, T_w), "margin on alternating torque")
        T_k = peak_demand(shock_torque(c.T_max, c.T_N), c.S_Z, c.S_t, c.T_N)
        S_k = named("S_k", margin(c.T_Kmax, T_k), "margin on peak torque")
        w = total("w", "used share of the misalignment budget", RATIO, {
            "offset": named("w_r", used_length(c.delta_r, c.r_lim), "used share of the offset"),
            "angle": used_angle(c.delta_w, c.w_lim),
            "end float": named("w_a", used_length(c.delta_a, c.a_lim), "used share of the end float"),
        }, BUDGET)
        S_w = misalignment_margin(w)
        F_r, M_w = radial_reaction(c.c_r, c.delta_r), bending_reaction(c.c_w, c.delta_w)
        F_a = axial_reaction(c.c_a, c.delta_a)
    return CouplingRating(T_n, T_w, T_k, w, c.C_T, F_r, M_w, F_a, (
        Check("steady torque", TORQUE, T_n, c.T_KN, S_N, c.S_required, DIN_740, MARGIN),
        Check("alternating torque", TORQUE, T_w, c.T_KW, S_W, c.S_required, DYNAMIC, MARGIN),
        Check("peak torque", TORQUE, T_k, c.T_Kmax, S_k, c.S_required, DIN_740, MARGIN),
        Check("misalignment", RATIO, w, 1.0, S_w, c.S_required, BUDGET, MARGIN),
    ))
