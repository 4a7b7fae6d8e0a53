"""A formula's own syntax tree as MathML, which browsers set without any script."""

from __future__ import annotations

import ast
from collections.abc import Callable, Mapping
from html import escape
from typing import Any

from layshaft.trace.formula import FormulaInfo, Step
from layshaft.trace.text import UNIT_CONSTANTS, begins_with_number, called, callers_symbols

GREEK = {
    "alpha": "α", "beta": "β", "gamma": "γ", "delta": "δ", "epsilon": "ε", "eps": "ε", "zeta": "ζ",
    "eta": "η", "theta": "θ", "kappa": "κ", "lambda": "λ", "lamda": "λ", "mu": "μ", "nu": "ν",
    "xi": "ξ", "pi": "π", "rho": "ρ", "sigma": "σ", "tau": "τ", "phi": "φ", "chi": "χ",
    "psi": "ψ", "omega": "ω", "Gamma": "Γ", "Delta": "Δ", "Theta": "Θ", "Lambda": "Λ", "Sigma": "Σ",
    "Phi": "Φ", "Psi": "Ψ", "Omega": "Ω",
}
NAMES = {"arctan": "arctan", "arcsin": "arcsin", "arccos": "arccos", "minimum": "min", "maximum": "max",
         "log": "ln", "arctan2": "atan2"}
_COMPARE = {ast.Lt: "&lt;", ast.LtE: "≤", ast.Gt: "&gt;", ast.GtE: "≥", ast.Eq: "=", ast.NotEq: "≠"}
_RANK = {ast.BitOr: 1, ast.BitAnd: 2, ast.Add: 4, ast.Sub: 4, ast.Mult: 5, ast.Div: 9, ast.Pow: 7}
_SIGN = {ast.Add: "+", ast.Sub: "−", ast.BitAnd: "&#xa0;and&#xa0;", ast.BitOr: "&#xa0;or&#xa0;",
         ast.Mod: "mod"}
_LOGIC = {"logical_and": "and", "logical_or": "or"}
_ATOM, _COMPARISON = 9, 3

Piece = tuple[str, int]
WIDE = 100
"""Letters of an expression above which it is printed smaller on paper."""



def formula_mathml(of: FormulaInfo | Step) -> str:
    """``<math>`` of a formula with its own symbols, or of a step with the caller's symbols.

    Empty for a step without a formula.
    """
    info = of if isinstance(of, FormulaInfo) else of.formula
    if info is None:
        return ""
    names = {} if isinstance(of, FormulaInfo) else callers_symbols(of)
    left = "<mn>0</mn>" if isinstance(of, Step) and of.kind == "equation" else symbol_mathml(of.symbol)
    right = _Typesetter(names).write(info.expression)[0]
    wide = ' class="wide"' if len(ast.unparse(info.expression)) > WIDE else ""
    return f'<math display="block"{wide}><mrow>{left}<mo>=</mo>{right}</mrow></math>'


def symbol_mathml(symbol: str) -> str:
    """``F_t`` as F with index t, ``sigma_b`` as σ with index b; a text stays a text."""
    parts = [p for p in symbol.split("_") if p]
    if not parts or not symbol.replace("_", "").isalnum():
        return f"<mtext>{escape(symbol)}</mtext>"
    base = f"<mi>{escape(GREEK.get(parts[0], parts[0]))}</mi>"
    if len(parts) == 1:
        return base
    index = ",".join(GREEK.get(p, p) for p in parts[1:])
    return f"<msub>{base}<mtext>{escape(index)}</mtext></msub>"


def number_mathml(value: Any) -> str:
    """A number as it stands in the code, powers of ten set as powers."""
    text = repr(value)
    if isinstance(value, float) and value.is_integer() and abs(value) < 1e7:
        text = f"{value:.0f}"
    if "e" not in text:
        return f"<mn>{escape(text)}</mn>"
    head, power = text.split("e")
    ten = f"<msup><mn>10</mn><mn>{int(power)}</mn></msup>"
    return ten if head == "1" else f"<mrow><mn>{head}</mn><mo>·</mo>{ten}</mrow>"


class _Typesetter:
    """Sets an expression; every method gives the markup and the rank of its outermost operator."""

    def __init__(self, names: Mapping[str, str]) -> None:
        self.names = names

    def write(self, node: ast.expr) -> Piece:
        writer: Callable[[Any], Piece] | None = getattr(self, f"_{type(node).__name__.lower()}", None)
        return writer(node) if writer else (f"<mtext>{escape(ast.unparse(node))}</mtext>", _ATOM)

    def _at(self, node: ast.expr, rank: int) -> str:
        text, own = self.write(node)
        return text if own >= rank else _bracketed(text)

    def _constant(self, node: ast.Constant) -> Piece:
        return number_mathml(node.value), _ATOM

    def _name(self, node: ast.Name) -> Piece:
        name = self.names.get(node.id, node.id)
        is_constant = name.isupper() and len(name) > 2 and "_" not in name[:2]
        if is_constant:
            words = UNIT_CONSTANTS.get(name, name.lower().replace("_", " "))
            return f"<mtext>{escape(words)}</mtext>", _ATOM
        return symbol_mathml(name), _ATOM

    def _attribute(self, node: ast.Attribute) -> Piece:
        constants = {"nan": "<mtext>unknown</mtext>", "inf": "<mi>∞</mi>"}
        return constants.get(node.attr, symbol_mathml(node.attr)), _ATOM

    def _binop(self, node: ast.BinOp) -> Piece:
        rank = _RANK.get(type(node.op), 5)
        if isinstance(node.op, ast.Div):
            over, under = self.write(node.left)[0], self.write(node.right)[0]
            return f"<mfrac><mrow>{over}</mrow><mrow>{under}</mrow></mfrac>", 6
        if isinstance(node.op, ast.Pow):
            base, power = self._at(node.left, _ATOM), self.write(node.right)[0]
            return f"<msup><mrow>{base}</mrow><mrow>{power}</mrow></msup>", rank
        if isinstance(node.op, ast.Mult):
            unseen = isinstance(node.left, ast.Constant) and not begins_with_number(node.right, self.names)
            sign = "<mo>&#x2062;</mo>" if unseen else "<mo>⋅</mo>"
            return f"<mrow>{self._at(node.left, rank)}{sign}{self._at(node.right, rank)}</mrow>", rank
        after = rank + 1 if isinstance(node.op, ast.Sub) else rank
        sign = f"<mo>{_SIGN.get(type(node.op), '?')}</mo>"
        return f"<mrow>{self._at(node.left, rank)}{sign}{self._at(node.right, after)}</mrow>", rank

    def _unaryop(self, node: ast.UnaryOp) -> Piece:
        if isinstance(node.op, ast.Invert | ast.Not):
            return f"<mrow><mtext>not&#xa0;</mtext>{self._at(node.operand, _COMPARISON)}</mrow>", 2
        sign = "−" if isinstance(node.op, ast.USub) else "+"
        return f"<mrow><mo>{sign}</mo>{self._at(node.operand, 5)}</mrow>", 4

    def _compare(self, node: ast.Compare) -> Piece:
        text = self._at(node.left, _COMPARISON + 1)
        for op, right in zip(node.ops, node.comparators, strict=True):
            text += f"<mo>{_COMPARE[type(op)]}</mo>{self._at(right, _COMPARISON + 1)}"
        return f"<mrow>{text}</mrow>", _COMPARISON

    def _call(self, node: ast.Call) -> Piece:
        name = called(node)
        if name == "where":
            return self._cases(node), _ATOM
        if name in _LOGIC:
            sign = f"<mtext>&#xa0;{_LOGIC[name]}&#xa0;</mtext>"
            return f"<mrow>{sign.join(self._at(a, _COMPARISON) for a in node.args)}</mrow>", 1
        if name == "logical_not":
            return f"<mrow><mtext>not&#xa0;</mtext>{self._at(node.args[0], _COMPARISON)}</mrow>", 2
        inner = [self.write(a)[0] for a in node.args]
        if name == "sqrt":
            return f"<msqrt>{inner[0]}</msqrt>", _ATOM
        if name == "cbrt":
            return f"<mroot><mrow>{inner[0]}</mrow><mn>3</mn></mroot>", _ATOM
        if name == "hypot":
            squares = "<mo>+</mo>".join(f"<msup>{self._at(a, _ATOM)}<mn>2</mn></msup>" for a in node.args)
            return f"<msqrt><mrow>{squares}</mrow></msqrt>", _ATOM
        if name in ("abs", "absolute"):
            return f"<mrow><mo>|</mo>{inner[0]}<mo>|</mo></mrow>", _ATOM
        head = f"<mi>{escape(NAMES.get(name, name))}</mi><mo>&#x2061;</mo>"
        return f"<mrow>{head}{_bracketed('<mo>,</mo>'.join(inner))}</mrow>", _ATOM

    def _cases(self, node: ast.Call) -> str:
        rows = []
        while True:
            test, yes, no = node.args
            rows.append((self.write(yes)[0], f"<mtext>if&#xa0;</mtext>{self.write(test)[0]}"))
            if not (isinstance(no, ast.Call) and called(no) == "where"):
                break
            node = no
        rows.append((self.write(no)[0], "<mtext>else</mtext>"))
        cells = "".join(f"<mtr><mtd>{value}</mtd><mtd>{when}</mtd></mtr>" for value, when in rows)
        return f"<mrow><mo>{{</mo><mtable>{cells}</mtable></mrow>"


def _bracketed(text: str) -> str:
    return f"<mrow><mo>(</mo>{text}<mo>)</mo></mrow>"
