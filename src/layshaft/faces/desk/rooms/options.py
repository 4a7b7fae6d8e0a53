"""The room of options: whole machines side by side, and the best that can be bought for some parts."""

from __future__ import annotations

import math
from collections.abc import Hashable
from typing import Annotated, Any

from fastapi import APIRouter, Form, Query, Request, Response

from layshaft.faces.choices import choice_text
from layshaft.faces.comparing import ample, sentences
from layshaft.faces.desk.choosable import choosable
from layshaft.faces.desk.jobs import Jobs
from layshaft.faces.desk.rendering import back_to, desk_of
from layshaft.faces.desk.rooms import Room
from layshaft.faces.desk.rooms.run import progress_line
from layshaft.machine.document import ListNode, MapNode, TextNode
from layshaft.machine.model import Machine
from layshaft.machine.options import named_option, option_of
from layshaft.project.offered import offers_for
from layshaft.project.runs import state_of
from layshaft.study.choosing.choose import choose
from layshaft.study.choosing.space import Wish
from layshaft.study.choosing.wishes import weights_of
from layshaft.study.compare import AS_IT_STANDS, Comparison, beside
from layshaft.trace.errors import BadInput
from layshaft.trace.units import RATIO, parse_quantity, print_in, printing_in, shown
from layshaft.train.solve import solve

ROOM = Room("/options", "Options", "Machines side by side, and the best that can be bought")
MOST_BESIDE, MOST_TRADES = 6, 12
BY_COMMAND = "\n\nTake one with --take"
"""Where the answer begins to speak of the command line."""
Field = Annotated[str, Form()]
router = APIRouter()
_jobs = Jobs()
_last: dict[str, tuple[Machine, tuple[str, ...], tuple[Comparison, list[str]]]] = {}


@router.get("/options")
def options(request: Request, with_: Annotated[list[str] | None, Query(alias="with")] = None,
            chosen: Annotated[list[str] | None, Query()] = None) -> Response:
    """The file's options; those of `with` beside the machine as it stands. `chosen` are parts to choose for."""
    desk = desk_of(request)
    state = desk.draft.look()
    if state.verdict is None:
        return desk.page(request, "options.html", state)
    machine = state.machine
    asked = [name for name in with_ or [] if name in machine.options][:MOST_BESIDE]
    with printing_in(machine.units):
        found, refused = _laid(machine, tuple(asked)) if asked else (None, [])
        job = _jobs.now
        answer = job.answer if job is not None else None
        words = choice_text(answer, MOST_TRADES).partition(BY_COMMAND)[0] if answer is not None else ""
        mine = job if job is not None and _of(job.key) == (str(desk.draft.place), state_of(machine)) else None
        earlier = job is not None and mine is None and job.key[0] == str(desk.draft.place)
        return desk.page(
            request, "options.html", state, names=list(machine.options), asked=asked, found=found, refused=refused,
            clauses=[list(sentences(found, i)) for i in range(1, len(found.labels))] if found else [],
            moving=[m for m in found.moved if not ample(m)] if found else [], shown=shown, job=mine, words=words,
            earlier=earlier, parts=choosable(machine), chosen=chosen or [])


def _laid(machine: Machine, names: tuple[str, ...]) -> tuple[Comparison, list[str]]:
    """The machines side by side; options that do not fit the draft are told apart. Solved once for all windows."""
    last = _last.get("laid")
    if last is not None and last[0] is machine and last[1] == names:
        return last[2]
    labels, machines, refused = [AS_IT_STANDS], [machine], []
    for name in names:
        try:
            other = named_option(machine, name)
            solve(other)  # an option can fit the file and still not turn
        except BadInput as why:
            refused.append(f"{name}: {why}")
        else:
            machines.append(other)
            labels.append(name)
    found = beside(labels, machines), refused
    _last["laid"] = machine, names, found
    return found


@router.post("/options/take")
def take(request: Request, name: Field, back: Field = "/options") -> Response:
    """Lay an option of the file over the machine, as a draft."""
    desk = desk_of(request)
    desk.draft.edit(_plain(option_of(desk.draft.look().machine, name)), f"option {name}")
    return back_to(back)


@router.post("/options/choose")
def choose_for(request: Request, part: Annotated[list[str] | None, Form()] = None, prefer: Field = "",
               ratio: Field = "", back: Field = "/options") -> Response:
    """Begin a search over all that can be bought for some parts."""
    desk = desk_of(request)
    state = desk.draft.look()
    if state.verdict is None or not part:
        raise BadInput("Tick the parts to choose for, then search.")
    machine, place = state.machine, desk.draft.place
    wish = Wish(parse_quantity(ratio, RATIO).value if ratio.strip() else math.nan, prefer=weights_of(prefer))

    def work(told: Any) -> Any:
        print_in(machine.units)
        return choose(machine, list(part), wish, offers_for(place), MOST_TRADES, lambda done, _whole: told(done))

    key = (str(place), state_of(machine), tuple(part), prefer, ratio)
    _jobs.ask(key, 0.0, "{done:.0f} answers rated", work)
    return back_to(back)


@router.post("/options/trade")
def trade(request: Request, number: Annotated[int, Form()], back: Field = "/options") -> Response:
    """Take one of the trade-offs found."""
    desk = desk_of(request)
    state = desk.draft.look()
    job = _jobs.now
    if job is None or job.answer is None or _of(job.key) != (str(desk.draft.place), state_of(state.machine)):
        raise BadInput("The search was for an earlier state of the machine. Search again.")
    if not 0 < number <= len(job.answer.candidates):
        raise BadInput(f"There is no trade-off {number}.")
    found = job.answer.candidates[number - 1]
    desk.draft.edit(found.option, f"trade-off {number}")
    return back_to(back)


@router.post("/options/stop")
def stop(back: Field = "/options") -> Response:
    """Stop the search."""
    _jobs.stop()
    return back_to(back)


@router.get("/options/progress")
def progress() -> Response:
    """How far the search has come."""
    return progress_line(_jobs.now, "/options")


def _of(key: tuple[Hashable, ...]) -> tuple[Hashable, ...]:
    """File and state of a search's key."""
    return key[:2]


def _plain(option: Any) -> Any:
    """An option of the file as plain data."""
    if isinstance(option, MapNode):
        return {e.key: _plain(e.value) for e in option.entries}
    if isinstance(option, ListNode):
        return [_plain(item) for item in option.items]
    return option.text if isinstance(option, TextNode) else option
