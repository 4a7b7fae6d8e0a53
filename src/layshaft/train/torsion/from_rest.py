"""A run from rest on the elastic machine: the lifts fall where the rigid run puts them, and sweep through the modes.

Speeds and angles are those of the rigid run; the springs answer to the lifts' swing about their mean, so the
torques found stand beside those of the repeating cycle. Springs change the speed by next to nothing.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np
import numpy.typing as npt

from layshaft.train.motion.run import Act, simulate
from layshaft.train.torsion.damping import Damping
from layshaft.train.torsion.march import march
from layshaft.train.torsion.modes import Modes
from layshaft.train.torsion.network import Network, node_of

if TYPE_CHECKING:
    from layshaft.train.solve import Solved

Array = npt.NDArray[np.float64]
GRID = 2e-4
"""Seconds between two looks for a peak."""


@dataclass(frozen=True, slots=True)
class Peak:
    """Largest swing of a part below and above its mean in a run, with their moments; torque at its own shaft."""

    part: str
    below: float
    below_at: float
    above: float
    above_at: float


@dataclass(frozen=True, slots=True)
class FromRest:
    """What a run from rest came to. `why` is not empty where there is none to follow."""

    time: float
    peaks: tuple[Peak, ...]
    why: str = ""


def from_rest(solved: Solved, net: Network, modes: Modes, damped: Damping, time: float,
              told: Callable[[float], None] | None = None) -> FromRest:
    """Set off and run for a time, all loads engaged; `told` hears how far it has come."""
    try:
        run = simulate(solved, net.set.root, [Act(time)])
    except ValueError as error:
        return FromRest(0.0, (), str(error))
    if run.angle[-1] <= 0:
        return FromRest(0.0, (), "it does not set off: the drive does not beat every loss at rest")
    if not run.lifts:
        return FromRest(float(run.time[-1]), (), "no lifts shake it")
    each = np.array([_force(net, modes, lift.shaft, lift.seat, 1.0) for lift in run.lifts])
    swing = np.array([[lift.torques[piece] - lift.mean for lift, piece in zip(run.lifts, part.state, strict=True)]
                      if part.state else [0.0] * len(run.lifts) for part in run.parts])
    moves = np.diff(run.time) > 0
    times = np.concatenate([run.time[:-1][moves], run.time[-1:]])
    found = march(modes, damped.rate, times, swing @ each, run.part[:-1][moves], grid=GRID, told=told)
    return FromRest(float(run.time[-1]), tuple(
        Peak(s.part, -found.least[i] / abs(s.ratio), float(found.least_at[i]), found.greatest[i] / abs(s.ratio),
             float(found.greatest_at[i])) for i, s in enumerate(net.springs)))


def _force(net: Network, modes: Modes, shaft: str, seat: str, torque: float) -> Array:
    """Modal force of a torque on a seat; twists count along the motion here."""
    return -torque * abs(net.set.ratio[shaft]) * modes.shapes[node_of(net, (shaft, seat))]
