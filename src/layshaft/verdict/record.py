"""What a verdict stood on, gathered from a part without tracing it: cheap enough for every recheck."""

from __future__ import annotations

import functools
from collections.abc import Callable
from typing import Any

import numpy as np

from layshaft.listings.tables import table
from layshaft.trace.checks import Check
from layshaft.trace.formula import Step, Trace, origin, tracing
from layshaft.trace.records import Record, fingerprint_of
from layshaft.trace.source import Source
from layshaft.verdict.rows import Block, Part

PLAIN = Source("methods of a room", obtained="derived")


@functools.cache
def one_run(rate: Callable[[Any], Any], inputs: Any) -> tuple[Trace, tuple[Check, ...]]:
    """One traced run of a room on unknown inputs.

    A room calls the same methods whatever its inputs (it has no branches on values), so one trace a
    room tells what every rating of it stands on.
    """
    names = [f.name for f in inputs.quantities()]
    values = {name: np.float64(np.nan) for name in names}
    with np.errstate(all="ignore"), tracing() as trace:
        checks = tuple(rate(inputs(origins=dict.fromkeys(names, PLAIN), **values)).checks)
    return trace, checks


@functools.cache
def steps_to(rate: Callable[[Any], Any], inputs: Any, mode: str) -> tuple[Step, ...]:
    """The steps that the margin of a mode stands on, in a run on unknown inputs."""
    _, checks = one_run(rate, inputs)
    found: dict[int, Step] = {}
    check = next(c for c in checks if c.mode == mode)
    waiting = [s for v in (check.margin, check.rating, check.demand) if (s := origin(v)) is not None]
    while waiting:
        step = waiting.pop()
        if id(step) not in found:
            found[id(step)] = step
            waiting += [source for _, _, source in step.arguments if source is not None]
    return tuple(found.values())


@functools.cache
def relies_on(rate: Callable[[Any], Any], inputs: Any, mode: str) -> tuple[frozenset[str], tuple[Source, ...]]:
    """Inputs that the margin of a mode stands on, and the sources of every method and table on the way."""
    steps = steps_to(rate, inputs, mode)
    return (frozenset(s.symbol for s in steps if s.kind == "given"),
            tuple({s.source: None for s in steps if s.kind != "given"}))


@functools.cache
def remembered(rate: Callable[[Any], Any], inputs: Any, mode: str) -> bool:
    """True where a method or table on the way to a margin is one nobody has seen on a page."""
    return any(source.weak for source in relies_on(rate, inputs, mode)[1])


@functools.cache
def _stands_on(rate: Callable[[Any], Any], inputs: Any) -> tuple[tuple[str, ...], tuple[str, ...]]:
    """Methods with versions, and tables read inside the room, as lines of a record."""
    trace, _ = one_run(rate, inputs)
    methods = {s.formula.name: s.formula.version for s in trace.steps if s.formula is not None}
    read = {s.detail["table"] for s in trace.steps if s.kind == "looked up"}
    lines = tuple(f"{name} version {version}" for name, version in sorted(methods.items()))
    return lines, tuple(f"{name}: {_content(name)}" for name in sorted(read))


@functools.cache
def _content(name: str) -> str:
    """A whole shipped table as a short hash; a word that is no table stands for itself."""
    try:
        return fingerprint_of(row.content for row in table(name).rows)
    except KeyError:
        return name


def fingerprint(block: Block, part: Part) -> str:
    """Short hash of the exact items: methods, own givens, table rows. Demands do not enter."""
    if part.fingerprint:
        return part.fingerprint
    own = tuple([(k, v + 0.0 if type(v) is float else _exact(v)) for k, v in part.inputs.items()
                 if k not in part.demands])
    kind: Any = block.inputs
    part.fingerprint = _fingerprint(block.rate, kind, part.content, own)
    return part.fingerprint


@functools.lru_cache(maxsize=10_000)
def _fingerprint(rate: Callable[[Any], Any], inputs: Any, content: tuple[str, ...],
                 own: tuple[tuple[str, Any], ...]) -> str:
    """Kept, since most edits leave most parts as they are."""
    methods, tables = _stands_on(rate, inputs)
    return fingerprint_of([*methods, *tables, *content, *(f"given {k} = {v}" for k, v in own)])


def _exact(value: Any) -> float | str:
    """A number, or exact text for the first of many draws or cases. Zero has no sign here."""
    if isinstance(value, np.ndarray) and value.ndim:
        return repr(float(value.flat[0]))
    return float(value) + 0.0


def record(block: Block, part: Part, case: int) -> Record:
    """The whole record of one row, with its demands as numbers."""
    kind: Any = block.inputs
    methods, tables = _stands_on(block.rate, kind)
    inputs = block.single(part, case)
    numbers = {f.name: float(getattr(inputs, f.name)) for f in block.inputs.quantities()}
    rows = dict(line.split(": ", 1) for line in tables) | {f"row {i}": line for i, line in enumerate(part.content)}
    return Record(
        methods={name: int(version) for name, _, version in (m.rpartition(" version ") for m in methods)},
        givens={k: repr(v) for k, v in numbers.items() if k not in part.demands},
        rows=rows, choices={}, demands={k: v for k, v in numbers.items() if k in part.demands},
        dimensions={f.name: f.metadata["dimension"].name for f in block.inputs.quantities()},
    )
