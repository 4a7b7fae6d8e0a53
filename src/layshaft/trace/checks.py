"""What a rating answers: one check for each way a part can fail."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from layshaft.trace.source import Source
from layshaft.trace.units import Dimension


@dataclass(frozen=True, slots=True)
class Check:
    """One failure mode of one part, for one row or many.

    `demand` and `rating` have the dimension named; `margin` is the number held against `required`.
    Usually margin = rating / demand; where a method forms it otherwise (a sum of used shares), its
    formula says how. `source` is the method the rating stands on; `required_source` says who asks
    for the required margin.
    """

    mode: str
    dimension: Dimension
    demand: Any
    rating: Any
    margin: Any
    required: Any
    source: Source
    required_source: Source
    note: str = ""
    beside: tuple[Any, ...] = ()
    """Results of other methods that stand on the same sheet; no verdict rests on them."""
