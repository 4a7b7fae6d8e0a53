"""The machine file as a JSON Schema (draft 2020-12), made from the descriptions the reader uses.

It is for editors that read YAML 1.2 and mark mistakes while they are made. It knows the shape of a
file: keys, kinds, words, units. Names that lead nowhere, and what does not fit, are for `check`.
"""

from __future__ import annotations

import math
import re
from collections.abc import Callable
from typing import Any

from layshaft.machine import quantities, schema
from layshaft.machine.model import Machine
from layshaft.machine.quantity_patterns import quantity_pattern
from layshaft.machine.schema import SOURCE_WORDS, Key, keys
from layshaft.machine.shape import CHANGES, PRICE, RESERVED

DRAFT = "https://json-schema.org/draft/2020-12/schema"
Node = dict[str, Any]
SCALAR = ["string", "number", "boolean"]
"""A text without quotes may look like a number or a truth value to YAML; the reader keeps it as text."""
_LETTER = r"[^\x00-\x2f\x3a-\x40\x5b-\x60\x7b-\x7f]"
NAME = rf"^{_LETTER}(?:{_LETTER}|-| (?! |$))*$"
"""Letters, digits, single blanks and hyphens; beyond ASCII the two dialects cannot tell a letter."""
PATH = r"^[^.\[\]]+(?:\[[0-9]+\])*(?:\.[^.\[\]]+(?:\[[0-9]+\])*)*$"
SAME_AS: Node = {"type": "string", "pattern": rf"^{quantities.SAME_AS}\s*\S.*$"}
WORDS: Node = {"type": [*SCALAR, "null"]}


def machine_schema() -> Node:
    """The whole schema, as plain data."""
    writer = _Writer()
    top = writer.fields(Machine)
    return {"$schema": DRAFT, "title": "Layshaft machine file", "description": "A machine of shafts, as its builder "
            "describes it. Numbers carry their unit, such as 12.7 mm or 1/2 in.", **top, "$defs": writer.definitions}


class _Writer:
    """Writes each kind and each sort of quantity once, as a definition the others refer to."""

    def __init__(self) -> None:
        self.definitions: dict[str, Node] = {}

    def fields(self, kind: type, word: str = "") -> Node:
        """A map with the keys of a kind; `word` is its key `kind` where it has one."""
        known = keys(kind)
        properties: Node = {"kind": {"const": word}} if word else {}
        properties |= {name: self.key(k) for name, (_, k) in known.items()}
        needed = (["kind"] if word else []) + [name for name, (_, k) in known.items() if k.required]
        empty = ["object"] if needed else ["object", "null"]
        found = {"type": empty, "properties": properties, "additionalProperties": False}
        return found | ({"required": needed} if needed else {})

    def key(self, k: Key) -> Node:
        """One key: what it reads, its meaning, and an example to write."""
        reads = self.reads(k.reads, k)
        if k.may_be_open:
            reads = {"anyOf": [{"const": "open"}, reads]}
        meaning = k.meaning[:1].upper() + k.meaning[1:]
        example = [k.example] if k.example and isinstance(k.reads, schema.Quantity | schema.Listing) else []
        return {"description": meaning + ".", **({"examples": example} if example else {}), **reads}

    def reads(self, reads: Any, k: Key) -> Node:
        """The schema of what a key reads."""
        if isinstance(reads, type):
            return self.refer(reads.__name__, lambda: self.fields(reads))
        return _WRITERS[type(reads)](self, reads, k)

    def refer(self, name: str, make: Callable[[], Node]) -> Node:
        """A reference to a definition, made where it is not there yet."""
        if name not in self.definitions:
            self.definitions[name] = {}
            self.definitions[name] = make()
        return {"$ref": f"#/$defs/{name.replace(' ', '%20')}"}

    # One method a sort of value.

    def quantity(self, reads: schema.Quantity, _k: Key) -> Node:
        return self.refer(_quantity_name(reads), lambda: self.quantity_forms(reads))

    def quantity_forms(self, reads: schema.Quantity) -> Node:
        """A plain text, or value, spread, source and note written out; what has no unit may be a number."""
        forms = [self.quantity_text(reads)]
        if "" in reads.dimension.units:
            forms.append(_number(reads))
        end = [self.quantity_text(schema.Quantity(reads.dimension)), {"type": "number"}]
        units = ", ".join(u or "none" for u in reads.dimension.units)
        return {"description": f"A {reads.dimension.name}; units: {units}.",
                "anyOf": [*forms, SAME_AS, _written_out(forms, end), _same_with_note()]}

    def quantity_text(self, reads: schema.Quantity) -> Node:
        """The texts of a dimension, as narrow as the limits let them be."""
        sign = 1 if reads.above == 0 else 0 if max(reads.above, reads.at_least) >= 0 else -1
        told = {1: ", above zero", 0: ", not below zero", -1: ""}[sign]
        return self.refer(f"text of a {reads.dimension.name}{told}", lambda: {
            "type": "string", "pattern": quantity_pattern(reads.dimension, sign)})

    def listing(self, _reads: Any, _k: Key) -> Node:
        return {"type": ["string", "number"], "minLength": 1}

    def text(self, _reads: Any, k: Key) -> Node:
        return {"type": SCALAR, "pattern": r"\S"} if k.required else WORDS

    def money(self, _reads: Any, _k: Key) -> Node:
        return {"type": "string", "pattern": f"^{PRICE.pattern}$"}

    def yes_no(self, _reads: Any, _k: Key) -> Node:
        return {"enum": ["yes", "no"]}

    def word(self, reads: schema.Word, _k: Key) -> Node:
        numbers = [float(c) for c in reads.choices if re.fullmatch(r"[0-9]+(\.[0-9]+)?", c)]
        return {"enum": [*reads.choices, *numbers]}

    def ref(self, _reads: Any, _k: Key) -> Node:
        return {"type": ["string", "number"], "pattern": r"\S"}

    def seat_on(self, reads: schema.SeatOn, k: Key) -> Node:
        count = len(reads.shafts)
        return self.ref(None, k) if count == 1 else self.list_of(schema.ListOf(schema.Ref("seats"), count), k)

    def direction(self, _reads: Any, _k: Key) -> Node:
        number = {"type": "number"}
        return {"anyOf": [{"type": "string", "pattern": "^[+-]?[xyz]$"},
                          {"type": "array", "items": number, "minItems": 3, "maxItems": 3,
                           "contains": {"not": {"const": 0}}}]}

    def list_of(self, reads: schema.ListOf, k: Key) -> Node:
        item = self.reads(reads.item, k)
        if k.may_be_open:
            item = {"anyOf": [{"const": "open"}, item]}
        least = reads.at_least if reads.count is None else reads.count
        found = {"type": "array", "items": item, "minItems": least}
        return found if reads.count is None else found | {"maxItems": reads.count}

    def row(self, reads: schema.Row, k: Key) -> Node:
        count = len(reads.items)
        return {"type": "array", "prefixItems": [self.reads(item, k) for item in reads.items],
                "minItems": count, "maxItems": count}

    def map_of(self, reads: schema.MapOf, k: Key) -> Node:
        return _named(self.reads(reads.item, k), _taken(reads))

    def quantity_map(self, reads: schema.QuantityMap, k: Key) -> Node:
        return _named(self.quantity(schema.Quantity(reads.dimension, above=0), k))

    def kind_map(self, reads: schema.KindMap, _k: Key) -> Node:
        return _named(self.one_of(reads.kinds))

    def kind_of(self, reads: schema.KindOf, _k: Key) -> Node:
        return self.one_of(reads.kinds)

    def one_of(self, kinds: dict[str, type]) -> Node:
        """Told apart by `kind` first, so that an editor speaks of the kind that was meant."""
        cases = [{"if": {"properties": {"kind": {"const": word}}, "required": ["kind"]},
                  "then": self.refer(kind.__name__, lambda kind=kind, word=word: self.fields(kind, word))}  # type: ignore[misc]
                 for word, kind in kinds.items()]
        return {"type": "object", "required": ["kind"], "properties": {"kind": {"enum": list(kinds)}}, "allOf": cases}

    def raw(self, _reads: Any, _k: Key) -> Node:
        return _named(self.refer("option", _option))


_WRITERS: dict[type, Callable[[_Writer, Any, Key], Node]] = {
    schema.Quantity: _Writer.quantity, schema.Listing: _Writer.listing, schema.Text: _Writer.text,
    schema.Money: _Writer.money, schema.YesNo: _Writer.yes_no, schema.Word: _Writer.word, schema.Ref: _Writer.ref,
    schema.SeatOn: _Writer.seat_on, schema.Direction: _Writer.direction, schema.ListOf: _Writer.list_of,
    schema.Row: _Writer.row, schema.MapOf: _Writer.map_of, schema.KindMap: _Writer.kind_map,
    schema.QuantityMap: _Writer.quantity_map, schema.KindOf: _Writer.kind_of, schema.Raw: _Writer.raw,
}


def _named(item: Node, taken: str = "") -> Node:
    """Free names, each with a thing; `taken` is a name with a meaning of its own."""
    pattern = f"^(?!(?:{''.join(f'[{c.upper()}{c}]' for c in taken)})$){NAME[1:]}" if taken else NAME
    return {"type": ["object", "null"], "propertyNames": {"pattern": pattern}, "additionalProperties": item}


def _taken(reads: schema.MapOf) -> str:
    """The name that no thing of this collection may bear."""
    return next((RESERVED[name] for name, (_, k) in keys(Machine).items() if k.reads == reads and name in RESERVED), "")


def _option() -> Node:
    """A named set of changes; paths are checked when it is made."""
    paths = {"pattern": PATH}
    by_word = {"remove": {"type": "array", "items": {"type": "string", **paths}},
               "rename": {"type": "object", "propertyNames": paths, "additionalProperties": {"type": SCALAR}}}
    changes = {word: by_word.get(word, {"type": "object", "propertyNames": paths}) for word in CHANGES}
    return {"type": "object", "properties": changes, "additionalProperties": False}


def _quantity_name(reads: schema.Quantity) -> str:
    limits = ((" above {:g}", reads.above), (" at least {:g}", reads.at_least), (" at most {:g}", reads.at_most))
    told = "".join(words.format(limit) for words, limit in limits if math.isfinite(limit))
    return f"{reads.dimension.name}{told}{', whole' if reads.whole else ''}"


def _number(reads: schema.Quantity) -> Node:
    limits = (("exclusiveMinimum", reads.above), ("minimum", reads.at_least), ("maximum", reads.at_most))
    return {"type": "integer" if reads.whole else "number"} | {
        word: limit for word, limit in limits if math.isfinite(limit)}


def _written_out(forms: list[Node], end: list[Node]) -> Node:
    between: Node = {"type": "array", "items": {"anyOf": end}, "minItems": 2, "maxItems": 2}
    properties = {
        "value": {"anyOf": [{"const": "open"}, *forms]},
        "between": between,
        "even": {"enum": list(quantities.YES_NO)},
        "trim": {"type": "object", "required": list(quantities.TRIM_KEYS), "additionalProperties": False,
                 "properties": {"to": WORDS, "between": between}},
        "source": {"enum": list(SOURCE_WORDS)},
    } | {word: WORDS for word in quantities.KEYS if word in ("note", "who", "when", "guessed")}
    return {"type": "object", "required": ["value"], "additionalProperties": False, "properties": properties}


def _same_with_note() -> Node:
    """What is the same as another value has its spread and source too; only a note may stand beside it."""
    return {"type": "object", "required": ["value"], "additionalProperties": False,
            "properties": {"value": SAME_AS, "note": WORDS}}
