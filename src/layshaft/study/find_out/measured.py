"""A result as a measured given: what is written into the machine file, and how it stands against the guess."""

from __future__ import annotations

import math
from dataclasses import replace
from typing import Any

from layshaft.machine.model import Machine
from layshaft.machine.sampling import scaled
from layshaft.machine.schema import Given
from layshaft.study.find_out import say
from layshaft.study.find_out.readings import Result
from layshaft.trace.errors import BadInput
from layshaft.trace.findings import Finding
from layshaft.trace.units import parse_quantity, shown, unit_factor
from layshaft.train.solve import solve
from layshaft.verdict.measured import distance
from layshaft.verdict.rate import rate


def as_given(given: Given, result: Result) -> Given:
    """The given as the measurement has it; what it was guessed to be goes along, the first guess if there are more.

    A value that never said how far it can be off is no guess a measurement could contradict.
    """
    guessed = given.guessed
    if guessed is None and given.low is not None and given.high is not None:
        guessed = (given.nominal, given.low, given.high)
    return replace(given, value=result.value, low=result.low, high=result.high, source="measured", even=False,
                   guessed=guessed)


def contradicts(given: Given, result: Result) -> bool:
    """True where guess and measurement lie farther apart than both their spreads together."""
    return apart(given, result) > 1


def apart(given: Given, result: Result) -> float:
    """Their distance over both spreads together; NaN where the guess had none."""
    measured = as_given(given, result)
    return distance(measured) if measured.guessed is not None else math.nan


def option_for(given: Given, result: Result, path: str, *, who: str, when: str, note: str) -> dict[str, Any]:
    """The option that writes the measurement at a path. Raises `BadInput` where the spread makes no sense."""
    if given.nominal > 0 and not result.low > 0:
        raise BadInput(say.below_limit(shown(result.value, result.dimension), shown(result.spread, result.dimension)))
    unit, decimals = unit_of(given, result)
    test = result.test.procedure.name
    n = len(result.values)
    keys: dict[str, str | list[str]] = {
        "value": written(result.value, unit, decimals, given),
        "between": [written(end, unit, decimals, given) for end in (result.low, result.high)],
        "source": "measured", "note": "; ".join([f"{test}, mean of {n}", *([note] if note else []),
                                                     *([f"guessed for: {given.note}"] if given.note else [])])}
    keys |= {key: text for key, text in (("who", who), ("when", when)) if text}
    measured = as_given(given, result)
    if measured.guessed is not None:
        keys["guessed"] = guess_text(measured, unit)
    return {"set": {path: keys}}


def changes(machine: Machine, given: Given, result: Result) -> list[tuple[Finding, Finding]]:
    """Verdicts that are another word with the measured value, before and after; people's first, then the worst."""
    if not given.nominal:
        return []
    there = scaled(machine, {given.cause: result.value / given.nominal})
    before, after = ({(f.part, f.mode): f for f in rate(solve(m)).findings} for m in (machine, there))
    moved = [(before[k], f) for k, f in after.items() if k in before and before[k].verdict != f.verdict]
    return sorted(moved, key=lambda pair: (not pair[1].hurts, pair[1].rank))


def unit_of(given: Given, result: Result) -> tuple[str, int]:
    """The unit the guess was written in, and the decimals that two figures of the spread ask for (GUM 7.2.6)."""
    try:
        unit = parse_quantity(given.written, given.dimension).unit
    except (ValueError, BadInput):
        unit = given.dimension.shown[0]
    factor = unit_factor(unit, given.dimension) or 1.0
    figure = result.spread / factor or abs(result.value) / factor * 1e-3 or 1.0
    return unit, max(1 - math.floor(math.log10(figure)), 0)


def written(value: float, unit: str, decimals: int, given: Given) -> str:
    """A value as it stands in a machine file."""
    return f"{value / (unit_factor(unit, given.dimension) or 1.0):.{decimals}f} {unit}".strip()


def guess_text(measured: Given, unit: str) -> str:
    """What was guessed, as one text the door for quantities reads."""
    assert measured.guessed is not None
    factor = unit_factor(unit, measured.dimension) or 1.0
    value, low, high = (f"{v / factor:.6g} {unit}".strip() for v in measured.guessed)
    return value if low == high else f"{value} between {low} and {high}"

