"""Removing and copying things of a machine, with what hangs on them, as options."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from layshaft.machine import paths, schema
from layshaft.machine.additions import free_name, place_on, usable_name
from layshaft.machine.document import ListNode, MapNode, Node, TextNode
from layshaft.machine.errors import MachineErrors
from layshaft.machine.model import Machine, Seat
from layshaft.machine.options import apply, named_option
from layshaft.machine.quantities import SAME_AS
from layshaft.machine.schema import Choice, Given, Thing, keys
from layshaft.machine.sentences.wording import clipped
from layshaft.trace.errors import BadInput

SEAT_STEPS = 4


def removal(machine: Machine, path: str, *more: str) -> dict[str, Any]:
    """The option that removes things and all that names them; values others share with them are written out."""
    gone = [path, *more]
    for one in gone:
        thing_at(machine, one)
    waiting = list(gone)
    while waiting:
        for other in naming(machine, waiting.pop()):
            if not any(other == g or other.startswith(f"{g}.") for g in gone):
                gone.append(other)
                waiting.append(other)
    gone = [g for g in gone if not any(g != other and g.startswith((f"{other}.", f"{other}[")) for other in gone)]
    listed = sorted((g for g in gone if g.endswith("]")), reverse=True)  # the last of a list first, so that none moves
    sets = _written_out(machine, gone) | _opened(machine, gone)
    return {"remove": [*(g for g in gone if not g.endswith("]")), *listed], **({"set": sets} if sets else {})}


def left_alone(machine: Machine, option: dict[str, Any]) -> list[str]:
    """Seats that only what goes by a removal sits on: none of a bearing or bush, and none that anything else names."""
    gone = set(option["remove"])
    return [seat.path for shaft in machine.shafts.values() if shaft.path not in gone
            for seat in shaft.seats.values() if seat.path not in gone and not seat.carries_shaft
            and (there := set(naming(machine, seat.path))) and there <= gone]


def stranded(machine: Machine, option: dict[str, Any]) -> list[str]:
    """Options of the file that can be made now and could not be any more after a change."""
    after = apply(machine, option)
    return [name for name in machine.options if _can_be_made(machine, name) and not _can_be_made(after, name)]


def _can_be_made(machine: Machine, name: str) -> bool:
    try:
        named_option(machine, name)
    except MachineErrors:
        return False
    return True


def thing_at(machine: Machine, path: str) -> Any:
    """What stands at a path. Raises `BadInput`."""
    steps = paths.split(path)
    try:
        if steps is None or len(steps) < 2:
            raise BadInput(f"'{clipped(path)}' names no single thing of the machine.")
        return paths.in_model(machine, steps)
    except paths.NotThereError:
        raise BadInput(f"The machine has no '{clipped(path)}'. It may have been renamed or removed.") from None


def naming(machine: Machine, path: str) -> Iterator[str]:
    """Things whose keys name the thing at a path; of a list of names only the name in it."""
    words = path.split(".")
    for thing in things(machine):
        for name, (field, k) in keys(type(thing)).items():
            yield from _in_key(thing, f"{thing.path}.{name}", k.reads, getattr(thing, field), words)


def things(machine: Machine) -> Iterator[Thing]:
    """Every thing with a name of its own: seats, what a frame carries and the parts of the programme among them."""
    for field, k in keys(Machine).values():
        if isinstance(k.reads, schema.MapOf | schema.KindMap):
            for thing in (getattr(machine, field) or {}).values():
                yield thing
                yield from _inside(thing)
    yield from _inside(machine.programme)


def _inside(thing: Thing) -> Iterator[Thing]:
    for field, k in keys(type(thing)).values():
        if isinstance(k.reads, schema.MapOf | schema.KindMap):
            yield from (getattr(thing, field) or {}).values()


def _in_key(thing: Thing, below: str, reads: Any, value: Any, words: list[str]) -> Iterator[str]:
    if isinstance(reads, schema.Ref) and words == [reads.collection, str(value)]:
        yield thing.path
    elif isinstance(reads, schema.ListOf) and isinstance(reads.item, schema.Ref):
        for i, one in enumerate(value or ()):
            if words == [reads.item.collection, str(one)]:
                yield thing.path if reads.count else f"{below}[{i}]"
    elif isinstance(reads, schema.SeatOn) and len(words) == SEAT_STEPS and words[0] == "shafts":
        seats = [value] if isinstance(value, str) else list(value or ())
        for field, seat in zip(reads.shafts, seats, strict=False):
            if [words[1], words[3]] == [str(getattr(thing, field)), seat]:
                yield thing.path


def _written_out(machine: Machine, gone: list[str]) -> dict[str, Any]:
    """Values that what stays takes from what goes: the first gets it written out, the others take it from there."""
    def goes(path: str) -> bool:
        return any(path == g or path.startswith((f"{g}.", f"{g}[")) for g in gone)

    first: dict[str, str] = {}
    sets: dict[str, Any] = {}
    for given in machine.givens.values():
        if given.known and given.cause != given.path and goes(given.cause) and not goes(given.path):
            if given.cause in first:
                sets[given.path] = f"{SAME_AS}{first[given.cause]}"
            else:
                first[given.cause] = given.path
                sets[given.path] = _said(machine, given)
    return sets


def _opened(machine: Machine, gone: list[str]) -> dict[str, str]:
    """Sizes that are listed in what goes are open from then on."""
    listed = {path.split(".", 1)[1].casefold() for path in gone if path.startswith("parts.")}
    return {leaf.path: "open" for leaf in machine.leaves
            if isinstance(leaf, Choice) and leaf.known and leaf.name.casefold() in listed}


def _said(machine: Machine, given: Given) -> Any:
    """What the place it came from says, as it is written there."""
    steps = paths.split(given.cause)
    node = paths.in_tree(machine.document, steps) if steps else None
    return plain(node) if node is not None else given.written


def plain(node: Node) -> Any:
    """A part of the file as plain data."""
    if isinstance(node, MapNode):
        return {e.key: plain(e.value) for e in node.entries}
    if isinstance(node, ListNode):
        return [plain(item) for item in node.items]
    assert isinstance(node, TextNode)
    return node.text


def copy(machine: Machine, path: str, name: str) -> dict[str, Any]:
    """The option that adds a thing like the one at a path under another name; it gets seats of its own."""
    thing, name = thing_at(machine, path), usable_name(name)
    steps = paths.split(path) or ()
    above = paths.in_model(machine, steps[:-1])
    if any(n.casefold() == name.casefold() for n in (above if isinstance(above, dict) else ())):
        raise BadInput(f"There is a '{name}' among the {steps[-2]} already. Give the copy another name.")
    node = paths.in_tree(machine.document, steps)
    if node is None or not isinstance(thing, Thing):
        raise BadInput(f"'{clipped(path)}' does not stand in the machine file itself, so it cannot be copied.")
    body = plain(node)
    if isinstance(thing, Seat):
        body = _elsewhere(body) | {"at": place_on(machine.shafts[str(steps[1])])}
    adds: dict[str, Any] = {}
    for file_key, (field, k) in keys(type(thing)).items():
        if isinstance(k.reads, schema.SeatOn):
            seats = [_seat_like(machine, str(getattr(thing, end)), seat, name, adds)
                     for end, seat in zip(k.reads.shafts, _listed(getattr(thing, field)), strict=False)]
            seats = [seat or seats[0] for seat in seats]  # the frame has no seat: the file names the other one again
            if seats:
                body[file_key] = seats[0] if len(k.reads.shafts) == 1 else seats
    adds[paths.joined((*steps[:-1], name))] = body
    return {"add": adds}


def _elsewhere(body: dict[str, Any]) -> dict[str, Any]:
    """What a seat says at another place: sizes that went with the diameter there are open, and it is of no pair."""
    return {key: "open" if key in ("bearing", "key") else value for key, value in body.items() if key != "facing"}


def _listed(value: Any) -> list[str]:
    return [value] if isinstance(value, str) else list(value or ())


def _seat_like(machine: Machine, shaft: str, seat: str, name: str, adds: dict[str, Any]) -> str:
    """A seat of the same kind in the widest gap; the frame has none."""
    there = machine.shafts.get(shaft)
    if there is None or seat not in there.seats:
        return seat
    node = paths.in_tree(machine.document, ("shafts", shaft, "seats", seat))
    new = free_name(there.seats, name)
    adds[f"{there.path}.seats.{new}"] = (plain(node) if isinstance(node, MapNode) else {}) | {"at": place_on(there)}
    return new
