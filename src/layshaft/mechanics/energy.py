"""Where the power goes: each loss by its own formula, never as a remainder."""

from __future__ import annotations

import numpy as np

from layshaft.trace.formula import formula
from layshaft.trace.source import STATICS, Source
from layshaft.trace.units import (
    Acceleration,
    Count,
    Energy,
    Force,
    Length,
    Mass,
    Power,
    Ratio,
    Speed,
    Time,
    Torque,
    Velocity,
)

PURCHASE = Source("statics of a rope purchase", "geometric series of the falls", "derived")

MEANING = {
    "e": "loss of a pulley, as a share of the arriving force", "k": "falls that carry the weight",
    "v_m": "speed of the weight",
    "P_in": "power that enters the stage", "eta": "efficiency of the stage", "T": "torque",
    "omega": "turning speed", "F_1": "tension of the tight part", "F_2": "tension of the slack part",
    "v": "speed of the chain or rope at the drive wheel", "P": "power", "t": "time",
    "M": "mass of the weight", "m": "mass of the counterweight", "g": "acceleration of free fall",
    "h": "drop",
    "n": "parts of chain or rope that carry the weight", "v_w": "speed of the part that is wound up",
}


@formula("P_s", "power at a shaft", STATICS, where=MEANING)
def shaft_power(T: Torque, omega: Speed) -> Power:
    """Torque times turning speed."""
    return T * omega


@formula("P_v", "loss of a stage", STATICS, where=MEANING)
def stage_loss(P_in: Power, eta: Ratio) -> Power:
    """The share that does not get through, of the power that enters on whichever side."""
    return np.abs(P_in) * (1 - eta)


@formula("P_d", "loss of a constant drag", STATICS, where=MEANING)
def drag_loss(T: Torque, omega: Speed) -> Power:
    """A seal rubs with the same torque at any speed."""
    return T * np.abs(omega)


@formula("P_p", "loss of a pulley in a bight", STATICS, where=MEANING)
def pulley_loss(F_1: Force, F_2: Force, v: Velocity) -> Power:
    """Difference of the two tensions times the speed of the chain against the pulley, half of v."""
    return (F_1 - F_2) * v / 2


@formula(
    "P_k", "loss of the pulleys of a purchase, weight sinking", PURCHASE,
    where=MEANING | {"F": "rope force at the drum, the weakest fall"},
)
def purchase_loss_sinking(F: Force, e: Ratio, k: Count, v_m: Velocity) -> Power:
    """Sum over the pulleys of tension difference times rope speed against the pulley.

    Pulley j has F (1 + e)^j and F (1 + e)^(j+1) on its sides, j from 0 to k - 2, and passes the rope
    that k - 1 - j falls take up, each at the speed of the weight; the sum of the series is written out.
    """
    return F * v_m * (np.where(e == 0, k, np.expm1(k * np.log1p(e)) / np.where(e == 0, np.nan, e)) - k)


@formula(
    "P_k", "loss of the pulleys of a purchase, weight rising", PURCHASE,
    where=MEANING | {"F": "rope force at the drum, the strongest fall"},
)
def purchase_loss_rising(F: Force, e: Ratio, k: Count, v_m: Velocity) -> Power:
    """The same pulleys in the other sense: tensions fall from the drum on, F / (1 + e)^j."""
    return F * v_m * (k - np.where(
        e == 0, k, -np.expm1(-k * np.log1p(e)) * (1 + e) / np.where(e == 0, np.nan, e)
    ))


@formula("E_net", "energy of a full drop, counterweight lifted", STATICS, where=MEANING)
def net_drop_energy(M: Mass, m: Mass, g: Acceleration, h: Length) -> Energy:
    """The weight comes down while the counterweight goes up the same way."""
    return (M - m) * g * h


@formula("E", "energy over a time", STATICS, where=MEANING)
def energy_over(P: Power, t: Time) -> Energy:
    """Steady power times time."""
    return P * t


@formula("t_r", "time to wind a full drop while the machine runs", STATICS,
         outside="the crank takes up no faster than the machine pays out", where=MEANING)
def rewinding_time(n: Count, h: Length, v_w: Velocity, v: Velocity) -> Time:
    """The machine goes on paying out while the crank takes up; unknown unless it takes up faster."""
    return n * h / np.where(v_w > v, v_w - v, np.nan)
