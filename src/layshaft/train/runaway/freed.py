"""The speed a weight gets to when one element is lost, in closed form: for every check, and for every draw.

Everything that still turns with the weight is seen from the shaft it pulls on. Power goes out from the weight
through every stage, cams count with their mean torque, and what squares with the speed brakes over the whole
drop: kinetic energy then follows an exponential of the angle. A brake that grows with the speed itself
only caps the answer. What lifts, edges and a change in the direction of power do to it, the exact run says.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

import numpy as np

from layshaft.machine.kinds import Brake, EddyBrake, EndlessLoop, FanBrake
from layshaft.mechanics import drives, friction, motion
from layshaft.train import sources
from layshaft.train.braking import torques
from layshaft.train.roles import Role
from layshaft.train.runaway.losses import (
    BY_ITSELF,
    Loss,
    Reached,
    hangs_on,
    holds,
    joined,
    losses,
    rests,
    runs_down,
    sinks,
    start_of,
)

if TYPE_CHECKING:
    from layshaft.train.solve import Solved


@dataclass(frozen=True, slots=True)
class Felt:
    """What acts on the shaft a weight pulls on: torque to spare, brakes and inertia; arrays over samples or numbers."""

    torque: Any
    linear: Any
    square: Any
    inertia: Any


@dataclass(frozen=True, slots=True)
class Item:
    """One thing that acts, seen from the shaft a weight pulls on: a load, a weight, or the drag of a shaft or stage."""

    shaft: str
    name: str
    path: str
    felt: Felt
    known: bool


@dataclass(frozen=True, slots=True)
class Train:
    """A set of shafts from where one weight pulls on it, with nothing lost."""

    role: Role
    weight: str
    start: str
    forward: bool
    down: dict[str, float]
    """Of every weight of the set: 1 if it sinks together with this one, -1 if it goes up meanwhile."""

    shafts: dict[str, Reached]
    items: list[Item]
    resting: frozenset[str]
    begins: Any


@dataclass(slots=True)
class Freed:
    """A weight after a loss, with all that still turns with it. Speeds are those of the shaft it pulls on, in rad/s."""

    loss: Loss
    weight: str
    start: str
    forward: bool
    """Whether the shafts turn as they do in the run; else the weight drives back what wound it up."""

    shafts: dict[str, Reached]
    off: frozenset[str]
    holders: tuple[str, ...]
    """What holds it at once."""

    brakes: tuple[str, ...]
    """Fan and eddy brakes that are left."""

    begins: Any
    felt: Felt
    angle: Any
    """Angle in which the weight comes down its whole drop."""

    lacking: str
    """What is not known, in words; blank if nothing."""

    limit: Any = np.inf
    """Speed beyond which an eddy brake that is left loses its grip."""

    fastest: Any = np.nan
    """Largest speed from the loss until the weight is down or all stands; 0 where it is held."""


def freed(solved: Solved) -> list[Freed]:
    """Every weight that every loss leaves with less to hold it back."""
    with np.errstate(all="ignore"):
        seen = {root: trains(solved, role) for root, role in solved.roles.items()}
        return _timed([found for loss in losses(solved) for found in _freed_by(solved, loss, seen[loss.root])])


def freed_by(solved: Solved, loss: Loss) -> list[Freed]:
    """Every weight of a set after a loss; one entry for weights that still turn together."""
    with np.errstate(all="ignore"):
        return _timed(_freed_by(solved, loss, trains(solved, solved.roles[loss.root])))


def _timed(found: list[Freed]) -> list[Freed]:
    """All of them with their largest speeds, found in one go."""
    loose = [f for f in found if not f.holders]
    for f in found:
        f.fastest = 0.0 * np.asarray(f.angle)
    if loose:
        torque, linear, square, inertia, begins, angle = (np.stack(np.broadcast_arrays(*map(np.atleast_1d, column)))
                                                          for column in zip(*(
            (f.felt.torque, f.felt.linear, f.felt.square, f.felt.inertia, f.begins, f.angle) for f in loose),
            strict=True))
        for f, speed in zip(loose, fastest(Felt(torque, linear, square, inertia), begins, angle), strict=True):
            f.fastest = speed if len(speed) > 1 else speed[0]
            if np.any(f.fastest > f.limit):
                f.fastest = np.where(f.fastest > f.limit, np.nan, f.fastest)
                f.lacking = f.lacking or f"{' and '.join(f.brakes)} would pass the speed beyond which it brakes less"
    return found


def fastest(felt: Felt, begins: Any, angle: Any) -> Any:
    """Largest speed over a drop begun at a speed: at its end, or at its beginning where it slows down."""
    x = motion.brake_exponent(felt.square, angle, felt.inertia)
    E = motion.energy_after(drives.turning_energy(felt.inertia, begins), x, felt.torque, angle, motion.kept_share(x))
    at_end = np.where(E < 0, 0.0, motion.speed_of(E, felt.inertia))
    terminal = motion.terminal_speed(felt.torque, felt.square, felt.linear)
    capped = np.where(felt.linear > 0, np.where(np.isnan(terminal), begins, terminal), np.inf)
    return np.maximum(np.minimum(at_end, capped), begins)


def _freed_by(solved: Solved, loss: Loss, seen: list[Train]) -> list[Freed]:
    found: list[Freed] = []
    for train in seen:
        if train.weight != loss.weight and not any(train.start in f.shafts for f in found):
            found.append(_freed(solved, loss, train))
    return found


def trains(solved: Solved, role: Role) -> list[Train]:
    """A set from every weight that hangs on it, those that drive it first."""
    down = {w: _down(solved, role, w) for w in hangs_on(role)}
    found = []
    for name in sorted(down, key=lambda n: not (runs_down(role) and sinks(solved, n))):
        start, forward = start_of(role, solved.machine.drives[name]), runs_down(role) and sinks(solved, name)
        together = {w: sense * down[name] for w, sense in down.items()}
        shafts = joined(solved.machine, role.set, start, frozenset(), forward=forward)
        items = [*_weights(solved, role, shafts, together), *_loads(solved, shafts), *_drags(solved, shafts)]
        resting = rests(solved) if forward else frozenset()
        begins = _begins(solved, start, items, resting) if forward else 0.0
        found.append(Train(role, name, start, forward, together, shafts, items, resting, begins))
    return found


def _freed(solved: Solved, loss: Loss, t: Train) -> Freed:
    machine = solved.machine
    if t.role.set.loops:
        shafts = joined(machine, t.role.set, t.start, loss.out, forward=t.forward)
    else:
        shafts = {n: at for n, at in t.shafts.items() if loss.out.isdisjoint(at.way)}
    off = t.resting | loss.off
    items = [i for i in t.items if i.shaft in shafts and i.name not in off
             and not (loss.weight and i.name == loss.weight)]
    felt = _sum(items)
    lacking = next((i.path for i in items if not i.known), "")
    angles = [machine.drives[w].drop.value / sources.weight_speed(
        machine, machine.drives[w], shafts[start_of(t.role, machine.drives[w])].turns)
        for w, sense in t.down.items()
        if sense > 0 and w != loss.weight and start_of(t.role, machine.drives[w]) in shafts]
    drop = np.minimum.reduce(np.broadcast_arrays(*angles)) if angles else np.nan
    if lacking:
        lacking = f"a mass, torque, brake or moment of inertia of {lacking} is not known"
    elif not np.isfinite(drop).all():
        lacking = f"the drop or the wheel of {machine.drives[t.weight].path} is not known"
    brakes = tuple(n for n, load in machine.loads.items() if load.shaft in shafts and n not in off
                   and isinstance(load, (FanBrake, EddyBrake)))
    holders = () if t.forward else tuple(_holders(solved, t, shafts, loss, felt))
    limit = min((sources.brake_constants(machine, machine.loads[n])[2] / shafts[machine.loads[n].shaft].turns
                 for n in brakes), key=np.min, default=np.inf)
    return Freed(loss, t.weight, t.start, t.forward, shafts, off, holders, brakes, t.begins, felt, drop, lacking,
                 limit)


def _sum(items: list[Item]) -> Felt:
    torque, linear, square, inertia = 0.0, 0.0, 0.0, 0.0
    for i in items:
        f = i.felt
        torque, linear, square, inertia = torque + f.torque, linear + f.linear, square + f.square, inertia + f.inertia
    return Felt(torque, linear, square, inertia)


def _item(shaft: str, name: str, path: str, f: Felt) -> Item:
    return Item(shaft, name, path, f, bool(np.isfinite(f.torque + f.linear + f.square + f.inertia).all()))


def _down(solved: Solved, role: Role, name: str) -> float:
    """Sense of the set's root in which a weight sinks."""
    drive = solved.machine.drives[name]
    shaft = start_of(role, drive)
    sense = sources.turning_sense(solved.machine, drive, shaft)
    return float((-sense if shaft != drive.shaft else sense) * np.sign(role.set.ratio[shaft]))


def _begins(solved: Solved, start: str, items: list[Item], resting: frozenset[str]) -> Any:
    """Speed before the loss: that of the run, or with everything at rest that may be, where that is faster."""
    running = np.abs(solved.speed[start][0])
    if not resting:
        return running
    felt = _sum([i for i in items if i.name not in resting])
    faster = motion.terminal_speed(felt.torque, felt.square, felt.linear)
    return np.where(faster > running, faster, running)


# What acts -------------------------------------------------------------------------------------


def _seen(at: Reached, torque: Any, linear: Any, square: Any, inertia: Any) -> Felt:
    """What acts on a shaft, seen from the weight's: what resists costs the losses on the way besides."""
    t = at.turns / at.out
    return Felt(-torque * t, linear * t * at.turns, square * t * at.turns**2, inertia * t * at.turns)


def _weights(solved: Solved, role: Role, shafts: dict[str, Reached], down: dict[str, float]) -> Iterator[Item]:
    machine = solved.machine
    for name, sense in down.items():
        drive = machine.drives[name]
        shaft = start_of(role, drive)
        if shaft not in shafts:
            continue
        at, J = shafts[shaft], sources.weight_inertia(machine, drive)
        pushes = sources.weight_pushes(machine, drive, lifted=sense < 0)
        torque = np.abs(next(p.torque for p in pushes if p.shaft == shaft))
        pulls = Felt(torque * at.turns * at.back, 0.0, 0.0, J * at.turns**2)
        yield _item(shaft, name, drive.path, pulls if sense > 0 else _seen(at, torque, 0.0, 0.0, J))


def _loads(solved: Solved, shafts: dict[str, Reached]) -> Iterator[Item]:
    machine = solved.machine
    for name, load in machine.loads.items():
        if load.shaft in shafts:
            square, linear, _ = sources.brake_constants(machine, load)
            torque = sources.resisting_torque(machine, load, "mean")
            yield _item(load.shaft, name, load.path,
                       _seen(shafts[load.shaft], torque, linear, square, sources.inertia(load)))


def _drags(solved: Solved, shafts: dict[str, Reached]) -> Iterator[Item]:
    machine = solved.machine
    for name, at in shafts.items():
        shaft = machine.shafts[name]
        drag = sum((seat.drag.value for seat in shaft.seats.values() if seat.carries_shaft), 0.0)
        yield _item(name, "", shaft.path, _seen(at, drag, 0.0, 0.0, 0.0))
    for stage in machine.stages.values():
        if stage.from_ in shafts and stage.drag.known:
            drag = _seen(shafts[stage.from_], stage.drag.value, 0.0, 0.0, 0.0)
            yield _item(stage.from_, stage.name, stage.path, drag)


def _holders(solved: Solved, t: Train, shafts: dict[str, Reached], loss: Loss, felt: Felt) -> Iterator[str]:
    """What keeps a weight from driving back: a holder against the frame, or a brake that is on by itself and grips."""
    machine = solved.machine
    yield from (name for name, stage in machine.stages.items()
                if holds(stage) and stage.from_ in shafts and name not in loss.out)
    for name, load in machine.loads.items():
        if isinstance(load, Brake) and load.shaft in shafts and name not in loss.off and load.put_on_by in BY_ITSELF:
            way = 0 if _down(solved, t.role, t.weight) * t.role.set.ratio[load.shaft] > 0 else 1
            grip = friction.earliest(torques(load)[way], load.scatter.value) * shafts[load.shaft].turns
            if np.all(grip >= felt.torque):
                yield name


# What it does ----------------------------------------------------------------------------------


def weight_speed(solved: Solved, f: Freed, omega: Any) -> Any:
    """Speed of the weight at a speed of the shaft it pulls on."""
    return sources.weight_speed(solved.machine, solved.machine.drives[f.weight], omega)


def hitting_energy(solved: Solved, f: Freed, omega: Any) -> Any:
    """Energy of motion with which the weight alone comes down on the floor."""
    drive = solved.machine.drives[f.weight]
    return drive.mass.value * weight_speed(solved, f, omega) ** 2 / 2


def wheels(solved: Solved, f: Freed) -> dict[str, tuple[float, Any]]:
    """Everything with a moment of inertia that turns with the weight: its speed over that of its shaft, its inertia."""
    return {name: (f.shafts[load.shaft].turns, J) for name, load in solved.machine.loads.items()
            if load.shaft in f.shafts and name not in f.off and np.any((J := sources.inertia(load)) != 0)}


def counter_of(drive: Any) -> Any:
    """Mass that goes up while the weight comes down."""
    return drive.counterweight.value if isinstance(drive, EndlessLoop) else 0.0
