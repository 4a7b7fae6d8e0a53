"""From a state of the draft to a page: the templates, and what every template may say."""

from __future__ import annotations

import re
import time
from collections import OrderedDict
from collections.abc import Mapping
from dataclasses import dataclass, field
from functools import cached_property
from itertools import count
from types import MappingProxyType
from typing import Any, NamedTuple, cast
from urllib.parse import parse_qsl, quote, urlencode, urlsplit

from fastapi import Request, Response
from fastapi.responses import HTMLResponse, RedirectResponse
from jinja2 import Environment, PackageLoader, StrictUndefined, select_autoescape
from markupsafe import Markup, escape

from layshaft.faces.desk.asking import fields_of, given_at
from layshaft.faces.desk.drafting.broken import told as tells
from layshaft.faces.desk.drafting.draft import Draft
from layshaft.faces.desk.drafting.gone import Memory
from layshaft.faces.desk.drafting.moved import Moves, moves, told, was_of
from layshaft.faces.desk.drafting.runs import Runs
from layshaft.faces.desk.drafting.state import State
from layshaft.faces.desk.rooms import Room
from layshaft.faces.desk.shown.still import still_next
from layshaft.faces.pages.keys import page_in_words
from layshaft.faces.pages.verdict_table import reach
from layshaft.faces.pages.words import at_place, in_words, mark, means_list, name_words, part_words, verdict_words
from layshaft.machine.model import Machine
from layshaft.machine.schema import SOURCE_WORDS
from layshaft.project.answers import QUESTIONS
from layshaft.project.keeping import Kept, kept_last, undone_last
from layshaft.trace.errors import BadInput
from layshaft.trace.units import printing_in

MOST_REFUSALS = 50
SAID = "said"
PATH_BEGINS = re.compile(r"\w+\.\w")
TOUR, TOUR_STEPS = "layshaft_tour", 4


class Refusal(NamedTuple):
    """What was refused, where it was typed, and why."""

    path: str
    value: str
    why: str


@dataclass
class Desk:
    """The draft, the rooms there are, and what was refused lately. `desk_of(request)` gives it to a room."""

    draft: Draft
    rooms: list[Room]
    runs: Runs
    _refusals: OrderedDict[str, Refusal] = field(default_factory=OrderedDict)
    _told: dict[str, Mapping[str, str]] = field(default_factory=dict)
    """What else a refused form held, by the name of its refusal."""

    gone: Memory = field(default_factory=Memory)
    """Where parts went whose pages may still be open."""

    undone: bool = False
    """Whether an undo was the last thing done; a run that ends by itself does not count."""

    closed: Kept | None = None
    """What was kept last when somebody closed the line that says so."""

    _numbers: Any = field(default_factory=count)

    def last_done(self, state: State) -> tuple[Kept | None, Kept | None]:
        """What was kept last, and what was just undone, as far as the foot of the page says so."""
        self.undone = self.undone and not state.open
        if state.open or state.verdict is None or state.read_only:
            return None, None
        kept = kept_last(self.draft.place) if state.can_undo else None
        undone = undone_last(self.draft.place) if self.undone else None
        return (kept if kept != self.closed or undone is not None else None), undone

    def close(self) -> None:
        """Say no more of what was kept or undone last."""
        self.undone, self.closed = False, kept_last(self.draft.place)

    def page(self, request: Request, template: str, state: State | None = None, **context: Any) -> Response:
        """A room's page: `template` extends shell.html. Pass the `state` that the context was made from."""
        state = state or self.draft.look()
        said = self.said(request)
        units = state.machine.units if state.verdict is not None else ""
        with printing_in(units):
            html = self.templates.get_template(template).render(
                state=state, draft=self.draft, rooms=self.rooms, here=address(request), room=request.url.path,
                said=said, told=self.told(request), tour=_tour(request),
                moves=moves_of(state), running=self.runs.under_way(state), last_done=self.last_done(state), **context)
        html = page_in_words(html, *machines_of(state))
        return HTMLResponse(html, headers={"desk-state": str(state.number)})

    def said(self, request: Request) -> Refusal | None:
        """What was refused to this window last, and not looked at yet."""
        return self._refusals.get(request.query_params.get(SAID, ""))

    def told(self, request: Request) -> Mapping[str, str]:
        """What else the form held that was refused to this window last."""
        return self._told.get(request.query_params.get(SAID, ""), {})

    def refused(self, request: Request, why: BadInput, back: str = "", path: str = "", value: str = "",
                form: Mapping[str, str] = MappingProxyType({})) -> Response:
        """Why nothing was done: back on the page that asked; where a page itself cannot be shown, instead of it."""
        if request.method == "GET":
            page = self.page(request, "refused.html", why=tells(why))
            page.status_code = 404
            return page
        parts = urlsplit(request.headers.get("referer", ""))
        back = back or (f"{parts.path}?{parts.query}" if parts.query else parts.path) or "/"
        name = str(next(self._numbers))
        self._refusals[name] = Refusal(path, value, tells(why))
        self._told[name] = form
        while len(self._refusals) > MOST_REFUSALS:
            self._told.pop(self._refusals.popitem(last=False)[0], None)
        return back_to(back, name)

    @cached_property
    def templates(self) -> Environment:
        """The templates of all rooms; a name that is not there is an error, not a blank."""
        env = Environment(loader=PackageLoader("layshaft.faces.desk", "templates"), autoescape=select_autoescape(),
                          undefined=StrictUndefined, trim_blocks=True, lstrip_blocks=True)
        env.filters["part_words"] = part_words
        env.globals |= {
            "moved": moved, "part_words": part_words, "name_words": name_words, "sources": SOURCE_WORDS,
            "given_at": given_at, "fields_of": fields_of, "part_link": part_link,
            "verdict_words": lambda word: Markup(verdict_words(word)), "mark": lambda word: Markup(mark(word)),
            "html": Markup, "means_list": Markup(means_list()), "reach": lambda f: Markup(reach(f)),
            "questions": QUESTIONS, "tour_steps": TOUR_STEPS,
            "option_taken": option_taken, "sentence": sentence, "on_page": on_page, "told_of": told, "was_of": was_of,
            "clock": clock, "in_words": in_words, "still_next": still_next, "at_place": at_place,
        }
        return env


def desk_of(request: Request) -> Desk:
    """The desk a request is for."""
    return cast(Desk, request.app.state.desk)


def machines_of(state: State) -> list[Machine]:
    """The machine as drafted and as the file has it: a part that is gone from one is still named on a page."""
    verdicts = [state.verdict, *([state.before] if state.before is not state.verdict else [])]
    return [v.solved.machine for v in verdicts if v is not None]


def moves_of(state: State) -> Moves:
    """What the draft moved."""
    return moves(state)


def option_taken(state: State) -> str:
    """The name of the option a draft began with; blank where it began otherwise."""
    first = state.edits[0].words if state.edits else ""
    name = first.removeprefix("option ") if first.startswith("option ") else ""
    return name if state.verdict is not None and name in state.machine.options else ""


def moved(now: object, was: object | None) -> Markup:
    """A figure; where the draft moved it, the old one struck beside it. Both as they are printed."""
    if was is None or str(was) == str(now):
        return Markup("<span>{}</span>").format(now)
    return Markup('<span class="moved"><span class="unseen">was </span><s>{}</s> <span class="unseen">now </span>'
                  "<ins>{}</ins></span>").format(was, now)


def sentence(text: str) -> str:
    """Words that begin with a capital and end with a stop; a path is left as the file writes it."""
    text = text.strip()
    first = text.split(" ", 1)[0]
    begun = text if PATH_BEGINS.match(first) else text[:1].upper() + text[1:]
    return begun + ("" if text.endswith((".", "?", "!")) or not text else ".")


def on_page(text: str | Markup) -> Markup:
    """Words in which a command that has a room of its own is the way to it."""
    told = str(escape(text)).replace("`layshaft run`", '<a href="/run">run it</a>')
    told = told.replace("Import a supplier&#39;s list", '<a href="/needs#lists">Take in a supplier&#39;s list</a>')
    told = told.replace("no list tells", '<a href="/needs#lists">no list</a> tells')
    return Markup(told.replace("`layshaft needs`", '<a href="/needs">its needs</a>'))


def clock(when: str) -> str:
    """When something was kept: the hour, and the day where it was not today."""
    day, _, hour = when.partition(" ")
    return hour[:5] if day == time.strftime("%Y-%m-%d") else when[:16]


def part_link(path: str) -> str:
    """Address of the room of a part."""
    return f"/part?path={quote(path)}"


def address(request: Request) -> str:
    """Where a window is, without what was said there last."""
    rest = [(k, v) for k, v in parse_qsl(request.url.query, keep_blank_values=True) if k != SAID]
    return request.url.path + (f"?{urlencode(rest)}" if rest else "")


def back_to(back: str, said: str = "") -> RedirectResponse:
    """See the page a form was on, by GET; only ever a page of this desk."""
    parts = urlsplit(back)
    own = back.startswith("/") and not back.startswith(("//", "/\\")) and not parts.netloc
    query = [(k, v) for k, v in parse_qsl(parts.query, keep_blank_values=True) if k != SAID] if own else []
    query += [(SAID, said)] if said else []
    return RedirectResponse((parts.path if own else "/") + (f"?{urlencode(query)}" if query else ""), 303)


def _tour(request: Request) -> int:
    """Step of the tour a window is at; 0 where it is over."""
    told = request.cookies.get(TOUR, "1")
    step = int(told) if told.isdecimal() else 1
    return step if 0 < step <= TOUR_STEPS else 0


