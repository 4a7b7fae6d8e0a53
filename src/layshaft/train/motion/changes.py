"""What a change does to the speed: how far it droops, how long it takes to recover, which combination is worst."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from itertools import combinations as subsets

import numpy as np
import numpy.typing as npt

from layshaft.mechanics import steadiness
from layshaft.train.cases import partly_engaged
from layshaft.train.motion.course import Course
from layshaft.train.motion.reduced import Setting
from layshaft.train.motion.steady import cycle_of

Array = npt.NDArray[np.float64]
WITHIN = 0.01
MOST_SWITCHED = 6
ENDS = ("change", "wind", "brake", "landed", "still", "stuck")


@dataclass(frozen=True, slots=True)
class Changed:
    """Mean speed of the root over one cycle before a change, at its furthest after it, and where it comes to."""

    time: float
    name: str
    before: float
    furthest: float
    droop: float
    level: float
    recovery: float
    """Time until the mean stays within 1 % of the new level; NaN: not before the next change."""


@dataclass(frozen=True, slots=True)
class Combination:
    """Some loads not engaged: mean speed of the root and its swing, once settled."""

    off: tuple[str, ...]
    mean: float
    swing: float


def settled_after(c: Course, time: float, within: float = WITHIN) -> float:
    """When the cycle mean has come to stay within a share of the level of the setting at a time; NaN: never."""
    begin, end = time, _next(c, time)
    ends, means = _means(c, _setting(c, time), begin, end)
    level = c.level(_setting(c, time)).mean
    off = np.flatnonzero(np.abs(means / level - 1) > within) if np.isfinite(level) else np.arange(len(means))
    if len(means) == 0 or (len(off) and off[-1] == len(means) - 1):
        return float("nan")
    return float(ends[off[-1]]) if len(off) else begin


def changed(c: Course) -> list[Changed]:
    """Every change of loads and every bout of winding, with what it did to the speed."""
    return list(_changes(c))


def _changes(c: Course) -> Iterator[Changed]:
    for m in c.marks:
        if m.kind not in ("change", "wind") or m.time <= 0:
            continue
        setting, end = _setting(c, m.time), _next(c, m.time)
        _, earlier = _means(c, _setting(c, m.time, before=True), 0.0, m.time)
        _, means = _means(c, setting, m.time, end)
        if len(earlier) == 0 or len(means) == 0:
            continue
        before = float(earlier[-1])
        far = float(means[np.argmax(np.abs(means - before))])
        level = c.level(setting).mean
        yield Changed(m.time, m.name, before, far, float(steadiness.droop(before, far)), level,
                      settled_after(c, m.time) - m.time)


def _next(c: Course, time: float) -> float:
    return min([m.time for m in c.marks if m.time > time and m.kind in ENDS], default=float(c.motion.time[-1]))


def _setting(c: Course, time: float, *, before: bool = False) -> Setting:
    """What is engaged at a time, nobody pulling harder for a moment; `before`: up to it."""
    starts = np.array([c.motion.time[leg.first] for leg in c.legs])
    i = int(np.searchsorted(starts, time, side="left" if before else "right")) - 1
    return replace(c.legs[max(i, 0)].setting, pull=())


def _means(c: Course, setting: Setting, begin: float, end: float) -> tuple[Array, Array]:
    """Ends of whole cycles between two times, and the mean speed over each."""
    period = cycle_of(c.at(setting))
    (first, last), _ = c.motion.at_time(np.array([begin, end]))
    marks = period * np.arange(np.ceil(first / period - 1e-9), np.floor(last / period + 1e-9) + 1)
    times = c.motion.at_angle(marks[(marks >= first) & (marks <= last)])[0]
    return times[1:], period / np.diff(times)


def combinations(c: Course) -> list[Combination]:
    """Every combination of the loads that are engaged for part of the time only, settled."""
    loads, ratio = c.solved.machine.loads, c.ratio
    switched = [n for n in loads if any(n in change.off for change in c.programme.changes)
                or (partly_engaged(loads[n]) and loads[n].shaft in ratio)][:MOST_SWITCHED]
    found = []
    for count in range(len(switched) + 1) if switched else ():
        for off in subsets(switched, count):
            level = c.level(Setting(frozenset(off)))
            found.append(Combination(off, level.mean, level.swing))
    return found
