"""Where a slow mass that is dragged through a springy drive may stick and slip instead of turning evenly.

The mass is held from behind by the largest other mass of its set, or by a seat whose speed is decided.
Friction in motion counts as the same at every speed; where it falls with speed the case is worse.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from layshaft.mechanics import torsion
from layshaft.train import sources
from layshaft.train.torsion.damping import Damping
from layshaft.train.torsion.modes import Modes, give_at
from layshaft.train.torsion.network import Network, node_of

if TYPE_CHECKING:
    from layshaft.train.solve import Solved


@dataclass(frozen=True, slots=True)
class Dragged:
    """One mass with friction: its speed, the speed below which it sticks, and what that rests on, at its own shaft."""

    load: str
    omega: float
    limit: float
    friction: float
    """Torque at rest less torque in motion."""

    stiffness: float
    inertia: float
    zeta: float
    held_at: str

    @property
    def sticks(self) -> bool:
        """True where it turns more slowly than it must."""
        return bool(self.omega < self.limit)

    @property
    def share(self) -> float:
        """Its speed over the speed it would need."""
        return self.omega / self.limit if self.limit > 0 else np.inf


def dragged(solved: Solved, net: Network, modes: Modes, damped: Damping, case: int) -> list[Dragged]:
    """Every load that has inertia and friction."""
    found = []
    for load in solved.machine.loads.values():
        if load.shaft not in net.set.ratio or not float(np.mean(sources.inertia(load))) > 0:
            continue
        at_rest, moving = (float(np.mean(sources.resisting_torque(solved.machine, load, state)))
                           for state in ("at rest", "mean"))
        if at_rest - moving == 0:
            continue
        omega = float(np.abs(solved.speed[load.shaft][case]).mean())
        node = node_of(net, (load.shaft, load.seat))
        found.append(_one(net, modes, damped, load.name, node, at_rest - moving, omega))
    return found


def _one(net: Network, modes: Modes, damped: Damping, load: str, node: int, friction: float, omega: float) -> Dragged:
    ratio = net.ratio(node)
    hold = net.held or [_largest_other(net, node)]
    give = give_at(len(net.nodes), [s.nodes for s in net.springs], modes.stiffness, net.stiff, hold, node)
    k = 1 / (give * ratio**2) if give > 0 else np.inf
    J = net.mass[node] / ratio**2
    elastic = modes.motion_shares[node, modes.rigid:]
    zeta = float(damped.zeta[modes.rigid + int(np.argmax(elastic))]) if len(elastic) else float("nan")
    limit = float(torsion.stick_slip_speed(friction, zeta, k, J)) if np.isfinite(k) else 0.0
    shaft, seat = net.nodes[hold[0]]
    return Dragged(load, omega, limit, friction, float(k), J, zeta, f"{shaft}, {seat}")


def _largest_other(net: Network, node: int) -> int:
    return max((i for i in range(len(net.mass)) if i != node), key=lambda i: net.mass[i])
