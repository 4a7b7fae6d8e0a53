"""A formula's own syntax tree as one line of text, with symbols or with numbers put in.

The numbers follow one rule, so that the printed arithmetic adds up: each number stands in the unit
it is shown in, with its unit beside it, and with as many digits (five or more) as it takes for the
line to give the printed result when it is worked out again.
"""

from __future__ import annotations

import ast
import math
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import Any

import numpy as np

from layshaft.trace.formula import FormulaInfo, Step
from layshaft.trace.units import COUNT, Dimension, figure

DIGITS = (5, 6, 7, 9, 12, 15)
AGREES = 2e-4
"""Relative difference up to which worked-out and printed result read the same in four digits."""

UNIT_CONSTANTS = {
    "INCH": "1 in", "FOOT": "1 ft", "POUND": "1 lb", "POUND_FORCE": "1 lbf", "HORSEPOWER": "1 hp",
    "REV_PER_MIN": "1 rev/min", "DEGREE": "1 deg", "MM": "1 mm", "MPA": "1 MPa", "MEGAPASCAL": "1 MPa",
    "PSI": "1 psi", "KPSI": "1 kpsi", "KILOWATT": "1 kW", "KILONEWTON": "1 kN", "HOUR": "1 h",
    "STANDARD_GRAVITY": "9.80665 m/s2",
}
"""What a module constant with a unit is printed as; any other is printed as its number."""

SCALES = ("GIGA", "MEGA", "KILO", "MILLI", "MICRO")

FUNCTIONS = {
    "minimum": "min", "maximum": "max", "log": "ln", "arctan": "atan", "arctan2": "atan2",
    "arcsin": "asin", "arccos": "acos", "nan": "unknown", "inf": "∞", "pi": "π", "absolute": "abs",
}

_SIGN = {ast.Add: " + ", ast.Sub: " - ", ast.Mult: "·", ast.Div: "/", ast.FloorDiv: "//",
         ast.Mod: " mod ", ast.Pow: "^", ast.BitAnd: " and ", ast.BitOr: " or "}
_COMPARE = {ast.Lt: "<", ast.LtE: "<=", ast.Gt: ">", ast.GtE: ">=", ast.Eq: "==", ast.NotEq: "!="}
_RANK = {ast.BitOr: 1, ast.BitAnd: 2, ast.Add: 4, ast.Sub: 4, ast.Mult: 5, ast.Div: 5,
         ast.FloorDiv: 5, ast.Mod: 5, ast.Pow: 7}
_LOGIC = {"logical_and": " and ", "logical_or": " or "}
_ATOM, _UNARY, _COMPARISON = 9, 6, 3


@dataclass(frozen=True, slots=True)
class _Piece:
    """Text with the rank of its outermost operator, for brackets."""

    text: str
    rank: int = _ATOM

    def at(self, rank: int) -> str:
        return self.text if self.rank >= rank else f"({self.text})"


Leaf = Callable[[str], _Piece]


class _Writer:
    """Writes an expression; `leaf` says what stands for a name."""

    def __init__(self, leaf: Leaf) -> None:
        self.leaf = leaf

    def write(self, node: ast.expr) -> _Piece:
        writer: Callable[[Any], _Piece] | None = getattr(self, f"_{type(node).__name__.lower()}", None)
        return writer(node) if writer else _Piece(ast.unparse(node), 0)

    def _constant(self, node: ast.Constant) -> _Piece:
        value = node.value
        if isinstance(value, float) and value.is_integer() and abs(value) < 1e7:
            return _Piece(f"{value:.0f}")
        return _Piece(repr(value))

    def _name(self, node: ast.Name) -> _Piece:
        return self.leaf(node.id)

    def _attribute(self, node: ast.Attribute) -> _Piece:
        return _Piece(FUNCTIONS.get(node.attr, node.attr))

    def _binop(self, node: ast.BinOp) -> _Piece:
        rank = _RANK[type(node.op)]
        left, right = self.write(node.left), self.write(node.right)
        if isinstance(node.op, ast.Pow):
            return _Piece(f"{left.at(rank + 1)}^{right.at(_ATOM)}", rank)
        after = rank + 1 if isinstance(node.op, ast.Sub | ast.Div | ast.FloorDiv | ast.Mod) else rank
        return _Piece(f"{left.at(rank)}{_SIGN[type(node.op)]}{right.at(after)}", rank)

    def _unaryop(self, node: ast.UnaryOp) -> _Piece:
        if isinstance(node.op, ast.Invert | ast.Not):
            return _Piece(f"not {self.write(node.operand).at(_COMPARISON)}", 2)
        sign = "-" if isinstance(node.op, ast.USub) else "+"
        return _Piece(f"{sign}{self.write(node.operand).at(5)}", 4)

    def _compare(self, node: ast.Compare) -> _Piece:
        text = self.write(node.left).at(_COMPARISON + 1)
        for op, right in zip(node.ops, node.comparators, strict=True):
            text += f" {_COMPARE[type(op)]} {self.write(right).at(_COMPARISON + 1)}"
        return _Piece(text, _COMPARISON)

    def _call(self, node: ast.Call) -> _Piece:
        name = called(node)
        parts = [self.write(a) for a in node.args]
        if name == "where":
            test, yes, no = (p.at(1) for p in parts)
            return _Piece(f"{yes} if {test} else {no}", 0)
        if name in _LOGIC:
            return _Piece(_LOGIC[name].join(p.at(_COMPARISON) for p in parts), 1)
        if name == "logical_not":
            return _Piece(f"not {parts[0].at(_COMPARISON)}", 2)
        return _Piece(f"{FUNCTIONS.get(name, name)}({', '.join(p.text for p in parts)})")


def called(node: ast.Call) -> str:
    """Name of the called function: ``sqrt`` for ``np.sqrt(...)``."""
    return node.func.attr if isinstance(node.func, ast.Attribute) else ast.unparse(node.func)


def begins_with_number(node: ast.expr, names: Mapping[str, str]) -> bool:
    """Whether the typeset expression starts with a digit: a number set before it needs a sign between them."""
    if isinstance(node, ast.BinOp):
        brackets = isinstance(node.op, ast.Add | ast.Sub | ast.BitAnd | ast.BitOr)
        return not brackets and begins_with_number(node.left, names)
    if isinstance(node, ast.Name):
        name = names.get(node.id, node.id)
        return UNIT_CONSTANTS.get(name, name)[:1].isdigit()
    return isinstance(node, ast.Constant)


def callers_symbols(step: Step) -> dict[str, str]:
    """Each parameter with the symbol its value has on the sheet."""
    return {name: origin.symbol if origin else name for name, _, origin in step.arguments}


def info_text(info: FormulaInfo) -> str:
    """The formula with the symbols of its own parameters."""
    return _Writer(_Piece).write(info.expression).text


def formula_text(step: Step) -> str:
    """The executed expression with the caller's symbols; for a sum or a choice, its terms."""
    names = callers_symbols(step)
    if step.formula is not None:
        return _Writer(lambda n: _Piece(names.get(n, n))).write(step.formula.expression).text
    terms = [n if s == n or not s else f"{s} ({n})" for n, s in names.items()]
    if step.kind == "total":
        return " + ".join(terms) or "0"
    return f"{step.detail['pick']} of {', '.join(terms)}" if step.kind == "governs" else ""


def with_numbers(step: Step) -> str:
    """The same line with the numbers put in, each in its shown unit."""
    if step.formula is not None:
        return _numbers_in(step.formula, step)
    values = [quantity_text(v, step.dimension) for _, v, _ in step.arguments]
    if step.kind == "total":
        return " + ".join(f"({v})" if v.startswith("-") else v for v in values) or "0"
    if step.kind == "governs":
        return f"{'max' if step.detail['pick'] == 'largest' else 'min'}({', '.join(values)})"
    return ""


def nominal(value: Any) -> float:
    """The number itself; the middle of the known samples of an array."""
    array = np.asarray(value, dtype=float)
    known = array[np.isfinite(array)]
    return float(array) if array.ndim == 0 else float(np.median(known)) if known.size else math.nan


def quantity_text(value: Any, dimension: Dimension, digits: int = DIGITS[0]) -> str:
    """A number in its shown unit, with trailing zeros dropped."""
    number = nominal(value)
    if dimension is COUNT and number.is_integer():
        return f"{number:.0f}"
    unit = dimension.best_unit(number)
    if number and math.isfinite(number):
        text = figure(float(f"{number / dimension.units[unit]:.{digits}g}"), digits)
    else:
        text = figure(number, digits)
    if "." in text and "e" not in text:
        text = text.rstrip("0").rstrip(".")
    return f"{text} {unit}".rstrip() if math.isfinite(number) else text


def _rounded(value: float, dimension: Dimension, digits: int) -> float:
    if not math.isfinite(value):
        return value
    size = dimension.units[dimension.best_unit(value)]
    return float(f"{value / size:.{digits}g}") * size


def _numbers_in(info: FormulaInfo, step: Step) -> str:
    values = {name: nominal(v) for name, v, _ in step.arguments}
    dimensions = info.dimensions | {n: o.dimension for n, _, o in step.arguments if o}
    digits = _enough_digits(info, values, dimensions, step)
    written = {n: quantity_text(v, dimensions[n], digits) for n, v in values.items()}
    constants = info.function.__globals__
    beside = _beside_a_quantity(info.expression, dimensions)
    written |= {n: quantity_text(constants[n], d, 10) for n, d in beside.items()
                if n not in UNIT_CONSTANTS and isinstance(constants.get(n), float | int)}

    def leaf(name: str) -> _Piece:
        text = written.get(name) or constant_text(name, constants)
        if text.startswith("-"):
            return _Piece(text, 4)
        return _Piece(text, 4 if "/" in text else 5 if " " in text else _ATOM)

    return _Writer(leaf).write(info.expression).text


def _beside_a_quantity(tree: ast.expr, dimensions: Mapping[str, Dimension]) -> dict[str, Dimension]:
    """Constants added to, compared with or set as the limit of a parameter: they share its unit.

    A power of ten that a parameter is divided by stands for a unit too (``R_m / MEGA``).
    """
    found: dict[str, Dimension] = {}
    for node in ast.walk(tree):
        together: list[ast.expr] = []
        if isinstance(node, ast.BinOp) and isinstance(node.op, ast.Add | ast.Sub):
            together = [node.left, node.right]
        elif isinstance(node, ast.BinOp) and isinstance(node.op, ast.Div):
            together = [node.left, node.right] if getattr(node.right, "id", "") in SCALES else []
        elif isinstance(node, ast.Compare):
            together = [node.left, *node.comparators]
        elif isinstance(node, ast.Call) and called(node) in ("minimum", "maximum"):
            together = node.args
        names = [n.id for n in together if isinstance(n, ast.Name)]
        known = [dimensions[n] for n in names if n in dimensions and dimensions[n].shown[0]]
        if known:
            found |= {n: known[0] for n in names if n not in dimensions}
    return found


def constant_text(name: str, constants: Mapping[str, Any]) -> str:
    """A module constant as it is printed among the numbers."""
    if name in UNIT_CONSTANTS and isinstance(constants.get(name), float | int):
        return UNIT_CONSTANTS[name]
    value = constants.get(name)
    return f"{value:.10g}" if isinstance(value, float | int) else name


def _enough_digits(
    info: FormulaInfo, values: Mapping[str, float], dimensions: Mapping[str, Dimension], step: Step
) -> int:
    with np.errstate(all="ignore"):
        wanted = nominal(info.function(**values))
        for digits in DIGITS:
            put_in = {n: _rounded(v, dimensions[n], digits) for n, v in values.items()}
            got = nominal(info.function(**put_in))
            scale = max(abs(wanted), 1e-12) if step.kind != "equation" else math.inf
            if abs(got - wanted) <= AGREES / 4 * scale or math.isnan(wanted):
                return digits
    return DIGITS[-1]
