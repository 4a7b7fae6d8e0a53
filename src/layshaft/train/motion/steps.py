"""Stretches of constant torque in a row: the speed at every edge and the time in between, without error.

Over a stretch the root obeys d omega / dt = A0 + A1 omega + A2 omega^2. Without a linear brake (A1 = 0)
the square of the speed y is linear over the angle, y' = a y + b, so a whole row is one recurrence. With
one, speed and angle have closed forms in time, and the time in which the stretch is turned through is
found by Newton's method, stretch after stretch.

Arrays are (stretches, samples); a quantity that does not differ by sample has one column.
"""

from __future__ import annotations

from dataclasses import dataclass, fields
from itertools import accumulate
from typing import Any

import numpy as np
import numpy.typing as npt

from layshaft.mechanics import motion

Array = npt.NDArray[np.float64]
MOST_STEPS = 60
SETTLED = 1e-14
LEAST = 1e-300
STOPPED = -1.0
"""Squared speed that stands for a machine that does not get to an edge."""

FLAT = 1e-9
"""Share below which a brake, or a torque beside it, changes no digit of the time."""


@dataclass(frozen=True, slots=True)
class Stretches:
    """Constant pieces in order: angle turned by the root, torque left over, brakes and inertia seen from it."""

    angle: Array
    torque: Array
    square: Array
    linear: Array
    inertia: Array

    def __len__(self) -> int:
        return len(self.angle)

    def __getitem__(self, which: Any) -> Stretches:
        return Stretches(*(getattr(self, f.name)[which] for f in fields(self)))


@dataclass(frozen=True, slots=True)
class Marched:
    """Squared speed at every edge, (stretches + 1, samples), and the time of every stretch.

    Below zero from where the machine stops; no time (NaN) from there on.
    """

    y: Array
    time: Array


def march(s: Stretches, start: Array) -> Marched:
    """Go through the row from a squared speed."""
    if np.any(s.linear):
        return _through(s, start)
    y = _recur(*affine(s), start)
    return Marched(y, times(s, y))


def within(y: Array, a: Array, angle: Array) -> tuple[Array, Array]:
    """Squared speed and time an angle into a stretch, one entry each: `y` at its start, `a` (entries, 3) its A0 to A2.

    NaN where the machine stops before.
    """
    if np.any(a[:, 1]):
        with np.errstate(all="ignore"):
            omega, time = _over(np.sqrt(y), a[:, 0], a[:, 1], a[:, 2], angle)
        return omega**2, time
    s = Stretches(angle[None], a[None, :, 0], -a[None, :, 2], 0 * a[None, :, 1], np.ones((1, len(y))))
    m = march(s, y)
    return m.y[1], m.time[0]


def cycle(s: Stretches) -> Marched:
    """The row that ends where it began; NaN where none does."""
    a, b = affine(s)
    once = _recur(a, b, np.zeros(np.broadcast_shapes(a.shape, b.shape)[1]))[-1]
    whole = np.sum(motion.brake_exponent(s.square, s.angle, s.inertia), axis=0)
    if not np.any(s.linear):
        return march(s, np.asarray(motion.cycle_energy(once, whole)))
    return _repeated(s)


def affine(s: Stretches) -> tuple[Array, Array]:
    """a and b of y' = a y + b over every stretch without a linear brake."""
    x = motion.brake_exponent(s.square, s.angle, s.inertia)
    return np.exp(-x), 2 / s.inertia * (s.torque * s.angle * motion.kept_share(x))


def times(s: Stretches, y: Array) -> Array:
    """Time each stretch without a linear brake takes; NaN where the machine does not get through."""
    omega = np.sqrt(np.where(y >= 0, y, np.nan))
    first, last = omega[:-1], omega[1:]
    even = s.square * s.angle < FLAT * s.inertia
    k = np.where(even, 1.0, s.square)
    level = np.maximum(np.sqrt(np.abs(s.torque) / k), FLAT * np.maximum(first, last) + LEAST)
    with np.errstate(all="ignore"):  # no way at no speed
        braked = np.where(s.torque > 0, motion.time_driven(s.angle, level, s.inertia, k, first, last),
                          motion.time_slowing(s.inertia, k, level, first, last))
        found: Array = np.where(even, motion.time_evenly(s.angle, first, last), braked)
    return np.where(s.angle == 0, 0.0, found)


def _recur(a: Array, b: Array, start: Array) -> Array:
    """y[i + 1] = a[i] y[i] + b[i]. Plain floats for one sample, where numpy would take ten times as long."""
    samples = np.broadcast_shapes(a.shape[1:], b.shape[1:], np.shape(start))[0]
    y = np.empty((len(a) + 1, samples))
    y[0] = start
    if samples == 1:
        pairs = zip(a[:, 0].tolist(), np.broadcast_to(b, (len(a), 1))[:, 0].tolist(), strict=True)
        y[:, 0] = list(accumulate(pairs, lambda at, ab: ab[0] * at + ab[1], initial=float(y[0, 0])))
        return y
    for i in range(len(a)):
        y[i + 1] = a[i] * y[i] + b[i]
    return y


# With a linear brake ---------------------------------------------------------------------------


def _through(s: Stretches, start: Array) -> Marched:
    """Stretch after stretch, each by its closed form in time."""
    a0, a1, a2 = s.torque / s.inertia, -s.linear / s.inertia, -s.square / s.inertia
    samples = np.broadcast_shapes(a0.shape, a1.shape, a2.shape, (1, *np.shape(start)))[1]
    y, time = np.empty((len(s) + 1, samples)), np.empty((len(s), samples))
    y[0] = start
    with np.errstate(all="ignore"):  # what has stopped goes on as NaN
        for i in range(len(s)):
            omega, time[i] = _over(np.sqrt(np.where(y[i] >= 0, y[i], np.nan)), a0[i], a1[i], a2[i], s.angle[i])
            y[i + 1] = np.where(np.isnan(omega), STOPPED, omega**2)
    return Marched(y, time)


def _over(omega: Array, a0: Array, a1: Array, a2: Array, angle: Array) -> tuple[Array, Array]:
    """Speed after an angle and the time it takes; NaN where the machine stops before."""
    line = _Line(omega, a0, a1, a2)
    first = np.maximum(a0 + a1 * omega + a2 * omega**2, 0.0)
    t = 2 * angle / (omega + np.sqrt(omega**2 + 2 * first * angle) + LEAST)
    reach, way = line.stop()
    stops = way < angle
    for _ in range(MOST_STEPS):
        step = (line.angle(t) - angle) / np.maximum(line.speed(t), LEAST)
        t, before = np.minimum(np.maximum(t - step, t / 8), reach), t
        if np.all(stops | ~(np.abs(t - before) > SETTLED * t)):
            break
    return np.where(stops, np.nan, line.speed(t)), np.where(stops, np.nan, t)


class _Line:
    """Speed and angle over time of d omega / dt = a0 + a1 omega + a2 omega^2, brakes at most zero.

    With u = (omega - p) / (omega - q), p and q the zeros of the right side, u falls as exp(-r t). Where
    the zeros are complex (nothing drives), so are u and r, and the answers stay real.
    """

    def __init__(self, omega: Array, a0: Array, a1: Array, a2: Array) -> None:
        self.omega, self.a0, self.a1 = omega, a0, a1
        self.flat = np.abs(a2) * (np.abs(omega) + np.abs(a0 / np.where(a1 == 0, 1.0, a1))) < 1e-13 * np.abs(a1)
        self.a2 = np.where(self.flat, -1.0, a2)
        root = np.sqrt((a1**2 - 4 * a0 * self.a2) + 0j)
        root = np.where(root == 0, 1e-150, root)
        self.p, self.q = (-a1 - root) / (2 * self.a2), (-a1 + root) / (2 * self.a2)
        self.p, self.q = np.where(self.p.real >= self.q.real, self.p, self.q), np.where(
            self.p.real >= self.q.real, self.q, self.p)
        self.rate = -self.a2 * (self.p - self.q)
        self.u = (omega - self.p) / (omega - self.q)

    def speed(self, t: Array) -> Array:
        """Speed at a time."""
        u = self.u * np.exp(-self.rate * t)
        level = -self.a0 / np.where(self.a1 == 0, 1.0, self.a1)
        found: Array = np.where(self.flat, level + (self.omega - level) * np.exp(self.a1 * t),
                                ((self.p - self.q * u) / (1 - u)).real)
        return found

    def angle(self, t: Array) -> Array:
        """Angle turned by a time."""
        grown = np.log1p(-self.u * np.expm1(-self.rate * t) / (1 - self.u))
        slope = np.where(self.a1 == 0, 1.0, self.a1)
        level = -self.a0 / slope
        found: Array = np.where(self.flat, level * t + (self.omega - level) * np.expm1(self.a1 * t) / slope,
                                (self.p * t - grown / self.a2).real)
        return found

    def stop(self) -> tuple[Array, Array]:
        """Time at which it stops and the angle up to there; endless where it does not."""
        halts = self.a0 < 0
        bent = (np.log(self.u * self.q / self.p) / self.rate).real
        slope = np.where(self.a1 == 0, 1.0, self.a1)
        level = -self.a0 / slope
        straight = np.log(np.where(halts, -level / np.where(halts, self.omega - level, 1.0), 1.0)) / slope
        t = np.where(halts, np.where(self.flat, straight, bent), np.inf)
        return t, np.where(halts, self.angle(np.where(halts, t, 0.0)), np.inf)


def _repeated(s: Stretches) -> Marched:
    """Go round until the cycle ends as it began, each start taken from the last two by the secant."""
    T, k, c = (np.sum(v * s.angle, axis=0) / np.sum(s.angle, axis=0) for v in (s.torque, s.square, s.linear))
    start = np.nan_to_num(motion.terminal_speed(np.maximum(T, 0.0), k, c), nan=0.0) ** 2
    found = march(s, start)
    other = found.y[-1]
    for _ in range(MOST_STEPS):
        again = march(s, np.maximum(other, 0.0))
        first, second = found.y[-1] - start, again.y[-1] - other
        if np.all(~(np.abs(second) > SETTLED * 10 * np.abs(other))):
            return again
        step = second * (other - start) / np.where(second == first, 1.0, second - first)
        start, other, found = other, np.where(second == first, again.y[-1], other - step), again
    return Marched(np.full_like(found.y, np.nan), np.full_like(found.time, np.nan))
