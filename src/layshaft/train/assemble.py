"""From the machine to the torque balance of one set of shafts, and back to seats and stages."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass, field
from typing import Any

import numpy as np
import numpy.typing as npt

from layshaft.machine.kinds import RollerChain
from layshaft.machine.model import Machine
from layshaft.mechanics.drives import locked_train_torque, parallel_strand_share
from layshaft.train import balance, sources
from layshaft.train.cases import RUNNING, Column, Plan, Role
from layshaft.train.graph import Link, ShaftSet, set_without
from layshaft.train.sense import lifted, motion
from layshaft.train.shares import link_shares as link_shares
from layshaft.train.shares import rest_share
from layshaft.train.stages import centre_distance, turn_ratio
from layshaft.train.stiffness import path_flexibility, shaft_flexibility, strand_stiffness

Array = npt.NDArray[np.float64]
HALF = 0.5


@dataclass(slots=True)
class SetSolution:
    """Speeds and torques of one set in every case; see `Solved` for the meaning of each."""

    speed: dict[str, Array]
    acceleration: dict[str, Array]
    seat_torque: dict[str, dict[str, Array]]
    stage_torque: dict[str, tuple[Array, Array]]
    carried: dict[str, Array]
    required: Array


@dataclass(slots=True)
class _Work:
    """What solving one set needs at every step."""

    machine: Machine
    role: Role
    cols: list[Column]
    shape: tuple[int, int]
    motion: float
    speed: Array
    """Speed of the root in the running state, (samples,)."""

    mean_torque: Array
    """Torque of a led drive in the running state, along its motion, (samples,)."""

    rows: dict[str, dict[str, Array]] = field(default_factory=dict)
    pushes: dict[tuple[str, bool], list[sources.Push]] = field(default_factory=dict)
    """Pushes of the hanging weights, sinking or rising, worked out once for all cases."""

    @property
    def set(self) -> ShaftSet:
        return self.role.set

    def plan(self, column: Column) -> Plan:
        return column.plans[self.set.root]

    def add(self, shaft: str, seat: str, case: int, torque: Any) -> None:
        """Put a torque on a seat in one case."""
        if seat not in self.rows[shaft]:
            self.rows[shaft][seat] = np.zeros(self.shape)
        self.rows[shaft][seat][case] += torque

    def add_all(self, shaft: str, seat: str, torque: Array) -> None:
        """Put torques on a seat in every case."""
        before = self.rows[shaft].get(seat)
        self.rows[shaft][seat] = torque if before is None else before + torque


@dataclass(slots=True)
class _Part:
    """The cases that share one tree, and their balance."""

    cases: list[int]
    set: ShaftSet
    balance: balance.Balance


def solve_set(machine: Machine, role: Role, cols: list[Column], samples: int) -> SetSolution:
    """Solve one set: first the running state, then every case that rests on it."""
    w = _Work(machine, role, cols, (len(cols), samples), motion(machine, role),
              np.zeros(samples), np.zeros(samples))
    w.speed = _led_speed(w)
    running = _solve_columns(w, [0])[0].balance.unknown[0]
    if w.plan(cols[0]).unknown == balance.SPEED:
        w.speed = np.where(running > 0, running, np.nan)
    elif role.led_by or role.free:
        w.mean_torque = -running
    return _collect(w, _solve_columns(w, range(len(cols))))


def left_over(machine: Machine, role: Role, seat: tuple[str, str], speed: float) -> Any:
    """Torque that the set has to spare at one seat when its root turns at `speed` in the running case."""
    plan = Plan(balance.TORQUE, *seat, drive="mean")
    w = _Work(machine, role, [Column(RUNNING, RUNNING, {role.set.root: plan})], (1, 1), motion(machine, role),
              np.full(1, speed), np.zeros(1))
    return _solve_columns(w, [0])[0].balance.unknown[0, 0]


def _led_speed(w: _Work) -> Array:
    if w.role.free:
        return np.full(w.shape[1], w.role.wanted)
    if not w.role.led_by:
        return np.full(w.shape[1], np.nan)
    drive = w.machine.drives[w.role.led_by]
    return np.broadcast_to(drive.speed.value / abs(w.set.ratio[drive.shaft]), (w.shape[1],)).astype(float)


# Known torques ---------------------------------------------------------------------------------


def _solve_columns(w: _Work, which: Any) -> list[_Part]:
    """Balance the cases `which`; the seat torques that are known are left in `w.rows`."""
    chosen = [w.cols[i] for i in which]
    whole, w.cols = w.cols, chosen
    w.shape = (len(chosen), w.shape[1])
    w.rows = {shaft: {} for shaft in w.set.shafts}
    for i, column in enumerate(chosen):
        plan = w.plan(column)
        if not plan.idle:
            _apply_drives(w, i, column, plan)
            _apply_loads(w, i, plan)
            _apply_drags(w, i, plan)
            if plan.blow:
                _apply_blow(w, i, plan)
    found = _balance(w)
    w.cols = whole
    return found


def _sign(w: _Work, shaft: str) -> float:
    return float(np.sign(w.set.ratio[shaft])) * w.motion


def _apply_drives(w: _Work, i: int, column: Column, plan: Plan) -> None:
    for name in (*w.role.weights, *((w.role.winds,) if w.role.winds else ())):
        factor = column.pull.get(name, 1.0)
        if name == w.role.free:
            drive = w.machine.drives[name]
            if not plan.free:
                w.add(drive.shaft, drive.seat, i, w.mean_torque * factor * _sign(w, drive.shaft))
            continue
        if w.role.winds:
            factor = factor * column.winding_pull.get(name, 1.0)
        rises = lifted(w.machine, w.role, w.motion, plan, name)
        if (name, rises) not in w.pushes:
            w.pushes[name, rises] = sources.weight_pushes(w.machine, w.machine.drives[name], lifted=rises)
        for p in w.pushes[name, rises]:
            if p.shaft in w.set.ratio:
                w.add(p.shaft, p.seat, i, p.torque * factor)
    if w.role.led_by and plan.drive != "none":
        drive = w.machine.drives[w.role.led_by]
        push = {"full": sources.full_push(drive), "mean": w.mean_torque,
                "ripple": sources.ripple(drive) * w.mean_torque}[plan.drive]
        w.add(drive.shaft, drive.seat, i, push * _sign(w, drive.shaft))


def _apply_loads(w: _Work, i: int, plan: Plan) -> None:
    for load in w.machine.loads.values():
        if load.shaft in w.set.ratio:
            torque = sources.resisting_torque(w.machine, load, plan.loads)
            w.add(load.shaft, load.seat, i, -torque * _sign(w, load.shaft))


def _apply_drags(w: _Work, i: int, plan: Plan) -> None:
    if not plan.losses:
        return
    for shaft in w.set.shafts:
        for name, seat in w.machine.shafts[shaft].seats.items():
            if seat.bearing.state != "missing":
                factor = seat.break_away.value if plan.at_rest else 1.0
                w.add(shaft, name, i, -seat.drag.value * factor * _sign(w, shaft))
    for stage in w.machine.stages.values():
        if stage.from_ in w.set.ratio and stage.drag.known:
            factor = stage.break_away.value if plan.at_rest else 1.0
            w.add(stage.from_, stage.seats[0], i, -stage.drag.value * factor * _sign(w, stage.from_))


def _apply_blow(w: _Work, i: int, plan: Plan) -> None:
    """Turning masses run into the shaft that is held: omega sqrt(J k) on the way between."""
    for load in w.machine.loads.values():
        J = sources.inertia(load) if load.shaft in w.set.ratio else 0.0
        if np.ndim(J) == 0 and J == 0:
            continue
        if load.shaft == plan.blow:
            seats = w.machine.shafts[load.shaft].seats
            twist: Any = shaft_flexibility(w.machine.shafts[load.shaft], seats[load.seat].at.nominal,
                                           seats[plan.seat].at.nominal)
            if twist == 0:
                continue  # the jam holds the mass itself: nothing between them to load
        else:
            twist = path_flexibility(w.machine, w.set, (load.shaft, load.seat), (plan.blow, plan.seat))
        omega = w.speed * abs(w.set.ratio[load.shaft])
        w.add(load.shaft, load.seat, i, locked_train_torque(omega, J, 1 / twist) * _sign(w, load.shaft))


# Balance ---------------------------------------------------------------------------------------


def _balance(w: _Work) -> list[_Part]:
    """Solve all cases; those that open a loop use the tree that is left."""
    loops = {name for loop in w.set.loops for name in loop}
    kinds: dict[frozenset[str], list[int]] = {}
    for i, column in enumerate(w.cols):
        kinds.setdefault(w.plan(column).out & loops, []).append(i)
    trees = {out: set_without(w.machine, w.set, out) if out else w.set for out in kinds}
    return [_Part(cases, trees[out], _balanced(w, trees[out], cases)) for out, cases in kinds.items()]


def _balanced(w: _Work, s: ShaftSet, cases: list[int]) -> balance.Balance:
    plans = [w.plan(w.cols[i]) for i in cases]
    applied = {}
    for shaft in s.shafts:
        total = np.zeros((len(cases), w.shape[1]))
        for torque in w.rows[shaft].values():
            total = total + torque[cases]
        applied[shaft] = total
    outward, inward, attached = _passing(w, s, plans)
    for shaft, on in attached.items():
        for torque in w.rows[shaft].values():
            torque[cases] *= on
    turning = np.array([[1.0 if p.turning else 0.0] for p in plans])
    brakes = _brakes(w, s)
    return balance.solve(balance.Problem(
        s, applied, np.array([p.unknown for p in plans]), [p.at for p in plans],
        np.full((len(cases), w.shape[1]), w.motion), outward, inward, _inertias(w, s), *brakes,
        speed=np.where(turning > 0, w.speed[None, :], 0.0), attached=attached,
    ))


def _passing(w: _Work, s: ShaftSet, plans: list[Plan]) -> tuple[dict[int, Array], dict[int, Array], dict[str, Array]]:
    outward, inward, attached = {}, {}, {}
    off: dict[str, Array] = {}
    for i, link in enumerate(s.links):
        out, back = link_shares(w.machine, link)
        rest = rest_share(w.machine, link)
        rows = [(_of_plan(p, out, rest), _of_plan(p, back, rest)) for p in plans]
        outward[i] = np.stack([np.broadcast_to(a, (w.shape[1],)) for a, _ in rows])
        inward[i] = np.stack([np.broadcast_to(b, (w.shape[1],)) for _, b in rows])
        open_ = np.array([[0.0 if set(link.stages) <= p.out else 1.0] for p in plans])
        here = off.get(link.parent, 1.0) * open_
        if not np.all(here == 1):
            off[link.child] = attached[link.child] = here
    return outward, inward, attached


def _of_plan(plan: Plan, share: Any, rest: Any) -> Any:
    """Losses as they are when running, larger at rest, none where a case is an upper bound."""
    if not plan.losses:
        return 1.0
    return np.maximum(1 - (1 - share) * rest, 1e-3) if plan.at_rest else share


def _inertias(w: _Work, s: ShaftSet) -> dict[str, Any]:
    found: dict[str, Any] = {}
    for load in w.machine.loads.values():
        if load.shaft in s.ratio:
            found[load.shaft] = found.get(load.shaft, 0.0) + sources.inertia(load)
    for name in w.role.weights:
        drive = w.machine.drives[name]
        found[drive.shaft] = found.get(drive.shaft, 0.0) + sources.weight_inertia(w.machine, drive)
    return found


def _brakes(w: _Work, s: ShaftSet) -> tuple[dict[str, Any], dict[str, Any], dict[str, Any]]:
    square: dict[str, Any] = {}
    linear: dict[str, Any] = {}
    critical: dict[str, Any] = {}
    for load in w.machine.loads.values():
        if load.shaft in s.ratio:
            a, b, limit = sources.brake_constants(w.machine, load)
            square[load.shaft] = square.get(load.shaft, 0.0) + a
            linear[load.shaft] = linear.get(load.shaft, 0.0) + b
            critical[load.shaft] = np.minimum(critical.get(load.shaft, np.inf), limit)
    return square, linear, critical


# Back to seats ---------------------------------------------------------------------------------


def _collect(w: _Work, parts: list[_Part]) -> SetSolution:
    unknown = _scattered(w, parts, lambda part: part.balance.unknown)
    speed = {n: _scattered(w, parts, _speed_of(n)) for n in w.set.shafts}
    alpha = {n: _scattered(w, parts, _acceleration_of(n)) for n in w.set.shafts}
    _put_unknown(w, unknown)
    _put_speed_torques(w, speed, alpha)
    stage_torque, carried = _stages(w, parts)
    for name, (first, second) in stage_torque.items():
        stage = w.machine.stages[name]
        w.add_all(stage.from_, stage.seats[0], first)
        w.add_all(stage.to, stage.seats[1], second)
    return SetSolution(speed, alpha, w.rows, stage_torque, carried, -unknown)


def _speed_of(shaft: str) -> Callable[[_Part], Array]:
    return lambda part: part.balance.speed[shaft]


def _acceleration_of(shaft: str) -> Callable[[_Part], Array]:
    return lambda part: part.balance.acceleration[shaft]


def _scattered(w: _Work, parts: list[_Part], value: Callable[[_Part], Array]) -> Array:
    """Values of all parts back in the order of the cases."""
    if len(parts) == 1:
        return value(parts[0])
    whole = np.zeros(w.shape)
    for part in parts:
        whole[part.cases] = value(part)
    return whole


def _stages(w: _Work, parts: list[_Part]) -> tuple[dict[str, tuple[Array, Array]], dict[str, Array]]:
    """Torques of every stage on its two shafts, and the torque each strand is rated for."""
    torques: dict[str, tuple[Array, Array]] = {}
    carried: dict[str, Array] = {}
    for part in parts:
        for i, link in enumerate(part.set.links):
            for name, first, second, rated in _strands(w, part, link, i):
                if name not in torques:
                    torques[name], carried[name] = (np.zeros(w.shape), np.zeros(w.shape)), np.zeros(w.shape)
                torques[name][0][part.cases], torques[name][1][part.cases] = first, second
                carried[name][part.cases] = rated
    return torques, carried


def _put_unknown(w: _Work, unknown: Array) -> None:
    for i, column in enumerate(w.cols):
        plan = w.plan(column)
        if plan.unknown == balance.TORQUE and not plan.idle:
            w.add(plan.at, plan.seat, i, -unknown[i] * _sign(w, plan.at))


def _put_speed_torques(w: _Work, speed: dict[str, Array], alpha: dict[str, Array]) -> None:
    """Brake and inertia torques act where their loads sit; several on one shaft by their constants."""
    for load in w.machine.loads.values():
        if load.shaft not in w.set.ratio:
            continue
        omega = speed[load.shaft]
        square, linear, _ = sources.brake_constants(w.machine, load)
        w.add_all(load.shaft, load.seat,
                  -square * omega * np.abs(omega) - linear * omega
                  + balance.inertia_torque(sources.inertia(load), alpha[load.shaft]))
    for name in w.role.weights:
        drive = w.machine.drives[name]
        w.add_all(drive.shaft, drive.seat,
                  balance.inertia_torque(sources.weight_inertia(w.machine, drive), alpha[drive.shaft]))


def _strands(w: _Work, part: _Part, link: Link, i: int) -> Iterator[tuple[str, Array, Array, Array]]:
    """Each stage of a link with the torques on its two shafts and the torque it is rated for."""
    cols = [w.cols[c] for c in part.cases]
    on_parent, on_child = part.balance.on_parent[i], part.balance.on_child[i]
    for name in link.stages:
        stage = w.machine.stages[name]
        first, second = (on_parent, on_child) if stage.from_ == link.parent else (on_child, on_parent)
        present = np.array([[_present(w.plan(c), link, name)] for c in cols])
        snatch = np.array([[c.snatch.get(name, 1.0)] for c in cols])
        driving = np.maximum(np.abs(first), np.abs(second * turn_ratio(w.machine, stage)))
        share = np.where(present == 1, 1.0, _rated_share(w, link, name, driving)) * (present > 0)
        yield name, first * present * snatch, second * present * snatch, driving * share * snatch


def _present(plan: Plan, link: Link, name: str) -> float:
    left = [n for n in link.stages if n not in plan.out]
    return 1 / len(left) if name in left else 0.0


def _rated_share(w: _Work, link: Link, name: str, torque: Array) -> Any:
    """Share one of two strands side by side must be rated for; all of it where nothing is known."""
    stage = w.machine.stages[name]
    if len(link.stages) != 2 or not isinstance(stage, RollerChain):
        return 1.0
    if not (stage.length_tolerance.known and stage.index_error.known):
        return 1.0
    r = sources.sprocket_radius(w.machine, stage, 0)
    length = centre_distance(w.machine, stage)
    share = parallel_strand_share(strand_stiffness(w.machine, stage), stage.length_tolerance.value * length,
                                  r, stage.index_error.value, np.maximum(torque / r, 1e-9))
    return np.maximum(share, HALF)

