"""The search for what mends a finding: every change made in the file, the whole machine solved and rated again.

First the file's own options, then the next sizes of what has a series, then sizes and places a builder can write,
moved out in growing steps while the finding gets better and back to the least that will do.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from contextlib import suppress
from typing import Any

from layshaft.machine.model import Machine
from layshaft.machine.options import option_of
from layshaft.study.changes import Change, Mending, Step
from layshaft.study.harms import Key, share_of
from layshaft.study.judging_changes import Judge
from layshaft.study.ways import Way, ways
from layshaft.trace.errors import BadInput
from layshaft.trace.findings import Finding

TRIES = 12
"""Values of one given that are tried one way at most."""

FIRST = 3
"""Place of the value tried first: near, and far enough off that the finding moves."""

CLEARLY = 1e-3
"""By how much of itself a margin over the required one moves where it is worth to go on."""

NEARER = 0.01
"""By how much of itself the margin must grow for a change to be told as the nearest."""

SPARE = 1.1
"""Margin over required from which on an answer has something to spare."""

FURTHER = (1, 3, 7)
"""How many values further out something to spare is looked for."""

Told = Callable[[float, float], None]


class Search:
    """One search: the findings before, and every change that was tried."""

    def __init__(self, machine: Machine, finding: Finding, told: Told) -> None:
        self.machine, self.told = machine, told
        self.judge = Judge(machine, finding.part, finding.mode)
        now = self.judge.finding
        if now is None or now.verdict not in ("fails", "thin"):
            says = f"is {now.reason or 'unknown'}" if now is not None and now.verdict == "unknown" else "holds"
            raise BadInput(f"{finding.part}, {finding.mode} {says} once the machine as it stands is run over time. "
                           "Wait for its run, and look again.")
        run = self.judge.run
        self.found = Mending(now, not_run=run.why if run.figures is None else "")
        self.options: list[Change] = []
        self.sized: dict[str, list[Change]] = {}
        self.spare: dict[str, Change] = {}
        self.partial: dict[str, tuple[Change, Way]] = {}
        """Of every given the change that comes nearest and harms nothing, and the way it lies on."""

        self.paired: list[Change] = []
        self.sure: dict[tuple[Step, ...], Change | None] = {}
        """What was offered, run over time; None where the finding is gone then."""

        self.done = self.whole = 0
        self._where: dict[tuple[Step, ...], tuple[Way, int]] = {}
        self._gone_on: set[tuple[str, str]] = set()

    def run(self) -> None:
        """Try everything, what is nearest to the part first."""
        all_ways = ways(self.judge.verdict, self.found.finding) if self.found.sizes else []
        self.whole = len(self.machine.options) + len(all_ways)
        for name in self.machine.options:
            change = self.tried((Step(f"option {name}"),), option_of(self.machine, name), math.inf)
            if change is not None:
                self.options.append(change)
            self.step()
        for way in all_ways:
            tries = self.follow(way)
            self.sized.setdefault(way.path, []).extend(change for _, change in tries)
            self.further(way, tries)
            self.step()

    @property
    def nearer(self) -> float:
        """What the finding must come to for a change to be told as one that brings it nearer."""
        return self.judge.start + NEARER * abs(self.judge.start)

    def step(self) -> None:
        """One more way is looked at."""
        self.done += 1
        self.told(self.done, self.whole)

    def every(self) -> list[Change]:
        """All single changes that were tried, as they were before anything offered was run."""
        return [*self.options, *(c for tries in self.sized.values() for c in tries)]

    def as_known(self, changes: list[Change]) -> list[Change]:
        """Changes as a run over time has left them, where they were run."""
        return [known for c in changes if (known := self.sure.get(c.steps, c)) is not None]

    def tried(self, steps: tuple[Step, ...], option: Any, far: float, watch: Key | None = None,
              than: float | None = None) -> Change | None:
        """The change made and the whole machine rated again, where the finding is better `than` it was; None where the
        file cannot be so."""
        self.told(self.done, self.whole)
        self.found.tried += 1
        self.found.paired += len(steps) > 1
        change = Change(steps, option, far, self.found.finding)
        try:
            return self.judge.tried(change, self.judge.start if than is None else than, watch)
        except BadInput:
            return None

    def on(self, way: Way, k: int, base: Change | None = None, watch: Key | None = None) -> Change | None:
        """One value of a way tried, together with another change where there is one."""
        rung = way.rungs[k]
        step = Step(way.path, way.was, rung.text, not way.numeric)
        if base is None:
            self._where[step,] = way, k
            return self.tried((step,), rung.option, rung.far, watch)
        than = None if base.harms else base.share
        return self.tried((*base.steps, step), together(base.option, rung.option), base.far + rung.far, watch, than)

    def run_over_time(self, change: Change) -> Change | None:
        """What is to be offered judged with a run, kept; None where the finding is gone then."""
        if change.steps not in self.sure:
            self.sure[change.steps] = change
            with suppress(BadInput):
                self.sure[change.steps] = self.judge.with_run(change)
        return self.sure[change.steps]

    def settle(self, change: Change) -> None:
        """Run what is to be offered; where it does not hold then, go further along its way until it does."""
        now, at = self.run_over_time(change), self._where.get(change.steps)
        held = _holds(change) and (now is None or not _holds(now))
        if not held or at is None or self.found.stopped:
            return
        way, low = at
        if (way.path, way.rungs[0].text) in self._gone_on:
            return
        self._gone_on.add((way.path, way.rungs[0].text))
        bound, out = len(way.rungs), 1
        for _ in range(TRIES):
            k = low + out if bound == len(way.rungs) else (low + bound) // 2
            found = self.on(way, k) if low < k < bound else None
            if found is None or not _holds(found):
                return
            self.sized[way.path].append(found)
            now = self.run_over_time(found)
            low, bound, out = (low, k, out) if now is not None and _holds(now) else (k, bound, 2 * out)

    def follow(self, way: Way, base: Change | None = None, watch: Key | None = None) -> list[tuple[int, Change]]:
        """Out along the values of one way while it gets better, then back to the first that will do.

        What gets better is the finding, or another one to `watch` that a change beside it has broken. What counts whole
        teeth or turns does not move at first: of a size of the part itself the last value is tried then too.
        """
        measure, done = (_watched, _nothing_broken) if watch else (_finding, _holds)
        first = measure(base) if base is not None else self.judge.start
        low, best, bound, mended, tries = -1, first, len(way.rungs), False, []
        k = min(FIRST if way.numeric else 0, bound - 1)
        for _ in range(TRIES):
            change = self.on(way, k, base, watch)
            if change is not None:
                tries.append((k, change))
            if change is not None and done(change):
                bound, mended = k, True
            elif change is not None and measure(change) > best * (1 + CLEARLY) + 1e-12:
                low, best = k, measure(change)
            elif change is not None and self._its_own(way) and math.isclose(measure(change), best):
                low = k
                if bound == len(way.rungs):
                    k = bound - 1
                    if low < k:
                        continue
            elif change is not None and low < 0 and not mended:
                return tries
            else:
                bound = k
            k = min(2 * k + 1, bound - 1) if bound == len(way.rungs) else (low + bound) // 2
            if not low < k < bound:
                break
        return tries

    def _its_own(self, way: Way) -> bool:
        """Whether it is a size of the part that is to be mended."""
        return way.numeric and way.path.startswith(".".join(self.found.finding.part.split(".")[:2]) + ".")

    def further(self, way: Way, tries: list[tuple[int, Change]]) -> None:
        """Note what comes nearest; where the least that mends it has nothing to spare, look a little further."""
        partial = [c for _, c in tries if not c.harms and c.found.verdict != "unknown"]
        nearest = max(partial, key=_finding, default=None)
        if nearest is not None and nearest.share > self.nearer:
            known = self.partial.get(way.path)
            if known is None or nearest.share > known[0].share:
                self.partial[way.path] = nearest, way
        least = min((k for k, c in tries if c.mends), default=-1)
        if least < 0 or next(c for k, c in tries if k == least).share >= SPARE:
            return
        for more in FURTHER:
            change = self.on(way, least + more) if least + more < len(way.rungs) else None
            if change is None or not change.mends:
                return
            if change.share >= SPARE:
                self.spare.setdefault(way.path, change)
                return


def together(one: Any, other: Any) -> dict[str, Any]:
    """Two options of sizes and places as one."""
    found: dict[str, Any] = {word: dict(changes) for word, changes in one.items()}
    for word, changes in other.items():
        found.setdefault(word, {}).update(changes)
    return found


def _finding(change: Change) -> float:
    return change.share


def _holds(change: Change) -> bool:
    return change.found.verdict == "holds"


def _watched(change: Change) -> float:
    """What another finding has come to; a part that is gone has nothing against it."""
    return share_of(change.watched) if change.watched is not None else math.inf


def _nothing_broken(change: Change) -> bool:
    return change.mends
