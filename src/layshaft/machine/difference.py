"""The option that leads from one machine to another: what is removed, added and set on the way."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from typing import Any

from layshaft.machine import paths
from layshaft.machine.document import ListNode, MapNode, Node, TextNode
from layshaft.machine.errors import MachineErrors
from layshaft.machine.model import Machine
from layshaft.machine.options import apply
from layshaft.machine.paths import Steps
from layshaft.machine.shape import CHANGES
from layshaft.machine.shaping import plain

OPTIONS = "options"
VALUE = "value"
Option = dict[str, Any]


def leading(before: Machine, after: Machine, steps: Iterable[Mapping[str, Any]]) -> Option:
    """The option that makes `after` of `before`; options of the file itself are left as they are.

    Where the steps it came about by can be taken at once they are the option, for they say it as it was meant; else
    it is what differs.
    """
    together = _together(steps)
    for option in (together, difference(before, after)):
        try:
            if option and same(apply(before, option), after):
                return option
        except MachineErrors:
            continue
    return difference(before, after)


def same(one: Machine, other: Machine) -> bool:
    """Whether two machines say the same, options apart."""
    return bool(_told(one) == _told(other))


def _told(machine: Machine) -> Any:
    return {e.key: _settled(plain(e.value)) for e in machine.document.entries if e.key != OPTIONS}


def _settled(value: Any) -> Any:
    """Plain data in which a value alone is the same with and without its key."""
    if isinstance(value, dict):
        if set(value) == {VALUE}:
            return value[VALUE]
        return {key: _settled(inner) for key, inner in value.items() if inner != {}}
    return [_settled(inner) for inner in value] if isinstance(value, list) else value


def _together(steps: Iterable[Mapping[str, Any]]) -> Option:
    """Changes made one after the other as one."""
    found: Option = {word: ([] if word == "remove" else {}) for word in CHANGES}
    for step in steps:
        for word, changes in step.items():
            if word == "remove":
                found[word] += list(changes)
            else:
                found[word] |= dict(changes)
    return {word: changes for word, changes in found.items() if changes}


def difference(before: Machine, after: Machine) -> Option:
    """What differs, line by line."""
    found: Option = {"remove": [], "add": {}, "set": {}}
    for entry in _entries(before.document, after.document):
        if entry != OPTIONS:
            _compare((entry,), before.document.get(entry), after.document.get(entry), found)
    return {word: changes for word, changes in found.items() if changes}


def _entries(one: MapNode, other: MapNode) -> list[str]:
    return list(dict.fromkeys((*one.keys, *other.keys)))


def _compare(steps: Steps, one: Node | None, other: Node | None, found: Option) -> None:
    path = paths.joined(steps)
    if other is None:
        found["remove"].append(path)
    elif one is None:
        found["add"][path] = plain(other)
    elif plain(one) == plain(other):
        return
    elif isinstance(one, MapNode) and isinstance(other, MapNode) and VALUE not in (*one.keys, *other.keys):
        for name in _entries(one, other):
            _compare((*steps, name), one.get(name), other.get(name), found)
    elif isinstance(one, ListNode) and isinstance(other, ListNode) and len(one.items) == len(other.items):
        for i, (was, now) in enumerate(zip(one.items, other.items, strict=True)):
            _compare((*steps, i), was, now, found)
    else:
        settled = isinstance(other, TextNode) and isinstance(one, MapNode)  # a bare text would count as a what-if
        found["set"][path] = {VALUE: plain(other)} if settled else plain(other)
