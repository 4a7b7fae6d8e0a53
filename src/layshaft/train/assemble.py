"""From the machine to the torque balance of one set of shafts, and back to seats and stages."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from typing import Any

import numpy as np
import numpy.typing as npt

from layshaft.machine.kinds import RollerChain
from layshaft.machine.model import Machine
from layshaft.mechanics.drives import parallel_strand_share
from layshaft.train import balance, sources
from layshaft.train.cases import RUNNING, TRANSIT, Column, Plan
from layshaft.train.graph import Link, ShaftSet, set_without
from layshaft.train.known import Work, apply, engaged
from layshaft.train.roles import Role
from layshaft.train.sense import motion
from layshaft.train.shares import link_shares, share_at_rest
from layshaft.train.stages import centre_distance, turn_ratio
from layshaft.train.stiffness import alike, strand_stiffness

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
class _Part:
    """The cases that share one tree, and their balance."""

    cases: list[int]
    set: ShaftSet
    balance: balance.Balance


def solve_set(machine: Machine, role: Role, cols: list[Column], samples: int) -> SetSolution:
    """Solve one set: first the running state, then every case that rests on it."""
    w = Work(machine, role, cols, samples, motion(machine, role), np.zeros(samples), np.zeros(samples))
    w.speed = _led_speed(w)
    running = _solve_columns(w, cols[:1])[0].balance.unknown[0]
    if w.plans[0].unknown == balance.SPEED:
        w.speed = np.where(running > 0, running, np.nan)
    elif role.led_by or role.free:
        w.mean_torque = -running
    return _collect(w, _solve_columns(w, cols))


def left_over(machine: Machine, role: Role, seat: tuple[str, str], speed: float) -> Any:
    """Torque that the set has to spare at one seat when its root turns at `speed` in the running case."""
    plan = Plan(balance.TORQUE, *seat, drive="mean")
    column = Column(RUNNING, RUNNING, {role.set.root: plan})
    w = Work(machine, role, [column], 1, motion(machine, role), np.full(1, speed), np.zeros(1))
    return _solve_columns(w, [column])[0].balance.unknown[0, 0]


def problem_at(w: Work, cols: list[Column], besides: Callable[[Work], None]) -> balance.Problem:
    """The balance to solve of columns that share one tree, with more torques put on the seats."""
    apply(w, cols)
    besides(w)
    return _problem(w, w.set, list(range(len(cols))))


def _led_speed(w: Work) -> Array:
    if w.role.free:
        return np.full(w.samples, w.role.wanted)
    if not w.role.led_by:
        return np.full(w.samples, np.nan)
    drive = w.machine.drives[w.role.led_by]
    return np.broadcast_to(drive.speed.value / abs(w.set.ratio[drive.shaft]), (w.samples,)).astype(float)


def _solve_columns(w: Work, cols: list[Column]) -> list[_Part]:
    """Balance these cases; the seat torques that are known are left in `w.rows`."""
    apply(w, cols)
    return _balance(w)


# Balance ---------------------------------------------------------------------------------------


def _balance(w: Work) -> list[_Part]:
    """Solve all cases; those that open a loop use the tree that is left."""
    loops = {name for loop in w.set.loops for name in loop}
    kinds: dict[frozenset[str], list[int]] = {}
    for i, plan in enumerate(w.plans):
        kinds.setdefault(plan.out & loops, []).append(i)
    trees = {out: set_without(w.machine, w.set, out) if out else w.set for out in kinds}
    return [_Part(cases, trees[out], _balanced(w, trees[out], cases)) for out, cases in kinds.items()]


def _balanced(w: Work, s: ShaftSet, cases: list[int]) -> balance.Balance:
    return balance.solve(_problem(w, s, cases))


def _problem(w: Work, s: ShaftSet, cases: list[int]) -> balance.Problem:
    plans = [w.plans[i] for i in cases]
    applied = np.zeros((len(s.shafts), len(cases), w.samples))
    for k, shaft in enumerate(s.shafts):
        for torque in w.rows[shaft].values():
            applied[k] += torque[cases] if len(cases) < len(w.plans) else torque
    attached = _attached(s, plans)
    for shaft, on in attached.items():
        for torque in w.rows[shaft].values():
            torque[cases] *= on
    turning = np.array([[p.turning] for p in plans])
    brakes = _brakes(w, s, plans)
    return balance.Problem(
        s, applied, np.array([p.unknown for p in plans]), [p.at for p in plans],
        w.motion, *_passing(w, s, plans), _inertias(w, s, plans), *brakes,
        speed=np.where(turning, _speeds(w, plans), 0.0), attached=attached,
    )


def _speeds(w: Work, plans: list[Plan]) -> Array:
    """Speed of the root in these cases, (cases, samples or 1)."""
    if all(plan.speed is None for plan in plans):
        return w.speed[None, :]
    return np.stack([w.speed if plan.speed is None else np.full(w.samples, plan.speed) for plan in plans])


def _attached(s: ShaftSet, plans: list[Plan]) -> dict[str, Array]:
    """0 where a case has taken the shaft out, 1 elsewhere; only shafts that some case takes out."""
    out = frozenset().union(*(p.out for p in plans))
    off: dict[str, Array] = {}
    for link in s.links:
        open_: Any = 1.0
        if not out.isdisjoint(link.stages):
            open_ = np.array([[0.0 if set(link.stages) <= p.out else 1.0] for p in plans])
        here = off.get(link.parent, 1.0) * open_
        if not np.all(here == 1):
            off[link.child] = here
    return off


def _passing(w: Work, s: ShaftSet, plans: list[Plan]) -> tuple[list[Any], list[Any]]:
    """Shares of power through every link: as when running, smaller at rest, all where losses are left out."""
    losses, at_rest = (np.array([[asked] for asked in column])
                       for column in ((p.losses for p in plans), (p.losses and p.at_rest for p in plans)))
    outward, inward = [], []
    for link in s.links:
        out, back = link_shares(w.machine, link)
        both = [np.where(at_rest, share_at_rest(w.machine, link, share), np.where(losses, share, 1.0))
                for share in ((out,) if out is back else (out, back))]
        outward.append(both[0])
        inward.append(both[-1])
    return outward, inward


def _inertias(w: Work, s: ShaftSet, plans: list[Plan]) -> dict[str, Any]:
    found: dict[str, Any] = {}
    for load in w.machine.loads.values():
        if load.shaft in s.ratio:
            found[load.shaft] = found.get(load.shaft, 0.0) + engaged(plans, load.name, sources.inertia(load))
    for name in w.role.weights:
        drive = w.machine.drives[name]
        found[drive.shaft] = found.get(drive.shaft, 0.0) + sources.weight_inertia(w.machine, drive)
    return found


def _brakes(w: Work, s: ShaftSet, plans: list[Plan]) -> tuple[dict[str, Any], dict[str, Any], dict[str, Any]]:
    square: dict[str, Any] = {}
    linear: dict[str, Any] = {}
    critical: dict[str, Any] = {}
    for load in w.machine.loads.values():
        if load.shaft in s.ratio:
            a, b, limit = sources.brake_constants(w.machine, load)
            square[load.shaft] = square.get(load.shaft, 0.0) + engaged(plans, load.name, a)
            linear[load.shaft] = linear.get(load.shaft, 0.0) + engaged(plans, load.name, b)
            critical[load.shaft] = np.minimum(critical.get(load.shaft, np.inf), limit)
    return square, linear, critical


# Back to seats ---------------------------------------------------------------------------------


def _collect(w: Work, parts: list[_Part]) -> SetSolution:
    unknown = _scattered(w, parts, lambda part: part.balance.unknown)
    speed = {n: _scattered(w, parts, _speed_of(n)) for n in w.set.shafts}
    alpha = {n: _scattered(w, parts, _acceleration_of(n)) for n in w.set.shafts}
    _put_unknown(w, unknown)
    _put_speed_torques(w, speed, alpha)
    stage_torque, carried = _stages(w, parts)
    for name, (first, second) in stage_torque.items():
        stage = w.machine.stages[name]
        w.add(stage.from_, stage.seats[0], first)
        w.add(stage.to, stage.seats[1], second)
    if not w.role.driven:
        _unknown_torques(w, stage_torque, carried)
    return SetSolution(speed, alpha, w.rows, stage_torque, carried, -unknown)


def _unknown_torques(w: Work, stage_torque: dict[str, tuple[Array, Array]], carried: dict[str, Array]) -> None:
    """Nothing drives the set: what it would carry is not known, except on the road, where nothing turns."""
    asked = np.array([column.case != TRANSIT for column in w.cols])
    on_seats = (torque for seats in w.rows.values() for torque in seats.values())
    for torques in (*on_seats, *(t for both in stage_torque.values() for t in both), *carried.values()):
        torques[asked] = np.nan


def _speed_of(shaft: str) -> Callable[[_Part], Array]:
    return lambda part: part.balance.speed[part.set.shafts.index(shaft)]


def _acceleration_of(shaft: str) -> Callable[[_Part], Array]:
    return lambda part: part.balance.acceleration[part.set.shafts.index(shaft)]


def _scattered(w: Work, parts: list[_Part], value: Callable[[_Part], Array]) -> Array:
    """Values of all parts back in the order of the cases."""
    if len(parts) == 1:
        return value(parts[0])
    whole = np.zeros(w.shape)
    for part in parts:
        whole[part.cases] = value(part)
    return whole


def _stages(w: Work, parts: list[_Part]) -> tuple[dict[str, tuple[Array, Array]], dict[str, Array]]:
    """Torques of every stage on its two shafts, and the torque each strand is rated for."""
    torques: dict[str, tuple[Array, Array]] = {}
    carried: dict[str, Array] = {}
    for part in parts:
        for i, link in enumerate(part.set.links):
            for name, *found in _strands(w, part, link, i):
                if len(parts) > 1:
                    whole = (*torques.get(name, (np.zeros(w.shape), np.zeros(w.shape))),
                             carried.get(name, np.zeros(w.shape)))
                    for all_cases, values in zip(whole, found, strict=True):
                        all_cases[part.cases] = values
                    found = list(whole)
                torques[name], carried[name] = (found[0], found[1]), found[2]
    return torques, carried


def _put_unknown(w: Work, unknown: Array) -> None:
    for i, plan in enumerate(w.plans):
        if plan.unknown == balance.TORQUE and not plan.idle:
            if plan.seat not in w.rows[plan.at]:
                w.add(plan.at, plan.seat, 0.0)
            w.rows[plan.at][plan.seat][i] -= unknown[i] * w.sign(plan.at)


def _put_speed_torques(w: Work, speed: dict[str, Array], alpha: dict[str, Array]) -> None:
    """Brake and inertia torques act where their loads sit; several on one shaft by their constants."""
    for load in w.machine.loads.values():
        if load.shaft not in w.set.ratio:
            continue
        omega = speed[load.shaft]
        square, linear, _ = sources.brake_constants(w.machine, load)
        w.add(load.shaft, load.seat,
              w.engaged(load.name, -square * omega * np.abs(omega) - linear * omega
                        + balance.inertia_torque(sources.inertia(load), alpha[load.shaft])))
    for name in w.role.weights:
        drive = w.machine.drives[name]
        w.add(drive.shaft, drive.seat,
              balance.inertia_torque(sources.weight_inertia(w.machine, drive), alpha[drive.shaft]))


def _strands(w: Work, part: _Part, link: Link, i: int) -> Iterator[tuple[str, Array, Array, Array]]:
    """Each stage of a link with the torques on its two shafts and the torque it is rated for."""
    on_parent, on_child = part.balance.on_parent[i], part.balance.on_child[i]
    for name in link.stages:
        stage = w.machine.stages[name]
        first, second = (on_parent, on_child) if stage.from_ == link.parent else (on_child, on_parent)
        driving = np.maximum(np.abs(first), np.abs(second * turn_ratio(w.machine, stage)))
        plans = [w.plans[c] for c in part.cases]
        present: Any = 1.0
        if len(link.stages) > 1 or any(name in p.out for p in plans):
            present = np.array([[_present(p, link, name)] for p in plans])
        snatch: Any = 1.0
        if any(name in column.snatch for column in w.cols):
            snatch = np.array([[w.cols[c].snatch.get(name, 1.0)] for c in part.cases])
        share = np.where(present == 1, 1.0, _rated_share(w, link, name, driving)) * (present > 0)
        yield name, first * (present * snatch), second * (present * snatch), driving * (share * snatch)


def _present(plan: Plan, link: Link, name: str) -> float:
    left = [n for n in link.stages if n not in plan.out]
    return 1 / len(left) if name in left else 0.0


def _rated_share(w: Work, link: Link, name: str, torque: Array) -> Any:
    """Share one of two strands side by side must be rated for; all of it where nothing is known."""
    stage = w.machine.stages[name]
    if len(link.stages) != 2 or not isinstance(stage, RollerChain):
        return 1.0
    if not (stage.length_tolerance.known and stage.index_error.known and alike(w.machine, link)):
        return 1.0
    r = sources.sprocket_radius(w.machine, stage, 0)
    length = centre_distance(w.machine, stage)
    share = parallel_strand_share(strand_stiffness(w.machine, stage), stage.length_tolerance.value * length,
                                  r, stage.index_error.value, np.maximum(torque / r, 1e-9))
    return np.maximum(share, HALF)
