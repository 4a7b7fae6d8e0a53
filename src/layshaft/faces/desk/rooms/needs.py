"""The room of what is still to be found: each part a sentence whose words can be edited, with what is offered."""

from __future__ import annotations

import datetime
import re
from dataclasses import dataclass
from pathlib import Path
from typing import Annotated, Any

from fastapi import APIRouter, Form, Request, Response

from layshaft.faces.desk.below.mending import mend_link
from layshaft.faces.desk.drafting.state import State
from layshaft.faces.desk.rendering import back_to, desk_of
from layshaft.faces.desk.rooms import Room
from layshaft.faces.desk.shown.after_taking import AfterTaking
from layshaft.faces.desk.shown.choosable import choosable
from layshaft.faces.desk.shown.lists_there import lists_out, lists_there
from layshaft.faces.mending_told import MOST_HARMS, left_words, why_not, worse_words
from layshaft.faces.pages import asked as pages
from layshaft.faces.pages.asked import Asked, asked_for, offered
from layshaft.faces.pages.here_by import HereBy, here_by
from layshaft.faces.pages.ordering import orders
from layshaft.faces.pages.to_buy import to_buy
from layshaft.faces.pages.words import part_words
from layshaft.listings.imported import folders
from layshaft.project import taking
from layshaft.project.lists_in import MOST_BYTES, MOST_ROWS
from layshaft.project.prices import offered_to
from layshaft.study.elsewhere import Elsewhere
from layshaft.trace.errors import BadInput
from layshaft.trace.findings import margin_text
from layshaft.trace.units import printing_in
from layshaft.verdict.needs import Need, needs, waiting
from layshaft.verdict.rate import Verdict
from layshaft.verdict.too_weak import too_weak

ROOM = Room("/needs", "Needs", "What is still to be found, and what is chosen but too weak")
FEW, MANY = 5, 60
Field = Annotated[str, Form()]
router = APIRouter()
_last: dict[str, tuple[AfterTaking, list[Need], list[Need]]] = {}


@dataclass(frozen=True, slots=True)
class Entry:
    """One need on the page: its sentences, whether its words are being edited, and whether its size fits as it is."""

    need: Need
    asked: list[Asked]
    edited: bool
    after: Elsewhere | None
    """What its size does to the rest of the machine, once it is worked out."""

    fits: bool
    together: list[str]
    """Parts to choose together where the size does not fit what is there, or harms others."""


@router.get("/needs")
def still_to_find(request: Request, part: str = "", whose: str = "", after: str = "", by: str = "") -> Response:
    """Every part to be found; `part` is the one whose sentence was edited, its words are in the address.

    `after` is the part of which is asked what its size does to the rest, `by` the day all is to be here.
    """
    desk = desk_of(request)
    state = desk.draft.look()
    assert state.verdict is not None
    project = desk.draft.place.parent
    with printing_in(state.machine.units):
        taken, *both = _needs(state.verdict)
        taken.look([need for found in both for need in found], after)
        open_, weak = ([_entry(state, need, request if need.path == part else None, whose, project, taken)
                        for need in found] for found in both)
        day, why = _day(by)
        bought = orders([e.asked for e in (*open_, *weak) if e.fits], project, day, datetime.date.today())
        buys = to_buy(state.verdict.solved, offered_to(project), day, datetime.date.today())
        return desk.page(request, "needs.html", state, buys=buys, found=open_, weak=weak, coming=waiting(state.machine),
                         pages=pages, mend_link=mend_link, margin_text=margin_text, unbroken=unbroken,
                         **_lists([*open_, *weak], project), worse_words=worse_words,
                         left_words=left_words, most_harms=MOST_HARMS, why_not=why_not,
                         ran=state.verdict.run.figures is not None, orders=bought, by=by, day=day, by_why=why,
                         anchors={e.need.path: f"{name}-{i}" for name, found in (("need", open_), ("weak", weak))
                                  for i, e in enumerate(found, 1)})


def _day(text: str) -> tuple[HereBy | None, str]:
    """The day all is to be here, or why that is none."""
    try:
        return (here_by(text, datetime.date.today()) if text.strip() else None), ""
    except BadInput as why:
        return None, str(why)


def unbroken(text: str) -> str:
    """Long numbers in one piece: their blanks do not end a line."""
    return re.sub(r"(?<=\d) (?=\d{3}\b)", "\N{NO-BREAK SPACE}", text)


def _needs(verdict: Verdict) -> tuple[AfterTaking, list[Need], list[Need]]:
    """What is open and what is too weak, worked out once for a state: every window and every edited word asks again."""
    last = _last.get("needs")
    if last is None or last[0].verdict is not verdict:
        last = _last["needs"] = AfterTaking(verdict), needs(verdict), too_weak(verdict)
    return last


def _entry(state: State, need: Need, request: Request | None, whose: str, project: Path, taken: AfterTaking) -> Entry:
    found = asked_for(state.machine, need)
    for asked in found:
        mine = request is not None and asked.whose == whose
        if request is not None and mine:
            asked.edited({word.key: request.query_params.get(word.key, "").strip() for word in asked.words})
        offered(asked, project, MANY if mine else FEW, datetime.date.today())
    after = taken.known.get(need.path)
    fits = need.path not in taken.known or after is not None
    harms = after is not None and not after.harmless
    return Entry(need, found, request is not None, after, fits, _together(state, need) if harms or not fits else [])


def _together(state: State, need: Need) -> list[str]:
    """The part with what must be chosen anew beside it: a shaft with the bearings and keys that sit on it."""
    if need.what != "shaft":
        return [need.path] if need.path in choosable(state.machine) else []
    shaft = state.machine.shafts[need.path.split(".")[1]]
    return [shaft.path, *(leaf.path for seat in shaft.seats.values() for leaf in (seat.bearing, seat.key_size)
                          if leaf.state != "missing")]


def _lists(entries: list[Entry], project: Path) -> dict[str, Any]:
    """The lists there are and those taken out, and the kinds asked for of which there is none: those have no price."""
    wanted: dict[str, list[str]] = {}
    for entry in entries:
        for kind in dict.fromkeys(asked.kind for asked in entry.asked if asked.kind):
            wanted.setdefault(kind, []).append(entry.need.path)
    there = lists_there(project, wanted)
    return {"lists": there, "out": lists_out(project), "most_bytes": MOST_BYTES, "most_rows": MOST_ROWS,
            "kinds": [kind for kind in wanted if not any(one.kind == kind and one.count for one in there)]}


@router.post("/needs/take")
def take(request: Request, path: Field, wanted: Field, back: Field = "/needs") -> Response:
    """Take an offer into the draft: a standard size by its name, a supplier's part with its ratings."""
    desk = desk_of(request)
    state = desk.draft.look()
    offer = taking.found(wanted, folders(desk.draft.place.parent))
    name, option = taking.option_for(state.machine, path, offer)
    desk.draft.edit(option, f"{part_words(path)}: {name}")
    return back_to(back)


@router.post("/needs/size")
def size(request: Request, path: Field, back: Field = "/needs") -> Response:
    """Take the smallest size that holds."""
    desk = desk_of(request)
    state = desk.draft.look()
    both = _needs(state.verdict)[1:] if state.verdict is not None else ([], [])
    need = next((n for found in both for n in found if n.path == path), None)
    if need is None or need.smallest is None:
        raise BadInput(f"Nothing is open at '{path}' any more, or no size of it holds. Look at the list again.")
    desk.draft.edit(need.smallest.option, f"{part_words(path)}: {need.smallest.candidate.name}")
    return back_to(back)
