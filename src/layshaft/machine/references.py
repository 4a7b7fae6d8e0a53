"""The reference pass: names that must exist, quantities shared by ``same as``, and what must fit."""

from __future__ import annotations

import functools
from collections.abc import Iterator, Sequence
from dataclasses import replace
from typing import Any, NamedTuple

from layshaft.listings.tables import table
from layshaft.machine import fitting, listings, paths, schema, trims
from layshaft.machine.errors import MachineErrors, Problem
from layshaft.machine.kinds import PARTS
from layshaft.machine.model import Machine, Shaft
from layshaft.machine.paths import NotThereError, Steps
from layshaft.machine.quantities import Pending, limits
from layshaft.machine.schema import Choice, Given, Mark, Thing, keys
from layshaft.machine.sentences import references as say

HOLDS_AGAINST_FRAME = ("Ratchet", "OneWayHub")
FRAME = "frame"


def checked(machine: Machine, pending: Sequence[Pending], before: Machine | None = None) -> Machine:
    """The machine with shared quantities filled in. Raises `MachineErrors`.

    Things that are the very same in `before`, a machine that passed, are not looked at again, as
    long as no name came or went.
    """
    problems: list[Problem] = []
    machine = _shared(machine, pending, problems)
    machine = _held_by_frame(machine)
    passed = set() if before is None or not _same_names(machine, before) else set(map(id, things(before)))
    for thing in things(machine):
        if id(thing) not in passed:
            _references(machine, thing, problems)
            _listings(machine, thing, problems)
    _modes(machine, problems)
    trims.check(machine, problems)
    if not problems:  # what follows takes every name for granted
        fitting.check(machine, passed, problems)
    if problems:
        raise MachineErrors(problems)
    return machine


def _modes(machine: Machine, problems: list[Problem]) -> None:
    """A required margin of a mode nobody rates would be ignored in silence."""
    known = table("required_margins").names
    for name, given in (machine.margins or {}).items():
        if name not in known:
            problems.append(Problem(given.mark, say.unknown_mode(name, known)))
    factors = table("gear_factors").names
    for stage in machine.stages.values():
        for name, given in (getattr(stage, "factors", None) or {}).items():
            if name not in factors:
                problems.append(Problem(given.mark, say.unknown_factor(f"{stage.path}.factors", name, factors)))


def _same_names(machine: Machine, before: Machine) -> bool:
    """Every name and every part stands in both."""
    if machine.parts is not before.parts and (machine.parts or before.parts):
        return False
    for one, other in ((machine.modules, before.modules), (machine.drives, before.drives),
                       (machine.shafts, before.shafts), (machine.loads, before.loads), (machine.stages, before.stages)):
        if one is not other and one.keys() != other.keys():
            return False
    return machine.shafts is before.shafts or all(
        shaft.seats is before.shafts[name].seats or shaft.seats.keys() == before.shafts[name].seats.keys()
        for name, shaft in machine.shafts.items())


def things(machine: Machine) -> Iterator[Thing]:
    """Every thing of the machine that names others."""
    for shaft in machine.shafts.values():
        yield shaft
        for seat in shaft.seats.values():
            yield seat
            if seat.rubs:
                yield seat.bush
            if seat.hub.stated:
                yield seat.hub
    for member in machine.frames.values():
        yield from member.carries.values()
    for collection in (machine.frames, machine.drives, machine.stages, machine.loads, machine.fixings, machine.springs,
                       machine.partings, machine.wants):
        yield from collection.values()
    yield machine.programme
    for acts in (machine.programme.acts, machine.programme.winding, machine.programme.brakes):
        yield from acts.values()


class _Naming(NamedTuple):
    """The fields of a kind that hold names."""

    refs: tuple[tuple[str, str, schema.Ref], ...]
    listings: tuple[tuple[str, str], ...]
    seats: tuple[tuple[str, str, schema.SeatOn], ...]


@functools.cache
def _naming(kind: Any) -> _Naming:
    refs, sizes, seats = [], [], []
    for file_key, (field, k) in keys(kind).items():
        reads = k.reads.item if isinstance(k.reads, schema.ListOf) else k.reads
        if isinstance(reads, schema.Ref):
            refs.append((file_key, field, reads))
        elif isinstance(reads, schema.Listing):
            sizes.append((field, reads.what))
        elif isinstance(reads, schema.SeatOn):
            seats.append((file_key, field, reads))
    return _Naming(tuple(refs), tuple(sizes), tuple(seats))


def naming(thing: Thing) -> _Naming:
    """Which fields of a thing name other things."""
    kind: Any = type(thing)
    return _naming(kind)


def mark_of(machine: Machine, path: str, thing: Thing) -> Mark:
    """The place of what stands at a path, or of the thing it belongs to."""
    steps = paths.split(path)
    node = None if steps is None else paths.in_tree(machine.document, steps)
    return thing.mark if node is None else node.mark


def _many(value: Any) -> tuple[Any, ...]:
    return value if isinstance(value, tuple) else (value,)


def _references(machine: Machine, thing: Thing, problems: list[Problem]) -> None:
    named = naming(thing)
    lost = False
    for file_key, field, reads in named.refs:
        known = getattr(machine, reads.collection)
        for name in _many(getattr(thing, field)):
            if name and name not in known and name not in reads.also:
                path = f"{thing.path}.{file_key}"
                choices = [*known, *reads.also]
                sentence = say.unknown_reference(path, name, reads.collection[:-1], choices)
                problems.append(Problem(mark_of(machine, path, thing), sentence))
                lost = True
    if lost:
        return
    for file_key, field, on in named.seats:
        for shaft_field, seat in zip(on.shafts, _many(getattr(thing, field)), strict=True):
            shaft = machine.shafts.get(getattr(thing, shaft_field))
            if shaft is not None and seat not in shaft.seats:
                _no_seat(machine, thing, file_key, shaft, seat, problems)


def _no_seat(machine: Machine, thing: Thing, file_key: str, shaft: Shaft, seat: str,
             problems: list[Problem]) -> None:
    steps = paths.split(f"{thing.path}.{file_key}")
    written = steps is not None and paths.in_tree(machine.document, steps) is not None
    path = f"{thing.path}.{file_key}"
    sentence = say.unknown_seat if written else say.no_default_seat
    said = sentence(path, seat, shaft.name, list(shaft.seats))
    problems.append(Problem(mark_of(machine, path, thing), said))


def _listings(machine: Machine, thing: Thing, problems: list[Problem]) -> None:
    for field, what in naming(thing).listings:
        for choice in _many(getattr(thing, field)):
            if choice.known and listings.resolve(machine, what, choice.name) is None:
                problems.append(Problem(choice.mark, _unlisted(machine, what, choice)))


def _unlisted(machine: Machine, what: str, choice: Choice) -> str:
    for name, part in machine.parts.items():
        if name.casefold() == choice.name.casefold():
            kind = next(word for word, kind in PARTS.items() if type(part) is kind)
            return say.part_of_another_kind(choice.path, choice.name, kind, what)
    return say.unknown_listing(choice.path, choice.name, what, listings.names(machine, what),
                               what in listings.TABLES)


def _held_by_frame(machine: Machine) -> Machine:
    """A stage that holds a shaft against the frame has one seat only."""
    for name, stage in machine.stages.items():
        if stage.to == FRAME and stage.seats[1]:
            machine = paths.replaced(machine, ("stages", name, "seats"), (stage.seats[0], ""))
    return machine


# Shared quantities.


def _shared(machine: Machine, pending: Sequence[Pending], problems: list[Problem]) -> Machine:
    if not pending:
        return machine
    waiting = {p.path: p for p in pending}
    done: dict[str, Given | None] = {}
    found: dict[Steps, list[tuple[Steps, Given]]] = {}
    for p in pending:
        given = _filled(machine, p, waiting, done, (), problems)
        if given is not None:
            steps = paths.split(p.path)
            assert steps is not None
            found.setdefault(steps[:2], []).append((steps[2:], given))
    filled = machine
    for where, givens in found.items():
        filled = paths.replaced(filled, where, _with(paths.in_model(machine, where), givens))
    return filled


def _with(thing: Any, givens: list[tuple[Steps, Given]]) -> Any:
    """A thing with its shared quantities: the very same as before while these are the same."""
    kept = thing.worked_out.get((_with,)) if isinstance(thing, Thing) else None
    if kept is not None and kept[0] == givens:
        return kept[1]
    filled = thing
    for steps, given in givens:
        filled = paths.replaced(filled, steps, given)
    if isinstance(thing, Thing):
        thing.worked_out[_with,] = givens, filled
    return filled


def _filled(machine: Machine, p: Pending, waiting: dict[str, Pending], done: dict[str, Given | None],
            trail: tuple[str, ...], problems: list[Problem]) -> Given | None:
    if p.path in done:
        return done[p.path]
    done[p.path] = None
    if p.path in trail or len(trail) > 20:
        problems.append(Problem(p.mark, say.same_as_circle(p.path, p.target)))
        return None
    target, sentence = _target(machine, p)
    if target is not None and target.path in waiting:
        if target.path in (*trail, p.path):
            problems.append(Problem(p.mark, say.same_as_circle(p.path, p.target)))
            return None
        target = _filled(machine, waiting[target.path], waiting, done, (*trail, p.path), problems)
        if target is None:
            return None
    if target is None:
        problems.append(Problem(p.mark, sentence))
        return None
    own = paths.in_model(machine, paths.split(p.path) or ())
    given: Given = replace(own, value=target.value, state=target.state, source=target.source, low=target.low,
                    high=target.high, note=own.note or target.note, who=target.who, when=target.when,
                    cause=target.cause)
    problems.extend(limits(given, p.reads))
    done[p.path] = given
    return given


def _target(machine: Machine, p: Pending) -> tuple[Given | None, str]:
    steps = paths.split(p.target)
    if steps is None:
        return None, say.not_a_path(p.path, p.target)
    try:
        found = paths.in_model(machine, steps)
    except NotThereError as why:
        return None, say.no_such_path(p.path, p.target, paths.joined(why.before), str(why.step), why.known)
    if not isinstance(found, Given):
        return None, say.same_as_no_quantity(p.path, p.target)
    if found.state == "missing":
        return None, say.same_as_missing(p.path, p.target)
    if found.dimension != p.reads.dimension:
        return None, say.same_as_dimension(p.path, p.target, found.dimension.name, p.reads.dimension.name)
    return found, ""
