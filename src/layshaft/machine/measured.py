"""Measured tables as CSV: a header with units, then numbers; decimal commas where semicolons or tabs part the cells.

`points_from` puts the lines of a table beside the machine file into the tree, each cell with its own place, so that
what is wrong with it is said with file and line.
"""

from __future__ import annotations

import csv
import io
import re
from dataclasses import dataclass
from pathlib import Path

from layshaft.machine import document
from layshaft.machine.document import Entry, ListNode, MapNode, TextNode
from layshaft.machine.errors import MachineErrors, Problem
from layshaft.machine.schema import Mark
from layshaft.machine.sentences import measured as say

NUMBER = re.compile(r"[+-]?(?:\d+\.?\d*|\.\d+)(?:[eE][+-]?\d+)?")
UNIT = re.compile(r"(?:in\s+(?P<words>.+)|\((?P<round>.+)\)|\[(?P<square>.+)\]|/\s*(?P<over>.+))")
MOST_PROBLEMS = 5
FROM = {"torque by angle": ("points", "torque"), "cam": ("lift", "lift")}
LEAST_POINTS = 2


@dataclass(frozen=True, slots=True)
class Table:
    """Lines of a measured table: the place of each, and its cells under the columns that were asked for."""

    file: str
    units: dict[str, str]
    rows: list[tuple[Mark, dict[str, float]]]
    said: dict[str, str]
    """What lines that begin with # say, such as '# pulses per turn: 4'."""


def read_table(text: str, file: str, columns: dict[str, str]) -> Table:
    """A table with these columns, each with an example of its unit (blank: it has none). Raises `MachineErrors`."""
    said, lines = _split(text)
    asked = [f"{name} in {unit}" if unit else name for name, unit in columns.items()]
    if not lines:
        raise MachineErrors([Problem(Mark(file, 1, 1), say.empty_table(asked))])
    first, head = lines[0]
    separator = next((s for s in ";\t" if s in head), ",")
    places, units = _header(_cells(head, separator), columns)
    if places is None:
        raise MachineErrors([Problem(Mark(file, first, 1), say.header(head, asked))])
    problems: list[Problem] = []
    rows = []
    for number, line in lines[1:]:
        row = _row(_cells(line, separator), Mark(file, number, 1), places, separator, problems)
        if len(problems) >= MOST_PROBLEMS:
            break
        rows.append((Mark(file, number, 1), row))
    if not rows and not problems:
        problems.append(Problem(Mark(file, first, 1), say.empty_table(asked)))
    if problems:
        raise MachineErrors(problems)
    return Table(file, units, rows, said)


def _split(text: str) -> tuple[dict[str, str], list[tuple[int, str]]]:
    """What is said in remarks, and the other lines with their numbers."""
    said, lines = {}, []
    for number, line in enumerate(text.splitlines(), 1):
        if line.lstrip().startswith("#"):
            key, colon, value = line.lstrip("# \t").partition(":")
            if colon:
                said[key.strip().casefold()] = value.strip()
        elif line.strip(" \t;,"):
            lines.append((number, line))
    return said, lines


def _cells(line: str, separator: str) -> list[str]:
    return [cell.strip() for cell in next(csv.reader(io.StringIO(line), delimiter=separator), [])]


def _header(cells: list[str], columns: dict[str, str]) -> tuple[dict[str, int] | None, dict[str, str]]:
    """Where each column stands, and its unit; None where one is not there or lacks its unit."""
    places, units = {}, {}
    for i, cell in enumerate(cells):
        for name, unit in columns.items():
            if cell.casefold() == name and not unit:
                places[name], units[name] = i, ""
            elif unit and cell.casefold().startswith(name):
                match = UNIT.fullmatch(cell[len(name):].strip())
                if match is not None:
                    places[name], units[name] = i, next(g for g in match.groups() if g).strip()
    return (places if len(places) == len(columns) else None), units


def _row(cells: list[str], mark: Mark, places: dict[str, int], separator: str,
         problems: list[Problem]) -> dict[str, float]:
    row = {}
    for name, i in places.items():
        cell = cells[i] if i < len(cells) else ""
        plain = cell.replace(",", ".") if separator != "," and "." not in cell else cell
        if not cell:
            problems.append(Problem(mark, say.no_cell(name)))
        elif not NUMBER.fullmatch(plain):
            problems.append(Problem(mark._replace(column=i + 1), say.no_number(cell, name)))
        else:
            row[name] = float(plain)
    return row


# Points of a load --------------------------------------------------------------------------------


def points_from(root: MapNode, folder: Path) -> MapNode:
    """The tree with the points that loads take from tables beside the file. Raises `MachineErrors`."""
    loads = root.get("loads")
    if not isinstance(loads, MapNode):
        return root
    problems: list[Problem] = []
    entries = tuple(_filled(entry, folder, problems) for entry in loads.entries)
    if problems:
        raise MachineErrors(problems)
    if all(a is b for a, b in zip(entries, loads.entries, strict=True)):
        return root
    return root.with_entries(tuple(e._replace(value=loads.with_entries(entries)) if e.value is loads else e
                                   for e in root.entries))


def _filled(entry: Entry, folder: Path, problems: list[Problem]) -> Entry:
    load = entry.value
    if not isinstance(load, MapNode):
        return entry
    kind, name = load.get("kind"), load.entry("from")
    if not (isinstance(kind, TextNode) and kind.text in FROM and name and isinstance(name.value, TextNode)):
        return entry
    key, column = FROM[kind.text]
    path, file = f"loads.{entry.key}.from", name.value.text
    if load.get(key) is not None:
        problems.append(Problem(name.mark, say.both_ways(f"loads.{entry.key}", key)))
    elif Path(file).name != file or not file.strip("."):
        problems.append(Problem(name.value.mark, say.not_beside(path, file)))
    elif not (folder / file).is_file():
        problems.append(Problem(name.value.mark, say.no_table(path, file)))
    else:
        try:
            found = _points(folder / file, column)
        except MachineErrors as errors:
            problems.extend(errors.problems)
        else:
            return entry._replace(value=load.with_entries((*load.entries, Entry(key, name.mark, found))))
    return entry


def _points(place: Path, column: str) -> ListNode:
    units = {"angle": "deg", column: "N m" if column == "torque" else "mm"}
    table = read_table(document.load(place), str(place), units)
    if len(table.rows) < LEAST_POINTS:
        raise MachineErrors([Problem(table.rows[0][0], say.too_few_lines(len(table.rows), LEAST_POINTS))])
    return ListNode(tuple(
        ListNode(tuple(TextNode(f"{row[name]:.12g} {table.units[name]}", mark) for name in units), mark)
        for mark, row in table.rows), table.rows[0][0])
