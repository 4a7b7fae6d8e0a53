"""Verdicts: holds, thin, fails, unknown. Formed positively, so that NaN can never hold."""

from __future__ import annotations

import math
from dataclasses import dataclass, field
from typing import Any, Literal

import numpy as np
import numpy.typing as npt

from layshaft.trace.source import Source
from layshaft.trace.units import COUNT, Dimension, figure, shown

Word = Literal["fails", "unknown", "thin", "holds"]
WORST_FIRST: tuple[Word, ...] = ("fails", "unknown", "thin", "holds")
FAILS, UNKNOWN, THIN, HOLDS = range(4)
_FAILS, _UNKNOWN, _THIN, _HOLDS = np.arange(4, dtype=np.int8)
LARGE_MARGIN = 10.0
LARGEST = float(np.finfo(np.float64).max)


def verdicts(demand: Any, rating: Any, margin: Any, required: Any, hurts: Any) -> npt.NDArray[np.int8]:
    """Code of each entry, in the order of `WORST_FIRST`.

    Unknown where demand, rating, margin or required margin is not a finite number. Holds only where
    margin >= required. Between 1 and required: thin, or fails where a person can be hurt.
    """
    finite = np.isfinite(demand) & np.isfinite(rating) & np.isfinite(margin) & np.isfinite(required)
    holds = margin >= required
    thin = (margin >= 1) & ~np.asarray(hurts, bool)
    return np.where(finite, np.where(holds, _HOLDS, np.where(thin, _THIN, _FAILS)), _UNKNOWN)


def nearness(margin: Any, required: Any) -> Any:
    """Margin over required margin, 0 where unknown and never infinite: sorts what is nearest to failing first."""
    share = np.minimum(np.maximum(margin / required, -LARGEST), LARGEST)
    return np.where(np.isnan(share), 0.0, share)


@dataclass(frozen=True, slots=True)
class Shares:
    """Of the samples: the shares that hold, do not hold, and are unknown. They add up to 1."""

    holds: float
    does_not: float
    unknown: float


@dataclass(frozen=True, slots=True)
class Finding:
    """One verdict: a failure mode of one part, in one case.

    `place` is the section or seat within the part. `reason` says why it is unknown. `hurts` says
    who is at risk if the part lets go. `trust` is not empty where the rating rests on a typical or
    remembered value or method, and then counts as a guess.
    """

    part: str
    place: str
    mode: str
    case: str
    title: str
    dimension: Dimension
    demand: float
    rating: float
    margin: float
    required: float
    verdict: Word
    source: Source
    required_source: Source
    reason: str = ""
    hurts: str = ""
    trust: str = ""
    note: str = ""
    fingerprint: str = ""
    shares: Shares | None = None
    each: Any = field(default=None, compare=False, repr=False)
    """Of a finding on the machine as a whole: its margin in every draw, where there are many."""

    @property
    def rank(self) -> tuple[int, float]:
        """Sorts worst first; among equals the smaller share of the required margin first."""
        share = self.margin / self.required if math.isfinite(self.margin) else 0.0
        return WORST_FIRST.index(self.verdict), share

    @property
    def one_at_least(self) -> bool:
        """Whether it only asks that there is something at all (what ends it, what holds, room): words say it then, and
        figures nothing.
        """
        return self.dimension is COUNT and self.demand == 1 == self.required

    @property
    def verdict_text(self) -> str:
        """The verdict in words, with what it rests on."""
        if self.verdict == "unknown":
            return f"unknown: {self.reason}" if self.reason else "unknown"
        if self.verdict == "holds" and self.trust:
            return f"holds, on {self.trust}"
        return self.verdict

    @property
    def demand_text(self) -> str:
        """Demand with its unit."""
        return shown(self.demand, self.dimension)

    @property
    def rating_text(self) -> str:
        """Rating with its unit."""
        return shown(self.rating, self.dimension)

    @property
    def margin_text(self) -> str:
        """Margin, large ones as `>10`."""
        return margin_text(self.margin)

    def __str__(self) -> str:
        place = f", {self.place}" if self.place else ""
        return (f"{self.verdict_text}: {self.part}{place}: {self.mode}, {self.title}: demand {self.demand_text}, "
                f"rating {self.rating_text}, margin {self.margin_text}, required {figure(self.required, 3)}")


def margin_text(margin: float) -> str:
    """A margin with two or three digits; above ten it reads `>10`."""
    if np.isnan(margin):
        return "unknown"
    return ">10" if margin > LARGE_MARGIN else figure(margin, 3)
