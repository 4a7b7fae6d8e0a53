"""The drawing in the Machine room: what may be asked of it, what an edit has moved on it, and the run it plays."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any
from urllib.parse import quote

from markupsafe import Markup

from layshaft.faces.desk.draft import State
from layshaft.faces.desk.moved import moves
from layshaft.faces.pages.course import course_data, steady_data
from layshaft.faces.pages.ink import QUANTITIES
from layshaft.faces.pages.machine_drawing import machine_drawing
from layshaft.trace.errors import BadInput
from layshaft.train.cases import HELD, STOPPED
from layshaft.train.motion.results import motion_of
from layshaft.verdict.jam import can_be_held
from layshaft.verdict.rate import Verdict


@dataclass(frozen=True)
class Looked:
    """What is chosen, and what there is to choose from. What an edit has taken away is chosen no longer."""

    case: str
    quantity: str
    held: str
    cases: list[str]
    quantities: list[str]
    shafts: list[str]


def looked(verdict: Verdict, case: str, quantity: str, held: str) -> Looked:
    """Settle what is asked of the drawing. Jams are chosen by their shaft, so their cases are not listed again."""
    cases = [c.title for c in verdict.solved.columns if c.case not in (HELD, STOPPED)]
    shafts = can_be_held(verdict.solved)
    held = held if held in shafts else ""
    return Looked(case if case in cases and not held else "", quantity if quantity in QUANTITIES else "", held, cases,
                  list(QUANTITIES), shafts)


def drawn(state: State, of: Looked) -> Markup:
    """The drawing of a state, every part a link to its room."""
    assert state.verdict is not None
    return Markup(machine_drawing(state.verdict, case=of.case, quantity=of.quantity, held=of.held,
                                  moved=frozenset(moved(state)), link=address))


def address(path: str) -> str:
    """The room of one part."""
    return f"/part?path={quote(path)}"


def moved(state: State) -> set[str]:
    """Paths that are edited and not kept, and parts whose figures read otherwise for it."""
    if not state.open or state.verdict is None:
        return set()
    found = set(moves(state).parts)
    for edit in state.edits:
        for changes in edit.option.values():
            found.update(changes)
    return found


def course_of(verdict: Verdict) -> dict[str, Any]:
    """The run of the programme, for the player; steady running where none can be."""
    try:
        return course_data(motion_of(verdict.solved).course)
    except BadInput as error:
        return steady_data(verdict.solved, str(error))
