"""The text of a machine file as a tree of nodes with their places.

Every scalar stays the text it was written as: `1.10`, `on`, `08B-1` cannot change. Anchors,
aliases, tags and merge keys are refused while the parser's events pass by, so nothing expands.
"""

from __future__ import annotations

import codecs
import unicodedata
from collections.abc import Iterator
from pathlib import Path
from typing import Any, NamedTuple

import yaml

from layshaft.machine.errors import MachineErrors, Problem
from layshaft.machine.schema import NOWHERE, Mark
from layshaft.machine.sentences import text as say
from layshaft.machine.sentences.wording import clipped

MOST_BYTES = 2_000_000
MOST_LEVELS = 50
_LOADER: Any = getattr(yaml, "CSafeLoader", yaml.SafeLoader)


class TextNode(NamedTuple):
    """One scalar. `start` and `end` count characters of the text (byte order mark left out)."""

    text: str
    mark: Mark = NOWHERE
    quoted: bool = False
    start: int = -1
    end: int = -1


class ListNode(NamedTuple):
    """A list."""

    items: tuple[Any, ...]
    mark: Mark = NOWHERE
    start: int = -1
    end: int = -1


class Entry(NamedTuple):
    """One key and its value; `mark` is the key's place, `value.mark` the value's."""

    key: str
    mark: Mark
    value: Any
    start: int = -1


class MapNode:
    """A map in file order. Unchanging, but for `memo`: what the shape pass made of it last."""

    __slots__ = ("end", "entries", "mark", "memo", "start")

    def __init__(self, entries: tuple[Entry, ...], mark: Mark = NOWHERE,
                 start: int = -1, end: int = -1) -> None:
        self.entries = entries
        self.mark = mark
        self.start = start
        self.end = end
        self.memo: Any = None

    def __repr__(self) -> str:
        return f"MapNode({', '.join(e.key for e in self.entries)})"

    def entry(self, key: str) -> Entry | None:
        """The entry of that key, or None."""
        for entry in self.entries:
            if entry.key == key:
                return entry
        return None

    def get(self, key: str) -> Node | None:
        """The value of that key, or None."""
        entry = self.entry(key)
        return None if entry is None else entry.value

    @property
    def keys(self) -> list[str]:
        """Keys in file order."""
        return [entry.key for entry in self.entries]

    def with_entries(self, entries: tuple[Entry, ...]) -> MapNode:
        """The same place with other entries."""
        return MapNode(entries, self.mark, self.start, self.end)


Node = TextNode | ListNode | MapNode


def load(path: Path, keep_bom: bool = False) -> str:
    """The text of a file; its size is checked before it is read. A writer keeps the byte order mark."""
    try:
        if not path.exists():
            raise _refused(path, say.no_file(str(path)))
        if not path.is_file():
            raise _refused(path, say.not_a_file(str(path)))
        size = path.stat().st_size
        if size > MOST_BYTES:
            raise _refused(path, say.too_big(str(path), size, MOST_BYTES))
        with path.open("rb") as stream:
            content = stream.read(MOST_BYTES + 1)
    except OSError as why:
        raise _refused(path, say.unreadable(str(path), why.strerror or "no reason given")) from None
    except ValueError as why:
        if isinstance(why, MachineErrors):
            raise
        raise _refused(path, say.no_file(clipped(str(path)))) from None
    text = decoded(content, str(path))
    return "\ufeff" + text if keep_bom and content.startswith(codecs.BOM_UTF8) else text


def decoded(content: bytes, file: str) -> str:
    """Bytes as text: UTF-8, with or without a byte order mark."""
    if len(content) > MOST_BYTES:
        raise MachineErrors([Problem(Mark(file, 0, 0), say.too_big(file, len(content), MOST_BYTES))])
    try:
        return content.decode("utf-8-sig")
    except UnicodeDecodeError as why:
        before = content[: why.start]
        line = before.count(b"\n") + 1
        column = why.start - (before.rfind(b"\n") + 1) + 1
        raise MachineErrors([Problem(Mark(file, line, column), say.not_utf8(why.start))]) from None


def compose(text: str, file: str) -> MapNode:
    """The text as a tree. Raises `MachineErrors` with everything the text pass found."""
    try:
        decoded(text.encode("utf-8"), file)
    except UnicodeEncodeError as why:
        line = text.count("\n", 0, why.start) + 1
        raise MachineErrors([Problem(Mark(file, line, 1), say.not_utf8(why.start))]) from None
    builder = _Builder(file)
    try:
        builder.run(yaml.parse(text.removeprefix("\ufeff"), Loader=_LOADER))
    except yaml.MarkedYAMLError as why:
        builder.stumbled(why, text.removeprefix("\ufeff"))
    except yaml.reader.ReaderError as why:
        line = text.count("\n", 0, max(why.position, 0)) + 1
        builder.problems.append(Problem(Mark(file, line, 1), say.not_yaml("control characters", "")))
    except yaml.YAMLError:
        builder.problems.append(Problem(Mark(file, 1, 1), say.not_yaml("", "")))
    except _TooDeepError:
        pass
    if builder.problems:
        raise MachineErrors(builder.problems)
    assert isinstance(builder.root, MapNode)
    return builder.root


class _TooDeepError(Exception):
    """Ends the text pass: what follows would be misread."""


class _Builder:
    """Turns parser events into nodes; a frame is one list or map that is still open."""

    def __init__(self, file: str) -> None:
        self.file = file
        self.problems: list[Problem] = []
        self.root: Node | None = None
        self.frames: list[_Frame] = []
        self.last_quoted: Any = None

    def refuse(self, mark: Any, sentence: str) -> None:
        place = self.mark(mark) if mark is not None else Mark(self.file, 1, 1)
        self.problems.append(Problem(place, sentence))

    def stumbled(self, why: yaml.MarkedYAMLError, text: str) -> None:
        """The parser gave up: say it at the place where the cause is, not where it was noticed."""
        problem = why.problem or ""
        place = why.problem_mark or why.context_mark
        if why.context_mark is not None and say.begins_earlier(problem):
            place = why.context_mark
        if place is None:
            self.refuse(None, say.not_yaml(problem, ""))
            return
        open_quote = self.last_quoted
        if open_quote is not None and open_quote.end_mark.line == place.line != open_quote.start_mark.line:
            self.refuse(open_quote.start_mark, say.open_quote())
            return
        self.refuse(place, say.not_yaml(problem, text[place.index: place.index + 1]))

    def mark(self, mark: Any) -> Mark:
        return Mark(self.file, mark.line + 1, mark.column + 1)

    def run(self, events: Iterator[Any]) -> None:
        documents = 0
        for event in events:
            if isinstance(event, yaml.ScalarEvent):
                self.scalar(event)
            elif isinstance(event, yaml.CollectionStartEvent):
                self.opened(event)
            elif isinstance(event, yaml.CollectionEndEvent):
                self.closed(event)
            elif isinstance(event, yaml.AliasEvent):
                self.refuse(event.start_mark, say.alias(event.anchor or ""))
                self.put(TextNode("", self.mark(event.start_mark)))
            elif isinstance(event, yaml.DocumentStartEvent):
                documents += 1
                if documents == 2:
                    self.refuse(event.start_mark, say.second_document())
                    return
        self.finished(documents)

    def finished(self, documents: int) -> None:
        root = self.root
        if documents == 0 or (isinstance(root, TextNode) and not root.text and not root.quoted):
            self.problems.append(Problem(Mark(self.file, 1, 1), say.empty()))
        elif not isinstance(root, MapNode) and root is not None:
            self.problems.append(Problem(root.mark, say.top_is_not_a_map()))

    def properties(self, event: Any) -> None:
        if event.anchor is not None:
            self.refuse(event.start_mark, say.anchor(event.anchor))
        if event.tag is not None:
            self.refuse(event.start_mark, say.tag(event.tag))

    def scalar(self, event: Any) -> None:
        if event.anchor is not None or event.tag is not None:
            self.properties(event)
        mark = self.mark(event.start_mark)
        if any(unicodedata.category(sign) == "Cc" and sign not in "\n\t" for sign in event.value):
            self.refuse(event.start_mark, say.not_yaml("control characters", ""))
        self.last_quoted = event if event.style in ("'", '"') else None
        self.put(TextNode(event.value, mark, bool(event.style), event.start_mark.index, event.end_mark.index))

    def opened(self, event: Any) -> None:
        self.properties(event)
        if len(self.frames) >= MOST_LEVELS:
            self.refuse(event.start_mark, say.too_deep(MOST_LEVELS))
            raise _TooDeepError
        is_map = isinstance(event, yaml.MappingStartEvent)
        self.frames.append(_Frame(is_map, self.mark(event.start_mark), event.start_mark.index))

    def closed(self, event: Any) -> None:
        frame = self.frames.pop()
        end = event.end_mark.index
        if frame.is_map:
            self.put(MapNode(tuple(frame.found), frame.mark, frame.start, end))
        else:
            self.put(ListNode(tuple(frame.found), frame.mark, frame.start, end))

    def put(self, node: Node) -> None:
        if not self.frames:
            self.root = node if self.root is None else self.root
            return
        frame = self.frames[-1]
        if not frame.is_map:
            frame.found.append(node)
        elif frame.key is None:
            frame.key = self.as_key(node, frame)
        else:
            frame.found.append(Entry(frame.key.text, frame.key.mark, node, frame.key.start))
            frame.key = None

    def as_key(self, node: Node, frame: _Frame) -> TextNode:
        if not isinstance(node, TextNode):
            self.problems.append(Problem(node.mark, say.key_is_not_text()))
            return TextNode("", node.mark)
        if node.text == "<<" and not node.quoted:
            self.problems.append(Problem(node.mark, say.merge_key()))
        elif not node.text.strip():
            self.problems.append(Problem(node.mark, say.key_is_empty()))
        else:
            folded = node.text.casefold()
            first = frame.seen.setdefault(folded, node)
            if first is not node:
                sentence = say.key_twice(node.text, first.text, first.mark.line)
                self.problems.append(Problem(node.mark, sentence))
        return node


class _Frame:
    """A list or map that is still open."""

    __slots__ = ("found", "is_map", "key", "mark", "seen", "start")

    def __init__(self, is_map: bool, mark: Mark, start: int) -> None:
        self.is_map, self.mark, self.start = is_map, mark, start
        self.key: TextNode | None = None
        self.found: list[Any] = []
        self.seen: dict[str, TextNode] = {}


def _refused(path: Path, sentence: str) -> MachineErrors:
    return MachineErrors([Problem(Mark(str(path), 0, 0), sentence)])
