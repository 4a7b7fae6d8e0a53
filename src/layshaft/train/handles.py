"""The way of a handle or pedal round its shaft, and what it comes near to."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache

import numpy as np
import numpy.typing as npt

from layshaft.machine.kinds import Crank
from layshaft.mechanics.nearness import Stadia, to_points
from layshaft.train.place import length, seat_point
from layshaft.train.placed import BLOCK, Placed
from layshaft.train.solve import Solved
from layshaft.train.stages import Vector, axis

PLACES = 72
"""Places of the handle looked at in a turn: the way between two of them is 0.1 % of the radius off the circle."""

FAR = 0.5
"""m; what is further away than the largest gap of the table."""


@dataclass(frozen=True, slots=True)
class HandRoom:
    """Distance from the middle of a handle to the nearest body of another shaft; `why` says what is not known.

    `least` is the distance were sizes that are not told as large as they may be, and `perhaps` what then is nearest.
    """

    gap: float
    least: float
    beside: str = ""
    perhaps: str = ""
    why: str = ""


def hand_room(solved: Solved, drive: Crank, bodies: Sequence[Placed]) -> HandRoom:
    """Once round, against everything that does not turn with the handle; at most half a metre."""
    shaft = solved.machine.shafts[drive.shaft]
    if not np.isfinite(solved.place[drive.shaft]).all():
        return HandRoom(np.nan, np.nan, why=f"the place of {drive.shaft} is not known")
    for what, given in (("radius", drive.radius), ("handle overhang", drive.handle_overhang)):
        if not given.known:
            return HandRoom(np.nan, np.nan, why=f"the {what} of {drive.name} is not given")
    if not np.isfinite(length(shaft)):
        return HandRoom(np.nan, np.nan, why=f"the length of {drive.shaft} is not chosen")
    line, seat = axis(shaft), shaft.seats[drive.seat].at.nominal
    out = line if seat > length(shaft) / 2 else -line
    middle = seat_point(solved.machine, solved.place[drive.shaft], drive.shaft, drive.seat)
    middle = middle + out * drive.handle_overhang.nominal
    others = [b for b in bodies if b.shaft != drive.shaft or b.stands or b.kind in ("strand", BLOCK)]
    if not others:
        return HandRoom(FAR, FAR)
    way = _circle(middle, line, drive.radius.nominal).tobytes()
    rows = np.array([(*b.first, *b.last, *b.axis, *b.greatest, *b.side) for b in others])
    least, perhaps = gap, beside = _nearest(way, rows.tobytes())
    if not all(b.told for b in others):
        rows[:, 9:11] = [(b.half, b.radius) for b in others]
        gap, beside = _nearest(way, rows.tobytes())
    return HandRoom(min(gap, FAR), min(least, FAR), others[beside].name if gap < FAR else "",
                    others[perhaps].name if least < FAR else "")


def _circle(middle: Vector, line: Vector, radius: float) -> Vector:
    one = np.cross(line, (0.0, 0.0, 1.0)) if abs(line[2]) < 0.9 else np.cross(line, (1.0, 0.0, 0.0))
    one = one / np.linalg.norm(one)
    angle = 2 * np.pi * np.arange(PLACES) / PLACES
    found: Vector = middle + radius * (np.cos(angle)[:, None] * one + np.sin(angle)[:, None] * np.cross(line, one))
    return found


def _candidates(points: Vector, bodies: Stadia) -> npt.NDArray[np.int64]:
    """Bodies that may be the nearest: a ball about each reaches nearer than the middle of the nearest one."""
    centre, radius = points.mean(axis=0), float(np.linalg.norm(points[0] - points.mean(axis=0)))
    line = np.cross(points[0] - centre, points[PLACES // 4] - centre)
    off = bodies.middle - centre
    along = off @ (line / np.linalg.norm(line))
    out = np.sqrt(np.maximum((off**2).sum(axis=1) - along**2, 0.0))
    middle = np.hypot(out - radius, along)
    ball = np.hypot(bodies.half, bodies.radius) + np.linalg.norm(bodies.last - bodies.first, axis=1) / 2
    ball = ball if bodies.side is None else ball + np.linalg.norm(bodies.side, axis=1)
    found: npt.NDArray[np.int64] = np.flatnonzero(middle - ball <= min(float(middle.min()), FAR))
    return found


@lru_cache(maxsize=64)
def _nearest(places: bytes, bodies: bytes) -> tuple[float, int]:
    """Least distance from any of the places to any body, and which; kept from check to check."""
    points, rows = np.frombuffer(places).reshape(-1, 3), np.frombuffer(bodies).reshape(-1, 14)
    n = len(rows)
    all_ = Stadia(rows[:, 0:3], rows[:, 3:6], rows[:, 6:9], rows[:, 9], rows[:, 10], np.full(n, -np.inf),
                  rows[:, 11:14])
    near = _candidates(points, all_)
    if not len(near):
        return np.inf, 0
    which = np.repeat(near, len(points))
    gap = to_points(all_.of(which), np.tile(points, (len(near), 1)))
    best = int(np.argmin(gap))
    return float(gap[best]), int(which[best])
