"""What a removal takes along, what it leaves behind and why, in words."""

from __future__ import annotations

from typing import NamedTuple

from layshaft.faces.pages.words import part_words
from layshaft.machine.kinds import Hub
from layshaft.machine.leftovers import Alone, Stays, leftovers
from layshaft.machine.model import Machine, Shaft
from layshaft.machine.shaping import removal, stranded
from layshaft.trace.errors import BadInput

ONLY_BEGUN = "nothing drove it before either: it may only be begun, so it is not ticked"


class Offered(NamedTuple):
    """One line of the form: a shaft or seat in words, and why it is not ticked, where it is not."""

    path: str
    words: str
    ticked: bool
    why: str = ""


class Staying(NamedTuple):
    """What stays, and the reason as a clause."""

    words: str
    why: str


class Leaving(NamedTuple):
    """The form that removes a thing; `why` is what stands against it, and then the rest is empty."""

    why: str = ""
    hangs: tuple[str, ...] = ()
    alone: tuple[Offered, ...] = ()
    stays: tuple[Staying, ...] = ()
    options: tuple[str, ...] = ()


def leaving_of(machine: Machine, path: str) -> Leaving:
    """What the form of one thing says."""
    try:
        found = leftovers(machine, path)
    except BadInput as why:
        return Leaving(str(why))
    ticked = [a.path for a in found.alone if a.before]
    return Leaving("", tuple(part_words(g) for g in found.goes if g != path),
                   tuple(Offered(a.path, alone_words(machine, a), a.before, "" if a.before else ONLY_BEGUN)
                         for a in found.alone),
                   tuple(Staying(part_words(s.path), stays_words(machine, s)) for s in found.stays),
                   tuple(stranded(machine, removal(machine, path, *ticked))))


def alone_words(machine: Machine, alone: Alone) -> str:
    """A shaft with its bearings and seats, or a seat, with what else goes along."""
    steps = alone.path.split(".")
    shaft = machine.shafts[steps[1]]
    if len(steps) > 2:
        return f"the seat {steps[3]} on {shaft.name}{_with_its(shaft, steps[3])}"
    words = f"the shaft {shaft.name}, which nothing drives and nothing needs then{_seats_words(shaft)}"
    return words + (f"; with it {', '.join(part_words(p) for p in alone.along)}" if alone.along else "")


def _seats_words(shaft: Shaft) -> str:
    held = [s.name for s in shaft.seats.values() if s.carries_shaft]
    other = [s.name for s in shaft.seats.values() if not s.carries_shaft]
    said = [f"{count} ({', '.join(names)})" for names, count in (
        (held, _counted(len(held), "bearing")), (other, _counted(len(other), "seat"))) if names]
    return f", with {' and '.join(said)}" if said else ""


def _counted(count: int, what: str) -> str:
    return f"its {what}" if count == 1 else f"its {count} {what}s"


def _with_its(shaft: Shaft, name: str) -> str:
    seat = shaft.seats[name]
    there = {"key": seat.key_size.state != "missing", "hub": type(seat.hub) is not Hub}
    found = [word for word, has in there.items() if has]
    return f" with its {' and '.join(found)}" if found else ""


def stays_words(machine: Machine, stays: Stays) -> str:
    """Why something stays, as a clause."""
    because = part_words(stays.because)
    if stays.why == "joins":
        stage = machine.stages[stays.because.split(".", 1)[1]]
        other = stage.from_ if stays.path == f"shafts.{stage.to}" else stage.to
        return f"{because} joins it to {'the frame' if other == 'frame' else other}"
    too = " too" if ".seats." in stays.path else ""
    return {"drives": f"{because} drives it", "sits": f"{because} sits on it{too}",
            "asks": f"{because} needs it", "carries": "it carries the shaft"}[stays.why]
