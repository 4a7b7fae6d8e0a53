"""The shape pass: nodes become things, key by key, as the schema says.

One method a kind of `reads`. What a map was read as is remembered on its node, so that a tree
with one changed leaf costs only the maps above that leaf. A quantity that says ``same as PATH``
stays pending here; the reference pass fills it.
"""

from __future__ import annotations

import functools
import math
import re
from collections.abc import Callable, Iterable
from dataclasses import fields, replace
from typing import Any, NamedTuple, cast

from layshaft.machine import quantities, schema
from layshaft.machine.document import Entry, ListNode, MapNode, Node, TextNode
from layshaft.machine.errors import Problem
from layshaft.machine.kinds import Hub, Part
from layshaft.machine.quantities import Pending
from layshaft.machine.schema import Choice, Given, Key, Mark, SourceWord, Thing, keys
from layshaft.machine.sentences import shape as say
from layshaft.machine.sentences.wording import a, clipped, listed, near

EMPTY = MapNode(())
NAME = re.compile(r"[^\W_](?:[^\W_]|[ -])*")
PRICE = re.compile(r"([0-9]{1,12}(?:\.[0-9]+)?) ?([A-Z]{3})")
RESERVED = {"shafts": "frame"}
CHANGES = ("set", "add", "remove", "rename")
_AXES = {"x": 0, "y": 1, "z": 2}


class _Memo(NamedTuple):
    kind: type
    path: str
    thing: Any
    pending: tuple[Pending, ...]


class Shape:
    """One shape pass over a tree: `problems` and `pending` fill up as it goes."""

    def __init__(self) -> None:
        self.problems: list[Problem] = []
        self.pending: list[Pending] = []

    def refuse(self, mark: Mark, sentence: str) -> None:
        """Note a problem and go on."""
        self.problems.append(Problem(mark, sentence))

    # Things.

    def thing(self, kind: type, node: Node, path: str, name: str, also: str = "") -> Any:
        """A dataclass of `kind` from a map; `also` names a key that is allowed beside its own."""
        if not isinstance(node, MapNode):
            if not isinstance(node, TextNode) or node.text or node.quoted:
                self.refuse(node.mark, say.wants_a_map(path, described(kind)))
                return None
            node = MapNode((), node.mark)
        fields = node
        return self._remembered(kind, node, path, lambda: self._made(kind, fields, path, name, also))

    def _made(self, kind: type, node: MapNode, path: str, name: str, also: str) -> Any:
        problems = len(self.problems)
        values = self._values(kind, node, path, name, also)
        if len(self.problems) > problems:
            return None
        made = kind(path=path, name=name, mark=node.mark, **values)
        return as_listed(made) if isinstance(made, Part) else made

    def _values(self, kind: type, node: MapNode, path: str, name: str, also: str) -> dict[str, Any]:
        known = keys(kind)
        found, meant = {}, set()
        for entry in node.entries:
            found[entry.key] = entry.value
            if entry.key not in known and entry.key != also:
                meant |= {near(entry.key, known), entry.key.split(":")[0]}
                empty = isinstance(entry.value, TextNode) and not entry.value.text
                names = [*([also] if also else []), *known]
                self.refuse(entry.mark, say.unknown_key(path, entry.key, described(kind), names, empty))
        values = {}
        for file_key, (field, k) in known.items():
            child = found.get(file_key)
            below = f"{path}.{file_key}" if path else file_key
            if child is not None:
                values[field] = self.value(k.reads, child, below, k, name)
            elif file_key in meant:
                continue  # misspelt, and said so
            elif k.required:
                sentence = say.key_needed(path, file_key, described(kind), k.meaning, k.example)
                self.refuse(node.mark, sentence)
            else:
                values[field] = self.absent(k.reads, below, name)
        return values

    def absent(self, reads: Any, path: str, name: str) -> Any:
        """What stands for a key that is not in the file."""
        if isinstance(reads, schema.Quantity):
            return schema.missing(path, reads.dimension)
        if isinstance(reads, schema.Listing):
            return Choice(path, "", "missing")
        if isinstance(reads, schema.Money):
            return schema.Price()
        if isinstance(reads, schema.ListOf):
            count = reads.count or reads.at_least
            if isinstance(reads.item, schema.Ref | schema.Text):
                count = 0
            return tuple(self.absent(reads.item, f"{path}[{i}]", name) for i in range(count))
        if isinstance(reads, schema.Row):
            return tuple(self.absent(item, f"{path}[{i}]", name) for i, item in enumerate(reads.items))
        if isinstance(reads, schema.SeatOn):
            return name if len(reads.shafts) == 1 else (name,) * len(reads.shafts)
        if isinstance(reads, type):
            return self.thing(reads, MapNode(()), path, path)
        if isinstance(reads, schema.KindOf):
            return reads.base(path=path, name=path)
        return "" if isinstance(reads, schema.Word | schema.Text | schema.Ref) else {}

    def opened(self, reads: Any, path: str, mark: Mark) -> Any:
        """What stands for `open`: a list is as long as it may be short, with every element open."""
        if isinstance(reads, schema.Quantity):
            return Given(path, reads.dimension, math.nan, "open", written="open", mark=mark, cause=path)
        if isinstance(reads, schema.Listing):
            return Choice(path, "open", "open", mark)
        count = reads.count or max(reads.at_least, 1)
        return tuple(self.opened(reads.item, f"{path}[{i}]", mark) for i in range(count))

    # One value.

    def value(self, reads: Any, node: Node, path: str, k: Key, name: str = "") -> Any:
        """The value of one key; None where a problem was noted."""
        if isinstance(reads, type):
            return self.thing(reads, node, path, path)
        if k.may_be_open and isinstance(node, TextNode) and node.text == "open":
            return self.opened(reads, path, node.mark)
        return _READERS[type(reads)](self, reads, node, path, k, name)

    def _text(self, node: Node, path: str, k: Key) -> str | None:
        if not isinstance(node, TextNode):
            self.refuse(node.mark, say.wants_text(path, k.example))
        elif not node.text.strip():
            self.refuse(node.mark, say.nothing_written(path, k.example))
        else:
            return node.text
        return None

    def _quantity(self, reads: schema.Quantity, node: Node, path: str, k: Key, _name: str) -> Given | None:
        given, problems, pending = quantities.read(reads, node, path, k)
        self.problems.extend(problems)
        if pending is not None:
            self.pending.append(pending)
        return given

    def _listing(self, _reads: Any, node: Node, path: str, k: Key, _name: str) -> Choice | None:
        text = self._text(node, path, k)
        return None if text is None else Choice(path, text, "given", node.mark)

    def _free_text(self, _reads: Any, node: Node, path: str, k: Key, _name: str) -> str | None:
        if k.required:
            return self._text(node, path, k)
        if not isinstance(node, TextNode):
            self.refuse(node.mark, say.wants_text(path, k.example))
            return None
        return node.text

    def _money(self, _reads: Any, node: Node, path: str, k: Key, _name: str) -> schema.Price | None:
        text = self._text(node, path, k)
        match = PRICE.fullmatch(text) if text is not None else None
        if text is not None and match is None:
            self.refuse(node.mark, say.price(path, text, k.example))
        return schema.Price(float(match.group(1)), match.group(2), match.group()) if match else None

    def _yes_no(self, _reads: Any, node: Node, path: str, k: Key, _name: str) -> bool | None:
        text = self._text(node, path, k)
        if text is not None and text not in ("yes", "no"):
            self.refuse(node.mark, say.yes_no(path, text))
        return None if text is None else text == "yes"

    def _word(self, reads: schema.Word, node: Node, path: str, k: Key, _name: str) -> str | None:
        text = self._text(node, path, k)
        if text is not None and text not in reads.choices:
            self.refuse(node.mark, say.word(path, text, reads.choices))
        return text

    def _ref(self, _reads: Any, node: Node, path: str, k: Key, _name: str) -> str | None:
        return self._text(node, path, k)

    def _seat_on(self, reads: schema.SeatOn, node: Node, path: str, k: Key, _name: str) -> Any:
        if len(reads.shafts) == 1:
            return self._text(node, path, k)
        return self._list(schema.ListOf(schema.Text(), len(reads.shafts)), node, path, k, "")

    def _direction(self, _reads: Any, node: Node, path: str, _k: Key, _name: str) -> Any:
        vector = _direction(node)
        if vector is None:
            self.refuse(node.mark, say.direction(path))
        return vector

    def _list(self, reads: schema.ListOf, node: Node, path: str, k: Key, name: str) -> Any:
        if not isinstance(node, ListNode):
            self.refuse(node.mark, say.wants_a_list(path, reads.count, k.example))
            return None
        count = len(node.items)
        if reads.count is not None and count != reads.count:
            self.refuse(node.mark, say.wrong_count(path, count, reads.count, k.example))
            return None
        if count < reads.at_least:
            self.refuse(node.mark, say.too_few(path, count, reads.at_least, k.example))
            return None
        inner = _of_one(k)
        return tuple(self.value(reads.item, item, f"{path}[{i}]", inner, name)
                     for i, item in enumerate(node.items))

    def _row(self, reads: schema.Row, node: Node, path: str, k: Key, name: str) -> Any:
        if not isinstance(node, ListNode) or len(node.items) != len(reads.items):
            self.refuse(node.mark, say.wants_a_list(path, len(reads.items), k.example))
            return None
        return tuple(self.value(one, item, f"{path}[{i}]", replace(_of_one(k, i), reads=one), name)
                     for i, (one, item) in enumerate(zip(reads.items, node.items, strict=True)))

    # Collections.

    def _entries(self, node: Node, path: str, meaning: str) -> Iterable[Entry]:
        if isinstance(node, MapNode):
            for entry in node.entries:
                if not NAME.fullmatch(entry.key) or entry.key.endswith(" ") or "  " in entry.key:
                    self.refuse(entry.mark, say.bad_name(path, entry.key))
                    entry = entry._replace(key=clipped(entry.key))  # it will stand in sentences
                elif entry.key.casefold() == RESERVED.get(path):
                    self.refuse(entry.mark, say.name_is_taken(path, entry.key))
                yield entry
        elif not isinstance(node, TextNode) or node.text or node.quoted:
            self.refuse(node.mark, say.wants_names(path, meaning))

    def _map(self, reads: schema.MapOf, node: Node, path: str, k: Key, _name: str) -> Any:
        return self._remembered(dict, node, path, lambda: {
            e.key: self._named(reads.item, e, f"{path}.{e.key}")
            for e in self._entries(node, path, k.meaning)})

    def _remembered(self, kind: type, node: Node, path: str, make: Callable[[], Any]) -> Any:
        """What `make` makes of a node, or what it made of the same node before."""
        if not isinstance(node, MapNode):
            return make()
        memo = node.memo
        if memo is not None and memo.kind is kind and memo.path == path:
            self.pending.extend(memo.pending)
            return memo.thing
        problems, pending = len(self.problems), len(self.pending)
        made = make()
        if len(self.problems) == problems:
            node.memo = _Memo(kind, path, made, tuple(self.pending[pending:]))
        return made

    def _named(self, kind: type, entry: Entry, path: str, also: str = "") -> Any:
        return self.thing(kind, entry.value, path, entry.key, also)

    def _kinds(self, reads: schema.KindMap, node: Node, path: str, k: Key, _name: str) -> Any:
        return self._remembered(dict, node, path, lambda: self._of_kinds(reads, node, path, k))

    def _of_kinds(self, reads: schema.KindMap, node: Node, path: str, k: Key) -> dict[str, Any]:
        found = {}
        for entry in self._entries(node, path, k.meaning):
            below = f"{path}.{entry.key}"
            kind = self._kind(reads.kinds, entry.value, below)
            if kind is not None:
                found[entry.key] = self._named(kind, entry, below, "kind")
        return found

    def _kind_of(self, reads: schema.KindOf, node: Node, path: str, _k: Key, _name: str) -> Any:
        kind = self._kind(reads.kinds, node, path)
        return None if kind is None else self.thing(kind, node, path, path, "kind")

    def _kind(self, kinds: dict[str, type], node: Node, path: str) -> type | None:
        if isinstance(node, TextNode) and not node.text:
            node = MapNode((), node.mark)
        if not isinstance(node, MapNode):
            self.refuse(node.mark, say.wants_a_map(path, "with 'kind' among them"))
            return None
        word = node.get("kind")
        if word is None or (isinstance(word, TextNode) and not word.text):
            self.refuse(node.mark if word is None else word.mark, say.kind_needed(path, list(kinds)))
            return None
        if not isinstance(word, TextNode):
            self.refuse(word.mark, say.wants_text(f"{path}.kind", next(iter(kinds))))
            return None
        if word.text not in kinds:
            self.refuse(word.mark, say.unknown_kind(path, word.text, list(kinds)))
            return None
        return kinds[word.text]

    def _quantity_map(self, reads: schema.QuantityMap, node: Node, path: str, k: Key,
                      name: str) -> dict[str, Any]:
        one = schema.Quantity(reads.dimension, above=0)
        inner = Key(one, k.meaning, "1.5")
        return {e.key: self.value(one, e.value, f"{path}.{e.key}", inner, name)
                for e in self._entries(node, path, k.meaning)}

    def _raw(self, _reads: Any, node: Node, path: str, k: Key, _name: str) -> dict[str, Any]:
        found = {}
        for entry in self._entries(node, path, k.meaning):
            below = f"{path}.{entry.key}"
            if not isinstance(entry.value, MapNode):
                self.refuse(entry.value.mark, say.wants_a_map(below, listed_changes()))
                continue
            for change in entry.value.entries:
                if change.key not in CHANGES:
                    self.refuse(change.mark, say.unknown_key(below, change.key, "an option", CHANGES, False))
            found[entry.key] = entry.value
        return found


_Reader = Callable[[Shape, Any, Any, str, Key, str], Any]
_READERS: dict[type, _Reader] = {
    schema.Quantity: Shape._quantity, schema.Listing: Shape._listing, schema.Text: Shape._free_text,
    schema.Money: Shape._money, schema.YesNo: Shape._yes_no, schema.Word: Shape._word,
    schema.Ref: Shape._ref,
    schema.SeatOn: Shape._seat_on, schema.Direction: Shape._direction, schema.ListOf: Shape._list,
    schema.Row: Shape._row, schema.MapOf: Shape._map, schema.KindMap: Shape._kinds,
    schema.QuantityMap: Shape._quantity_map, schema.KindOf: Shape._kind_of, schema.Raw: Shape._raw,
}


def listed_changes() -> str:
    """The four words an option is written with."""
    return listed(CHANGES)


@functools.cache
def described(kind: type) -> str:
    """A kind as it stands in a sentence: `a roller chain`, `the file`."""
    if kind.__name__ == "Machine":
        return "the machine file"
    words = re.sub(r"(?<!^)(?=[A-Z])", " ", kind.__name__).lower().replace("one way", "one-way")
    words = words.removesuffix(" part") if words != "part" else words
    if issubclass(kind, Hub):
        return f"a hub with {words if words.endswith('s') else a(words)}"
    return a(words) if issubclass(kind, Thing) else words


@functools.cache
def _of_one(k: Key, which: int = 0) -> Key:
    """The key of one element of a list: its example is the one in the list's."""
    inside = k.example.strip()[1:-1]
    first = inside[: inside.find("]") + 1] if inside.startswith("[") else inside.split(",")[which].strip()
    return Key(k.reads, k.meaning, first, k.required, k.may_be_open, k.name)


def _direction(node: Node) -> tuple[float, float, float] | None:
    if isinstance(node, TextNode):
        axis = _AXES.get(node.text.lstrip("+-"))
        if axis is None or len(node.text) > 2:
            return None
        unit = [0.0, 0.0, 0.0]
        unit[axis] = -1.0 if node.text.startswith("-") else 1.0
        return unit[0], unit[1], unit[2]
    if not isinstance(node, ListNode) or len(node.items) != 3:
        return None
    try:
        parts = [float(item.text) for item in node.items]
    except (ValueError, AttributeError):
        return None
    length = math.hypot(*parts)
    if not 1e-9 < length < 1e9:
        return None
    return parts[0] / length, parts[1] / length, parts[2] / length


def as_listed(part: Part) -> Part:
    """A part's figures come from where the part says it was read, not from the builder's decision."""
    numbers: dict[str, Any] = {
        f.name: replace(value, source=cast(SourceWord, part.source), note=part.read_in)
        for f in fields(part) if isinstance(value := getattr(part, f.name), Given) and value.source == "decided"
    }
    return replace(part, **numbers)
