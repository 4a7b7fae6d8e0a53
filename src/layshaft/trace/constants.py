"""Named constants in formulas, with the words that stand below each in its module."""

from __future__ import annotations

import ast
import functools
import inspect
import itertools
import sys
from collections.abc import Mapping

from layshaft.trace.formula import FormulaInfo, Trace
from layshaft.trace.text import SCALES, UNIT_CONSTANTS, constant_text


def constants_of(info: FormulaInfo) -> dict[str, str]:
    """Names in the expression that are numbers of the module and no units, each with its number and what it is for."""
    scope = info.function.__globals__
    names = dict.fromkeys(n.id for n in ast.walk(info.expression) if isinstance(n, ast.Name))
    found = {name: f"{name} = {constant_text(name, scope)}" for name in names
             if name not in info.parameters and name not in UNIT_CONSTANTS and name not in SCALES
             and isinstance(scope.get(name), float | int)}
    return {name: f"{text}. {words}" if (words := words_of(info.function.__module__, name)) else text
            for name, text in found.items()}


def constants_in(trace: Trace, *, typeset: bool = False) -> list[str]:
    """Every named constant the formulas of a sheet use, each once; `typeset`: under the name it has there."""
    found: dict[str, None] = {}
    for step in trace.steps:
        for name, text in (constants_of(step.formula) if step.formula is not None else {}).items():
            found[text.replace(name, name.replace("_", " ").lower(), 1) if typeset else text] = None
    return list(found)


def words_of(module: str, name: str) -> str:
    """The sentence below a constant where it is set, here or in the module it is taken from; blank if none."""
    home = _imported(module).get(name)
    return words_of(home, name) if home else _words(module).get(name, "")


@functools.cache
def _imported(module: str) -> Mapping[str, str]:
    """Names a module takes from another one under the same name, with that module."""
    return {alias.name: node.module for node in _tree(module).body
            if isinstance(node, ast.ImportFrom) and node.module and node.module.startswith("layshaft")
            for alias in node.names if alias.asname in (None, alias.name)}


@functools.cache
def _words(module: str) -> Mapping[str, str]:
    """What stands below each constant of a module, on one line."""
    body = _tree(module).body
    found: dict[str, str] = {}
    for node, below in itertools.pairwise(body):
        if isinstance(node, ast.Assign | ast.AnnAssign) and isinstance(below, ast.Expr) and isinstance(
                below.value, ast.Constant) and isinstance(below.value.value, str):
            targets = node.targets if isinstance(node, ast.Assign) else [node.target]
            text = " ".join(below.value.value.split())
            found |= {t.id: text for t in targets if isinstance(t, ast.Name)}
    return found


@functools.cache
def _tree(module: str) -> ast.Module:
    return ast.parse(inspect.getsource(sys.modules[module]))
