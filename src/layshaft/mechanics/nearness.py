"""How near bodies of a machine come to one another: exact where they lie alike, by projection where they cross.

A body is a stadium (a straight line with a rounded edge; a disc where the line is a point) drawn out along an
axis: a shaft, a wheel, a bearing, a strand of chain. A line that is drawn out sideways too is a block. Only pairs whose
bounding boxes come near are looked at.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from layshaft.mechanics.oblongs import distances

Array = npt.NDArray[np.float64]
Whole = npt.NDArray[np.int64]
ALIKE = 1e-9
"""1 less the cosine up to which two axes count as one direction."""

ROUNDS = 400
POINT = 1e-18
"""m2; a line shorter than the root of it counts as a point."""

MEETS = 1e-5
"""m; nearer than this, bodies that cross count as overlapping."""

SETTLED = 1e-7
"""m; what a round of projections may still move before it counts as settled."""


@dataclass(frozen=True, slots=True)
class Stadia:
    """Many bodies: ends of the line, axis, half the width along it, radius of the edge, of a hole (or -inf).

    `side` is half of what the line is drawn out by sideways, square to it and to the axis; None where no body is.
    """

    first: Array
    last: Array
    axis: Array
    half: Array
    radius: Array
    hole: Array
    side: Array | None = None

    def of(self, rows: Whole) -> Stadia:
        """Some of them, in that order."""
        return Stadia(self.first[rows], self.last[rows], self.axis[rows], self.half[rows], self.radius[rows],
                      self.hole[rows], None if self.side is None else self.side[rows])

    @property
    def middle(self) -> Array:
        """Middles, (n, 3)."""
        return (self.first + self.last) / 2

    def reach(self, way: Array) -> Array:
        """How far each reaches from its middle along a direction of its own, all (n, 3)."""
        along = np.abs(_dot(self.last - self.first, way)) / 2
        lean = _dot(self.axis, way)
        if self.side is not None:
            along += np.abs(_dot(self.side, way))
        return along + self.half * np.abs(lean) + self.radius * np.sqrt(np.clip(1 - lean**2, 0, None))

    def boxes(self) -> tuple[Array, Array]:
        """Lowest and highest corner of what each lies in, (n, 3)."""
        out = self.half[:, None] * np.abs(self.axis) + self.radius[:, None] * np.sqrt(
            np.clip(1 - self.axis**2, 0, None))
        if self.side is not None:
            out += np.abs(self.side)
        return np.minimum(self.first, self.last) - out, np.maximum(self.first, self.last) + out


def _dot(a: Array, b: Array) -> Array:
    found: Array = np.einsum("ij,ij->i", a, b)
    return found


def _across(a: Array, b: Array) -> Array:
    """Vector product, row by row; numpy's own takes several times as long on a few rows."""
    found = np.empty_like(a)
    for k, (i, j) in enumerate(((1, 2), (2, 0), (0, 1))):
        found[:, k] = a[:, i] * b[:, j] - a[:, j] * b[:, i]
    return found


def near_pairs(bodies: Stadia, reach: float, ask: npt.NDArray[np.bool_]) -> tuple[Whole, Whole]:
    """Pairs that are asked for, (n, n), whose boxes come nearer than `reach` in every direction."""
    low, high = bodies.boxes()
    found = np.triu(ask, 1)
    for k in range(3):
        found &= low[None, :, k] - high[:, None, k] < reach
        found &= low[:, None, k] - high[None, :, k] < reach
    first, second = np.nonzero(found)
    return first, second


def gaps(a: Stadia, b: Stadia) -> Array:
    """Least distance of the bodies in each row; 0 or below where they overlap, NaN where one may cross a hole."""
    alike = 1 - np.abs(_dot(a.axis, b.axis)) < ALIKE
    found = np.empty(len(a.half))
    rows = np.flatnonzero(alike)
    found[rows] = _gaps_alike(a.of(rows), b.of(rows))
    rows = np.flatnonzero(~alike)
    if len(rows):
        crossing = _gaps_crossing(a.of(rows), b.of(rows))
        holed = np.maximum(a.hole[rows], b.hole[rows]) > 0
        found[rows] = np.where((crossing <= 0) & holed, np.nan, crossing)
    return found


def _gaps_alike(a: Stadia, b: Stadia) -> Array:
    """Across and along the common axis; a corner where both are clear."""
    along = np.abs(_dot(b.middle - a.middle, a.axis)) - a.half - b.half
    distance = _line_distance(a, b)
    if a.side is not None and b.side is not None:
        blocks = np.flatnonzero(a.side.any(axis=1) | b.side.any(axis=1))
        distance[blocks] = _block_distance(a.of(blocks), b.of(blocks))
    across = distance - a.radius - b.radius
    for ring, other in ((a, b), (b, a)):
        rows = np.flatnonzero(~np.isneginf(ring.hole))
        if len(rows):
            across[rows] = np.maximum(across[rows], _left_in_hole(ring.of(rows), other.of(rows)))
    return np.where((across > 0) & (along > 0), np.hypot(across, along), np.maximum(across, along))


def _left_in_hole(ring: Stadia, other: Stadia) -> Array:
    """What the hole of a ring leaves beyond the end or corner of another body that is furthest from its axis."""
    ends: tuple[Array, ...] = (other.first, other.last)
    if other.side is not None:
        ends = tuple(end + sign * other.side for end in ends for sign in (1.0, -1.0))
    furthest = np.max([np.linalg.norm(_flat(end - ring.middle, ring.axis), axis=1) for end in ends], axis=0)
    found: Array = ring.hole - furthest - other.radius
    return found


def _line_distance(a: Stadia, b: Stadia) -> Array:
    """Distance of two straight lines from end to end, seen along the common axis."""
    p, q = (_flat(a.last - a.first, a.axis), _flat(b.last - b.first, a.axis))
    between = _flat(a.first - b.first, a.axis)
    pp, qq, pq, p_0, q_0 = _dot(p, p), _dot(q, q), _dot(p, q), _dot(p, between), _dot(q, between)
    square = pp * qq - pq**2
    straight = np.where(qq > POINT, _over(pq * q_0 - p_0 * qq, square), _over(-p_0, pp))
    s = np.clip(straight, 0, 1)
    t = _over(pq * s + q_0, qq)
    s = np.where(t < 0, np.clip(_over(-p_0, pp), 0, 1), np.where(t > 1, np.clip(_over(pq - p_0, pp), 0, 1), s))
    t = np.clip(t, 0, 1)
    found: Array = np.linalg.norm(between + p * s[:, None] - q * t[:, None], axis=1)
    return found


def _block_distance(a: Stadia, b: Stadia) -> Array:
    """The same where a line is drawn out sideways; below 0 by how deep the two lie in one another."""
    assert a.side is not None and b.side is not None
    middles = _flat(b.middle - a.middle, a.axis)
    return distances((_flat(a.last - a.first, a.axis) / 2, a.side), (_flat(b.last - b.first, a.axis) / 2, b.side),
                     middles, a.axis)


def _flat(way: Array, axis: Array) -> Array:
    found: Array = way - axis * _dot(way, axis)[:, None]
    return found


def _over(a: Array, b: Array) -> Array:
    """a / b, 0 where b is nothing: a line that is a point, or two lines side by side."""
    found: Array = np.divide(a, b, out=np.zeros_like(a), where=b > POINT)
    return found


def _gaps_crossing(a: Stadia, b: Stadia) -> Array:
    """Points thrown to and fro between two bodies come to rest where these are nearest."""
    point = a.middle
    moved, found = np.inf, np.zeros(len(a.half))
    for _ in range(ROUNDS):
        there = _onto(b, point)
        point = _onto(a, there)
        before, found = found, np.linalg.norm(point - there, axis=1)
        moved = float(np.max(np.abs(found - before)))
        if moved < SETTLED:
            break
    meet = np.flatnonzero(found < MEETS)
    if len(meet):
        there, needed = apart(a.of(meet), b.of(meet))
        found[meet] = np.minimum(there - needed, 0.0)
    return found


def to_points(bodies: Stadia, points: Array) -> Array:
    """Distance of a point in each row from the body in that row, 0 inside."""
    found: Array = np.linalg.norm(_onto(bodies, points) - points, axis=1)
    return found


def _onto(body: Stadia, point: Array) -> Array:
    """The nearest point of each body, taken without its hole."""
    line = body.last - body.first
    off = point - body.first
    s = np.clip(_over(_dot(off, line), _dot(line, line)), 0, 1)
    off = off - line * s[:, None]
    aside: Array | float = 0.0
    if body.side is not None:
        t = np.clip(_over(_dot(off, body.side), _dot(body.side, body.side)), -1, 1)
        aside = body.side * t[:, None]
        off = off - aside
    along = _dot(off, body.axis)
    across = off - body.axis * along[:, None]
    size = np.linalg.norm(across, axis=1)
    shrunk = np.minimum(1.0, _over(body.radius, size) + (size < 1e-12))
    found: Array = (body.first + line * s[:, None] + aside + body.axis * np.clip(along, -body.half, body.half)[:, None]
                    + across * shrunk[:, None])
    return found


def apart(a: Stadia, b: Stadia) -> tuple[Array, Array]:
    """Distance of the middles along the best way to part two bodies, and the distance both need along it."""
    between = b.middle - a.middle
    ways = [a.axis, b.axis, _across(a.axis, b.axis), between, _flat(between, a.axis), _flat(between, b.axis)]
    ways += [_across(a.axis, a.last - a.first), _across(b.axis, b.last - b.first)]
    ways += [body.side for body in (a, b) if body.side is not None]
    ways += [body.last - body.first for body in (a, b) if body.side is not None]
    best, there, needed = np.full(len(between), -np.inf), np.zeros(len(between)), np.zeros(len(between))
    for way in ways:
        size = np.linalg.norm(way, axis=1)
        unit = _over3(way, size)
        has, asks = np.abs(_dot(between, unit)), a.reach(unit) + b.reach(unit)
        better = (size > 1e-12) & (has - asks > best)
        best = np.where(better, has - asks, best)
        there, needed = np.where(better, has, there), np.where(better, asks, needed)
    return there, needed


def _over3(way: Array, size: Array) -> Array:
    found: Array = way / np.where(size > 1e-12, size, 1.0)[:, None]
    return found
