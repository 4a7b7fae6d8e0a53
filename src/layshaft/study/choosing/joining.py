"""Every combination that meets every condition, found without looking at every combination.

A question with several sizes open is a grid: one axis for each size, its options from small to large. A condition
looks at a few axes only, so what it refuses is cut before the other axes are joined: two tables at a time,
first those that a condition can judge together and that make the smallest product. Nothing that passes is lost.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from itertools import combinations
from typing import Any

import numpy as np
import numpy.typing as npt

Values = npt.NDArray[Any]
Rows = npt.NDArray[np.int64]
CHUNK = 1 << 18
"""Pairs of rows looked at together: their columns stay within a processor's nearer memory."""

ENOUGH = 1 - 1e-9
"""Share of what a condition asks that counts as all of it: sums round."""


@dataclass(frozen=True, eq=False)
class Axis:
    """One size to be chosen: what each option puts into the machine file, and the columns conditions look at."""

    name: str
    part: str
    """Path of the part it belongs to."""

    options: Sequence[str]
    sets: Sequence[Mapping[str, float | str]]
    columns: Mapping[str, Values]

    def __len__(self) -> int:
        return len(self.options)


@dataclass(frozen=True, eq=False)
class Column:
    """A number reckoned from columns of one or several axes, once for all conditions and wishes that need it."""

    name: str
    needs: tuple[str, ...]
    value: Callable[..., Any]


@dataclass(frozen=True, eq=False)
class Condition:
    """A condition every answer meets. `share` is what there is over what is asked: 1 passes, less does not.

    NaN passes: what cannot be told here is left to the rating.
    """

    words: str
    needs: tuple[str, ...]
    share: Callable[..., Any]


@dataclass(eq=False)
class Grid:
    """What is asked: axes, columns reckoned from them, conditions from cheap to dear."""

    axes: list[Axis] = field(default_factory=list)
    columns: list[Column] = field(default_factory=list)
    conditions: list[Condition] = field(default_factory=list)

    @property
    def size(self) -> int:
        """Combinations in all."""
        return math.prod(len(axis) for axis in self.axes)


@dataclass(slots=True)
class Table:
    """Rows of options that passed so far, over some of the axes."""

    rows: dict[str, Rows]
    columns: dict[str, Values]

    def __len__(self) -> int:
        return len(next(iter(self.rows.values())))

    def kept(self, at: Values | slice) -> Table:
        """The rows at these places."""
        return Table({k: v[at] for k, v in self.rows.items()}, {k: v[at] for k, v in self.columns.items()})


@dataclass(slots=True)
class Killed:
    """What a condition refused: combinations, and the refused row that came nearest."""

    words: str
    count: int = 0
    nearest: float = -math.inf
    row: dict[str, int] = field(default_factory=dict)


@dataclass(slots=True)
class Joined:
    """Every combination that passed, and what each condition refused, in the order they were made."""

    table: Table
    killed: list[Killed]


def join(grid: Grid) -> Joined:
    """All combinations of a grid that pass all its conditions."""
    return _Join(grid).all()


class _Join:
    def __init__(self, grid: Grid) -> None:
        self.grid = grid
        self.killed = {condition: Killed(condition.words) for condition in grid.conditions}
        self.left = list(grid.conditions)
        self.derived = {column.name: column for column in grid.columns}

    def all(self) -> Joined:
        tables = [Table({axis.name: np.arange(len(axis))}, {k: np.asarray(v) for k, v in axis.columns.items()})
                  for axis in self.grid.axes]
        for i, table in enumerate(tables):
            whole = math.prod(len(t) for t in tables if t is not table)
            for condition in self._ready(table.columns):
                tables[i] = tables[i].kept(np.flatnonzero(self._passed(condition, tables[i], whole)))
        while len(tables) > 1:
            i, j = self._next(tables)
            rest = [t for k, t in enumerate(tables) if k not in (i, j)]
            tables = [*rest, self._merged(tables[i], tables[j], math.prod(len(t) for t in rest))]
        return Joined(tables[0], [self.killed[c] for c in self.grid.conditions if self.killed[c].count])

    # Which two tables next.

    def _next(self, tables: Sequence[Table]) -> tuple[int, int]:
        def cost(pair: tuple[int, int]) -> tuple[int, int]:
            a, b = tables[pair[0]], tables[pair[1]]
            judged = any(self._reachable(condition.needs, {**a.columns, **b.columns}) for condition in self.left)
            return (0 if judged else 1, len(a) * len(b))

        return min(combinations(range(len(tables)), 2), key=cost)

    def _reachable(self, names: Sequence[str], known: dict[str, Values]) -> bool:
        return all(name in known or (name in self.derived and self._reachable(self.derived[name].needs, known))
                   for name in names)

    def _ready(self, known: dict[str, Values]) -> list[Condition]:
        found = [condition for condition in self.left if self._reachable(condition.needs, known)]
        self.left = [condition for condition in self.left if condition not in found]
        return found

    # Two tables into one.

    def _merged(self, a: Table, b: Table, whole: int) -> Table:
        """`whole` is how many rows all other tables make together: each pair refused stands for so many."""
        if len(a) < len(b):
            a, b = b, a
        conditions = self._ready({**a.columns, **b.columns})
        step = max(1, CHUNK // max(1, len(b)))
        found = [self._piece(a.kept(slice(i, i + step)), b, conditions, whole) for i in range(0, len(a), step)]
        if not found:
            return self._piece(a, b, conditions, whole)
        names = dict.fromkeys(name for piece in found for name in piece.columns)
        return Table({k: np.concatenate([p.rows[k] for p in found]) for k in found[0].rows},
                     {k: np.concatenate([p.columns[k] for p in found]) for k in names
                      if all(k in p.columns for p in found)})

    def _piece(self, a: Table, b: Table, conditions: Sequence[Condition], whole: int) -> Table:
        """Some rows of one table with all of another. The first condition looks at the product without making it."""
        first, rest = (conditions[0], conditions[1:]) if conditions and len(a) and len(b) else (None, ())
        if first is None:
            i, j = (x.ravel() for x in np.indices((len(a), len(b))))
        else:
            wide = Table(a.rows, {**{k: v[:, None] for k, v in a.columns.items()},
                                  **{k: v[None, :] for k, v in b.columns.items()}})
            share = np.broadcast_to(self._share(first, wide), (len(a), len(b)))
            passed = self._told(first, share, whole, lambda at: {
                **{k: int(v[at // len(b)]) for k, v in a.rows.items()},
                **{k: int(v[at % len(b)]) for k, v in b.rows.items()}})
            i, j = np.nonzero(passed)
        one, other = a.kept(i), b.kept(j)
        table = Table({**one.rows, **other.rows}, {**one.columns, **other.columns})
        for condition in rest:
            table = table.kept(np.flatnonzero(self._passed(condition, table, whole)))
        return table

    def _passed(self, condition: Condition, table: Table, whole: int) -> Values:
        share = np.broadcast_to(self._share(condition, table), (len(table),))
        return self._told(condition, share, whole, lambda at: {k: int(v[at]) for k, v in table.rows.items()})

    def _share(self, condition: Condition, table: Table) -> Values:
        with np.errstate(all="ignore"):
            return np.asarray(condition.share(*(self._column(table, name) for name in condition.needs)))

    def _column(self, table: Table, name: str) -> Values:
        """A column of the table; reckoned and kept where it is not there yet."""
        if name not in table.columns:
            column = self.derived[name]
            table.columns[name] = np.asarray(column.value(*(self._column(table, need) for need in column.needs)))
        return table.columns[name]

    def _told(self, condition: Condition, share: Values, whole: int, row: Callable[[int], dict[str, int]]) -> Values:
        """Where a condition is met; what it refuses is counted."""
        refused = share < ENOUGH
        count = int(np.count_nonzero(refused))
        if count:
            told = self.killed[condition]
            told.count += count * whole
            best = int(np.argmax(np.where(refused, share, -np.inf)))
            if float(share.flat[best]) > told.nearest:
                told.nearest, told.row = float(share.flat[best]), row(best)
        return ~refused


def column(grid: Grid, table: Table, name: str) -> Values:
    """A column of the joined rows, of an axis or reckoned."""
    with np.errstate(all="ignore"):
        return np.broadcast_to(_Join(grid)._column(table, name), (len(table),))


def every(grid: Grid) -> Iterator[dict[str, int]]:
    """Each combination in turn, judged by nothing."""
    for at in np.ndindex(*(len(axis) for axis in grid.axes)):
        yield {axis.name: i for axis, i in zip(grid.axes, at, strict=True)}
