"""The elastic machine over time: torques held from edge to edge, every mode stepped without error.

An hour of pulses is some ten thousand edges. Between two of them the answer is known at every moment, so a
march has no step to choose; moments in between are looked at on a grid of their own, for the peaks. Each
mode is taken apart into its two roots, y' = root y + force, which step by a single product each.
What turns as one twists nothing and is left to the rigid run.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

import numpy as np
import numpy.typing as npt

from layshaft.train.torsion.modes import Modes
from layshaft.train.torsion.periodic import roots

Array = npt.NDArray[np.float64]
Whole = npt.NDArray[np.intp]
LOOKS = 2048
"""Looks into one stretch; longer ones are cut."""

MOST = 2_000_000
"""Torques looked at together, to bound what is kept in memory."""


@dataclass(frozen=True, slots=True)
class March:
    """Torque in every spring at every edge, (edges, springs), and the least and greatest of each with their times.

    Stretches too long to be looked through at once have edges of their own between those given.
    """

    time: Array
    torque: Array
    least: Array
    least_at: Array
    greatest: Array
    greatest_at: Array


def march(modes: Modes, rate: Array, time: Array, forces: Array, which: Whole, *, start: Array | None = None,
          grid: float = 1e-3, told: Callable[[float], None] | None = None) -> March:
    """Between `time[i]` and `time[i + 1]` the modal forces `forces[which[i]]` are held, shape (kinds, modes).

    `start` are deflection and rate of every mode, (modes, 2); at rest where it is not given. `told` hears up to
    which time peaks have been looked for, which is most of the work.
    """
    time, which = _cut(time, which, LOOKS * grid)
    elastic = modes.omega > 0
    one, two = roots(modes.omega[elastic], rate[elastic])
    root = np.concatenate([one, two])
    push = np.tile(forces[:, elastic], 2) / root  # what a held force comes to, turned round
    begin = np.zeros((int(elastic.sum()), 2)) if start is None else start[elastic]
    y = np.concatenate([begin[:, 1] - two * begin[:, 0], begin[:, 1] - one * begin[:, 0]])
    pull = (modes.stiffness[:, None] * modes.twists)[:, elastic] / (one - two)
    pulls = np.concatenate([pull, -pull], axis=1)
    states = _stepped(y, root, np.diff(time), push, which)
    torque = (states @ pulls.T).real
    return _peaks(time, torque, states, root, push[which], pulls, grid, told)


def _cut(time: Array, which: Whole, longest: float) -> tuple[Array, Whole]:
    """The same held forces in stretches no longer than a time."""
    spans = np.diff(time)
    pieces = np.maximum(np.ceil(spans / longest), 1).astype(int)
    within = np.arange(pieces.sum()) - np.repeat(np.cumsum(pieces) - pieces, pieces)
    starts = np.repeat(time[:-1], pieces) + within * np.repeat(spans / pieces, pieces)
    return np.append(starts, time[-1:]), np.repeat(which, pieces)


def _stepped(y: Any, root: Any, spans: Array, push: Any, which: Whole) -> Any:
    """States at every edge."""
    states = np.empty((len(spans) + 1, len(y)), complex)
    states[0] = y
    grow = np.exp(spans[:, None] * root)
    add = (grow - 1) * push[which]
    for i in range(len(spans)):
        y = grow[i] * y + add[i]
        states[i + 1] = y
    return states


def _peaks(time: Array, torque: Array, states: Any, root: Any, push: Any, pulls: Any, grid: float,
           told: Callable[[float], None] | None) -> March:
    """Least and greatest torque of every spring on the grid and at the edges."""
    springs, spans = torque.shape[1], np.diff(time)
    low, high = torque.min(axis=0), torque.max(axis=0)
    low_at, high_at = time[torque.argmin(axis=0)], time[torque.argmax(axis=0)]
    looks = int(np.ceil(spans.max(initial=0.0) / grid))
    chunk = max(1, MOST // max(1, looks * springs))
    later = np.arange(1, looks + 1) * grid
    shape = np.exp(later[:, None] * root)[:, None, :] * pulls  # (looks, springs, roots)
    flat = shape.reshape(looks * springs, -1)
    real = np.concatenate([flat.real, -flat.imag], axis=1).T
    rest = (push @ pulls.T).real
    for i in range(0, len(spans), chunk):
        part = slice(i, i + chunk)
        moved = states[:-1][part] + push[part]
        found = (np.concatenate([moved.real, moved.imag], axis=1) @ real).reshape(-1, looks, springs)
        found -= rest[part][:, None, :]
        beyond = later[None, :] > spans[part][:, None]
        found[beyond] = torque[:-1][part].repeat(beyond.sum(axis=1), axis=0)
        across = found.reshape(-1, springs)
        for s in range(springs):
            at_low, at_high = int(across[:, s].argmin()), int(across[:, s].argmax())
            if across[at_low, s] < low[s]:
                low[s], low_at[s] = across[at_low, s], time[i + at_low // looks] + later[at_low % looks]
            if across[at_high, s] > high[s]:
                high[s], high_at[s] = across[at_high, s], time[i + at_high // looks] + later[at_high % looks]
        if told is not None:
            told(float(time[min(i + chunk, len(spans))]))
    return March(time, torque, low, low_at, high, high_at)
