"""Tables to take away: rows of texts and numbers, as CSV or as a workbook.

A number stays a number, in the unit its head names; a text that begins like a formula of a spreadsheet
is kept a text.
"""

from __future__ import annotations

import csv
import io
import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass, field, replace
from typing import Any

from layshaft.bill.parts import parts_list
from layshaft.faces.pages.keys import text_in_words
from layshaft.faces.pages.words import name_words, part_words
from layshaft.machine.model import Machine
from layshaft.machine.schema import Choice, Given
from layshaft.trace.errors import BadInput
from layshaft.trace.findings import Finding
from layshaft.trace.units import MASS, SPEED, TORQUE, figure, printing_in, shown
from layshaft.verdict.guesses import guesses
from layshaft.verdict.jam import jams
from layshaft.verdict.needs import needs
from layshaft.verdict.rate import Verdict

Cell = str | float | int
KEY, WRITTEN = "In the machine file", "As written"
"""Heads of the columns that stand as the machine file has it; everywhere else keys are said in words."""

BEGINS_A_FORMULA = ("=", "+", "-", "@", "\t", "\r")


@dataclass(frozen=True, slots=True)
class Sheet:
    """One table: a title, heads with their unit, rows of texts and numbers. An unknown number is a blank."""

    title: str
    heads: tuple[str, ...]
    rows: list[tuple[Cell, ...]]
    widths: tuple[float, ...]
    numeric: tuple[int, ...] = field(default=())


def table_of(verdict: Verdict, name: str) -> Sheet:
    """One of `TABLES`. Raises `BadInput` for another name."""
    if name not in TABLES:
        raise BadInput(f"There is no table '{name}'. Tables: {', '.join(TABLES)}.")
    machine = verdict.solved.machine
    with printing_in(machine.units):
        found = TABLES[name](verdict)
    rows = [tuple(_in_words(c, head, machine) for head, c in zip(found.heads, r, strict=True)) for r in found.rows]
    return replace(found, rows=rows)


def _in_words(cell: Cell, head: str, machine: Machine) -> Cell:
    return text_in_words(cell, machine) if isinstance(cell, str) and head not in (KEY, WRITTEN) else cell


def _findings(verdict: Verdict) -> Sheet:
    heads = ("Verdict", "Part", KEY, "Place", "Checked", "Case", "Demand", "Rating", "Unit", "Margin", "Required",
             "At risk", "Why, or what it rests on", "Method", "Sheet")
    return Sheet("Findings", heads, [_finding(f) for f in verdict.findings], (1,) * len(heads), (6, 7, 9, 10))


def _finding(f: Finding) -> tuple[Cell, ...]:
    unit = f.dimension.best_unit(f.rating if math.isfinite(f.rating) else f.demand)
    size = f.dimension.units[unit]
    return (f.verdict, part_words(f.part), f.part, f.place, f.mode, f.title, _number(f.demand / size),
            _number(f.rating / size), unit, _number(f.margin), _number(f.required), f.hurts,
            f.reason or f.trust or f.note, str(f.source), f.fingerprint)


def _number(value: float) -> Cell:
    """A number with six digits; a blank where it is not known."""
    return float(f"{value:.6g}") if math.isfinite(value) else ""


def _parts(verdict: Verdict) -> Sheet:
    unit = MASS.printed[0]
    rows: list[tuple[Cell, ...]] = [
        (line.quantity, line.name, "; ".join(part_words(p) for p in line.where), _number(line.mass / MASS.units[unit]),
         _number(line.total_mass / MASS.units[unit]), line.basis)
        for line in parts_list(verdict.solved.machine, verdict.solved)]
    heads = ("Pieces", "What", "Where", f"Mass of one, {unit}", f"Mass of all, {unit}", "Where the mass comes from")
    return Sheet("Parts", heads, rows, (0, 2, 3, 0, 0, 2), (0, 3, 4))


def _givens(verdict: Verdict) -> Sheet:
    rows: list[tuple[Cell, ...]] = []
    for leaf in verdict.solved.machine.leaves:
        if isinstance(leaf, Choice) and leaf.state != "missing":
            state = "chosen size" if leaf.known else leaf.state
            rows.append((part_words(leaf.path), leaf.name, "", "", "", "", state, "", leaf.path))
        elif isinstance(leaf, Given) and leaf.state != "missing":
            rows.append(_given(leaf))
    heads = "Given", WRITTEN, "Value", "Least", "Most", "Unit", "Source", "Note", KEY
    return Sheet("Givens", heads, rows, (3, 1.6, 0, 0, 0, 0, 0, 2, 3), (2, 3, 4))


def _given(g: Given) -> tuple[Cell, ...]:
    unit = g.dimension.best_unit(g.nominal)
    size = g.dimension.units[unit]
    ends = [_number(e / size) if g.doubtful and e is not None else "" for e in (g.low, g.high)]
    said = ", ".join(part for part in (g.note, g.who, g.when) if part)
    value = _number(g.nominal / size) if g.known else ""
    return (part_words(g.path), g.written or g.state, value, *ends, unit if g.known else "",
            g.source if g.known else g.state, said, g.path)


def _guesses(verdict: Verdict) -> Sheet:
    rows: list[tuple[Cell, ...]] = [(part_words(g.path), g.value, g.why, g.path) for g in guesses(verdict)]
    return Sheet("Guesses", ("Given", "Value", "Why it is a guess", KEY), rows, (2, 1, 3, 2))


def _shafts(verdict: Verdict) -> Sheet:
    speed, torque = SPEED.printed[0], TORQUE.printed[0]
    solved = verdict.solved
    rows: list[tuple[Cell, ...]] = []
    for name, omega in solved.speed.items():
        for i, column in enumerate(solved.columns):
            seats = solved.seat_torque[name]
            most = max((float(abs(t[i]).mean()) for t in seats.values()), default=math.nan)
            rows.append((name, column.title, _number(float(omega[i].mean()) / SPEED.units[speed]),
                         _number(most / TORQUE.units[torque])))
    return Sheet("Shafts", ("Shaft", "Case", f"Speed, {speed}", f"Largest torque at a seat, {torque}"), rows,
                 (1, 2, 1, 1), (2, 3))


def _needs(verdict: Verdict) -> Sheet:
    rows: list[tuple[Cell, ...]] = []
    for n in needs(verdict):
        best = n.smallest or n.nearest
        asked = ", ".join(f"{name} at least {shown(value, d)}" for name, value, d in n.ask_for)
        rows.append((part_words(n.path), n.what, n.sentence, best.candidate.name if best else "",
                     "" if best is None else "holds" if n.smallest else "does not hold", asked,
                     " ".join(n.notes), n.path))
    heads = "Part", "What", "What it must do", "Size to start from", "Does it hold", "Ask for", "Notes", KEY
    return Sheet("Needs", heads, rows, (2, 1, 2, 1, 1, 2, 2, 2))


def _jams(verdict: Verdict) -> Sheet:
    unit = TORQUE.printed[0]
    rows: list[tuple[Cell, ...]] = []
    for jam in jams(verdict):
        first = jam.first_to_go
        rows.append((jam.shaft, "held by the drive's pull" if jam.still else "stopped dead while it runs",
                     _number(jam.torque / TORQUE.units[unit]), name_words(first) if first else "",
                     first.mode if first else "", _number(first.margin) if first else "",
                     "lets go" if jam.goes else "holds" if first else ""))
    heads = "Shaft", "How", f"Torque that holds it, {unit}", "First to go", "By", "Margin", "Does it let go"
    return Sheet("Jams", heads, rows, (1, 2, 1, 2, 1, 1, 1), (2, 5))


TABLES: dict[str, Callable[[Verdict], Sheet]] = {
    "findings": _findings, "parts": _parts, "givens": _givens, "guesses": _guesses, "shafts": _shafts, "needs": _needs,
    "jams": _jams,
}


def cell_text(cell: Cell) -> str:
    """A cell as it is printed."""
    return figure(cell) if isinstance(cell, float) else str(cell)


def as_csv(sheet: Sheet) -> str:
    """The table as CSV: commas, a point before decimals, lines ending as the standard of CSV has it."""
    out = io.StringIO()
    writer = csv.writer(out, lineterminator="\r\n")
    writer.writerow(sheet.heads)
    writer.writerows([_harmless(c) for c in row] for row in sheet.rows)
    return out.getvalue()


def _harmless(cell: Cell) -> Any:
    return f"'{cell}" if isinstance(cell, str) and cell.startswith(BEGINS_A_FORMULA) else cell


def as_workbook(sheets: Sequence[Sheet]) -> bytes:
    """Tables as a workbook, one leaf each; texts are written as texts, so none of them is ever worked out."""
    from openpyxl import Workbook  # type: ignore[import-untyped]
    from openpyxl.cell import WriteOnlyCell  # type: ignore[import-untyped]
    from openpyxl.styles import Font  # type: ignore[import-untyped]

    book = Workbook(write_only=True)
    for sheet in sheets:
        leaf = book.create_sheet(sheet.title)
        leaf.freeze_panes = "A2"
        for i, width in enumerate(_letters(sheet)):
            leaf.column_dimensions[chr(ord("A") + i)].width = width
        for r, row in enumerate([sheet.heads, *sheet.rows]):
            cells = []
            for value in row:
                cell = WriteOnlyCell(leaf, None if value == "" else _printable(value))
                cell.data_type = "s" if isinstance(value, str) and value else cell.data_type
                if r == 0:
                    cell.font = Font(bold=True)
                cells.append(cell)
            leaf.append(cells)
    out = io.BytesIO()
    book.save(out)
    return out.getvalue()


def _printable(value: Cell) -> Cell:
    """A workbook holds no control characters."""
    return "".join(c for c in value if c.isprintable() or c == "\n") if isinstance(value, str) else value


def _letters(sheet: Sheet) -> list[float]:
    """Column widths by what stands in them, none wider than a line can be read."""
    columns = zip(sheet.heads, *sheet.rows, strict=True)
    return [min(max(len(str(c)) for c in column) + 2.0, 60.0) for column in columns]
