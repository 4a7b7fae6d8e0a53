"""A body with its place in space: round about a shaft, or a block."""

from __future__ import annotations

from dataclasses import dataclass
from math import isfinite

import numpy as np

from layshaft.mechanics.outlines import NONE, Round
from layshaft.train.stages import Vector

BAR, BLOCK, LOOSE = "shaft", "block", "load"
"""Kinds that are asked for otherwise than the rest: a shaft itself; what hangs; and a load of no told size, which is
not held against what sits on its own shaft: how wide it is between its bearings its builder sees."""

STANDING = ("bearing", "housing", "motor")
WIDEST = 0.5
"""Half the width of a wheel of unknown width over its radius, at most: a wheel is not wider than its radius. Common
practice, no single source."""

Point = tuple[float, float, float]
Words = tuple[str, str, str, str, str]
"""Path, name, kind, shaft, owner."""

NOWHERE: Point = (0.0, 0.0, 0.0)


@dataclass(frozen=True, slots=True)
class Placed:
    """A body in space: a line with a rounded edge, drawn out along an axis. `owner` is the stage or thing it is of.

    `seats` are the seats it sits on, by shaft and name; `side` is half of what its line is drawn out by sideways.
    """

    path: str
    name: str
    kind: str
    shaft: str
    owner: str
    first: Point
    last: Point
    axis: Point
    half: float
    radius: float
    hole: float = NONE
    seats: tuple[tuple[str, str], ...] = ()
    most_half: float = NONE
    most_radius: float = NONE
    """The most it is taken for, where half its width or its radius is not told: these are then the least it has."""

    side: Point = NOWHERE

    @property
    def greatest(self) -> tuple[float, float]:
        """Half its width and its radius, as large as they may be."""
        return max(self.half, self.most_half), max(self.radius, self.most_radius)

    @property
    def told(self) -> bool:
        """True where the file tells its size."""
        return self.greatest == (self.half, self.radius)

    @property
    def certain(self) -> bool:
        """False of a body of which nothing is told: it may be none at all."""
        return self.told or self.radius > 0 or self.side != NOWHERE or self.first != self.last

    @property
    def measured(self) -> bool:
        """False where a number is not known: nothing comes near what has one, so it must not be looked at."""
        return isfinite(self.half + self.radius + sum(self.first) + sum(self.last))

    @property
    def stands(self) -> bool:
        """True for what does not move while the machine runs."""
        return self.kind in STANDING


@dataclass(frozen=True, slots=True)
class Missing:
    """A part whose room nothing bounds while a size of it is open."""

    path: str


def point(v: Vector) -> Point:
    """A vector as three plain numbers."""
    x, y, z = v.tolist()
    return x, y, z


def body(round_: Round, at: Vector, line: Vector, words: Words, *seats: tuple[str, str]) -> Placed | Missing:
    """A round body at its seat, if its radius is known or bounded."""
    told = isfinite(round_.radius)
    radius, most = (round_.radius, round_.radius) if told else (round_.least, round_.most[0])
    if not isfinite(most):
        return Missing(words[0])
    half = round_.width / 2
    widest = half if isfinite(half) else round_.most[1] / 2 if isfinite(round_.most[1]) else WIDEST * most
    middle = point(at + line * round_.shift if round_.shift else at)
    return Placed(*words, middle, middle, point(line), half if isfinite(half) else 0.0, radius,
                  round_.hole if told else NONE, seats, widest, most)


def block(size: Vector, middle: Vector, along: Vector, words: Words, *seats: tuple[str, str],
          loose: float = 0.0) -> Placed:
    """A block that stands along x, y and z; drawn out along the shaft where that stands so too.

    `loose`: how much longer it may reach at both ends, upright; it is then drawn out upright.
    """
    k = int(np.argmax(np.abs(along))) if not loose and np.isclose(np.abs(along).max(), 1.0) else 2
    i, j = (n for n in range(3) if n != k)
    line, side, axis = np.zeros(3), np.zeros(3), np.zeros(3)
    line[i], side[j], axis[k] = size[i] / 2, size[j] / 2, 1.0
    half = float(size[k]) / 2
    return Placed(*words, point(middle - line), point(middle + line), point(axis), half, 0.0, NONE, seats,
                  half + loose, NONE, point(side))
