"""The faults `slips.py` plants: variants of a formula's syntax tree, and cells of a table."""

import ast
import copy
import functools
import inspect
import itertools
import random
import sys
import textwrap
import types

import numpy as np

from layshaft.listings import tables
from layshaft.trace.units import COUNT

OPPOSITE = {ast.Add: ast.Sub, ast.Sub: ast.Add, ast.Mult: ast.Div, ast.Div: ast.Mult,
            ast.Lt: ast.Gt, ast.Gt: ast.Lt, ast.LtE: ast.GtE, ast.GtE: ast.LtE}
TURNED = {"minimum": "maximum", "maximum": "minimum", "sin": "cos", "cos": "sin", "tan": "sin"}
GUARD = (1e-8, 1e8)
"""A constant outside keeps a division safe; 5 % of it is no slip in the method."""


class Swap:
    """Runs a formula's function with other code inside `with`."""

    def __init__(self, function, code):
        self.function, self.code = function, code

    def __enter__(self):
        self.before = self.function.__code__
        self.function.__code__ = self.code
        forget()

    def __exit__(self, *_):
        self.function.__code__ = self.before
        forget()


class Cell:
    """A table cell times a factor inside `with`; what was computed from tables is forgotten."""

    def __init__(self, cell, factor):
        self.cell, self.factor = cell, factor
        table, row, column = cell
        self.cells = next(r for r in tables.table(table).rows if r.name == row).cells
        self.before = self.cells[column]

    @property
    def is_zero(self):
        return float(self.before) == 0

    def __enter__(self):
        self.cells[self.cell[2]] = repr(float(self.before) * self.factor)
        forget()

    def __exit__(self, *_):
        self.cells[self.cell[2]] = self.before
        forget()


def forget():
    """Empty every cache of the house but the tables themselves."""
    for cached in _caches():
        cached.cache_clear()


@functools.cache
def _caches():
    from layshaft.trace import formula, inputs, registry

    spared = {formula.__name__, inputs.__name__, registry.__name__, tables.__name__}
    found = []
    for name, module in list(sys.modules.items()):
        if name.startswith("layshaft.") and name not in spared:
            found += [v for v in vars(module).values() if hasattr(v, "cache_clear") and v not in found]
    return [c for c in found if c.__module__ not in spared]


def mutants(info):
    """Every slip of a formula: what it is, and the code of the function that has it."""
    definition = ast.parse(textwrap.dedent(inspect.getsource(info.function))).body[0]
    plain = ast.FunctionDef(definition.name, bare(definition.args), [ast.Return(info.expression)], [])
    seen = {ast.unparse(info.expression)}
    for slip, expression in slips(info):
        text = ast.unparse(expression)
        if text in seen:
            continue
        seen.add(text)
        changed = copy.copy(plain)
        changed.body = [ast.Return(expression)]
        module = ast.fix_missing_locations(ast.Module([changed], []))
        code = next(c for c in compile(module, "<slip>", "exec").co_consts if inspect.iscode(c))
        if not ("swapped" in slip and _the_same(info.function, code)):
            yield f"{slip}: {text}", code


def _the_same(function, code):
    """True for ``a * b`` with a and b swapped: no slip at all."""
    draw = random.Random(1)
    changed = types.FunctionType(code, function.__globals__)
    count = code.co_argcount
    with np.errstate(all="ignore"):
        for _ in range(20):
            values = [np.float64(10 ** draw.uniform(-3, 3)) for _ in range(count)]
            one, other = (float(np.asarray(f(*values))) for f in (function, changed))
            if not np.isclose(one, other, rtol=1e-12, atol=0, equal_nan=True):
                return False
    return True


def bare(arguments):
    """The parameters without annotations."""
    arguments = copy.deepcopy(arguments)
    for a in (*arguments.args, *arguments.posonlyargs, *arguments.kwonlyargs):
        a.annotation = None
    return arguments


def slips(info):
    """(what, expression) for each place in the tree and each fault that fits there."""
    tree = info.expression
    places = list(ast.walk(tree))
    in_count_test = _counts_compared(tree, info)
    for at, node in enumerate(places):
        for what, new in faults(node, info, node in in_count_test):
            yield what, _replaced(tree, at, new)
    by_dimension = itertools.groupby(sorted(info.dimensions.items(), key=lambda d: d[1].name), lambda d: d[1])
    for _, group in by_dimension:
        for (a, _), (b, _) in itertools.pairwise(group):
            yield f"{a} and {b} swapped", _Renamed({a: b, b: a}).visit(copy.deepcopy(tree))


def _counts_compared(tree, info):
    """Constants a whole number is compared with: 5 % of them changes nothing."""
    found = set()
    for node in ast.walk(tree):
        if isinstance(node, ast.Compare) and len(node.comparators) == 1:
            sides = (node.left, node.comparators[0])
            if any(isinstance(s, ast.Name) and info.dimensions.get(s.id) is COUNT for s in sides):
                found |= {s for s in sides if isinstance(s, ast.Constant)}
    return found


def _replaced(tree, at, new):
    """A copy of the tree with the node at that place of the walk replaced."""
    changed = copy.deepcopy(tree)
    target = list(ast.walk(changed))[at]
    return _Put(target, copy.deepcopy(new)).visit(changed)


class _Put(ast.NodeTransformer):
    def __init__(self, target, new):
        self.target, self.new = target, new

    def visit(self, node):
        return self.new if node is self.target else self.generic_visit(node)


class _Renamed(ast.NodeTransformer):
    def __init__(self, names):
        self.names = names

    def visit_Name(self, node):
        return ast.Name(self.names.get(node.id, node.id), node.ctx)


def faults(node, info, is_count_limit):
    """The faults that fit one node."""
    if isinstance(node, ast.BinOp):
        yield from _operation(node)
    elif isinstance(node, ast.UnaryOp) and isinstance(node.op, ast.USub):
        yield "sign", node.operand
    elif isinstance(node, ast.Compare) and type(node.ops[0]) in OPPOSITE:
        yield "comparison", ast.Compare(node.left, [OPPOSITE[type(node.ops[0])]()], node.comparators)
    elif isinstance(node, ast.Constant) and not is_count_limit:
        yield from _constant(node)
    elif isinstance(node, ast.Name) and node.id not in info.parameters:
        yield from _named(node, info)
    elif isinstance(node, ast.Call):
        yield from _call(node)


def _operation(node):
    if type(node.op) in OPPOSITE:
        kind = "sign" if isinstance(node.op, ast.Add | ast.Sub) else "operator"
        yield kind, ast.BinOp(node.left, OPPOSITE[type(node.op)](), node.right)
    if isinstance(node.op, ast.Sub | ast.Div | ast.Pow):
        yield "arguments swapped", ast.BinOp(node.right, node.op, node.left)
    if isinstance(node.op, ast.Pow):
        yield "exponent", ast.BinOp(node.left, node.op, ast.BinOp(node.right, ast.Add(), ast.Constant(0.5)))
        yield "exponent dropped", node.left
    elif isinstance(node.op, ast.Add | ast.Sub | ast.Mult | ast.Div):
        yield "right side dropped", node.left
        if isinstance(node.op, ast.Add | ast.Mult):
            yield "left side dropped", node.right


def _constant(node):
    value = node.value
    if isinstance(value, bool) or not isinstance(value, int | float):
        return
    if GUARD[0] < abs(value) < GUARD[1]:
        for factor in (1.05, 0.95):
            yield f"constant times {factor}", ast.Constant(value * factor)


def _named(node, info):
    value = info.function.__globals__.get(node.id)
    if isinstance(value, float | int) and GUARD[0] < abs(value):
        for factor in (1.05, 0.95):
            yield f"constant times {factor}", ast.BinOp(node, ast.Mult(), ast.Constant(factor))


def _call(node):
    name = node.func.attr if isinstance(node.func, ast.Attribute) else getattr(node.func, "id", "")
    if name in TURNED and isinstance(node.func, ast.Attribute):
        yield "function", ast.Call(ast.Attribute(node.func.value, TURNED[name], ast.Load()), node.args, [])
    if name == "where":
        test, yes, no = node.args
        yield "arguments swapped", ast.Call(node.func, [test, no, yes], [])
        yield "case dropped", yes
        yield "case dropped", no
    elif name in ("minimum", "maximum"):
        yield "argument dropped", node.args[0]
        yield "argument dropped", node.args[1]
    elif len(node.args) == 1:
        yield "function dropped", node.args[0]
    elif len(node.args) == 2:
        yield "arguments swapped", ast.Call(node.func, node.args[::-1], [])
