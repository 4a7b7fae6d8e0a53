"""How near a finding stands to the edge of a whole number its demand or rating counts with."""

from __future__ import annotations

import functools
from collections.abc import Callable
from typing import Any

import numpy as np

from layshaft.trace.formula import origin, tracing
from layshaft.trace.units import figure, shown
from layshaft.trace.whole import counts_whole, replayed, whole
from layshaft.verdict.record import steps_to
from layshaft.verdict.rows import Block, Part

NEAR = 0.1
"""Of one whole number: a finding that holds says nothing of an edge further off."""


def edge_words(block: Block, part: Part, case: int, mode: str, *, holds: bool) -> str:
    """How near the next whole number is that counts worse, and the demand, rating and margin with it; blank if none."""
    kind: Any = block.inputs
    if not _rounds(block.rate, kind, mode):
        return ""
    with np.errstate(all="ignore"), tracing() as trace:
        checks = block.rate(block.single(part, case, mode)).checks
    check = next(c for c in checks if c.mode == mode)
    margin, demand = origin(check.margin), origin(check.demand)
    for found in filter(None, map(whole, trace.steps)):
        if margin is None or demand is None or (holds and found.spare > NEAR):
            continue
        then = replayed(trace, found.step, found.beyond, margin)
        if then < float(margin.value):  # an edge beyond which it is better needs no words
            asked = replayed(trace, found.step, found.beyond, demand)
            return (f"{found.step.meaning}: {found}, the demand then {shown(asked, check.dimension)} and the margin "
                    f"{figure(then, 3)}")
    return ""


@functools.cache
def _rounds(rate: Callable[[Any], Any], inputs: Any, mode: str) -> bool:
    """True where the margin of a mode stands on anything that is counted whole."""
    return any(s.formula is not None and counts_whole(s.formula) for s in steps_to(rate, inputs, mode))
