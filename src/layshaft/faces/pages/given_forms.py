"""The givens of one thing as fields to be written in: value with its unit, spread, source, note.

A form a given: what is sent is its path and what was written. The page that takes it in reads the words
as the file would, so `1/2 in` and `12.7 mm` are the same here as there.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass, replace
from html import escape
from typing import Any

from layshaft.faces.pages.givens import GUESS
from layshaft.faces.pages.words import anchor, part_words, short
from layshaft.machine import paths, schema
from layshaft.machine.document import Node, TextNode
from layshaft.machine.listings import names
from layshaft.machine.model import Machine
from layshaft.machine.schema import SOURCE_WORDS, Choice, Given, Key, Price, Thing, keys
from layshaft.machine.writing.render import flow

LONG = 20
"""Letters beyond which a field takes a whole line."""

SIZED, PLACED, SELDOM, UNSAID = ("What decides it first", "Where it sits", "Losses, wear and what is seldom touched",
                                 "What else can be said of it")
GROUPS = (SIZED, PLACED, SELDOM, UNSAID)
FOLDED = (SELDOM, UNSAID)
_PLACED = frozenset({"from", "to", "seats", "shaft", "seat", "module", "axis", "at", "line", "hangs on", "rewound from",
                     "winding seat", "along", "off", "between", "kind", "over people", "joins", "held by", "apex"})
_SELDOM = frozenset({
    "efficiency", "drag", "break away", "runout", "reliability", "wind up", "finish", "fillet", "fillets",
    "lubrication", "accuracy", "connecting link", "pulley loss", "state", "note", "about", "price", "lead time",
    "url", "ripple", "run up", "arms factor", "torsional stiffness", "stiffness", "backlash",
    "temperature factor", "length tolerance", "index error", "roughness", "friction", "creep", "factors",
    "grade", "floats", "engaged"})


def group_of(thing: str, path: str) -> str:
    """The group of a field, by the first of its keys within the thing."""
    first = re.split(r"[.\[]", path.removeprefix(f"{thing}."))[0]
    return PLACED if first in _PLACED else SELDOM if first in _SELDOM else SIZED


MOST_LISTED = 400
"""Sizes offered while one types; longer series are typed by name."""


@dataclass(frozen=True, slots=True)
class Sending:
    """How a form is sent, and what stands beside a field: what the draft changed, what was refused."""

    back: str = ""
    posts: str = 'method="post" action="/edit"'
    before: Machine | None = None
    refused: tuple[str, str, str] | None = None
    """Path, what was written there, why it was refused."""


@dataclass(frozen=True, slots=True)
class Field:
    """One value of a thing: its path, its key, and what stands there."""

    path: str
    label: str
    key: Key
    reads: Any
    there: Any


@dataclass(frozen=True, slots=True)
class Whole:
    """What the file says of a line that is written as a whole."""

    text: str


def things_at(machine: Machine, path: str) -> list[Thing]:
    """The thing a path names or belongs to, and the own listings it names, each with givens of its own."""
    thing = _whole(machine, paths.split(path) or ())
    if thing is None:
        return []
    chosen = {leaf.name.casefold() for leaf in thing.leaves if isinstance(leaf, Choice) and leaf.known}
    return [thing, *(part for name, part in (machine.parts or {}).items() if name.casefold() in chosen)]


def _whole(machine: Machine, steps: paths.Steps) -> Thing | None:
    """The innermost thing on the way that has a form of its own."""
    while steps:
        try:
            found = paths.in_model(machine, steps)
        except paths.NotThereError:
            found = None
        if isinstance(found, Thing) and not _inside(steps):
            return found
        steps = steps[:-1]
    return None


def _inside(steps: paths.Steps) -> bool:
    """A bush or a hub is shown with the seat it sits on."""
    return steps[0] == "shafts" and len(steps) > 4


def fields(thing: Thing, document: Node | None = None) -> Iterator[Field]:
    """Every value of a thing that can be written in one line, in the order of its keys; seats and idlers apart.

    With the file's `document` also what is written as a whole: lists that may grow, directions, places on shafts.
    """
    for name, (field, k) in keys(type(thing)).items():
        path, there = f"{thing.path}.{name}" if thing.path else name, getattr(thing, field)
        if document is not None:
            yield from _wholes(document, path, name, k, there)
        if document is None or not _one_by_one_is_refused(document, path, k.reads):
            yield from _fields(path, name, k, k.reads, there)


def _wholes(document: Node, path: str, label: str, k: Key, there: Any) -> Iterator[Field]:
    """The line of what is written as a whole; of a hub which kind it is."""
    if isinstance(k.reads, schema.KindOf):
        kind = paths.in_tree(document, (*(paths.split(path) or ()), "kind"))
        word = schema.Word(tuple(k.reads.kinds))
        yield Field(f"{path}.kind", f"{label}: kind", replace(k, reads=word), word, kind.text if isinstance(
            kind, TextNode) else "")
    elif is_whole(k.reads) or _one_by_one_is_refused(document, path, k.reads):
        node = paths.in_tree(document, paths.split(path) or ())
        grows = node is not None and isinstance(there, tuple) and isinstance(k.reads, schema.ListOf) and not isinstance(
            k.reads.item, schema.Ref)
        yield Field(path, f"{label}, all" if grows else label, k, k.reads, Whole("" if node is None else written(node)))


def _one_by_one_is_refused(document: Node, path: str, reads: Any) -> bool:
    """A list the file does not have yet is written at once: it cannot hold one value of three."""
    return isinstance(reads, schema.ListOf | schema.Row) and paths.in_tree(document, paths.split(path) or ()) is None


def is_whole(reads: Any) -> bool:
    """Whether a key is written as one line, whatever stands in it: a list that may grow, or what has no unit."""
    grows = isinstance(reads, schema.ListOf) and (reads.count is None or isinstance(reads.item, schema.Ref))
    return grows or isinstance(reads, schema.Direction | schema.SeatOn | schema.QuantityMap)


def written(node: Node) -> str:
    """A part of the file on one line, as the file would write it."""
    return node.text if isinstance(node, TextNode) else flow(node)


def _fields(path: str, label: str, k: Key, reads: Any, there: Any) -> Iterator[Field]:
    if isinstance(reads, schema.ListOf) and isinstance(there, tuple) and isinstance(
            reads.item, schema.Quantity | schema.Listing | schema.ListOf | schema.Word):
        words = _items(k, len(there)) if not isinstance(reads.item, schema.ListOf) else []
        for i, item in enumerate(there):
            called = f"{label}, {words[i]}" if words else f"{label} {i + 1}"
            yield from _fields(f"{path}[{i}]", called, k, reads.item, item)
    elif isinstance(reads, schema.Row):
        for i, (one, item) in enumerate(zip(reads.items, there, strict=True)):
            yield from _fields(f"{path}[{i}]", f"{label} {i + 1}", k, one, item)
    elif isinstance(there, Thing):
        for name, (field, inner) in keys(type(there)).items():
            yield from _fields(f"{path}.{name}", f"{label}: {name}", inner, inner.reads, getattr(there, field))
    elif isinstance(reads, schema.Quantity | schema.Listing | schema.Word | schema.YesNo | schema.Text | schema.Ref |
                    schema.Money):
        yield Field(path, label, k, reads, there)


def _items(k: Key, count: int) -> list[str]:
    """What the values of a list are called, where its meaning ends in as many names; a name has no figure in it."""
    named = re.split(r", | and ", k.meaning.rpartition(": ")[2] if ": " in k.meaning else k.meaning)
    words = named[-count:] if ": " not in k.meaning else named
    names = ": " in k.meaning and not any(re.search(r"\d", w) for w in words)
    return words if len(words) == count and (names or words == ["x", "y", "z"]) else []


def given_forms(machine: Machine, thing: Thing, way: Sending) -> str:
    """All fields of a thing by what they are about, what decides first before the rest. An HTML fragment.

    What is seldom touched, and what the file does not say, is folded; a fold that holds a refused field stands open.
    """
    groups: dict[str, list[Field]] = {title: [] for title in GROUPS}
    for f in fields(thing, machine.document):
        groups[group_of(thing.path, f.path) if _there(f) else UNSAID].append(f)
    return "".join(_group(machine, title, found, way) for title, found in groups.items() if found)


def _group(machine: Machine, title: str, found: list[Field], way: Sending) -> str:
    forms = "".join(field_form(machine, f, way) for f in found)
    inside = f'<div class="fact-list">{forms}</div>'
    if title not in FOLDED:
        return f'<h3 class="fact-group">{title}</h3>{inside}'
    guesses = sum(isinstance(f.there, Given) and f.there.is_guess for f in found)
    guessed = f", {guesses} of them guessed" if guesses else ""
    called = ", ".join(dict.fromkeys(re.split(r"[:,]| \d", f.label)[0] for f in found))
    refused = " open" if way.refused and any(f.path == way.refused[0] for f in found) else ""
    return (f'<details class="more"{refused}><summary>{title}: {len(found)}{guessed} <span class="of">{escape(called)}'
            f"</span></summary>{inside}</details>")


def _there(f: Field) -> bool:
    if isinstance(f.there, Whole):
        return f.there.text != ""
    if isinstance(f.there, Given | Choice):
        return f.there.state != "missing"
    if isinstance(f.there, Price):
        return f.there.known
    return f.there not in (None, "", {}, ())


def text_of(there: Any) -> str:
    """A value as the file writes it; blank for one the train worked out, which the file leaves to it."""
    if isinstance(there, Given):
        return there.written
    if isinstance(there, Choice):
        return there.name if there.state != "missing" else ""
    if isinstance(there, bool):
        return "yes" if there else "no"
    if isinstance(there, Whole):
        return there.text
    return there.written if isinstance(there, Price) else str(there or "")


def _was(before: Machine | None, f: Field) -> str:
    steps = paths.split(f.path)
    try:
        if before is None or not steps:
            return ""
        if isinstance(f.there, Whole) or steps[-1] == "kind":
            node = paths.in_tree(before.document, steps)
            return "" if node is None else written(node)
        return text_of(paths.in_model(before, steps))
    except paths.NotThereError:
        return ""


def field_form(machine: Machine, f: Field, way: Sending, more: str = "") -> str:
    """One field with what belongs to it; without scripts it is sent by its own button. `more` is said below it."""
    name, text, was = anchor("given", f.path), text_of(f.there), _was(way.before, f)
    moved = (f'<span class="moved"><span class="unseen">was </span><s>{escape(was)}</s></span>'
             if was and was != text else "")
    guess = f" {GUESS}" if isinstance(f.there, Given) and f.there.is_guess else ""
    said = way.refused if way.refused and way.refused[0] == f.path else None
    why = f'<p class="why" id="{name}-why">{escape(said[2])}</p>' if said else ""
    css = "fact fact-long" if len(text) > LONG else "fact"
    field = _input(machine, f, name, said[1] if said else text, wrong=said is not None)
    return (
        f'<form class="{css}" {way.posts}><input type="hidden" name="path" value="{escape(f.path)}">'
        f'<input type="hidden" name="back" value="{escape(way.back)}">'
        f'<label for="{name}">{escape(f.label)}</label>{field}{moved}{guess}'
        f'{_doubt(f, name)}<button class="plain">Try it</button>{why}'
        f'<p class="about-fact" id="{name}-about">{_about(f)}{f" {escape(more)}" if more else ""}</p></form>')


def _about(f: Field) -> str:
    """Meaning and example as markup; the example of a list belongs to all of it and is left out."""
    if f.key.meaning.casefold() == f.label.casefold():
        return ""
    meaning = re.sub(r"`([^`]+)`", r"<code>\1</code>", escape(f.key.meaning[:1].upper() + f.key.meaning[1:]))
    one = isinstance(f.key.reads, schema.Quantity) or isinstance(f.there, Whole)
    return f"{meaning}.{f' For instance {escape(f.key.example)}.' if one and f.key.example else ''}"


def asked_line(machine: Machine, f: Field, label: str, typed: str, why: str) -> str:
    """One field of a form that asks for many, sent under its path; its example stands in it in grey."""
    name = anchor("line", f.path)
    now = "" if text_of(f.there) == "open" else text_of(f.there)
    grey = f.key.example if isinstance(f.key.reads, schema.Quantity) or isinstance(f.there, Whole) else ""
    said = f'<span class="why" id="{name}-why">{escape(why)}</span>' if why else ""
    return (f'<p class="blank"><label for="{name}">{escape(label)}</label>'
            f"{_input(machine, f, name, typed or now, wrong=bool(why), sent=f.path, grey=grey)}"
            f'<span class="case" id="{name}-about">{_about(f)}</span>{said}</p>')


def _input(machine: Machine, f: Field, name: str, value: str, *, wrong: bool = False, sent: str = "value",
           grey: str = "") -> str:
    common = f'id="{name}" name="{escape(sent)}" aria-describedby="{f"{name}-why " if wrong else ""}{name}-about"'
    common += ' aria-invalid="true"' if wrong else ""
    options = _choices(machine, f)
    if options is not None and not isinstance(f.reads, schema.Listing):
        return f"<select {common}>{_options(options, value)}</select>"
    if isinstance(f.there, Given) and f.there.known and not value:
        grey = f"worked out: {short(f.there.nominal, f.there.dimension)}"
    common += f' placeholder="{escape(grey)}"' if grey else ""
    listed = ""
    if options:
        items = "".join(f'<option value="{escape(o)}"></option>' for o in options[:MOST_LISTED])
        common += f' list="{name}-list"'
        listed = f'<datalist id="{name}-list">{items}</datalist>'
    return f'<input {common} value="{escape(value)}" autocomplete="off" spellcheck="false">{listed}'


def _choices(machine: Machine, f: Field) -> list[str] | None:
    """The words a field takes; None where it takes any."""
    if isinstance(f.reads, schema.Word):
        return list(f.reads.choices)
    if isinstance(f.reads, schema.YesNo):
        return ["yes", "no"]
    if isinstance(f.reads, schema.Ref):
        return [*(getattr(machine, f.reads.collection) or {}), *f.reads.also]
    return names(machine, f.reads.what) if isinstance(f.reads, schema.Listing) else None


def _options(options: list[str], value: str) -> str:
    there = options if value in options else ["", *options]
    return "".join(f'<option{" selected" if o == value else ""}>{escape(o)}</option>' for o in there)


def _doubt(f: Field, name: str) -> str:
    """Spread, source and note of a quantity, folded away behind the word it stands on."""
    if not isinstance(f.there, Given):
        return ""
    g = f.there
    ends = [short(e, g.dimension) if g.doubtful and e is not None else "" for e in (g.low, g.high)]
    stands = (f"{g.source}, {ends[0]} to {ends[1]}" if ends[0] else g.source) if g.known else "not known"
    if g.cause and g.cause != g.path and g.known:
        stands = f"{short(g.nominal, g.dimension)} from {part_words(g.cause)}, {stands}"
    inputs = "".join(
        f'<label for="{name}-{word}">{words}</label><input id="{name}-{word}" name="{word}" value="{escape(text)}" '
        f'autocomplete="off">' for word, words, text in
        (("low", "at least", ends[0]), ("high", "at most", ends[1]), ("note", "note", g.note)))
    source = (f'<label for="{name}-source">source</label><select id="{name}-source" name="source">'
              f"{_options(list(SOURCE_WORDS), g.source if g.known else '')}</select>")
    said = f'{escape(stands)} <span class="of">change</span>'
    return f'<details class="fact-doubt"><summary>{said}</summary><div>{inputs}{source}</div></details>'
