"""The room of doubt: how likely each verdict is, which guess owns the doubt, where verdicts flip, how to find out."""

from __future__ import annotations

from collections.abc import Hashable
from typing import Annotated, Any

from fastapi import APIRouter, Form, Request, Response
from fastapi.responses import HTMLResponse
from markupsafe import Markup

from layshaft.faces.desk.drafting.state import State
from layshaft.faces.desk.jobs import Jobs
from layshaft.faces.desk.rendering import back_to, desk_of
from layshaft.faces.desk.rooms import Room
from layshaft.faces.desk.rooms.run import progress_line
from layshaft.faces.desk.shown import doubting as told
from layshaft.faces.pages.spread import spread_scale
from layshaft.faces.pages.test_sheet import POLICY, sheet_html
from layshaft.faces.test_sheet import template
from layshaft.project.runs import state_of
from layshaft.study.doubt import Doubt, doubt
from layshaft.study.draws import ALIKE
from layshaft.study.find_out.plan import given_at, plan
from layshaft.trace.errors import BadInput
from layshaft.trace.units import print_in, printing_in
from layshaft.verdict.guesses import guesses

ROOM = Room("/doubt", "Doubt", "How sure each verdict is, and what to find out next")
DRAWS = (128, 512, 2048)
USUAL = 512
Field = Annotated[str, Form()]
router = APIRouter()
_jobs = Jobs()


@router.get("/doubt")
def doubtful(request: Request) -> Response:
    """What the last draws said, if they are of the machine as it stands; else the way to them."""
    desk = desk_of(request)
    state = desk.draft.look()
    if state.verdict is None:
        return desk.page(request, "doubt.html", state)
    now = _jobs.now
    job = now if now is not None and now.key[:2] == _key(desk, state) else None
    earlier = now is not None and job is None and now.key[0] == str(desk.draft.place)
    found: Doubt | None = job.answer if job is not None else None
    count, apart = now.key[2:] if now is not None and now.key[0] == str(desk.draft.place) else (USUAL, "")
    with printing_in(state.machine.units):
        return desk.page(request, "doubt.html", state, job=job, found=found, draws=DRAWS, earlier=earlier,
                         asked=count if count in DRAWS else USUAL, apart=apart, rests_on=len(guesses(state.verdict)),
                         guessed=told.guessed(state.machine), **_told(state, found))


def _told(state: State, found: Doubt | None) -> dict[str, Any]:
    """What the page says of the draws."""
    if found is None or not found.odds:
        return {}
    verdicts, owners = told.rows(found), told.owned(state.machine, found)
    return {"verdicts": verdicts, "owners": owners, "summary": told.summary(found, verdicts, owners),
            "lopsided": told.lopsided(verdicts, found), "flips": told.flips(found),
            "adjusted": list(told.adjusted(found)), "scale": Markup(spread_scale()),
            "worth_of_shares": told.what_shares_are_worth(found, owners)}


@router.post("/doubt/start")
def start(request: Request, draws: Annotated[int, Form(ge=64, le=1 << 16)] = USUAL, apart: Field = "",
          back: Field = "/doubt") -> Response:
    """Draw the machine as it stands many times."""
    desk = desk_of(request)
    state = desk.draft.look()
    if state.verdict is None:
        raise BadInput("There is no machine yet.")
    machine = state.machine
    count = 1 << (draws - 1).bit_length()

    def work(reached: Any) -> Doubt:
        print_in(machine.units)
        return doubt(machine, count, 1, 0.0 if apart else ALIKE, reached)

    _jobs.ask((*_key(desk, state), count, apart), float(count), "{done:.0f} of {whole:.0f} draws", work)
    return back_to(back)


@router.post("/doubt/stop")
def stop(back: Field = "/doubt") -> Response:
    """Stop drawing; what is drawn counts."""
    _jobs.stop()
    return back_to(back)


@router.get("/doubt/progress")
def progress() -> Response:
    """How many are drawn."""
    return progress_line(_jobs.now, "/doubt")


@router.get("/doubt/test.{kind}")
def test(request: Request, given: str, kind: str) -> Response:
    """The sheet of a test that finds a guess out, or the empty table for its readings."""
    state = desk_of(request).draft.look()
    if state.verdict is None or kind not in ("html", "csv"):
        raise BadInput("There is no such sheet.")
    with printing_in(state.machine.units):
        found = plan(state.machine, given_at(state.machine, given))
        text = sheet_html(found) if kind == "html" else template(found)
    if kind == "html":
        return HTMLResponse(text, headers={"content-security-policy": POLICY, "cache-control": "no-store",
                                           "content-disposition": 'inline; filename="test-sheet.html"'})
    return Response(text, media_type="text/csv; charset=utf-8", headers={
        "content-disposition": 'attachment; filename="test-sheet.csv"', "cache-control": "no-store"})


def _key(desk: Any, state: State) -> tuple[Hashable, ...]:
    """File and state that draws are of."""
    return str(desk.draft.place), state_of(state.machine)
