"""A changed tree written into the text it came from: spans are replaced, put in or cut, nothing else moves.

Old and new tree are walked side by side. What is the same, or says the same, is left alone to the byte;
so a write without a change changes nothing. A comment block directly above a key, in the key's own
column, goes with the key. The result is read again and must be the new tree, else nothing comes back.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from typing import NamedTuple

from layshaft.machine.document import Entry, ListNode, MapNode, Node, TextNode, compose
from layshaft.machine.errors import MachineErrors, Problem
from layshaft.machine.schema import NOWHERE
from layshaft.machine.sentences import writing as say
from layshaft.machine.writing import render

PARTS = "parts"
QUOTED = re.compile(r'''"(?:[^"\\]|\\.)*"|\'(?:[^\']|\'\')*\'''', re.DOTALL)


class _Splice(NamedTuple):
    """The text from `start` to `end` becomes `text`."""

    start: int
    end: int
    text: str


def rewritten(text: str, old: MapNode, new: MapNode, beside: str = "") -> str:
    """The text of the tree `old` with whatever differs in `new`; byte order mark and line ends stay as they are.

    `beside` names the parts list merged into both. Raises `MachineErrors` where a line of it would have to
    change, or where the file is written in a way in which the change has no place.
    """
    body = text.removeprefix("\ufeff")
    own_old, own_new = _own(old, beside), _own(new, beside)
    _same_lines(_lines(old, beside), _lines(new, beside))
    splices = _Splices(body)
    splices.root(own_old, own_new)
    out = splices.applied()
    try:
        done = same(compose(out, old.mark.file), own_new)
    except MachineErrors:
        done = False
    if not done:
        raise MachineErrors([Problem(NOWHERE, say.no_place_for_it())])
    return text[: len(text) - len(body)] + out


def same(a: Node, b: Node) -> bool:
    """True where two nodes say the same, wherever and however they are written."""
    if a is b:
        return True
    if isinstance(a, TextNode):
        return isinstance(b, TextNode) and a.text == b.text and (bool(a.text) or a.quoted == b.quoted)
    if isinstance(a, ListNode):
        return isinstance(b, ListNode) and len(a.items) == len(b.items) and all(map(same, a.items, b.items))
    return isinstance(b, MapNode) and len(a.entries) == len(b.entries) and all(
        x.key == y.key and same(x.value, y.value) for x, y in zip(a.entries, b.entries, strict=True))


def _lines(root: MapNode, beside: str) -> dict[str, Entry]:
    """Entries of `parts` that stand in the parts list."""
    parts = root.get(PARTS)
    if not beside or not isinstance(parts, MapNode):
        return {}
    return {str(e.mark): e for e in parts.entries if e.mark.file == beside}


def _same_lines(old: dict[str, Entry], new: dict[str, Entry]) -> None:
    problems = [Problem(e.mark, say.stands_in_parts_list(e.key)) for mark, e in old.items()
                if mark not in new or new[mark].key != e.key or not same(new[mark].value, e.value)]
    if problems:
        raise MachineErrors(problems)


def _own(root: MapNode, beside: str) -> MapNode:
    """The tree without the lines of the parts list."""
    entry = root.entry(PARTS)
    if not beside or entry is None or not isinstance(entry.value, MapNode):
        return root
    left = entry.value.with_entries(tuple(e for e in entry.value.entries if e.mark.file != beside))
    if not left.entries and entry.mark.file == beside:
        return root.with_entries(tuple(e for e in root.entries if e is not entry))
    return root.with_entries(tuple(e._replace(value=left) if e is entry else e for e in root.entries))


class _Splices:
    """Collects what is to be done to one text."""

    def __init__(self, text: str) -> None:
        self.text = text
        self.found: list[_Splice] = []
        self.line_end = "\r\n" if "\r\n" in text else "\n"

    def applied(self) -> str:
        """The text with all splices done; two of them never overlap."""
        pieces, at = [], 0
        for start, end, text in sorted(self.found):
            if start < at:
                raise MachineErrors([Problem(NOWHERE, say.no_place_for_it())])
            pieces += [self.text[at:start], text]
            at = end
        return "".join([*pieces, self.text[at:]])

    def put(self, start: int, end: int, text: str) -> None:
        self.found.append(_Splice(start, end, text))

    # Maps.

    def root(self, old: MapNode, new: MapNode) -> None:
        """The whole file."""
        self.entries(old, new, _matched(old.entries, new.entries))

    def entries(self, old: MapNode, new: MapNode, matched: dict[int, int]) -> None:
        """What changed in a map of which some entries stay; `matched` leads from new entries to old ones."""
        in_block = not self.is_flow(old)
        for i, j in matched.items():
            self.entry(old.entries[j], new.entries[i], in_block)
        stay = sorted(matched.values())
        added = [e for i, e in enumerate(new.entries) if i not in matched]
        if in_block:
            for j in range(len(old.entries)):
                if j not in stay:
                    self.cut_entry(old.entries, j)
            if added:
                self.add_entries(old.entries[stay[-1]], added)
        else:
            spans = [(e.start, self.end_of_entry(e)) for e in old.entries]
            self.flow(spans, stay, [render.pair(e) for e in added])

    def entry(self, old: Entry, new: Entry, in_block: bool) -> None:
        """A key that stays, perhaps under another name, and its value."""
        if old.key != new.key:
            self.put(old.start, self.end_of_key(old), render.key_text(new.key))
        before, after = old.value, new.value
        if same(before, after) or self.inside(before, after):
            return
        lines = render.block(new.key, after, self.column(old.start)) if in_block else [""]
        is_block = isinstance(before, MapNode | ListNode) and not self.is_flow(before)
        if len(lines) == 1 and not is_block and not _is_empty(before):
            self.put(before.start, self.end(before), render.value(after, in_block))
            return
        colon, head = self.colon(old), len(render.block(new.key, TextNode(""), self.column(old.start))[0])
        value = self.line_end.join([lines[0][head:], *lines[1:]]) if in_block else f" {render.flow(after)}"
        self.put(colon, self.end_of_entry(old), value)

    def inside(self, old: Node, new: Node) -> bool:
        """Change only what differs within a list or a map; False where it has to be written anew."""
        if isinstance(old, MapNode) and isinstance(new, MapNode) and old.start >= 0:
            matched = _matched(old.entries, new.entries)
            if matched:
                self.entries(old, new, matched)
            return bool(matched)
        if isinstance(old, ListNode) and isinstance(new, ListNode) and old.start >= 0:
            return self.items(old, new)
        return False

    def items(self, old: ListNode, new: ListNode) -> bool:
        """The places of a list: those that stay, those put behind, or those cut."""
        count = len(old.items)
        if not old.items or not new.items:
            return False
        if len(new.items) >= count:
            for before, after in zip(old.items, new.items, strict=False):
                self.item(before, after, not self.is_flow(old))
            stay = list(range(count))
        else:
            found = _kept(old.items, new.items)
            if found is None:
                return False
            stay = found
        spans = [(item.start, self.end(item)) for item in old.items]
        if self.is_flow(old):
            self.flow(spans, stay, [render.flow(item) for item in new.items[count:]])
        else:
            self.block_items(spans, stay, [render.value(item, True) for item in new.items[count:]])
        return True

    def item(self, old: Node, new: Node, in_block: bool) -> None:
        if not same(old, new) and not self.inside(old, new):
            self.put(old.start, self.end(old), render.value(new, in_block))

    # Between braces or brackets.

    def flow(self, spans: Sequence[tuple[int, int]], stay: Sequence[int], added: Sequence[str]) -> None:
        """Cut the places that do not stay, each with its comma, and put new ones behind the last that does."""
        for j in range(len(spans)):
            if j not in stay:
                later = any(k < j for k in stay)
                self.put(*((spans[j - 1][1], spans[j][1]) if later else (spans[j][0], spans[j + 1][0])), "")
        if added:
            end = spans[stay[-1]][1]
            self.put(end, end, "".join(f", {text}" for text in added))

    # Blocks.

    def cut_entry(self, entries: Sequence[Entry], j: int) -> None:
        """Take out the lines of an entry, and the comment block above that belongs to it."""
        entry = entries[j]
        begin = self.line_start(entry.start)
        if self.text[begin: entry.start].strip():  # behind the dash of a list
            after = entries[j + 1].start if j + 1 < len(entries) else self.end_of_entry(entry)
            self.put(entry.start, after, "")
            return
        self.cut_lines(self.comment_above(begin, self.column(entry.start)), self.end_of_entry(entry))

    def cut_lines(self, begin: int, last: int) -> None:
        """Take out the lines from the one that begins at `begin` to the one that holds `last`."""
        end = self.text.find("\n", last)
        if end >= 0:
            self.put(begin, end + 1, "")
        else:  # the file's last line, and it has no line end
            self.put(self.line_end_at(begin - 1) if begin else 0, len(self.text), "")

    def add_entries(self, last: Entry, added: Sequence[Entry]) -> None:
        """Lines for new entries below the last one that stays; a blank line where one parts those above."""
        column = self.column(last.start)
        begin = self.comment_above(self.line_start(last.start), column)
        gap = self.line_end if self.text[:begin].endswith(("\n\n", "\n\r\n")) else ""
        lines = [gap + line if i == 0 else line
                 for e in added for i, line in enumerate(render.block(e.key, e.value, column))]
        end = self.line_end_at(self.end_of_entry(last))
        self.put(end, end, "".join(self.line_end + line for line in lines))

    def block_items(self, spans: Sequence[tuple[int, int]], stay: Sequence[int], added: Sequence[str]) -> None:
        """The same for a list with a dash before every place."""
        for j, (start, end) in enumerate(spans):
            if j not in stay:
                self.cut_lines(self.line_start(start), end)
        if added:
            start, last = spans[stay[-1]]
            dash = self.text[self.line_start(start): start]
            end = self.line_end_at(last)
            self.put(end, end, "".join(f"{self.line_end}{dash}{text}" for text in added))

    # Places in the text.

    def is_flow(self, node: Node) -> bool:
        """True for a list or map between brackets or braces."""
        return self.text[node.start: node.start + 1] in ("{", "[")

    def end(self, node: Node) -> int:
        """Where a node ends, without the blanks and comments a block takes in."""
        if isinstance(node, TextNode) or self.is_flow(node):
            return node.start + len(self.text[node.start: node.end].rstrip())
        if isinstance(node, MapNode):
            return self.end_of_entry(node.entries[-1])
        return self.end(node.items[-1])

    def end_of_entry(self, entry: Entry) -> int:
        return self.colon(entry) if _is_empty(entry.value) else self.end(entry.value)

    def end_of_key(self, entry: Entry) -> int:
        quoted = QUOTED.match(self.text, entry.start)
        return quoted.end() if quoted else entry.start + len(entry.key)

    def colon(self, entry: Entry) -> int:
        """The place behind the colon of an entry."""
        return self.text.index(":", self.end_of_key(entry)) + 1

    def line_start(self, at: int) -> int:
        return self.text.rfind("\n", 0, at) + 1

    def line_end_at(self, at: int) -> int:
        """The place before the line end, behind a comment on the line too."""
        end = self.text.find("\n", at)
        end = len(self.text) if end < 0 else end
        return end - 1 if self.text[end - 1: end] == "\r" else end

    def column(self, at: int) -> int:
        return at - self.line_start(at)

    def comment_above(self, begin: int, column: int) -> int:
        """Start of the comment block that ends on the line before `begin`, in that column; else `begin`."""
        while begin:
            above = self.line_start(begin - 1)
            line = self.text[above: begin]
            if not line.lstrip().startswith("#") or len(line) - len(line.lstrip()) != column:
                break
            begin = above
        return begin


def _is_empty(node: Node) -> bool:
    """A value of which nothing is written."""
    return isinstance(node, TextNode) and not node.text and not node.quoted


def _matched(old: Sequence[Entry], new: Sequence[Entry]) -> dict[int, int]:
    """New entries that are old ones: at the same place in the file, under another name perhaps, or by their key."""
    by_start = {e.start: j for j, e in enumerate(old) if e.start >= 0}
    by_key = {e.key: j for j, e in enumerate(old)}
    found = {i: by_start[e.start] for i, e in enumerate(new)
             if e.start in by_start and e.mark == old[by_start[e.start]].mark}
    for i, e in enumerate(new):
        if i not in found and e.key in by_key and by_key[e.key] not in found.values():
            found[i] = by_key[e.key]
    in_order, last = {}, -1
    for i, j in sorted(found.items()):
        if j > last:  # what has moved is cut and written anew
            in_order[i] = last = j
    return in_order


def _kept(old: Sequence[Node], new: Sequence[Node]) -> list[int] | None:
    """Which of the old items the fewer new ones are; None where they are not simply fewer."""
    found, at = [], 0
    for wanted in new:
        at = next((j for j in range(at, len(old)) if same(old[j], wanted)), -1)
        if at < 0:
            return None
        found.append(at)
        at += 1
    return found
