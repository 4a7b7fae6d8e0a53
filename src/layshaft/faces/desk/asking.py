"""From what a form says of one given to the change it stands for."""

from __future__ import annotations

from typing import Any, NamedTuple

from layshaft.faces.desk.draft import State
from layshaft.faces.pages.words import short
from layshaft.machine.options import set_from_text
from layshaft.machine.paths import NotThereError, in_model, in_tree, split
from layshaft.machine.schema import Given


class Asked(NamedTuple):
    """The fields of a given's form; blank where the form has none."""

    value: str
    low: str = ""
    high: str = ""
    source: str = ""
    note: str = ""


def option_of(state: State, path: str, asked: Asked) -> dict[str, Any]:
    """The change a form asks for.

    A form in which only the value differs is a what-if: `apply` then drops spread and source, for they belonged
    to another number. Whoever fills in more says more, and it is written as it was said. A cleared field takes its
    line out of the file; a list or keys in brackets are read as the file would read them.
    """
    asked = Asked(*(text.strip() for text in asked))
    if not asked.value and _has_a_line(state, path):
        return {"remove": [path]}
    if asked.value[:1] in ("[", "{") and "=" not in path:
        return set_from_text([f"{path}={asked.value}"])
    shown = fields_of(given_at(state, path))
    if asked[1:] in (("", "", "", ""), shown[1:]):
        return {"set": {path: asked.value}}
    said: dict[str, Any] = {"value": asked.value}
    if asked.low or asked.high:
        said["between"] = [asked.low, asked.high]
    said |= {name: text for name, text in (("source", asked.source), ("note", asked.note)) if text}
    return {"set": {path: said if len(said) > 1 else asked.value}}


def _has_a_line(state: State, path: str) -> bool:
    """Whether a path is a key of the file; one value of a list is no line of its own."""
    steps = split(path)
    return (steps is not None and isinstance(steps[-1], str)
            and in_tree(state.machine.document, steps) is not None)


def given_at(state: State, path: str) -> Given | None:
    """The given at a path of the drafted machine."""
    steps = split(path)
    try:
        found = in_model(state.machine, steps) if steps else None
    except NotThereError:
        return None
    return found if isinstance(found, Given) else None


def fields_of(given: Given | None) -> Asked:
    """What the form of a given shows at first."""
    if given is None or not given.known:
        return Asked("open" if given is not None and given.state == "open" else "")
    ends = [short(end, given.dimension) for end in (given.low, given.high) if given.doubtful and end is not None]
    low, high = ends if len(ends) == 2 else ("", "")
    return Asked(given.written or short(given.nominal, given.dimension), low, high, given.source, given.note)
