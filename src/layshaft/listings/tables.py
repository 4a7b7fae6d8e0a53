"""Tables that ship with the house: CSV files with their source in the lines above the header.

The lines that start with ``#`` before the header are `key: text`; `source` and `obtained` are
required. A column `obtained` in a row overrides the table's own for that row. Values stay text
here; `number` types them, so an empty cell is unknown (NaN), never zero.
"""

from __future__ import annotations

import csv
import functools
from dataclasses import dataclass
from importlib import resources
from typing import get_args

from layshaft.trace.source import Obtained, Source


@dataclass(frozen=True, slots=True)
class Row:
    """One line of a table, with its place for the record and the sheet."""

    table: str
    name: str
    cells: dict[str, str]
    source: Source

    def number(self, column: str, factor: float = 1.0) -> float:
        """The cell as a float times `factor` (the SI size of the column's unit); NaN if empty."""
        text = self.cells[column]
        return float(text) * factor if text else float("nan")

    def text(self, column: str) -> str:
        """The cell as written."""
        return self.cells[column]

    @property
    def content(self) -> str:
        """All cells as one text: what a record keeps, so that a corrected table makes it stale."""
        return "|".join(f"{k}={v}" for k, v in self.cells.items())


@dataclass(frozen=True, slots=True)
class Table:
    """A whole table, in file order; `key` is its first column."""

    name: str
    title: str
    source: Source
    rows: tuple[Row, ...]

    def __getitem__(self, name: str) -> Row:
        row = _index(self).get(name.casefold())
        if row is None:
            raise KeyError(name)
        return row

    def get(self, name: str) -> Row | None:
        """The row of that name, regardless of case, or None."""
        return _index(self).get(name.casefold())

    @property
    def names(self) -> list[str]:
        """First-column entries, in file order."""
        return [row.name for row in self.rows]


_INDEXES: dict[str, dict[str, Row]] = {}


def _index(table: Table) -> dict[str, Row]:
    if table.name not in _INDEXES:
        _INDEXES[table.name] = {row.name.casefold(): row for row in table.rows}
    return _INDEXES[table.name]


@functools.cache
def table(name: str) -> Table:
    """Read the shipped table `name`. Raises `KeyError` if there is none."""
    place = resources.files("layshaft.tables") / f"{name}.csv"
    if not place.is_file():
        raise KeyError(name)
    return _parsed(name, place.read_text(encoding="utf-8"))


def table_names() -> list[str]:
    """Names of all shipped tables."""
    folder = resources.files("layshaft.tables")
    return sorted(p.name.removesuffix(".csv") for p in folder.iterdir() if p.name.endswith(".csv"))


def _parsed(name: str, text: str) -> Table:
    lines = text.splitlines()
    head = [line[1:].strip() for line in lines if line.startswith("#")]
    facts = dict(line.split(":", 1) for line in head if ":" in line)
    obtained = _obtained(facts["obtained"].strip(), name)
    source = Source(facts["source"].strip(), "", obtained)
    rows = []
    for cells in csv.DictReader(line for line in lines if line and not line.startswith("#")):
        key = next(iter(cells.values()))
        own = cells.get("obtained")
        row_source = Source(source.work, f"row {key}", _obtained(own, name) if own else obtained)
        rows.append(Row(name, key, cells, row_source))
    return Table(name, facts.get("title", name).strip(), source, tuple(rows))


def _obtained(text: str, name: str) -> Obtained:
    for word in get_args(Obtained):
        if text == word:
            return word  # type: ignore[no-any-return]
    raise ValueError(f"table {name}: obtained '{text}' is none of {', '.join(get_args(Obtained))}")
