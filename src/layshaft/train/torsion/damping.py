"""How fast each mode dies away: what is stated of its springs, a guess for the rest, and what brakes take."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np
import numpy.typing as npt

from layshaft.train import sources
from layshaft.train.torsion.modes import Modes
from layshaft.train.torsion.network import Network, node_of

if TYPE_CHECKING:
    from layshaft.train.solve import Solved

Array = npt.NDArray[np.float64]
GUESS = 0.02
"""Damping ratio of what states none: trains show 0.01 to 0.05 (Wang, Feese and Pettinato 2012, see mechanics)."""


@dataclass(frozen=True, slots=True)
class Damping:
    """Torque over speed that brakes put on every node, seen at the root, and the damping of every mode.

    `rate` is that of each mode's equation, q'' + rate q' + omega^2 q; `zeta` is rate / (2 omega), NaN for
    what turns as one.
    """

    brakes: Array
    rate: Array
    zeta: Array


def damping(solved: Solved, net: Network, modes: Modes, case: int, guess: float = GUESS) -> Damping:
    """Brakes count at the speed they run at in a case; a negative case leaves them out."""
    brakes = np.zeros(len(net.nodes))
    for load in solved.machine.loads.values() if case >= 0 else ():
        if load.shaft in net.set.ratio:
            square, linear, _ = sources.brake_constants(solved.machine, load)
            speed = np.nanmean(np.abs(solved.speed[load.shaft][case]))
            slope = float(np.mean(2 * square * speed + linear))
            brakes[node_of(net, (load.shaft, load.seat))] += slope * net.set.ratio[load.shaft] ** 2
    return of_modes(modes, np.array([guess if np.isnan(s.zeta) else s.zeta for s in net.springs]), brakes)


def of_modes(modes: Modes, zeta: Array, brakes: Array) -> Damping:
    """Each spring's damping ratio counts by its share in the strain energy, brakes by how fast they are turned."""
    taken = (brakes[:, None] * modes.shapes**2).sum(axis=0)
    rate = taken + 2 * modes.omega * (zeta @ modes.strain_shares)
    elastic = modes.omega > 0
    return Damping(brakes, rate, np.where(elastic, rate / np.where(elastic, 2 * modes.omega, 1.0), np.nan))
