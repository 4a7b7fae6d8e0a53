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

SAMPLE = 512
"""Pairs of rows looked at to tell which two tables to join next."""

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
    dear: bool = False
    """Not to be looked at for an estimate: it solves the train."""


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
    """Rows of options that passed so far, over some of the axes.

    A column stays where it was made, with the place of each row in it: rows are joined and thrown out by places.
    """

    count: int
    rows: dict[str, Rows]
    sources: list[tuple[dict[str, Values], Rows]] = field(default_factory=list)
    made: dict[str, Values] = field(default_factory=dict)
    """Columns as long as the table itself."""

    def __len__(self) -> int:
        return self.count

    def names(self) -> set[str]:
        """Columns there are."""
        return set(self.made).union(*(columns for columns, _ in self.sources))

    def column(self, name: str) -> Values | None:
        """A column as long as the table, or None where it has not been made yet."""
        if name not in self.made:
            found = next(((columns[name], places) for columns, places in self.sources if name in columns), None)
            if found is None:
                return None
            self.made[name] = found[0][found[1]]
        return self.made[name]

    def kept(self, at: Values) -> Table:
        """The rows at these places."""
        moved = {id(places): places[at] for places in [*self.rows.values(), *(p for _, p in self.sources)]}
        sources = [(columns, moved[id(places)]) for columns, places in self.sources]
        own = {k: v for k, v in self.made.items() if not any(k in columns for columns, _ in self.sources)}
        more = [(own, np.asarray(at))] if own else []
        return Table(len(at), {k: moved[id(v)] for k, v in self.rows.items()}, [*sources, *more])


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
        tables = [_alone(axis) for axis in self.grid.axes]
        for i, table in enumerate(tables):
            whole = math.prod(len(t) for t in tables if t is not table)
            for condition in self._ready(table.names()):
                tables[i] = tables[i].kept(np.flatnonzero(self._passed(condition, tables[i], whole)))
        while len(tables) > 1:
            i, j = self._next(tables)
            rest = [t for k, t in enumerate(tables) if k not in (i, j)]
            tables = [*rest, self._merged(tables[i], tables[j], math.prod(len(t) for t in rest))]
        return Joined(tables[0], [self.killed[c] for c in self.grid.conditions if self.killed[c].count])

    # Which two tables next.

    def _next(self, tables: Sequence[Table]) -> tuple[int, int]:
        """The pair of which the fewest rows are left, by a sample: first those that a condition can judge."""
        draws = np.random.default_rng(len(tables))

        def cost(pair: tuple[int, int]) -> tuple[int, float]:
            a, b = tables[pair[0]], tables[pair[1]]
            known = a.names() | b.names()
            judges = [condition for condition in self.left if self._reachable(condition.needs, known)]
            return (0 if judges else 1, len(a) * len(b) * self._passing(a, b, judges, draws))

        return min(combinations(range(len(tables)), 2), key=cost)

    def _passing(self, a: Table, b: Table, judges: Sequence[Condition], draws: np.random.Generator) -> float:
        """Share of a sample of pairs that some conditions let pass; a dear one is left out of it."""
        if not (len(a) and len(b) and judges):
            return 1.0
        one, other = a.kept(draws.integers(len(a), size=SAMPLE)), b.kept(draws.integers(len(b), size=SAMPLE))
        table = _beside(one, other)
        passed = np.ones(SAMPLE, bool)
        for condition in judges:
            if not condition.dear:
                passed &= ~(np.broadcast_to(self._share(condition, table), (SAMPLE,)) < ENOUGH)
        return (float(passed.sum()) + 0.5) / SAMPLE

    def _reachable(self, names: Sequence[str], known: set[str]) -> bool:
        return all(name in known or (name in self.derived and self._reachable(self.derived[name].needs, known))
                   for name in names)

    def _ready(self, known: set[str]) -> list[Condition]:
        found = [condition for condition in self.left if self._reachable(condition.needs, known)]
        self.left = [condition for condition in self.left if condition not in found]
        return found

    # Two tables into one.

    def _merged(self, a: Table, b: Table, whole: int) -> Table:
        """`whole` is how many rows all other tables make together: each pair refused stands for so many."""
        if len(a) < len(b):
            a, b = b, a
        conditions = self._ready(a.names() | b.names())
        step = max(1, CHUNK // max(1, len(b)))
        found = [self._piece(a.kept(np.arange(i, min(i + step, len(a)))), b, conditions, whole)
                 for i in range(0, len(a), step)]
        return _one_below_another(found) if found else self._piece(a, b, conditions, whole)

    def _piece(self, a: Table, b: Table, conditions: Sequence[Condition], whole: int) -> Table:
        """Some rows of one table with all of another. The first condition looks at the product without making it."""
        first, rest = (conditions[0], conditions[1:]) if conditions and len(a) and len(b) else (None, ())
        if first is None:
            i, j = (x.ravel() for x in np.indices((len(a), len(b))))
        else:
            share = np.broadcast_to(self._share(first, _Wide(a, b)), (len(a), len(b)))
            passed = self._told(first, share, whole, lambda at: {
                **{k: int(v[at // len(b)]) for k, v in a.rows.items()},
                **{k: int(v[at % len(b)]) for k, v in b.rows.items()}})
            i, j = np.nonzero(passed)
        table = _beside(a.kept(i), b.kept(j))
        for condition in rest:
            table = table.kept(np.flatnonzero(self._passed(condition, table, whole)))
        return table

    def _passed(self, condition: Condition, table: Table, whole: int) -> Values:
        share = np.broadcast_to(self._share(condition, table), (len(table),))
        return self._told(condition, share, whole, lambda at: {k: int(v[at]) for k, v in table.rows.items()})

    def _share(self, condition: Condition, table: Table | _Wide) -> Values:
        with np.errstate(all="ignore"):
            return np.asarray(condition.share(*(self._column(table, name) for name in condition.needs)))

    def _column(self, table: Table | _Wide, name: str) -> Values:
        """A column of the table; reckoned and kept where it is not there yet."""
        found = table.column(name)
        if found is None:
            column = self.derived[name]
            found = np.asarray(column.value(*(self._column(table, need) for need in column.needs)))
            table.made[name] = found
        return found

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


class _Wide:
    """Every pair of rows of two tables, without a row for each: columns lie across and along."""

    def __init__(self, a: Table, b: Table) -> None:
        self.a, self.b = a, b
        self.made: dict[str, Values] = {}

    def column(self, name: str) -> Values | None:
        """A column that broadcasts to all pairs."""
        if name not in self.made:
            along, across = self.a.column(name), self.b.column(name)
            if along is None and across is None:
                return None
            self.made[name] = along[:, None] if along is not None else across[None, :]  # type: ignore[index]
        return self.made[name]


def _alone(axis: Axis) -> Table:
    places = np.arange(len(axis))
    return Table(len(axis), {axis.name: places}, [({k: np.asarray(v) for k, v in axis.columns.items()}, places)])


def _beside(a: Table, b: Table) -> Table:
    """Two tables of as many rows, as one."""
    return Table(len(a), a.rows | b.rows, [*a.sources, *b.sources], a.made | b.made)


def _one_below_another(pieces: Sequence[Table]) -> Table:
    """Pieces of the same two tables. What was reckoned in a piece alone is reckoned again where it is wanted."""
    if len(pieces) == 1:
        return pieces[0]
    first = pieces[0]
    rows = {k: np.concatenate([p.rows[k] for p in pieces]) for k in first.rows}
    same = {id(places): rows[k] for k, places in first.rows.items()}
    sources = []
    for columns, places in first.sources:
        there = [next((pl for c, pl in p.sources if c is columns), None) for p in pieces]
        if all(one is not None for one in there):
            whole = same.get(id(places))
            sources.append((columns, np.concatenate(there) if whole is None else whole))  # type: ignore[arg-type]
    return Table(sum(map(len, pieces)), rows, sources)


def column(grid: Grid, table: Table, name: str) -> Values:
    """A column of the joined rows, of an axis or reckoned."""
    with np.errstate(all="ignore"):
        return np.broadcast_to(_Join(grid)._column(table, name), (len(table),))


def every(grid: Grid) -> Iterator[dict[str, int]]:
    """Each combination in turn, judged by nothing."""
    for at in np.ndindex(*(len(axis) for axis in grid.axes)):
        yield {axis.name: i for axis, i in zip(grid.axes, at, strict=True)}
