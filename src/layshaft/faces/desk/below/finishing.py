"""What a part still needs, asked in one form: the lines the train waits for first, then what is not chosen yet."""

from __future__ import annotations

from collections.abc import Mapping
from itertools import groupby
from typing import Any

from fastapi import APIRouter, Request, Response
from markupsafe import Markup
from starlette.concurrency import run_in_threadpool

from layshaft.faces.desk import asking
from layshaft.faces.desk.drafting.state import State
from layshaft.faces.desk.rendering import back_to, desk_of
from layshaft.faces.pages.given_forms import Field as Line
from layshaft.faces.pages.given_forms import asked_line, fields, things_at
from layshaft.faces.pages.words import part_words
from layshaft.machine.shaping import things
from layshaft.trace.errors import BadInput
from layshaft.trace.units import printing_in
from layshaft.verdict.unfinished import still_needed, thing_of, unfinished

MOST_LINES = 200
router = APIRouter()


@router.get("/shape/needs")
def needs(request: Request, of: str = "", added: bool = False) -> Response:
    """What one thing still needs; `added` where it was just added."""
    desk = desk_of(request)
    state = desk.draft.look()
    if all(t.path != of for t in things(state.machine)):
        raise BadInput(f"The machine has no '{of[:80]}'. It may have been renamed or removed, or the change that added "
                       "it was dropped.")
    assert state.verdict is not None
    said = desk.said(request)
    with printing_in(state.machine.units):
        told = desk.told(request) if said is not None else {}
        why = {said.path: said.why} if said is not None else {}
        groups = [(part_words(name), [Markup(asked_line(state.machine, f, f.label, told.get(f.path, ""),
                                                        why.get(f.path, ""))) for f in ours])
                  for name, ours in groupby(_lines(state, still_needed(state.verdict.solved, of)),
                                            lambda f: thing_of(f.path))]
        return desk.page(request, "finish.html", state, of=of, added=added, groups=groups,
                         worst=min(state.verdict.of(of), key=lambda f: f.rank, default=None))


@router.post("/shape/needs")
async def settle(request: Request) -> Response:
    """Take all that was filled in, as one change."""
    form = {k: v for k, v in (await request.form(max_files=0, max_fields=MOST_LINES)).items() if isinstance(v, str)}
    desk = desk_of(request)
    back, of = form.pop("back", "/shape"), form.pop("of", "")
    try:
        option = _option(desk.draft.look(), form)
        count = len(option["set"])
        words = f"{part_words(of)}: {count} {'line' if count == 1 else 'lines'} filled in"
        await run_in_threadpool(desk.draft.edit, option, words)
    except BadInput as why:
        return desk.refused(request, why, back, _blamed(str(why), form), "", form)
    return back_to(back)


def _option(state: State, form: Mapping[str, str]) -> dict[str, Any]:
    """One change out of all lines with something in them. Raises `BadInput`."""
    sets: dict[str, Any] = {}
    for path, value in form.items():
        if value.strip():
            sets |= asking.option_of(state, path, asking.Asked(value)).get("set", {})
    if not sets:
        raise BadInput("Fill in at least one line.")
    return {"set": sets}


def _blamed(why: str, form: Mapping[str, str]) -> str:
    """The line a refusal speaks of; blank where it names none of them."""
    return next((path for path in sorted(form, key=len, reverse=True) if path in why), "")


def _lines(state: State, wanted: list[str]) -> list[Line]:
    """The fields of these lines, each once; of a list the file does not have yet that of the whole list."""
    found: dict[str, Line] = {}
    for path in wanted:
        thing = next(iter(things_at(state.machine, path)), state.machine)
        there = {f.path: f for f in fields(thing, state.machine.document)}
        while path not in there and path.endswith("]"):
            path = path.rpartition("[")[0]
        if path in there:
            found.setdefault(path, there[path])
    return list(found.values())


def not_finished(state: State) -> list[tuple[str, int]]:
    """Things that lack something, with how many lines, in the order in which the train waits for them."""
    assert state.verdict is not None
    return [(path, len(lines)) for path, lines in unfinished(state.verdict.solved).items()
            if any(t.path == path for t in things(state.machine))]
