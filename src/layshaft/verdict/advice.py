"""Advice on bearings where a life is the wrong question: those that creep, rock, or shake on the road."""

from __future__ import annotations

from collections.abc import Iterator

from layshaft.machine.model import Shaft
from layshaft.trace.formula import Remark
from layshaft.trace.source import Source
from layshaft.verdict.context import Context
from layshaft.verdict.kinds.bearings import life_is_asked

STANDING = Source("bearing handbooks", "bearings that stand, creep or rock count by static load", "common practice")
SHAKEN = Source("bearing handbooks", "false brinelling of bearings that stand and shake", "common practice")
CREEPS = Remark(
    "Turns below 10 rev/min: a rating life says nothing here, so none is given. It is judged by static load alone; "
    "rust, dirt and dents end it. Fill it with grease, seal it, and renew the grease.", STANDING, True)
ROCKS = Remark(
    "Rocks to and fro: a rating life says nothing here, so none is given. It is judged by static load alone. Balls "
    "that never roll over each other's track starve it of grease: turn it right round now and then, or take a bush.",
    STANDING, True)
ON_THE_ROAD = Remark(
    "On the road it stands and shakes: balls rub marks into one spot of their race (false brinelling), far below the "
    "static rating, and no method gives a margin. Take weights off the shaft, lock it so that it cannot rock, push it "
    "lightly to one side along its axis, and turn it by hand at every stop.", SHAKEN, True)


def bearing_advice(c: Context) -> Iterator[tuple[str, Remark]]:
    """Every remark with the path of its bearing."""
    for shaft in c.machine.shafts.values():
        said = _of_shaft(c, shaft)
        for seat in shaft.seats.values() if said else ():
            if seat.bearing.state != "missing":
                yield from ((f"{seat.path}.bearing", remark) for remark in said)


def _of_shaft(c: Context, shaft: Shaft) -> list[Remark]:
    found = []
    if not life_is_asked(c, shaft):
        found.append(ROCKS if shaft.rocks.known else CREEPS)
    if c.machine.transit.shock.known:
        found.append(ON_THE_ROAD)
    return found
