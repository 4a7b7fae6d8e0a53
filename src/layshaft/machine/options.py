"""Options: named sets of changes, made as a whole or not at all.

``{remove: [path], add: {path: keys}, set: {path: value}, rename: {path: name}}``, made in this
order; every path uses the names from before the rename. Work is done on the node tree: what a
change does not touch is shared with the machine it came from, and read again only where it
changed. A plain value set where there was a spread or a source is ``assumed``, "what-if".
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import replace
from typing import Any

from layshaft.machine import document, paths
from layshaft.machine.document import Entry, ListNode, MapNode, Node, TextNode
from layshaft.machine.errors import MachineErrors, Problem
from layshaft.machine.model import Machine
from layshaft.machine.paths import NotThereError, Steps
from layshaft.machine.quantities import KEYS as QUANTITY_KEYS
from layshaft.machine.quantities import SAME_AS
from layshaft.machine.reader import build
from layshaft.machine.renaming import in_options, renamed
from layshaft.machine.schema import NOWHERE, Given, Mark, Thing
from layshaft.machine.sentences import options as say
from layshaft.machine.shape import CHANGES

WHAT_IF = "what-if"
Change = tuple[Mark, str, Steps, Node]


class _Refused(Exception):
    def __init__(self, mark: Mark, sentence: str) -> None:
        self.problem = Problem(mark, sentence)


def apply(machine: Machine, option: Mapping[str, Any] | MapNode, label: str = "") -> Machine:
    """The machine with an option's changes. Raises `MachineErrors` and changes nothing if one fails."""
    problems: list[Problem] = []
    changes = _read(option, problems)
    root: Node = machine.document
    for word, change in ((w, c) for w in ("remove", "add", "set") for c in changes[w]):
        try:
            root = _MAKE[word](machine, root, change)
        except _Refused as refused:
            problems.append(refused.problem)
    if problems:
        raise MachineErrors(problems)
    for mark, path, steps, name in changes["rename"]:
        root = _rename(root, mark, path, steps, name)
    assert isinstance(root, MapNode)
    return replace(build(root, machine), file=machine.file, label=label or machine.label)


def named_option(machine: Machine, name: str) -> Machine:
    """The machine with one of the file's own options."""
    return apply(machine, option_of(machine, name), name)


def option_of(machine: Machine, name: str) -> Any:
    """What one of the file's own options says."""
    if name not in machine.options:
        raise MachineErrors([Problem(NOWHERE, say.no_option(name, list(machine.options)))])
    return machine.options[name]


def set_from_text(items: Iterable[str]) -> dict[str, Any]:
    """`PATH=VALUE` texts as an option; a value in [ ] or { } is a list or keys."""
    found: dict[str, Any] = {}
    problems = []
    for item in items:
        path, equals, text = item.partition("=")
        if not equals:
            problems.append(Problem(NOWHERE, say.no_equals(item)))
        elif text.strip()[:1] in ("[", "{"):
            found[path.strip()] = document.compose(f"value: {text.strip()}", path.strip()).entries[0].value
        else:
            found[path.strip()] = text.strip()
    if problems:
        raise MachineErrors(problems)
    return {"set": found}


# What an option says.


def _read(option: Mapping[str, Any] | MapNode, problems: list[Problem]) -> dict[str, list[Change]]:
    found: dict[str, list[Change]] = {word: [] for word in CHANGES}
    try:
        node = _node(option, "option")
    except _Refused as refused:
        problems.append(refused.problem)
        return found
    for entry in node.entries if isinstance(node, MapNode) else ():
        if entry.key not in CHANGES:
            problems.append(Problem(entry.mark, say.unknown_change(entry.key, CHANGES)))
        else:
            found[entry.key] = _changes(entry, problems)
    return found


def _changes(entry: Entry, problems: list[Problem]) -> list[Change]:
    node = entry.value
    if entry.key == "remove":
        if not isinstance(node, ListNode) or not all(isinstance(item, TextNode) for item in node.items):
            problems.append(Problem(node.mark, say.removals_are_paths()))
            return []
        pairs = [(item.mark, item.text, item) for item in node.items]
    elif isinstance(node, MapNode):
        pairs = [(e.mark, e.key, e.value) for e in node.entries]
    else:
        problems.append(Problem(node.mark, say.changes_are_paths(entry.key)))
        return []
    found = []
    for mark, path, value in pairs:
        steps = paths.split(path)
        if steps is None:
            problems.append(Problem(mark, say.not_a_path(path)))
        else:
            found.append((mark, path, steps, value))
    return found


def _node(value: Any, path: str) -> Node:
    """Plain Python values as nodes without a place."""
    if isinstance(value, MapNode | TextNode | ListNode):
        return value
    if isinstance(value, str):
        return TextNode(value)
    if isinstance(value, bool):
        return TextNode("yes" if value else "no")
    if isinstance(value, int | float):
        return TextNode(f"{value!r}")
    if isinstance(value, Mapping):
        return MapNode(tuple(Entry(str(k), NOWHERE, _node(v, str(k))) for k, v in value.items()))
    if isinstance(value, list | tuple):
        return ListNode(tuple(_node(item, path) for item in value))
    raise _Refused(NOWHERE, say.value_wanted(path))


# Changes to the tree.


def _put(node: Node, steps: Steps, value: Node | None, mark: Mark = NOWHERE) -> Node:
    """The tree with `value` at a path, or without it; the steps before the last one exist."""
    step, rest = steps[0], steps[1:]
    if isinstance(node, ListNode) and isinstance(step, int) and step < len(node.items):
        items = list(node.items)
        if rest:
            items[step] = _put(_as_map(items[step], rest), rest, value, mark)
        elif value is None:
            del items[step]
        else:
            items[step] = value
        return node._replace(items=tuple(items))
    if not isinstance(node, MapNode) or not isinstance(step, str):
        raise _Refused(mark, say.list_too_short(paths.joined(steps)))
    entry = node.entry(step)
    if entry is None:
        new = value if not rest else _put(MapNode((), mark), rest, value, mark)
        return node.with_entries((*node.entries, Entry(step, mark, new)))
    if rest:
        entry = entry._replace(value=_put(_as_map(entry.value, rest), rest, value, mark))
    elif value is None:
        return node.with_entries(tuple(e for e in node.entries if e.key != step))
    else:
        entry = entry._replace(value=value)
    return node.with_entries(tuple(entry if e.key == step else e for e in node.entries))


def _as_map(node: Node, rest: Steps) -> Node:
    """A quantity written as one text, with `value` spelled out where keys are wanted."""
    if isinstance(node, TextNode) and isinstance(rest[0], str):
        empty = not node.text
        return MapNode(() if empty else (Entry("value", node.mark, node),), node.mark)
    return node


def _found(machine: Machine, steps: Steps) -> Any:
    try:
        return paths.in_model(machine, steps)
    except NotThereError:
        return None


def _nowhere(path: str, why: NotThereError) -> str:
    return say.leads_nowhere(path, paths.joined(why.before), str(why.step), why.known)


def _set(machine: Machine, root: Node, change: Change) -> Node:
    mark, path, steps, value = change
    parent, last = steps[:-1], steps[-1]
    there = paths.in_tree(root, steps)
    if there is None:
        root = _with_open_lists(machine, root, steps)
        there = paths.in_tree(root, steps)
    if there is None:
        above = _found(machine, parent) if parent else machine
        tree_above = paths.in_tree(root, parent) if parent else root
        if isinstance(above, tuple):
            raise _Refused(mark, say.list_too_short(path))
        known_key = isinstance(above, Given) and last in QUANTITY_KEYS
        if not known_key and parent != ("margins",):
            _must_lead(machine, tree_above, mark, path, steps)
    old = _found(machine, steps)
    if isinstance(old, Given) and old.trim is not None and isinstance(value, TextNode):
        return _put(root, (*steps, "value"), value, mark)  # a vane that is set anew is still one that can be set
    return _put(root, steps, _what_if(old, value), mark)


def _must_lead(machine: Machine, tree_above: Node | None, mark: Mark, path: str, steps: Steps) -> None:
    """A path that is not in the tree must be a key its kind has, or lie in what was just added."""
    try:
        paths.in_model(machine, steps)
    except NotThereError as why:
        if len(why.before) < len(steps) - 1 and isinstance(tree_above, MapNode):
            return
        raise _Refused(mark, _nowhere(path, why)) from None


def _with_open_lists(machine: Machine, root: Node, steps: Steps) -> Node:
    """A list written as `open` spelled out, so that one of its places can be set."""
    for done in range(1, len(steps)):
        if not isinstance(steps[done], int):
            continue
        here = paths.in_tree(root, steps[:done])
        known = _found(machine, steps[:done])
        if isinstance(here, TextNode) and here.text == "open" and isinstance(known, tuple):
            root = _put(root, steps[:done], ListNode(tuple(here for _ in known), here.mark))
    return root


def _what_if(old: Any, value: Node) -> Node:
    """A plain value in place of one with a spread or a source: assumed, until the builder says more."""
    if not isinstance(old, Given) or not isinstance(value, TextNode) or not old.known:
        return value
    settled = old.source == "decided" and not old.doubtful
    if settled or value.text == "open" or value.text.startswith(SAME_AS):
        return value
    texts = (("value", value), ("source", TextNode("assumed")), ("note", TextNode(WHAT_IF)))
    return MapNode(tuple(Entry(key, value.mark, node) for key, node in texts), value.mark)


def _add(machine: Machine, root: Node, change: Change) -> Node:
    mark, path, steps, value = change
    if paths.in_tree(root, steps) is not None:
        raise _Refused(mark, say.there_already(path))
    for done in range(1, len(steps)):
        above = steps[:done]
        known = _found(machine, above)
        if paths.in_tree(root, above) is None and not isinstance(known, dict | Thing):
            known = _found(machine, above[:-1]) if above[:-1] else machine
            raise _Refused(mark, _nowhere(path, NotThereError(above[:-1], above[-1], paths.names(known))))
    parent = paths.in_tree(root, steps[:-1]) if len(steps) > 1 else root
    if isinstance(parent, MapNode):
        folded = str(steps[-1]).casefold()
        if any(key.casefold() == folded for key in parent.keys):
            raise _Refused(mark, say.there_already(path))
    if isinstance(parent, ListNode):
        if steps[-1] != len(parent.items):
            raise _Refused(mark, say.list_too_short(path))
        return _put(root, steps[:-1], parent._replace(items=(*parent.items, value)))
    if isinstance(steps[-1], int):
        raise _Refused(mark, say.list_too_short(path))
    return _put(root, steps, value, mark)


def _remove(machine: Machine, root: Node, change: Change) -> Node:
    mark, path, steps, _ = change
    if paths.in_tree(root, steps) is None:
        try:
            paths.in_model(machine, steps)
        except NotThereError as why:
            raise _Refused(mark, _nowhere(path, why)) from None
        raise _Refused(mark, say.not_in_file(path))
    return _put(root, steps, None)


_MAKE = {"remove": _remove, "add": _add, "set": _set}


def _rename(root: Node, mark: Mark, path: str, steps: Steps, name: Node) -> Node:
    assert isinstance(root, MapNode)
    machine = build(root)
    above = _found(machine, steps[:-1]) if len(steps) > 1 else machine
    if not isinstance(above, dict) or steps[-1] not in above:
        try:
            paths.in_model(machine, steps)
        except NotThereError as why:
            raise MachineErrors([Problem(mark, _nowhere(path, why))]) from None
        raise MachineErrors([Problem(mark, say.not_a_name(path))])
    if not isinstance(name, TextNode):
        raise MachineErrors([Problem(mark, say.value_wanted(path))])
    if any(n.casefold() == name.text.casefold() for n in above if n != steps[-1]):
        raise MachineErrors([Problem(mark, say.name_taken(path, name.text))])
    return in_options(machine, renamed(machine, steps, name.text, _put), steps, name.text, _put, apply)
