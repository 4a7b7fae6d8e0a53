"""A set of shafts as masses joined by springs: every seat in use is a node, seen at the set's root.

Shafts twist between their seats as bare round steps: keys and hubs are left out. Their steel is shared
between the two seats on either side. A hanging weight is a mass behind its strands. A seat whose drive
decides its speed (crank, pedals, motor) counts as held.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field
from itertools import pairwise
from typing import TYPE_CHECKING, Any

import numpy as np
import numpy.typing as npt

from layshaft.machine.kinds import FallingWeight, Flywheel, Load, Stage, Suspended, Turntable
from layshaft.machine.model import Machine, Shaft
from layshaft.machine.once import once
from layshaft.mechanics import inertia, torsion
from layshaft.train import sources
from layshaft.train.forces import STEEL_DENSITY
from layshaft.train.graph import ShaftSet, transmits
from layshaft.train.stiffness import shaft_flexibility, suspension_stiffness
from layshaft.train.torsion.modes import Modes, Pair, natural
from layshaft.train.torsion.stages import joint, wheel_inertia

if TYPE_CHECKING:
    from layshaft.train.solve import Solved

Array = npt.NDArray[np.float64]
Node = tuple[str, str]
"""Shaft and seat; of a hanging weight, its path and nothing."""


@dataclass(frozen=True, slots=True)
class Spring:
    """What twists: a stage, a length of shaft or a weight's strands, between two nodes.

    `stiffness` is seen at the root, `ratio` the speed of the shaft it is known on over that of the root.
    """

    part: str
    nodes: Pair
    stiffness: float
    ratio: float
    zeta: float
    why: str


@dataclass(slots=True)
class Network:
    """The elastic machine of one set. `lacking` names what is not known; where it is empty `modes` can be asked.

    `rigid` are the stages taken as rigid with their nodes, `without` parts counted without inertia,
    `held` nodes whose speed a drive decides.
    """

    set: ShaftSet
    nodes: list[Node] = field(default_factory=list)
    mass: list[float] = field(default_factory=list)
    springs: list[Spring] = field(default_factory=list)
    rigid: dict[str, Pair] = field(default_factory=dict)
    same: list[Pair] = field(default_factory=list)
    """Seats of a shaft at one place: they cannot twist against each other."""

    held: list[int] = field(default_factory=list)
    held_by: str = ""
    lacking: list[str] = field(default_factory=list)
    without: list[str] = field(default_factory=list)
    discs: list[str] = field(default_factory=list)
    """Wheels taken as full discs."""

    def ratio(self, node: int) -> float:
        """Speed of a node's shaft over that of the root; of a hanging weight, of its wheel's."""
        return self.set.ratio.get(self.nodes[node][0], 1.0)

    @property
    def stiff(self) -> list[Pair]:
        """Nodes that cannot twist against each other."""
        return [*self.rigid.values(), *self.same]

    def modes(self) -> Modes:
        """Natural frequencies and shapes. Raises `ValueError` where something is lacking."""
        if self.lacking:
            raise ValueError(f"not known: {', '.join(self.lacking)}")
        return natural(np.array(self.mass), [s.nodes for s in self.springs],
                       np.array([s.stiffness for s in self.springs]), self.stiff, self.held)


def network(solved: Solved, root: str, rigid: Sequence[str] = ()) -> Network:
    """The elastic machine of one set at the nominal machine. Stages named in `rigid` are taken so."""
    net = Network(solved.sets[root])
    with np.errstate(all="ignore"):
        for shaft in net.set.shafts:
            _shaft(solved.machine, net, solved.machine.shafts[shaft])
        for stage in solved.machine.stages.values():
            if transmits(stage) and stage.from_ in net.set.ratio:
                _stage(solved.machine, net, stage, stage.name in rigid)
        for load in solved.machine.loads.values():
            if load.shaft in net.set.ratio:
                _load(net, load)
        role = solved.roles[root]
        for name in role.weights:
            _weight(solved.machine, net, solved.machine.drives[name], name in rigid)
        if role.led_by:
            drive = solved.machine.drives[role.led_by]
            net.held.append(node_of(net, (drive.shaft, drive.seat)))
            net.held_by = role.led_by
    net.lacking = list(dict.fromkeys(net.lacking))
    return net


def node_of(net: Network, node: Node) -> int:
    """Number of a node; of a seat that carries nothing the first of its shaft."""
    return net.nodes.index(node) if node in net.nodes else \
        next(i for i, (shaft, _) in enumerate(net.nodes) if shaft == node[0])


def used_seats(machine: Machine, shaft: str) -> list[str]:
    """Seats of a shaft that carry a stage, a load or a drive, from its start on."""
    asked = {seat for on, seat in _uses(machine) if on == shaft}
    seats = machine.shafts[shaft].seats
    found = [name for name in seats if name in asked] or list(seats)[:1]
    return sorted(found, key=lambda name: seats[name].at.nominal)


def _uses(machine: Machine) -> Iterator[Node]:
    for stage in machine.stages.values():
        yield stage.from_, stage.seats[0]
        if transmits(stage):
            yield stage.to, stage.seats[1]
    for thing in (*machine.loads.values(), *machine.drives.values()):
        yield thing.shaft, thing.seat


def _shaft(machine: Machine, net: Network, shaft: Shaft) -> None:
    """Its nodes, the lengths of bar between them, and half of each length's steel on either side."""
    ratio = net.set.ratio[shaft.name]
    seats = used_seats(machine, shaft.name)
    if not np.isfinite(ratio):
        net.lacking.append(f"how fast {shaft.name} turns")
    at = [shaft.seats[seat].at.nominal for seat in seats]
    ends = [-np.inf, *((a + b) / 2 for a, b in pairwise(at)), np.inf]
    steel = [bar_inertia(shaft, low, high) for low, high in pairwise(ends)]
    if not np.all(np.isfinite(steel)):
        net.lacking.append(f"{shaft.path}.sections")
    first = len(net.nodes)
    net.nodes += [(shaft.name, seat) for seat in seats]
    net.mass += [float(inertia.reflected(J, ratio)) for J in steel]
    for i in range(len(seats) - 1):
        give = shaft_flexibility(shaft, at[i], at[i + 1])
        pair = first + i, first + i + 1
        if give == 0:
            net.same.append(pair)
        else:
            k = float(torsion.reflected_stiffness(1 / give, ratio))
            net.springs.append(Spring(f"{shaft.path}, {seats[i]} to {seats[i + 1]}", pair, k, ratio, np.nan,
                                      "round steps"))


@once
def bar_inertia(shaft: Shaft, low: float, high: float) -> float:
    """Moment of inertia of the steel of a solid stepped shaft between two places."""
    at, total = 0.0, 0.0
    for diameter, step in shaft.sections:
        size = max(0.0, min(high, at + step.nominal) - max(low, at))
        volume = inertia.ring_volume(diameter.nominal, 0.0, size)
        total += float(inertia.ring(inertia.mass(STEEL_DENSITY, volume), diameter.nominal, 0.0))
        at += step.nominal
    return total if np.isfinite(at) and shaft.sections else float("nan")


def _stage(machine: Machine, net: Network, stage: Stage, rigid: bool) -> None:
    found = joint(machine, stage, rigid)
    pair = node_of(net, (stage.from_, stage.seats[0])), node_of(net, (stage.to, stage.seats[1]))
    ratio = net.set.ratio[stage.from_]
    if np.isnan(found.stiffness):
        net.lacking.append(found.why)
    elif np.isinf(found.stiffness):
        net.rigid[stage.path] = pair
    else:
        k = float(torsion.reflected_stiffness(found.stiffness, ratio))
        net.springs.append(Spring(stage.path, pair, k, ratio, found.zeta, found.why))
    for i, node in enumerate(pair):
        J = wheel_inertia(machine, stage, i)
        shaft, seat = net.nodes[node]
        if np.isfinite(J):
            net.mass[node] += float(inertia.reflected(J, net.ratio(node)))
            net.discs.append(f"{seat} on {shaft}")
        else:
            net.without.append(f"{stage.name} on {shaft}")


def _load(net: Network, load: Load) -> None:
    J = float(np.mean(sources.inertia(load)))
    node = node_of(net, (load.shaft, load.seat))
    if np.isnan(J):
        lacks = "mass and radius of gyration" if isinstance(load, Turntable) else \
            "inertia, or the pieces it is made of" if isinstance(load, Flywheel) else "inertia"
        net.lacking.append(f"{load.path}.{lacks}")
    elif J == 0:
        net.without.append(load.name)
    else:
        net.mass[node] += float(inertia.reflected(J, net.ratio(node)))


def _weight(machine: Machine, net: Network, drive: Suspended, rigid: bool) -> None:
    """A mass behind its strands; a counterweight goes with it, as if it hung as stiffly."""
    wheel = node_of(net, (drive.shaft, drive.seat))
    ratio = net.ratio(wheel)
    J: Any = float(np.mean(sources.weight_inertia(machine, drive)))
    arm = float(np.mean(sources.weight_speed(machine, drive, 1.0)))
    k = float(torsion.strand_on_wheel(float(np.mean(suspension_stiffness(machine, drive))), arm))
    if np.isnan(J):
        net.lacking.append(f"{drive.path}: mass that hangs, or the wheel it hangs on")
    elif rigid:
        net.mass[wheel] += float(inertia.reflected(J, ratio))
    elif np.isnan(k):
        hung = "suspension" if isinstance(drive, FallingWeight) and not drive.chain.known else "chain"
        net.lacking.append(f"{drive.path}.strand length, or the stretch of its {hung}")
    else:
        net.nodes.append((drive.path, ""))
        net.mass.append(float(inertia.reflected(J, ratio)))
        net.springs.append(Spring(f"{drive.path}, its strands", (wheel, len(net.nodes) - 1),
                                  float(torsion.reflected_stiffness(k, ratio)), ratio, np.nan,
                                  "stretch at an eighth of the breaking load"))
