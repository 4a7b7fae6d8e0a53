"""What may be added inside what is there: idlers of a chain, pieces of a wheel, loads of a frame, acts of a run.

Each is asked like any other addition, with the thing it belongs to as its first question.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import Any

from layshaft.machine import schema
from layshaft.machine.kinds import Brake, Carried, Crank, EndlessLoop
from layshaft.machine.model import Machine
from layshaft.machine.schema import Key, Thing, keys

OF = "belongs to"
STANDS_ON = "carries"
A_FORCE = "a force that is stated"
TITLES = {"idlers": "idler", "carries": "carried load", "acts": "act of the run", "winding": "winding in the run",
          "brakes": "braking in the run"}
ASKED = {"idlers": ("teeth", "along", "off", "runs"), "carries": ("force", "at"), "acts": ("at",),
         "winding": ("at", "crank", "lasts"), "brakes": ("at", "brake", "lasts")}
ONLY = {"crank": ("drives", Crank), "brake": ("loads", Brake)}
"""Names that only some of a collection fit."""


@dataclass(frozen=True, slots=True)
class Place:
    """Where something of a kind may be added: its key, its word under `kind`, and the paths of what it goes into."""

    key: str
    word: str
    kind: type
    holders: tuple[str, ...]


def places(machine: Machine) -> Iterator[Place]:
    """Every kind that something there may hold, seats apart; a run may have its acts as soon as a load is there."""
    found: dict[tuple[str, str, type], list[str]] = {}
    for thing in (*_things(machine), machine.programme):
        for name, (_, k) in keys(type(thing)).items():
            for word, kind in kinds_of(k.reads).items() if name != "seats" else ():
                if name != "winding" or any(isinstance(d, EndlessLoop) for d in machine.drives.values()):
                    found.setdefault((name, word, kind), []).append(thing.path)
    for (name, word, kind), holders in found.items():
        first = sorted(holders, key=lambda path: len(_idlers(machine, path))) if name == "idlers" else holders
        yield Place(name, word, kind, tuple(first))


def _idlers(machine: Machine, path: str) -> Mapping[str, Any]:
    return getattr(machine.stages.get(path.partition(".")[2]), "idlers", None) or {}


def other_strand(machine: Machine, place: Place) -> bool:
    """Whether the first chain has an idler on the strand that an example would stand on: there is one for each."""
    return place.key == "idlers" and any(i.off.nominal < 0 for i in _idlers(machine, place.holders[0]).values())


def _things(machine: Machine) -> Iterator[Thing]:
    for field, k in keys(Machine).values():
        if isinstance(k.reads, schema.MapOf | schema.KindMap):
            yield from (getattr(machine, field) or {}).values()


def kinds_of(reads: Any) -> Mapping[str, type]:
    """Kinds of a collection by their words; one without kinds has a blank word."""
    if isinstance(reads, schema.KindMap):
        return reads.kinds
    return {"": reads.item} if isinstance(reads, schema.MapOf) else {}


def asked(place: Place) -> tuple[str, ...]:
    """Keys asked of it: those it cannot do without, and those that say the least there is to say."""
    told = ASKED.get(place.key, ())
    return tuple(name for name, (_, k) in keys(place.kind).items()
                 if k.required or name in told or (place.key == "made of" and name not in ("density", "note")))


def fitting(machine: Machine, name: str, k: Key) -> tuple[str, ...]:
    """Names a key may bear."""
    assert isinstance(k.reads, schema.Ref)
    there = getattr(machine, k.reads.collection) or {}
    only = ONLY.get(name)
    return tuple(n for n, thing in there.items() if only is None or only[0] != k.reads.collection
                 or isinstance(thing, only[1]))


def bearings(machine: Machine) -> tuple[str, ...]:
    """Paths of the seats that hold a shaft."""
    return tuple(seat.path for shaft in machine.shafts.values() for seat in shaft.seats.values() if seat.carries_shaft)


def carries_bearing(kind: type, said: Mapping[str, str], body: dict[str, Any]) -> None:
    """What a frame carries: the load of a bearing instead of a force, where one was named."""
    if kind is Carried and said.get(STANDS_ON, A_FORCE) != A_FORCE:
        words = said[STANDS_ON].split(".")
        body |= {"shaft": words[1], "seat": words[3]}
        body.pop("force", None)
