"""Nodes as text of a machine file: one line where it fits, else a block with a line for each key."""

from __future__ import annotations

import json
from collections.abc import Callable

from layshaft.machine.document import ListNode, MapNode, Node, TextNode, compose
from layshaft.machine.errors import MachineErrors

WIDTH = 120
STEP = 2
"""Blanks by which a block stands in from the one around it."""

Holds = Callable[[str], bool]
"""Whether a text, put plainly into some place of the file, is read there as the same plain text."""


def flow(node: Node) -> str:
    """A node on one line, between braces or brackets."""
    if isinstance(node, TextNode):
        return scalar(node, _in_flow)
    if isinstance(node, ListNode):
        return "[" + ", ".join(map(flow, node.items)) + "]"
    return "{" + ", ".join(map(pair, node.entries)) + "}"


def pair(entry: tuple[str, object, Node, int]) -> str:
    """A key and its value between braces."""
    return f"{key_text(entry[0])}: {flow(entry[2])}"


def block(key: str, node: Node, indent: int) -> list[str]:
    """A key and its value as lines of a block that stands in by `indent` blanks."""
    head = " " * indent + key_text(key) + ":"
    if isinstance(node, TextNode):
        return [f"{head} {scalar(node, _in_block)}".rstrip()]
    line = f"{head} {flow(node)}"
    children = node.items if isinstance(node, ListNode) else tuple(e.value for e in node.entries)
    simple = not any(isinstance(child, MapNode) and child.entries for child in children)
    if not children or (simple and len(line) <= WIDTH):
        return [line]
    if isinstance(node, ListNode):
        return [head, *(f"{' ' * (indent + STEP)}- {flow(item)}" for item in node.items)]
    return [head, *(line for e in node.entries for line in block(e.key, e.value, indent + STEP))]


def value(node: Node, in_block: bool) -> str:
    """A value on one line, for a place in a block or between braces."""
    return scalar(node, _in_block) if in_block and isinstance(node, TextNode) else flow(node)


def key_text(key: str) -> str:
    """A key that can stand before a colon, in a block and between braces."""
    return scalar(TextNode(key), _as_key)


def scalar(node: TextNode, holds: Holds) -> str:
    """A text as it is where that reads back as itself, else between quotes."""
    plain = not node.quoted and node.text == node.text.strip() and "\n" not in node.text
    return node.text if plain and holds(node.text) else _quoted(node.text)


def _quoted(text: str) -> str:
    """Between double quotes; what is written in JSON reads the same here."""
    return json.dumps(text, ensure_ascii=False).replace("\x85", "\\x85").replace("\u2028", "\\u2028").replace(
        "\u2029", "\\u2029").replace("\ufeff", "\\uFEFF")


def _in_block(text: str) -> bool:
    return _is_plain(_first(f"k: {text}"), text)


def _in_flow(text: str) -> bool:
    found = _first(f"k: [{text}]")
    return isinstance(found, ListNode) and len(found.items) == 1 and _is_plain(found.items[0], text)


def _as_key(text: str) -> bool:
    found = _first(f"k: {{{text}: x}}")
    return isinstance(found, MapNode) and found.keys == [text] and found.entries[0].value.text == "x"


def _is_plain(node: Node | None, text: str) -> bool:
    return isinstance(node, TextNode) and node.text == text and not node.quoted


def _first(line: str) -> Node | None:
    try:
        root = compose(line, "")
    except MachineErrors:
        return None
    return root.entries[0].value if len(root.entries) == 1 else None
