"""`parts.csv` beside the machine file: own listings, one a line, merged into the file's `parts`.

Columns: `name`, `kind`, and the keys of those kinds, units in the cells. An empty cell says
nothing. The mark of a cell is its line and its number in the line.
"""

from __future__ import annotations

import csv
import io

from layshaft.machine.document import Entry, MapNode, TextNode
from layshaft.machine.errors import MachineErrors, Problem
from layshaft.machine.kinds import PARTS
from layshaft.machine.schema import Mark, keys
from layshaft.machine.sentences import parts as say

COLUMNS = ["name", "kind", *dict.fromkeys(key for kind in PARTS.values() for key in keys(kind))]


def merged(root: MapNode, text: str, file: str) -> MapNode:
    """The tree with the lines of a parts list added to its `parts`."""
    problems: list[Problem] = []
    rows = _rows(text, file, problems)
    listed = root.entry("parts")
    own = listed.value if listed is not None else MapNode(())
    if isinstance(own, MapNode):
        _same_names(own, rows, problems)
    if problems:
        raise MachineErrors(problems)
    if not isinstance(own, MapNode):
        if not isinstance(own, TextNode) or own.text or own.quoted:
            return root  # the shape pass says what is wrong with it
        own = MapNode((), own.mark)
    both = own.with_entries((*own.entries, *rows))
    entry = Entry("parts", listed.mark if listed else Mark(file, 1, 1), both)
    others = tuple(entry if e.key == "parts" else e for e in root.entries)
    return root.with_entries(others if listed else (*others, entry))


def _same_names(own: MapNode, rows: list[Entry], problems: list[Problem]) -> None:
    seen = {e.key.casefold(): e for e in own.entries}
    for row in rows:
        first = seen.setdefault(row.key.casefold(), row)
        if first is not row:
            problems.append(Problem(row.mark, say.part_twice(row.key, str(first.mark))))


def _rows(text: str, file: str, problems: list[Problem]) -> list[Entry]:
    head = next((line for line in text.splitlines() if line.strip() and not line.startswith("#")), "")
    separator = ";" if head.count(";") > head.count(",") else ","
    reader = csv.reader(io.StringIO(text, newline=""), delimiter=separator)
    columns: list[str] = []
    rows: list[Entry] = []
    try:
        for cells in reader:
            line = reader.line_num
            cells = [cell.strip() for cell in cells]
            if not any(cells) or cells[0].startswith("#"):
                continue
            if not columns:
                columns = _columns(cells, Mark(file, line, 1), problems)
            else:
                rows.extend(_row(columns, cells, Mark(file, line, 1), problems))
    except csv.Error as why:
        problems.append(Problem(Mark(file, max(reader.line_num, 1), 1), say.not_csv(str(why))))
    return rows


def _columns(cells: list[str], mark: Mark, problems: list[Problem]) -> list[str]:
    for number, column in enumerate(cells, 1):
        if column and column not in COLUMNS:
            problems.append(Problem(mark._replace(column=number), say.unknown_column(column, COLUMNS)))
        elif column and column in cells[: number - 1]:
            problems.append(Problem(mark._replace(column=number), say.column_twice(column)))
    for needed in ("name", "kind"):
        if needed not in cells:
            problems.append(Problem(mark, say.column_needed(needed)))
    return cells


def _row(columns: list[str], cells: list[str], mark: Mark, problems: list[Problem]) -> list[Entry]:
    if any(cells[len(columns):]) or any(c for c, h in zip(cells, columns, strict=False) if not h):
        problems.append(Problem(mark, say.too_many_cells(len(cells), len(columns))))
        return []
    entries = []
    name, place = "", mark
    for number, (column, cell) in enumerate(zip(columns, cells, strict=False), 1):
        at = mark._replace(column=number)
        if column == "name":
            name, place = cell, at
        elif cell and column:
            entries.append(Entry(column, at, TextNode(cell, at, quoted=True)))
    if not name:
        problems.append(Problem(mark, say.part_without_name()))
        return []
    return [Entry(name, place, MapNode(tuple(entries), mark))]
