"""The first room: the machine to scale, and its verdict in the margin, worst first."""

from __future__ import annotations

from typing import Annotated, Any

from fastapi import APIRouter, Query, Request, Response
from fastapi.responses import HTMLResponse, JSONResponse
from markupsafe import Markup, escape

from layshaft.faces.desk.rendering import address, desk_of
from layshaft.faces.desk.rooms import Room
from layshaft.faces.desk.shown.room_drawing import WINDOW, course_of, drawn, looked, with_view
from layshaft.faces.desk.shown.room_list import AT_ONCE, IN_FULL, counts, entries
from layshaft.faces.pages.keys import keys_in_words
from layshaft.faces.pages.verdict_table import reasons
from layshaft.faces.pages.words import part_words
from layshaft.machine.sampling import doubts
from layshaft.trace.findings import WORST_FIRST, Finding, Word
from layshaft.trace.units import printing_in
from layshaft.verdict.cautions import cautions
from layshaft.verdict.guesses import guesses
from layshaft.verdict.next_step import first_concern, next_step
from layshaft.verdict.rate import Verdict
from layshaft.verdict.remarks import by_text

ROOM = Room("/", "Machine", "The whole machine to scale, worst part first")
SHOWN_FIRST: tuple[Word, ...] = ("fails", "unknown", "thin")
router = APIRouter()


@router.get("/")
def machine(request: Request, show: Annotated[list[str] | None, Query()] = None, named: str = "", case: str = "",
            quantity: str = "", held: str = "", view: str = "", whole: bool = False) -> Response:
    """The machine room; `show` are the verdicts listed, `named` what the parts listed are called, `whole` all of them.

    The drawing shows one `view` in a `case` by its title, with a `quantity` along it; a shaft `held` fast is a case.
    """
    desk, window = desk_of(request), request.cookies.get(WINDOW, "")
    state = desk.draft.look()
    assert state.verdict is not None
    words = [w for w in WORST_FIRST if w in (show if show is not None else SHOWN_FIRST)]
    with printing_in(state.machine.units):
        of, concern = looked(state.verdict, case, quantity, held, view), first_concern(state.verdict)
        found = entries(state.verdict, words, named)
        return desk.page(
            request, "machine.html", state, looked=of, drawing=drawn(state, of, window), window=window,
            seen=lambda view: with_view(address(request), view),
            next_step=next_step(state.verdict, part_words), concern=concern, mend=_mends(concern),
            entries=found if whole else found[:AT_ONCE], left=0 if whole else len(found[AT_ONCE:]), in_full=IN_FULL,
            counts=counts(state), words=words, named=named, reasons=Markup(reasons(state.verdict.findings)),
            **_guessed(state.verdict), cautions=cautions(state.verdict), filtered=show is not None or bool(named))


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


def _guessed(verdict: Verdict) -> dict[str, Any]:
    """The guesses, and how many of them are givens; how many givens say how far they can be off."""
    found, machine = guesses(verdict), verdict.solved.machine
    return {"guesses": found, "assumed": sum(g.path in machine.givens for g in found), "spread": len(doubts(machine))}


def _mends(found: Finding | None) -> bool:
    """Whether there is something to mend."""
    return found is not None and found.verdict in ("fails", "thin")
