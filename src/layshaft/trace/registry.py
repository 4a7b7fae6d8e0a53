"""The registry of formulas: load every room, find what a parameter means, who uses a formula.

Read by the formulary, the reference pages, forms and house-rule tests; nothing computed may depend
on it, and rating a machine never loads it.
"""

from __future__ import annotations

import ast
import functools
import importlib
import inspect
import pkgutil
import sys
from collections.abc import Iterator
from types import ModuleType

from layshaft.trace.choices import Choices
from layshaft.trace.formula import REGISTRY, FormulaInfo
from layshaft.trace.inputs import Inputs

FLOORS = ("layshaft.elements", "layshaft.mechanics")
_STEPS = {"named": 2, "given": 1, "looked_up": 1, "chosen": 1, "total": 1, "governs": 1, "equation": 1}
"""Position of the meaning among the arguments of each step that gives a symbol."""


@functools.cache
def load_all() -> dict[str, FormulaInfo]:
    """Import every room of the house and give all formulas by name, in order of name."""
    for floor in FLOORS:
        package = importlib.import_module(floor)
        for found in pkgutil.walk_packages(package.__path__, f"{floor}."):
            importlib.import_module(found.name)
    ours = {n: i for n, i in REGISTRY.items() if i.function.__module__.startswith(FLOORS)}
    return dict(sorted(ours.items()))


@functools.cache
def load_choices() -> dict[str, Choices]:
    """Every decision an element explains side by side, by its title."""
    load_all()
    found = [module.choices() for name, module in sorted(sys.modules.copy().items())
             if name.startswith("layshaft.elements.") and name.endswith(".choices")]
    return {one.title: one for one in found}


def room_of(info: FormulaInfo) -> str:
    """``elements.gear_pair`` for every formula of that room, whichever file it is in."""
    return ".".join(info.function.__module__.split(".")[1:3])


def module_of(info: FormulaInfo) -> ModuleType:
    """The module a formula is written in."""
    return sys.modules[info.function.__module__]


def modules_of_room(room: str) -> list[ModuleType]:
    """The loaded modules of a room."""
    head = f"layshaft.{room}"
    return [m for n, m in sorted(sys.modules.copy().items()) if n == head or n.startswith(f"{head}.")]


def meaning_of(info: FormulaInfo, parameter: str) -> str | None:
    """What a parameter means: as the formula says, else as the room's inputs, results or names say.

    A numbered symbol falls back on its family: ``d_1`` on ``d``. None where nothing says it.
    """
    if parameter in info.where:
        return info.where[parameter]
    known = meanings_in(room_of(info))
    for symbol in _family(parameter):
        if symbol in known:
            return known[symbol]
    members = [s for s in known if _family(s)[-1] == parameter and s != parameter]
    return known[members[0]] if members else None


def _family(symbol: str) -> list[str]:
    """``d_f_1`` -> ``d_f_1``, ``d_f``, ``d``."""
    parts = symbol.rstrip("_").split("_")
    return [symbol, *("_".join(parts[:n]) for n in range(len(parts), 0, -1))]


@functools.cache
def meanings_in(room: str) -> dict[str, str]:
    """Every symbol a room explains: fields of its inputs, results of its formulas, named steps."""
    known: dict[str, str] = {}
    modules = modules_of_room(room)
    for module in modules:
        for cls in inputs_in(module):
            for f in cls.quantities():
                known.setdefault(f.name, f.metadata["meaning"])
    for info in load_all().values():
        if room_of(info) == room:
            known.setdefault(info.symbol, info.meaning)
    for module in modules:
        for symbol, meaning in _named_in(module):
            known.setdefault(symbol, meaning)
    return known


def inputs_in(module: ModuleType) -> list[type[Inputs]]:
    """The `Inputs` classes written in a module."""
    return [c for c in vars(module).values() if inspect.isclass(c) and issubclass(c, Inputs)
            and c is not Inputs and c.__module__ == module.__name__]


def _named_in(module: ModuleType) -> Iterator[tuple[str, str]]:
    for node in ast.walk(_tree(module)):
        if not isinstance(node, ast.Call) or _callee(node) not in _STEPS:
            continue
        at = _STEPS[_callee(node)]
        symbol = _text(node, 0)
        if symbol is None:
            continue
        meaning = _text(node, at) or _meaning_of_called(module, node)
        if meaning:
            yield symbol, meaning


def _meaning_of_called(module: ModuleType, node: ast.Call) -> str | None:
    """``named("d_1", pitch_diameter(...))`` means what the pitch diameter means."""
    inner = node.args[1] if len(node.args) > 1 else None
    if not isinstance(inner, ast.Call):
        return None
    found = getattr(module, _callee(inner), None)
    if isinstance(inner.func, ast.Attribute) and isinstance(inner.func.value, ast.Name):
        found = getattr(getattr(module, inner.func.value.id, None), inner.func.attr, None)
    info = getattr(found, "formula", None)
    return info.meaning if isinstance(info, FormulaInfo) else None


def _text(node: ast.Call, position: int) -> str | None:
    arg = node.args[position] if len(node.args) > position else None
    return arg.value if isinstance(arg, ast.Constant) and isinstance(arg.value, str) else None


def _callee(node: ast.Call) -> str:
    return node.func.attr if isinstance(node.func, ast.Attribute) else getattr(node.func, "id", "")


@functools.cache
def _tree(module: ModuleType) -> ast.Module:
    try:
        return ast.parse(inspect.getsource(module))
    except OSError:  # an empty __init__ has no source
        return ast.Module([], [])


def used_by(info: FormulaInfo) -> list[str]:
    """The functions of the house that call a formula, as ``elements.room.function``."""
    load_all()
    found = []
    for name, module in sorted(sys.modules.copy().items()):
        if name.startswith("layshaft.") and (names := _names_for(module, info)):
            found += [f"{name.removeprefix('layshaft.')}.{f}" for f, called in _functions(module).items()
                      if called & names]
    return [f for f in found if not f.endswith(f".{info.name}")]


def _names_for(module: ModuleType, info: FormulaInfo) -> set[str]:
    """What a module calls a formula: ``margin``, or ``margin`` of an imported module."""
    names = set()
    for name, value in vars(module).items():
        if getattr(value, "formula", None) is info:
            names.add(name)
        if isinstance(value, ModuleType) and value.__name__ == info.function.__module__:
            names.add(f"{name}.{info.function.__name__}")
    return names


@functools.cache
def _functions(module: ModuleType) -> dict[str, set[str]]:
    """The functions of a module, each with the names it calls or hands on."""
    return {f.name: _calls(f) for f in _tree(module).body if isinstance(f, ast.FunctionDef)}


def _calls(function: ast.FunctionDef) -> set[str]:
    return {ast.unparse(n.func) for n in ast.walk(function) if isinstance(n, ast.Call)} | {
        n.id for n in ast.walk(function) if isinstance(n, ast.Name) and isinstance(n.ctx, ast.Load)}
