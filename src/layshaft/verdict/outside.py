"""Where a method ends: which of its bounds a row is beyond, with both numbers: one sees what would bring it in."""

from __future__ import annotations

import ast
import operator
from collections.abc import Iterator
from typing import Any

import numpy as np

from layshaft.trace.formula import FormulaInfo, Step
from layshaft.trace.units import shown

HOLDS = {ast.Lt: (operator.lt, "less than"), ast.LtE: (operator.le, "at most"),
         ast.Gt: (operator.gt, "more than"), ast.GtE: (operator.ge, "at least")}


def beyond(leaf: Step, row: int, case: int) -> str:
    """What the formula says of its own range, and every bound between two of its inputs that is not kept here."""
    assert leaf.formula is not None
    broken = list(_broken(leaf, leaf.formula, row, case))
    return leaf.formula.outside + (f": {'; '.join(broken)}" if broken else "")


def _broken(leaf: Step, formula: FormulaInfo, row: int, case: int) -> Iterator[str]:
    given = {name: (entry(value, row, case), source) for name, value, source in leaf.arguments}
    for node in ast.walk(formula.expression):
        if not isinstance(node, ast.Compare) or len(node.ops) != 1 or type(node.ops[0]) not in HOLDS:
            continue
        ends = (node.left, node.comparators[0])
        names = [end.id for end in ends if isinstance(end, ast.Name) and end.id in given]
        if len(names) != len(ends):
            continue
        (low, _), (high, _) = (given[name] for name in names)
        kept, words = HOLDS[type(node.ops[0])]
        if np.isfinite([low, high]).all() and not kept(low, high):
            yield f"{_called(formula, names[0], given)} is {_told(formula, names[0], low)}, and must be {words} " \
                  f"{_told(formula, names[1], high)}"


def _called(formula: FormulaInfo, name: str, given: dict[str, Any]) -> str:
    source = given[name][1]
    return formula.where.get(name) or (source.meaning if source is not None else name)


def _told(formula: FormulaInfo, name: str, value: float) -> str:
    return shown(value, formula.dimensions[name])


def entry(value: Any, row: int, case: int) -> float:
    """One entry of a value that broadcasts to (rows, cases, samples), in the first sample."""
    array = np.asarray(value, dtype=float)
    if array.ndim:
        array = array[row if len(array) > 1 else 0, case if array.shape[1] > 1 else 0, 0]
    return float(array)
