"""A run over time: from rest or from a speed, act by act, until the time is over, the weight lands or it stops.

An act is a span of time in which the same loads are engaged. Inside an act the machine is stepped from
edge to edge of its lifts; where it crosses into another band of speeds the stretch is cut there. Once a
cycle of lifts ends as it began, the rest of the act is that cycle again and again.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field
from typing import TYPE_CHECKING

import numpy as np
import numpy.typing as npt

from layshaft.train.motion.reduced import Band, Lift, Reduced, reduce
from layshaft.train.motion.steps import Stretches, march

if TYPE_CHECKING:
    from layshaft.train.solve import Solved

Array = npt.NDArray[np.float64]
CHUNK = 2048
"""Stretches gone through at once."""

REPEATS = 1e-12
"""Relative difference of a cycle's two ends below which the cycle is taken to repeat."""

EVEN = 0.25
"""Root angle of a stretch where nothing lifts, rad."""

MOST_EDGES = 5_000_000
HALVINGS = 60


@dataclass(frozen=True, slots=True)
class Act:
    """A span of time, in seconds, and the loads that are not engaged in it."""

    time: float
    off: frozenset[str] = frozenset()


@dataclass(slots=True)
class Motion:
    """A run of one set, edge by edge: time, root angle and root speed along the motion, shape (edges,).

    `acts` holds the first edge of every act, `lifting` whether each lift acts in the stretch that begins
    at an edge, shape (edges, lifts). `ended` says what ended it.
    """

    root: str
    lifts: tuple[Lift, ...]
    time: Array
    angle: Array
    omega: Array
    lifting: npt.NDArray[np.bool_]
    acts: list[int] = field(default_factory=list)
    ended: str = "the time is over"

    def after(self, time: float) -> slice:
        """Edges from a time on."""
        return slice(int(np.searchsorted(self.time, time)), None)


@dataclass(slots=True)
class _Now:
    """Where a run stands."""

    time: float
    angle: float
    y: float


def simulate(solved: Solved, root: str, acts: Sequence[Act], *, start: float = 0.0,
             farthest: float = np.inf) -> Motion:
    """Run one set of a nominal machine. `start` is the root's speed, `farthest` the root angle at which it must end.

    From rest it sets off only if the drive beats every loss at rest; else the motion has one edge and
    says so. Raises `ValueError` for a set whose speed is decided.
    """
    now, rows, first, ended = _Now(0.0, 0.0, start**2), [], [], "the time is over"
    lifts: tuple[Lift, ...] = ()
    edges = 0
    for act in acts:
        reduced = reduce(solved, root, act.off)
        lifts = lifts or reduce(solved, root).lifts
        first.append(edges)
        if now.y <= 0 and reduced.at_rest <= 0:
            rows.append((np.array([now.time]), np.array([now.angle]), np.zeros(1), np.zeros((1, len(lifts)), bool)))
            edges += 1
            now.time += act.time
            continue
        found = _act(reduced, lifts, now, act.time, farthest)
        rows.append(found.row)
        edges += len(found.row[0])
        if found.ended:
            ended = found.ended
            break
        if edges > MOST_EDGES:
            ended = f"more than {MOST_EDGES} edges of lifts"
            break
    last = [np.array([now.time]), np.array([now.angle]), np.array([max(now.y, 0.0)]), np.zeros((1, len(lifts)), bool)]
    time, angle, y, lifting = (np.concatenate([*[row[i] for row in rows], last[i]]) for i in range(4))
    return Motion(root, lifts, time, angle, np.sqrt(np.maximum(y, 0.0)), lifting.astype(bool), first, ended)


@dataclass(slots=True)
class _Found:
    """Edges of an act, its last one left out, as (time, angle, y, lifting)."""

    row: tuple[Array, Array, Array, npt.NDArray[np.bool_]]
    ended: str = ""


def _act(r: Reduced, all_lifts: tuple[Lift, ...], now: _Now, span: float, farthest: float) -> _Found:
    """Go on from `now` until the act's time is over; `now` moves to its end."""
    until, ended = now.time + span, ""
    times: list[Array] = []
    angles: list[Array] = []
    squares: list[Array] = []
    states: list[npt.NDArray[np.bool_]] = []
    where = [all_lifts.index(lift) for lift in r.lifts]
    while not ended:
        edges, state = _edges(r.lifts, now.angle, CHUNK)
        band = _bands_for(r, state, now.y)
        s = _stretches(np.diff(edges), band)
        m = march(s, np.array([now.y]))
        n = _valid(m.y[:, 0], m.time[:, 0], band, now.time, until, edges, farthest)
        done = now.time + np.concatenate([[0.0], np.cumsum(m.time[:n, 0])])
        seen = np.zeros((n, len(all_lifts)), bool)
        seen[:, where] = state[:n]
        times.append(done[:-1])
        angles.append(edges[:n])
        squares.append(m.y[:n, 0])
        states.append(seen)
        now.time, now.angle, now.y = float(done[-1]), float(edges[n]), float(m.y[n, 0])
        if n < len(s) and _inside(band[n], now.y):
            part, ended = _cut(s[n : n + 1], band[n], now, until, farthest)
            if part is not None:
                row = np.zeros((1, len(all_lifts)), bool)
                row[:, where] = state[n : n + 1]
                times.append(np.array([now.time]))
                angles.append(np.array([now.angle]))
                squares.append(np.array([now.y]))
                states.append(row)
                now.time, now.angle, now.y = now.time + part[0], now.angle + part[1], part[2]
        if now.time >= until * (1 - 1e-15) and not ended:
            break
    found = np.concatenate(times), np.concatenate(angles), np.concatenate(squares), np.concatenate(states)
    return _Found(found, "" if ended == "time" else ended)


def _edges(lifts: tuple[Lift, ...], angle: float, count: int) -> tuple[Array, npt.NDArray[np.bool_]]:
    """The next edges of all lifts from an angle on, itself first, and which lifts act between them."""
    if not lifts:
        plain: Array = angle + EVEN * np.arange(count + 1, dtype=np.float64)
        return plain, np.zeros((count, 0), np.bool_)
    reach = count * min(lift.pitch for lift in lifts) / (2 * len(lifts))
    found = [np.array([angle])]
    for lift in lifts:
        n = np.arange(np.floor(angle / lift.pitch), np.ceil((angle + reach) / lift.pitch) + 1)
        found += [n * lift.pitch, n * lift.pitch + lift.over]
    every: Array = np.unique(np.concatenate(found))
    every = every[(every >= angle) & (every <= angle + reach)]
    keep = np.concatenate([[True], np.diff(every) > 1e-12 * max(1.0, angle + reach)])
    every = every[keep]
    middle = (every[1:] + every[:-1]) / 2
    return every, np.stack([np.mod(middle, lift.pitch) < lift.over for lift in lifts], axis=1)


def _bands_for(r: Reduced, state: npt.NDArray[np.bool_], y: float) -> list[Band]:
    """The band each stretch is tried with: that of its state at the speed now."""
    omega = np.sqrt(max(y, 0.0))
    near = {row: r.band(row, omega) for row in r.bands}
    return [near[tuple(row)] for row in state.tolist()]


def _stretches(angles: Array, bands: list[Band]) -> Stretches:
    a = np.array([b.a for b in bands])
    one = np.ones((len(bands), 1))
    return Stretches(angles[:, None], a[:, :1], -a[:, 2:], -a[:, 1:2], one)


def _valid(y: Array, time: Array, bands: list[Band], now: float, until: float, edges: Array,
           farthest: float) -> int:
    """How many stretches count whole: none in which a band, the time or the way ends, or the machine stops."""
    low, high = np.array([b.low for b in bands]), np.array([b.high for b in bands])
    omega = np.sqrt(np.maximum(y, 0.0))
    slack = 1e-12 * omega
    outside = [(w < low - e) | (w > high + e) for w, e in ((omega[:-1], slack[:-1]), (omega[1:], slack[1:]))]
    out = (y[1:] < 0) | outside[0] | outside[1]
    late = now + np.cumsum(time) >= until
    ends = out | late | np.isnan(time) | (edges[1:] > farthest)
    return int(np.argmax(ends)) if ends.any() else len(bands)


def _inside(band: Band, y: float) -> bool:
    omega = float(np.sqrt(max(y, 0.0)))
    return band.low * (1 - 1e-12) <= omega <= band.high * (1 + 1e-12)


def _cut(s: Stretches, band: Band, now: _Now, until: float,
         farthest: float) -> tuple[tuple[float, float, float] | None, str]:
    """The part of one stretch up to what comes first in it: the time, the floor, the edge of a band or a stop."""
    whole = float(s.angle[0, 0])

    def upto(phi: float) -> tuple[float, float]:
        m = march(Stretches(np.array([[phi]]), s.torque, s.square, s.linear, s.inertia), np.array([now.y]))
        return float(m.time[0, 0]), float(m.y[1, 0])

    def passed(phi: float) -> str:
        t, y = upto(phi)
        omega = np.sqrt(max(y, 0.0))
        if y < 0 or not np.isfinite(t):
            return "it stops"
        if now.time + t >= until:
            return "time"
        if now.angle + phi >= farthest:
            return "the weight is at the bottom"
        if omega < band.low * (1 - 1e-13) or omega > band.high * (1 + 1e-13):
            return "band"
        return ""

    low, high, why = 0.0, whole, passed(whole)
    if not why:
        t, y = upto(whole)
        return (t, whole, y), ""
    for _ in range(HALVINGS):
        middle = (low + high) / 2
        found = passed(middle)
        if found:
            high, why = middle, found
        else:
            low = middle
    if why == "band":
        t, y = upto(high)
        if high <= 0 or not np.isfinite(t):
            return None, "it stops"
        return (t, high, y), ""
    t, y = upto(low)
    t = until - now.time if why == "time" else t
    return (t if np.isfinite(t) else 0.0, low, y), why

