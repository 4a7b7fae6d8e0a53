"""A formula's own syntax tree in the mathematics of typst, for sheets on paper."""

from __future__ import annotations

import ast
from collections.abc import Callable, Mapping
from typing import Any

from layshaft.trace.formula import FormulaInfo, Step
from layshaft.trace.mathml import GREEK, NAMES
from layshaft.trace.text import UNIT_CONSTANTS, begins_with_number, called, callers_symbols

OPERATORS = {"arccos", "arcsin", "arctan", "cos", "cosh", "exp", "ln", "log", "max", "min", "sin", "sinh", "tan",
             "tanh"}
"""Functions the typesetter sets upright by itself."""

_COMPARE = {ast.Lt: "<", ast.LtE: "≤", ast.Gt: ">", ast.GtE: "≥", ast.Eq: "=", ast.NotEq: "≠"}
_RANK = {ast.BitOr: 1, ast.BitAnd: 2, ast.Add: 4, ast.Sub: 4, ast.Mult: 5, ast.Div: 9, ast.Pow: 7}
_SIGN = {ast.Add: "+", ast.Sub: "-", ast.BitAnd: '" and "', ast.BitOr: '" or "', ast.Mod: '" mod "'}
_LOGIC = {"logical_and": '" and "', "logical_or": '" or "'}
_ATOM, _COMPARISON = 9, 3

Piece = tuple[str, int]


def formula_typst(of: FormulaInfo | Step) -> str:
    """A formula with its own symbols, or of a step with the caller's symbols; blank for a step without one."""
    info = of if isinstance(of, FormulaInfo) else of.formula
    if info is None:
        return ""
    names = {} if isinstance(of, FormulaInfo) else callers_symbols(of)
    left = "0" if isinstance(of, Step) and of.kind == "equation" else symbol_typst(of.symbol)
    return f"{left} = {_Typesetter(names).write(info.expression)[0]}"


def quoted(text: str) -> str:
    """A text among mathematics: nothing in it can end it."""
    return '"' + text.replace("\\", "\\\\").replace('"', '\\"') + '"'


def symbol_typst(symbol: str) -> str:
    """``F_t`` as F with index t, ``sigma_b`` as σ with index b; a text stays a text."""
    parts = [p for p in symbol.split("_") if p]
    if not parts or not symbol.replace("_", "").isalnum():
        return quoted(symbol)
    letter = GREEK.get(parts[0], parts[0])
    base = letter if len(letter) == 1 and letter.isalpha() else quoted(letter)
    if len(parts) == 1:
        return base
    return f"{base}_{quoted(','.join(GREEK.get(p, p) for p in parts[1:]))}"


def number_typst(value: Any) -> str:
    """A number as it stands in the code, powers of ten set as powers."""
    text = repr(value)
    if isinstance(value, float) and value.is_integer() and abs(value) < 1e7:
        text = f"{value:.0f}"
    if "e" not in text:
        return text if text.replace(".", "").isdecimal() else quoted(text)
    head, power = text.split("e")
    return f"10^({int(power)})" if head == "1" else f"{head} dot 10^({int(power)})"


class _Typesetter:
    """Sets an expression; every method gives the text and the rank of its outermost operator."""

    def __init__(self, names: Mapping[str, str]) -> None:
        self.names = names

    def write(self, node: ast.expr) -> Piece:
        writer: Callable[[Any], Piece] | None = getattr(self, f"_{type(node).__name__.lower()}", None)
        return writer(node) if writer else (quoted(ast.unparse(node)), _ATOM)

    def _at(self, node: ast.expr, rank: int) -> str:
        text, own = self.write(node)
        return text if own >= rank else f"({text})"

    def _constant(self, node: ast.Constant) -> Piece:
        return number_typst(node.value), _ATOM

    def _name(self, node: ast.Name) -> Piece:
        name = self.names.get(node.id, node.id)
        if name.isupper() and len(name) > 2 and "_" not in name[:2]:
            return quoted(UNIT_CONSTANTS.get(name, name.lower().replace("_", " "))), _ATOM
        return symbol_typst(name), _ATOM

    def _attribute(self, node: ast.Attribute) -> Piece:
        return {"nan": '"unknown"', "inf": "∞"}.get(node.attr, symbol_typst(node.attr)), _ATOM

    def _binop(self, node: ast.BinOp) -> Piece:
        rank = _RANK.get(type(node.op), 5)
        if isinstance(node.op, ast.Div):
            return f"frac({self.write(node.left)[0]}, {self.write(node.right)[0]})", 6
        if isinstance(node.op, ast.Pow):
            return f"{self._at(node.left, _ATOM)}^({self.write(node.right)[0]})", rank
        if isinstance(node.op, ast.Mult):
            unseen = isinstance(node.left, ast.Constant) and not begins_with_number(node.right, self.names)
            sign = " thin " if unseen else " dot "
            return f"{self._at(node.left, rank)}{sign}{self._at(node.right, rank)}", rank
        after = rank + 1 if isinstance(node.op, ast.Sub) else rank
        return f"{self._at(node.left, rank)} {_SIGN.get(type(node.op), '?')} {self._at(node.right, after)}", rank

    def _unaryop(self, node: ast.UnaryOp) -> Piece:
        if isinstance(node.op, ast.Invert | ast.Not):
            return f'"not " {self._at(node.operand, _COMPARISON)}', 2
        return f"{'-' if isinstance(node.op, ast.USub) else '+'} {self._at(node.operand, 5)}", 4

    def _compare(self, node: ast.Compare) -> Piece:
        text = self._at(node.left, _COMPARISON + 1)
        for op, right in zip(node.ops, node.comparators, strict=True):
            text += f" {_COMPARE[type(op)]} {self._at(right, _COMPARISON + 1)}"
        return text, _COMPARISON

    def _call(self, node: ast.Call) -> Piece:
        name = called(node)
        if name == "where":
            return self._cases(node), _ATOM
        if name in _LOGIC:
            return f" {_LOGIC[name]} ".join(self._at(a, _COMPARISON) for a in node.args), 1
        if name == "logical_not":
            return f'"not " {self._at(node.args[0], _COMPARISON)}', 2
        inner = [self.write(a)[0] for a in node.args]
        if name == "sqrt":
            return f"sqrt({inner[0]})", _ATOM
        if name in ("abs", "absolute"):
            return f"abs({inner[0]})", _ATOM
        if name == "hypot":
            return f"sqrt({' + '.join(f'{self._at(a, _ATOM)}^2' for a in node.args)})", _ATOM
        said = NAMES.get(name, name)
        if name == "cbrt":
            return f"root(3, {inner[0]})", _ATOM
        head = said if said in OPERATORS else f"op({quoted(said)})"
        return f"{head} ({', '.join(inner)})", _ATOM

    def _cases(self, node: ast.Call) -> str:
        rows = []
        while True:
            test, yes, no = node.args
            rows.append(f'{self.write(yes)[0]} & "if " {self.write(test)[0]}')
            if not (isinstance(no, ast.Call) and called(no) == "where"):
                break
            node = no
        rows.append(f'{self.write(no)[0]} & "else"')
        return f"cases({', '.join(rows)})"
