"""Things taken out, and with them what stood there only for them, as far as it was ticked."""

from __future__ import annotations

from typing import Annotated

from fastapi import APIRouter, Form, Request, Response

from layshaft.faces.desk.rendering import back_to, desk_of
from layshaft.faces.pages.words import part_words
from layshaft.machine.leftovers import take_out
from layshaft.machine.shaping import stranded

Field = Annotated[str, Form()]
MOST_NAMED = 4
router = APIRouter()


@router.post("/shape/remove")
def remove(request: Request, path: Field, also: Annotated[list[str] | None, Form()] = None, options: Field = "",
           back: Field = "/shape") -> Response:
    """Take a thing out, with what hangs on it and what was ticked of that which stands there only for it.

    With `options` also those options of the file go that speak of it.
    """
    del back
    desk = desk_of(request)
    machine = desk.draft.look().machine
    ticked = also or []
    option = take_out(machine, path, ticked)
    also_said = [part_words(p) for p in option["remove"] if p != path]
    if options:
        gone = stranded(machine, option)
        option["remove"] += [f"options.{name}" for name in gone]
        also_said += [f"option {name}" for name in gone]
    desk.draft.edit(option, f"{part_words(path)} removed" + (f", with {named(also_said)}" if also_said else ""))
    return back_to("/shape")


def named(words: list[str]) -> str:
    """The first of them by name, the rest by number."""
    rest = len(words) - MOST_NAMED
    return "; ".join(words[:MOST_NAMED]) + (f" and {rest} more" if rest > 0 else "")
