"""What a verdict waits for besides what the train needs: the lines without which a check of a part gives no number."""

from __future__ import annotations

import re
from collections.abc import Iterator

import numpy as np

from layshaft.machine import paths
from layshaft.trace.checks import Check
from layshaft.trace.findings import UNKNOWN
from layshaft.trace.formula import Step, origin
from layshaft.verdict.rate import Rated, Verdict
from layshaft.verdict.reasons import is_unknown
from layshaft.verdict.rows import Part

MISSING = re.compile(r"(.+?): (?:not given|not chosen yet)\b")
"""How an origin speaks of a line that is not there."""


def lines_waited_for(verdict: Verdict) -> dict[str, list[str]]:
    """By part the lines its unknown verdicts lack, each once, in the order in which they are asked for."""
    found: dict[str, dict[str, None]] = {}
    for rated in verdict.rated:
        for p, c in _unknown(rated):
            part = rated.block.parts[p]
            if part.not_chosen or part.rests_on:
                continue
            mine = next(check for check in rated.block.traced() if check.mode == rated.mode)
            for path in _lines(verdict, part, mine, p, c):
                found.setdefault(part.path, {})[path] = None
    return {part: list(lines) for part, lines in found.items()}


def _unknown(rated: Rated) -> Iterator[tuple[int, int]]:
    """Of every part the first case in which the check is asked and gives no number."""
    unknown = rated.asked & (rated.codes[:, :, 0] == UNKNOWN)
    for p in np.nonzero(unknown.any(axis=1))[0]:
        yield int(p), int(unknown[p].argmax())


def _lines(verdict: Verdict, part: Part, check: Check, p: int, c: int) -> Iterator[str]:
    seen: set[int] = set()
    for value in (check.demand, check.rating, check.required, check.margin):
        step = origin(value)
        for leaf in _leaves(step, p, c, seen) if step is not None else ():
            told = MISSING.match(part.origins[leaf.symbol].work) if leaf.symbol in part.origins else None
            if told and leaf.symbol not in part.demands and _is_there(verdict, told[1]):
                yield told[1]


def _leaves(step: Step, p: int, c: int, seen: set[int]) -> Iterator[Step]:
    """Every given that is not known and that a step stands on."""
    if id(step) in seen or not is_unknown(step.value, p, c):
        return
    seen.add(id(step))
    if step.kind == "given":
        yield step
    for _, value, source in step.arguments:
        if source is not None and source is not step and is_unknown(value, p, c):
            yield from _leaves(source, p, c, seen)


def _is_there(verdict: Verdict, path: str) -> bool:
    """Whether a path leads to a value of the model."""
    try:
        paths.in_model(verdict.solved.machine, paths.split(path) or ())
    except paths.NotThereError:
        return False
    return True
