"""Formulas that know their symbol, unit and source, and leave a step behind when asked.

A *formula* is a pure function of one return expression. Calling it only computes. Inside
``with tracing() as trace:`` inputs and results are *handles* (a number and the step it came from):
a formula unwraps them and leaves a `Step`; any other arithmetic on a handle is refused, so no
number reaches a sheet unexplained. The text a sheet prints is read from the function's own code.
"""

from __future__ import annotations

import ast
import functools
import inspect
import textwrap
import typing
from collections.abc import Callable, Iterator, Mapping
from contextlib import contextmanager
from contextvars import ContextVar
from dataclasses import dataclass, field
from typing import Any, Literal, NoReturn, ParamSpec, TypeVar, cast

import numpy as np

from layshaft.trace.rests import Rest
from layshaft.trace.source import Source
from layshaft.trace.units import Dimension

P = ParamSpec("P")
N = TypeVar("N", bound=Any)
Kind = Literal["given", "formula", "equation", "total", "governs", "looked up", "chosen"]


@dataclass(frozen=True, slots=True)
class FormulaInfo:
    """Everything a formula says about itself; units come from its annotations."""

    name: str
    symbol: str
    meaning: str
    source: Source
    version: int
    outside: str
    where: Mapping[str, str]
    function: Callable[..., Any]
    parameters: tuple[str, ...]
    stock: Callable[[Any], Any] | None = None
    """The size one can buy that comes next to a result, where the result is a size to be bought."""

    @property
    def dimension(self) -> Dimension:
        """Dimension of the result."""
        return _dimensions(self.function)["return"]

    @property
    def dimensions(self) -> dict[str, Dimension]:
        """Dimension of each parameter, by name."""
        return {name: _dimensions(self.function)[name] for name in self.parameters}

    @property
    def expression(self) -> ast.expr:
        """The returned expression, as written in the function."""
        return returned_expression(self.function)

    @property
    def explanation(self) -> str:
        """The docstring: the physical idea, assumptions, when not to use it."""
        return inspect.cleandoc(self.function.__doc__ or "")


@functools.cache
def _dimensions(function: Callable[..., Any]) -> dict[str, Dimension]:
    hints = typing.get_type_hints(function, include_extras=True)
    return {name: _dimension_in(hint) for name, hint in hints.items()}


def _dimension_in(hint: Any) -> Dimension:
    for extra in getattr(hint, "__metadata__", ()):
        if isinstance(extra, Dimension):
            return extra
    raise TypeError(f"{hint!r} is not a dimension alias such as Length or Torque.")


@functools.cache
def returned_expression(function: Callable[..., Any]) -> ast.expr:
    """The single return expression of a formula; `TypeError` if it has any other statement."""
    tree = ast.parse(textwrap.dedent(inspect.getsource(function)))
    definition = cast(ast.FunctionDef, tree.body[0])
    body = [s for s in definition.body if not _is_docstring(s)]
    if len(body) != 1 or not isinstance(body[0], ast.Return) or body[0].value is None:
        raise TypeError(f"{function.__name__}: a formula must be one return expression.")
    return body[0].value


def _is_docstring(statement: ast.stmt) -> bool:
    return isinstance(statement, ast.Expr) and isinstance(statement.value, ast.Constant)


@dataclass(slots=True)
class Step:
    """One line of a sheet.

    `arguments` pairs each name with its value and the step the value came from (None where it has
    no trace). `detail` holds what the kind needs: the table and row of a look-up, the candidates
    of a choice, the residual of an equation.
    """

    kind: Kind
    symbol: str
    meaning: str
    dimension: Dimension
    value: Any
    source: Source
    formula: FormulaInfo | None = None
    arguments: tuple[tuple[str, Any, Step | None], ...] = ()
    detail: Mapping[str, Any] = field(default_factory=dict)
    group: str = ""


class Untraced(TypeError):
    """Arithmetic outside a formula: its result would reach the sheet without an explanation."""


class Handle:
    """A number with the step it came from. Only formulas and steps may look inside."""

    __slots__ = ("step", "value")

    def __init__(self, value: Any, step: Step) -> None:
        self.value = value
        self.step = step

    def _refuse(self, *_: object) -> NoReturn:
        raise Untraced(
            f"{self.step.symbol} ({self.step.meaning}) is used in arithmetic outside a formula; "
            "write that arithmetic as a formula so that the sheet can show it."
        )

    __add__ = __radd__ = __sub__ = __rsub__ = __mul__ = __rmul__ = _refuse
    __truediv__ = __rtruediv__ = __pow__ = __rpow__ = __neg__ = __abs__ = _refuse
    __lt__ = __le__ = __gt__ = __ge__ = __eq__ = __ne__ = _refuse
    __float__ = __int__ = __bool__ = __array__ = __getitem__ = _refuse
    __hash__ = None  # type: ignore[assignment]

    def __repr__(self) -> str:
        return f"Handle({self.step.symbol} = {self.value!r})"


@dataclass(slots=True)
class Trace:
    """The steps of one run, in order. Belongs to one thread or task."""

    steps: list[Step] = field(default_factory=list)
    remarks: list[Remark] = field(default_factory=list)
    group: str = ""
    rests: tuple[Rest, ...] = ()

    def add(self, step: Step) -> Handle:
        """Append a step under the current heading and hand its value on."""
        step.group = self.group
        self.steps.append(step)
        return Handle(step.value, step)

    def __getitem__(self, symbol: str) -> Step:
        for step in self.steps:
            if step.symbol == symbol:
                return step
        raise KeyError(symbol)

    @property
    def untraced(self) -> list[str]:
        """Arguments that are neither a given, a look-up nor an earlier result."""
        return [
            f"{step.symbol} ({step.meaning}): argument '{name}' = {value!r}"
            for step in self.steps
            for name, value, origin in step.arguments
            if origin is None
        ]


@dataclass(frozen=True, slots=True)
class Remark:
    """Advice without a margin. `share` is the part of the rows or samples it applies to."""

    text: str
    source: Source
    applies: Any


_active: ContextVar[Trace | None] = ContextVar("layshaft_trace", default=None)
skips: ContextVar[Callable[[FormulaInfo], bool] | None] = ContextVar("layshaft_skips", default=None)


@contextmanager
def tracing() -> Iterator[Trace]:
    """Record every step taken inside the block."""
    trace = Trace()
    token = _active.set(trace)
    try:
        yield trace
    finally:
        _active.reset(token)


def is_tracing() -> bool:
    """True inside `tracing()`."""
    return _active.get() is not None


@contextmanager
def group(title: str) -> Iterator[None]:
    """Put the following steps under a heading."""
    trace = _active.get()
    if trace is None:
        yield
        return
    before, trace.group = trace.group, title
    try:
        yield
    finally:
        trace.group = before


def plain(value: Any) -> Any:
    """The number inside a handle, or the number itself."""
    return value.value if type(value) is Handle else value


def origin(value: Any) -> Step | None:
    """The step a handle came from; None for a bare number."""
    return value.step if type(value) is Handle else None


REGISTRY: dict[str, FormulaInfo] = {}
"""Every formula imported so far, by `room.function`. Nothing computed may depend on it."""


def formula(
    symbol: str,
    meaning: str,
    source: Source,
    *,
    version: int = 1,
    outside: str = "",
    where: Mapping[str, str] | None = None,
    stock: Callable[[Any], Any] | None = None,
) -> Callable[[Callable[P, N]], Callable[P, N]]:
    """Mark a one-expression function as a formula and register it as `room.function`.

    `outside` says in words where the method does not hold; there the expression itself must give
    NaN (by `np.where`), and the sheet prints the words. `where` gives the meaning of a parameter
    that is neither an input of the room nor the result of one of its formulas. `stock` rounds a size
    up to one that can be bought; the formulary says it beside the result.
    """

    def mark(function: Callable[P, N]) -> Callable[P, N]:
        signature = inspect.signature(function)
        room = function.__module__.removeprefix("layshaft.").split(".", 1)[-1]
        info = FormulaInfo(
            f"{room}.{function.__name__}", symbol, meaning, source, version, outside,
            dict(where or {}), function, tuple(signature.parameters), stock,
        )

        @functools.wraps(function)
        def call(*args: P.args, **kwargs: P.kwargs) -> N:
            trace = _active.get()
            if trace is None:
                skip = skips.get()
                if skip is not None and skip(info):
                    return cast(N, np.nan)
                value: N = function(*args, **kwargs)
                if type(value) is np.ndarray:
                    return value[()]  # type: ignore[no-any-return]
                return value
            used = signature.bind(*args, **kwargs).args if kwargs else args
            return cast(N, _traced(trace, info, used))

        call.formula = info  # type: ignore[attr-defined]
        REGISTRY[info.name] = info
        return call

    return mark


def _traced(trace: Trace, info: FormulaInfo, args: tuple[Any, ...]) -> Handle:
    values = tuple(map(plain, args))
    value = info.function(*values)
    if isinstance(value, np.ndarray):
        value = value[()]
    links = tuple(zip(info.parameters, values, map(origin, args), strict=True))
    return trace.add(
        Step("formula", info.symbol, info.meaning, info.dimension, value, info.source, info, links)
    )


def named(symbol: str, value: N, meaning: str | None = None) -> N:
    """Give a repeated formula's result its own symbol: ``d_1 = named("d_1", pitch_diameter(...))``."""
    if type(value) is Handle:
        value.step.symbol = symbol
        if meaning is not None:
            value.step.meaning = meaning
    return value


def given(symbol: str, meaning: str, dimension: Dimension, value: Any, source: Source) -> Any:
    """An input. Returns a handle while tracing, else the value."""
    trace = _active.get()
    if trace is None:
        return value
    return trace.add(Step("given", symbol, meaning, dimension, value, source))


def looked_up(
    symbol: str, meaning: str, dimension: Dimension, value: Any, *, table: str, row: str, source: Source,
    of: Mapping[str, Any] | None = None,
) -> Any:
    """A value taken from a table by what is in `of`; `row` says which, or between which rows it was interpolated."""
    trace = _active.get()
    if trace is None:
        return value
    detail = {"table": table, "row": row}
    links = tuple((n, plain(v), origin(v)) for n, v in (of or {}).items())
    return trace.add(Step("looked up", symbol, meaning, dimension, value, source, detail=detail, arguments=links))


def chosen(
    symbol: str, meaning: str, dimension: Dimension, value: Any, *, why: str, source: Source,
    candidates: tuple[str, ...] = (),
) -> Any:
    """A whole number, listing or size that was decided, from which candidates and why."""
    trace = _active.get()
    if trace is None:
        return value
    detail = {"candidates": candidates, "why": why}
    return trace.add(Step("chosen", symbol, meaning, dimension, value, source, detail=detail))


def total(symbol: str, meaning: str, dimension: Dimension, terms: Mapping[str, Any], source: Source) -> Any:
    """The sum of named terms."""
    values = [plain(v) for v in terms.values()]
    value = functools.reduce(np.add, values) if values else 0.0
    trace = _active.get()
    if trace is None:
        return value
    links = tuple((n, plain(v), origin(v)) for n, v in terms.items())
    return trace.add(Step("total", symbol, meaning, dimension, value, source, arguments=links))


def governs(
    symbol: str,
    meaning: str,
    dimension: Dimension,
    candidates: Mapping[str, Any],
    source: Source,
    *,
    pick: Literal["largest", "smallest"],
) -> Any:
    """The largest or smallest of named values, and which one it is. NaN where any value is NaN."""
    values = [plain(v) for v in candidates.values()]
    value = functools.reduce(np.maximum if pick == "largest" else np.minimum, values)
    trace = _active.get()
    if trace is None:
        return value
    links = tuple((n, plain(v), origin(v)) for n, v in candidates.items())
    detail = {"pick": pick}
    return trace.add(
        Step("governs", symbol, meaning, dimension, value, source, arguments=links, detail=detail)
    )


def equation(
    symbol: str,
    meaning: str,
    dimension: Dimension,
    solve: Callable[..., Any],
    residual: Callable[..., Any],
    arguments: Mapping[str, Any],
    source: Source,
) -> Any:
    """The root of an equation. `solve(**numbers)` finds it, elementwise; `residual` is a formula of
    the root (first parameter) and the arguments, zero at the answer: the sheet prints both.
    """
    numbers = {n: plain(v) for n, v in arguments.items()}
    value = solve(**numbers)
    trace = _active.get()
    if trace is None:
        return value
    info: FormulaInfo = residual.formula  # type: ignore[attr-defined]
    detail = {"residual": info.function(value, **numbers)}
    links = ((info.parameters[0], value, None), *((n, numbers[n], origin(arguments[n])) for n in numbers))
    step = Step("equation", symbol, meaning, dimension, value, source, info, (), detail)
    step.arguments = tuple((n, v, step if n == info.parameters[0] else o) for n, v, o in links)
    return trace.add(step)


def remark_if(applies: Any, text: str, source: Source) -> None:
    """Leave advice on the sheet where `applies` is true. Does nothing when no trace is on."""
    trace = _active.get()
    if trace is not None and bool(np.any(plain(applies))):
        trace.remarks.append(Remark(text, source, plain(applies)))
