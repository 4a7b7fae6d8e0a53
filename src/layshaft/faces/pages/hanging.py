"""Hanging weights as the drawings show them: strands, pulleys, blocks of their mass, and the drop.

Where the file does not say where a weight hangs when it is wound up, it is drawn close under its wheel; where it
tells no size, as steel of its mass. Its lowest place stands in dashes.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np

from layshaft.elements.roller_chain import pitch_diameter
from layshaft.faces.pages.words import short
from layshaft.machine.kinds import EndlessLoop, Suspended
from layshaft.machine.schema import Given
from layshaft.trace.units import LENGTH, MASS
from layshaft.train.place import seat_point
from layshaft.train.sizes import chain_pitch
from layshaft.train.solve import Solved
from layshaft.train.sources import SIDE, wheel_diameter
from layshaft.train.stages import UP, Vector, axis

STEEL = 7850.0
TALL = 1.5
"""A block is drawn as steel of its mass, this much taller than wide; narrower where two must pass."""


@dataclass(frozen=True, slots=True)
class Block:
    """A mass: middle of its top, width, height, and whether it is its place after the drop.

    `told` is its size along x and y, where the file has it.
    """

    top: Vector
    width: float
    height: float
    after: bool = False
    told: tuple[float, float] | None = None

    def across(self, right: Vector) -> float:
        """Its width for one to whose right a direction points."""
        return self.width if self.told is None else float(np.abs(right[:2]) @ np.array(self.told))


@dataclass(frozen=True, slots=True)
class Hanging:
    """One hanging weight. `pulleys` are (centre, radius); `drop` runs from upper to lower place."""

    name: str
    words: tuple[str, ...]
    line: Vector
    wheels: tuple[tuple[Vector, float], ...]
    pulleys: tuple[tuple[Vector, float], ...]
    strands: tuple[tuple[Vector, Vector], ...]
    blocks: tuple[Block, ...]
    drop: tuple[Vector, Vector]


def hanging(solved: Solved) -> Iterator[Hanging]:
    """Every weight whose wheel has a place and a size."""
    for name, drive in solved.machine.drives.items():
        if not isinstance(drive, Suspended):
            continue
        diameter = wheel_diameter(solved.machine, drive)
        if not np.isfinite(diameter * drive.drop.nominal) or np.any(np.isnan(solved.place[drive.shaft])):
            continue
        if isinstance(drive, EndlessLoop):
            yield _loop(solved, name, drive, diameter)
        else:
            yield _single(solved, name, drive, diameter)


def _words(drive: Suspended) -> tuple[str, ...]:
    mass = short(drive.mass.nominal, MASS) if drive.mass.known else "mass not chosen"
    return mass, f"drop {short(drive.drop.nominal, LENGTH)}"


def _block(top: Vector, mass: float, size: tuple[Given, ...], *, widest: float = np.inf, after: bool = False) -> Block:
    if size and all(s.known for s in size):
        x, y, z = (s.nominal for s in size)
        return Block(top, y, z, after, (x, y))
    width = float(np.cbrt((mass if np.isfinite(mass) else 10.0) / STEEL / TALL))
    return Block(top, min(width, widest), TALL * width, after)


def _single(solved: Solved, name: str, drive: Suspended, diameter: float) -> Hanging:
    wheel = seat_point(solved.machine, solved.place[drive.shaft], drive.shaft, drive.seat)
    leaves = wheel + np.asarray(SIDE[drive.hangs_on]) * diameter / 2
    top = leaves - UP * (drive.hangs_below.nominal if drive.hangs_below.known else max(1.5 * diameter, 0.15))
    low = top - UP * drive.drop.nominal
    mass = drive.mass.nominal
    falls = getattr(drive, "falls", None)
    words = _words(drive)
    if falls is not None and falls.known and falls.nominal > 1:
        words = (*words, f"{falls.nominal:.0f} falls")
    return Hanging(name, words, axis(solved.machine.shafts[drive.shaft]), ((wheel, diameter / 2),), (),
                   ((leaves, top),), (_block(top, mass, drive.size), _block(low, mass, drive.size, after=True)),
                   (top, low))


def _loop(solved: Solved, name: str, drive: EndlessLoop, diameter: float) -> Hanging:
    """Drive and winding wheel two pitch diameters apart, the idler one beyond the drive wheel."""
    side, r = np.asarray(SIDE[drive.hangs_on]), diameter / 2
    wheel = seat_point(solved.machine, solved.place[drive.shaft], drive.shaft, drive.seat)
    wind = wheel + 2 * diameter * side
    pitch = chain_pitch(solved.machine, drive.chain)
    small = float(pitch_diameter(pitch, drive.pulley_teeth.nominal)) / 2
    small = small if np.isfinite(small) else r
    over = drive.idler_over.nominal if drive.idler_over.known else 0.0
    idler = wheel - diameter * side + UP * over
    hook = UP * (small + 0.02)
    clear = UP * drive.hangs_below.nominal - hook if drive.hangs_below.known else UP * (2 * diameter)
    fall = UP * drive.drop.nominal
    low = wheel + diameter * side - clear
    high = wheel - diameter * side - clear - fall
    strands = (
        (wheel + side * r, low - side * small), (low + side * small, wind - side * r),
        *_over_the_top(idler, small, wind, r),
        (idler - side * small, high - side * small), (high + side * small, wheel - side * r),
    )
    mass, counter = drive.mass.nominal, drive.counterweight.nominal
    wide = 1.3 * diameter
    blocks = [_block(low - hook, mass, drive.size, widest=wide),
              _block(low - hook - fall, mass, drive.size, widest=wide, after=True)]
    words = _words(drive)
    if np.isfinite(counter):
        blocks.append(_block(high - hook, counter, drive.counterweight_size, widest=0.6 * diameter))
        words = (*words, f"counterweight {short(counter, MASS)}")
    return Hanging(name, words, axis(solved.machine.shafts[drive.shaft]), ((wheel, r), (wind, r)),
                   ((low, small), (high, small), (idler, small)), strands, tuple(blocks),
                   (low - hook, low - hook - fall))


def _over_the_top(a: Vector, r_a: float, b: Vector, r_b: float) -> tuple[tuple[Vector, Vector], ...]:
    """The upper outer tangent of two wheels."""
    between = b - a
    distance = float(np.linalg.norm(between))
    along = between / distance
    up = UP - (UP @ along) * along
    up = up / np.linalg.norm(up)
    sine = (r_a - r_b) / distance
    out = along * sine + up * np.sqrt(1 - sine**2)
    return ((a + out * r_a, b + out * r_b),)
