"""Calculation sheets: the same rating run again on the scalars of one row, with the trace on."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from layshaft.trace.checks import Check
from layshaft.trace.findings import Finding
from layshaft.trace.formula import Trace, origin, tracing
from layshaft.trace.records import Record
from layshaft.trace.sheet import as_html, as_text
from layshaft.train.solve import path_text
from layshaft.verdict.provenance.onto_sheet import with_provenance
from layshaft.verdict.rate import Rated, Verdict
from layshaft.verdict.record import record
from layshaft.verdict.rows import Part


@dataclass(frozen=True, slots=True)
class Sheet:
    """One part in its governing case: the finding, where its demand comes from, and every step."""

    title: str
    finding: Finding
    trace: Trace
    came_from: str
    fingerprint: str
    record: Record

    def __str__(self) -> str:
        return f"{self.title}\n{self.came_from}\n{as_text(self.trace)}\nfingerprint {self.fingerprint}"

    def _repr_html_(self) -> str:
        return as_html(self.trace)


def sheets_of(verdict: Verdict, path: str) -> list[Sheet]:
    """Sheets of a part and of what sits on it, worst first; empty if the path names no rated part."""
    wanted = [f for f in verdict.findings if _under(f.part, path)]
    return [sheet for f in wanted if (sheet := sheet_of(verdict, f)) is not None]


def _under(part: str, path: str) -> bool:
    return part.casefold() == path.casefold() or part.casefold().startswith(f"{path.casefold()}.")


def sheet_of(verdict: Verdict, found: Finding, *, guesses: bool = True) -> Sheet | None:
    """The sheet behind one finding; None for findings on the machine as a whole.

    Without `guesses` it leaves out those further up that move its inputs: to find them the machine is solved again.
    """
    row = _row(verdict, found)
    return _sheet(verdict, *row, found, guesses) if row is not None else None


def has_sheet(verdict: Verdict, found: Finding) -> bool:
    """Whether there is a sheet behind a finding."""
    return _row(verdict, found) is not None


def _row(verdict: Verdict, found: Finding) -> tuple[Rated, int] | None:
    """Where a finding was rated, and which part of it."""
    return next(((rated, p) for rated in verdict.rated if rated.mode == found.mode
                 for p, part in enumerate(rated.block.parts)
                 if part.path == found.part and part.place == found.place), None)


def _sheet(verdict: Verdict, rated: Rated, p: int, found: Finding, guesses: bool) -> Sheet:
    part = rated.block.parts[p]
    case = next((i for i, c in enumerate(verdict.solved.columns) if c.title == found.title), 0)
    inputs = rated.block.single(part, case, rated.mode)
    with np.errstate(all="ignore"), tracing() as trace:
        checks = rated.block.rate(inputs).checks
    trace = with_provenance(_only(trace, next(c for c in checks if c.mode == rated.mode)), verdict.solved,
                            rated.block.kind, part, case, guesses=guesses)
    place = f", {part.place}" if part.place else ""
    return Sheet(f"{part.path}{place}: {rated.mode}", found, trace, came_from(verdict, part),
                 found.fingerprint, record(rated.block, part, case))


def _only(trace: Trace, check: Check) -> Trace:
    """The steps one check stands on and those shown beside it, in the order they were taken; remarks stay."""
    kept: set[int] = set()
    waiting = [step for v in (check.margin, check.rating, check.demand, check.required, *check.beside)
               if (step := origin(v)) is not None]
    while waiting:
        step = waiting.pop()
        if id(step) not in kept:
            kept.add(id(step))
            waiting += [source for _, _, source in step.arguments if source is not None]
    return Trace([s for s in trace.steps if id(s) in kept], trace.remarks, trace.group)


def came_from(verdict: Verdict, part: Part) -> str:
    """The way from the drive to the part."""
    if part.came_from:
        return part.came_from
    shaft = part.shaft or verdict.solved.machine.shaft_of(part.path)
    return path_text(verdict.solved, shaft) if shaft else "the machine as a whole"

