"""The room of everything that can be taken away: sheets, the book, tables and drawings, in the draft as it stands."""

from __future__ import annotations

import re
import time
from collections.abc import Hashable
from html import unescape
from typing import Annotated, Any, Literal

from fastapi import APIRouter, Form, Request, Response

from layshaft.faces.desk.drafting.state import State
from layshaft.faces.desk.jobs import Jobs
from layshaft.faces.desk.rendering import Desk, back_to, desk_of
from layshaft.faces.desk.rooms import Room
from layshaft.faces.desk.rooms.run import progress_line
from layshaft.faces.desk.shown import taking as lists
from layshaft.faces.pages.day import day_words
from layshaft.faces.pages.machine_drawing import machine_drawing
from layshaft.faces.pages.speeds import speeds
from layshaft.faces.pages.words import part_words
from layshaft.faces.printed.alone import WIDE, alone, pictures, ratio_after, title_of, titled
from layshaft.faces.printed.content import book_data, sheet_data
from layshaft.faces.printed.paper import pdf, png
from layshaft.faces.printed.tables import TABLES, as_csv, as_workbook, table_of
from layshaft.faces.report import POLICY, report_html, sheet_html
from layshaft.project.runs import state_of
from layshaft.trace.errors import BadInput
from layshaft.trace.units import print_in, printing_in
from layshaft.verdict.rate import Verdict
from layshaft.verdict.sheets import has_sheet
from layshaft.verdict.sweeps import speed_sweeps

ROOM = Room("/take-away", "Take away", "Sheets, the book, tables and drawings as files")
KINDS = {"pdf": "application/pdf", "html": "text/html; charset=utf-8", "csv": "text/csv; charset=utf-8",
         "xlsx": "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet", "svg": "image/svg+xml",
         "png": "image/png"}
LONGEST_WAIT = 20.0
"""Seconds a book waits for the run of the machine; then it is made without."""

Paper = Literal["pdf", "html"]
Lists = Literal["csv", "xlsx"]
Drawn = Literal["svg", "png"]
Field = Annotated[str, Form()]
router = APIRouter()
_jobs = Jobs()


@router.get("/take-away")
def take_away(request: Request, named: str = "") -> Response:
    """What there is to take; sheets by what they are of, of parts with some words in their names where asked."""
    desk = desk_of(request)
    state = desk.draft.look()
    if state.verdict is None:
        return desk.page(request, "take_away.html", state)
    now = _jobs.now
    job = now if now is not None and now.key[:2] == _key(desk, state) else None
    earlier = now is not None and job is None and now.key[0] == str(desk.draft.place)
    drawn = [unescape(title_of(svg)) for svg in pictures(machine_drawing(state.verdict))]
    return desk.page(request, "take_away.html", state, groups=lists.sheet_groups(state.verdict, named), named=named,
                     tables=[(name, lists.TABLE_WORDS.get(name, "")) for name in TABLES], drawn=drawn, job=job,
                     earlier=earlier, made=job.key[2:] if job is not None and job.answer is not None else None)


# The book -----------------------------------------------------------------------------------------


@router.post("/take-away/make")
def make(request: Request, kind: Field = "pdf", short: Field = "", back: Field = "/take-away") -> Response:
    """Begin to make the book; its file is there when the bar has come to its end."""
    desk = desk_of(request)
    state, _ = _standing(request)
    if kind not in ("pdf", "html"):
        raise BadInput(f"There is no book of the kind '{kind}'.")
    units = state.machine.units

    def work(told: Any) -> bytes:
        print_in(units)
        told(0.0)
        verdict = _with_run(desk, state, told)
        if kind == "html":
            return report_html(verdict, every_sheet=not short).encode()
        return pdf(book_data(verdict, every_sheet=not short), told)

    _jobs.ask((*_key(desk, state), kind, bool(short)), 0.0,
              "The book is being made: {done:.0f} s so far. A large machine takes a minute.", work)
    return back_to(back)


@router.post("/take-away/stop")
def stop(back: Field = "/take-away") -> Response:
    """Stop making it."""
    _jobs.stop()
    return back_to(back)


@router.get("/take-away/progress")
def progress() -> Response:
    """How long it has taken so far."""
    return progress_line(_jobs.now, "/take-away")


@router.get("/take-away/book.{kind}")
def book(request: Request, kind: Paper, short: bool = False, view: bool = False) -> Response:
    """The whole book: as it was made, or made now."""
    desk = desk_of(request)
    state, verdict = _standing(request)
    job = _jobs.of((*_key(desk, state), kind, short))
    body: str | bytes
    if job is not None and job.answer is not None:
        body = job.answer
    elif kind == "pdf":
        body = pdf(book_data(verdict, every_sheet=not short))
    else:
        body = report_html(verdict, every_sheet=not short)
    return _file(state, body, "book", kind, view=view)


def _key(desk: Any, state: State) -> tuple[Hashable, ...]:
    """File and state a book is of."""
    return str(desk.draft.place), state_of(state.machine)


def _with_run(desk: Desk, state: State, told: Any) -> Verdict:
    """The verdict of a state once the run of it that is under way has come in: the book counts it."""
    begun = time.monotonic()
    while desk.runs.under_way(state) and (waited := time.monotonic() - begun) < LONGEST_WAIT:
        told(waited)
        time.sleep(0.1)
    now = desk.draft.look()
    same = now.verdict is not None and state_of(now.machine) == state_of(state.machine)
    verdict = now.verdict if same else state.verdict
    assert verdict is not None
    return verdict


# Sheets, tables, drawings -------------------------------------------------------------------------


@router.get("/take-away/sheet.{kind}")
def sheet(request: Request, kind: Paper, path: str, view: bool = False) -> Response:
    """The sheets of one part and of what sits on it."""
    state, verdict = _standing(request)
    if not any(has_sheet(verdict, f) for f in verdict.of(path)):
        raise BadInput(f"Nothing of '{path}' is rated by a method, so there is no sheet of it.")
    body = pdf(sheet_data(verdict, path)) if kind == "pdf" else sheet_html(verdict, path)
    return _file(state, body, part_words(path), kind, view=view)


@router.get("/take-away/tables.xlsx")
def tables(request: Request) -> Response:
    """Every table in one workbook."""
    state, verdict = _standing(request)
    return _file(state, as_workbook([table_of(verdict, name) for name in TABLES]), "tables", "xlsx")


@router.get("/take-away/table/{name}.{kind}")
def table(request: Request, name: str, kind: Lists) -> Response:
    """One table."""
    state, verdict = _standing(request)
    found = table_of(verdict, name)
    return _file(state, as_csv(found) if kind == "csv" else as_workbook([found]), name, kind)


@router.get("/take-away/drawing/{number}.{kind}")
def drawing(request: Request, number: int, kind: Drawn) -> Response:
    """One drawing of the machine; the first is number 1."""
    state, verdict = _standing(request)
    with printing_in(state.machine.units):
        return _picture(state, machine_drawing(verdict), number, kind)


@router.get("/take-away/chart/{number}.{kind}")
def chart(request: Request, number: int, kind: Drawn, path: str) -> Response:
    """One chart of a part; the first is number 1."""
    state, verdict = _standing(request)
    with printing_in(state.machine.units):
        return _picture(state, speeds(speed_sweeps(verdict, path)), number, kind, part_words(path))


def _picture(state: State, html: str, number: int, kind: Drawn, of: str = "") -> Response:
    """A drawing with its title, its scale where it has one, and the day above it."""
    found = pictures(html)
    if not 0 < number <= len(found):
        raise BadInput(f"There is no drawing {number}: there are {len(found)}.")
    svg = found[number - 1]
    title = unescape(title_of(svg))
    head = ". ".join(part for part in (state.machine.title, of, title, ratio_after(html, svg), day_words()) if part)
    if kind == "svg":
        return _file(state, titled(alone(svg), head), title, kind)
    drawn = titled(alone(svg, "Libertinus Serif"), head)
    return _file(state, png({"svg": drawn, "width": WIDE, "alt": title}), title, kind)


def _standing(request: Request) -> tuple[State, Verdict]:
    state = desk_of(request).draft.look()
    if state.verdict is None:
        raise BadInput(state.trouble or "There is no machine yet.")
    return state, state.verdict


def _file(state: State, body: str | bytes, what: str, kind: str, *, view: bool = False) -> Response:
    """A file named after the machine, to save or to look at; letters that not every system takes are left out."""
    name = re.sub(r"[^A-Za-z0-9]+", "-", f"{state.machine.title} {what}").strip("-").lower() or "layshaft"
    headers = {"content-disposition": f'{"inline" if view else "attachment"}; filename="{name}.{kind}"',
               "cache-control": "no-store"}
    if kind == "html":
        headers["content-security-policy"] = POLICY
    return Response(body, media_type=KINDS[kind], headers=headers)
