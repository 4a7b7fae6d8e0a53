"""Flexible coupling: steady torque, peak torque, and one budget for all misalignment.

Torques after DIN 740-2 with factors for temperature and starts. Offset, angle and end float share
one budget: a coupling at the limit of one has nothing left for the others. A coupling does not
forgive a frame that moves in two places; that takes two joints and a shaft between them.
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
    TORQUE,
    TORSIONAL_STIFFNESS,
    Angle,
    Inertia,
    Length,
    Ratio,
    Temperature,
    Torque,
    TorsionalStiffness,
)

DIN_740 = Source("DIN 740-2, flexible shaft couplings", "rated and largest torque", "from memory")
TWO_MASSES = Source("DIN 740-2, flexible shaft couplings", "two-mass model of a shock",
                    "from memory")
BUDGET = Source("coupling handbooks", "used shares of the limits add up to one at most",
                "from memory")
MARGIN = Source("required margin of a coupling", "the factors are in the demand",
                "common practice")


@dataclass(frozen=True, kw_only=True)
class CouplingInputs(Inputs):
    """One coupling in one case. A rigid flange takes the alignment its frame can be set to."""

    T_N: Torque = quantity("steady torque", TORQUE, at_least=0)
    T_max: Torque = quantity("largest torque of the case, steady part included", TORQUE, at_least=0)
    T_KN: Torque = quantity("rated torque", TORQUE, above=0)
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
    S_required: Ratio = quantity("required margin", RATIO, above=0)


@dataclass(frozen=True, slots=True)
class CouplingRating:
    """Torques asked of the coupling and the share of its misalignment budget in use."""

    T_n: Torque
    T_k: Torque
    w: Ratio
    C_T: TorsionalStiffness
    checks: tuple[Check, ...]


@formula("T_n", "steady torque asked of the coupling", DIN_740)
def steady_demand(T_N: Torque, S_t: Ratio) -> Torque:
    """Warm elastomer carries less."""
    return T_N * S_t


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


def temperature_factor(theta: Temperature) -> Ratio:
    """Factor of an elastomer up to a temperature, from the next row up; unknown above the last."""
    rows = table("coupling_temperature").rows
    limits = [r.number("up_to_degC") for r in rows]
    factors = np.array([*(r.number("S_t") for r in rows), np.nan])
    return looked_up(
        "S_t", "temperature factor", RATIO, factors[np.searchsorted(limits, plain(theta))],
        table="coupling_temperature", row="next row up", source=DIN_740,
    )


def rate(c: CouplingInputs) -> CouplingRating:
    """Rate one coupling, or many at once when the inputs are arrays."""
    with group("Coupling"):
        c = c.record()
        T_n = steady_demand(c.T_N, c.S_t)
        S_N = named("S_N", margin(c.T_KN, T_n), "margin on steady torque")
        T_k = peak_demand(shock_torque(c.T_max, c.T_N), c.S_Z, c.S_t, c.T_N)
        S_k = named("S_k", margin(c.T_Kmax, T_k), "margin on peak torque")
        w = total("w", "used share of the misalignment budget", RATIO, {
            "offset": named("w_r", used_length(c.delta_r, c.r_lim), "used share of the offset"),
            "angle": used_angle(c.delta_w, c.w_lim),
            "end float": named("w_a", used_length(c.delta_a, c.a_lim), "used share of the end float"),
        }, BUDGET)
        S_w = misalignment_margin(w)
    return CouplingRating(T_n, T_k, w, c.C_T, (
        Check("steady torque", TORQUE, T_n, c.T_KN, S_N, c.S_required, DIN_740, MARGIN),
        Check("peak torque", TORQUE, T_k, c.T_Kmax, S_k, c.S_required, DIN_740, MARGIN),
        Check("misalignment", RATIO, w, 1.0, S_w, c.S_required, BUDGET, MARGIN),
    ))
