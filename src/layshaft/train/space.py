"""Where everything with a place and a size stands, and how near things come to one another."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field, replace
from functools import lru_cache
from typing import Any

import numpy as np

from layshaft.machine.kinds import InLine
from layshaft.mechanics.nearness import Array, Stadia, apart, gaps, near_pairs
from layshaft.train.outlines import Placed, placed
from layshaft.train.solve import Solved

REACH = 0.025
"""m; pairs further apart than a finger needs are not looked at."""

WIDEST = 0.5
"""Half the width of a wheel of unknown width over its radius, at most: a wheel is not wider than its radius. Common
practice, no single source."""

BAR = "shaft"


@dataclass(frozen=True, slots=True)
class Near:
    """Two bodies that overlap or come near. `gap` is below zero by how far they must be moved apart.

    `least` is the gap where the widths that are not known are as large as they may be; it equals `gap` where all are
    known. `there` and `needed` are distance of the middles and what both need, along the best way apart; NaN for a
    pair that is clear.
    """

    a: Placed
    b: Placed
    gap: float
    least: float
    there: float
    needed: float
    where: tuple[float, float, float]
    """A place between the two, for a mark in a drawing."""


@dataclass(slots=True)
class Space:
    """Bodies, pairs that come near, and what has no size or no place."""

    bodies: list[Placed] = field(default_factory=list)
    near: list[Near] = field(default_factory=list)
    untold: list[str] = field(default_factory=list)
    """Paths of parts of a kind that does not tell the room it takes."""

    unsized: list[str] = field(default_factory=list)
    """Paths of parts whose kind would tell, once their size is known."""

    nowhere: list[str] = field(default_factory=list)
    """Shafts whose place is not known."""


def space(solved: Solved) -> Space:
    """Everything that has a place, and what of it comes near."""
    found = Space()
    found.nowhere = [name for name in solved.machine.shafts if not np.isfinite(solved.place[name]).all()]
    for body in placed(solved, found.nowhere):
        if isinstance(body, Placed):
            found.bodies.append(body)
        else:
            lists = found.unsized if body.kind_tells else found.untold
            lists += [] if body.path in lists else [body.path]
    if len(found.bodies) > 1:
        found.near = list(_near(solved, found.bodies))
    return found


def _near(solved: Solved, bodies: list[Placed]) -> Iterator[Near]:
    numbers = np.array([(*b.first, *b.last, *b.axis, b.half, b.radius, b.hole) for b in bodies])
    codes = _codes(solved, bodies)
    for i, j, gap, least, there, needed, where in _pairs(numbers.tobytes(), len(bodies), codes):
        yield Near(bodies[i], bodies[j], gap, least, there, needed, where)


Codes = tuple[tuple[int, ...], tuple[int, ...], tuple[bool, ...], tuple[tuple[int, int], ...]]


def _codes(solved: Solved, bodies: list[Placed]) -> Codes:
    """Shaft, owner and whether it is a shaft itself, by number; and shafts that run on into one another."""
    shafts = {name: i for i, name in enumerate(solved.machine.shafts)}
    owners: dict[str, int] = {}
    joined = tuple((shafts[s.from_], shafts[s.to]) for s in solved.machine.stages.values()
                   if isinstance(s, InLine) and s.to in shafts)
    return (tuple(shafts[b.shaft] for b in bodies), tuple(owners.setdefault(b.owner, len(owners)) for b in bodies),
            tuple(b.kind == BAR for b in bodies), joined)


Pair = tuple[int, int, float, float, float, float, tuple[float, float, float]]


@lru_cache(maxsize=64)
def _pairs(numbers: bytes, count: int, codes: Codes) -> tuple[Pair, ...]:
    """Kept from check to check: most edits move nothing."""
    rows = np.frombuffer(numbers).reshape(count, 12)
    bodies = Stadia(rows[:, 0:3], rows[:, 3:6], rows[:, 6:9], rows[:, 9], rows[:, 10], rows[:, 11])
    open_ = np.isnan(bodies.half)
    thin = replace(bodies, half=np.where(open_, 0.0, bodies.half))
    wide = replace(bodies, half=np.where(open_, WIDEST * bodies.radius, bodies.half))
    first, second = near_pairs(wide, REACH, _asked(codes))
    if not len(first):
        return ()
    a, b = thin.of(first), thin.of(second)
    found = gaps(a, b)
    unsure = open_[first] | open_[second]
    least = found if not unsure.any() else np.where(unsure, gaps(wide.of(first), wide.of(second)), found)
    there, needed = np.full(len(first), np.nan), np.full(len(first), np.nan)
    meet = np.flatnonzero(least <= 0)
    if len(meet):
        there[meet], needed[meet] = apart(a.of(meet), b.of(meet))
    where = _between(a, b)
    return tuple((int(first[k]), int(second[k]), float(found[k]), float(least[k]), float(there[k]), float(needed[k]),
                  (float(where[k, 0]), float(where[k, 1]), float(where[k, 2])))
                 for k in np.flatnonzero(~(least >= REACH)))


def _asked(codes: Codes) -> Any:
    """Pairs that may not meet: not parts of one stage, not a shaft and what sits on it or runs on from it."""
    shaft, owner, bar = np.array(codes[0]), np.array(codes[1]), np.array(codes[2])
    together = shaft[:, None] == shaft[None, :]
    for one, other in codes[3]:
        joined = (shaft == one)[:, None] & (shaft == other)[None, :]
        together |= joined | joined.T
    on_bar = together & (bar[:, None] | bar[None, :])
    return ~on_bar & (owner[:, None] != owner[None, :])


def _between(a: Stadia, b: Stadia) -> Array:
    """A place about where two bodies are nearest: from one middle towards the other, as far as the first reaches."""
    way = b.middle - a.middle
    size = np.linalg.norm(way, axis=1)[:, None]
    unit = way / np.where(size > 0, size, 1.0)
    found: Array = (a.middle + unit * a.reach(unit)[:, None] + b.middle - unit * b.reach(unit)[:, None]) / 2
    return found
