"""What a part still needs, asked in one form: the lines the train waits for first, then what is not chosen yet.

Where a shipped size holds it is offered, and where the trade has a usual value that one, as a guess: nothing of it is
taken that was not ticked.
"""

from __future__ import annotations

from collections.abc import Mapping
from itertools import groupby
from typing import Any, NamedTuple

from fastapi import APIRouter, Request, Response
from markupsafe import Markup
from starlette.concurrency import run_in_threadpool

from layshaft.faces.desk import asking
from layshaft.faces.desk.drafting.state import State
from layshaft.faces.desk.rendering import Desk, back_to, desk_of
from layshaft.faces.desk.shown.open_sizes import Size, size_of, sizes_for
from layshaft.faces.desk.shown.still import not_finished
from layshaft.faces.pages.given_forms import Field as Line
from layshaft.faces.pages.given_forms import asked_line, fields, things_at
from layshaft.faces.pages.words import part_words
from layshaft.machine.shaping import things
from layshaft.project.first_guesses import FirstGuess, first_guess
from layshaft.trace.errors import BadInput
from layshaft.trace.units import printing_in
from layshaft.verdict.unfinished import still_needed, thing_of

MOST_LINES = 400
GUESS, SIZE = "guess:", "size:"
"""How a tick is named in the form: what comes behind is the line, or the part, it is for."""

router = APIRouter()


class Asked(NamedTuple):
    """One line of the form, and the usual value it may begin with."""

    path: str
    form: Markup
    guess: FirstGuess | None


class Group(NamedTuple):
    """The lines of one thing, and the sizes that would hold."""

    title: str
    sizes: list[Size]
    lines: list[Asked]


@router.get("/shape/needs")
def needs(request: Request, of: str = "", added: bool = False, ticked: bool = False) -> Response:
    """What one thing still needs; `added` where it was just added, `ticked` with every usual value ticked."""
    desk = desk_of(request)
    state = desk.draft.look()
    if all(t.path != of for t in things(state.machine)):
        raise BadInput(f"The machine has no '{of[:80]}'. It may have been renamed or removed, or the change that added "
                       "it was dropped.")
    assert state.verdict is not None
    with printing_in(state.machine.units):
        groups = _groups(desk, request, state, of)
        following = [path for path, _ in not_finished(state) if path != of]
        return desk.page(request, "finish.html", state, of=of, added=added, groups=groups, ticked=ticked,
                         guesses=sum(a.guess is not None for g in groups for a in g.lines),
                         following=following[0] if following else "",
                         worst=min(state.verdict.of(of), key=lambda f: f.rank, default=None))


def _groups(desk: Desk, request: Request, state: State, of: str) -> list[Group]:
    """The lines of one form, thing by thing; what was typed into a form that was refused stands in them."""
    assert state.verdict is not None
    said = desk.said(request)
    told = desk.told(request) if said is not None else {}
    why = {said.path: said.why} if said is not None else {}
    found = []
    for name, ours in groupby(_lines(state, still_needed(state.verdict, of)), lambda f: thing_of(f.path)):
        lines = [Asked(f.path, Markup(asked_line(state.machine, f, f.label, told.get(f.path, ""), why.get(f.path, ""))),
                       first_guess(state.machine, f.path)) for f in ours]
        found.append(Group(part_words(name), _sizes(state, [a.path for a in lines]), lines))
    return found


def _sizes(state: State, lines: list[str]) -> list[Size]:
    """Sizes for these lines; of a list the file says at once, `open` stands for all of it."""
    assert state.verdict is not None
    whole = [f"{path}[0]" for path in lines]
    return sizes_for(state.verdict, [*lines, *whole])


@router.post("/shape/needs")
async def settle(request: Request) -> Response:
    """Take all that was filled in or ticked, as one change."""
    form = {k: v for k, v in (await request.form(max_files=0, max_fields=MOST_LINES)).items() if isinstance(v, str)}
    desk = desk_of(request)
    back, of = form.pop("back", "/shape"), form.pop("of", "")
    try:
        option = await run_in_threadpool(_option, desk.draft.look(), form)
        count = len(option["set"])
        words = f"{part_words(of)}: {count} {'line' if count == 1 else 'lines'} filled in"
        await run_in_threadpool(desk.draft.edit, option, words)
    except BadInput as why:
        return desk.refused(request, why, back, _blamed(str(why), form), "", form)
    return back_to(back)


def _option(state: State, form: Mapping[str, str]) -> dict[str, Any]:
    """One change out of all that is ticked and typed; of one line what is typed counts. Raises `BadInput`."""
    sets: dict[str, Any] = {}
    gone: list[str] = []
    for name in form:
        if name.startswith(SIZE):
            sets |= _size(state, name.removeprefix(SIZE))
        elif name.startswith(GUESS):
            sets |= _guess(state, name.removeprefix(GUESS))
    for path, value in form.items():
        if value.strip() and not path.startswith((SIZE, GUESS)):
            asked = asking.option_of(state, path, asking.Asked(value))
            sets |= asked.get("set", {})
            gone += asked.get("remove", [])
    if not sets:
        raise BadInput("Fill in or tick at least one line.")
    sets = {path: value for path, value in sets.items() if path not in gone}
    return {"set": sets, **({"remove": gone} if gone else {})}


def _size(state: State, path: str) -> dict[str, Any]:
    size = size_of(state.verdict, path) if state.verdict is not None else None
    if size is None or not size.name:
        raise BadInput(f"No size is offered for {part_words(path)[:80]} any more. Look at the form again.")
    return dict(size.sets)


def _guess(state: State, path: str) -> dict[str, Any]:
    guess = first_guess(state.machine, path)
    if guess is None:
        raise BadInput(f"There is no usual value for '{path[:80]}'. Look at the form again.")
    return {path: guess.written}


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
