"""A new name for a thing, and for every place that names it."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from typing import Any

from layshaft.machine import paths
from layshaft.machine.document import Entry, ListNode, MapNode, Node, TextNode
from layshaft.machine.errors import MachineErrors
from layshaft.machine.model import Machine
from layshaft.machine.paths import NotThereError, Steps
from layshaft.machine.quantities import SAME_AS
from layshaft.machine.references import naming, things
from layshaft.machine.schema import NOWHERE, Thing
from layshaft.machine.shape import NAME
from layshaft.machine.trims import trims

Put = Callable[[Node, Steps, Node], Node]


def renamed(machine: Machine, steps: Steps, name: str, put: Put) -> Node:
    """The tree with the thing at `steps` renamed; references, shared quantities and options follow."""
    root: Node = machine.document
    if NAME.fullmatch(name):  # the shape pass refuses any other
        for path, text in _places(machine, steps, str(steps[-1]), name):
            root = _written(root, path, text, put)
    root = _in_texts(root, steps, name)
    return _key_renamed(root, steps, name)


def in_options(machine: Machine, root: Node, steps: Steps, name: str, put: Put,
               make: Callable[[Machine, Any], Machine]) -> Node:
    """The tree of the renamed machine whose options name the thing anew in what they set and add, too.

    An option is made for it: what names the thing in the machine as the option leaves it, and stands in the option,
    follows. One that cannot be made says nothing of which names are meant.
    """
    old = str(steps[-1])
    for option, node in machine.options.items():
        if not isinstance(node, MapNode) or not NAME.fullmatch(name):
            continue
        try:
            made = make(machine, node)
            paths.in_model(made, steps)
        except (MachineErrors, NotThereError):
            continue
        for place, text in _places(made, steps, old, name):
            for where, told in _said_by(node, place, text, steps, name):
                root = _written(root, ("options", option, *where), told, put)
    return root


def _said_by(node: MapNode, place: Steps, text: Any, steps: Steps, name: str) -> Iterator[tuple[Steps, Any]]:
    """Where an option itself says what stands at a place, and what it is to say there."""
    for word in ("set", "add"):
        changes = node.get(word)
        for entry in changes.entries if isinstance(changes, MapNode) else ():
            head = paths.split(entry.key) or ()
            key = _moved(entry.key, steps, name) or entry.key
            if place[: len(head)] == head:
                yield (word, key, *place[len(head):]), text
            elif head[:-1] == place and isinstance(text, tuple) and isinstance(head[-1], int):
                yield (word, key), text[head[-1]] or "none"


def _places(machine: Machine, steps: Steps, old: str, new: str) -> list[tuple[Steps, Any]]:
    """Paths of the texts that name the thing, and what each becomes."""
    found: list[tuple[Steps, Any]] = []
    is_seat = len(steps) == 4 and steps[2] == "seats"
    for thing in things(machine):
        named = naming(thing)
        here = paths.split(thing.path)
        assert here is not None
        for file_key, field, reads in named.refs if len(steps) == 2 else ():
            value = getattr(thing, field)
            if reads.collection == steps[0] and old in _many(value):
                found.append(((*here, file_key), _swapped(value, old, new)))
        for field, _ in named.listings if steps[0] == "parts" else ():
            for choice in _many(getattr(thing, field)):
                if choice.known and choice.name.casefold() == old.casefold():
                    found.append((paths.split(choice.path) or (), new))
        found += _seats(thing, here, steps, is_seat, old, new)
    if steps[0] == "wants":
        found += [((*(paths.split(given.path) or ()), "trim", "to"), new) for given in trims(machine)
                  if given.trim is not None and given.trim.to == old]
    return found


def _seats(thing: Thing, here: Steps, steps: Steps, is_seat: bool, old: str,
           new: str) -> list[tuple[Steps, Any]]:
    """Seats named here: those renamed, and those that were meant by the thing's own old name."""
    found: list[tuple[Steps, Any]] = []
    own_name_changes = here == steps
    for file_key, field, on in naming(thing).seats:
        names = list(_many(getattr(thing, field)))
        shafts = [getattr(thing, shaft) for shaft in on.shafts]
        after = [new if is_seat and shaft == steps[1] and seat == old else seat
                 for shaft, seat in zip(shafts, names, strict=True)]
        if after != names or (own_name_changes and old in names):
            single = len(after) == 1
            found.append(((*here, file_key), after[0] if single else tuple(s or "none" for s in after)))
    return found


def _many(value: Any) -> tuple[Any, ...]:
    return value if isinstance(value, tuple) else (value,)


def _swapped(value: Any, old: str, new: str) -> Any:
    if isinstance(value, tuple):
        return tuple(new if item == old else item for item in value)
    return new


def _written(root: Node, path: Steps, text: Any, put: Put) -> Node:
    there = paths.in_tree(root, path)
    mark = there.mark if there is not None else NOWHERE
    if isinstance(text, tuple):
        return put(root, path, ListNode(tuple(TextNode(t, mark) for t in text), mark))
    return put(root, path, TextNode(text, mark))


def _key_renamed(root: Node, steps: Steps, name: str) -> Node:
    assert isinstance(root, MapNode)
    entries = []
    for entry in root.entries:
        if entry.key == steps[0]:
            last = len(steps) == 1
            entry = entry._replace(key=name) if last else entry._replace(
                value=_key_renamed(entry.value, steps[1:], name))
        entries.append(entry)
    return root.with_entries(tuple(entries))


def _in_texts(node: Node, steps: Steps, name: str, in_options: bool = False) -> Node:
    """`same as PATH` and the paths of options, with the new name; unchanged nodes are shared."""
    if isinstance(node, TextNode):
        if node.text.startswith(SAME_AS):
            target = _moved(node.text[len(SAME_AS):], steps, name)
            return node if target is None else node._replace(text=SAME_AS + target)
        target = _moved(node.text, steps, name) if in_options else None
        return node if target is None else node._replace(text=target)
    if isinstance(node, ListNode):
        items = tuple(_in_texts(item, steps, name, in_options) for item in node.items)
        same = all(a is b for a, b in zip(items, node.items, strict=True))
        return node if same else node._replace(items=items)
    entries = tuple(_entry(e, steps, name, in_options) for e in node.entries)
    same = all(a is b for a, b in zip(entries, node.entries, strict=True))
    return node if same else node.with_entries(entries)


def _entry(entry: Entry, steps: Steps, name: str, in_options: bool) -> Entry:
    inside = in_options or entry.key == "options"
    value = _in_texts(entry.value, steps, name, inside)
    key = _moved(entry.key, steps, name) if in_options else None
    if value is entry.value and key is None:
        return entry
    return entry._replace(key=key or entry.key, value=value)


def _moved(path: str, steps: Steps, name: str) -> str | None:
    """The path with the new name, where it leads to the thing or below it."""
    found = paths.split(path.strip())
    if found is None or len(found) < len(steps) or found[: len(steps)] != steps:
        return None
    return paths.joined((*steps[:-1], name, *found[len(steps):]))
