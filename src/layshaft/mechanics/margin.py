"""The margin: what a part carries over what is asked of it."""

from __future__ import annotations

import numpy as np

from layshaft.trace.formula import formula
from layshaft.trace.source import MECHANICS_OF_MATERIALS
from layshaft.trace.units import Ratio

UNLOADED = 1e6
"""The largest margin told, that of a part of which nothing is asked: finite, so that it can be said to hold."""


@formula(
    "S", "margin", MECHANICS_OF_MATERIALS,
    where={"rating": "what the part carries", "demand": "what is asked of it"},
)
def margin(rating: Ratio, demand: Ratio) -> Ratio:
    """Rating over demand, both in one dimension; not above a million when nothing is asked."""
    return rating / np.maximum(np.abs(demand), rating / UNLOADED)
