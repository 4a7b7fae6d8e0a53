"""What a number of the solved train follows from, in one line: torques on its shaft, its speed, the forces on it."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

import numpy as np

from layshaft.machine.model import Machine
from layshaft.trace.formula import Step
from layshaft.trace.units import FORCE, LENGTH, RATIO, SPEED, TORQUE, shown
from layshaft.train.solve import Solved
from layshaft.verdict.context import FromTrain

NOTHING = 1e-9
"""Of the largest torque or force on a shaft: what is less is told as none."""

LEFT = 1e-6
"""Of the largest torque on a shaft: what is left over is told above it."""


def line(solved: Solved, step: Step, case: int) -> str:
    """What a given of a sheet follows from in a case; blank for one that is no number of the train."""
    source = step.source
    if not isinstance(source, FromTrain) or source.shaft not in solved.speed:
        return ""
    if step.dimension is SPEED:
        return _speed(solved, source.shaft, case)
    if step.dimension is TORQUE and "bending" not in step.meaning:
        return _torques(solved, source.shaft, case)
    return _forces(solved, source.shaft, case)


def _torques(solved: Solved, shaft: str, case: int) -> str:
    """Every torque on the shaft in this case, what makes it, and what they leave."""
    found = {seat: float(np.ravel(torque[case])[0]) for seat, torque in solved.seat_torque[shaft].items()}
    most = max((abs(t) for t in found.values()), default=0.0)
    if not most > 0:
        return f"Nothing turns {shaft} in this case."
    terms = [f"{_maker(solved.machine, shaft, seat)} {shown(t, TORQUE)}" for seat, t in found.items()
             if abs(t) > NOTHING * most]
    rest = sum(found.values())
    sums = ("together nothing" if abs(rest) <= LEFT * most else
            f"together {shown(rest, TORQUE)}, which speeds it up or is held beyond it")
    return f"Torques on {shaft} about its axis in this case: {', '.join(terms)}; {sums}."


def _maker(machine: Machine, shaft: str, seat: str) -> str:
    """What makes the torque at a seat, by its path; a seat that only rubs by its own."""
    return next(makers(machine, shaft, seat), machine.shafts[shaft].seats[seat].path)


def _at(machine: Machine, shaft: str, seat: str) -> str:
    """What pushes at a station, by its path; between seats, and where nothing sits, the shaft's own weight."""
    return next(makers(machine, shaft, seat), "own weight") if seat else "own weight"


def makers(machine: Machine, shaft: str, seat: str) -> Iterator[str]:
    """Paths of stages, drives and loads that sit on a seat."""
    for stage in machine.stages.values():
        if (shaft, seat) in zip((stage.from_, stage.to), stage.seats, strict=False):
            yield stage.path
    for thing in (*machine.drives.values(), *(machine.loads or {}).values()):
        winding = getattr(thing, "rewound_from", None), getattr(thing, "winding_seat", None)
        if (shaft, seat) in ((thing.shaft, thing.seat), winding):
            yield thing.path


def _speed(solved: Solved, shaft: str, case: int) -> str:
    """The speed of what drives the set, and how much faster the shaft turns."""
    s = solved.set_of(shaft)
    role = solved.roles[s.root]
    name = role.led_by or (role.weights[0] if role.weights else "")
    drive: Any = solved.machine.drives.get(name)
    if drive is None:
        return ""
    there = abs(float(np.ravel(solved.speed[drive.shaft][case])[0]))
    ratio = abs(s.ratio[shaft] / s.ratio[drive.shaft])
    why = "as decided" if role.led_by else "where drive and brakes balance"
    through = ", ".join(stage for link in s.path(drive.shaft, shaft) for stage in link.stages[:1])
    after = (f"; {shaft} {shown(ratio, RATIO)} times as fast through {through}" if through else "")
    return f"{drive.path} turns {drive.shaft} with {shown(there, SPEED)} in this case, {why}{after}."


def _forces(solved: Solved, shaft: str, case: int) -> str:
    """Every force on the shaft besides its bearings, with its place; a push on a handle straight down."""
    loads = solved.loads[shaft]
    across, up = loads.frame[1], loads.frame[2]
    force = loads.force[:, :, case, 0]
    most = float(np.abs(force).max(initial=0.0))
    if not most > 0:
        return f"Nothing pushes on {shaft} in this case."
    terms = [f"{_at(solved.machine, shaft, loads.names[i])} at {shown(loads.stations[i], LENGTH)} "
             f"({shown(across @ f, FORCE)}, {shown(up @ f, FORCE)})"
             for i, f in enumerate(force) if np.abs(f).max() > LEFT * most]
    return (f"Forces on {shaft} in this case, in its two planes: {', '.join(terms)}; the shaft a beam on "
            f"{', '.join(loads.supports)}.")
