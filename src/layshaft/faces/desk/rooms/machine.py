"""The first room: the machine to scale, and its verdict in the margin, worst first."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Annotated

from fastapi import APIRouter, Query, Request, Response
from fastapi.responses import HTMLResponse, JSONResponse
from markupsafe import Markup, escape

from layshaft.faces.desk.mending import mend_link
from layshaft.faces.desk.rendering import desk_of
from layshaft.faces.desk.room_drawing import course_of, drawn, looked
from layshaft.faces.desk.rooms import Room
from layshaft.faces.pages.keys import keys_in_words
from layshaft.faces.pages.verdict_table import reasons
from layshaft.faces.pages.words import part_words
from layshaft.trace.findings import WORST_FIRST, Finding, Word
from layshaft.trace.units import printing_in
from layshaft.verdict.cautions import cautions
from layshaft.verdict.guesses import guesses
from layshaft.verdict.next_step import name_of, next_step
from layshaft.verdict.rate import Verdict
from layshaft.verdict.remarks import by_text
from layshaft.verdict.runaways import MODE as RUN_AWAY

ROOM = Room("/", "Machine", "The whole machine to scale, worst part first")
SHOWN_FIRST: tuple[Word, ...] = ("fails", "unknown", "thin")
router = APIRouter()


@dataclass(frozen=True)
class Entry:
    """One part in the margin: its worst finding, and the others it has."""

    path: str
    name: str
    worst: Finding
    more: list[Finding]


@router.get("/")
def machine(request: Request, show: Annotated[list[str] | None, Query()] = None, named: str = "", case: str = "",
            quantity: str = "", held: str = "") -> Response:
    """The machine room; `show` are the verdicts listed, `named` what the parts listed are called.

    The drawing shows a `case` by its title, with a `quantity` along it, and a shaft `held` fast.
    """
    desk = desk_of(request)
    state = desk.draft.look()
    assert state.verdict is not None
    words = [w for w in WORST_FIRST if w in (show if show is not None else SHOWN_FIRST)]
    with printing_in(state.machine.units):
        step, of = next_step(state.verdict), looked(state.verdict, case, quantity, held)
        return desk.page(
            request, "machine.html", state, drawing=drawn(state, of), looked=of, next_step=step,
            next_part=part_in(step, state.verdict), mend=_mend(step, state.verdict),
            entries=entries(state.verdict, words, named), words=words,
            all_words=WORST_FIRST, named=named, reasons=Markup(reasons(state.verdict.findings)),
            guesses=guesses(state.verdict), cautions=cautions(state.verdict), filtered=show is not None or bool(named))


@router.get("/remarks")
def remarks(request: Request) -> Response:
    """Advice without a margin, on a page of its own: every rating is looked at again for it."""
    desk = desk_of(request)
    state = desk.draft.look()
    assert state.verdict is not None
    with printing_in(state.machine.units):
        return desk.page(request, "remarks.html", state, remarks=by_text(state.verdict))


@router.get("/paths")
def paths(request: Request) -> Response:
    """Every given in words, as the lines a field offers; asked for when somebody first types there."""
    names = keys_in_words(desk_of(request).draft.look().machine).values()
    return HTMLResponse("".join(f"<option>{escape(name)}</option>" for name in names))


@router.get("/course")
def course(request: Request) -> Response:
    """The run of the machine as it stands, for the drawing that plays it."""
    state = desk_of(request).draft.look()
    assert state.verdict is not None
    return JSONResponse(course_of(state.verdict), headers={"desk-state": str(state.number)})


def entries(verdict: Verdict, words: list[Word], named: str) -> list[Entry]:
    """Parts whose worst verdict is one of these words and whose name holds what was asked, worst first.

    What fails only after a loss comes last of what fails, as in the next step.
    """
    by_part: dict[str, list[Finding]] = {}
    for f in sorted(verdict.findings, key=lambda f: (WORST_FIRST.index(f.verdict), f.mode == RUN_AWAY, f.rank)):
        by_part.setdefault(f.part, []).append(f)
    asked = named.casefold().split()
    return [Entry(path, part_words(path), found[0], found[1:]) for path, found in by_part.items()
            if found[0].verdict in words and all(word in f"{path} {part_words(path)}".casefold() for word in asked)]


def part_in(step: str, verdict: Verdict) -> str:
    """The part a next step speaks of; blank where it speaks of none."""
    named = (f.part for f in sorted(verdict.findings, key=lambda f: -len(name_of(f))) if name_of(f) in step)
    return next(named, "")


def _mend(step: str, verdict: Verdict) -> str:
    """Where one looks for what would mend the finding a next step speaks of; blank where it speaks of none."""
    part = part_in(step, verdict)
    told = [f for f in verdict.findings if f.part == part and f.verdict in ("fails", "thin") and f"{f.mode} in" in step]
    return mend_link(part, told[0].mode) if told else ""
