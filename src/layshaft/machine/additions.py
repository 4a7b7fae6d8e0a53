"""What may be added to a machine, and where: the questions to ask, and the option that adds it.

Everything comes from the kinds: a thing that sits on a shaft gets a seat of its own in the widest gap,
what may stay open is left open, and a required number starts as the example of its key, marked as assumed.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from itertools import pairwise
from typing import Any

import numpy as np

from layshaft.machine import schema
from layshaft.machine.inner_additions import (
    A_FORCE,
    OF,
    STANDS_ON,
    TITLES,
    asked,
    bearings,
    carries_bearing,
    fitting,
    kinds_of,
    other_strand,
    places,
)
from layshaft.machine.kinds import Carried, Crank, Fixing, InLine, Motor, Stage
from layshaft.machine.model import Machine, Shaft
from layshaft.machine.schema import Key, keys
from layshaft.machine.sentences.wording import clipped
from layshaft.machine.shape import NAME
from layshaft.trace.errors import BadInput
from layshaft.trace.units import LENGTH, parse_quantity, shown

NEW_SHAFT = "a new shaft"
FRAME = "frame"
HOLDS = "holds the bearing"
TO_FRAME = ("ratchet", "one-way hub")
"""Stages that may hold a shaft against the frame."""

ONE_OF = {"falling weight": ("mass", "diameter", "suspension")}
"""Kinds whose open keys stand for one another: those that are left open at first."""

ALSO_ASKED = {"wants": ("shaft", "speed")}
SEAT_KINDS = ("bearing", "key", "nothing yet")
LONGEST_NAME = 60
NEAR_END, AT_END = 0.015, "15 mm"
"""m; where half a coupling sits, from the end of its shaft."""

AT_THE_END = (Crank, Motor)
BESIDE, OVERHANG, SEAT_PATH = 0.060, 0.030, 4
"""m; a seat outside the bearings from the last one, and the shaft behind it; steps of a seat's path."""

TO_BE_SETTLED = "taken from an example when it was added: settle it"
NOT_SAID = "not said yet"
Answers = Mapping[str, str]


@dataclass(frozen=True, slots=True)
class Question:
    """One thing to say of what is added: the words it may be, where there are few, and a first answer."""

    key: str
    words: str
    text: str
    choices: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Addition:
    """A kind of thing that fits into the machine as it stands."""

    collection: str
    kind: str
    """Its word under `kind`; blank where the collection has no kinds."""

    title: str
    questions: tuple[Question, ...]


def additions(machine: Machine) -> list[Addition]:
    """Everything that may be added, each with its questions."""
    found = []
    for name, (_, k) in keys(Machine).items():
        kinds = kinds_of(k.reads)
        for word, kind in kinds.items():
            questions = _questions(machine, name, word, kind)
            if questions is not None:
                title = word or name.removesuffix("s")
                found.append(Addition(name, word, title, tuple(questions)))
    return [*found, *_seats(machine), *_inside(machine)]


def addition(machine: Machine, collection: str, kind: str) -> Addition:
    """One of them. Raises `BadInput` where it does not fit, or not any more."""
    for one in additions(machine):
        if (one.collection, one.kind) == (collection, kind):
            return one
    raise BadInput(f"A {kind or collection.removesuffix('s')} cannot be added to the machine as it stands.")


def option_of_addition(machine: Machine, what: Addition, name: str, answers: Answers) -> dict[str, Any]:
    """The option that adds it under a name. Raises `BadInput` for a name or a place that cannot be."""
    name = usable_name(name)
    said = {q.key: answers.get(q.key, "").strip() or q.text for q in what.questions}
    _must_be_offered(what, said)
    if OF in said:
        return _inner_option(machine, what, name, said)
    if what.collection == "seats":
        return _seat_option(machine, name, said)
    kind = kinds_of(keys(Machine)[what.collection][1].reads)[what.kind]
    if what.collection == "shafts":
        return {"add": {f"shafts.{name}": _shaft(said["module"], said["axis"], {})}}
    adds: dict[str, Any] = {}
    body: dict[str, Any] = {"kind": what.kind} if what.kind else {}
    body |= _said(kind, said)
    if HOLDS in said:
        words = said[HOLDS].split(".")
        body |= {"shaft": words[1], "seat": words[3]}
    _with_seats(machine, kind, name, said, body, adds)
    adds[f"{what.collection}.{name}"] = body
    longer = _longer(machine, adds) if issubclass(kind, AT_THE_END) else {}
    return {"add": adds, **({"set": longer} if longer else {})}


def usable_name(name: str) -> str:
    """A name as a form takes it. Raises `BadInput` for one that the file could not hold, or no page could show."""
    name = name.strip()
    if not NAME.fullmatch(name) or "  " in name:
        raise BadInput(f"'{clipped(name)}' cannot be a name. Names hold letters, digits, single blanks and hyphens, "
                       "and begin with a letter or digit.")
    if len(name) > LONGEST_NAME:
        raise BadInput(f"'{clipped(name)}' is too long for a name: {len(name)} letters. {LONGEST_NAME} are the most a "
                       "form takes.")
    return name


def _must_be_offered(what: Addition, said: Answers) -> None:
    """An answer out of a few must be one of them."""
    for q in what.questions:
        if q.choices and said[q.key] not in q.choices:
            raise BadInput(f"'{said[q.key][:60]}' is not offered for '{q.key}' of a {what.title}. "
                           f"Choose one of: {', '.join(q.choices)}.")


# Questions -----------------------------------------------------------------------------------------


def _questions(machine: Machine, collection: str, word: str, kind: type) -> list[Question] | None:
    """The questions of a kind; None where nothing of it fits."""
    if collection == "shafts":
        return [Question("module", "module it belongs to", next(iter(machine.modules)), tuple(machine.modules)),
                Question("axis", "direction of the axis", "x", ("x", "y", "z"))] if machine.modules else None
    found: list[Question] = []
    for name, (_, k) in keys(kind).items():
        wanted = k.required or name in ALSO_ASKED.get(collection, ())
        if not wanted or (issubclass(kind, Stage) and name == "to"):
            continue
        question = _question(machine, name, k)
        if question is None:
            return None
        found.append(question)
    if issubclass(kind, Stage):
        ends = _ends(machine, word)
        found.append(Question("to", "shaft it goes to", ends[0], ends))
    if issubclass(kind, Fixing):
        held = bearings(machine)
        if not held:
            return None
        found.append(Question(HOLDS, "bearing whose load it takes", held[0], held))
    return found


def _question(machine: Machine, name: str, k: Key) -> Question | None:
    """The question of one key; None where what it must name is not there."""
    reads, words = k.reads, k.meaning
    if isinstance(reads, schema.Ref):
        names = fitting(machine, name, k)
        return Question(name, words, names[0], names) if names else None
    if isinstance(reads, schema.ListOf) and isinstance(reads.item, schema.Ref):
        names = tuple(getattr(machine, reads.item.collection) or {})
        count = reads.count or 1
        return Question(name, words, ", ".join(names[:count])) if len(names) >= count else None
    if isinstance(reads, schema.Word):
        return Question(name, words, k.example if k.example in reads.choices else reads.choices[0], reads.choices)
    if isinstance(reads, schema.YesNo):
        return Question(name, words, k.example or "yes", ("yes", "no"))
    if isinstance(reads, schema.Text):  # an example of somebody's words would stand there as if it had been said
        return Question(name, words, NOT_SAID)
    return Question(name, words, k.example)


def _ends(machine: Machine, word: str) -> tuple[str, ...]:
    """Where a stage may go; what does not fit the shaft it comes from is said when it is tried."""
    held = (FRAME,) if word in TO_FRAME else ()
    return (*held, NEW_SHAFT, *machine.shafts)


def _seats(machine: Machine) -> Iterator[Addition]:
    shafts = tuple(machine.shafts)
    if shafts:
        yield Addition("seats", "", "seat", (
            Question("shaft", "shaft it is on", shafts[0], shafts),
            Question("at", "distance from the start of the shaft; blank for the widest gap", ""),
            Question("holds", "what sits there", SEAT_KINDS[0], SEAT_KINDS)))


def _inside(machine: Machine) -> Iterator[Addition]:
    """What goes into a thing that is there."""
    for place in places(machine):
        known = keys(place.kind)
        found = [_question(machine, name, known[name][1]) for name in asked(place)]
        if any(q is None for q in found):
            continue
        if other_strand(machine, place):
            found = [replace(q, text=q.text.removeprefix("-")) if q and q.key == "off" else q for q in found]
        first = [Question(OF, "what it belongs to", place.holders[0], place.holders)]
        if place.kind is Carried:
            ways = (A_FORCE, *bearings(machine))
            first.append(Question(STANDS_ON, "bearing whose load it carries, or a force", A_FORCE, ways))
        yield Addition(place.key, place.word, place.word or TITLES.get(place.key, place.key),
                       (*first, *(q for q in found if q is not None)))


# Options -------------------------------------------------------------------------------------------


def _said(kind: type, said: Answers) -> dict[str, Any]:
    """What was said, key by key, and `open` for what may be open."""
    body: dict[str, Any] = {}
    word = next((w for w, names in ONE_OF.items() if kind.__name__.lower() == w.replace(" ", "")), "")
    for name, (_, k) in keys(kind).items():
        if name in said:
            body[name] = _written(k, said[name])
        elif k.may_be_open and (not word or name in ONE_OF[word]):
            body[name] = "open"
    return body


def _written(k: Key, text: str) -> Any:
    """One answer as the file says it: an example that nobody changed is a guess."""
    if isinstance(k.reads, schema.Quantity) and text == k.example:
        return {"value": text, "source": "assumed", "note": TO_BE_SETTLED}
    if isinstance(k.reads, schema.ListOf):
        return [part.strip() for part in text.strip("[] ").split(",")]
    return text


def _with_seats(machine: Machine, kind: type, name: str, said: Answers, body: dict[str, Any],
                adds: dict[str, Any]) -> None:
    """A seat of its own on every shaft it sits on; a new shaft where one is asked for."""
    for key_name, (_, k) in keys(kind).items():
        if not isinstance(k.reads, schema.SeatOn):
            continue
        ends = [_file_key(kind, field) for field in k.reads.shafts]
        seats = []
        for end in ends:
            shaft = said.get(end, "")
            if end == "to" and shaft == NEW_SHAFT:
                body["to"] = free_name(machine.shafts, f"{name} shaft")
                adds[f"shafts.{body['to']}"] = _new_shaft(machine, machine.shafts[said[ends[0]]], kind, name)
                seats.append(name)
            elif shaft in machine.shafts:
                seat = free_name({**machine.shafts[shaft].seats, **_added(adds, shaft)}, name)
                adds[f"shafts.{shaft}.seats.{seat}"] = {"at": _place(machine, shaft, kind, said), "key": "open"}
                seats.append(seat)
            elif shaft == FRAME:
                seats.append(seats[0])
        if seats:
            body[key_name] = seats[0] if len(ends) == 1 else seats


def _file_key(kind: type, field: str) -> str:
    return next(name for name, (attribute, _) in keys(kind).items() if attribute == field)


def _added(adds: Mapping[str, Any], shaft: str) -> dict[str, Any]:
    head = f"shafts.{shaft}.seats."
    return {path.removeprefix(head): None for path in adds if path.startswith(head)}


def free_name(taken: Mapping[str, Any], name: str) -> str:
    """The name, or the first of `name 2`, `name 3` that nobody bears."""
    folded = {n.casefold() for n in taken}
    return next(n for n in (name, *(f"{name} {i}" for i in range(2, len(folded) + 3))) if n.casefold() not in folded)


def _new_shaft(machine: Machine, first: Shaft, kind: type, name: str) -> dict[str, Any]:
    """The shaft a stage goes to, its seat in the middle; of one in line, at its start, pointing away from the first."""
    axis = _axis(first, getattr(kind, "axes", ""))
    if not issubclass(kind, InLine):
        return _shaft(first.module, axis, {name: {"at": "150 mm", "key": "open"}})
    if not _free_end(machine, first)[1]:
        axis = [f"{-float(v) + 0.0:.9g}" for v in first.axis]
    return _shaft(first.module, axis, {name: {"at": AT_END, "key": "open"}}, "60 mm")


def _shaft(module: str, axis: Any, seats: Mapping[str, Any], left: str = "20 mm") -> dict[str, Any]:
    """A shaft whose steps and two bearings are open."""
    return {"module": module, "axis": axis, "material": "open", "sections": "open", "seats": {
        "left bearing": {"at": left, "bearing": "open"}, **seats,
        "right bearing": {"at": "280 mm", "bearing": "open"}}}


def _axis(first: Shaft, axes: str) -> list[str]:
    """The direction of a shaft beside the first one, or across it."""
    along = np.array(first.axis)
    if axes == "crossing":
        across = [np.cross(along, unit) for unit in np.eye(3)]
        along = max(across, key=lambda v: float(np.linalg.norm(v)))
        along = along / np.linalg.norm(along)
    return [f"{float(v):.9g}" for v in along]


def _place(machine: Machine, shaft: str, kind: type, said: Answers) -> str:
    """Where a new thing sits on a shaft: what joins two in line or is turned by hand at an end, else the widest gap."""
    there = machine.shafts[shaft]
    if issubclass(kind, AT_THE_END) and (beyond := _beyond(machine, there)):
        return beyond
    if issubclass(kind, InLine) and said.get("to") != FRAME and np.isfinite(_length(there)):
        return shown(round(_free_end(machine, there)[0], 4), LENGTH)
    return place_on(there)


def _beyond(machine: Machine, shaft: Shaft) -> str:
    """A place behind the last seat, outside of what holds the shaft; blank where another shaft goes on there."""
    at = [s.at.nominal for s in shaft.seats.values() if np.isfinite(s.at.nominal)]
    if not at or _goes_on(machine, shaft, max(at)):
        return ""
    return shown(round(max(at) + BESIDE, 4), LENGTH)


def _goes_on(machine: Machine, shaft: Shaft, at: float) -> bool:
    """Whether what sits at a place joins the shaft to another in line."""
    return any(shaft.seats[seat].at.nominal == at for stage in machine.stages.values()
               if isinstance(stage, InLine) and stage.to != FRAME
               for end, seat in zip((stage.from_, stage.to), stage.seats, strict=True) if end == shaft.name)


def _longer(machine: Machine, adds: Mapping[str, Any]) -> dict[str, str]:
    """Lengths of last steps that must grow so that a new seat has the shaft under it."""
    found = {}
    for path, body in adds.items():
        words = path.split(".")
        shaft = machine.shafts.get(words[1]) if words[0] == "shafts" and len(words) == SEAT_PATH else None
        if shaft is None or not np.isfinite(_length(shaft)):
            continue
        short = parse_quantity(body["at"], LENGTH).value + OVERHANG - _length(shaft)
        last = shaft.sections[-1][1]
        if short > 0:
            found[last.path] = shown(round(last.nominal + short, 4), LENGTH)
    return found


def _free_end(machine: Machine, shaft: Shaft) -> tuple[float, bool]:
    """A seat close to an end that no other shaft goes on from, and whether it is the far one; that with more room."""
    length = _length(shaft)
    at = [s.at.nominal for s in shaft.seats.values() if np.isfinite(s.at.nominal)]
    room = {True: length - max(at, default=0.0), False: min(at, default=0.0)}
    taken = {bool(shaft.seats[seat].at.nominal > length / 2) for stage in machine.stages.values()
             if isinstance(stage, InLine) and stage.to != FRAME
             for end, seat in zip((stage.from_, stage.to), stage.seats, strict=True) if end == shaft.name}
    free = [side for side in (True, False) if side not in taken]
    far = max(free, key=lambda side: round(room[side], 6), default=True)
    off = max(0.0, min(NEAR_END, room[far] / 2))
    return (length - off if far else off), far


def _length(shaft: Shaft) -> float:
    return sum(step.nominal for _, step in shaft.sections) if shaft.sections else np.nan


def place_on(shaft: Shaft) -> str:
    """The middle of the widest gap between the seats of a shaft."""
    at = sorted(s.at.nominal for s in shaft.seats.values() if np.isfinite(s.at.nominal))
    gaps = [(b - a, (a + b) / 2) for a, b in pairwise(at)]
    middle = max(gaps)[1] if gaps else (at[0] if at else 0.0) + 0.05
    return shown(round(middle, 4), LENGTH)


def _inner_option(machine: Machine, what: Addition, name: str, said: Answers) -> dict[str, Any]:
    """It as a part of the thing it belongs to."""
    kind = next(p.kind for p in places(machine) if (p.key, p.word) == (what.collection, what.kind))
    body: dict[str, Any] = ({"kind": what.kind} if what.kind else {}) | _said(kind, said)
    carries_bearing(kind, said, body)
    return {"add": {f"{said[OF]}.{what.collection}.{name}": body}}


def _seat_option(machine: Machine, name: str, said: Answers) -> dict[str, Any]:
    shaft = machine.shafts.get(said["shaft"])
    if shaft is None:
        raise BadInput(f"There is no shaft '{said['shaft']}'.")
    holds = {"bearing": {"bearing": "open"}, "key": {"key": "open"}}.get(said["holds"], {})
    return {"add": {f"{shaft.path}.seats.{name}": {"at": said["at"] or place_on(shaft), **holds}}}
