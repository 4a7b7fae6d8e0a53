"""What a test is made of: columns to be read, the way from readings to a value, and the procedure around it."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from layshaft.trace.source import Source
from layshaft.trace.units import Dimension

Rows = Sequence[Mapping[str, Any]]
"""Lines of one repeat: numbers in SI by the name of their column."""

USUAL_SCATTER = Source("scatter to be expected of hand tests", obtained="common practice")


@dataclass(frozen=True, slots=True)
class Column:
    """One thing that is read: the unit it is written in, its instrument's smallest step, a usual reading."""

    name: str
    symbol: str
    dimension: Dimension
    unit: str
    step: float
    """Smallest step of a usual instrument, in `unit`; 0 for what is counted."""

    usual: float
    """In `unit`: for the plan before anything is read."""

    least: float = 0.0
    """In SI: what lies below is refused; 0 itself too, unless `zero`."""

    zero: bool = False


@dataclass(frozen=True, slots=True)
class Known:
    """A number the machine file knows, taken into the reckoning; `u` is its standard uncertainty."""

    symbol: str
    meaning: str
    dimension: Dimension
    value: float
    u: float
    source: Source


@dataclass(frozen=True, slots=True)
class Way:
    """From the readings of one repeat to one value, through formulas alone.

    `main` is the column whose reading follows from the value; `scatter` is what single values scatter by in
    practice, over the value. `extra` are further values worth telling, by their words.
    """

    words: str
    columns: tuple[str, ...]
    value: Callable[[Rows, Mapping[str, Any]], Any]
    main: str
    scatter: float
    needs: tuple[str, ...] = ()
    extra: tuple[tuple[str, Callable[[Rows, Mapping[str, Any]], Any], Dimension], ...] = ()


@dataclass(frozen=True, slots=True)
class Procedure:
    """A test a builder can make. `by` names the column that tells one repeat from the next, where it takes lines."""

    name: str
    rig: str
    instruments: tuple[str, ...]
    steps: tuple[str, ...]
    cautions: tuple[str, ...]
    columns: tuple[Column, ...]
    ways: Mapping[str, Way]
    note: str = ""
    by: str = ""

    def column(self, name: str) -> Column:
        """One of its columns."""
        return next(c for c in self.columns if c.name == name)


@dataclass(frozen=True, slots=True)
class Test:
    """A procedure made for one given: which way, and what the machine file knows for it."""

    __test__ = False

    procedure: Procedure
    way: Way
    known: tuple[Known, ...]

    @property
    def columns(self) -> tuple[Column, ...]:
        """What has to be read, in order."""
        return tuple(self.procedure.column(name) for name in self.way.columns)

    def numbers(self) -> dict[str, Any]:
        """What is known, by symbol."""
        return {k.symbol: k.value for k in self.known}
