"""The room of everything that can be taken away: sheets, the book, tables, drawings, in the draft as it stands."""

from __future__ import annotations

import re
from html import unescape
from typing import Literal
from urllib.parse import quote

from fastapi import APIRouter, Request, Response

from layshaft.faces.desk.draft import State
from layshaft.faces.desk.rendering import desk_of
from layshaft.faces.desk.rooms import Room
from layshaft.faces.pages.machine_drawing import machine_drawing
from layshaft.faces.pages.speeds import speeds
from layshaft.faces.pages.words import part_words
from layshaft.faces.printed.alone import alone, pictures, title_of
from layshaft.faces.printed.content import book_data, sheet_data
from layshaft.faces.printed.paper import pdf, png
from layshaft.faces.printed.tables import TABLES, as_csv, as_workbook, table_of
from layshaft.faces.report import report_html, sheet_html
from layshaft.trace.errors import BadInput
from layshaft.trace.units import printing_in
from layshaft.verdict.rate import Verdict
from layshaft.verdict.sheets import sheet_of
from layshaft.verdict.sweeps import speed_sweeps

ROOM = Room("/take-away", "Take away", "Sheets, the book, tables and drawings as files")
KINDS = {"pdf": "application/pdf", "html": "text/html; charset=utf-8", "csv": "text/csv; charset=utf-8",
         "xlsx": "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet", "svg": "image/svg+xml",
         "png": "image/png"}
A4_WIDE = 180.0
Paper = Literal["pdf", "html"]
Lists = Literal["csv", "xlsx"]
Drawn = Literal["svg", "png"]
router = APIRouter()


@router.get("/take-away")
def take_away(request: Request) -> Response:
    """What there is to take."""
    desk = desk_of(request)
    state = desk.draft.look()
    if state.verdict is None:
        return desk.page(request, "take_away.html", state)
    with_sheets = {part.path for r in state.verdict.rated for part in r.block.parts}
    rated = [p for p in dict.fromkeys(f.part for f in state.verdict.findings) if p in with_sheets]
    drawn = [unescape(title_of(svg)) for svg in pictures(machine_drawing(state.verdict))]
    by_name = sorted(rated, key=lambda p: part_words(p).casefold())
    return desk.page(request, "take_away.html", state, paths=[(p, quote(p)) for p in by_name], tables=list(TABLES),
                     drawn=drawn)


@router.get("/take-away/book.{kind}")
def book(request: Request, kind: Paper, short: bool = False) -> Response:
    """The whole book."""
    state, verdict = _standing(request)
    if kind == "pdf":
        return _file(state, pdf(book_data(verdict, every_sheet=not short)), "book", kind)
    return _file(state, report_html(verdict, every_sheet=not short), "book", kind)


@router.get("/take-away/sheet.{kind}")
def sheet(request: Request, kind: Paper, path: str) -> Response:
    """The sheets of one part."""
    state, verdict = _standing(request)
    if not any(sheet_of(verdict, f) is not None for f in verdict.of(path)):
        raise BadInput(f"Nothing of '{path}' is rated by a method, so there is no sheet of it.")
    body = pdf(sheet_data(verdict, path)) if kind == "pdf" else sheet_html(verdict, path)
    return _file(state, body, part_words(path), kind)


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
        return _picture(state, pictures(machine_drawing(verdict)), number, kind)


@router.get("/take-away/chart/{number}.{kind}")
def chart(request: Request, number: int, kind: Drawn, path: str) -> Response:
    """One chart of a part; the first is number 1."""
    state, verdict = _standing(request)
    with printing_in(state.machine.units):
        return _picture(state, pictures(speeds(speed_sweeps(verdict, path))), number, kind)


def _picture(state: State, found: list[str], number: int, kind: Drawn) -> Response:
    if not 0 < number <= len(found):
        raise BadInput(f"There is no drawing {number}: there are {len(found)}.")
    svg = found[number - 1]
    title = unescape(title_of(svg))
    if kind == "svg":
        return _file(state, alone(svg), title, kind)
    return _file(state, png({"svg": alone(svg, "Libertinus Serif"), "width": A4_WIDE, "alt": title}), title, kind)


def _standing(request: Request) -> tuple[State, Verdict]:
    state = desk_of(request).draft.look()
    if state.verdict is None:
        raise BadInput(state.trouble or "There is no machine yet.")
    return state, state.verdict


def _file(state: State, body: str | bytes, what: str, kind: str) -> Response:
    """A file to save, named after the machine; letters that not every system takes are left out."""
    name = re.sub(r"[^A-Za-z0-9]+", "-", f"{state.machine.title} {what}").strip("-").lower() or "layshaft"
    return Response(body, media_type=KINDS[kind], headers={
        "content-disposition": f'attachment; filename="{name}.{kind}"', "cache-control": "no-store"})
