"""Advice on bearings where a life is the wrong question (they creep, rock, or shake on the road), and on bushes."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from layshaft.machine.bearing_pairs import thrust_seats
from layshaft.machine.model import Shaft
from layshaft.trace.formula import Remark
from layshaft.trace.source import Source
from layshaft.trace.units import FORCE, TORQUE, shown
from layshaft.train.bushes import NOTE, friction
from layshaft.verdict.context import Context
from layshaft.verdict.kinds.bearing_pairs import without_centre
from layshaft.verdict.kinds.bearings import life_is_asked

TOO_KIND = 1.5
LEAST_THRUST = 1.0
"""N; less than this is the weight of a washer."""

RUBS = Source("friction of a plain bush", "Coulomb, between dry and greased", "common practice")
STANDING = Source("bearing handbooks", "bearings that stand, creep or rock count by static load", "common practice")
SHAKEN = Source("bearing handbooks", "false brinelling of bearings that stand and shake", "common practice")
SET_BY_MAKER = Source("bearing handbooks", "adjusted pairs of angular contact and tapered roller bearings",
                      "common practice")
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


ADJUSTED = Remark(
    "Counted as set to neither play nor preload: how it is adjusted is not modelled. Preload adds to the load of both "
    "bearings, and so does a shaft that grows warmer than its housing where they stand face to face; play lets the "
    "shaft knock to and fro and unloads the balls or rollers of one side. Set it by its maker's figures, turning the "
    "shaft meanwhile, and keep hands out of what it drives.", SET_BY_MAKER, True)
NO_CENTRE = Remark(
    "Its list gives no load centre (`load centre` and `width`): reactions are taken at the middle of the bearing. Back "
    "to back they act farther apart, face to face nearer, where an overhung load weighs more.", SET_BY_MAKER, True)


def bearing_advice(c: Context) -> Iterator[tuple[str, Remark]]:
    """Every remark with the path of its bearing."""
    for shaft in c.machine.shafts.values():
        said = _of_shaft(c, shaft)
        yield from ((f"{shaft.seats[name].path}.bearing", ADJUSTED) for name in thrust_seats(c.machine, shaft))
        yield from ((f"{shaft.seats[name].path}.bearing", NO_CENTRE) for name in without_centre(c, shaft))
        for seat in shaft.seats.values() if said else ():
            if seat.bearing.state != "missing":
                yield from ((f"{seat.path}.bearing", remark) for remark in said)


def bush_advice(c: Context) -> Iterator[tuple[str, Remark]]:
    """A drag stated below the friction its load gives, and thrust that no bush holds."""
    for shaft in c.machine.shafts.values():
        rubbing = [(shaft.name, name) for name, seat in shaft.seats.items() if seat.rubs]
        for (_, name), torque in friction(c.solved, tuple(rubbing)).items():
            seat = shaft.seats[name]
            rubs, stated = float(np.mean(torque)), float(np.mean(seat.drag.value))
            if rubs > TOO_KIND * stated and seat.drag.note != NOTE:
                yield f"{seat.path}.drag", Remark(
                    f"It says {shown(stated, TORQUE)}, but under its running load the bush rubs with about "
                    f"{shown(rubs, TORQUE)}. Leave the drag out to have it counted, or measure it.", RUBS, True)
        held = [seat for seat in shaft.seats.values() if seat.bearing.state != "missing"]
        thrust = float(np.mean(np.abs(c.solved.loads[shaft.name].thrust[0])))
        if rubbing and not held and thrust > LEAST_THRUST:
            yield shaft.path, Remark(
                f"It pushes along its axis with {shown(thrust, FORCE)} while it runs, and a plain bush holds nothing "
                "that way. Give it a collar and a thrust washer, and rate them with their maker.", RUBS, True)


def _of_shaft(c: Context, shaft: Shaft) -> list[Remark]:
    found = []
    if not life_is_asked(c, shaft):
        found.append(ROCKS if shaft.rocks.known else CREEPS)
    if c.machine.transit.shock.known:
        found.append(ON_THE_ROAD)
    return found
