"""The room where a machine takes shape: what fits is added, what is there is renamed, copied or removed."""

from __future__ import annotations

from itertools import groupby
from typing import Annotated
from urllib.parse import quote

from fastapi import APIRouter, Form, Request, Response
from starlette.concurrency import run_in_threadpool

from layshaft.faces.desk.drafting.state import State
from layshaft.faces.desk.rendering import back_to, desk_of, part_link
from layshaft.faces.desk.rooms import Room
from layshaft.faces.desk.shown.leaving import leaving_of
from layshaft.faces.desk.shown.still import not_finished
from layshaft.faces.pages.words import part_words
from layshaft.machine.additions import Addition, addition, additions, free_name, option_of_addition
from layshaft.machine.shaping import copy, things
from layshaft.trace.errors import BadInput

ROOM = Room("/shape", "Shape", "Add, rename, copy and remove")
TITLES = {"modules": "Modules", "shafts": "Shafts", "seats": "Seats on a shaft", "drives": "What puts power in",
          "stages": "What lets one shaft turn another", "loads": "What takes power out", "fixings": "What holds it",
          "springs": "Springs", "frames": "Frames", "partings": "Partings", "parts": "Own listings", "runs": "Runs",
          "wants": "Wants", "idlers": "Idlers of a chain", "made of": "Pieces a wheel is made of",
          "carries": "What a frame carries", "acts": "Acts of the run", "winding": "Windings in the run",
          "brakes": "Brakings in the run"}
SEATED = ("drives", "stages", "loads")
Field = Annotated[str, Form()]
router = APIRouter()


@router.get("/shape")
def shape(request: Request, add: str = "", thing: str = "") -> Response:
    """What can be added; `add` is the one whose questions are asked, `thing` what is renamed, copied or removed."""
    desk = desk_of(request)
    state = desk.draft.look()
    if state.verdict is None:
        return desk.page(request, "shape.html", state)
    machine = state.machine
    found = additions(machine)
    groups = [(title, [a for a in found if a.collection == name]) for name, title in TITLES.items()]
    asked = _asked(state, add) if add else None
    there = [(title, list(ours)) for title, ours in groupby(
        sorted(things(machine), key=lambda t: _order(t.path)), lambda t: TITLES.get(_collection(t.path), "Other"))]
    leaving = leaving_of(machine, thing) if thing else None
    return desk.page(request, "shape.html", state, groups=[g for g in groups if g[1]], asked=asked, add=add,
                     suggested=_name(state, asked) if asked else "", article=_article(asked),
                     seated=asked is not None and asked.collection in SEATED, there=there, thing=thing,
                     leaving=leaving, lacking=not_finished(state) if not (add or thing) else [])


@router.post("/shape/add")
async def add_it(request: Request) -> Response:
    """Add it to the draft, and show it."""
    form = {k: v for k, v in (await request.form(max_files=0, max_fields=60)).items() if isinstance(v, str)}
    desk = desk_of(request)
    state = desk.draft.look()
    what, name = _asked(state, form.get("add", "")), form.get("name", "").strip()
    try:
        option = option_of_addition(state.machine, what, name, form)
        await run_in_threadpool(desk.draft.edit, option, f"{what.title} '{name}' added")
    except BadInput as why:
        return desk.refused(request, why, form.get("back", "/shape"), "add", name, form)
    path = list(option["add"])[-1]
    return back_to(f"/shape/needs?of={quote(path)}&added=1")


@router.post("/shape/rename")
def rename(request: Request, path: Field, name: Field, back: Field = "/shape") -> Response:
    """Give a thing another name, wherever it is named."""
    desk = desk_of(request)
    name = name.strip()
    desk.draft.edit({"rename": {path: name}}, f"{part_words(path)} renamed {name}")
    head = path.rpartition(".")[0]
    return back_to(part_link(f"{head}.{name}") if back.startswith("/part") else "/shape")


@router.post("/shape/copy")
def copy_it(request: Request, path: Field, name: Field, back: Field = "/shape") -> Response:
    """Add another like it."""
    del back
    desk = desk_of(request)
    option = copy(desk.draft.look().machine, path, name.strip())
    desk.draft.edit(option, f"{name.strip()} added, like {part_words(path)}")
    return back_to(f"/shape/needs?of={quote(list(option['add'])[-1])}&added=1")


def _asked(state: State, add: str) -> Addition:
    collection, _, kind = add.partition(":")
    return addition(state.machine, collection, kind)


def _name(state: State, what: Addition) -> str:
    """A name nobody bears yet, in any thing it may go into."""
    taken = {t.name: t for t in things(state.machine) if _collection(t.path) == what.collection}
    return free_name(taken, what.title)


def _article(what: Addition | None) -> str:
    return "an" if what is not None and what.title[:1] in "aeiou" else "a"


def _collection(path: str) -> str:
    words = path.split(".")
    return words[2] if len(words) > 3 else words[1] if words[0] == "programme" else words[0]


def _order(path: str) -> int:
    names = list(TITLES)
    collection = _collection(path)
    return names.index(collection) if collection in names else len(names)
