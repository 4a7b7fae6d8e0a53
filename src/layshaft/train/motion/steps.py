"""Stretches of constant torque in a row: squared speeds by one linear recurrence, then the times.

Over a stretch the square of the speed y obeys dy/dphi = 2 (T - c omega - k y) / J. Without a linear
brake (c = 0) a stretch is one exact step y' = a y + b. With one, c omega is laid flat around the
speed of the last pass, sqrt(y) ~ (y + y0) / (2 sqrt(y0)), which makes the step linear again, and the
whole row is gone through anew until the speeds stay: Newton's method on the whole row at once. What
laying it flat leaves falls with the square of the stretch, so each is cut in two, four and on, and the
answers are extrapolated; the difference of the last two says how far the result can be off.

Arrays are (stretches, samples); a quantity that does not differ by sample has one column.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, fields
from itertools import accumulate, pairwise
from typing import Any

import numpy as np
import numpy.typing as npt

from layshaft.mechanics import motion

Array = npt.NDArray[np.float64]
MOST_PASSES = 30
SETTLED = 1e-13
LEAST_CUTS = 3
MOST_PARTS = 32
WANTED = 1e-9
FLAT = 1e-9
"""Share below which a brake, or a torque beside it, changes no digit of the time."""

LEAST = 1e-300


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

    def cut(self, n: int) -> Stretches:
        """Every stretch in n equal parts."""
        return Stretches(np.repeat(self.angle / n, n, axis=0),
                         *(np.repeat(getattr(self, f.name), n, axis=0) for f in fields(self)[1:]))

    @property
    def exact(self) -> bool:
        """True where no brake grows with the speed itself: every step is without error."""
        return not np.any(self.linear)


@dataclass(frozen=True, slots=True)
class Marched:
    """Squared speed at every edge (stretches + 1, samples), time of every stretch, and how far both can be off."""

    y: Array
    time: Array
    error: Array
    """Largest relative difference of the last two extrapolations, by sample; 0 where the steps are exact."""


def march(s: Stretches, start: Array) -> Marched:
    """Go through the row from a squared speed.

    A machine that stops has y < 0 from there on, and no time: the caller finds the first such edge.
    """
    return _extrapolated(s, lambda cut: _row(cut, start))


def cycle(s: Stretches) -> Marched:
    """The row that ends where it began; NaN where none does."""
    return _extrapolated(s, _repeating)


def _extrapolated(s: Stretches, solve: Callable[[Stretches], Array]) -> Marched:
    """Halve the stretches until two extrapolations agree."""
    if s.exact:
        y = solve(s)
        return Marched(y, times(s, y), np.zeros(y.shape[1]))
    rows, spans, n = [], [], 1
    while True:
        cut = s.cut(n)
        y = solve(cut)
        rows.append(y[::n])
        spans.append(times(cut, y).reshape(len(s), n, -1).sum(axis=1))
        if len(rows) >= LEAST_CUTS:
            (before, y), (_, time) = _romberg(rows), _romberg(spans)
            off = np.max(np.abs(y - before) / np.maximum(np.abs(y).max(axis=0), LEAST), axis=0)
            if n >= MOST_PARTS or not np.any(off > WANTED):
                return Marched(y, time, off)
        n *= 2


def _romberg(values: list[Array]) -> tuple[Array, Array]:
    """Of answers with more and more parts: extrapolated once from the last two, and twice from the last three."""
    first, last = (fine + (fine - coarse) / 3 for coarse, fine in pairwise(values[-3:]))
    return last, last + (last - first) / 15


def affine(s: Stretches, around: Array | None = None) -> tuple[Array, Array]:
    """a and b of y' = a y + b over every stretch; `around` are speeds to lay a linear brake flat at."""
    T, k = s.torque, s.square
    if around is not None:
        T, k = T - s.linear * around / 2, k + s.linear / (2 * around)
    x = motion.brake_exponent(k, s.angle, s.inertia)
    return np.exp(-x), 2 / s.inertia * (T * s.angle * motion.kept_share(x))


def _row(s: Stretches, start: Array) -> Array:
    return _settled(s, lambda a, b: _recur(a, b, start), np.maximum(np.sqrt(np.maximum(start, 0.0)), _level(s)))


def _repeating(s: Stretches) -> Array:
    return _settled(s, _closed, _level(s))


def _level(s: Stretches) -> Array:
    """Speed at which the mean torque and the brakes of the row are equal: a first guess."""
    T, k, c = (np.sum(v * s.angle, axis=0) / np.sum(s.angle, axis=0) for v in (s.torque, s.square, s.linear))
    level: Array = np.nan_to_num(motion.terminal_speed(np.maximum(T, 0.0), k, c), nan=0.0)
    return level


def _settled(s: Stretches, recur: Callable[[Array, Array], Array], guess: Array) -> Array:
    """Go through the row until the speeds stay; once is enough where the steps are exact."""
    if s.exact:
        return recur(*affine(s))
    around, y = np.broadcast_to(np.maximum(guess, LEAST), (len(s), len(np.atleast_1d(guess)))), None
    for _ in range(MOST_PASSES):
        before, y = y, recur(*affine(s, around))
        if before is not None and np.all(np.abs(y - before) <= SETTLED * np.abs(y).max(axis=0)):
            break
        middle = (y[:-1] + y[1:]) / 2
        around = np.sqrt(np.maximum(middle, 1e-6 * np.abs(y).max(axis=0) + LEAST))
    return y  # type: ignore[return-value]


def times(s: Stretches, y: Array) -> Array:
    """Time each stretch takes, (stretches, samples); NaN where the machine does not get through."""
    omega = np.sqrt(np.where(y >= 0, y, np.nan))
    T, k = s.torque, s.square
    if not s.exact:
        middle = np.sqrt(np.maximum((y[:-1] + y[1:]) / 2, LEAST))
        T, k = T - s.linear * middle / 2, k + s.linear / (2 * middle)
    first, last = omega[:-1], omega[1:]
    even = k * s.angle < FLAT * s.inertia
    safe = np.where(even, 1.0, k)
    level = np.maximum(np.sqrt(np.abs(T) / safe), FLAT * np.maximum(first, last) + LEAST)
    braked = np.where(T > 0, motion.time_driven(s.angle, level, s.inertia, safe, first, last),
                      motion.time_slowing(s.inertia, safe, level, first, last))
    found: Array = np.where(even, motion.time_evenly(s.angle, first, last), braked)
    return found


def _closed(a: Array, b: Array) -> Array:
    """The row begun so that it ends where it began."""
    once = _recur(a, b, np.zeros(np.broadcast_shapes(a.shape, b.shape)[1]))[-1]
    kept = np.prod(a, axis=0)
    return _recur(a, b, np.where(kept < 1, once / np.where(kept < 1, 1 - kept, 1.0), np.nan))


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
