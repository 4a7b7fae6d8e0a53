"""Where adjustments end under doubt: each is set anew in every draw, and how often its want comes out is told."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from layshaft.machine.model import Machine
from layshaft.machine.sampling import Draws, with_draws
from layshaft.machine.schema import Given
from layshaft.machine.trims import trims
from layshaft.train.adjusting import Adjusted, adjusted

AT_ONCE = 1024
EDGE = 1e-6
"""Share of the travel within which an adjustment stands at a stop."""


@dataclass(frozen=True, slots=True)
class Adjustment:
    """One adjustment in all draws: shares of the draws, and its value at 5, 50 and 95 % of them."""

    given: Given
    want: str
    reached: float
    at_low: float
    at_high: float
    unknown: float
    value: tuple[float, float, float]
    place: tuple[float, float, float]
    """The same in its travel: 0 at the low stop, 1 at the high one."""


def adjustments(machine: Machine, draws: Mapping[str, Draws]) -> list[Adjustment]:
    """Set every adjustment of a machine in every draw."""
    if not trims(machine):
        return []
    count = len(next(iter(draws.values())))
    parts = ({cause: v[start: start + AT_ONCE] for cause, v in draws.items()} for start in range(0, count, AT_ONCE))
    chunks = [adjusted(machine, with_draws(machine, part))[1] for part in parts]
    return [_told(alike) for alike in zip(*chunks, strict=True)]


def _told(chunks: tuple[Adjusted, ...]) -> Adjustment:
    value, place, reached = (np.concatenate([getattr(c, name) for c in chunks])
                             for name in ("value", "place", "reached"))
    known, given = np.isfinite(place), chunks[0].given
    with np.errstate(invalid="ignore"):
        at_low, at_high = (float(there.mean()) for there in (place <= EDGE, place >= 1 - EDGE))
    return Adjustment(given, chunks[0].want, float(reached.mean()), at_low, at_high, float((~known).mean()),
                      _spread(value[known]), _spread(place[known]))


def _spread(values: npt.NDArray[np.float64]) -> tuple[float, float, float]:
    if not len(values):
        return float("nan"), float("nan"), float("nan")
    low, middle, high = (float(v) for v in np.quantile(values, (0.05, 0.5, 0.95)))
    return low, middle, high
