"""Suppliers' lists on the desk: a file chosen in a window is read, looked through and taken in; what is taken out comes
back."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import replace
from typing import Annotated, Any, NamedTuple

from fastapi import APIRouter, Depends, Form, Request, Response
from starlette.datastructures import UploadFile
from starlette.exceptions import HTTPException

from layshaft.faces.desk.drafting.lists_in import Coming, ListsIn
from layshaft.faces.desk.rendering import Desk, back_to, desk_of
from layshaft.faces.desk.rooms.run import progress_line
from layshaft.faces.desk.shown import list_read as shown
from layshaft.listings.imports.asking import kind_named
from layshaft.listings.imports.cells import currency
from layshaft.listings.imports.fields import IGNORED, list_fields, part_kinds
from layshaft.listings.imports.importing import Asked
from layshaft.project import catalogue, lists_in, taken_out
from layshaft.trace.errors import BadInput
from layshaft.trace.units import printing_in

ROOM = "/needs/list"
SENT = ROOM
"""Where a file is sent to: the only place a longer body may go."""

MOST_SENT = lists_in.MOST_BYTES + 100_000
"""Bytes of a file and of the form around it."""

SOON = 0.8
LONGEST = 200
NO_FILE = "No file was chosen. Choose a CSV or XLSX file first, then read it."
CHANGED = "What is said of the list was changed since it was read, so it is read again. Look at its rows, then take it."
NOTHING_TO_TAKE = "No row of this list can be taken in as it stands. The page says what it lacks."
SIGNS = {"": "", "comma": ",", "point": "."}
Field = Annotated[str, Form()]
Fields = Annotated[list[str] | None, Form()]
router = APIRouter()
_lists = ListsIn()


class Sent(NamedTuple):
    """A file as it was sent: what it is called, its bytes, and whose list it is said to be."""

    name: str
    data: bytes
    supplier: str


async def _sent(request: Request) -> Sent:
    """The file of a form. Raises `BadInput`."""
    try:
        async with request.form(max_files=1, max_fields=8) as form:
            file, supplier = form.get("file"), form.get("supplier", "")
            if not isinstance(file, UploadFile) or not file.filename:
                raise BadInput(NO_FILE)
            return Sent(file.filename, await file.read(), str(supplier).strip()[:LONGEST])
    except HTTPException:
        raise BadInput(NO_FILE) from None


@router.post(SENT)
def choose(request: Request, sent: Annotated[Sent, Depends(_sent)]) -> Response:
    """Take a file up and read it; nothing goes into the lists yet."""
    coming = _lists.chosen(_writable(desk_of(request)), sent.name, sent.data, _named(sent.supplier))
    _wait(coming)
    return back_to(_page(coming))


@router.get(ROOM + "/{token}")
def look(request: Request, token: str) -> Response:
    """A list as it was read, and what can be said of it; once it is in, what became of it."""
    desk = desk_of(request)
    coming = _coming(desk, token)
    state, job, outcome = desk.draft.look(), coming.job, coming.outcome
    with printing_in(state.machine.units):
        told = _told(coming) if outcome is not None and coming.taken is None else {}
        return desk.page(request, "list.html", state, coming=coming, job=job, outcome=outcome, shown=shown,
                         page=_page(coming), kinds=list(part_kinds()), fields=list(list_fields()), ignored=IGNORED,
                         **told)


def _told(coming: Coming) -> dict[str, Any]:
    """What the page of a list that was read says of it."""
    outcome, said = coming.outcome, coming.said
    assert outcome is not None
    tables = shown.readable(outcome)
    return {"tables": tables, "rows": [shown.columns(outcome, table) for table in tables],
            "first": [shown.first_rows(table) for table in tables], "refused": shown.refused(outcome),
            "changes": shown.changes(outcome), "lacks": shown.lacks(outcome), "passed": shown.passed_over(outcome),
            "asks_money": shown.asks_currency(outcome) or bool(said.currency),
            "sign": shown.SIGNS.get(said.decimal, ""),
            "signs": {table.sheet: shown.SIGNS.get(table.decimal, "") for table in tables}}


@router.post(ROOM + "/{token}/look")
def look_again(request: Request, token: str, supplier: Field = "", kind: Field = "", money: Field = "",
               decimal: Field = "", sheet: Field = "", column: Fields = None, means: Fields = None,
               unit: Fields = None) -> Response:
    """Read it again as it is said now."""
    coming = _coming(desk_of(request), token)
    cells = zip(column or [], means or [], unit or [], strict=False)
    said = _said(coming, supplier, kind, money, decimal, sheet, cells)
    _lists.read(coming, said)
    _wait(coming)
    return back_to(_page(coming))


@router.post(ROOM + "/{token}/take")
def take(request: Request, token: str, supplier: Field = "", kind: Field = "", money: Field = "", decimal: Field = "",
         sheet: Field = "", column: Fields = None, means: Fields = None, unit: Fields = None) -> Response:
    """Take it in, if it says what it said when it was read; what differs is read again first."""
    desk = desk_of(request)
    coming = _coming(desk, token)
    lists_in.refuse_outside(_writable(desk))
    if coming.taken is None:
        cells = zip(column or [], means or [], unit or [], strict=False)
        said = _said(coming, supplier, kind, money, decimal, sheet, cells)
        if said != coming.said:
            _lists.read(coming, said)
            _wait(coming)
            return desk.refused(request, BadInput(CHANGED), _page(coming))
        if coming.outcome is None or coming.outcome.lacking or not coming.outcome.taken:
            return desk.refused(request, BadInput(NOTHING_TO_TAKE), _page(coming))
        _lists.take(coming, desk.draft.again)
        _wait(coming)
    return back_to(_page(coming))


@router.post(ROOM + "/{token}/throw-away")
def throw_away(request: Request, token: str) -> Response:
    """Wait for this file no more; what is among the lists stays."""
    _lists.thrown_away(_coming(desk_of(request), token))
    return back_to("/needs")


@router.post(ROOM + "/{token}/stop")
def stop(request: Request, token: str) -> Response:
    """Stop reading it or taking it in; nothing is written then."""
    coming = _coming(desk_of(request), token)
    coming.jobs.stop()
    _wait(coming)
    return back_to(_page(coming))


@router.get(ROOM + "/{token}/progress")
def progress(request: Request, token: str) -> Response:
    """How far it has come."""
    coming = _coming(desk_of(request), token)
    return progress_line(coming.job, _page(coming))


@router.post("/needs/lists/take-out")
def take_out(request: Request, supplier: Field, kind: Field, back: Field = "/needs") -> Response:
    """Take a supplier's list of one kind out; it is set aside."""
    desk = desk_of(request)
    catalogue.forget(supplier, kind_named(kind), _writable(desk))
    desk.draft.again()
    return back_to(back)


@router.post("/needs/lists/put-back")
def put_back(request: Request, supplier: Field, kind: Field, number: Field, back: Field = "/needs") -> Response:
    """Put a list back; the one that took its place is set aside."""
    desk = desk_of(request)
    if not number.isdecimal():
        raise BadInput(f"There is no list {number[:LONGEST]}.")
    taken_out.put_back(_writable(desk), supplier, kind_named(kind), int(number))
    desk.draft.again()
    return back_to(back)


def _coming(desk: Desk, token: str) -> Coming:
    return _lists.of(desk.draft.place.parent, token)


def _writable(desk: Desk) -> Any:
    """The project's folder. Raises `BadInput` where this desk only reads."""
    if desk.draft.read_only:
        raise BadInput(f"This desk only reads: {desk.draft.read_only}")
    return desk.draft.place.parent


def _page(coming: Coming) -> str:
    return f"{ROOM}/{coming.handed.token}"


def _wait(coming: Coming) -> None:
    if coming.job is not None:
        coming.job.wait(SOON)


def _said(coming: Coming, supplier: str, kind: str, money: str, decimal: str, sheet: str,
          said: Iterable[tuple[str, str, str]]) -> Asked:
    """What a form says of a list; of a column only what differs from how it is taken anyhow. Raises `BadInput`."""
    if decimal not in SIGNS:
        raise BadInput("A decimal sign is a comma or a point.")
    if money.strip() and not currency(money.strip().upper()):
        raise BadInput(f"'{money.strip()[:LONGEST]}' is no currency. Write its three letters, for instance EUR.")
    own = dict(coming.said.columns) if sheet == coming.said.sheet else {}
    tables = shown.readable(coming.outcome) if coming.outcome is not None else []
    if len(tables) == 1:
        assert coming.outcome is not None
        there = {row.name: row for row in shown.columns(coming.outcome, tables[0])}
        own |= _columns(there, said) if sheet == coming.said.sheet else {}
    return replace(coming.said, supplier=_named(supplier), kind=kind_named(kind) if kind else "",
                   currency=currency(money.strip().upper()), decimal=SIGNS[decimal], sheet=sheet, columns=own)


def _columns(there: Mapping[str, shown.ColumnRow], said: Iterable[tuple[str, str, str]]) -> dict[str, str]:
    found = {}
    for name, means, unit in said:
        row = there.get(name)
        if row is not None and (means, unit.strip()) != (row.means, row.unit):
            found[name] = shown.said_of(row, means, unit.strip())
    return found


def _named(supplier: str) -> str:
    """A supplier's name in one line."""
    return " ".join("".join(ch if ch.isprintable() else " " for ch in supplier).split())[:LONGEST]
