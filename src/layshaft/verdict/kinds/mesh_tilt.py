"""How far the two shafts of a gear pair lean against each other where the teeth meet, and how frames part."""

from __future__ import annotations

from typing import Any

import numpy as np

from layshaft.listings.tables import Row, table
from layshaft.machine.kinds import GearPair
from layshaft.machine.model import Machine
from layshaft.train.place import seat_point
from layshaft.train.stages import axis, cross, gear_sizes, same_sense
from layshaft.verdict.context import NAN, Context


def relative_slope(c: Context, name: str, stage: GearPair) -> Any:
    """Slope of both shafts against each other in the plane of action, (cases, samples); NaN while one is unknown.

    Slopes of the two beams as vectors: what both do alike opens nothing, and what lies across the
    plane of action only slides the flanks. The plane turns over with the sense of the torque.
    """
    machine, solved = c.machine, c.solved
    if name not in solved.stage_torque:
        return NAN
    ends = [(stage.from_, stage.seats[0]), (stage.to, stage.seats[1])]
    points = [seat_point(machine, solved.place[shaft], shaft, seat) for shaft, seat in ends]
    leans = [_lean(c, shaft, seat) for shaft, seat in ends]
    between = points[1] - points[0]
    if any(lean is None for lean in leans) or not np.all(np.isfinite(between)):
        return NAN
    sizes, u = gear_sizes(stage), between / np.linalg.norm(between)
    along = cross(axis(machine.shafts[stage.from_]), u)
    apart = -1.0 if stage.internal else 1.0
    against = leans[0] - same_sense(machine, stage) * leans[1]
    pulls = np.sign(solved.stage_torque[name][0]) * np.sign(sizes.r[0])
    by_along, by_line = (np.tensordot(d, against, axes=1) for d in (along, u))
    return np.abs(pulls * np.cos(sizes.alpha_wt) * by_along - apart * np.sin(sizes.alpha_wt) * by_line)


def _lean(c: Context, shaft: str, seat: str) -> Any:
    """What the axis of a bent shaft adds to its direction at a seat, (3, cases, samples)."""
    loads = c.solved.loads[shaft]
    if len(loads.slope) != len(loads.stations):
        return None
    slope = loads.slope[loads.at(seat)]
    _, side, other = loads.frame
    return side[:, None, None] * slope[0] + other[:, None, None] * slope[1]


def frames(machine: Machine, stage: GearPair) -> Row:
    """What stands between the two shafts: one frame, frames set up anew, or such with pins or other locators."""
    modules = {machine.shafts[shaft].module for shaft in (stage.from_, stage.to)}
    rows = table("gear_practice")
    if len(modules) == 1:
        return rows["one frame"]
    located = any(set(p.between) == modules and p.locators for p in machine.partings.values())
    return rows["frames located by pins" if located else "frames set up anew"]
