"""The energy books of a run: what the weights gave, what every load and loss took, what is left in motion.

Every line is a torque seen from the root, p0 + p1 omega + p2 omega^2, and its work over a stretch needs the
integrals of 1, omega and omega^2 over the angle. These are taken by Gauss's rule from speeds inside the stretches, so
that books that close say that the stepping obeys the balance, and not the other way round.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any, Literal

import numpy as np
import numpy.typing as npt

from layshaft.machine.kinds import Brake, EndlessLoop, FallingWeight, Flywheel
from layshaft.mechanics import drives, energy
from layshaft.train import sources
from layshaft.train.motion.course import Course, rises
from layshaft.train.motion.reduced import Reduced, State, brake_torque
from layshaft.train.motion.run import Part
from layshaft.train.motion.steps import within

Array = npt.NDArray[np.float64]
Kind = Literal["in", "used", "lost"]
Terms = tuple[float, float, float]
NOTHING = 1e-15
"""Share of all work below which a line is what rounding left of nothing."""

_U, _W = np.polynomial.legendre.leggauss(8)
_U = (1 + _U) / 2
POINTS, WEIGHTS = _U**2 * (3 - 2 * _U), _W / 2 * 6 * _U * (1 - _U)
"""Shares of a stretch, closer at its ends: where it begins or ends at rest, speed goes with the root of the angle."""


@dataclass(frozen=True, slots=True)
class Line:
    """One line of the books, in J."""

    kind: Kind
    name: str
    work: float


@dataclass(slots=True)
class Books:
    """All lines of a run, and what is stored at its end."""

    lines: list[Line]
    moving: dict[str, float]
    """Energy of motion at the end, by store."""

    landing: float
    """Energy of the weights' own motion that the floor took."""

    def total(self, kind: Kind) -> float:
        """Sum of one kind."""
        return sum(line.work for line in self.lines if line.kind == kind)

    @property
    def open(self) -> float:
        """Share of what came in that the lines leave unexplained."""
        out = self.total("used") + self.total("lost") + sum(self.moving.values()) + self.landing
        return abs(self.total("in") - out) / max(self.total("in"), 1e-300)


def books_of(c: Course) -> Books:
    """Books of a whole run."""
    integrals, found = _integrals(c), dict[tuple[Kind, str], float]()
    for number, part in enumerate(c.motion.parts):
        if part.reduced is not None:
            for kind, name, terms in _lines(c, part):
                found[kind, name] = found.get((kind, name), 0.0) + float(np.dot(terms, integrals[number]))
    order = {"in": 0, "used": 1, "lost": 2}
    lines = [Line(kind, name, work) for (kind, name), work in sorted(found.items(), key=lambda e: order[e[0][0]])]
    landing = sum(_weight_motion(c, m.name) * m.speed**2 / 2 for m in c.marks if m.kind == "landed")
    last = c.legs[-1].setting.landed
    moving = {name: J * float(c.motion.omega[-1]) ** 2 / 2 for name, J in stores(c).items() if name not in last}
    least = NOTHING * sum(abs(line.work) for line in lines)
    return Books([line for line in lines if abs(line.work) > least], moving, landing)


def stores(c: Course) -> dict[str, float]:
    """Moment of inertia of everything that moves, seen from the root."""
    machine, ratio = c.solved.machine, c.ratio
    found: dict[str, Any] = {
        name: np.mean(sources.inertia(load)) * ratio[load.shaft] ** 2
        for name, load in machine.loads.items() if load.shaft in ratio}
    for name in c.solved.roles[c.programme.root].weights:
        drive = machine.drives[name]
        found[name] = np.mean(sources.weight_inertia(machine, drive)) * ratio[drive.shaft] ** 2
    return {name: float(J) for name, J in found.items() if J > 0}


def _weight_motion(c: Course, name: str) -> float:
    """Moment of inertia of a weight alone, seen from the root, without what hangs on in its loop."""
    machine, drive = c.solved.machine, c.solved.machine.drives[name]
    arm = float(np.mean(sources.weight_speed(machine, drive, 1.0))) * c.ratio[drive.shaft]
    return float(drive.mass.nominal) * arm**2


def _integrals(c: Course) -> Array:
    """Angle, and the integrals of speed and squared speed over it, for every part of the run, (parts, 3).

    Stretches that are the same stretch of a repeating cycle are taken once.
    """
    m = c.motion
    part, first, angle = m.part[:-1], m.omega[:-1], np.diff(m.angle)
    keys = np.stack([part.astype(np.float64), first, np.round(angle, 12)], axis=1)
    unique, which, often = np.unique(keys, axis=0, return_index=True, return_counts=True)
    part, first, angle = part[which], first[which], angle[which]
    a = np.array([p.band.a for p in m.parts])[part]
    sums = np.zeros((len(unique), 3))
    sums[:, 0] = angle
    for x, weight in zip(POINTS, WEIGHTS, strict=True):
        y = np.maximum(within(first**2, a, x * angle)[0], 0.0)
        sums[:, 1] += np.nan_to_num(weight * angle * np.sqrt(y))
        sums[:, 2] += np.nan_to_num(weight * angle * y)
    total = np.zeros((len(m.parts), 3))
    np.add.at(total, part, sums * often[:, None])
    return total


def _lines(c: Course, part: Part) -> Iterator[tuple[Kind, str, Terms]]:
    r = part.reduced
    assert r is not None
    yield from _weights(c, r)
    yield from _loads(c, r, part.state)
    yield from _drags(c, r)
    for joint, passed, inward in zip(r.joints, part.band.passed, part.band.inward, strict=True):
        # power that comes in from the outer shaft is what the link passes to it, turned round
        share = (1 - joint.inward) if inward else (1 - 1 / joint.outward)
        p0, p1, p2 = (-t * joint.child_turns * share for t in passed)
        yield "lost", " with ".join(joint.stages), (p0, p1, p2)


def _weights(c: Course, r: Reduced) -> Iterator[tuple[Kind, str, Terms]]:
    machine, ratio = r.machine, c.ratio
    for name in c.solved.roles[r.root].weights:
        drive = machine.drives[name]
        pull, v = dict(r.setting.pull).get(name, 1.0), sources.weight_speed(machine, drive, abs(ratio[drive.shaft]))
        g, s = machine.gravity.value, sources.strands(machine, drive)
        counter, up = drive.counterweight.value if isinstance(drive, EndlessLoop) else 0.0, rises(c.solved, name)
        yield "used" if up else "in", name, _constant(pull * energy.net_drop_energy(drive.mass.value, counter, g, v))
        if isinstance(drive, EndlessLoop):
            returning = drives.counterweight_return_strand(counter, g, drive.pulley_loss.value)
            lost = energy.pulley_loss(s.winding, s.drive, 2 * v) + energy.pulley_loss(s.drive_return, returning, 2 * v)
            yield "lost", f"{name}, pulleys", _constant(pull * lost)
        elif isinstance(drive, FallingWeight) and sources.falls(drive) > 1:
            e, falls = drive.pulley_loss.value, sources.falls(drive)
            lost = (energy.purchase_loss_rising(s.winding, e, falls, v) if up
                    else energy.purchase_loss_sinking(s.drive, e, falls, v))
            yield "lost", f"{name}, pulleys", _constant(pull * lost)


def _loads(c: Course, r: Reduced, state: State) -> Iterator[tuple[Kind, str, Terms]]:
    machine, ratio = r.machine, c.ratio
    for n, lift in enumerate(r.lifts):
        if lift.torques[state[n]]:
            yield "used", lift.load, _constant(lift.torques[state[n]] * abs(ratio[lift.shaft]))
    for name, load in machine.loads.items():
        if load.shaft not in ratio or name in r.setting.off:
            continue
        turns = abs(ratio[load.shaft])
        if isinstance(load, Brake):
            if name == r.setting.brake:
                sign = np.sign(c.solved.speed[load.shaft][0].mean())
                yield "lost", name, _constant(brake_torque(machine, name, lambda _, s=sign: s) * turns)
        elif not isinstance(load, Flywheel):
            square, linear, _ = sources.brake_constants(machine, load)
            torque = sources.resisting_torque(machine, load, "still")
            p0, p1, p2 = torque * turns, linear * turns**2, square * turns**3
            yield "used", name, (float(np.mean(p0)), float(np.mean(p1)), float(np.mean(p2)))


def _drags(c: Course, r: Reduced) -> Iterator[tuple[Kind, str, Terms]]:
    machine, ratio = r.machine, c.ratio
    for shaft in c.solved.sets[r.root].shafts:
        for name, seat in machine.shafts[shaft].seats.items():
            if seat.carries_shaft:
                yield "lost", f"{shaft}, {name}", _constant(seat.drag.value * abs(ratio[shaft]))
    for name, stage in machine.stages.items():
        if stage.from_ in ratio and stage.drag.known:
            yield "lost", f"{name}, drag", _constant(stage.drag.value * abs(ratio[stage.from_]))


def _constant(torque: Any) -> Terms:
    return float(np.mean(torque)), 0.0, 0.0
