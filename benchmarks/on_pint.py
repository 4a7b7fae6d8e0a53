"""The peer of a recheck: the formulas of every rated row run on quantities that carry a unit.

A room calls the same formulas whatever its inputs, so one traced row gives the list of formulas with
where each argument comes from. The peer runs that list and nothing else: no torque balance, no
placing, no beams, no findings, no look-up in tables, no root of an equation. A formula that a
quantity cannot enter (a fit printed in other units) runs on plain numbers. All of this favours the peer.
"""

from __future__ import annotations

import functools
import warnings
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import Any

import numpy as np
import pint

from layshaft import Verdict
from layshaft.trace.formula import Step, origin, tracing
from layshaft.verdict.rate import Rated

UNITS = pint.UnitRegistry()
Quantity = UNITS.Quantity


@dataclass(frozen=True, slots=True)
class Line:
    """One formula: where its result goes, and each argument as the number of a line or a constant."""

    into: int
    run: Callable[..., Any]
    arguments: tuple[tuple[int | None, Any], ...]


@dataclass(frozen=True, slots=True)
class Row:
    """The formulas that the modes asked of one row need, and the values they start from."""

    lines: list[Line]
    start: dict[int, Any]
    margins: list[int]

    def margins_on_quantities(self) -> list[float]:
        """Run it; the margins as plain numbers."""
        held = dict(self.start)
        for line in self.lines:
            held[line.into] = line.run(*(held[n] if n is not None else c for n, c in line.arguments))
        return [float(plain(held[n])) for n in self.margins]


def plain(value: Any) -> Any:
    """The number in SI."""
    return value.to_base_units().magnitude if isinstance(value, Quantity) else value


def rows_of(verdict: Verdict, every: int) -> tuple[list[Row], list[float], float]:
    """Every so many of the rows the recheck rates, with its own margins; and their share of all formulas."""
    asked: dict[tuple[int, int, int], list[Rated]] = {}
    for r in verdict.rated:
        for p, c in zip(*np.nonzero(r.asked), strict=True):
            asked.setdefault((id(r.block), int(p), int(c)), []).append(r)
    keys = list(asked)
    rows, own = [], []
    for key in keys[::every]:
        row, margins = _row(asked[key], key[1], key[2])
        rows.append(row)
        own += margins
    return rows, own, len(rows) / len(keys)


def _row(modes: list[Rated], p: int, c: int) -> tuple[Row, list[float]]:
    block = modes[0].block
    with np.errstate(all="ignore"), tracing():
        checks = {check.mode: check for check in block.rate(block.single(block.parts[p], c)).checks}
    steps: list[Step] = []
    wanted = [checks[r.mode] for r in modes]
    for check in wanted:
        for value in (check.margin, check.rating, check.demand):
            _gather(origin(value), steps)
    number = {id(step): i for i, step in enumerate(steps)}
    start = {number[id(s)]: Quantity(float(s.value), s.dimension.si) for s in steps if not _runs(s)}
    lines = [_line(s, number) for s in steps if _runs(s)]
    own = [np.broadcast_to(r.check.margin, r.codes.shape)[p, c, 0] for r in modes]
    return Row(lines, start, [number[id(origin(check.margin))] for check in wanted]), [float(v) for v in own]


def _gather(step: Step | None, found: list[Step]) -> None:
    """The steps a value stands on, each after what it needs."""
    if step is None or any(step is s for s in found):
        return
    for _, _, source in step.arguments if _runs(step) else ():
        _gather(source, found)
    found.append(step)


def _runs(step: Step) -> bool:
    return step.kind in ("formula", "total", "governs")


def _line(step: Step, number: Mapping[int, int]) -> Line:
    arguments = tuple((None, value) if source is None else (number[id(source)], None)
                      for _, value, source in step.arguments)
    values = [value if source is None else Quantity(float(value), source.dimension.si)
              for _, value, source in step.arguments]
    return Line(number[id(step)], _carrying_units(step, values), arguments)


def _carrying_units(step: Step, values: list[Any]) -> Callable[..., Any]:
    """The formula itself where it can be run on quantities, else on plain numbers with the unit put back."""
    run = _function(step)
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")
        try:
            result = run(*values)
            if _equal(Quantity(result).to(step.dimension.si).magnitude, step.value):
                return run
        except Exception:  # whatever a quantity cannot do inside this formula
            pass
    unit = step.dimension.si
    return lambda *quantities: Quantity(run(*map(plain, quantities)), unit)


def _function(step: Step) -> Callable[..., Any]:
    if step.formula is not None:
        return step.formula.function
    if step.kind == "total":
        return lambda *terms: sum(terms[1:], terms[0])
    choose = np.maximum if step.detail["pick"] == "largest" else np.minimum
    return lambda *values: functools.reduce(choose, values)


def _equal(a: Any, b: Any) -> bool:
    return bool(np.isclose(float(a), float(b), rtol=1e-9, atol=0.0, equal_nan=True))
