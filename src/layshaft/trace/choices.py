"""Real decisions side by side: what each way of building a part costs, in words and in numbers.

An element offers a `choices()` where a builder has to decide between kinds of it. The numbers come
from the element's own formulas for one stated case, so they cannot drift from what rates the part.
"""

from __future__ import annotations

from dataclasses import dataclass

from layshaft.trace.units import Dimension


@dataclass(frozen=True, slots=True)
class Figure:
    """One number of one choice, in SI."""

    meaning: str
    value: float
    dimension: Dimension


@dataclass(frozen=True, slots=True)
class Way:
    """One way to build it: its name, what it costs in a few lines of plain words, its numbers."""

    name: str
    words: str
    figures: tuple[Figure, ...]


@dataclass(frozen=True, slots=True)
class Choices:
    """A decision: what is decided, the case the numbers are for (invented), and the ways."""

    title: str
    case: str
    ways: tuple[Way, ...]
