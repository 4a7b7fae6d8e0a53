"""Where everything with a place and a size stands, and how near things come to one another."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field, replace
from functools import lru_cache
from typing import Any, NamedTuple

import numpy as np

from layshaft.machine.kinds import InLine
from layshaft.mechanics.nearness import Array, Stadia, apart, gaps, near_pairs
from layshaft.train.outlines import placed
from layshaft.train.placed import BAR, BLOCK, LOOSE, Placed
from layshaft.train.solve import Solved

REACH = 0.025
"""m; pairs further apart than a finger needs are not looked at."""

SAME = 1e-9
"""m; gaps that differ by less are one gap."""



@dataclass(frozen=True, slots=True)
class Near:
    """Two bodies that overlap or come near. `gap` is below zero by how far they must be moved apart.

    `least` is the gap where sizes that are not told are as large as they may be; it equals `gap` where all are told,
    or where it does not depend on them. `there` and `needed` are distance of the middles and what both need, along the
    best way apart; NaN for a pair that is clear.
    """

    a: Placed
    b: Placed
    gap: float
    least: float
    there: float
    needed: float
    where: tuple[float, float, float]
    """A place between the two, for a mark in a drawing."""

    @property
    def sure(self) -> bool:
        """True where no size that is not told changes the gap."""
        return self.gap - self.least < SAME

    @property
    def meet(self) -> bool:
        """True where they overlap whatever is not told: a part of which nothing is told may have no body at all."""
        return self.gap <= 0 and self.a.certain and self.b.certain


@dataclass(slots=True)
class Space:
    """Bodies, pairs that come near, and what has no size or no place."""

    bodies: list[Placed] = field(default_factory=list)
    near: list[Near] = field(default_factory=list)
    bounded: list[Placed] = field(default_factory=list)
    """Of these, those whose size is not told: they are taken for the most such a part usually is."""

    unsized: list[str] = field(default_factory=list)
    """Paths of parts whose size is open and that nothing bounds."""

    nowhere: list[str] = field(default_factory=list)
    """Shafts whose place is not known."""


def space(solved: Solved) -> Space:
    """Everything that has a place, and what of it comes near."""
    found = Space()
    found.nowhere = [name for name in solved.machine.shafts if not np.isfinite(solved.place[name]).all()]
    for body in placed(solved, found.nowhere):
        if isinstance(body, Placed) and body.measured:
            found.bodies.append(body)
        elif body.path not in found.unsized:
            found.unsized.append(body.path)
    found.bounded = [body for body in found.bodies if not body.told]
    if len(found.bodies) > 1:
        found.near = list(_near(solved, found.bodies))
    return found


def _near(solved: Solved, bodies: list[Placed]) -> Iterator[Near]:
    numbers = np.array([(*b.first, *b.last, *b.axis, b.half, b.radius, b.hole, *b.greatest, *b.side) for b in bodies])
    codes = _codes(solved, bodies)
    for i, j, gap, least, there, needed, where in _pairs(numbers.tobytes(), len(bodies), codes):
        yield Near(bodies[i], bodies[j], gap, least, there, needed, where)


Kinds = tuple[bool, ...]
Seats = tuple[tuple[int, int], ...]


class Codes(NamedTuple):
    """What decides which pairs are asked for, by number: no names, so that a renamed part stands where it stood."""

    shaft: tuple[int, ...]
    owner: tuple[int, ...]
    bar: Kinds
    """True of a shaft itself, and of what is not held against its own shaft."""

    hangs: Kinds
    joined: tuple[tuple[int, int], ...]
    """Shafts that run on into one another."""

    seats: Seats
    """Body and seat."""


def _codes(solved: Solved, bodies: list[Placed]) -> Codes:
    shafts = {name: i for i, name in enumerate(solved.machine.shafts)}
    owners: dict[str, int] = {}
    seats: dict[tuple[str, str], int] = {}
    joined = tuple((shafts[s.from_], shafts[s.to]) for s in solved.machine.stages.values()
                   if isinstance(s, InLine) and s.to in shafts)
    return Codes(
        tuple(shafts[b.shaft] for b in bodies), tuple(owners.setdefault(b.owner, len(owners)) for b in bodies),
        tuple(b.kind in (BAR, LOOSE) for b in bodies), tuple(b.kind == BLOCK for b in bodies), joined,
        tuple((i, seats.setdefault(seat, len(seats))) for i, b in enumerate(bodies) for seat in b.seats))


Pair = tuple[int, int, float, float, float, float, tuple[float, float, float]]


@lru_cache(maxsize=64)
def _pairs(numbers: bytes, count: int, codes: Codes) -> tuple[Pair, ...]:
    """Kept from check to check: most edits move nothing."""
    rows = np.frombuffer(numbers).reshape(count, 17)
    bodies = Stadia(rows[:, 0:3], rows[:, 3:6], rows[:, 6:9], rows[:, 9], rows[:, 10], rows[:, 11],
                    rows[:, 14:17] if rows[:, 14:17].any() else None)
    wide = replace(bodies, half=rows[:, 12], radius=rows[:, 13])
    open_ = (wide.half > bodies.half) | (wide.radius > bodies.radius)
    first, second = near_pairs(wide, REACH, _asked(codes))
    if not len(first):
        return ()
    a, b = bodies.of(first), bodies.of(second)
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
    """Pairs that may not meet: not parts of one stage or seat, not a shaft and what sits on it or runs on from it."""
    shaft, owner, bar, hangs = (np.array(c) for c in (codes.shaft, codes.owner, codes.bar, codes.hangs))
    together = shaft[:, None] == shaft[None, :]
    for one, other in codes.joined:
        joined = (shaft == one)[:, None] & (shaft == other)[None, :]
        together |= joined | joined.T
    on_bar = together & (bar[:, None] | bar[None, :]) & ~(hangs[:, None] | hangs[None, :])
    on_seat = np.zeros((len(shaft), 1 + max((seat for _, seat in codes.seats), default=0)), dtype=int)
    for body, seat in codes.seats:
        on_seat[body, seat] = 1
    alike = (owner[:, None] == owner[None, :]) & ~(hangs[:, None] & hangs[None, :])
    return ~on_bar & ~(on_seat @ on_seat.T).astype(bool) & ~alike


def _between(a: Stadia, b: Stadia) -> Array:
    """A place about where two bodies are nearest: from one middle towards the other, as far as the first reaches."""
    way = b.middle - a.middle
    size = np.linalg.norm(way, axis=1)[:, None]
    unit = way / np.where(size > 0, size, 1.0)
    found: Array = (a.middle + unit * a.reach(unit)[:, None] + b.middle - unit * b.reach(unit)[:, None]) / 2
    return found
