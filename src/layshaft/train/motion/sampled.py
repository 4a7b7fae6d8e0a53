"""How steadily many sampled machines run, all at once: the cycle each comes back to, and events over a time of it.

A machine that is settled repeats one cycle of its lifts. Of every sample this cycle is found directly, in the torque
law of the direction in which power goes through every stage; where a torque turns round within the cycle that law
does not hold, and the sample is left to the reckoning of one machine. Runs up from rest, changes of loads and
winding are not part of it.
"""

from __future__ import annotations

from dataclasses import dataclass
from itertools import product
from typing import TYPE_CHECKING, Any

import numpy as np
import numpy.typing as npt

from layshaft.machine.kinds import PERIODIC, Pulses
from layshaft.machine.sampling import at_sample
from layshaft.mechanics import steadiness
from layshaft.trace.errors import BadInput
from layshaft.train import sources
from layshaft.train.balance import Problem, spelled_all
from layshaft.train.motion.programme import programme_of
from layshaft.train.motion.reduced import ALL_ENGAGED, problem_of, reduce
from layshaft.train.motion.run import EVEN, period_of
from layshaft.train.motion.steady import MOST_LAWS, Timing, settled_speed, timing
from layshaft.train.motion.steps import Stretches, cycle, within

if TYPE_CHECKING:
    from layshaft.train.solve import Solved

Array = npt.NDArray[np.float64]
Mask = npt.NDArray[np.bool_]
TEN_MINUTES = 600.0
MOST_LIFTS = 6
SLACK = 1e-12
MOST_EVENTS = 100_000


@dataclass(frozen=True, slots=True)
class SampledLift:
    """One train of pulses in every sample: root angle from lift to lift and of one lift, torque while it lifts."""

    load: str
    shaft: str
    seat: str
    pitch: float
    over: Array
    torque: Array


@dataclass(slots=True)
class SampledRun:
    """Steadiness of one shaft in every sample, (samples,); NaN where a sample does not start, stops or is not known."""

    shaft: str
    event: str
    speed: Array
    error: Array
    swing: Array
    """Over one cycle of all lifts."""

    timing: list[Timing | None]
    starts: Mask
    """Where the drive beats every loss at rest, every cam in its lift."""

    alone: Mask
    """Samples reckoned one by one: a torque turns round within their cycle. They have no timing."""


@dataclass(slots=True)
class _Cycle:
    """The cycle of every sample: (edges, samples) and (stretches, samples)."""

    period: float
    edges: Array
    y: Array
    time: Array
    a: Array
    """(stretches, samples, 3)."""

    valid: Mask


def motion_of_samples(solved: Solved, shafts: list[str] | None = None, time: float = TEN_MINUTES) -> list[SampledRun]:
    """Mean speed, swing and timing of the settled machine in every sample, over a time.

    `shafts` are those of the wants, or the root. Raises `BadInput` where nothing can be run.
    """
    with np.errstate(all="ignore"):
        root = programme_of(solved).root
        ratio = solved.sets[root].ratio
        wanted = [w.shaft for w in solved.machine.wants.values() if w.shaft in ratio]
        asked = shafts or list(dict.fromkeys(wanted)) or [root]
        lifts = _lifts(solved, root)
        found, starts = _cycle(solved, root, lifts), _starts(solved, root)
        mean, swing, alone = _steady(solved, root, found, starts)
        return [_of_shaft(solved, found, lifts, shaft, abs(ratio[shaft]), time, mean, swing, starts, alone)
                for shaft in asked]


def _lifts(solved: Solved, root: str) -> tuple[SampledLift, ...]:
    ratio, found = solved.sets[root].ratio, []
    for name, load in solved.machine.loads.items():
        if isinstance(load, PERIODIC) and not isinstance(load, Pulses) and load.shaft in ratio:
            raise BadInput(f"{load.path} follows an angle: many machines at once are run with lifts only.")
        if isinstance(load, Pulses) and load.shaft in ratio:
            turns = abs(ratio[load.shaft])
            pitch = 2 * np.pi / load.per_turn.nominal / turns
            over, torque = (np.broadcast_to(v, (solved.samples,)) for v in (
                load.over.value / turns, sources.resisting_torque(solved.machine, load, "lifts")))
            found.append(SampledLift(name, load.shaft, load.seat, pitch, over, torque))
    if len(found) > MOST_LIFTS:
        raise BadInput(f"{len(found)} trains of pulses on one train; many machines at once are run with {MOST_LIFTS}.")
    return tuple(found)


# The torque law of every state -----------------------------------------------------------------------


def _law(p: Problem, lifts: tuple[SampledLift, ...], omega: Array) -> tuple[Array, Array, Mask]:
    """A0 to A2 of every state and sample, (3, states, samples), the torque through every link along its sense, and
    whether it goes inward."""
    c, links = spelled_all(p)
    states = list(product((False, True), repeat=len(lifts)))
    c = np.repeat(c, len(states), axis=2)
    for lift in lifts:
        k, sign = p.set.shafts.index(lift.shaft), np.sign(p.set.ratio[lift.shaft]) * p.motion
        for i, state in enumerate(states):
            c[0, k, i] -= state[lifts.index(lift)] * lift.torque * sign
    inward = [np.ones(c.shape[2:], np.bool_)] * len(links)
    for _ in range(2 * len(links) + 2):
        net = c.copy()
        through: list[Array] = []
        for i in range(len(links) - 1, -1, -1):
            child, parent, _, into, out = links[i]
            through.insert(0, net[:, child].copy())
            net[:, parent] += through[0] * np.where(inward[i], into, out)
        a: Array = -net[:3, 0] / net[3, 0]
        torques = [(t[:3] + t[3] * a) * link[2] for t, link in zip(through, links, strict=True)]
        now = [t[0] + t[1] * omega + t[2] * omega**2 > 0 for t in torques]
        if all((n == b).all() for n, b in zip(now, inward, strict=True)):
            break
        inward = now
    return a, np.array(torques).reshape(-1, *a.shape), np.array(inward, np.bool_).reshape(-1, *a.shape[1:])


def _starts(solved: Solved, root: str) -> Mask:
    p = problem_of(solved, solved.machine, root, ALL_ENGAGED, at_rest=True)
    found: Mask = (_law(p, (), np.full(solved.samples, SLACK))[0][0] > 0).all(axis=0)
    return found


# The cycle that repeats -------------------------------------------------------------------------------


def _cycle(solved: Solved, root: str, lifts: tuple[SampledLift, ...]) -> _Cycle:
    """Found in one law, that of its own mean speed; where it leaves that law, it is not valid."""
    p = problem_of(solved, solved.machine, root, ALL_ENGAGED, at_rest=False)
    period = period_of(lifts) if lifts else EVEN  # type: ignore[arg-type]
    edges, code = _edges(lifts, period, solved.samples)
    omega = np.abs(solved.speed[root][0])
    for _ in range(MOST_LAWS):
        a, through, inward = _law(p, lifts, omega)
        here = np.moveaxis(np.take_along_axis(a, np.broadcast_to(code, (3, *code.shape)), axis=1), 0, -1)
        one = np.ones((1, solved.samples))
        m = cycle(Stretches(np.diff(edges, axis=0), here[..., 0], -here[..., 2], -here[..., 1], one))
        valid: Mask = np.asarray((m.y > 0).all(axis=0) & np.isfinite(m.time).all(axis=0))
        before, omega = omega, np.where(valid, period / m.time.sum(axis=0), omega)
        valid &= _keeps(m.y, code, through, inward)
        if (np.abs(omega - before) <= SLACK * omega)[~valid].all():
            break
    if not period:
        valid = np.zeros(solved.samples, np.bool_)
    return _Cycle(period, edges, m.y, m.time, here, valid)


def _edges(lifts: tuple[SampledLift, ...], period: float, samples: int) -> tuple[Array, npt.NDArray[np.int64]]:
    """Edges of one cycle, (edges, samples), and the number of the state of every stretch."""
    rows = [np.zeros(samples), np.full(samples, period)]
    for lift in lifts:
        for n in range(round(period / lift.pitch)):
            rows += [np.full(samples, n * lift.pitch), n * lift.pitch + lift.over]
    edges = np.sort(np.clip(np.array(rows), 0.0, period), axis=0)
    middle = (edges[1:] + edges[:-1]) / 2
    code = np.zeros(middle.shape, np.int64)
    for lift in lifts:
        code = 2 * code + (np.mod(middle, lift.pitch) < lift.over)
    return edges, code


def _keeps(y: Array, code: npt.NDArray[np.int64], through: Array, inward: Mask) -> Mask:
    """Where power keeps its direction through every link, at both ends of every stretch."""
    kept = np.ones(y.shape[1], np.bool_)
    for torque, goes in zip(through, inward, strict=True):
        t = np.take_along_axis(torque, np.broadcast_to(code, (3, *code.shape)), axis=1)
        way = np.where(np.take_along_axis(goes, code, axis=0), 1.0, -1.0)
        for omega in (np.sqrt(y[:-1]), np.sqrt(y[1:])):
            at = t[0] + t[1] * omega + t[2] * omega**2
            kept &= (at * way >= -SLACK * np.abs(t[0])).all(axis=0)
    return kept


def _steady(solved: Solved, root: str, c: _Cycle, starts: Mask) -> tuple[Array, Array, Mask]:
    """Mean speed of the root, its swing, and which samples were reckoned one by one."""
    from layshaft.train.solve import solve

    omega = np.sqrt(np.maximum(c.y, 0.0))
    mean = np.where(c.valid, c.period / c.time.sum(axis=0), np.nan)
    swing = np.asarray(steadiness.swing(omega.max(axis=0), omega.min(axis=0), mean))
    alone: Mask = starts & ~c.valid & np.isfinite(c.a).all(axis=(0, 2))
    for i in np.flatnonzero(alone):
        found = settled_speed(reduce(solve(at_sample(solved.machine, int(i))), root))
        mean[i], swing[i] = found.mean or np.nan, found.swing
    return np.where(starts, mean, np.nan), np.where(starts, swing, np.nan), alone


# Events --------------------------------------------------------------------------------------------


def _of_shaft(solved: Solved, c: _Cycle, lifts: tuple[SampledLift, ...], shaft: str, turns: float, time: float,
              mean: Array, swing: Array, starts: Mask, alone: Mask) -> SampledRun:
    speeds = (w.speed.nominal for w in solved.machine.wants.values() if w.shaft == shaft and w.speed.known)
    wanted = next(speeds, np.nan)
    lift = next((one for one in lifts if one.shaft == shaft), None)
    event, pitch = (f"drops of {lift.load}", lift.pitch) if lift else (f"turns of {shaft}", 2 * np.pi / turns)
    begin = lift.over if lift else np.zeros(solved.samples)
    fastest = np.nanmax(np.where(c.valid & starts, mean, 0.0), initial=0.0)
    n = np.arange(min(int(fastest * time / pitch) + 2, MOST_EVENTS))[:, None]
    times = _time_at(c, begin + n * pitch)
    known = c.valid & starts
    split = [timing(times[times[:, i] <= time, i], pitch * turns / wanted) if known[i] else None
             for i in range(solved.samples)]
    return SampledRun(shaft, event, mean * turns, np.asarray(steadiness.rate_error(mean * turns, wanted)), swing, split,
                      starts, alone)


def _time_at(c: _Cycle, angle: Array) -> Array:
    """Time at root angles of the repeating cycle, (marks, samples)."""
    rounds = np.floor(angle / c.period)
    into = angle - rounds * c.period
    at = np.clip((c.edges[None, :-1] <= into[:, None]).sum(axis=1) - 1, 0, len(c.time) - 1)
    columns: Any = np.broadcast_to(np.arange(at.shape[1]), at.shape)
    begun = np.concatenate([np.zeros((1, at.shape[1])), np.cumsum(c.time, axis=0)])
    inside = (into - c.edges[at, columns]).ravel()
    _, t = within(c.y[at, columns].ravel(), c.a[at, columns].reshape(-1, 3), inside)
    found: Array = rounds * begun[-1] + begun[at, columns] + t.reshape(at.shape)
    return found
