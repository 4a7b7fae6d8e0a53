"""Two changes together, where no single one mends a finding: what helps it with more that helps it, and what mends it
with what takes away the harm it does.

How many are tried is bounded, so that it ends: the changes that came nearest are joined two and two, and the least
harmful of those that mend it are joined with ways of the finding they make worse.
"""

from __future__ import annotations

from itertools import combinations

from layshaft.study.changes import Change
from layshaft.study.mend_search import Search
from layshaft.study.ways import ways
from layshaft.trace.findings import Finding

HELPERS = 5
"""Changes that came nearest, joined two and two."""

HARMFUL, HEALERS = 2, 24
"""Changes that mend and harm fewest other parts, and how many ways of the first harm are tried with each."""

MOST_TRIED = 150
"""Changes of two that are tried at most."""

ENOUGH = 5


def pairs(search: Search) -> None:
    """Try two changes together until a few mend it, or as many are tried as one waits for."""
    helpers = sorted(search.partial.values(), key=lambda p: -p[0].share)[:HELPERS]
    mending = sorted(_mending(search), key=lambda c: c.far)
    harmful = sorted(mending, key=lambda c: len({h.now.part for h in c.harms}))[:HARMFUL]
    joined = list(combinations(helpers, 2))
    search.whole += len(joined) + len(harmful) * HEALERS
    for (first, _), (second, way) in joined:
        if _enough(search):
            break
        if first.steps[0].what != second.steps[0].what:
            search.paired += [change for _, change in search.follow(way, first)]
        search.step()
    for change in harmful:
        _healed(search, change)


def _mending(search: Search) -> list[Change]:
    """The least change of each given that mends it and makes others worse."""
    return [min(fit, key=lambda c: c.far) for tries in search.sized.values()
            if (fit := [c for c in tries if c.found.verdict == "holds" and c.harms])]


def _healed(search: Search, change: Change) -> None:
    """A change that mends it, with ways of what it makes worse first of all."""
    broken: Finding = change.harms[0].now
    watch = broken.part, broken.mode
    base = search.tried(change.steps, change.option, change.far, watch)
    if base is None:
        return
    taken = {step.what for step in change.steps}
    for way in [w for w in ways(search.judge.verdict, broken) if w.path not in taken][:HEALERS]:
        if _enough(search):
            return
        search.paired += [c for _, c in search.follow(way, base, watch)]
        search.step()


def _enough(search: Search) -> bool:
    return search.found.paired >= MOST_TRIED or len({c.what for c in search.paired if c.mends}) >= ENOUGH
