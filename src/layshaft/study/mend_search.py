"""The search for what mends a finding: every change made in the file, the whole machine solved and rated again.

First the file's own options, then the next sizes of what has a series, then sizes and places a builder can write,
moved out in growing steps while the finding gets better and back to the least that will do.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable, Sequence
from dataclasses import replace
from typing import Any

from layshaft.machine.model import Machine
from layshaft.machine.options import apply, option_of
from layshaft.study.changes import Change, Mending, Step
from layshaft.study.harms import Key, moved, share_of, told_once, worst_at
from layshaft.study.places import Table, table_of, table_of_some
from layshaft.study.ways import Rung, Way, ways
from layshaft.trace.errors import BadInput
from layshaft.trace.findings import FAILS, THIN, Finding
from layshaft.train.solve import solve
from layshaft.verdict.rate import Verdict
from layshaft.verdict.stepwise import Step as RatingStep
from layshaft.verdict.stepwise import Stepwise

MOST = 5
"""Answers of each kind that are told."""

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

FEW = 3
"""What breaks no more than so many is told before what comes nearer and breaks more."""

Told = Callable[[float, float], None]


class Search:
    """One search: the findings before, and every change that was tried."""

    def __init__(self, machine: Machine, finding: Finding, told: Told) -> None:
        self.machine, self.told = machine, told
        self.key = (finding.part, finding.mode)
        first = Stepwise(solve(machine))
        self.verdict = first.all()
        self.before = table_of(self.verdict)
        self.steps = first.steps_of(*self.key)
        worst = worst_at(self.before, self.key)
        now = worst.told() if worst is not None else None
        if now is None or now.verdict not in ("fails", "thin"):
            raise BadInput(f"{finding.part}, {finding.mode} is what a run over time said, and changes are tried "
                           "without a run. Change the machine by hand and run it again.")
        self.found = Mending(now)
        self.place = now.part, now.place, now.mode
        self.options: list[Change] = []
        self.sized: dict[str, list[Change]] = {}
        self.partial: dict[str, tuple[Change, Way]] = {}
        """Of every given the change that comes nearest and harms nothing, and the way it lies on."""
        self.paired: list[Change] = []
        self.done = self.whole = 0

    def run(self) -> None:
        """Try everything, what is nearest to the part first."""
        all_ways = ways(self.verdict, self.found.finding) if self.found.sizes else []
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

    def step(self) -> None:
        """One more way is looked at."""
        self.done += 1
        self.told(self.done, self.whole)

    def every(self) -> list[Change]:
        """All single changes that were tried."""
        return [*self.options, *(c for tries in self.sized.values() for c in tries)]

    def tried(self, steps: tuple[Step, ...], option: Any, far: float, watch: Key | None = None,
              than: float | None = None) -> Change | None:
        """The change made and the whole machine rated again; None where the file cannot be so.

        The finding itself comes first: a change that makes it no better `than` it was is no answer, whatever it does
        to others, and so they are not asked.
        """
        self.told(self.done, self.whole)
        self.found.tried += 1
        self.found.paired += len(steps) > 1
        try:
            after = Stepwise(solve(apply(self.machine, option)))
        except BadInput:
            return None
        if watch is None:
            own = worst_at(_first(after, self.steps), self.key)
            least = share_of(self.found.finding) if than is None else than
            if own is not None and own.word in (FAILS, THIN) and own.share <= least:
                return Change(steps, option, far, own.told())
        return self._whole(Change(steps, option, far, self.found.finding), after.all(), watch)

    def _whole(self, change: Change, verdict: Verdict, watch: Key | None) -> Change | None:
        """What a change does to the whole machine."""
        after = table_of(verdict)
        worst, watched = (worst_at(after, key) if key is not None else None for key in (self.key, watch))
        if worst is None:
            return None
        other = moved(self.before, after, self.place)
        return replace(change, found=worst.told(), better=other.better, worse=other.worse, breaks=other.breaks,
                       harms=told_once(other.harms), watched=watched.told() if watched is not None else None)

    def on(self, way: Way, rung: Rung, base: Change | None = None, watch: Key | None = None) -> Change | None:
        """One value of a way tried, together with another change where there is one."""
        step = Step(way.path, way.was, rung.text, not way.numeric)
        if base is None:
            return self.tried((step,), rung.option, rung.far, watch)
        than = None if base.harms else base.share
        return self.tried((*base.steps, step), together(base.option, rung.option), base.far + rung.far, watch, than)

    def follow(self, way: Way, base: Change | None = None, watch: Key | None = None) -> list[tuple[int, Change]]:
        """Out along the values of one way while it gets better, then back to the first that will do.

        What gets better is the finding, or another one to `watch` that a change beside it has broken.
        """
        measure, done = (_watched, _nothing_broken) if watch else (_finding, _holds)
        first = measure(base) if base is not None else share_of(self.found.finding)
        low, best, bound, mended, tries = -1, first, len(way.rungs), False, []
        k = min(FIRST if way.numeric else 0, bound - 1)
        for _ in range(TRIES):
            change = self.on(way, way.rungs[k], base, watch)
            if change is not None:
                tries.append((k, change))
            if change is not None and done(change):
                bound, mended = k, True
            elif change is not None and measure(change) > best * (1 + CLEARLY) + 1e-12:
                low, best = k, measure(change)
            elif change is not None and low < 0 and not mended:
                return tries
            else:
                bound = k
            k = min(2 * k + 1, bound - 1) if bound == len(way.rungs) else (low + bound) // 2
            if not low < k < bound:
                break
        return tries

    def further(self, way: Way, tries: list[tuple[int, Change]]) -> None:
        """Note what comes nearest; where the least that mends it has nothing to spare, look a little further."""
        partial = [c for _, c in tries if not c.harms and c.found.verdict != "unknown"]
        nearest = max(partial, key=_finding, default=None)
        if nearest is not None and nearest.share > share_of(self.found.finding) * (1 + NEARER):
            known = self.partial.get(way.path)
            if known is None or nearest.share > known[0].share:
                self.partial[way.path] = nearest, way
        least = min((k for k, c in tries if c.mends), default=-1)
        if least < 0 or next(c for k, c in tries if k == least).share >= SPARE:
            return
        for more in FURTHER:
            change = self.on(way, way.rungs[least + more]) if least + more < len(way.rungs) else None
            if change is None or not change.mends:
                return
            if change.share >= SPARE:
                self.found.spare.setdefault(way.path, change)
                return

    def answer(self) -> Mending:
        """What mends it, least change first; else what comes nearest."""
        found, tries = self.found, self.every()
        found.options = [c for c in self.options if c.mends][:MOST]
        every = [min(fit, key=lambda c: c.far) for tries in self.sized.values()
                 if (fit := [c for c in tries if c.mends])]
        found.values = sorted(every, key=lambda c: c.far)[:MOST]
        found.pairs = _least_of_each(c for c in self.paired if c.mends)
        said = {c.what for c in found.changes}
        both = [*tries, *(c for c in self.paired if not self._idle(c))]
        offered = [c for c in both if not c.refused]
        found.but = _least_of_each(c for c in offered if c.found.verdict == "holds" and c.harms and c.what not in said)
        found.opens = _least_of_each(c for c in tries if c.found.verdict == "unknown" and not c.refused
                                     and not [f for f in c.breaks if f.verdict == "fails"])
        if not found.changes:
            self._nearest(offered)
            pairs = [c for c in both if len(c.steps) > 1 and c.share > share_of(found.finding)]
            found.best_pair = max(pairs, default=None, key=lambda c: (not c.refused, _holds(c), -len(c.harms), c.share))
        self._refused([c for c in both if c.refused])
        return found

    def _nearest(self, tries: list[Change]) -> None:
        """What comes nearest without harm, and what stands in the way of coming nearer."""
        found, start = self.found, share_of(self.found.finding) * (1 + NEARER)
        known = [c for c in tries if c.found.verdict != "unknown" and c.share > start]
        found.nearest = max((c for c in known if not c.harms), key=_finding, default=None)
        reached = found.nearest.share if found.nearest is not None else 0.0
        found.in_the_way = max((c for c in known if c.harms and c.found.verdict != "holds" and c.share > reached),
                               key=lambda c: (len(c.harms) <= FEW, c.share), default=None)

    def _refused(self, tries: list[Change]) -> None:
        """What would mend it, or come nearer where nothing does, were it not for people: of every given the least.

        An option of the file that leaves it unknown is named too.
        """
        found, best = self.found, dict[str, Change]()
        least = 1.0 if found.changes else share_of(found.finding) * (1 + NEARER)
        nearer = [c for c in tries if c.share >= least or (c.found.verdict == "unknown" and not c.steps[0].then)]
        for c in sorted(nearer, key=lambda c: (len(c.steps), c.found.verdict != "holds", len(c.harms), c.far)):
            best.setdefault(c.what, c)
        found.refused = list(best.values())[:MOST]

    def _idle(self, pair: Change) -> bool:
        """Whether one half of a pair does as much alone, at no greater harm."""
        return any(c.steps[0] in pair.steps and len(c.harms) <= len(pair.harms)
                   and c.share >= pair.share * (1 - CLEARLY) for c in self.every())


def _first(verdict: Stepwise, steps: Sequence[RatingStep]) -> Table:
    """What the first steps of a verdict say."""
    return table_of_some(verdict.verdict, verdict.rated(steps), verdict.found(steps))


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


def _least_of_each(changes: Iterable[Change]) -> list[Change]:
    """Of every given the change that harms fewest, then the least; those that harm fewest first."""
    found: dict[str, Change] = {}
    for c in sorted(changes, key=lambda c: (len(c.steps), len(c.harms), c.far)):
        found.setdefault(c.what, c)
    return list(found.values())[:MOST]
