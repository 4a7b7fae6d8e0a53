"""Swing of speed within a turn: the rigid repeating cycle of the pulses.

Between lifts and drops the torque on the whole set is constant, so the speed rises or falls evenly
and the swing is the surplus over one lift divided by inertia and speed. Motion over time, elastic and
with every phase of several pulses, is a work of its own; here all lifts fall together, the worst case.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import numpy as np

from layshaft.machine.kinds import Pulses

if TYPE_CHECKING:
    from layshaft.train.solve import Solved


def within_a_turn(solved: Solved, shaft: str) -> Any:
    """(largest - smallest speed) / mean of a shaft over one pulse; 0 for a set without pulses."""
    s = solved.set_of(shaft)
    pulses = [load for load in solved.machine.loads.values() if isinstance(load, Pulses) and load.shaft in s.ratio]
    if not pulses:
        return np.zeros(solved.samples)
    drops = next((i for i, c in enumerate(solved.columns) if c.title.endswith("all drops together")), None)
    if drops is None:
        return np.full(solved.samples, np.nan)
    swing = np.zeros(solved.samples)
    for load in pulses:
        pitch = 2 * np.pi / load.per_turn.value
        free = (pitch - load.over.value) / np.abs(solved.speed[load.shaft][0])
        gain = np.abs(solved.acceleration[load.shaft][drops]) * free
        swing = swing + gain / np.abs(solved.speed[load.shaft][0])
    return swing
