"""What every sizing answer shares: one train of the machine, how it swings, and a change written as an option.

The swing of a trial is the larger of two figures: that of the check (all lifts together, torque as at the
mean speed) and that of the repeating cycle (exact, each lift in its place). So an answer holds in both.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass, replace
from itertools import pairwise
from typing import Any, TypeVar

import numpy as np

from layshaft.machine.kinds import PERIODIC, Pulses
from layshaft.machine.model import Machine
from layshaft.machine.options import apply
from layshaft.mechanics import inertia, sizing
from layshaft.trace.formula import given, named, total
from layshaft.trace.source import Source
from layshaft.trace.units import INERTIA, RATIO, Dimension
from layshaft.train import sources
from layshaft.train.assemble import solve_set
from layshaft.train.kinematic.answer import uneven
from layshaft.train.motion.reduced import reduce
from layshaft.train.motion.steady import settled_speed
from layshaft.train.roles import Role
from layshaft.train.solve import Solved, solve
from layshaft.train.swing import within_a_turn

SOLVED = Source("this machine, solved", obtained="derived")
ASKED = Source("asked for with the command", obtained="given")
DIGITS = 4
FAR_BEYOND = 3.0
CLOSE = 1e-5
ROUNDS = 8
MM = 1e-3
BESIDE = 0.05
"""Distance of a new seat from the only one there is, m."""

Option = dict[str, Any]


@dataclass(frozen=True, slots=True)
class Train:
    """One set of shafts with what is wanted of its swing; NaN and blank where nothing is.

    `swing` is what the pulses may make: what is wanted less what links, teeth and runout make of the shaft. Where these
    leave nothing, and where no shaft is named, it is all of what is wanted.
    """

    solved: Solved
    root: str
    swing: float = math.nan
    swing_source: Source = ASKED
    shaft: str = ""
    wanted: float = math.nan

    @property
    def machine(self) -> Machine:
        """The machine as it is described, with what the solve took for what is open."""
        return self.solved.machine

    @property
    def role(self) -> Role:
        """What drives it."""
        return self.solved.roles[self.root]

    @property
    def speed(self) -> float:
        """Speed of the root when running."""
        return abs(float(np.mean(self.solved.speed[self.root][0])))

    @property
    def uneven(self) -> list[Any]:
        """Its loads whose torque differs by the angle of their shaft."""
        return [load for load in self.machine.loads.values()
                if isinstance(load, PERIODIC) and load.shaft in self.role.set.ratio]

    @property
    def pulses(self) -> list[Pulses]:
        """Those of them whose lift is told by an energy and an angle."""
        return [load for load in self.uneven if isinstance(load, Pulses)]

    @property
    def balanced(self) -> bool:
        """True where its speed follows from a balance, and is not decided by a crank or motor."""
        return bool(self.role.weights) and not self.role.led_by and not self.role.free

    def ratio(self, shaft: str) -> float:
        """Speed of a shaft over that of the root."""
        return abs(self.role.set.ratio[shaft])


def swing_of(train: Train, machine: Machine | None = None) -> float:
    """The swing of a trial: `machine` differs from that of the train in lifts and inertias only."""
    machine = machine or train.machine
    with np.errstate(all="ignore"):
        checked = _checked(train, machine)
        return float(np.fmax(checked, _repeating(train, machine, checked)))


def swing_in_search(train: Train, machine: Machine) -> float:
    """The same, but the check alone where that is far beyond what is wanted: a halting cycle is slow to find."""
    with np.errstate(all="ignore"):
        found = _checked(train, machine)
    return found if found > FAR_BEYOND * train.swing else swing_of(train, machine)


def _checked(train: Train, machine: Machine) -> float:
    """As the finding of a want has it; endless where nothing that turns has a mass to even it out."""
    solved = train.solved
    moving = bodies(train, machine)
    if not moving:
        return math.inf
    if math.isnan(sum(J for _, J in moving.values())):
        return math.nan
    drops = next((c for c in solved.columns if c.title.endswith("all drops together")), None)
    if drops is None:
        return math.nan
    columns = [solved.columns[0], drops]
    found = solve_set(machine, train.role, columns, solved.samples)
    trial = Solved(machine, columns, solved.sets, solved.roles, solved.samples, speed=found.speed,
                   acceleration=found.acceleration)
    return float(np.mean(within_a_turn(trial, train.root)))


def _repeating(train: Train, machine: Machine, checked: float) -> float:
    """As the cycle that comes back to itself has it; endless where it would stop, NaN where there is none."""
    if not train.balanced or math.isnan(checked):
        return math.nan
    try:
        found = settled_speed(reduce(replace(train.solved, machine=machine), train.root))
    except ValueError:  # more trains of pulses than a run can follow
        return math.nan
    return math.inf if found.mean == 0 else found.swing


def tried(train: Train, option: Option) -> Train:
    """The train of the machine with an option, solved."""
    machine = apply(train.machine, option) if option else train.machine
    return replace(train, solved=solve(machine))


def shape_of(train: Train, machine: Machine | None = None) -> float:
    """Swing that links, teeth and runout make of the shaft, all phases at their worst; 0 where none is named."""
    if not train.shaft:
        return 0.0
    solved = replace(train.solved, machine=machine or train.machine)
    return float(np.mean(uneven(solved, [train.shaft])[0].swing()))


def shared(train: Train) -> Train:
    """The train with what its shape leaves for the pulses."""
    left = float(sizing.left_for_pulses(train.wanted, shape_of(train)))
    return replace(train, swing=left * (1 - CLOSE) if left > 0 else train.wanted)


R = TypeVar("R")


def in_full(train: Train, size: Callable[[Train], tuple[R, Train | None]]) -> R:
    """An answer sized again until what the shape leaves with it is what it was sized for."""
    for _ in range(ROUNDS):
        found, then = size(train)
        if then is None or not train.shaft:
            break
        left = shared(then).swing
        if abs(left - train.swing) <= CLOSE / 10 * left:
            break
        train = replace(train, swing=left)
    return found


# Figures ---------------------------------------------------------------------------------------


def rounded_up(value: float, digits: int = DIGITS) -> float:
    """The next larger number of so many digits."""
    step = 10.0 ** (math.floor(math.log10(abs(value))) - digits + 1)
    return float(f"{math.ceil(value / step - 1e-9) * step:.{digits}g}")


def written(value: float, unit: str, digits: int = DIGITS) -> str:
    """A number as it stands in a machine file."""
    return f"{np.format_float_positional(value, digits, fractional=False, trim='-')} {unit}".strip()


def merged(*options: Mapping[str, Any]) -> Option:
    """One option that makes the changes of all."""
    found: Option = {}
    for option in options:
        for word, changes in option.items():
            if word == "remove":
                found[word] = [*found.get(word, []), *changes]
            else:
                found[word] = found.get(word, {}) | dict(changes)
    return found


def free_name(name: str, taken: Iterable[str]) -> str:
    """The name, or the name with the first number that is not taken."""
    folded = {other.casefold() for other in taken}
    return next(n for n in (name, *(f"{name} {i}" for i in range(2, 99))) if n.casefold() not in folded)


def new_seat(machine: Machine, shaft: str, name: str) -> tuple[str, Option]:
    """A seat in the widest gap between those a shaft has: its name, and what adds it."""
    seats = machine.shafts[shaft].seats
    seat = free_name(name, seats)
    places = sorted(s.at.nominal for s in seats.values() if s.at.known)
    gaps = [(b - a, (a + b) / 2) for a, b in pairwise(places)]
    at = max(gaps)[1] if gaps else (places or [0.0])[0] + BESIDE
    return seat, {f"shafts.{shaft}.seats.{seat}": {"at": written(at / MM, "mm")}}


# Steps of a sheet ------------------------------------------------------------------------------


def reckoned(symbol: str, meaning: str, dimension: Dimension, value: float) -> Any:
    """A number the solve gave."""
    return given(symbol, meaning, dimension, float(value), SOLVED)


def target(train: Train, shape: float) -> Any:
    """The swing that is sized for, as steps."""
    wanted = given("C_w", "swing that is wanted", RATIO, train.wanted, train.swing_source)
    if not train.shaft or not shape < train.wanted:
        return wanted
    return sizing.left_for_pulses(wanted, reckoned(
        "C_t", "swing that links, teeth and runout make of it, all phases at their worst", RATIO, shape))


def bodies(train: Train, machine: Machine | None = None) -> dict[str, tuple[str, float]]:
    """Shaft and moment of inertia of every load and weight that moves with a train."""
    machine = machine or train.machine
    found = {name: (load.shaft, float(np.mean(sources.inertia(load)))) for name, load in machine.loads.items()
             if load.shaft in train.role.set.ratio}
    for name in train.role.weights:
        drive = machine.drives[name]
        found[name] = drive.shaft, float(np.mean(sources.weight_inertia(machine, drive)))
    return {name: body for name, body in found.items() if body[1] != 0}


def total_inertia(train: Train, moving: Mapping[str, tuple[str, float]], symbol: str = "J") -> Any:
    """Moment of inertia of these bodies, seen from the root, as steps."""
    terms = {}
    for k, (name, (shaft, value)) in enumerate(moving.items(), 1):
        J = reckoned(f"J_{k}", f"moment of inertia of {name}", INERTIA, value)
        i = reckoned(f"i_{k}", f"speed of {shaft} over that of {train.root}", RATIO, train.ratio(shaft))
        terms[name] = named("J_red", inertia.reflected(J, i), f"moment of inertia of {name} seen from {train.root}")
    return total(symbol, f"moment of inertia seen from {train.root}", INERTIA, terms, SOLVED)
