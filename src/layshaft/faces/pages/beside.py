"""Machines side by side as a page tells them: which verdicts turn and which way, and what moves, in words of parts."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass

from layshaft.faces.comparing import ample, told_value
from layshaft.study.compare import Comparison, Fact, Moved
from layshaft.trace.findings import WORST_FIRST, Finding, Word, margin_text
from layshaft.trace.units import figure

MOST_NAMED = 4
ABSENT = "not there"
YES_OR_NO = {0.0, 1.0}
"""Demand and rating of a check that has no figures."""


@dataclass(frozen=True, slots=True)
class Turn:
    """One verdict that turned: what it was, or that it was not there, and what it is."""

    was: str
    now: Finding


@dataclass(frozen=True, slots=True)
class Turns:
    """Verdicts that turned one way, the worst first."""

    words: str
    turns: list[Turn]

    @property
    def hurts(self) -> bool:
        """Whether people can be hurt by one that does not hold."""
        return any(t.now.hurts and t.now.verdict != "holds" for t in self.turns)


def turned(found: Comparison, i: int) -> list[Turns]:
    """How verdicts of machine `i` differ from the first: what is worse, then what is better."""
    groups: dict[str, list[Turn]] = {"no longer": [], "worse": [], "new": [], "holds": [], "better": []}
    for (was, _), findings in found.changes(i).items():
        for f in findings:
            groups[_group(was, f.verdict)].append(Turn(was, f))
    return [Turns(_said(name, len(turns)), sorted(turns, key=lambda t: t.now.rank))
            for name, turns in groups.items() if turns]


def _group(was: str, now: Word) -> str:
    if was == ABSENT:
        return "holds" if now == "holds" else "new"
    if was == "holds":
        return "no longer"
    if now == "holds":
        return "holds"
    return "better" if WORST_FIRST.index(now) > WORST_FIRST.index(_word(was)) else "worse"


def _word(text: str) -> Word:
    return next(w for w in WORST_FIRST if w == text)


def _said(name: str, count: int) -> str:
    one = count == 1
    return {"no longer": f"{count} {'verdict does' if one else 'verdicts do'} not hold any more",
            "worse": f"{count} that did not hold {'gets' if one else 'get'} worse",
            "new": f"{count} new {'one does' if one else 'ones do'} not hold",
            "holds": f"{count} {'begins' if one else 'begin'} to hold",
            "better": f"{count} {'gets' if one else 'get'} better without holding"}[name]


def facts(found: Comparison) -> Iterator[tuple[Fact, list[str]]]:
    """Numbers of the whole machine that differ as they are printed."""
    for fact in found.facts:
        told = [told_value(v, fact) for v in fact.values]
        if len(set(told)) > 1:
            yield fact, told


def moving(found: Comparison) -> tuple[list[Moved], list[Moved]]:
    """What moves by more than rounding: where the verdict turns, and where the margin alone does, the worst first."""
    there = [m for m in found.moved if not ample(m)]
    turning = [m for m in there if len({f.verdict if f is not None else ABSENT for f in m.found}) > 1]
    rest = [m for m in there if m not in turning and len({f.margin_text for f in m.found if f is not None}) > 1]
    return turning, rest


def margin(f: Finding) -> str:
    """Margin and what is required; blank where it is not known, and where the check is a yes or a no."""
    if not math.isfinite(f.margin) or {f.demand, f.rating} <= YES_OR_NO:
        return ""
    return f"{margin_text(f.margin)} of {figure(f.required, 3)}"
