"""From what a form says of one given to the change it stands for."""

from __future__ import annotations

import re
from typing import Any, NamedTuple

from layshaft.faces.desk.drafting.state import State
from layshaft.faces.pages.given_forms import fields, things_at
from layshaft.faces.pages.words import short
from layshaft.machine import schema
from layshaft.machine.errors import MachineErrors
from layshaft.machine.kinds import HUBS, FallingWeight
from layshaft.machine.options import set_from_text
from layshaft.machine.paths import NotThereError, in_model, in_tree, split
from layshaft.machine.schema import Given, keys
from layshaft.machine.sentences.wording import clipped
from layshaft.machine.shaping import plain
from layshaft.trace.errors import BadInput

KIND_OF_HUB = ".hub.kind"
WHOLE_ROWS = re.compile(r"\[\s*[\[\]]")
"""A list of lists with its outer brackets, or an empty one."""


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
    if path.endswith(KIND_OF_HUB):
        return _hub(state, path.removesuffix(".kind"), asked.value)
    if not asked.value and _has_a_line(state, path):
        return {"remove": [path]}
    reads = _reads(state, path)
    if isinstance(reads, schema.Text):
        return {"set": {path: asked.value}}
    value = _bracketed(reads, asked.value)
    if value[:1] in ("[", "{") and "=" not in path:
        return {"set": {path: _read_as_list(value, asked.value)}}
    instead = _hung_on(state, path) if value != "open" else []
    if instead:
        return {"set": {path: asked.value}, "remove": instead}
    shown = fields_of(given_at(state, path))
    if asked[1:] in (("", "", "", ""), shown[1:]):
        return {"set": {path: asked.value}}
    said: dict[str, Any] = {"value": asked.value}
    if asked.low or asked.high:
        said["between"] = [asked.low, asked.high]
    said |= {name: text for name, text in (("source", asked.source), ("note", asked.note)) if text}
    return {"set": {path: said if len(said) > 1 else asked.value}}


def _hung_on(state: State, path: str) -> list[str]:
    """Of a weight the line for the rope that is open still, where the chain it hangs on instead is said."""
    words = path.split(".")
    drive = state.machine.drives.get(words[1]) if words[0] == "drives" and words[-1] == "chain" else None
    return [drive.suspension.path] if isinstance(drive, FallingWeight) and drive.suspension.state == "open" else []


def _reads(state: State, path: str) -> Any:
    """What the key at a path reads; None where the forms know none."""
    thing = next(iter(things_at(state.machine, path)), state.machine)
    return next((f.reads for f in fields(thing, state.machine.document) if f.path == path), None)


def _read_as_list(value: str, written: str) -> Any:
    """A list or keys in brackets, as plain data. Raises `BadInput`."""
    try:
        (node,) = set_from_text([f"value={value}"])["set"].values()
    except MachineErrors as why:
        raise BadInput(f"'{clipped(written)}' cannot be read as a list. Close every bracket that is opened, and part "
                       "the values with commas.") from why
    return plain(node)


def _bracketed(reads: Any, value: str) -> str:
    """Names or values of a list with the brackets they need, where somebody left them out."""
    pair = isinstance(reads, schema.SeatOn) and len(reads.shafts) > 1
    many = pair or isinstance(reads, schema.ListOf | schema.Row | schema.Direction | schema.QuantityMap)
    if not many or not value or value == "open":
        return value
    rows = isinstance(reads, schema.ListOf) and isinstance(reads.item, schema.ListOf | schema.Row)
    if WHOLE_ROWS.match(value) if rows else value[0] in "[{":
        return value
    if isinstance(reads, schema.Direction):
        return f"[{value}]" if "," in value else value
    return f"{{{value}}}" if isinstance(reads, schema.QuantityMap) else f"[{value}]"


def _hub(state: State, path: str, kind: str) -> dict[str, Any]:
    """Another kind of hub: what it must say is taken from the examples; a blank takes the hub away."""
    if not kind:
        return {"remove": [path]}
    known = HUBS.get(kind)
    said = {name: k.example for name, (_, k) in keys(known).items() if k.required} if known is not None else {}
    there = in_tree(state.machine.document, split(path) or ())
    return {"set" if there is not None else "add": {path: {"kind": kind, **said}}}


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
