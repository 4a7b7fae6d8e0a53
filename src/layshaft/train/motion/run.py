"""A run over time: from rest or from a speed, act by act, until the time is over, the weight lands or it stops.

An act is a span of time in which the same loads are engaged. Inside an act the machine is stepped from
edge to edge of its lifts; where it crosses into another band of speeds the stretch is cut there. Once a
cycle of lifts ends as it began, the rest of the act is that cycle again and again.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, field
from typing import TYPE_CHECKING

import numpy as np
import numpy.typing as npt

from layshaft.train.motion.reduced import Band, Lift, Reduced, Setting, State, reduce
from layshaft.train.motion.steps import Stretches, march, within
from layshaft.train.motion.way import TURNED, Way

if TYPE_CHECKING:
    from layshaft.train.solve import Solved

Array = npt.NDArray[np.float64]
CHUNK = 2048
"""Stretches gone through at once."""

REPEATS = 1e-12
"""Relative difference of a cycle's two ends below which the cycle is taken to repeat."""

Row = tuple[Array, Array, Array, npt.NDArray[np.int64]]
"""Times, angles, squared speeds, and which part each stretch is, edge by edge."""

NEWTON = 60
EVEN = 0.25
"""Root angle of a stretch where nothing lifts, rad."""

MOST_PITCHES = 64
"""Pitches of the slowest lift within which all lifts must come again for a cycle to be looked for."""

TIME = "the time is over"
STOPS = "it stops"
LEAST_CHUNK = 16
MOST_EDGES = 5_000_000
ROUNDS = 9
SHARES = np.arange(1, 65) / 64
"""A stretch is cut in 64, and again nine times: down to the last digit."""

BAND = "band"


@dataclass(frozen=True, slots=True)
class Act:
    """A span of time, in seconds, and the loads that are not engaged in it."""

    time: float
    off: frozenset[str] = frozenset()


@dataclass(frozen=True, slots=True)
class Part:
    """What a stretch has in common with others: the setting, the lifts that act, the band of speeds."""

    reduced: Reduced | None
    state: State
    band: Band

    def acts(self, lift: Lift) -> bool:
        """Whether a lift acts in it."""
        return self.reduced is not None and any(
            other.torques[piece] > 0 for piece, other in zip(self.state, self.reduced.lifts, strict=True)
            if other == lift)


STANDING = Part(None, (), Band(0.0, np.inf, (0.0, 0.0, 0.0), ()))


@dataclass(slots=True)
class Motion:
    """A run of one set, edge by edge: time, root angle and root speed along the motion, shape (edges,).

    `part[i]` says which of `parts` the stretch that begins at edge i is; `acts` holds the first edge of every act.
    `ended` says what ended it.
    """

    root: str
    lifts: tuple[Lift, ...]
    time: Array
    angle: Array
    omega: Array
    part: npt.NDArray[np.int64]
    parts: list[Part]
    acts: list[int] = field(default_factory=list)
    ended: str = TIME

    @property
    def lifting(self) -> npt.NDArray[np.bool_]:
        """Whether each lift acts in the stretch that begins at an edge, (edges, lifts)."""
        table = np.array([[p.acts(lift) for lift in self.lifts] for p in self.parts], np.bool_)
        return table.reshape(len(self.parts), len(self.lifts))[self.part]

    @property
    def a(self) -> Array:
        """Acceleration in that stretch as A0 + A1 omega + A2 omega^2, (edges, 3)."""
        return np.array([p.band.a for p in self.parts])[self.part]

    def after(self, time: float) -> slice:
        """Edges from a time on."""
        return slice(int(np.searchsorted(self.time, time)), None)

    def at_angle(self, angle: Array) -> tuple[Array, Array]:
        """Time and speed at root angles of the run, exact in between edges; NaN outside of it."""
        inside = (angle >= self.angle[0]) & (angle <= self.angle[-1])
        i = np.clip(np.searchsorted(self.angle, angle, side="right") - 1, 0, max(len(self.angle) - 2, 0))
        into = np.where(inside, angle - self.angle[i], 0.0)
        a = np.array([p.band.a for p in self.parts])
        y, t = within(self.omega[i] ** 2, a[self.part[i]], into)
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
            before, step = angle, np.nan_to_num((time - t) * omega)
            # never right onto an end, where the machine may stand and no step would lead away
            angle = np.clip(angle + step, low + (angle - low) / 8, high - (high - angle) / 8)
            if np.all(np.abs(angle - before) <= 1e-15 * high):
                break
        return np.where(inside, angle, np.nan), np.where(inside, self.at_angle(angle)[1], np.nan)


@dataclass(slots=True)
class Now:
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
    now, log, first, ended = Now(0.0, 0.0, start**2), Log(), [], TIME
    for act in acts:
        reduced = reduce(solved, root, Setting(act.off))
        first.append(log.edges)
        if now.y <= 0 and reduced.at_rest <= 0:
            log.one(now, STANDING)
            now.time += act.time
            continue
        why = advance(reduced, log, now, now.time + act.time, Way(farthest))
        if why != TIME:
            ended = "the weight is at the bottom" if why == TURNED else why
            break
    return log.motion(now, root, reduce(solved, root).lifts, first, ended)


class Log:
    """Edges as they come: times, angles, squared speeds, and which part of the run each stretch is."""

    def __init__(self, told: Callable[[float], None] | None = None) -> None:
        self.told, self.edges = told, 0
        self.parts: list[Part] = []
        self.known: dict[int, int] = {}
        self.pieces: list[Row] = []

    def number(self, part: Part) -> int:
        """The number of a part, the same for the same band."""
        if id(part.band) not in self.known:
            self.known[id(part.band)] = len(self.parts)
            self.parts.append(part)
        return self.known[id(part.band)]

    def many(self, time: Array, angle: Array, y: Array, part: npt.NDArray[np.int64]) -> None:
        """Edges in a row."""
        self.pieces.append((time, angle, y, part))
        self.edges += len(time)
        if self.told and len(time):
            self.told(float(time[-1]))

    def one(self, now: Now, part: Part) -> None:
        """One edge, where the run stands."""
        time, angle, y = (np.array([v]) for v in (now.time, now.angle, max(now.y, 0.0)))
        self.many(time, angle, y, np.array([self.number(part)]))

    def motion(self, now: Now, root: str, lifts: tuple[Lift, ...], acts: list[int], ended: str) -> Motion:
        """The run so far, ended where it stands now."""
        self.told = None
        self.one(now, STANDING)
        time, angle, y, part = (np.concatenate(column) for column in zip(*self.pieces, strict=True))
        return Motion(root, lifts, time, angle, np.sqrt(np.maximum(y, 0.0)), part, self.parts, acts, ended)


def advance(r: Reduced, log: Log, now: Now, until: float, way: Way) -> str:
    """Go on from `now` until a time is over or something else ends it; `now` moves to its end."""
    period = period_of(r.lifts)
    while True:
        edges, state = edges_of(r.lifts, now.angle, _count(r, now, until))
        parts, part = _parts(r, log, state, now.y)
        band = [log.parts[k].band for k in part.tolist()]
        s = stretches_of(np.diff(edges), band)
        m = march(s, np.array([now.y]))
        n = _valid(m.y[:, 0], m.time[:, 0], band, now.time, until, edges, way)
        done = now.time + np.concatenate([[0.0], np.cumsum(m.time[:n, 0])])
        log.many(done[:-1], edges[:n], m.y[:n, 0], part[:n])
        now.time, now.angle, now.y = float(done[-1]), float(edges[n]), float(m.y[n, 0])
        ended = ""
        if n == len(s) and period:
            _repeat(log, now, (done, edges, m.y[:, 0], part), period, until, way)
        elif n < len(s) and _inside(band[n], now.y):
            cut, ended = _cut(s[n : n + 1], band[n], now, until, way)
            if cut is not None:
                log.one(now, parts[part[n]])
                now.time, now.angle, now.y = now.time + cut[0], now.angle + cut[1], cut[2]
        if ended or now.time >= until * (1 - 1e-15):
            return ended or TIME
        if log.edges > MOST_EDGES:
            return f"more than {MOST_EDGES} edges of lifts"


def _count(r: Reduced, now: Now, until: float) -> int:
    """Stretches worth going through at once: a short act needs few, a cycle should go in twice."""
    most = max(CHUNK, int(2 * density(r.lifts) * period_of(r.lifts)))
    if not np.isfinite(until) or now.y <= 0:
        return most
    wanted = 1.5 * density(r.lifts) * (until - now.time) * float(np.sqrt(now.y))
    return int(min(max(wanted, LEAST_CHUNK), most))


def density(lifts: tuple[Lift, ...]) -> float:
    """Edges in a radian of the root."""
    return sum(len(lift.starts) / lift.pitch for lift in lifts) or 2 / EVEN


def period_of(lifts: tuple[Lift, ...]) -> float:
    """The shortest root angle after which all lifts come again; 0 where none is short enough to be of use."""
    if not lifts:
        return EVEN
    longest = max(lift.pitch for lift in lifts)
    for n in range(1, MOST_PITCHES):
        if all(abs(n * longest / lift.pitch - round(n * longest / lift.pitch)) < 1e-9 for lift in lifts):
            return n * longest
    return 0.0


def _repeat(log: Log, now: Now, row: Row, period: float, until: float, way: Way) -> None:
    """Where the last cycle of a row ends as it began, add it as often as time and way allow."""
    time, angle, y, part = row
    first = int(np.argmin(np.abs(angle - (angle[-1] - period))))
    if abs(angle[-1] - period - angle[first]) > 1e-9 * period or abs(y[-1] - y[first]) > REPEATS * y[-1]:
        return
    lasts = time[-1] - time[first]
    late, far = way.clear(now.time, now.angle)
    often = int(min((min(until, late) - now.time) / lasts, (far - now.angle) / period, MOST_EDGES)) - 1
    if often < 1:
        return
    n, turns = len(angle) - 1 - first, np.arange(often)
    log.many((now.time + time[first:-1] - time[first] + lasts * turns[:, None]).ravel(),
             (now.angle + angle[first:-1] - angle[first] + period * turns[:, None]).ravel(),
             np.tile(y[first:-1], often), np.tile(part[-n:], often))
    now.time, now.angle = now.time + lasts * often, now.angle + period * often


def edges_of(lifts: tuple[Lift, ...], angle: float, count: int) -> tuple[Array, npt.NDArray[np.int64]]:
    """The next edges of all lifts from an angle on, itself first, and which piece of each acts between them."""
    if not lifts:
        plain: Array = angle + EVEN * np.arange(count + 1, dtype=np.float64)
        return plain, np.zeros((count, 0), np.int64)
    reach = count / density(lifts)
    found = [np.array([angle])]
    for lift in lifts:
        n = np.arange(np.floor(angle / lift.pitch), np.ceil((angle + reach) / lift.pitch) + 1)
        found.append((n[:, None] * lift.pitch + np.array(lift.starts)).ravel())
    every: Array = np.unique(np.concatenate(found))
    every = every[(every >= angle) & (every <= angle + reach)]
    keep = np.concatenate([[True], np.diff(every) > 1e-12 * max(1.0, angle + reach)])
    every = every[keep]
    middle = (every[1:] + every[:-1]) / 2
    at = [np.searchsorted(lift.starts, np.mod(middle, lift.pitch), side="right") - 1 for lift in lifts]
    return every, np.stack([np.array(lift.numbers)[i] for lift, i in zip(lifts, at, strict=True)], axis=1)


def _parts(r: Reduced, log: Log, state: npt.NDArray[np.int64],
           y: float) -> tuple[dict[int, Part], npt.NDArray[np.int64]]:
    """The part each stretch is tried as: the band of its state at the speed now."""
    omega = float(np.sqrt(max(y, 0.0)))
    code = np.zeros(len(state), np.int64)
    for column in state.T:  # a number for each different row, never larger than there are rows and pieces
        code = np.unique(code * (int(column.max()) + 1) + column, return_inverse=True)[1]
    _, first, kind = np.unique(code, return_index=True, return_inverse=True)
    parts = [Part(r, which, r.band(which, omega)) for which in map(tuple, state[first].tolist())]
    numbers = np.array([log.number(part) for part in parts], np.int64)
    return dict(zip(numbers.tolist(), parts, strict=True)), numbers[kind]


def stretches_of(angles: Array, bands: list[Band]) -> Stretches:
    """Stretches of these angles, each with the torque law of a band."""
    a = np.array([b.a for b in bands])
    one = np.ones((len(bands), 1))
    return Stretches(angles[:, None], a[:, :1], -a[:, 2:], -a[:, 1:2], one)


def _valid(y: Array, time: Array, bands: list[Band], now: float, until: float, edges: Array,
           way: Way) -> int:
    """How many stretches count whole: none in which a band, the time or the way ends, or the machine stops."""
    low, high = np.array([b.low for b in bands]), np.array([b.high for b in bands])
    omega = np.sqrt(np.maximum(y, 0.0))
    slack = 1e-12 * omega
    outside = [(w < low - e) | (w > high + e) for w, e in ((omega[:-1], slack[:-1]), (omega[1:], slack[1:]))]
    out = (y[1:] < 0) | outside[0] | outside[1]
    at = now + np.cumsum(time)
    ends = out | (at >= until) | np.isnan(time) | way.left(at, edges[1:])
    return int(np.argmax(ends)) if ends.any() else len(bands)


def _inside(band: Band, y: float) -> bool:
    omega = float(np.sqrt(max(y, 0.0)))
    return band.low * (1 - 1e-12) <= omega <= band.high * (1 + 1e-12)


def _cut(s: Stretches, band: Band, now: Now, until: float,
         way: Way) -> tuple[tuple[float, float, float] | None, str]:
    """The part of one stretch up to what comes first in it: the time, the floor, the edge of a band or a stop."""
    whole = float(s.angle[0, 0])

    def upto(phi: Array) -> tuple[Array, Array]:
        m = march(Stretches(phi[None], s.torque, s.square, s.linear, s.inertia), np.full(len(phi), now.y))
        return m.time[0], m.y[1]

    def beyond(phi: Array) -> npt.NDArray[np.bool_]:
        t, y = upto(phi)
        return ~np.isfinite(t) | (now.time + t >= until) | way.left(now.time + t, now.angle + phi) | _outside(band, y)

    low, high = 0.0, whole
    for _ in range(ROUNDS):
        phi = low + (high - low) * SHARES
        over = beyond(phi)
        if not over.any():
            low = high
            break
        i = int(np.argmax(over))
        low, high = float(phi[i - 1]) if i else low, float(phi[i])
    t, y = (float(v[0]) for v in upto(np.array([high])))
    why = "" if low == high else _why(t, y, high, now, until, way)
    if why == BAND and (high <= 0 or not np.isfinite(t)):
        return None, STOPS
    if why in ("", BAND):
        return (t, high, y), ""
    t, y = (float(v[0]) for v in upto(np.array([low])))
    t = until - now.time if why == TIME else t
    return (t if np.isfinite(t) else 0.0, low, y), why


def _outside(band: Band, y: Array) -> npt.NDArray[np.bool_]:
    omega = np.sqrt(np.maximum(y, 0.0))
    return np.asarray((y < 0) | (omega < band.low * (1 - 1e-13)) | (omega > band.high * (1 + 1e-13)))


def _why(t: float, y: float, phi: float, now: Now, until: float, way: Way) -> str:
    """What comes first in a stretch, a little beyond it."""
    if y < 0 or not np.isfinite(t):
        return STOPS
    if now.time + t >= until:
        return TIME
    return way.why(now.time + t, now.angle + phi)[0] or BAND
