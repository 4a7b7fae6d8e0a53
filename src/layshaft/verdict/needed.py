"""Which formulas of a room a failure mode stands on: in many draws only those are evaluated."""

from __future__ import annotations

from collections.abc import Callable, Collection, Iterator
from contextlib import contextmanager
from typing import Any

from layshaft.trace.checks import Check
from layshaft.trace.formula import FormulaInfo, Step, origin, skips
from layshaft.verdict.record import one_run
from layshaft.verdict.rows import Block

Needed = tuple[bool, ...]
"""For each formula of a room, in the order in which it calls them, whether it is needed; empty: all are."""


def needed(block: Block, modes: Collection[str]) -> Needed:
    """The formulas on the way to the margins of these modes.

    All of them where the room, run on the block as it is, calls other formulas than it does on a sheet.
    """
    kind: Any = block.inputs
    trace, checks = one_run(block.rate, kind)
    steps = [step for step in trace.steps if step.formula is not None]
    if any(step.kind != "formula" for step in steps) or [s.formula for s in steps] != _called(block):
        return ()
    wanted = _ancestors([check for check in checks if check.mode in modes], trace.steps)
    return tuple(id(step) in wanted for step in steps)


def _called(block: Block) -> list[FormulaInfo]:
    """The formulas a room calls when it is not traced, in order."""
    found: list[FormulaInfo] = []

    def note(info: FormulaInfo) -> bool:
        found.append(info)
        return False

    with _asked(note):
        block.rated()
    return found


def _ancestors(checks: list[Check], steps: list[Step]) -> set[int]:
    """Every step these checks stand on; a value without any stated origin may stand on all before it."""
    place = {id(step): i for i, step in enumerate(steps)}
    waiting = [step for check in checks for value in (check.demand, check.rating, check.margin)
               if (step := origin(value)) is not None]
    found: set[int] = set()
    while waiting:
        step = waiting.pop()
        if id(step) in found:
            continue
        found.add(id(step))
        waiting += [source for _, _, source in step.arguments if source is not None]
        if step.kind not in ("given", "formula") and not step.arguments:
            waiting += steps[: place[id(step)]]
    return found


@contextmanager
def only(formulas: Needed) -> Iterator[None]:
    """Leave out, inside the block, formulas that are not needed: they give NaN."""
    if not formulas:
        yield
        return
    turn = iter(formulas)
    with _asked(lambda _info: not next(turn)):
        yield


@contextmanager
def _asked(skip: Callable[[FormulaInfo], bool]) -> Iterator[None]:
    token = skips.set(skip)
    try:
        yield
    finally:
        skips.reset(token)
