"""A sheet with the provenance of its inputs: derived ones as steps of their own, those of the train in a line."""

from __future__ import annotations

from dataclasses import replace

import numpy as np

from layshaft.trace.formula import Step, Trace, group, origin, tracing
from layshaft.train.solve import Solved
from layshaft.verdict.provenance import from_train
from layshaft.verdict.provenance.rests import rests
from layshaft.verdict.rows import Part

FURTHER_UP = "What its inputs follow from"
SAME = 1e-9
"""Relative difference up to which the steps of a sheet give the number that was rated."""


def with_provenance(trace: Trace, solved: Solved, kind: str, part: Part, case: int, *, guesses: bool = True) -> Trace:
    """The trace of one rating with what its inputs follow from before it, and the `guesses` that move them."""
    inputs = [s for s in trace.steps if s.kind == "given"]
    before, instead = _followed(inputs, part, case)
    own = [instead.get(id(s)) or _told(s, solved, case) for s in trace.steps]
    kept = [s for s, was in zip(own, trace.steps, strict=True) if id(was) not in instead]
    anew = {id(was): now for was, now in zip(trace.steps, own, strict=True)}
    for step in kept:
        step.arguments = tuple((n, v, anew.get(id(o), o) if o is not None else None) for n, v, o in step.arguments)
    numbers = {s.symbol: float(s.value) for s in inputs if s.symbol in part.inputs}
    moved_by = rests(solved, kind, part, case, numbers) if guesses else ()
    return Trace([*before, *kept], trace.remarks, trace.group, moved_by)


def _followed(inputs: list[Step], part: Part, case: int) -> tuple[list[Step], dict[int, Step]]:
    """Steps that lead to the inputs of a part that follow from givens, and the last of each in place of its input."""
    before: list[Step] = []
    instead: dict[int, Step] = {}
    for step in inputs:
        follow = part.follows.get(step.symbol)
        if follow is None or not np.isfinite(step.value):
            continue
        with np.errstate(all="ignore"), tracing() as steps, group(f"Where the {step.meaning} comes from"):
            last = origin(follow(case))
        if last is not None and np.isclose(float(last.value), float(step.value), rtol=SAME, atol=0):
            instead[id(step)] = last
            before += steps.steps
    return _once(before), instead


def _once(steps: list[Step]) -> list[Step]:
    """Each step once, though several inputs follow from it; the givens under one heading."""
    seen: dict[tuple[str, ...], Step] = {}
    instead: dict[int, Step] = {}
    for step in steps:
        step.group = FURTHER_UP if step.kind == "given" else step.group
        step.arguments = tuple((n, v, instead[id(o)] if o is not None else None) for n, v, o in step.arguments)
        alike = (step.kind, step.symbol, step.meaning, repr(step.value), str(step.source))
        instead[id(step)] = seen.setdefault(alike, step)
    return list(seen.values())


def _told(step: Step, solved: Solved, case: int) -> Step:
    """A given of the train with what it follows from; any other step as it is."""
    follows = from_train.line(solved, step, case) if step.kind == "given" else ""
    return replace(step, detail={**step.detail, "follows": follows}) if follows else step
