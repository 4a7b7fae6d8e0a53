"""A part walked through step by step, for somebody who is learning the trade.

A walk is one run of the part's `rate()` on its worst place and case, with the trace on, and beside
every step what it is for, what it stands on and what doubling an input does to it. What doubling does
is computed by running the same formula, or the whole rating, again; nothing of it is written down.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator
from dataclasses import dataclass, replace
from typing import Any, cast

import numpy as np

from layshaft.listings.lessons import Lesson, lesson
from layshaft.machine.schema import SOURCE_WORDS
from layshaft.trace.errors import BadInput
from layshaft.trace.findings import Finding
from layshaft.trace.formula import Step, Trace, tracing
from layshaft.trace.inputs import Inputs
from layshaft.trace.text import nominal
from layshaft.verdict.rate import Rated, Verdict
from layshaft.verdict.rows import Block
from layshaft.verdict.shaft_walk import shaft_walk
from layshaft.verdict.sheets import came_from

GUESS = "a guess"
SEAT_DEPTH = 3
"""Points in the path of a seat; what sits on it has one more."""

Rate = Callable[[Any], Any]


@dataclass(frozen=True, slots=True)
class Effect:
    """What doubling one input does: the result over what it was, NaN where it cannot be doubled."""

    symbol: str
    meaning: str
    factor: float


@dataclass(frozen=True, slots=True)
class Walk:
    """One calculation to walk through: its lesson, its steps, and what moves its margin."""

    title: str
    findings: tuple[Finding, ...]
    """Every failure mode rated in this run, worst first; none where a walk only leads up to one."""

    came_from: str
    lesson: Lesson | None
    trace: Trace
    effects: tuple[Effect, ...]
    """On the margin of the first finding."""


def walks(verdict: Verdict, path: str) -> list[Walk]:
    """Walks through a part and what sits on it, in the order an engineer would take; empty if nothing is rated.

    A shaft as a whole begins with how it comes to its size, and shows the worst place of each kind; what
    sits on it has walks of its own.
    """
    found: list[Walk] = []
    shaft = _shaft_named(verdict, path)
    if shaft and (leading := shaft_walk(verdict, shaft)) is not None:
        found.append(Walk(f"{verdict.solved.machine.shafts[shaft].path}: from torque and pulls to a first bar", (),
                          came_from(verdict, leading.part), lesson("shaft"), leading.trace, ()))
    for rated in _one_a_block(verdict):
        places = sorted(_worst_places(verdict, rated, path), key=lambda at: at[1][0].rank)
        found += [_walk(verdict, rated, *at) for at in (places[:1] if shaft else places)]
    return found


def _shaft_named(verdict: Verdict, path: str) -> str:
    """The shaft a path names as a whole; blank for anything else."""
    shafts = verdict.solved.machine.shafts
    return next((name for name, s in shafts.items() if s.path.casefold() == path.casefold()), "")


def _one_a_block(verdict: Verdict) -> Iterator[list[Rated]]:
    """The failure modes of each block together: they come out of one run."""
    together: dict[int, list[Rated]] = {}
    for r in verdict.rated:
        together.setdefault(id(r.block), []).append(r)
    yield from together.values()


def _worst_places(verdict: Verdict, rated: list[Rated], path: str) -> Iterator[tuple[int, list[Finding]]]:
    """Of every part under a path, its worst place in this block, with the findings of that place."""
    wanted = path.casefold()
    whole = bool(_shaft_named(verdict, path))
    parts = {p.path for p in rated[0].block.parts
             if p.path.casefold() == wanted or (p.path.casefold().startswith(f"{wanted}.")
                                                and not (whole and p.path.count(".") > SEAT_DEPTH))}
    modes = {r.mode for r in rated}
    for name in sorted(parts):
        ours = [f for f in verdict.findings if f.part == name and f.mode in modes and f.case]
        if ours:
            worst = ours[0]
            p = next((i for i, part in enumerate(rated[0].block.parts)
                      if part.path == name and part.place == worst.place), None)
            if p is not None:
                yield p, [f for f in ours if f.place == worst.place]


def _walk(verdict: Verdict, rated: list[Rated], p: int, findings: list[Finding]) -> Walk:
    block, worst = rated[0].block, findings[0]
    part = block.parts[p]
    case = next((i for i, c in enumerate(verdict.solved.columns) if c.title == worst.title), 0)
    inputs = block.single(part, case, worst.mode)
    with np.errstate(all="ignore"), tracing() as trace:
        block.rate(inputs)
    place = f", {part.place}" if part.place else ""
    return Walk(f"{part.path}{place}: {block.kind}", tuple(findings), came_from(verdict, part), _lesson(block),
                trace, tuple(_on_the_margin(block.rate, inputs, worst.mode)))


def _lesson(block: Block) -> Lesson | None:
    """The lesson of what is rated, else that of its element's room: the first of its classes of inputs written in one
    tells, as some are put together.
    """
    homes = (kind.__module__.split(".") for kind in block.inputs.__mro__)
    home = next((home[2:] for home in homes if home[:2] == ["layshaft", "elements"]), [""])
    return lesson(".".join(home)) or lesson(home[0])


def _on_the_margin(rate: Rate, inputs: Inputs, mode: str) -> Iterator[Effect]:
    """The margin of one mode with each given doubled in turn, over what it is."""
    before = _margin(rate, inputs, mode)
    for f in inputs.quantities():
        value = float(getattr(inputs, f.name))
        if not value or not math.isfinite(value) or "required margin" in f.metadata["meaning"]:
            continue
        try:
            after = _margin(rate, replace(inputs, **cast("dict[str, Any]", {f.name: 2 * value})), mode)
        except BadInput:
            after = math.nan
        yield Effect(f.name, f.metadata["meaning"], after / before if before else math.nan)


def _margin(rate: Rate, inputs: Inputs, mode: str) -> float:
    with np.errstate(all="ignore"):
        checks = rate(inputs).checks
    return next(float(c.margin) for c in checks if c.mode == mode)


def doubled(step: Step) -> list[Effect]:
    """What doubling each argument of one formula does to its result; none for other kinds of step."""
    if step.formula is None or step.kind != "formula":
        return []
    values = {name: nominal(value) for name, value, _ in step.arguments}
    before = nominal(step.value)
    if not before or not math.isfinite(before):
        return []
    found = []
    for name, value, origin in step.arguments:
        if nominal(value) and math.isfinite(nominal(value)):
            with np.errstate(all="ignore"):
                after = nominal(step.formula.function(**values | {name: 2 * values[name]}))
            found.append(Effect(origin.symbol if origin else name, origin.meaning if origin else name, after / before))
    return found


def standing(step: Step) -> str:
    """What a number stands on: decided, measured, listed, advised, a guess, or what it follows from."""
    if step.kind == "given":
        return _of_given(step)
    if step.kind == "looked up":
        return f"read in a table: {step.detail['table']}"
    if step.kind == "chosen":
        return "decided here"
    above = [origin.symbol for _, _, origin in step.arguments if origin is not None and origin is not step]
    return f"follows from {', '.join(dict.fromkeys(above))}" if above else "follows"


def _of_given(step: Step) -> str:
    source = step.source
    if source.obtained == "given":
        for word in SOURCE_WORDS:
            if source.work.endswith(f": {word}") or f": {word} (" in source.work:
                return GUESS if word == "assumed" else word
        return "stated in the machine file"
    if "solved train" in source.work:
        return "follows from the machine"
    return GUESS if source.weak else f"{source.obtained}"
