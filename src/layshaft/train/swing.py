"""Swing of speed within a turn: the rigid repeating cycle of pulses and of torques by angle.

The speed swings by the fluctuation of energy over inertia and square of the speed; the inertia is told by how the
train gains speed where every load is at its smallest torque. Motion over time, with every phase of several loads,
is a work of its own; here all fluctuations fall together, the worst case.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import numpy as np

from layshaft.machine.kinds import PERIODIC
from layshaft.mechanics import by_angle
from layshaft.train.by_angle import curve_of

if TYPE_CHECKING:
    from layshaft.train.solve import Solved


def within_a_turn(solved: Solved, shaft: str) -> Any:
    """(largest - smallest speed) / mean of a shaft within a turn; 0 for a set without such loads, where it turns."""
    s = solved.set_of(shaft)
    found = [load for load in solved.machine.loads.values() if isinstance(load, PERIODIC) and load.shaft in s.ratio]
    if not found:
        return np.where((np.abs(solved.speed[shaft]) > 0).any(axis=0), 0.0, np.nan)
    drops = next((i for i, c in enumerate(solved.columns) if c.title.endswith("all drops together")), None)
    if drops is None:
        return np.full(solved.samples, np.nan)
    omega, alpha = np.abs(solved.speed[shaft][0]), solved.acceleration[shaft][drops]
    energy = surplus = np.zeros(solved.samples)
    for load in found:
        curve, turns = curve_of(solved.machine, load), abs(s.ratio[load.shaft] / s.ratio[shaft])
        energy = energy + curve.fluctuation
        surplus = surplus + (curve.mean - curve.smallest) * turns
    return np.where(energy == 0, 0.0, by_angle.swing_of_surplus(energy, surplus, alpha, omega))
