"""The answer of a search: what mends the finding, what does so at a cost, and what is not offered.

Everything that is offered is run over time before, where the machine can be run, and judged by what the run says too.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import replace

from layshaft.study.changes import Change, Mending
from layshaft.study.harms import share_of
from layshaft.study.mend_search import CLEARLY, NEARER, SPARE, Search

MOST = 5
"""Answers of each kind that are told."""

FEW = 3
"""What breaks no more than so many is told before what comes nearer and breaks more."""


def mends_it(search: Search) -> bool:
    """Whether any change that was tried mends it, also with a run over time."""
    return bool(_run(search, lambda found: found.changes).changes)


def answer(search: Search) -> Mending:
    """What mends it, least change first; else what comes nearest."""
    return _run(search, lambda found: found.shown)


def _run(search: Search, offered: Callable[[Mending], list[Change]]) -> Mending:
    """The answer, and again until all of it that is offered has been run: a run may rule out what came first."""
    while True:
        found = _sorted(search)
        waiting = [c for c in offered(found) if not c.ran and not c.not_run and c.steps not in search.sure]
        if not waiting:
            return found
        search.whole += len(waiting)
        for change in waiting:
            search.settle(change)
            if not search.found.stopped:
                search.step()


def _sorted(search: Search) -> Mending:
    found, single = replace(search.found), search.every()
    tries, paired = (search.as_known([c for c in changes if not c.no_better]) for changes in (
        single, [c for c in search.paired if c.mends or not _idle(c, single)]))
    nearer = share_of(found.finding) + NEARER * abs(share_of(found.finding))
    found.options = [c for c in search.as_known(search.options) if c.mends][:MOST]
    least = [min(fit, key=lambda c: c.far) for changes in search.sized.values()
             if (fit := [c for c in search.as_known(changes) if c.mends])]
    found.values = sorted(least, key=lambda c: c.far)[:MOST]
    found.spare = {c.what: more for c in found.values for more in _spare(search, c)}
    found.pairs = _least_of_each(c for c in paired if c.mends)
    said = {c.what for c in found.changes}
    both = [*tries, *paired]
    offered = [c for c in both if not c.refused]
    found.but = _least_of_each(c for c in offered if _holds(c) and not c.harmless and c.what not in said)
    found.opens = _least_of_each(c for c in tries if c.found.verdict == "unknown" and not c.refused
                                 and not [f for f in c.breaks if f.verdict == "fails"])
    if not found.changes:
        _nearest(found, offered, nearer)
        pairs = [c for c in both if len(c.steps) > 1 and c.share > share_of(found.finding)]
        found.best_pair = max(pairs, default=None, key=lambda c: (not c.refused, _holds(c), -_cost(c), c.share))
    _refused(found, [c for c in both if c.refused], nearer)
    return found


def _spare(search: Search, least: Change) -> list[Change]:
    """The same value moved further, where the least that will do leaves nothing to spare."""
    more = search.as_known([search.spare[least.what]] if least.what in search.spare else [])
    return [c for c in more if c.mends and c.far > least.far and least.share < SPARE <= c.share]


def _nearest(found: Mending, tries: list[Change], start: float) -> None:
    """What comes nearest without harm, and what stands in the way of coming nearer."""
    known = [c for c in tries if c.found.verdict != "unknown" and c.share > start]
    found.nearest = max((c for c in known if c.harmless), key=lambda c: c.share, default=None)
    reached = found.nearest.share if found.nearest is not None else 0.0
    found.in_the_way = max((c for c in known if not c.harmless and not _holds(c) and c.share > reached),
                           key=lambda c: (_cost(c) <= FEW, c.share), default=None)


def _refused(found: Mending, tries: list[Change], start: float) -> None:
    """What would mend it, or come nearer where nothing does, were it not for people: of every given the least.

    An option of the file that leaves it unknown is named too.
    """
    best: dict[str, Change] = {}
    least = 1.0 if found.changes else start
    nearer = [c for c in tries if c.share >= least or (c.found.verdict == "unknown" and not c.steps[0].then)]
    for c in sorted(nearer, key=lambda c: (len(c.steps), not _holds(c), _cost(c), c.far)):
        best.setdefault(c.what, c)
    found.refused = list(best.values())[:MOST]


def _idle(pair: Change, tries: list[Change]) -> bool:
    """Whether one half of a pair does as much alone, at no greater harm; both as they were before any run."""
    return any(c.steps[0] in pair.steps and _cost(c) <= _cost(pair) and c.share >= pair.share * (1 - CLEARLY)
               for c in tries)


def _holds(change: Change) -> bool:
    return change.found.verdict == "holds"


def _cost(change: Change) -> int:
    """How many others it makes worse; that it cannot be run over time any more counts as one."""
    return len(change.harms) + bool(change.not_run)


def _least_of_each(changes: Iterable[Change]) -> list[Change]:
    """Of every given the change that harms fewest, then the least; those that harm fewest first."""
    found: dict[str, Change] = {}
    for c in sorted(changes, key=lambda c: (len(c.steps), _cost(c), c.far)):
        found.setdefault(c.what, c)
    return list(found.values())[:MOST]
