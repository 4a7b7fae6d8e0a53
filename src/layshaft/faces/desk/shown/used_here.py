"""Where in the machine at hand a formula is at work, with the numbers it has there."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from functools import lru_cache
from typing import Any
from urllib.parse import urlencode

from layshaft.faces.pages.words import name_words, short
from layshaft.trace.findings import Finding
from layshaft.trace.formula import FormulaInfo, Step
from layshaft.trace.sheet import value_text
from layshaft.trace.units import Dimension
from layshaft.verdict.rate import Verdict
from layshaft.verdict.sheets import sheet_of

MOST = 12


@dataclass(frozen=True, slots=True)
class Use:
    """One place: the part, what is checked there, the result, and the form filled in with its numbers."""

    part: str
    words: str
    mode: str
    value: str
    filled: str


def used_here(verdict: Verdict, info: FormulaInfo) -> tuple[list[Use], int]:
    """Places where a sheet of the machine uses a formula, worst first, and how many there are.

    Checks of one part that use it with the same numbers are one place.
    """
    found: dict[tuple[str, str], Use] = {}
    for f, step in _at_work(_Same(verdict)).get(info.name, []):
        use = _use(info, f, step)
        before = found.get((use.words, use.filled or use.value))
        found[use.words, use.filled or use.value] = use if before is None else replace(
            before, mode=f"{before.mode}, {use.mode}")
    return list(found.values())[:MOST], len(found)


def _use(info: FormulaInfo, f: Finding, step: Step) -> Use:
    given = {name: _typed(value, info.dimensions[name]) for name, value, _ in step.arguments if name in info.parameters}
    filled = urlencode({"name": info.name, **given}) if len(given) == len(info.parameters) else ""
    return Use(f.part, name_words(f), f.mode, value_text(step.value, step.dimension), filled)


def _typed(value: Any, dimension: Dimension) -> str:
    """A number as somebody would type it, with all digits that count."""
    number = float(value)
    return short(number, dimension, 6) if math.isfinite(number) else ""


class _Same:
    """A verdict as a key: the very same one, and no other that is equal."""

    def __init__(self, verdict: Verdict) -> None:
        self.verdict = verdict

    def __hash__(self) -> int:
        return id(self.verdict)

    def __eq__(self, other: object) -> bool:
        return isinstance(other, _Same) and other.verdict is self.verdict


@lru_cache(1)
def _at_work(same: _Same) -> dict[str, list[tuple[Finding, Step]]]:
    """Every formula on a sheet of the machine; once for each part and check."""
    found: dict[str, list[tuple[Finding, Step]]] = {}
    for f in same.verdict.findings:
        sheet = sheet_of(same.verdict, f, guesses=False)
        if sheet is None:
            continue
        seen = set()
        for step in sheet.trace.steps:
            if step.formula is not None and step.formula.name not in seen:
                seen.add(step.formula.name)
                found.setdefault(step.formula.name, []).append((f, step))
    return found
