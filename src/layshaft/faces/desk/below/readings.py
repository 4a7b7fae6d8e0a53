"""Readings of a test typed on the desk: what they say of the guess, and the way of the measured value into the draft.

The page is a plain GET with all that was typed in its address; it is read as a CSV of readings is.
"""

from __future__ import annotations

import csv
import io
from typing import Annotated, Any

from fastapi import APIRouter, Form, Query, Request, Response

from layshaft.faces import readings_told as told
from layshaft.faces.desk.drafting.state import State
from layshaft.faces.desk.rendering import back_to, desk_of, part_link
from layshaft.faces.desk.shown.doubting import stands
from layshaft.faces.pages.words import part_words, short
from layshaft.faces.test_sheet import expect_words, head
from layshaft.machine.errors import MachineErrors
from layshaft.study.find_out.measured import apart, changes, contradicts, option_for, unit_of, written
from layshaft.study.find_out.model import Column
from layshaft.study.find_out.plan import Plan, given_at, plan
from layshaft.study.find_out.readings import STEP_OF, Result, readings_of, result_of
from layshaft.trace.errors import BadInput
from layshaft.trace.units import UnitError, figure, parse_quantity, printing_in, unit_factor

LEAST_ROWS, MOST_ROWS = 3, 30
KINDS = {"A": "seen in the repeats (type A)", "B": "known of the instrument or the file (type B)"}
Field = Annotated[str, Form()]
Fields = Annotated[list[str] | None, Form()]
Asked = Annotated[list[str] | None, Query()]
router = APIRouter()


@router.get("/doubt/readings")
def look(request: Request, given: str, reading: Asked = None, step: Asked = None, who: str = "", when: str = "",
         note: str = "") -> Response:
    """The form of one test; with readings in it, what they say."""
    desk = desk_of(request)
    state = desk.draft.look()
    machine = _solved(state).machine
    with printing_in(machine.units):
        planned = plan(machine, given_at(machine, given))
        columns = planned.test.columns
        typed, steps = reading or [], step or [f"{c.step:g} {c.unit}".strip() for c in columns]
        said = any(cell.strip() for cell in typed)
        found, why = _read(planned, typed, steps, who, when, note) if said else (None, [])
        rows = max(LEAST_ROWS, min(planned.take, MOST_ROWS), -(-len(typed) // len(columns)))
        cells = [[typed[i] if i < len(typed) else "" for i in range(r * len(columns), (r + 1) * len(columns))]
                 for r in range(min(rows, MOST_ROWS))]
        about = {"stands": stands(planned.given), "expect": expect_words(planned)}
        return desk.page(request, "readings.html", state, planned=planned, heads=[head(c) for c in columns],
                         columns=columns, cells=cells, **about, steps=steps, who=who, when=when, note=note, found=found,
                         why=why, says=_says(planned, found) if found else {}, typed=typed)


@router.post("/doubt/readings/take")
def take(request: Request, given: Field, reading: Fields = None, step: Fields = None, who: Field = "",
         when: Field = "", note: Field = "") -> Response:
    """Lay the measured value over the machine, as a draft."""
    desk = desk_of(request)
    machine = _solved(desk.draft.look()).machine
    with printing_in(machine.units):
        asked = given_at(machine, given)
        planned = plan(machine, asked)
        found, why = _read(planned, reading or [], step or [], who, when, note)
        if found is None:
            raise BadInput(" ".join(why))
        option = option_for(asked, found, asked.cause, **told.about(found))
    desk.draft.edit(option, f"measured: {part_words(asked.cause)}")
    return back_to(part_link(asked.path))


@router.post("/doubt/readings/known")
def known(given: Field, request: Request, back: Field = "/doubt") -> Response:
    """Take out what a measured value was guessed to be, once it is known why it was so far off."""
    desk = desk_of(request)
    desk.draft.edit({"remove": [f"{given}.guessed"]}, f"{part_words(given)}: the old guess is taken out")
    return back_to(back)


def _solved(state: State) -> State:
    if state.verdict is None:
        raise BadInput("There is no machine yet.")
    return state


def _read(planned: Plan, typed: list[str], steps: list[str], who: str, when: str, note: str,
          ) -> tuple[Result | None, list[str]]:
    """What was typed, read as a file of readings is; or why it cannot be, row by row."""
    columns = planned.test.columns
    lines = [typed[i: i + len(columns)] for i in range(0, len(typed), len(columns))]
    filled = [n for n, line in enumerate(lines, 1) if any(cell.strip() for cell in line)]
    text = io.StringIO()
    rows = csv.writer(text, delimiter=";", lineterminator="\n")
    rows.writerow(head(c) for c in columns)
    rows.writerows([_cell(c, cell) for c, cell in zip(columns, lines[n - 1], strict=False)] for n in filled)
    remarks = {"who": who, "when": when, "note": note,
               **{STEP_OF + c.name: s for c, s in zip(columns, steps, strict=False) if c.step > 0}}
    text.writelines(f"# {key}: {_line(value)}\n" for key, value in remarks.items())
    try:
        return result_of(planned.test, readings_of(text.getvalue(), "form", planned.test),
                         planned.given.dimension), []
    except MachineErrors as wrong:
        rows_of = {i: f"Row {n}: " for i, n in enumerate(filled, 2)}
        return None, [rows_of.get(p.mark.line, "") + p.sentence for p in wrong.problems]
    except BadInput as wrong:
        return None, [str(wrong)]


def _cell(column: Column, text: str) -> str:
    """A reading as the column has it: one with a unit of its own is turned into the unit of the head."""
    text = _line(text)
    if not any(c.isalpha() for c in text):
        return text
    try:
        value = float(parse_quantity(text, column.dimension).value)
    except UnitError:
        return text  # whoever reads the lines says what is wrong with it
    return f"{value / (unit_factor(column.unit, column.dimension) or 1.0):.12g}"


def _line(text: str) -> str:
    """On one line: a field of a form may hold several."""
    return " ".join(text.split())


def _says(p: Plan, r: Result) -> dict[str, Any]:
    """What the page tells of a result, in words."""
    d = r.dimension
    return {
        "value": _as_kept(p, r),
        "single": ", ".join(short(float(v), d) for v in r.values),
        "against": told.against_words(p, r, apart(p.given, r)), "apart": contradicts(p.given, r),
        "settles": [(part_words(s.flip.key[0]), s.flip.key[1], told.settled_words(r, s.flip)) for s in p.settled],
        "changes": changes(p.machine, p.given, r),
        "spread": [(s.name, KINDS[s.kind], short(s.u, d, 2)) for s in sorted(r.shares, key=lambda s: -s.u)],
        "factor": figure(r.factor, 3), "not_kept": _not_kept(p, r),
        "others": [q for q in p.shared if q != p.given.cause],
    }


def _as_kept(p: Plan, r: Result) -> str:
    """Value and spread with the digits they have in the file once they are kept."""
    unit, decimals = unit_of(p.given, r)
    return " ± ".join(written(value, unit, decimals, p.given) for value in (r.value, r.spread))


def _not_kept(p: Plan, r: Result) -> str:
    """Why it cannot be put into the file; blank where it can."""
    try:
        option_for(p.given, r, p.given.cause, **told.about(r))
    except BadInput as why:
        return str(why)
    return ""
