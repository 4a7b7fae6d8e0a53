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
from layshaft.train.motion.steps import Stretches, march, within

if TYPE_CHECKING:
    from layshaft.train.solve import Solved

Array = npt.NDArray[np.float64]
CHUNK = 2048
"""Stretches gone through at once."""

REPEATS = 1e-12
"""Relative difference of a cycle's two ends below which the cycle is taken to repeat."""

Row = tuple[Array, Array, Array, npt.NDArray[np.bool_], Array]
"""Times, angles, squared speeds, which lifts act, and A0 to A2, edge by edge."""

STANDING = (0.0, 0.0, 0.0)
NEWTON = 8
EVEN = 0.25
"""Root angle of a stretch where nothing lifts, rad."""

MOST_PITCHES = 64
"""Pitches of the slowest lift within which all lifts must come again for a cycle to be looked for."""

TIME = "the time is over"
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
    at an edge, (edges, lifts), `a` the acceleration in it as A0 + A1 omega + A2 omega^2, (edges, 3).
    `ended` says what ended it.
    """

    root: str
    lifts: tuple[Lift, ...]
    time: Array
    angle: Array
    omega: Array
    lifting: npt.NDArray[np.bool_]
    a: Array
    acts: list[int] = field(default_factory=list)
    ended: str = TIME

    def after(self, time: float) -> slice:
        """Edges from a time on."""
        return slice(int(np.searchsorted(self.time, time)), None)

    def at_angle(self, angle: Array) -> tuple[Array, Array]:
        """Time and speed at root angles of the run, exact in between edges; NaN outside of it."""
        inside = (angle >= self.angle[0]) & (angle <= self.angle[-1])
        i = np.clip(np.searchsorted(self.angle, angle, side="right") - 1, 0, max(len(self.angle) - 2, 0))
        into = np.where(inside, angle - self.angle[i], 0.0)
        y, t = within(self.omega[i] ** 2, self.a[i], into)
        return np.where(inside, self.time[i] + t, np.nan), np.where(inside, np.sqrt(np.maximum(y, 0.0)), np.nan)

    def at_time(self, time: Array) -> tuple[Array, Array]:
        """Root angle and speed at times of the run; NaN outside of it."""
        inside = (time >= self.time[0]) & (time <= self.time[-1])
        i = np.clip(np.searchsorted(self.time, time, side="right") - 1, 0, max(len(self.time) - 2, 0))
        share = (time - self.time[i]) / np.where(self.time[i + 1] > self.time[i], self.time[i + 1] - self.time[i], 1.0)
        low, high = self.angle[i], self.angle[i + 1]
        angle = low + np.clip(share, 0, 1) * (high - low)
        for _ in range(NEWTON):
            t, omega = self.at_angle(angle)
            angle = np.clip(angle + np.nan_to_num((time - t) * omega), low, high)
        return np.where(inside, angle, np.nan), np.where(inside, self.at_angle(angle)[1], np.nan)


@dataclass(slots=True)
class _Now:
    """Where a run stands."""

    time: float
    angle: float
    y: float


def simulate(solved: Solved, root: str, acts: Sequence[Act], *, start: float = 0.0,
             farthest: float = np.inf) -> Motion:
    """Run one set of a nominal machine. `start` is the root's speed, `farthest` the root angle at which it must end.

    From rest it sets off only if the drive beats every loss at rest; else it stays where it is. Raises
    `ValueError` for a set whose speed is decided.
    """
    lifts = reduce(solved, root).lifts
    now, log, first, ended = _Now(0.0, 0.0, start**2), _Log(lifts), [], TIME
    for act in acts:
        reduced = reduce(solved, root, act.off)
        first.append(log.edges)
        if now.y <= 0 and reduced.at_rest <= 0:
            log.one(now, (), STANDING)
            now.time += act.time
            continue
        why = _act(reduced, log, now, act.time, farthest)
        if why != TIME:
            ended = why
            break
    log.one(now, (), STANDING)
    time, angle, y, lifting, a = log.arrays()
    return Motion(root, lifts, time, angle, np.sqrt(np.maximum(y, 0.0)), lifting, a, first, ended)


class _Log:
    """Edges as they come: times, angles, squared speeds, and which lifts act from each on."""

    def __init__(self, lifts: tuple[Lift, ...]) -> None:
        self.lifts, self.edges = lifts, 0
        self.pieces: list[Row] = []

    def many(self, time: Array, angle: Array, y: Array, acting: npt.NDArray[np.bool_], a: Array,
             which: Sequence[Lift]) -> None:
        """Edges in a row; the columns of `acting` are the lifts `which`."""
        lifting = np.zeros((len(time), len(self.lifts)), np.bool_)
        lifting[:, [self.lifts.index(lift) for lift in which]] = acting
        self.pieces.append((time, angle, y, lifting, a))
        self.edges += len(time)

    def one(self, now: _Now, acting: Sequence[Lift], a: tuple[float, float, float]) -> None:
        """One edge, where the run stands."""
        row = np.array([[lift in acting for lift in self.lifts]], np.bool_).reshape(1, len(self.lifts))
        self.pieces.append((np.array([now.time]), np.array([now.angle]), np.array([max(now.y, 0.0)]), row,
                            np.array([a])))
        self.edges += 1

    def arrays(self) -> Row:
        """All of them."""
        time, angle, y, lifting, a = zip(*self.pieces, strict=True)
        return (np.concatenate(time), np.concatenate(angle), np.concatenate(y), np.concatenate(lifting),
                np.concatenate(a))


def _act(r: Reduced, log: _Log, now: _Now, span: float, farthest: float) -> str:
    """Go on from `now` until the act's time is over or something else ends it; `now` moves to its end."""
    until, ended = now.time + span, ""
    period = _period(r.lifts)
    while not ended:
        edges, state = _edges(r.lifts, now.angle, CHUNK)
        band = _bands_for(r, state, now.y)
        s = _stretches(np.diff(edges), band)
        m = march(s, np.array([now.y]))
        n = _valid(m.y[:, 0], m.time[:, 0], band, now.time, until, edges, farthest)
        done = now.time + np.concatenate([[0.0], np.cumsum(m.time[:n, 0])])
        a = np.array([b.a for b in band])
        log.many(done[:-1], edges[:n], m.y[:n, 0], state[:n], a[:n], r.lifts)
        now.time, now.angle, now.y = float(done[-1]), float(edges[n]), float(m.y[n, 0])
        if n == len(s) and period:
            _repeat(log, now, (done, edges, m.y[:, 0], state, a), period, until, farthest, r.lifts)
        elif n < len(s) and _inside(band[n], now.y):
            part, ended = _cut(s[n : n + 1], band[n], now, until, farthest)
            if part is not None:
                log.one(now, [lift for lift, acts in zip(r.lifts, state[n], strict=True) if acts], band[n].a)
                now.time, now.angle, now.y = now.time + part[0], now.angle + part[1], part[2]
        if now.time >= until * (1 - 1e-15):
            return ended or TIME
        if log.edges > MOST_EDGES:
            return f"more than {MOST_EDGES} edges of lifts"
    return ended


def _period(lifts: tuple[Lift, ...]) -> float:
    """The shortest root angle after which all lifts come again; 0 where none is short enough to be of use."""
    if not lifts:
        return EVEN
    longest = max(lift.pitch for lift in lifts)
    for n in range(1, MOST_PITCHES):
        if all(abs(n * longest / lift.pitch - round(n * longest / lift.pitch)) < 1e-9 for lift in lifts):
            return n * longest
    return 0.0


def _repeat(log: _Log, now: _Now, row: Row, period: float,
            until: float, farthest: float, which: tuple[Lift, ...]) -> None:
    """Where the last cycle of a row ends as it began, add it as often as time and way allow."""
    time, angle, y, state, a = row
    first = int(np.argmin(np.abs(angle - (angle[-1] - period))))
    if abs(angle[-1] - period - angle[first]) > 1e-9 * period or abs(y[-1] - y[first]) > REPEATS * y[-1]:
        return
    lasts = time[-1] - time[first]
    often = int(min((until - now.time) / lasts, (farthest - now.angle) / period, MOST_EDGES)) - 1
    if often < 1:
        return
    n, turns = len(angle) - 1 - first, np.arange(often)
    log.many((now.time + time[first:-1] - time[first] + lasts * turns[:, None]).ravel(),
             (now.angle + angle[first:-1] - angle[first] + period * turns[:, None]).ravel(),
             np.tile(y[first:-1], often), np.tile(state[-n:], (often, 1)), np.tile(a[-n:], (often, 1)), which)
    now.time, now.angle = now.time + lasts * often, now.angle + period * often


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
            return TIME
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
    t = until - now.time if why == TIME else t
    return (t if np.isfinite(t) else 0.0, low, y), why

