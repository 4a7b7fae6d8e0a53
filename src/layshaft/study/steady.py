"""Sizing answers for a steady machine: lifts, flywheel, governor and weight that meet what is wanted, with sheets.

Each answer is an option: applied and solved again, the machine meets what is wanted, and with less it does not.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator
from dataclasses import dataclass

import numpy as np

from layshaft.machine.model import Machine
from layshaft.mechanics import sizing
from layshaft.study.governors import Governor, governors
from layshaft.study.least_weight import LeastWeight, least_weight
from layshaft.study.spread import Spread, spread
from layshaft.study.trial import ASKED, Train, bodies, shape_of, shared, swing_of
from layshaft.study.wheels import Wheels, wheels
from layshaft.trace.source import Source
from layshaft.trace.units import ENERGY, TORQUE, shown
from layshaft.train import sources
from layshaft.train.assemble import left_over
from layshaft.train.motion.reduced import at_rest
from layshaft.train.solve import Solved, solve

THICKNESS = 0.02
"""Of the disc a flywheel is told as, m."""

CREEP = 1e-6
"""A speed at which no brake does anything, rad/s."""


@dataclass(frozen=True, slots=True)
class Sized:
    """All answers for one train. `swing` is the present one, NaN where nothing pulses; `notes` what is short.

    `shape` is the present swing by links, teeth and runout.
    """

    train: Train
    swing: float
    shape: float
    notes: tuple[str, ...]
    spreads: tuple[Spread, ...]
    wheels: Wheels | None
    governors: tuple[Governor, ...]
    weight: LeastWeight | None


def sized(machine: Machine, swing: float = math.nan, thickness: float = THICKNESS,
          told: Callable[[float, float], None] = lambda _done, _whole: None) -> list[Sized]:
    """The answers, train by train; `swing` goes before what the file wants.

    `told` hears how many lifts and places of a flywheel have been gone through, of how many.
    """
    found = list(trains(solve(machine), swing))
    whole, done = sum(len(t.pulses) + len(t.role.set.shafts) for t in found), 0

    def one_more() -> None:
        nonlocal done
        done += 1
        told(done, whole)

    return [_sized(train, thickness, one_more) for train in found]


def trains(solved: Solved, swing: float = math.nan) -> Iterator[Train]:
    """Every set of shafts that turns in the run and that pulses, or whose speed follows from a balance."""
    for root, role in solved.roles.items():
        wanted, source, shaft = _wanted(solved, root, swing)
        train = shared(Train(solved, root, wanted, source, shaft, wanted))
        if role.driven and not role.winds and (train.uneven or train.balanced):
            yield train


def _wanted(solved: Solved, root: str, swing: float) -> tuple[float, Source, str]:
    """The smallest swing wanted of a shaft of the set."""
    found = (swing, ASKED, "")
    for want in (solved.machine.wants or {}).values():
        if want.within_a_turn.known and want.shaft in solved.sets[root].ratio:
            value = want.within_a_turn.nominal
            if not swing > 0 and not found[0] <= value:
                found = (value, want.within_a_turn.origin, want.shaft)
    return found


def _sized(train: Train, thickness: float, told: Callable[[], None]) -> Sized:
    notes = tuple(_notes(train))
    now = swing_of(train) if train.uneven else math.nan
    if notes and not train.speed > 0:
        return Sized(train, now, shape_of(train), notes, (), None, tuple(governors(train)), least_weight(train))
    lifts = []
    for load in train.pulses:
        lifts.append(spread(train, load))
        told()
    return Sized(train, now, shape_of(train), notes, tuple(lifts), wheels(train, thickness, told) if train.uneven else
                 None, tuple(governors(train)), least_weight(train))


def _notes(train: Train) -> Iterator[str]:
    """Where it does not go at all, and by how much it falls short."""
    if not train.balanced:
        return
    weight = train.role.weights[0]
    gives, asks = at_rest(train.solved, train.root)
    if gives < asks:
        yield (f"It does not start: at rest {weight} gives {shown(gives, TORQUE)} at its wheel and "
               f"{shown(asks, TORQUE)} break everything away, with every cam in its lift; "
               f"{shown(asks - gives, TORQUE)} are short.")
    if not train.speed > 0:
        yield _stands(train, weight)
    elif math.isinf(swing_of(train)):
        yield from (_stops(train, load.name) for load in train.pulses)
        if not train.pulses:
            yield "It stops where its uneven loads ask most: the turning masses do not hold enough to get over it."


def _stands(train: Train, weight: str) -> str:
    """What is short of turning at all."""
    drive = train.machine.drives[weight]
    with np.errstate(all="ignore"):
        spare = float(np.mean(left_over(train.machine, train.role, (drive.shaft, drive.seat), CREEP)))
    if not math.isfinite(spare):
        return "Its speed is not known: some torque of the running machine is unknown. `layshaft check` names it."
    if spare > 0:
        return ("Nothing on this train brakes harder the faster it turns, so it gains speed until a weight is down: "
                "lifts and wheels are sized for a steady speed. A governor comes first.")
    return (f"It does not run: what all loads and losses ask of {weight} is {shown(-spare, TORQUE)} more than it gives "
            f"at {drive.shaft}, and no torque is left over to hold a speed.")


def _stops(train: Train, name: str) -> str:
    """A pulse larger than what is stored and driven over its lift."""
    load = next(p for p in train.pulses if p.name == name)
    J = sum(value * train.ratio(shaft) ** 2 for shaft, value in bodies(train).values())
    stored = J * train.speed**2 / 2
    weight = train.machine.drives[train.role.weights[0]]
    push = abs(float(np.mean(sources.weight_pushes(train.machine, weight)[0].torque)))
    driven = push * train.ratio(weight.shaft) / train.ratio(load.shaft)
    short = float(sizing.short_in_a_lift(load.energy.nominal, driven, load.over.nominal, stored))
    short_by = f"; {shown(short, ENERGY)} are short even without losses" if short > 0 else " before losses"
    return (f"It stops in a lift of {name}: the lift asks {shown(load.energy.nominal, ENERGY)}, the turning masses "
            f"hold {shown(stored, ENERGY)} at the mean speed and the drive gives "
            f"{shown(driven * load.over.nominal, ENERGY)} over the lift{short_by}.")
