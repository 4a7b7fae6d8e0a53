"""The drawing in the Machine room: what may be asked of it, what an edit has moved on it, and the run it plays."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any
from urllib.parse import parse_qsl, quote, urlencode, urlsplit

from markupsafe import Markup

from layshaft.faces.desk.drafting.moved import moves
from layshaft.faces.desk.drafting.state import State
from layshaft.faces.pages.course import course_data, steady_data
from layshaft.faces.pages.drawing import ALONE
from layshaft.faces.pages.format import asked_for
from layshaft.faces.pages.ink import QUANTITIES
from layshaft.faces.pages.machine_drawing import machine_drawing
from layshaft.trace.errors import BadInput
from layshaft.train.cases import HELD, STOPPED
from layshaft.train.motion.results import motion_of
from layshaft.verdict.jam import can_be_held
from layshaft.verdict.rate import Verdict

VIEWS = [("end", "From the end"), ("side", "From the side"), (ALONE, "Shaft by shaft")]
WINDOW = "layshaft_window"
"""Cookie by which the page tells how much room the drawing has."""


@dataclass(frozen=True)
class Looked:
    """What is chosen, and what there is to choose from. What an edit has taken away is chosen no longer."""

    case: str
    quantity: str
    held: str
    view: str
    cases: list[str]
    jams: list[tuple[str, str]]
    """Shafts that can be held fast, each with what its case is called."""

    quantities: list[str]
    views: list[tuple[str, str]]

    @property
    def chosen(self) -> dict[str, str]:
        """What an address says of it."""
        case = dict(self.jams).get(self.held, self.case)
        return {"view": self.view if self.view != VIEWS[0][0] else "", "case": case, "quantity": self.quantity}


def looked(verdict: Verdict, case: str, quantity: str, held: str = "", view: str = "") -> Looked:
    """Settle what is asked of the drawing. A shaft held fast is a case among the others; `held` names it by itself."""
    cases = [c.title for c in verdict.solved.columns if c.case not in (HELD, STOPPED)]
    jams = [(shaft, f"{HELD} at {shaft}") for shaft in can_be_held(verdict.solved)]
    held = next((shaft for shaft, title in jams if held == shaft or case == title), "")
    return Looked(case if case in cases and not held else "", quantity if quantity in QUANTITIES else "", held,
                  view if view in dict(VIEWS) else VIEWS[0][0], cases, jams, list(QUANTITIES), VIEWS)


def drawn(state: State, of: Looked, window: str = "") -> Markup:
    """The drawing of a state, every part a link to its room; `window` is the room there is, as the page told it."""
    assert state.verdict is not None
    return Markup(machine_drawing(state.verdict, case=of.case, quantity=of.quantity, held=of.held, link=address,
                                  moved=frozenset(moved(state)), only=of.view, form=asked_for(window)))


def with_view(here: str, view: str) -> str:
    """The address of a page, with another view of the drawing."""
    parts = urlsplit(here)
    rest = [(k, v) for k, v in parse_qsl(parts.query, keep_blank_values=True) if k != "view"]
    query = urlencode([*rest, ("view", view)] if view != VIEWS[0][0] else rest)
    return parts.path + (f"?{query}" if query else "")


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
