"""What is left of a machine when one strand or stage fails, or one module is not fitted."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from typing import Any

import numpy as np

from layshaft.machine.model import Machine
from layshaft.trace.findings import Finding
from layshaft.train.cases import FAILED, MODULE_OFF, RUNNING
from layshaft.train.solve import Solved
from layshaft.verdict.rate import Verdict
from layshaft.verdict.runaways import MODE as RUN_AWAY

Events = dict[str, list[tuple[Finding, bool]]]
Link = tuple[str, str]
"""Two shafts, in the order of their names."""


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
    """Verdicts of each event in which something is missing, worst first, and whether all is well without it."""
    found: dict[str, list[Finding]] = {}
    short = set()
    for f in verdict.every():
        if f.case in (FAILED, MODULE_OFF):
            found.setdefault(f.title, []).append(f)
        elif f.case == RUNNING and f.verdict != "holds":
            short.add((f.part, f.mode))
    return {title: [(f, (f.part, f.mode) not in short) for f in sorted(fs, key=lambda f: f.rank)]
            for title, fs in found.items()}


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
            return _of(stands, (), events.get(column.title, []), None)
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
        gone = min(each, key=lambda n: each[n][0][0].rank if each[n] else (9, 0.0))
        return _of((), tuple(n for n in stages if n != gone), each[gone], None)
    lost = next(iter(stages))
    away = next((f for f in verdict.whole if (f.part, f.mode) == (stages[lost].path, RUN_AWAY)), None)
    return _of(tuple(_undriven(machine, lost)), (), [], away)


def _of(stands: tuple[str, ...], goes_on: tuple[str, ...], found: list[tuple[Finding, bool]],
        away: Finding | None) -> Without:
    short = {(f.part, f.mode): f for f, news in reversed(found) if news and f.verdict != "holds"}
    return Without(stands, goes_on, len({(f.part, f.mode) for f, _ in found}), tuple(reversed(short.values())), away)


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
