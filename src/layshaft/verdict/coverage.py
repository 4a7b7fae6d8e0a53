"""Nothing is silent: every failure mode of every part has an answer, or is unknown by name."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from typing import TYPE_CHECKING

import numpy as np

from layshaft.trace.findings import Finding
from layshaft.trace.source import Source
from layshaft.trace.units import RATIO
from layshaft.verdict.clearances import HAND_MODE
from layshaft.verdict.clearances import MODE as COLLISION
from layshaft.verdict.context import NAN, Context
from layshaft.verdict.kicks import MODE as KICK_BACK
from layshaft.verdict.modes import Expected, expected
from layshaft.verdict.open import open_owners
from layshaft.verdict.required import lets_go
from layshaft.verdict.runaways import MODE as RUN_AWAY

if TYPE_CHECKING:
    from layshaft.verdict.rate import Rated

NOBODY = Source("no method in the house answers it", obtained="derived")
NO_METHOD = "no method in the house answers it"
WHOLE = (KICK_BACK, RUN_AWAY, COLLISION, HAND_MODE)
"""Modes that are told of the whole machine."""

NO_CASE = "no case asks it: nothing drives this part, or it never turns"


def silent(c: Context, rated: Iterable[Rated]) -> Iterator[Finding]:
    """One unknown for every failure mode that nothing has answered."""
    asked, known = _answered(rated)
    open_ = open_owners(c.solved)
    for e in expected(c):
        key = (e.path, e.place, e.mode)
        if key not in asked and e.mode not in WHOLE:
            nobody = e.why or (NO_CASE if key in known else NO_METHOD)
            yield _unknown(c, e, "not chosen" if e.path in open_ else nobody)


def _answered(rated: Iterable[Rated]) -> tuple[set[tuple[str, str, str]], set[tuple[str, str, str]]]:
    """What some case asks, and what some block holds; each with its place and without."""
    asked: set[tuple[str, str, str]] = set()
    known: set[tuple[str, str, str]] = set()
    for r in rated:
        some_cases: list[bool] = np.any(r.asked, axis=1).tolist()
        for part, some_case in zip(r.block.parts, some_cases, strict=True):
            keys = (part.path, part.place, r.mode), (part.path, "", r.mode)
            known.update(keys)
            if some_case:
                asked.update(keys)
    return asked, known


def _unknown(c: Context, e: Expected, why: str) -> Finding:
    hurts = c.hurts(e.path) or c.hurts(e.path.rpartition(".")[0])
    return Finding(e.path, e.place, e.mode, "any", "any case", RATIO, NAN, NAN, NAN, NAN, "unknown", NOBODY, NOBODY,
                   reason=why, hurts=hurts if _parts(e.mode) else "")


def _parts(mode: str) -> bool:
    """True where a shortfall means that the part lets go; a mode of no table may."""
    try:
        return lets_go(mode)
    except KeyError:
        return True
