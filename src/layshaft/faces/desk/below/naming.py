"""Options of the file made, changed, renamed and removed: a named set of changes, and the draft kept as one."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Annotated, Any

from fastapi import APIRouter, Form, Request, Response

from layshaft.faces.desk.drafting.edits import Edits, plain, said_at
from layshaft.faces.desk.rendering import back_to, desk_of
from layshaft.faces.pages.words import part_words
from layshaft.machine import shaping
from layshaft.machine.additions import usable_name
from layshaft.machine.difference import leading
from layshaft.machine.document import MapNode
from layshaft.machine.errors import MachineErrors
from layshaft.machine.model import Machine
from layshaft.machine.options import named_option
from layshaft.trace.errors import BadInput

OPTIONS = "options"
Field = Annotated[str, Form()]
router = APIRouter()


@dataclass(frozen=True, slots=True)
class Change:
    """One change of an option: what is done, to what, what it says then, and what the machine says now."""

    word: str
    path: str
    value: str
    now: str


@dataclass(frozen=True, slots=True)
class Named:
    """An option of the file: its changes, and why it cannot be made as the machine stands; blank where it can."""

    name: str
    changes: tuple[Change, ...]
    why: str


@router.get("/shape/options")
def options(request: Request) -> Response:
    """Every option of the file with its changes."""
    desk = desk_of(request)
    state = desk.draft.look()
    return desk.page(request, "named.html", state, options=[_named(state.machine, n) for n in state.machine.options])


@router.post("/shape/options/keep")
def keep(request: Request, name: Field, instead: Field = "", back: Field = "/shape/options") -> Response:
    """Write the draft into the file as an option; the machine itself stays as it was."""
    desk = desk_of(request)
    try:
        desk.draft.keep_instead(lambda base, edits: _kept(base, edits, usable_name(name), replaces=bool(instead)))
    except BadInput as why:
        return desk.refused(request, why, back, "keep as option", name)
    return back_to("/shape/options")


@router.post("/shape/options/rename")
def rename(request: Request, name: Field, to: Field, back: Field = "/shape/options") -> Response:
    """Give an option another name."""
    desk = desk_of(request)
    try:
        desk.draft.edit({"rename": {f"{OPTIONS}.{name}": usable_name(to)}}, f"option {name} renamed {to.strip()}")
    except BadInput as why:
        return desk.refused(request, why, back, f"rename {name}", to)
    return back_to(back)


@router.post("/shape/options/remove")
def remove(request: Request, name: Field, back: Field = "/shape/options") -> Response:
    """Take an option out of the file."""
    desk_of(request).draft.edit({"remove": [f"{OPTIONS}.{name}"]}, f"option {name} removed")
    return back_to(back)


@router.post("/shape/options/without")
def without(request: Request, name: Field, word: Field, path: Field, back: Field = "/shape/options") -> Response:
    """Take one change out of an option."""
    desk = desk_of(request)
    node = desk.draft.look().machine.options.get(name)
    told = _plain(node)
    changes = told.get(word)
    if changes is None or path not in changes:
        raise BadInput(f"Option '{name[:60]}' does not say that any more. Look at the list again.")
    left = [p for p in changes if p != path] if isinstance(changes, list) else {
        p: v for p, v in changes.items() if p != path}
    rest = {w: left if w == word else c for w, c in told.items() if left or w != word}
    if not rest:
        raise BadInput(f"That is all option '{name}' changes. Remove the option instead.")
    desk.draft.edit({"set": {f"{OPTIONS}.{name}": rest}}, f"option {name} without {part_words(path)}")
    return back_to(back)


def _kept(base: Machine, edits: Edits, name: str, *, replaces: bool) -> dict[str, Any]:
    """The change of the file that keeps a draft as an option. Raises `BadInput`."""
    changed = (path for edit in edits.made for changes in edit.option.values() for path in changes)
    if any(path.split(".")[0] == OPTIONS for path in changed):
        raise BadInput("The draft changes options of the file, and an option cannot. Keep or drop those changes first.")
    there = next((n for n in base.options if n.casefold() == name.casefold()), "")
    if there and not replaces:
        raise BadInput(f"There is an option '{there}' already. Tick 'in place of the one there is', or give "
                       "another name.")
    found = leading(base, edits.over(base), (edit.option for edit in edits.made))
    if not found:
        raise BadInput("The draft changes nothing in the end, so there is nothing to keep as an option.")
    return {"set" if there else "add": {f"{OPTIONS}.{there or name}": found}}


def _named(machine: Machine, name: str) -> Named:
    """An option and its changes."""
    why = ""
    try:
        named_option(machine, name)
    except MachineErrors as error:
        why = error.problems[0].sentence
    found = []
    for word, changes in _plain(machine.options[name]).items():
        for path in changes:
            value = plain(changes[path]) if isinstance(changes, dict) else ""
            found.append(Change(word, path, value, said_at(machine, path) if word == "set" else ""))
    return Named(name, tuple(found), why)


def _plain(node: Any) -> dict[str, Any]:
    """An option as plain data; nothing where the file has none of that name."""
    return shaping.plain(node) if isinstance(node, MapNode) else {}

