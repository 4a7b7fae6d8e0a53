"""Bringing turning masses together or to rest by friction: how long it takes, and the heat it makes.

The friction torque counts as constant, and so does what goes on driving or resisting meanwhile: a weight that still
hangs on the train, the load behind a clutch. Losses are left out, which makes time and heat upper bounds.
"""

from __future__ import annotations

import numpy as np

from layshaft.trace.formula import formula
from layshaft.trace.source import Source
from layshaft.trace.units import Energy, Inertia, Ratio, Speed, Time, Torque

ENGAGING = Source("Bhandari, Design of Machine Elements", "ch. 11, heat of a clutching operation", "second text")
STOPPING = Source("Bhandari, Design of Machine Elements", "ch. 12, energy absorbed by a brake", "second text")
UNDER_LOAD = Source("dynamics of two masses under constant torques", obtained="derived")

MEANING = {
    "J_1": "moment of inertia on the driving side, without end where the drive keeps its speed",
    "J_2": "moment of inertia on the driven side",
    "J": "moment of inertia that is stopped", "T_b": "friction torque", "T_w": "torque that goes on driving meanwhile",
    "omega": "turning speed", "d_omega": "difference of the two speeds when they meet", "t": "time",
}


@formula("J_r", "moment of inertia of two masses against each other", UNDER_LOAD, where=MEANING)
def reduced_inertia(J_1: Inertia, J_2: Inertia) -> Inertia:
    """The smaller of two very unequal ones; a drive that keeps its speed counts as endless."""
    return J_2 / (1 + J_2 / J_1)


@formula("T_n", "torque left to change the speed", UNDER_LOAD, where=MEANING,
         outside="the friction torque is no more than what goes on driving: the speeds never meet")
def net_torque(T_b: Torque, T_w: Torque) -> Torque:
    """What the load or the weight goes on asking is lost to the change of speed."""
    return np.where(T_b > T_w, T_b - T_w, np.nan)


@formula("t_s", "time of slipping", UNDER_LOAD, where=MEANING | {"J": "moment of inertia that changes its speed",
                                                              "T_n": "torque left to change the speed"})
def slip_time(J: Inertia, d_omega: Speed, T_n: Torque) -> Time:
    """Change of speed over its rate."""
    return J * d_omega / T_n


@formula("E_s", "heat of one slip", STOPPING, where=MEANING)
def slip_heat(T_b: Torque, d_omega: Speed, t: Time) -> Energy:
    """Friction torque times the angle slipped: half the speed difference over the time."""
    return T_b * d_omega * t / 2


@formula("q_a", "share of the turning energy that the brake reaches", UNDER_LOAD,
         where={"E_r": "energy of what the brake stops", "E_a": "energy of all that turns"})
def reached(E_r: Energy, E_a: Energy) -> Ratio:
    """What runs on behind a one-way hub is not reached."""
    return np.where(E_a > 0, E_r / np.where(E_a > 0, E_a, np.nan), np.where(E_a == 0, 1.0, np.nan))
