"""The one next thing to settle while verdicts are unknown: the first form that asks for something, else a page."""

from __future__ import annotations

from typing import NamedTuple
from urllib.parse import quote

from layshaft.faces.desk.drafting.state import State
from layshaft.machine.shaping import things


class Next(NamedTuple):
    """The thing to settle, where, and in words what of it."""

    path: str
    link: str
    what: str


def not_finished(state: State) -> list[tuple[str, int]]:
    """Things that lack something, with how many lines, in the order in which the train waits for them."""
    there = {t.path for t in things(state.machine)}
    return [(path, len(lines)) for path, lines in state.unfinished.items() if path in there]


def still_next(state: State) -> Next | None:
    """What to settle next; None where nothing is unknown."""
    lacking = not_finished(state)
    if lacking:
        path, count = lacking[0]
        return Next(path, f"/shape/needs?of={quote(path)}", f", {count} {'line' if count == 1 else 'lines'}")
    assert state.verdict is not None
    first = next((f for f in state.verdict.findings if f.verdict == "unknown"), None)
    return None if first is None else Next(first.part, f"/part?path={quote(first.part)}", f", {first.mode}")
