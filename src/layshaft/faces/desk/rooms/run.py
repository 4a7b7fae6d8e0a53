"""The room of a run: its motion as linked charts, and what it says of speed, swing, winding, peaks and energy."""

from __future__ import annotations

import math
from collections.abc import Hashable
from typing import Annotated, Any

import numpy as np
from fastapi import APIRouter, Form, Request, Response
from fastapi.responses import HTMLResponse, JSONResponse
from markupsafe import Markup

from layshaft.faces import losing, run_wants
from layshaft.faces.desk.drafting.state import State
from layshaft.faces.desk.jobs import Job, Jobs
from layshaft.faces.desk.rendering import Desk, back_to, desk_of
from layshaft.faces.desk.rooms import Room
from layshaft.faces.pages.motion import run_cautions, run_tables, told_first
from layshaft.faces.pages.run_charts import charts
from layshaft.faces.printed.tables import Sheet, as_csv
from layshaft.faces.running import run_text
from layshaft.project.runs import state_of
from layshaft.trace.errors import BadInput
from layshaft.trace.units import print_in, printing_in
from layshaft.train.motion.programme import programme_of
from layshaft.train.motion.results import Results, motion_of

ROOM = Room("/run", "Run", "The machine over time")
MINUTE = 60.0
SOON = 0.8
"""Seconds a window waits for a run before it is shown a bar."""

Back = Annotated[str, Form()]
router = APIRouter()
_jobs = Jobs()


@router.get("/run")
def run(request: Request) -> Response:
    """The run of the machine as it stands. It begins by itself; one that takes longer has a bar and a stop."""
    desk = desk_of(request)
    state = desk.draft.look()
    if state.verdict is None:
        return desk.page(request, "run.html", state)
    why_not = _why_not(state)
    last = _jobs.now
    earlier = last is not None and last.key != key(desk, state) and last.key[0] == str(desk.draft.place)
    job = _jobs.of(key(desk, state))
    if job is None and not why_not:
        job = _begin(desk, state)
        job.wait(SOON)
        state = desk.draft.look()
        job = _jobs.of(key(desk, state))
    found = job.answer if job is not None and not job.running else None
    with printing_in(state.machine.units):
        return desk.page(request, "run.html", state, job=job, found=found, earlier=earlier, why_not=why_not,
                         **_told(state, found))


def _told(state: State, found: Any) -> dict[str, Markup | str]:
    """What the page says of a run beside its charts."""
    if found is None:
        return {}
    assert state.verdict is not None
    results, answer = found
    return {"first": Markup(told_first(results, answer)), "tables": Markup(run_tables(results, answer)),
            "cautions": Markup(run_cautions(results)),
            "words": run_text(results, [*run_wants.lines(answer), *losing.losses_lines(state.verdict.solved)])}


@router.post("/run/start")
def start(request: Request, back: Back = "/run") -> Response:
    """Run the machine as it stands, draft and all."""
    desk = desk_of(request)
    state = desk.draft.look()
    if state.verdict is None:
        raise BadInput("There is no machine yet.")
    _begin(desk, state)
    return back_to(back)


def _begin(desk: Desk, state: State) -> Job[Any]:
    assert state.verdict is not None
    machine, solved = state.machine, state.verdict.solved
    programme = programme_of(solved)
    limit = programme.time / MINUTE
    words = "{done:.1f} of {whole:.0f} min of the run" if math.isfinite(limit) else "{done:.1f} min of the run"

    def work(told: Any) -> tuple[Results, run_wants.Answer]:
        print_in(machine.units)
        results = motion_of(solved, programme, lambda done: told(done / MINUTE))
        answer = run_wants.asked_of(machine, results, whole=True)
        if answer.kept:
            desk.draft.look(again=True)  # verdicts count the moments of the run from now on
        return results, answer

    return _jobs.ask(key(desk, state), limit if math.isfinite(limit) else 0.0, words, work)


@router.post("/run/stop")
def stop(back: Back = "/run") -> Response:
    """Stop the run; what is done until then is shown."""
    _jobs.stop()
    return back_to(back)


@router.get("/run/progress")
def progress() -> Response:
    """How far it has come, for a window that watches; one that is done sends the window to look again."""
    return progress_line(_jobs.now, "/run")


@router.get("/run/charts.json")
def data(request: Request, begin: float = 0.0, end: float = math.inf) -> Response:
    """The charts of the run as it is shown, as columns; of a part of it, in minutes, as closely as it is known."""
    results = _results(request)
    with printing_in(results.course.solved.machine.units):
        return JSONResponse(charts(results, begin * MINUTE, end * MINUTE))


@router.get("/run/run.csv")
def table(request: Request) -> Response:
    """The same columns as a table."""
    results = _results(request)
    with printing_in(results.course.solved.machine.units):
        text = as_csv(charts_table(results))
    return Response(text, media_type="text/csv; charset=utf-8", headers={
        "content-disposition": 'attachment; filename="run.csv"', "cache-control": "no-store"})


def charts_table(results: Results) -> Sheet:
    """All columns of all charts over the one time, as a table to take away."""
    found = charts(results)
    heads = [found["time"]["title"], *(f"{line['name']}, {chart['title']}" for chart in found["charts"]
                                       for line in chart["lines"])]
    columns = [found["time"]["values"], *(line["values"] for chart in found["charts"] for line in chart["lines"])]
    rows: list[Any] = [tuple("" if v is None else v for v in row) for row in zip(*columns, strict=True)]
    return Sheet("Run", tuple(heads), rows, (1,) * len(heads))


def progress_line(job: Job[Any] | None, room: str) -> Response:
    """The line with the bar; once the work is done, the word that makes the sheet be fetched again."""
    if job is None or not job.running:
        return HTMLResponse('<p id="job-line">Done.</p>', headers={"hx-trigger": "desk-moved"})
    value = f' value="{job.share:.3f}"' if job.whole > 0 else ""
    return HTMLResponse(
        f'<p id="job-line" hx-get="{room}/progress" hx-trigger="every 500ms" hx-target="this" hx-select="#job-line" '
        f'hx-swap="outerHTML">'
        f'<progress max="1"{value} aria-label="How far it has come"></progress> {job.said()}</p>')


def _results(request: Request) -> Results:
    desk = desk_of(request)
    job = _jobs.of(key(desk, desk.draft.look()))
    if job is None or job.running or job.answer is None:
        raise BadInput("There is no run of the machine as it stands. Run it first.")
    results: Results = job.answer[0]
    return results


def key(desk: Any, state: State) -> tuple[Hashable, ...]:
    """All a run depends on."""
    return str(desk.draft.place), state_of(state.machine)


def _why_not(state: State) -> str:
    """Why nothing can be run; blank where it can."""
    assert state.verdict is not None
    try:
        with np.errstate(all="ignore"):
            programme_of(state.verdict.solved)
    except BadInput as why:
        return str(why)
    return ""
