"""What would mend a finding: single changes of the file after which it holds and nothing else begins to fail.

Every change is made in the file, and the whole machine solved and rated again, as `check` does it. First the file's own
options, then the next sizes of what has a series, then sizes and places a builder can write, moved out in growing
steps while the finding gets better and back to the least that will do.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from typing import Any

from layshaft.machine.model import Machine
from layshaft.machine.options import apply, option_of
from layshaft.study.ways import Way, ways
from layshaft.trace.errors import BadInput
from layshaft.trace.findings import WORST_FIRST, Finding
from layshaft.train.solve import solve
from layshaft.verdict.rate import Verdict, rate

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

Key = tuple[str, str]
Told = Callable[[float, float], None]


@dataclass(frozen=True, slots=True)
class Change:
    """One change of the file and what it does: the finding after it, and the others that it moves."""

    what: str
    was: str
    then: str
    option: Any
    far: float
    """How far it is from what there is, as a share of it; options of the file have none."""

    found: Finding
    better: tuple[Finding, ...] = ()
    worse: tuple[Finding, ...] = ()
    breaks: tuple[Finding, ...] = ()
    """Those that did not fail before and do now, or held and are unknown."""

    @property
    def share(self) -> float:
        """Margin over required margin of the finding."""
        return _share(self.found)

    @property
    def mends(self) -> bool:
        """True where the finding holds and nothing else is lost."""
        return self.found.verdict == "holds" and not self.breaks


@dataclass(slots=True)
class Mending:
    """The answer for one finding. `nearest` comes nearest of what breaks nothing; `but` mends it and breaks others."""

    finding: Finding
    options: list[Change] = field(default_factory=list)
    values: list[Change] = field(default_factory=list)
    nearest: Change | None = None
    but: list[Change] = field(default_factory=list)
    tried: int = 0
    stopped: bool = False

    @property
    def changes(self) -> list[Change]:
        """All that mend it, options of the file first."""
        return [*self.options, *self.values]


def finding_of(verdict: Verdict, part: str, mode: str = "") -> Finding:
    """The finding that is to be mended: the worst of a part that fails or is thin, or that of one failure mode."""
    found = verdict.of(part)
    if mode:
        named = ([f for f in found if f.part == part and f.mode == mode]
                 or [f for f in found if mode.casefold() in f.mode.casefold()])
        if not named:
            known = ", ".join(sorted({f.mode for f in found})) or "none"
            raise BadInput(f"{part} has no finding named '{mode}'. It has: {known}.")
        found = named
    wanting = [f for f in found if f.verdict in ("fails", "thin")]
    if wanting:
        return wanting[0]
    unknown = next((f for f in found if f.verdict == "unknown"), None)
    if unknown is not None:
        raise BadInput(f"{unknown.part}, {unknown.mode} is unknown: {unknown.reason or 'something is missing'}. "
                       "Settle that first: `layshaft needs` says how.")
    raise BadInput(f"There is nothing to mend at {part}: all that was checked holds." if found else
                   f"Nothing is rated at {part}.")


def mending(machine: Machine, finding: Finding, told: Told = lambda _done, _whole: None) -> Mending:
    """Single changes after which a finding holds. An interrupt keeps what is found."""
    search = _Search(machine, finding, told)
    try:
        search.run()
    except KeyboardInterrupt:
        search.found.stopped = True
    return search.answer()


class _Search:
    """One search: the findings before, and every change that was tried."""

    def __init__(self, machine: Machine, finding: Finding, told: Told) -> None:
        self.machine, self.told = machine, told
        self.key = (finding.part, finding.mode)
        self.verdict = rate(solve(machine))
        self.before = by_key(self.verdict.findings)
        if self.key not in self.before:
            raise BadInput(f"{finding.part}, {finding.mode} is what a run over time said, and changes are tried "
                           "without a run. Change the machine by hand and run it again.")
        self.found = Mending(self.before[self.key])
        self.options: list[Change] = []
        self.sized: dict[str, list[Change]] = {}
        self.done = self.whole = 0

    def run(self) -> None:
        """Try everything, what is nearest to the part first."""
        all_ways = ways(self.verdict, self.found.finding)
        self.whole = len(self.machine.options) + len(all_ways)
        for name in self.machine.options:
            change = self.tried(f"option {name}", "", "", option_of(self.machine, name), math.inf)
            if change is not None:
                self.options.append(change)
            self.step()
        for way in all_ways:
            self.follow(way)
            self.step()

    def step(self) -> None:
        """One more way is looked at."""
        self.done += 1
        self.told(self.done, self.whole)

    def tried(self, what: str, was: str, then: str, option: Mapping[str, Any], far: float) -> Change | None:
        """The change made and the whole machine rated again; None where the file cannot be so."""
        self.told(self.done, self.whole)
        self.found.tried += 1
        try:
            after = by_key(rate(solve(apply(self.machine, option))).findings)
        except BadInput:
            return None
        found = after.get(self.key)
        if found is None:
            return None
        better, worse, breaks = moved_by(self.before, after, self.key)
        return Change(what, was, then, option, far, found, better, worse, breaks)

    def follow(self, way: Way) -> None:
        """Out along the values of one way while the finding gets better, then back to the first that will do."""
        low, best = -1, _share(self.found.finding)
        bound = len(way.rungs)
        mended = False
        k = min(FIRST if way.numeric else 0, bound - 1)
        for _ in range(TRIES):
            rung = way.rungs[k]
            change = self.tried(way.path, way.was, rung.text, rung.option, rung.far)
            if change is not None:
                self.sized.setdefault(way.path, []).append(change)
            if change is not None and change.found.verdict == "holds":
                bound, mended = k, True
            elif change is not None and change.share > best * (1 + CLEARLY) + 1e-12:
                low, best = k, change.share
            elif change is not None and low < 0 and not mended:
                return
            else:
                bound = k
            k = min(2 * k + 1, bound - 1) if bound == len(way.rungs) else (low + bound) // 2
            if not low < k < bound:
                return

    def answer(self) -> Mending:
        """What mends it, least change first; else what comes nearest."""
        found = self.found
        found.options = [c for c in self.options if c.mends][:MOST]
        every = [min(fit, key=lambda c: c.far) for tries in self.sized.values()
                 if (fit := [c for c in tries if c.mends])]
        found.values = sorted(every, key=lambda c: c.far)[:MOST]
        said = {c.what for c in found.changes}
        tries = [*self.options, *(c for tries in self.sized.values() for c in tries)]
        found.but = _least_of_each(c for c in tries if c.found.verdict == "holds" and c.breaks and c.what not in said)
        nearer = _share(found.finding) * (1 + NEARER)
        near = [c for c in tries if not c.breaks and c.share > nearer]
        found.nearest = max(near, key=lambda c: c.share, default=None) if not found.changes else None
        return found


def as_plain(option: Any) -> Any:
    """The option as plain data, for a draft or a print of it."""
    from layshaft.machine.document import ListNode, MapNode, TextNode

    if isinstance(option, MapNode):
        return {e.key: as_plain(e.value) for e in option.entries}
    if isinstance(option, ListNode):
        return [as_plain(item) for item in option.items]
    return option.text if isinstance(option, TextNode) else option


def _least_of_each(changes: Iterable[Change]) -> list[Change]:
    """Of every given the change that breaks fewest, then the least; those that break fewest first."""
    found: dict[str, Change] = {}
    for c in sorted(changes, key=lambda c: (len(c.breaks), c.far)):
        found.setdefault(c.what, c)
    return list(found.values())[:MOST]


def by_key(findings: Sequence[Finding]) -> dict[Key, Finding]:
    """The worst finding of every part and failure mode."""
    found: dict[Key, Finding] = {}
    for f in sorted(findings, key=lambda f: f.rank):
        found.setdefault((f.part, f.mode), f)
    return found


def moved_by(before: Mapping[Key, Finding], after: Mapping[Key, Finding], key: Key
           ) -> tuple[tuple[Finding, ...], tuple[Finding, ...], tuple[Finding, ...]]:
    """The other findings whose verdict gets better, whose verdict gets worse, and those of these that are lost."""
    better, worse, breaks = [], [], []
    for k, f in after.items():
        if k == key:
            continue
        was = before[k].verdict if k in before else "holds"
        step = WORST_FIRST.index(f.verdict) - WORST_FIRST.index(was)
        if step > 0:
            better.append(f)
        elif step < 0:
            worse.append(f)
            if f.verdict == "fails" or (f.verdict == "unknown" and was == "holds"):
                breaks.append(f)
    return tuple(better), tuple(worse), tuple(breaks)


def _share(f: Finding) -> float:
    """Margin over what is required; nothing where it is not known."""
    return f.margin / f.required if math.isfinite(f.margin) else 0.0
