"""What stands there only for something that goes, and what stays beside it, with why."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any, Literal, NamedTuple

from layshaft.machine import schema
from layshaft.machine.errors import MachineErrors
from layshaft.machine.kinds import Drive, Load, Stage
from layshaft.machine.model import Machine
from layshaft.machine.options import apply
from layshaft.machine.schema import Thing, keys
from layshaft.machine.sentences.wording import clipped
from layshaft.machine.shaping import left_alone, naming, removal, thing_at, things
from layshaft.trace.errors import BadInput

Why = Literal["drives", "sits", "joins", "asks", "carries"]


class Alone(NamedTuple):
    """A shaft or a seat that serves nothing once the thing has gone, and what goes with it besides its own seats."""

    path: str
    along: tuple[str, ...] = ()
    before: bool = True
    """False for a shaft that nothing drove or needed before either: it may be one that is only begun."""


class Stays(NamedTuple):
    """A shaft or seat the thing sat on that stays, and what it stays for; blank for a bearing."""

    path: str
    why: Why
    because: str = ""


class Leftovers(NamedTuple):
    """What goes with a thing in any case, what stands there only for it, and what stays."""

    goes: tuple[str, ...]
    alone: tuple[Alone, ...]
    stays: tuple[Stays, ...]


def leftovers(machine: Machine, path: str) -> Leftovers:
    """All of it for one thing. Raises `BadInput` where it cannot go."""
    option = removal(machine, path)
    after = apply(machine, option)
    sat_on = list(dict.fromkeys(name for one in option["remove"] for name in _shafts_of(thing_at(machine, one))))
    shafts = _shafts_alone(machine, after, [name for name in sat_on if name in after.shafts])
    heads = tuple(f"{a.path}.seats." for a in shafts)
    seats = [s for s in left_alone(machine, option) if not s.startswith(heads)]
    alone = (*shafts, *(Alone(s) for s in seats if _can_go(machine, path, s)))
    gone = {a.path for a in alone}
    staying = [*(_shaft_stays(after, name) for name in sat_on if name in after.shafts and f"shafts.{name}" not in gone),
               *_seats_stay(machine, after, option["remove"], gone)]
    return Leftovers(tuple(option["remove"]), alone, tuple(s for s in staying if s is not None))


def _can_go(machine: Machine, path: str, more: str) -> bool:
    try:
        apply(machine, removal(machine, path, more))
    except MachineErrors:
        return False
    return True


def _shafts_alone(machine: Machine, after: Machine, names: list[str]) -> list[Alone]:
    """Shafts that nothing drives and nothing needs then: whole sets that stages still join go together."""
    found: dict[str, Alone] = {}
    for name in names:
        together = joined(after, name)
        if any(_needed(after, one) for one in together):
            continue
        before = any(_needed(machine, one) for one in joined(machine, name))
        for one in together:
            path = f"shafts.{one}"
            along = [g for g in removal(after, path)["remove"] if g != path]
            found.setdefault(path, Alone(path, tuple(along), before))
    return list(found.values())


def joined(machine: Machine, name: str) -> list[str]:
    """The shafts that stages join to one, and itself."""
    found = [name]
    for one in found:  # grows while it is walked
        ends = [e for s in machine.stages.values() if one in (s.from_, s.to) for e in (s.from_, s.to)]
        found += [e for e in dict.fromkeys(ends) if e in machine.shafts and e not in found]
    return found


def _needed(machine: Machine, name: str) -> bool:
    """Whether anything but a stage, and what only holds or carries its bearings, names a shaft."""
    return any(True for thing in _others(machine, name) if not isinstance(thing, Stage))


def _others(machine: Machine, name: str) -> Iterator[Thing]:
    """Drives, loads, wants and parts of the run that name a shaft, and stages that join it to another."""
    there = set(naming(machine, f"shafts.{name}"))
    for thing in things(machine):
        if thing.path in there and thing.path.split(".")[0] not in ("fixings", "frames"):
            yield thing
    if machine.programme.shaft == name or machine.programme.path in there:
        yield machine.programme


def _shaft_stays(machine: Machine, name: str) -> Stays | None:
    """The nearest reason why a shaft stays."""
    ranks: dict[type, tuple[int, Why]] = {Drive: (0, "drives"), Load: (1, "sits"), Stage: (2, "joins")}
    found: list[tuple[int, Why, str]] = []
    for thing in _others(machine, name):
        rank, why = next((r for kind, r in ranks.items() if isinstance(thing, kind) and name in _shafts_of(thing)),
                         (3, "asks"))
        found.append((rank, why, thing.path))
    if not found:
        return None
    _, why, because = min(found, key=lambda f: f[0])
    return Stays(f"shafts.{name}", why, because)


def _seats_stay(machine: Machine, after: Machine, going: list[str], gone: set[str]) -> Iterator[Stays]:
    """Seats it sat on that carry the shaft, or that something else sits on too."""
    for seat in dict.fromkeys(s for one in going for s in _seats_of(thing_at(machine, one))):
        shaft, name = seat.split(".")[1::2]
        there = after.shafts.get(shaft)
        if there is None or name not in there.seats or seat in gone or f"shafts.{shaft}" in gone:
            continue
        if there.seats[name].carries_shaft:
            yield Stays(seat, "carries")
        else:
            yield from (Stays(seat, "sits", other) for other in list(naming(after, seat))[:1])


def _shafts_of(thing: Any) -> list[str]:
    """Shafts a drive, stage or load sits on."""
    if not isinstance(thing, Drive | Stage | Load):
        return []
    return [str(getattr(thing, field)) for field, k in keys(type(thing)).values()
            if isinstance(k.reads, schema.Ref) and k.reads.collection == "shafts" and field != "governs"]


def _seats_of(thing: Any) -> list[str]:
    """Paths of the seats a drive, stage or load sits on."""
    found = []
    for field, k in keys(type(thing)).values() if isinstance(thing, Drive | Stage | Load) else ():
        if isinstance(k.reads, schema.SeatOn):
            seats = getattr(thing, field)
            named = [seats] if isinstance(seats, str) else list(seats or ())
            found += [f"shafts.{getattr(thing, end)}.seats.{seat}"
                      for end, seat in zip(k.reads.shafts, named, strict=False) if getattr(thing, end) != "frame"]
    return found


def take_out(machine: Machine, path: str, also: list[str]) -> dict[str, Any]:
    """The option that removes a thing and, of what stands there only for it, what was chosen. Raises `BadInput`."""
    offered = {a.path for a in leftovers(machine, path).alone} if also else set()
    strange = [a for a in also if a not in offered]
    if strange:
        raise BadInput(f"'{clipped(strange[0])}' does not stand there only for it any more. Look at the list again.")
    return removal(machine, path, *also)
