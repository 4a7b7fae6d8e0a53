"""Whole numbers in formulas: how near the next one is that is worse, and what the result would be with it."""

from __future__ import annotations

import ast
import functools
import math
import types
from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

import numpy as np

from layshaft.trace.formula import FormulaInfo, Step, Trace, returned_expression
from layshaft.trace.text import called, nominal
from layshaft.trace.units import figure

DOWN, UP = "floor", "ceil"
ROUNDING = 1e-6
"""A number this near to a whole one stands at its very edge."""


@dataclass(frozen=True, slots=True)
class Whole:
    """A step that counts whole: what it would be if it did not, and the next number below (or above, if rounded up)."""

    step: Step
    exact: float
    beyond: float

    @property
    def spare(self) -> float:
        """How far the unrounded number is from where the next one counts."""
        return abs(self.exact - nominal(self.step.value))

    def __str__(self) -> str:
        less = "less" if self.beyond < nominal(self.step.value) else "more"
        by = figure(self.spare, 2) if self.spare > ROUNDING else "the least bit"
        return (f"{figure(self.exact, 5)} counts as {nominal(self.step.value):.10g}; with {by} {less} it would be "
                f"{self.beyond:.10g}")


class _Numbers:
    """numpy with other ways to round."""

    def __init__(self, **instead: Any) -> None:
        self.instead = instead

    def __getattr__(self, name: str) -> Any:
        return self.instead.get(name) or getattr(np, name)


def counts_whole(info: FormulaInfo) -> bool:
    """True where a formula rounds down or up."""
    return _rounds(info.function)


@functools.cache
def _rounds(function: Callable[..., Any]) -> bool:
    return any(isinstance(n, ast.Call) and called(n) in (DOWN, UP) for n in ast.walk(returned_expression(function)))


def whole(step: Step) -> Whole | None:
    """What a step counts whole; None for one that does not, or whose number is not known."""
    if step.kind != "formula" or step.formula is None or not counts_whole(step.formula):
        return None
    values = [nominal(v) for _, v, _ in step.arguments]
    exact = _worked_out(step.formula, values, floor=lambda x: x, ceil=lambda x: x)
    beyond = _worked_out(step.formula, values, floor=lambda x: np.floor(x) - 1, ceil=lambda x: np.ceil(x) + 1)
    return Whole(step, exact, beyond) if math.isfinite(exact) and math.isfinite(beyond) else None


def _worked_out(info: FormulaInfo, values: list[float], **instead: Any) -> float:
    scope = {**info.function.__globals__, "np": _Numbers(**instead)}
    with np.errstate(all="ignore"):
        return float(types.FunctionType(info.function.__code__, scope)(*map(np.float64, values)))


def replayed(trace: Trace, change: Step, value: float, wanted: Step) -> float:
    """What a step of the sheet would be if another one had this value; unknown beyond what formulas alone say."""
    now: dict[int, float] = {id(change): value}
    for step in trace.steps:
        if id(step) in now or not any(id(o) in now for _, _, o in step.arguments if o is not None):
            continue
        values = [now.get(id(o), nominal(v)) if o is not None else nominal(v) for _, v, o in step.arguments]
        now[id(step)] = _again(step, values)
    return now.get(id(wanted), nominal(wanted.value))


def _again(step: Step, values: list[float]) -> float:
    with np.errstate(all="ignore"):
        if step.kind == "formula" and step.formula is not None:
            return float(step.formula.function(*map(np.float64, values)))
        if step.kind == "total":
            return float(sum(values))
        if step.kind == "governs":
            return float((np.max if step.detail["pick"] == "largest" else np.min)(values))
    return math.nan
