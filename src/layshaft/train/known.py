"""Torques that are known before the balance: what drives, loads, losses and jams put on the seats.

All cases of a set at once. What a case leaves out is put in as nothing, so that a value that is not
known stays out of the cases that do not ask for it.
"""

from __future__ import annotations

from collections.abc import Callable, Hashable, Sequence
from dataclasses import dataclass, field
from typing import Any

import numpy as np
import numpy.typing as npt

from layshaft.machine.model import Machine
from layshaft.mechanics.drives import locked_train_torque
from layshaft.train import sources
from layshaft.train.braking import most, stated
from layshaft.train.cases import Column, Plan, lowers
from layshaft.train.graph import ShaftSet
from layshaft.train.limits import limits_of, passed
from layshaft.train.roles import Role
from layshaft.train.sense import lifted
from layshaft.train.stiffness import twist_to, twists_from

Array = npt.NDArray[np.float64]
Mask = npt.NDArray[np.bool_]


@dataclass(slots=True)
class Work:
    """What solving one set needs at every step."""

    machine: Machine
    role: Role
    cols: list[Column]
    samples: int
    motion: float
    speed: Array
    """Speed of the root in the running state, (samples,)."""

    mean_torque: Array
    """Torque of a led drive in the running state, along its motion, (samples,)."""

    rows: dict[str, dict[str, Array]] = field(default_factory=dict)
    """Torque on every seat that has one, by shaft, (cases, samples)."""

    plans: list[Plan] = field(default_factory=list)

    @property
    def set(self) -> ShaftSet:
        """The shafts."""
        return self.role.set

    @property
    def shape(self) -> tuple[int, int]:
        """Cases and samples."""
        return len(self.plans), self.samples

    def sign(self, shaft: str) -> float:
        """1 where the shaft turns forward about its axis, -1 where backward."""
        return float(np.sign(self.set.ratio[shaft])) * self.motion

    def where(self, asks: Callable[[Plan], Any]) -> Mask:
        """Cases in which something acts and the plan is so, (cases, 1)."""
        return np.array([[not plan.idle and bool(asks(plan))] for plan in self.plans])

    def states(self, of: Callable[[Plan], Hashable]) -> dict[Any, Mask]:
        """Every state a plan asks for, with the cases that do."""
        asked = [None if plan.idle else of(plan) for plan in self.plans]
        return {state: np.array([[one == state] for one in asked])
                for state in dict.fromkeys(asked) if state is not None}

    def engaged(self, load: str, value: Any) -> Any:
        """A number of a load in the cases in which it is engaged, nothing in the others."""
        return engaged(self.plans, load, value)

    def add(self, shaft: str, seat: str, torque: Any) -> None:
        """Put torques on a seat in every case."""
        before = self.rows[shaft].get(seat)
        self.rows[shaft][seat] = torque + (np.zeros(self.shape) if before is None else before)


def engaged(plans: Sequence[Plan], load: str, value: Any) -> Any:
    """A number of a load by case: nothing where a plan has it not engaged."""
    if not any(load in plan.off for plan in plans):
        return value
    return np.where(np.array([[load in plan.off] for plan in plans]), 0.0, value)


def apply(w: Work, cols: list[Column]) -> None:
    """Leave the known torques of these cases in `w.rows`."""
    w.plans = [column.plans[w.set.root] for column in cols]
    w.rows = {shaft: {} for shaft in w.set.shafts}
    if all(plan.idle for plan in w.plans):
        return
    _weights(w, cols)
    _led(w)
    _loads(w)
    _drags(w)
    _blows(w)
    _brakes(w)
    _let_slip(w)


def _weights(w: Work, cols: list[Column]) -> None:
    active = w.where(lambda plan: not plan.idle)
    for name in (*w.role.weights, *((w.role.winds,) if w.role.winds else ())):
        drive, pull = w.machine.drives[name], factors(cols, name, w.samples, winding=bool(w.role.winds))
        if name == w.role.free:
            torque = w.mean_torque * pull * w.sign(drive.shaft)
            w.add(drive.shaft, drive.seat, np.where(w.where(lambda plan: not plan.free), torque, 0.0))
            continue
        rises = np.zeros_like(active)
        for plan, state in _by_rest(w).items():
            rises |= state & lifted(w.machine, w.role, w.motion, plan, name)
        for up in sorted({bool(r) for r in rises[active]}):
            for p in sources.weight_pushes(w.machine, drive, lifted=up):
                if p.shaft in w.set.ratio:
                    w.add(p.shaft, p.seat, np.where(active & (rises == up), p.torque * pull, 0.0))


def _by_rest(w: Work) -> dict[Plan, Mask]:
    """One plan for each state of rest and losses, with the cases that are in it."""
    first = {(plan.at_rest, plan.losses): plan for plan in reversed(w.plans) if not plan.idle}
    states = w.states(lambda plan: (plan.at_rest, plan.losses))
    return {first[key]: state for key, state in states.items()}


def factors(cols: list[Column], drive: str, samples: int, *, winding: bool) -> Array:
    """Factor on the strands of a hanging weight in every case, (cases, samples or 1)."""
    rows = [column.pull.get(drive, 1.0) * (column.winding_pull.get(drive, 1.0) if winding else 1.0)
            for column in cols]
    if any(np.ndim(row) for row in rows):
        return np.stack([np.broadcast_to(row, (samples,)) for row in rows])
    return np.array(rows, dtype=np.float64)[:, None]


def _led(w: Work) -> None:
    if not w.role.led_by:
        return
    drive = w.machine.drives[w.role.led_by]
    for state, cases in w.states(lambda plan: plan.drive).items():
        if state != "none":
            push = {"full": sources.full_push(drive), "back": -sources.full_push(drive), "mean": w.mean_torque,
                    "ripple": sources.ripple(drive) * w.mean_torque}[state]
            w.add(drive.shaft, drive.seat, np.where(cases, push * w.sign(drive.shaft), 0.0))


def _loads(w: Work) -> None:
    alike = w.states(lambda plan: plan.loads)
    apart = any(plan.lifting is not None for plan in w.plans)
    for load in w.machine.loads.values():
        if load.shaft in w.set.ratio:
            states = w.states(lambda plan, name=load.name: plan.state_of(name)) if apart else alike  # type: ignore[misc]
            for state, cases in states.items():
                torque = state if isinstance(state, float) else sources.resisting_torque(w.machine, load, state)
                acts = w.engaged(load.name, torque)
                w.add(load.shaft, load.seat, np.where(cases, -acts * w.sign(load.shaft), 0.0))


def _drags(w: Work) -> None:
    running = w.where(lambda plan: plan.losses and not plan.at_rest)
    rest = w.where(lambda plan: plan.losses and plan.at_rest)
    if not (running | rest).any():
        return
    for shaft in w.set.shafts:
        for name, seat in w.machine.shafts[shaft].seats.items():
            if seat.carries_shaft:
                w.add(shaft, name, _drag(seat, running, rest) * w.sign(shaft))
    for stage in w.machine.stages.values():
        if stage.from_ in w.set.ratio and stage.drag.known:
            w.add(stage.from_, stage.seats[0], _drag(stage, running, rest) * w.sign(stage.from_))


def _drag(part: Any, running: Mask, rest: Mask) -> Array:
    at_rest = part.drag.value * part.break_away.value
    return np.where(running, -part.drag.value, np.where(rest, -at_rest, 0.0))


def _blows(w: Work) -> None:
    """Turning masses run into the shaft that is held: omega sqrt(J k) on the way between."""
    cases = [i for i, plan in enumerate(w.plans) if plan.blow and not plan.idle]
    for load in w.machine.loads.values() if cases else ():
        J = sources.inertia(load) if load.shaft in w.set.ratio else 0.0
        if np.ndim(J) == 0 and J == 0:
            continue
        twists = twists_from(w.machine, w.set, (load.shaft, load.seat))
        ways = [twist_to(w.machine, w.set, twists, (w.plans[i].blow, w.plans[i].seat)) for i in cases]
        # a jam right at the mass holds it itself: nothing between them to load
        meets = np.array([[w.plans[i].blow != load.shaft or twist != 0] for i, twist in zip(cases, ways, strict=True)])
        omega = w.speed * abs(w.set.ratio[load.shaft])
        torque = locked_train_torque(omega, J, 1 / np.stack([np.broadcast_to(k, (w.samples,)) for k in ways]))
        w.rows[load.shaft][load.seat][cases] += np.where(meets, torque * w.sign(load.shaft), 0.0)


def _brakes(w: Work) -> None:
    """A brake that is put on acts against the way its shaft turns, or would turn under its weights."""
    for (name, of_a_run), cases in w.states(lambda plan: (plan.brake, plan.lifting is not None)).items():
        if name:
            load = w.machine.loads[name]
            sense = -w.sign(load.shaft) if lowers(w.role) else w.sign(load.shaft)
            torque = stated(load, sense) if of_a_run else most(load, sense)
            w.add(load.shaft, load.seat, np.where(cases, -torque * sense, 0.0))


def _let_slip(w: Work) -> None:
    """In a jam a clutch passes no more than its limit: what pushes harder from behind it gets away, and pushes less."""
    limits = limits_of(w.machine, w.set)
    for i, plan in enumerate(w.plans) if limits else ():
        if plan.slips and not plan.idle:
            net = {shaft: sum((t[i] for t in seats.values()), np.zeros(w.samples)) for shaft, seats in w.rows.items()}
            for shaft, share in passed(w.set, limits, plan.at, net, w.sign).items():
                for torque in w.rows[shaft].values():
                    torque[i] = torque[i] * share
