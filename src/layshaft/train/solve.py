"""The whole machine solved: ratios, speeds, torques of every case, places, forces, energy."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field
from typing import Any

import numpy as np
import numpy.typing as npt

from layshaft.machine.model import Machine
from layshaft.machine.schema import Given
from layshaft.trace.units import SPEED, shown
from layshaft.train import bushes, worms
from layshaft.train.assemble import SetSolution, solve_set
from layshaft.train.braking import brake_columns
from layshaft.train.cases import RUNNING, Column, columns, running_plan
from layshaft.train.energy import Budget, budget
from layshaft.train.forces import ShaftLoads, all_loads
from layshaft.train.graph import ShaftSet, shaft_sets
from layshaft.train.holders import holder_columns
from layshaft.train.idlers import refuse
from layshaft.train.moments import Moment, moment_columns
from layshaft.train.place import places
from layshaft.train.roles import Role, role
from layshaft.train.sources import is_led
from layshaft.train.trim import with_trims
from layshaft.train.wanted import Taken, settled_weight, with_ratios, with_weight

Array = npt.NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class Asked:
    """What is asked of a machine: all cases but those whose case or title is in `without`; all shafts and stages, or
    these: forces are solved on no other shafts, and no others are rated."""

    without: frozenset[str] = frozenset()
    shafts: frozenset[str] | None = None
    stages: frozenset[str] | None = None

    def cases(self, machine: Machine, roles: dict[str, Role], moments: Sequence[Moment]) -> list[Column]:
        """The columns that are solved."""
        found = columns(machine, roles)
        found += holder_columns(machine, roles, found) + brake_columns(machine, roles)
        found += moment_columns(machine, roles, moments)
        return [c for c in found if self.without.isdisjoint((c.case, c.title))] if self.without else found


EVERYTHING = Asked()


@dataclass(slots=True, weakref_slot=True)
class Solved:
    """A solved machine. Arrays have shape (cases, samples); the first case is running mean.

    `seat_torque[shaft][seat]` is the torque that acts on a shaft at a seat, about its axis;
    `stage_torque[stage]` the torques a stage exerts on its first and second shaft, and
    `carried[stage]` the largest share of the first that one strand must be rated for.
    """

    machine: Machine
    columns: list[Column]
    sets: dict[str, ShaftSet]
    roles: dict[str, Role]
    samples: int
    speed: dict[str, Array] = field(default_factory=dict)
    acceleration: dict[str, Array] = field(default_factory=dict)
    seat_torque: dict[str, dict[str, Array]] = field(default_factory=dict)
    stage_torque: dict[str, tuple[Array, Array]] = field(default_factory=dict)
    carried: dict[str, Array] = field(default_factory=dict)
    required: dict[str, Array] = field(default_factory=dict)
    """Torque the drive of each set must give (or hold) in each case, by the set's root."""

    place: dict[str, npt.NDArray[np.float64]] = field(default_factory=dict)
    loads: dict[str, ShaftLoads] = field(default_factory=dict)
    budget: Budget | None = None
    taken: dict[str, Taken] = field(default_factory=dict)
    """Values the file leaves open, by path, taken so that wanted speeds come out."""

    asked: Asked = EVERYTHING
    moments: Sequence[Moment] = ()
    """Moments of a run that are cases of their own."""

    worked_out: dict[tuple[Any, ...], Any] = field(default_factory=dict, init=False, repr=False, compare=False)
    """What was worked out from it since; see `layshaft.machine.once`."""

    @property
    def shafts(self) -> list[str]:
        """The shafts whose forces are asked for."""
        return [name for name in self.machine.shafts if self.asked.shafts is None or name in self.asked.shafts]

    @property
    def cases(self) -> list[str]:
        """Case of every column."""
        return [c.case for c in self.columns]

    def __str__(self) -> str:
        lines = [f"{name}: {shown(float(np.abs(w[0]).mean()), SPEED)}" for name, w in self.speed.items()]
        return "\n".join([f"{self.machine.title}, {len(self.columns)} cases; speeds when running:", *lines])

    def set_of(self, shaft: str) -> ShaftSet:
        """The set of shafts a shaft turns with."""
        return next(s for s in self.sets.values() if shaft in s.ratio)


Work = tuple[Asked, Sequence[Moment]]


def solve(machine: Machine, moments: Sequence[Moment] = (), asked: Asked = EVERYTHING) -> Solved:
    """Solve a machine, nominal or sampled; `moments` of a run over time become cases of their own.

    Raises `MachineErrors` for what cannot turn at all.
    """
    with np.errstate(all="ignore"):
        solved = _meshed(machine, (asked, moments))
        solved.budget = budget(solved)
        return solved


def _meshed(machine: Machine, work: Work) -> Solved:
    """Solved, and again until the friction of every worm of no stated efficiency fits the speed it slides at."""
    names, mus = worms.undecided(machine), worms.first_guess(machine)
    for _ in range(bushes.MOST_ROUNDS if names else 0):
        solved = _rubbed(worms.with_friction(machine, mus), work)
        before, mus = mus, worms.frictions(solved, names)
        if bushes.settled(before, mus):
            return solved
    return _rubbed(worms.with_friction(machine, dict.fromkeys(names, float("nan"))) if names else machine, work)


def _rubbed(machine: Machine, work: Work) -> Solved:
    """Solved, and again until the friction of every bush of no stated drag fits the load it gives."""
    seats, solved = bushes.undecided(machine), _solve(bushes.without_drag(machine), work)
    drags: dict[tuple[str, str], Any] = dict.fromkeys(seats, 0.0)
    for _ in range(bushes.MOST_ROUNDS if seats else 0):
        before, drags = drags, bushes.friction(solved, seats)
        if bushes.settled(before, drags):
            return solved
        solved = _solve(bushes.with_friction(machine, drags), work)
    if not seats:
        return solved
    return _solve(bushes.with_friction(machine, dict.fromkeys(seats, float("nan"))), work)


def _solve(machine: Machine, work: Work) -> Solved:
    machine, taken = with_ratios(machine)
    refuse(machine)
    worms.refuse(machine)
    roots = list(dict.fromkeys(d.shaft for d in sorted(
        machine.drives.values(), key=lambda d: is_led(d))))
    sets = {s.root: s for s in shaft_sets(machine, roots)}
    roles = {root: role(machine, s) for root, s in sets.items()}
    samples = _samples(machine)
    for root, r in roles.items():
        found = _open_weight(machine, r, samples) if r.free else None
        if found:
            machine = with_weight(machine, r.free, found)
            taken.append(found)
            roles[root] = role(machine, sets[root])
    machine, trims = with_trims(machine, sets)
    taken += trims
    asked, moments = work
    cols = asked.cases(machine, roles, moments)
    solved = Solved(machine, cols, sets, roles, samples, taken={t.path: t for t in taken}, asked=asked,
                    moments=moments)
    for root, r in roles.items():
        _merge(solved, root, solve_set(machine, r, cols, solved.samples))
    solved.place = places(machine)
    solved.loads = all_loads(solved)
    return solved


def _open_weight(machine: Machine, r: Role, samples: int) -> Taken | None:
    """What the wanted speed says about an open weight: its set run once as if led at that speed."""
    running = [Column(RUNNING, RUNNING, {r.set.root: running_plan(machine, r)})]
    torque = float(np.mean(solve_set(machine, r, running, samples).required[0]))
    return settled_weight(machine, r.free, torque, r.want[1], r.want[0])


def _samples(machine: Machine) -> int:
    values = [leaf.value for leaf in machine.leaves if isinstance(leaf, Given)]
    sizes = [value.shape[0] for value in values if isinstance(value, np.ndarray) and value.ndim]
    return max(sizes, default=1)


def _merge(solved: Solved, root: str, found: SetSolution) -> None:
    solved.speed |= found.speed
    solved.acceleration |= found.acceleration
    solved.seat_torque |= found.seat_torque
    solved.stage_torque |= found.stage_torque
    solved.carried |= found.carried
    solved.required[root] = found.required


def path_text(solved: Solved, shaft: str) -> str:
    """The way from the drive to a shaft, in words, for the head of a sheet."""
    s = solved.set_of(shaft)
    r = solved.roles[s.root]
    name = r.led_by or (r.weights[0] if r.weights else "")
    if not name:
        return f"nothing drives {shaft}"
    drive: Any = solved.machine.drives[name]
    parts = [name, drive.shaft]
    at = drive.shaft
    for link in s.path(drive.shaft, shaft):
        at = link.child if link.parent == at else link.parent
        parts += [" with ".join(link.stages), at]
    return " → ".join(parts)
