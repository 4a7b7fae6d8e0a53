"""A machine as it stands, without a run over time and with one, and what one change of its file does to it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from layshaft.machine.model import Machine
from layshaft.machine.options import apply
from layshaft.study.changes import Change
from layshaft.study.harms import Key, moved, told_once, worst_at
from layshaft.study.places import Glance, Table, table_of, table_of_some
from layshaft.study.with_run import run_of, with_moments
from layshaft.trace.findings import FAILS, THIN, Finding
from layshaft.train.solve import Solved, solve
from layshaft.verdict.rate import Verdict
from layshaft.verdict.stepwise import Step, Stepwise


class Judge:
    """What is known of a machine before anything is changed, and the finding that is to be mended."""

    def __init__(self, machine: Machine, part: str, mode: str) -> None:
        self.machine, self.key = machine, (part, mode)
        solved = solve(machine)
        plain = Stepwise(solved)
        self.verdict = plain.all()
        """As it is rated without a run."""

        self.run = run_of(solved)
        runs = self.run.figures is not None
        seen = Stepwise(with_moments(machine, solved, self.run), self.run) if runs else plain
        self.plain = table_of(self.verdict)
        self.seen = table_of(seen.all()) if runs else self.plain
        self.steps, self.steps_seen = plain.steps_of(part, mode), seen.steps_of(part, mode)
        own, without = worst_at(self.seen, self.key), worst_at(self.plain, self.key)
        self.finding: Finding | None = own.told() if own is not None else None
        self.by_run = without is None or without.word not in (FAILS, THIN) or part.startswith("wants.")
        """Whether only a run over time says that the finding does not hold: then every change that is tried is run.

        Else the search goes by what is rated without one. A run adds cases and takes none away, so what is no better
        without is no better with it; what is offered in the end is run. Not so of what is wanted of the machine.
        """

        by = own if self.by_run else without
        self.start = by.share if by is not None else 0.0
        """Share of the required margin from which the search begins."""

    def tried(self, change: Change, least: float, watch: Key | None = None) -> Change | None:
        """What a change does, run over time only where a run decides the finding. Raises `BadInput`.

        The finding itself comes first: a change that makes it no better than the `least` is no answer, whatever it
        does to others, and so they are not asked. None where the finding is gone with its part.
        """
        machine = apply(self.machine, change.option)
        solved = solve(machine)
        if self.by_run:
            return self._ran(change, machine, solved, least, watch)
        after = Stepwise(solved)
        own = self._own(after, self.steps) if watch is None else None
        if own is not None and _no_better(own, least):
            return replace(change, found=own.told(), no_better=True)
        return self._judged(change, after.all(), self.plain, watch)

    def with_run(self, change: Change) -> Change | None:
        """The same change, judged after a run over time; as it was where there is none, before it nor after it."""
        machine = apply(self.machine, change.option)
        return self._ran(change, machine, solve(machine))

    def _ran(self, change: Change, machine: Machine, solved: Solved, least: float | None = None,
             watch: Key | None = None) -> Change | None:
        run = run_of(solved)
        if run.figures is None and self.run.figures is None:
            return change
        after = Stepwise(with_moments(machine, solved, run), run)
        if least is not None and watch is None:
            own = self._own(after, self.steps_seen)
            if own is not None and _no_better(own, least):
                return replace(change, found=own.told(), no_better=True, ran=True)
        ran = run.figures is not None
        return self._judged(replace(change, ran=ran, not_run="" if ran else run.why), after.all(), self.seen, watch)

    def _own(self, after: Stepwise, steps: Sequence[Step]) -> Glance | None:
        """The finding, from the steps of a verdict that it follows from."""
        return worst_at(table_of_some(after.verdict, after.rated(steps), after.found(steps)), self.key)

    def _judged(self, change: Change, verdict: Verdict, before: Table, watch: Key | None) -> Change | None:
        """What it does to the whole machine."""
        after = table_of(verdict)
        worst, watched = (worst_at(after, key) if key is not None else None for key in (self.key, watch))
        if worst is None or self.finding is None:
            return None
        spared = self.finding.part, self.finding.place, self.finding.mode
        other = moved(before, after, spared)
        return replace(change, found=worst.told(), better=other.better,
                       worse=other.worse, breaks=other.breaks, harms=told_once(other.harms),
                       watched=watched.told() if watched is not None else None)


def _no_better(own: Glance, least: float) -> bool:
    return own.word in (FAILS, THIN) and own.share <= least
