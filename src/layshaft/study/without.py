"""What is left of a machine when one strand or stage fails, or one module is not fitted."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from typing import Any

import numpy as np

from layshaft.machine.model import Machine
from layshaft.trace.findings import HOLDS, Finding
from layshaft.train.cases import FAILED, MODULE_OFF, RUNNING
from layshaft.train.solve import Solved
from layshaft.verdict.rate import Rated, Verdict, finding, glance
from layshaft.verdict.runaways import MODE as RUN_AWAY

Rank = tuple[int, float]
Link = tuple[str, str]
"""Two shafts, in the order of their names."""


@dataclass(frozen=True, slots=True)
class Seen:
    """One verdict of an event, not put into words yet; `news` where all is well while nothing is missing."""

    rated: Rated
    part: int
    case: int
    rank: Rank
    news: bool

    @property
    def key(self) -> tuple[str, str]:
        """Path of the part, failure mode."""
        return self.rated.block.parts[self.part].path, self.rated.mode


Events = dict[str, list[Seen]]


@dataclass(frozen=True, slots=True)
class Without:
    """What follows in one machine. `goes_on` are the strands that are left; None of it where there is no such part."""

    stands: tuple[str, ...]
    """Loads that nothing drives any more."""

    goes_on: tuple[str, ...]
    asked: int
    short: tuple[Finding, ...]
    """Verdicts of this event, of so many asked, that do not hold and do while all is there; worst first."""

    runs_away: Finding | None


@dataclass(frozen=True, slots=True)
class Loss:
    """One thing that is missing, and what follows in each machine."""

    what: str
    found: tuple[Without | None, ...]


def losses(verdicts: list[Verdict], told: Callable[[float], None] = lambda _done: None) -> list[Loss]:
    """Every module that can be left off, and every link of which the stages differ between the machines."""
    by_case = []
    for v in verdicts:
        by_case.append(_events(v))  # what does not hold anyway is no news of a loss
        told(len(by_case))
    machines = [v.solved.machine for v in verdicts]
    modules = dict.fromkeys(c.module_off for v in verdicts for c in v.solved.columns if c.case == MODULE_OFF)
    found = [Loss(f"{name} is not fitted", tuple(
        _module_off(v, events, name) for v, events in zip(verdicts, by_case, strict=True))) for name in modules]
    for link in dict.fromkeys(link for m in machines for link in _links(m)):
        if len({repr(_stages(m, link)) for m in machines}) > 1:
            found.append(Loss(f"one strand or stage between {link[0]} and {link[1]} fails", tuple(
                _stage_lost(v, events, link) for v, events in zip(verdicts, by_case, strict=True))))
    return found


def _events(verdict: Verdict) -> Events:
    """Verdicts of each event in which something is missing, worst first: thousands, of which a few are told."""
    columns = verdict.solved.columns
    running = np.array([c.case == RUNNING for c in columns])
    missing = np.array([c.case in (FAILED, MODULE_OFF) for c in columns])
    found: dict[str, list[Seen]] = {}
    looked = [(r, *glance(r)) for r in verdict.rated if r.block.modes[r.mode]]
    short = {(r.block.parts[p].path, r.mode) for r, codes, _ in looked
             for p in np.nonzero((r.asked & running & (codes != HOLDS)).any(axis=1))[0]}
    for r, codes, share in looked:
        for p, case in np.argwhere(r.asked & missing).tolist():
            one = Seen(r, p, case, (int(codes[p, case]), float(share[p, case])),
                       (r.block.parts[p].path, r.mode) not in short)
            found.setdefault(columns[case].title, []).append(one)
    return {title: sorted(seen, key=lambda s: s.rank) for title, seen in found.items()}


def _links(machine: Machine) -> Iterator[Link]:
    for stage in machine.stages.values():
        if stage.to in machine.shafts:
            yield _link(stage.from_, stage.to)


def _link(a: str, b: str) -> Link:
    return (a, b) if a < b else (b, a)


def _stages(machine: Machine, link: Link) -> dict[str, Any]:
    return {n: s for n, s in machine.stages.items() if s.to in machine.shafts and _link(s.from_, s.to) == link}


def _module_off(verdict: Verdict, events: Events, name: str) -> Without | None:
    solved = verdict.solved
    for i, column in enumerate(solved.columns):
        if column.module_off == name:
            stands = tuple(n for n, load in solved.machine.loads.items() if not _turns(solved, load.shaft, i)
                           and _turns(solved, load.shaft, 0))
            return _of(verdict, stands, (), events.get(column.title, []), None)
    return None


def _turns(solved: Solved, shaft: str, column: int) -> bool:
    return bool(np.any(np.abs(solved.speed[shaft][column]) > 0))


def _stage_lost(verdict: Verdict, events: Events, link: Link) -> Without | None:
    """Strands side by side go on without the one whose loss is worst; what hangs on a stage that is alone stands."""
    machine = verdict.solved.machine
    stages = _stages(machine, link)
    if not stages:
        return None
    if len(stages) > 1:
        each = {n: events.get(f"{FAILED}: {n}", []) for n in stages}
        gone = min(each, key=lambda n: each[n][0].rank if each[n] else (9, 0.0))
        return _of(verdict, (), tuple(n for n in stages if n != gone), each[gone], None)
    lost = next(iter(stages))
    away = next((f for f in verdict.whole if (f.part, f.mode) == (stages[lost].path, RUN_AWAY)), None)
    return _of(verdict, tuple(_undriven(machine, lost)), (), [], away)


def _of(verdict: Verdict, stands: tuple[str, ...], goes_on: tuple[str, ...], found: list[Seen],
        away: Finding | None) -> Without:
    short = {seen.key: seen for seen in reversed(found) if seen.news and seen.rank[0] != HOLDS}
    told = tuple(finding(verdict, s.rated, s.part, s.case) for s in reversed(short.values()))
    return Without(stands, goes_on, len({seen.key for seen in found}), told, away)


def _undriven(machine: Machine, lost: str) -> Iterator[str]:
    """Loads no drive reaches without a stage that they are reached by with it."""
    before, after = _reached(machine, ""), _reached(machine, lost)
    return (n for n, load in machine.loads.items() if load.shaft in before and load.shaft not in after)


def _reached(machine: Machine, lost: str) -> set[str]:
    found = {d.shaft for d in machine.drives.values()}
    joined = [{s.from_, s.to} for n, s in machine.stages.items() if n != lost and s.to in machine.shafts]
    while grown := set().union(*(pair for pair in joined if pair & found)) - found:
        found |= grown
    return found
