"""The room of what is still to be found: each part a sentence whose words can be edited, with what is offered."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

from fastapi import APIRouter, Form, Request, Response

from layshaft.faces.desk.draft import State
from layshaft.faces.desk.rendering import back_to, desk_of
from layshaft.faces.desk.rooms import Room
from layshaft.faces.pages.asked import Asked, asked_for, columns, offered
from layshaft.faces.pages.words import part_words
from layshaft.listings.imported import folders
from layshaft.project import taking
from layshaft.trace.errors import BadInput
from layshaft.trace.units import printing_in
from layshaft.verdict.needs import Need, needs, waiting
from layshaft.verdict.rate import Verdict

ROOM = Room("/needs", "Needs", "What is still to be found")
FEW, MANY = 5, 60
Field = Annotated[str, Form()]
router = APIRouter()
_last: dict[str, tuple[Verdict, list[Need]]] = {}


@router.get("/needs")
def still_to_find(request: Request, part: str = "") -> Response:
    """Every part to be found; `part` is the one whose sentence was edited, its words are in the address."""
    desk = desk_of(request)
    state = desk.draft.look()
    if state.verdict is None:
        return desk.page(request, "needs.html", state)
    with printing_in(state.machine.units):
        found = [_asked(state, need, request if need.path == part else None, desk.draft.place)
                 for need in _needs(state.verdict)]
        return desk.page(request, "needs.html", state, found=found, coming=waiting(state.machine), columns=columns)


def _needs(verdict: Verdict) -> list[Need]:
    """Worked out once for a state: every window and every edited word asks again."""
    found = _last.get("needs")
    if found is None or found[0] is not verdict:
        found = _last["needs"] = verdict, needs(verdict)
    return found[1]




def _asked(state: State, need: Need, request: Request | None, place: Path) -> Asked:
    asked = asked_for(state.machine, need)
    if request is not None:
        asked.edited({word.key: request.query_params.get(word.key, "").strip() for word in asked.words})
    offered(asked, place.parent, MANY if request is not None else FEW)
    return asked


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
    need = next((n for n in _needs(state.verdict) if n.path == path), None) if state.verdict is not None else None
    if need is None or need.smallest is None:
        raise BadInput(f"Nothing is open at '{path}' any more, or no size of it holds. Look at the list again.")
    desk.draft.edit(need.smallest.option, f"{part_words(path)}: {need.smallest.candidate.name}")
    return back_to(back)
