"""What the builder asks of the whole machine, held against the solution like any rating."""

from __future__ import annotations

import itertools
from collections.abc import Iterator
from dataclasses import replace
from typing import Any

import numpy as np

from layshaft.machine.model import Want
from layshaft.trace.findings import WORST_FIRST, Finding, verdicts
from layshaft.trace.source import Source
from layshaft.trace.units import FORCE, RATIO, SPEED, TIME, Dimension, shown
from layshaft.train.cases import AT_REST, PEAK, RUNNING, WINDING
from layshaft.train.energy import running_time
from layshaft.train.kinematic.answer import uneven
from layshaft.train.motion.figures import UNSEEN, RunSeen
from layshaft.train.swing import within_a_turn
from layshaft.verdict.context import Context
from layshaft.verdict.open import taken_weights
from layshaft.verdict.run_wants import SHARE, of_run
from layshaft.verdict.uneven_turning import swing_note, swing_trust

BALANCE = Source("torque balance of the running machine", obtained="derived")
BOOKS = Source("energy books of the running machine", obtained="derived")
CYCLE = Source("rigid repeating cycle, all lifts together, and errors of the train's shape, each at its worst",
               obtained="derived")


def wanted(c: Context, run: RunSeen = UNSEEN) -> Iterator[Finding]:
    """One finding for each thing wanted; what only a run answers is unknown until it was run."""
    for want in (c.machine.wants or {}).values():
        for found in (*_speed(c, want), *_swing(c, want), *_winding(c, want, run), *_start(c, want)):
            yield _resting(c, want, found)
    yield from wanted_of_run(c, run)


def wanted_of_run(c: Context, run: RunSeen) -> Iterator[Finding]:
    """One finding for each thing wanted that only a run over time answers."""
    for want in (c.machine.wants or {}).values():
        for found in of_run(want, run):
            yield _resting(c, want, found)


def _resting(c: Context, want: Want, found: Finding) -> Finding:
    why = _rests_on(c, want, found) if found.verdict != "unknown" else ""
    return replace(found, verdict="unknown", reason=why) if why else found


def _rests_on(c: Context, want: Want, found: Finding) -> str:
    """What is open and was taken so that a want comes out: that want says nothing yet, and of a weight none does."""
    for taken in c.solved.taken.values():
        own = want.path in taken.wants and found.mode.endswith(", error")
        if taken.shaft or own:
            return f"rests on what is not chosen: {taken}"
    return next(iter(taken_weights(c.solved).values()), "")


def _finding(want: Want, key: str, mode: str, case: str, dimension: Dimension, demand: Any, rating: Any,
             margin: Any, source: Source, title: str = "") -> Finding:
    with np.errstate(all="ignore"):
        d, r, m = (float(np.mean(v)) for v in (demand, rating, margin))
        code = verdicts(d, r, m, 1.0, False)
    given = getattr(want, key)
    reason = "" if np.isfinite([d, r, m]).all() else "the machine as it stands gives no such number yet"
    return Finding(want.path, "", mode, case, title or case, dimension, d, r, m, 1.0, WORST_FIRST[int(code)], source,
                   given.origin, reason=reason, each=_each(margin))


def _each(margin: Any) -> Any:
    """The margin in every draw, where there are many."""
    return np.asarray(margin) if np.size(margin) > 1 else None


def _parts_of_run(c: Context) -> Iterator[tuple[int, str]]:
    """Running cases with their titles: all engaged, then each part of the run without something."""
    for i, column in enumerate(c.solved.columns):
        if i == 0 or column.off:
            yield i, column.title


def _speed(c: Context, want: Want) -> Iterator[Finding]:
    if not want.speed.known or not want.shaft:
        return
    for i, title in _parts_of_run(c) if want.error.known else ():
        off = np.abs(np.abs(c.solved.speed[want.shaft][i]) - want.speed.value)
        allowed = want.error.value * want.speed.value
        margin = allowed / np.maximum(off, allowed * 1e-6)
        yield _finding(want, "error", f"mean speed of {want.shaft}, error", RUNNING, SPEED, off, allowed, margin,
                       BALANCE, title)


def _swing(c: Context, want: Want) -> Iterator[Finding]:
    if want.within_a_turn.known and want.shaft:
        pulses, shape = within_a_turn(c.solved, want.shaft), uneven(c.solved, [want.shaft])[0]
        swing = pulses + shape.swing()
        margin = want.within_a_turn.value / np.maximum(swing, want.within_a_turn.value * 1e-6)
        found = _finding(want, "within_a_turn", f"swing of {want.shaft} within a turn", PEAK, SHARE, swing,
                         want.within_a_turn.value, margin, CYCLE)
        yield replace(found, note=swing_note(pulses, shape), trust=swing_trust(shape, found.demand))


def _winding(c: Context, want: Want, run: RunSeen) -> Iterator[Finding]:
    books = c.solved.budget
    assert books is not None
    if want.time_per_winding.known:
        for w, (i, title) in itertools.product(books.windings, _parts_of_run(c)):
            if w.drive not in c.solved.columns[i].off:
                time = running_time(c.solved, w.drive, i)
                found = _finding(want, "time_per_winding", f"running time of one drop of {w.drive}", RUNNING, TIME,
                                 want.time_per_winding.value, time, time / want.time_per_winding.value, BOOKS, title)
                yield replace(found, note=_winding_note(c, run, w.drive, i))
    if want.handle_force.known:
        force = _handle_force(c, want)
        yield _finding(want, "handle_force", f"mean force on the handle of {want.crank or 'the crank'}", WINDING,
                       FORCE, force, want.handle_force.value, want.handle_force.value / force, BOOKS)


def _winding_note(c: Context, run: RunSeen, weight: str, i: int) -> str:
    """What this time is of, and why a run over time gives another."""
    engaged = "with the loads of this case" if c.solved.columns[i].off else "with everything engaged"
    lasts = run.figures.per_winding.get(weight, np.nan) if run.figures is not None else np.nan
    mean = f"; the mean of the run, changes and all, is {shown(lasts, TIME)}" if np.isfinite(lasts) else ""
    return f"Even running {engaged}, without pulses{mean}."


def _handle_force(c: Context, want: Want) -> Any:
    books = c.solved.budget
    assert books is not None
    for w in books.windings:
        if w.crank and (not want.crank or w.crank == want.crank):
            return w.handle_force
    drive = c.machine.drives.get(want.crank)
    if drive is None:
        return np.nan
    return np.abs(c.solved.seat_torque[drive.shaft][drive.seat][0]) / drive.radius.value


def _start(c: Context, want: Want) -> Iterator[Finding]:
    books = c.solved.budget
    assert books is not None
    if want.start_ratio.known:
        for drive, ratio in books.start_ratio.items():
            yield _start_finding(want, drive, ratio)


def _start_finding(want: Want, drive: str, ratio: Any) -> Finding:
    """The ratio is a margin of its own: at 1 the machine stands still, below what is wanted it is thin."""
    value, required = float(np.mean(ratio)), float(want.start_ratio.nominal)
    code = verdicts(1.0, value, value, required, False)
    reason = "" if np.isfinite(value) else "the torque at rest is not known"
    return Finding(want.path, "", f"start of {drive}: drive torque over all torques at rest", AT_REST,
                   "starting from rest, worst position of every cam", RATIO, 1.0, value, value, required,
                   WORST_FIRST[int(code)], BALANCE, want.start_ratio.origin, reason=reason, each=_each(ratio))
