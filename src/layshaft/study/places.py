"""Every finding of a verdict at its own place, at a glance, and which place of a changed machine was which before."""

from __future__ import annotations

import functools
import math
import re
from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass

from layshaft.trace.findings import HOLDS, WORST_FIRST, Finding
from layshaft.train.forces import CROSS_HOLE, GROOVE, SHOULDER
from layshaft.verdict.rate import Rated, Verdict, finding, worst_cases
from layshaft.verdict.required import lets_go

NUMBERED = re.compile(rf"({SHOULDER}|{GROOVE}|{CROSS_HOLE}|step at )\d+(?: mm)?")
"""Places of a shaft that have no name of their own: they are counted, or called by where they are."""

Place = tuple[str, str, str]
"""Part, place within it, failure mode."""


@dataclass(frozen=True, slots=True)
class Glance:
    """One finding as it is held against another: its word, its margin over the required one, whether it can hurt."""

    word: int
    share: float
    hurts: bool
    told: Callable[[], Finding]
    """The finding itself: few of them are ever told, and to put one into words takes longer than to rate it."""

    @property
    def rank(self) -> tuple[int, float]:
        """Sorts worst first, as `Finding.rank` does."""
        return self.word, self.share


Table = dict[Place, Glance]


def table_of(verdict: Verdict) -> Table:
    """Every part, place and failure mode of a nominal verdict in the worst of its cases."""
    return table_of_some(verdict, verdict.rated, verdict.whole)


def table_of_some(verdict: Verdict, rated: Iterable[Rated], whole: Iterable[Finding]) -> Table:
    """The same of a part of a verdict."""
    found: Table = {}
    for r in rated:
        _note(found, rated_glances(verdict, r))
    _note(found, glances(whole))
    return found


def glances(findings: Iterable[Finding]) -> Iterator[tuple[Place, Glance]]:
    """Findings that are there already."""
    for f in findings:
        share = f.margin / f.required if math.isfinite(f.margin) else 0.0
        yield (f.part, f.place, f.mode), Glance(WORST_FIRST.index(f.verdict), share, bool(f.hurts),
                                                functools.partial(_itself, f))


def rated_glances(verdict: Verdict, r: Rated) -> Iterator[tuple[Place, Glance]]:
    """One failure mode of one kind of part."""
    words, shares, cases = worst_cases(r)
    risky = lets_go(r.mode)
    for p, (part, word, share, case) in enumerate(zip(r.block.parts, words, shares, cases, strict=True)):
        if word <= HOLDS:
            told = functools.partial(finding, verdict, r, p, case)
            yield (part.path, part.place, r.mode), Glance(word, share, risky and bool(part.hurts), told)


def _itself(found: Finding) -> Finding:
    return found


def _note(table: Table, found: Iterable[tuple[Place, Glance]]) -> None:
    for place, glance in found:
        known = table.get(place)
        if known is None or glance.rank < known.rank:
            table[place] = glance


def partners(before: Table, after: Table) -> dict[Place, Place | None]:
    """For every place after a change the one it was before; None where there was none.

    A place with a name is the one of that name. Counted ones are matched in order along the shaft while there are as
    many as before; else the worst with the worst. Any such pairing is fair: where no place of it is worse than its
    partner, the worst of all is no worse than the worst was, the second no worse than the second, and so on.
    """
    found: dict[Place, Place | None] = {p: p if p in before else None for p in after if not _counted(p)}
    was, now = (_by_shaft(table) for table in (before, after))
    for key, places in now.items():
        found |= _matched(was.get(key, []), places, before, after)
    return found


def _counted(place: Place) -> bool:
    return place[0].startswith("shafts.") and bool(NUMBERED.fullmatch(place[1]))


def _by_shaft(table: Table) -> dict[tuple[str, str], list[Place]]:
    """Counted places of every shaft and failure mode, in order along it."""
    found: dict[tuple[str, str], list[Place]] = {}
    for place in filter(_counted, table):
        found.setdefault((place[0], place[2]), []).append(place)
    return found


def _matched(was: list[Place], now: list[Place], before: Table, after: Table) -> dict[Place, Place | None]:
    if was == now:
        return dict(zip(now, was, strict=True))
    found: dict[Place, Place | None] = {}
    for kind in dict.fromkeys(map(_kind, now)):
        one, other = ([p for p in places if _kind(p) == kind] for places in (was, now))
        if len(one) == len(other):
            found |= dict(zip(other, one, strict=True))
    taken = set(found.values())
    old = sorted((p for p in was if p not in taken), key=lambda p: before[p].rank)
    new = sorted((p for p in now if p not in found), key=lambda p: after[p].rank)
    return found | {p: old[i] if i < len(old) else None for i, p in enumerate(new)}


def _kind(place: Place) -> str:
    match = NUMBERED.fullmatch(place[1])
    assert match is not None
    return match[1]
