"""The room a hanging weight takes: its wheel, its strands, and the way of what hangs on them."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

import numpy as np

from layshaft.elements.roller_chain import outline as chains
from layshaft.machine.kinds import EndlessLoop, FallingWeight
from layshaft.machine.schema import Given
from layshaft.mechanics.outlines import Band, Round
from layshaft.train.place import seat_point
from layshaft.train.placed import BLOCK, Missing, Placed, Words, block, body, point
from layshaft.train.sizes import chain_size, rope_size
from layshaft.train.solve import Solved
from layshaft.train.sources import SIDE, wheel_diameter
from layshaft.train.stages import UP, Vector, axis

NAN = float("nan")
WATER = 1000.0
"""kg/m3; what hangs as a weight is hardly lighter than water."""

BROAD, TALL = 1.5, 2.0
"""The most a weight of no told size is taken for: so many times as broad and as tall as a cube of water of its mass.
Common practice, no single source: of steel, the cube is half as broad."""

Told = Iterator[Placed | Missing]


def hung(solved: Solved, drive: Any) -> Told:
    """Wheel, strands down as far as they reach for certain, and blocks; over a pulley elsewhere the wheel alone."""
    radius = wheel_diameter(solved.machine, drive) / 2
    band = _suspension(solved, drive)
    down = drive.drop.nominal + (drive.hangs_below.nominal if drive.hangs_below.known else 0.0)
    ends = [(drive.shaft, drive.seat, 1.0)]
    if isinstance(drive, EndlessLoop):
        ends.append((drive.rewound_from, drive.winding_seat, -1.0))
    away = isinstance(drive, FallingWeight) and drive.fleet_distance.known
    for shaft, seat, sign in ends:
        if not np.isfinite(solved.place[shaft]).all():
            continue
        line = axis(solved.machine.shafts[shaft])
        at = seat_point(solved.machine, solved.place[shaft], shaft, seat)
        drum: Given | None = getattr(drive, "drum_width", None)  # a rope lies turn by turn: one is not its width
        wide = drum.nominal if drum is not None and (drum.known or not drive.chain.known) else band.width
        words = drive.path, f"wheel of {drive.name} on {shaft}", "wheel", shaft, drive.path
        yield body(Round(radius + band.half_height, wide), at, line, words, (shaft, seat))
        if np.isfinite(radius * down * band.half_height) and not away:
            sides = (sign, -1.0) if isinstance(drive, EndlessLoop) and sign > 0 else (sign,)
            for side in sides:
                top = at + np.asarray(SIDE[drive.hangs_on]) * radius * side
                yield Placed(drive.path, f"strand of {drive.name}", "strand", shaft, drive.path, point(top),
                             point(top - UP * down), point(line), band.width / 2, band.half_height)
    if not away and np.isfinite(radius):
        yield from _blocks(solved, drive, radius)


def _blocks(solved: Solved, drive: Any, radius: float) -> Told:
    """What hangs, and in a loop its counterweight: each in its bight, one wheel beside the drive wheel."""
    at = seat_point(solved.machine, solved.place[drive.shaft], drive.shaft, drive.seat)
    side = np.asarray(SIDE[drive.hangs_on]) * radius
    line = axis(solved.machine.shafts[drive.shaft])
    words = drive.path, drive.name, BLOCK, drive.shaft, drive.path
    if not isinstance(drive, EndlessLoop):
        yield _way(drive, drive.size, drive.mass, at + side, line, radius, words)
        return
    yield _way(drive, drive.size, drive.mass, at + 2 * side, line, radius, words)
    if not drive.counterweight.known or drive.counterweight.nominal > 0:
        name = f"counterweight of {drive.name}"
        yield _way(drive, drive.counterweight_size, drive.counterweight, at - 2 * side, line, radius,
                   (drive.path, name, *words[2:]))


def _way(drive: Any, size: tuple[Given, ...], mass: Given, at: Vector, line: Vector, radius: float,
         words: Words) -> Placed | Missing:
    """The column a block sweeps on its way down, from the place of its top when it is wound up.

    Where that is not told, it hangs between just under its wheel and one drop lower: there is a part of the column in
    which it comes by in any case, and one twice as long that it does not leave.
    """
    drop = drive.drop.nominal
    told = bool(size) and all(s.known for s in size)
    edge = float(np.cbrt(mass.nominal / WATER))
    x, y, z = (s.nominal for s in size) if told else (0.0, 0.0, TALL * edge)
    if not np.isfinite(drop * z):
        return Missing(drive.path)
    known = drive.hangs_below.known
    if told and known:
        middle = at - UP * (drive.hangs_below.nominal + (drop + z) / 2)
        return block(np.array([x, y, drop + z]), middle, line, words)
    middle = at - UP * (drive.hangs_below.nominal + (drop + z) / 2 if known else radius + drop + z / 2)
    loose, half = (0.0, (drop + z) / 2) if known else (drop, z / 2)
    if told:
        return block(np.array([x, y, 2 * half]), middle, line, words, loose=loose)
    return Placed(*words, point(middle), point(middle), point(UP), half, 0.0, most_half=half + loose,
                  most_radius=BROAD * edge / 2)


def _suspension(solved: Solved, drive: Any) -> Band:
    """Chain or rope a weight hangs on."""
    size = chain_size(solved.machine, drive.chain)
    if size is not None:
        return chains.strand(size)
    rope = rope_size(solved.machine, drive.suspension) if isinstance(drive, FallingWeight) else None
    return Band(rope.diameter / 2, rope.diameter) if rope is not None else Band(NAN, NAN)
