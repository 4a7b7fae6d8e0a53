"""The room of options: whole machines side by side, and the best that can be bought for some parts."""

from __future__ import annotations

import math
from collections.abc import Hashable
from pathlib import Path
from typing import Annotated, Any, cast

from fastapi import APIRouter, Form, Query, Request, Response

from layshaft.faces.choices import tally
from layshaft.faces.desk.jobs import Job, Jobs
from layshaft.faces.desk.rendering import back_to, desk_of
from layshaft.faces.desk.rooms import Room
from layshaft.faces.desk.rooms.run import progress_line
from layshaft.faces.desk.shown.choosable import by_kind
from layshaft.faces.pages import beside as pages
from layshaft.faces.pages import traded
from layshaft.faces.pages.front_chart import front_chart
from layshaft.faces.pages.words import name_words, part_words
from layshaft.machine.document import ListNode, MapNode, TextNode
from layshaft.machine.model import Machine
from layshaft.machine.options import named_option, option_of
from layshaft.project import catalogue
from layshaft.project.offered import offers_for
from layshaft.project.prices import offered_to
from layshaft.project.runs import state_of
from layshaft.study.choosing.choose import Choice, choose
from layshaft.study.choosing.space import Wish
from layshaft.study.choosing.wishes import KINDS, USUAL, weights_of
from layshaft.study.compare import AS_IT_STANDS, Comparison, beside
from layshaft.trace.errors import BadInput
from layshaft.trace.units import RATIO, parse_quantity, print_in, printing_in
from layshaft.train.solve import solve
from layshaft.verdict.cautions import DEFER

ROOM = Room("/options", "Options", "Machines side by side, and the best that can be bought")
MOST_BESIDE, MOST_TRADES = 6, 12
WEIGHED_FIRST = (*USUAL, "lead time")
Field = Annotated[str, Form()]
router = APIRouter()
_jobs = Jobs()
_last: dict[str, tuple[Machine, Hashable, tuple[Comparison, list[str]]]] = {}


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
    job, lists = _jobs.now, catalogue.standing(desk.draft.place.parent)
    mine = job if job is not None and _of(job.key) == (str(desk.draft.place), state_of(machine), lists) else None
    last = job if job is not None and job.key[0] == str(desk.draft.place) else None
    with printing_in(machine.units):
        found, refused = _laid(machine, tuple(asked), desk.draft.place.parent, lists) if asked else (None, [])
        return desk.page(
            request, "options.html", state, names=list(machine.options), asked=asked, found=found, refused=refused,
            pages=pages, name_of=name_words, job=mine, earlier=last if mine is None else None,
            by_lists=last is not None and last.key[1] == state_of(machine),
            answer=_answer(mine) if mine is not None and mine.answer is not None else None,
            kinds=by_kind(machine), ticked=chosen or _parts_of(last, machine), wishes=KINDS,
            weigh=_weigh_of(last), defer=DEFER)


def _answer(job: Job[Any]) -> dict[str, Any]:
    """What the page says of a search that is over."""
    choice = cast(Choice, job.answer)
    points = traded.points(choice)
    chart = front_chart("front", "Trade-offs", *points) if points is not None else ""
    rows, more = traded.refused(choice)
    return {"counted": tally(choice), "trades": traded.trades(choice, MOST_TRADES), "heads": traded.heads(choice),
            "parts": [part_words(path) for path in choice.space.parts], "chart": chart, "refused": rows, "more": more,
            "nearest": "" if choice.candidates else traded.nearest(choice), "left_out": traded.left_out(choice),
            "notes": choice.space.notes, "count": len(choice.candidates)}


def _parts_of(job: Job[Any] | None, machine: Machine) -> list[str]:
    """Parts the last search was for, as far as they are there; none where there was none."""
    there = {path for paths in by_kind(machine).values() for path in paths}
    return [path for path in job.key[2] if path in there] if job is not None and isinstance(job.key[2], tuple) else []


def _weigh_of(job: Job[Any] | None) -> dict[str, float]:
    """What the last search weighed, with the weights; what is usual where there was none."""
    text = str(job.key[3]) if job is not None else ""
    return weights_of(text) if text else dict.fromkeys(WEIGHED_FIRST, 1.0)


def _laid(machine: Machine, names: tuple[str, ...], project: Path, lists: Hashable) -> tuple[Comparison, list[str]]:
    """The machines side by side; options that do not fit the draft are told apart. Solved once for all windows."""
    last = _last.get("laid")
    if last is not None and last[0] is machine and last[1] == (names, lists):
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
    found = beside(labels, machines, offered_to(project)), refused
    _last["laid"] = machine, (names, lists), found
    return found


@router.post("/options/take")
def take(request: Request, name: Field, back: Field = "/options") -> Response:
    """Lay an option of the file over the machine, as a draft."""
    desk = desk_of(request)
    desk.draft.edit(_plain(option_of(desk.draft.look().machine, name)), f"option {name}")
    return back_to(back)


@router.post("/options/choose")
def choose_for(request: Request, part: Annotated[list[str] | None, Form()] = None,
               weigh: Annotated[list[str] | None, Form()] = None, double: Field = "", prefer: Field = "",
               ratio: Field = "", back: Field = "/options") -> Response:
    """Begin a search over all that can be bought for some parts; `weigh` are wishes, `double` one that counts twice."""
    desk = desk_of(request)
    state = desk.draft.look()
    if state.verdict is None or not part:
        raise BadInput("Tick the parts to choose for, then search.")
    machine, place, lists = state.machine, desk.draft.place, catalogue.standing(desk.draft.place.parent)
    names = dict.fromkeys([*(weigh or []), *([double] if double else [])])
    prefer = prefer or ",".join(f"{name}=2" if name == double else name for name in names)
    wish = Wish(parse_quantity(ratio, RATIO).value if ratio.strip() else math.nan, prefer=weights_of(prefer))

    def work(told: Any) -> Any:
        print_in(machine.units)
        return choose(machine, list(part), wish, offers_for(place), MOST_TRADES, lambda done, _whole: told(done))

    key = (str(place), state_of(machine), tuple(dict.fromkeys(part)), prefer, ratio, lists)
    _jobs.ask(key, 0.0, "{done:.0f} answers rated", work, anew=True)
    return back_to(back)


@router.post("/options/trade")
def trade(request: Request, wanted: Field, back: Field = "/options") -> Response:
    """Take one of the trade-offs found, by its sizes: another window may have searched for other parts meanwhile."""
    desk = desk_of(request)
    state = desk.draft.look()
    job = _jobs.now
    lists = catalogue.standing(desk.draft.place.parent)
    if job is None or job.answer is None or _of(job.key) != (str(desk.draft.place), state_of(state.machine), lists):
        raise BadInput("The search was for an earlier state of the machine, or of the suppliers' lists. Search again.")
    there = traded.trades(job.answer, MOST_TRADES)
    number = next((t.number for t in there if t.name == wanted), 0)
    if not number:
        raise BadInput("The last search has no such trade-off: it was for other parts, or weighed something else. "
                       "Look at the list again.")
    desk.draft.edit(job.answer.candidates[number - 1].option, wanted)
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
    """File, state of the machine and state of the lists of a search's key."""
    return (*key[:2], key[-1])


def _plain(option: Any) -> Any:
    """An option of the file as plain data."""
    if isinstance(option, MapNode):
        return {e.key: _plain(e.value) for e in option.entries}
    if isinstance(option, ListNode):
        return [_plain(item) for item in option.items]
    return option.text if isinstance(option, TextNode) else option
