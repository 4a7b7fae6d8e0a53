"""What would mend a finding: the page below the room of a part, on which the search runs and its answers are tried."""

from __future__ import annotations

from collections.abc import Hashable
from typing import Annotated, Any
from urllib.parse import quote

from fastapi import APIRouter, Form, Request, Response

from layshaft.faces.desk.drafting.state import State
from layshaft.faces.desk.jobs import Jobs
from layshaft.faces.desk.rendering import back_to, desk_of, part_link
from layshaft.faces.desk.rooms.run import progress_line
from layshaft.faces.mending_told import (
    REFUSED,
    SAFE,
    change_words,
    counted,
    harm_words,
    lead_words,
    more_words,
    none_words,
    not_run_words,
    spare_words,
    step_words,
    then_words,
    told_harms,
)
from layshaft.project.runs import state_of
from layshaft.study.changes import Change, Mending
from layshaft.study.mending import as_plain, finding_of, mending
from layshaft.trace.errors import BadInput
from layshaft.trace.findings import Finding
from layshaft.trace.units import print_in, printing_in

Field = Annotated[str, Form()]
router = APIRouter()
_jobs = Jobs()


@router.get("/part/mend")
def look(request: Request, path: str, mode: str = "") -> Response:
    """What was found of one finding, if it is of the machine as it stands; else the way to it."""
    desk = desk_of(request)
    state = desk.draft.look()
    finding = _finding(state, path, mode)
    job = _jobs.of(_key(desk, state, finding))
    now = _jobs.now
    earlier = job is None and now is not None and now.key[2:] == (finding.part, finding.mode)
    found: Mending | None = job.answer if job is not None else None
    with printing_in(state.machine.units):
        return desk.page(request, "mend.html", state, finding=finding, job=job, found=found, earlier=earlier,
                         wanted=_words, then=then_words, harm=harm_words, told_harms=told_harms, more=more_words,
                         refused=REFUSED, no_words=none_words, counted=counted,
                         what=change_words, lead=lead_words, spare=spare_words, safe=SAFE, not_run=not_run_words)


@router.post("/part/mend/start")
def start(request: Request, path: Field, mode: Field = "") -> Response:
    """Look for what would mend it, of the machine as it stands."""
    desk = desk_of(request)
    state = desk.draft.look()
    finding, machine = _finding(state, path, mode), state.machine

    def work(told: Any) -> Mending:
        print_in(machine.units)
        return mending(machine, finding, lambda done, whole: told(100 * done / whole if whole else 0.0))

    _jobs.ask(_key(desk, state, finding), 100.0, "{done:.0f} % of the changes looked at", work)
    return back_to(mend_link(finding.part, finding.mode))


@router.post("/part/mend/stop")
def stop(back: Field = "/part") -> Response:
    """Stop looking; what is found counts."""
    _jobs.stop()
    return back_to(back)


@router.get("/part/mend/progress")
def progress() -> Response:
    """How far it has come."""
    return progress_line(_jobs.now, "/part/mend")


@router.post("/part/mend/try")
def try_it(request: Request, path: Field, mode: Field, wanted: Field) -> Response:
    """Lay one of the changes over the machine, as a draft; by its words, which a search begun anew cannot mix up."""
    desk = desk_of(request)
    state = desk.draft.look()
    job = _jobs.of(_key(desk, state, _finding(state, path, mode)))
    change = next((c for c in _tries(job.answer if job is not None else None) if _words(c) == wanted), None)
    if change is None:
        raise BadInput("This was found for an earlier state of the machine. Look again.")
    desk.draft.edit(as_plain(change.option), wanted)
    return back_to(part_link(path))


def mend_link(part: str, mode: str) -> str:
    """Address of the page for one finding."""
    return f"/part/mend?path={quote(part)}&mode={quote(mode)}"


def _finding(state: State, path: str, mode: str) -> Finding:
    if state.verdict is None:
        raise BadInput("There is no machine yet.")
    return finding_of(state.verdict, path, mode)


def _key(desk: Any, state: State, finding: Finding) -> tuple[Hashable, ...]:
    return str(desk.draft.place), state_of(state.machine), finding.part, finding.mode


def _tries(found: Mending | None) -> list[Change]:
    """Every change the page shows, in its order."""
    if found is None:
        return []
    near = [c for c in (found.nearest, found.in_the_way) if c is not None]
    return [*found.changes, *found.spare.values(), *found.but, *found.opens, *near]


def _words(change: Change) -> str:
    """What was tried, as the slip says it."""
    return " and ".join(step_words(step) for step in change.steps)
