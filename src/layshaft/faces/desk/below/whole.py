"""What is said of the machine as a whole: its name and units, where it is shown, its run, the margins it asks for."""

from __future__ import annotations

from collections import defaultdict
from dataclasses import dataclass
from html import escape
from itertools import groupby
from typing import Annotated, Any, NamedTuple

from fastapi import APIRouter, Form, Request, Response
from markupsafe import Markup

from layshaft.faces.desk.drafting.state import State
from layshaft.faces.desk.rendering import address, back_to, desk_of
from layshaft.faces.pages.given_forms import Field as Line
from layshaft.faces.pages.given_forms import Sending, field_form, fields
from layshaft.listings.tables import table
from layshaft.machine.options import WHAT_IF
from layshaft.machine.schema import SOURCE_WORDS, Given
from layshaft.trace.errors import BadInput
from layshaft.trace.findings import Finding
from layshaft.trace.units import RATIO, parse_quantity, printing_in
from layshaft.verdict.required import stricter_over_people, usual

POSTS = ('method="post" action="/edit" hx-post="/edit" hx-select="#sheet" hx-target="#sheet" '
         'hx-swap="morph:outerHTML"')
SHORTEST_REASON = 3
Field = Annotated[str, Form()]
router = APIRouter()

HEADS = {"": "Name and print", "venue": "Where it is shown", "transit": "On the road", "programme": "Its run"}
FIXED = {
    "layshaft": "The version of the file's format. There is one so far, so there is nothing to choose.",
}
"""Keys that can be said in one way only."""

OTHERWISE = {
    "id": "Without one: none. It ties the file to a database kept beside it, so give two machines two of them.",
    "name": "It must have one.",
    "about": "Without it: none. It stands on the cover of the report.",
    "units": "Without it: metric. Only what is printed changes; the file keeps the units it is written in.",
    "gravity": "It must be stated. By international agreement 9.80665 m/s2; on earth between 9.78 and 9.83 m/s2.",
    "venue.coldest": "Without it: unknown, and with it what cold decides: press fits, couplings with a soft element, "
                     "how the speed of a fan drifts.",
    "venue.warmest": "Without it: unknown, and with it what warmth decides: press fits, couplings with a soft "
                     "element, the oil of bearings and worms, how the speed of a fan drifts.",
    "venue.air density": "Without it: unknown, and with it the pull of a fan brake, unless the fan states an air "
                         "density or a constant of its own.",
    "transit.shock": "Without it: no load on the road is reckoned, and nothing is claimed of the journey.",
    "programme.shaft": "Without it: the only train that weights drive.",
}
"""What the house takes where a line is left out, and why."""


class Part(NamedTuple):
    """Some lines that belong together: heading and their forms."""

    name: str
    title: str
    forms: list[Markup]


@dataclass(frozen=True)
class Margin:
    """The required margin of one way to fail: what the house asks, what the file says, and where it stands."""

    mode: str
    usual: float
    stricter: float
    over_people: bool
    """The stricter one is for loads that hang over people alone."""

    asked_by: str
    obtained: str
    own: Given | None
    found: tuple[Finding, ...]

    @property
    def now(self) -> str:
        """What is asked in this machine, each value once."""
        values = sorted({f.required for f in self.found}) or [self.usual]
        return " and ".join(f"{v:.3g}" for v in values)

    @property
    def hurts(self) -> list[str]:
        """Who is at risk where it is asked."""
        return list(dict.fromkeys(f.hurts for f in self.found if f.hurts))

    @property
    def bar(self) -> float:
        """Below this a margin of the builder's own asks for a reason."""
        return max(self.usual, self.stricter) if self.hurts else self.usual

    @property
    def lower(self) -> bool:
        """Whether the file asks for less than the house would."""
        return self.own is not None and self.own.known and bool(self.own.nominal < self.bar)

    @property
    def house(self) -> str:
        """What the house asks, in words."""
        if self.stricter == self.usual:
            return f"{self.usual:.3g}"
        where = "where a load hangs over people" if self.over_people else "where a person can be hurt"
        return f"{self.usual:.3g}, and {self.stricter:.3g} {where}"

    @property
    def worst(self) -> Finding | None:
        """The tightest part; None where no margin is known."""
        known = [f for f in self.found if f.verdict != "unknown"]
        return min(known, key=lambda f: f.rank) if known else None


@router.get("/shape/whole")
def whole(request: Request) -> Response:
    """Every line of the file that belongs to no single part."""
    desk = desk_of(request)
    state = desk.draft.look()
    assert state.verdict is not None
    with printing_in(state.machine.units):
        found = margins(state)
        asked = [m for m in found if m.found or m.own is not None]
        groups = [("Where somebody can be hurt", [m for m in asked if m.hurts]),
                  ("The others asked here", [m for m in asked if not m.hurts]),
                  ("Not asked in this machine", [m for m in found if m not in asked])]
        return desk.page(request, "whole.html", state, parts=_parts(state, address(request), desk.said(request)),
                         groups=[g for g in groups if g[1]])


@router.post("/shape/margin")
def margin(request: Request, mode: Field, value: Field = "", note: Field = "", source: Field = "decided",
           back: Field = "/shape/whole") -> Response:
    """Ask for another margin in one way to fail; a blank takes the house's again."""
    desk = desk_of(request)
    path = f"margins.{mode}"
    try:
        option, words = _option(desk.draft.look(), mode, value.strip(), note.strip(), source)
        if option:
            desk.draft.edit(option, words)
    except BadInput as why:
        return desk.refused(request, why, back, path, value, {"note": note, "source": source})
    return back_to(back)


def _option(state: State, mode: str, value: str, note: str, source: str) -> tuple[dict[str, Any], str]:
    """The change that asks for a margin. Raises `BadInput` for one below the house's without a reason."""
    asked = next((m for m in margins(state) if m.mode == mode), None)
    if asked is None:
        raise BadInput(f"There is no way to fail called '{mode[:60]}'.")
    if not value:
        return ({"remove": [f"margins.{mode}"]}, f"Required margin of {mode}: the house's again") if asked.own else (
            {}, "")
    if source not in SOURCE_WORDS:
        raise BadInput(f"'{source[:40]}' is no source. Choose one of {', '.join(SOURCE_WORDS)}.")
    read = parse_quantity(value, RATIO)
    least = read.value if read.low is None else read.low
    if least < asked.bar and (len(note) < SHORTEST_REASON or note == WHAT_IF):
        raise BadInput(f"{value} is less than the house asks of {mode} ({asked.house}). {_risk(asked)}"
                       "Write beside it why less is enough.")
    said = {"value": value, "source": source} | ({"note": note} if note else {})
    return {"set": {f"margins.{mode}": said}}, f"Required margin of {mode}: {value}"


def _risk(asked: Margin) -> str:
    """Who is at risk where less is asked."""
    return f"At risk if it lets go: {'; '.join(asked.hurts)}. " if asked.hurts else ""


def margins(state: State) -> list[Margin]:
    """Every way to fail the house knows, in the order of its table."""
    assert state.verdict is not None
    by_mode: dict[str, list[Finding]] = defaultdict(list)
    for f in state.verdict.findings:
        by_mode[f.mode].append(f)
    found = []
    for row in table("required_margins").rows:
        (least, source), (most, _) = usual(row.name, False), usual(row.name, True)
        own = (state.machine.margins or {}).get(row.name)
        found.append(Margin(row.name, least, most, stricter_over_people(row.name), source.work, source.obtained, own,
                            tuple(by_mode[row.name])))
    return found


def _parts(state: State, back: str, refused: tuple[str, str, str] | None) -> list[Part]:
    """The forms of all lines, by what they belong to."""
    machine = state.machine
    before = state.before.solved.machine if state.before is not None else None
    way = Sending(back, POSTS, before, refused)
    lines = [f for f in fields(machine) if f.path.partition(".")[0] not in ("margins", "options")]
    return [Part(name, HEADS.get(name, name.capitalize()), [_form(machine, f, way) for f in ours])
            for name, ours in groupby(lines, lambda f: f.path.rpartition(".")[0])]


def _form(machine: Any, f: Line, way: Sending) -> Markup:
    """One line with what the house takes otherwise; a line that can be said in one way only is told."""
    if f.path in FIXED:
        return Markup(f'<p class="fact fixed"><b>format</b> <span>{escape(str(f.there))}</span> '
                      f'<span class="about-fact">{escape(FIXED[f.path])}</span></p>')
    bare = f.__class__(f.path, f.label.rpartition(": ")[2], f.key, f.reads, f.there)
    return Markup(field_form(machine, bare, way, OTHERWISE.get(f.path, "")))
