"""The speed a setting of the machine comes back to, cycle by cycle, and how steadily a run turned."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from layshaft.mechanics import steadiness
from layshaft.train.motion.reduced import Reduced
from layshaft.train.motion.run import (
    EVEN,
    REPEATS,
    STOPS,
    Log,
    Motion,
    Now,
    advance,
    density,
    edges_of,
    period_of,
    stretches_of,
)
from layshaft.train.motion.steps import cycle
from layshaft.train.motion.way import Way

Array = npt.NDArray[np.float64]
MOST_CYCLES = 400
MOST_LAWS = 8
MOST_SECANTS = 40
SLACK = 1e-12
LEAST_EVENTS = 4
LONG = 10
"""Pitches of the slowest lift that stand for a cycle where the lifts never come again together."""


@dataclass(frozen=True, slots=True)
class Steady:
    """Speed of the root over the cycle that repeats: mean, smallest, largest; 0 where it would stop."""

    mean: float
    low: float
    high: float

    @property
    def swing(self) -> float:
        """(largest - smallest) / mean."""
        return float(steadiness.swing(self.high, self.low, self.mean)) if self.mean > 0 else float("nan")


UNSETTLED = Steady(float("nan"), float("nan"), float("nan"))
STOPPED = Steady(0.0, 0.0, 0.0)


def cycle_of(r: Reduced) -> float:
    """Root angle over which a mean speed is taken: one cycle of all lifts."""
    longest = max((lift.pitch for lift in r.lifts), default=EVEN)
    return period_of(r.lifts) or LONG * longest


def settled_speed(r: Reduced) -> Steady:
    """The cycle a setting comes back to, found at once, or by running on where its torque laws change within it."""
    if not any(band.a[1] or band.a[2] for bands in r.bands.values() for band in bands):
        return UNSETTLED
    for find in (repeating, closing):
        found = find(r)
        if np.isfinite(found.mean):
            return found
    return steady(r)


def repeating(r: Reduced) -> Steady:
    """The cycle that ends as it began, where one torque law for each state of the lifts holds all through it."""
    period = period_of(r.lifts)
    omega = r.running if np.isfinite(r.running) and r.running > 0 else 1.0
    edges, state = _one_cycle(r, period)
    for _ in range(MOST_LAWS if period else 0):
        bands = [r.band(tuple(row), omega) for row in state.tolist()]
        m = cycle(stretches_of(np.diff(edges), bands))
        y, time = m.y[:, 0], m.time[:, 0]
        if not (np.isfinite(time).all() and (y > 0).all()):
            break
        speeds, before, omega = np.sqrt(y), omega, period / float(time.sum())
        low, high = (np.array([getattr(band, end) for band in bands]) for end in ("low", "high"))
        if all(((w >= low * (1 - SLACK)) & (w <= high * (1 + SLACK))).all() for w in (speeds[:-1], speeds[1:])):
            return Steady(omega, float(speeds.min()), float(speeds.max()))
        if abs(omega - before) <= SLACK * omega:
            break
    return UNSETTLED


def closing(r: Reduced) -> Steady:
    """The cycle that ends as it began, run through whole and closed in on by the secant, whatever laws it passes."""
    period = period_of(r.lifts)
    start = r.running**2 if np.isfinite(r.running) and r.running > 0 else 0.0
    if not period or not start:
        return UNSETTLED
    m = _run_once(r, period, start)
    other = 0.0 if m is None else float(m.omega[-1] ** 2)
    for _ in range(MOST_SECANTS):
        again = _run_once(r, period, other) if other > 0 else None
        if m is None or again is None:
            break
        first, second = float(m.omega[-1]) ** 2 - start, float(again.omega[-1]) ** 2 - other
        if abs(second) <= REPEATS * other:
            return Steady(period / float(again.time[-1]), float(again.omega.min()), float(again.omega.max()))
        step = second * (other - start) / (second - first) if second != first else -second
        start, other, m = other, other - step, again
    return UNSETTLED


def _run_once(r: Reduced, period: float, start: float) -> Motion | None:
    """One cycle from a squared speed; None where it stops in it."""
    log, now = Log(), Now(0.0, 0.0, start)
    if advance(r, log, now, np.inf, Way(period)) == STOPS:
        return None
    return log.motion(now, r.root, r.lifts, [], "")


def _one_cycle(r: Reduced, period: float) -> tuple[Array, npt.NDArray[np.int64]]:
    """Edges of one cycle from angle 0, and which piece of each lift acts between them."""
    edges, state = edges_of(r.lifts, 0.0, int(1.01 * density(r.lifts) * period) + 4)
    within = edges < period * (1 - SLACK)
    return np.append(edges[within], period), state[within[:-1]]


def steady(r: Reduced) -> Steady:
    """Run on from near the running speed until a cycle repeats."""
    begin = r.running if np.isfinite(r.running) and r.running > 0 else 1.0
    log, now, period = Log(), Now(0.0, 0.0, begin**2), cycle_of(r)
    if advance(r, log, now, np.inf, Way(MOST_CYCLES * period)) == STOPS:
        return STOPPED
    m = log.motion(now, r.root, r.lifts, [], "")
    last = np.flatnonzero(m.angle >= m.angle[-1] - period * (1 + 1e-9))
    mean = (m.angle[-1] - m.angle[last[0]]) / (m.time[-1] - m.time[last[0]])
    return Steady(float(mean), float(m.omega[last].min()), float(m.omega[last].max()))


@dataclass(frozen=True, slots=True)
class Timing:
    """Events of a shaft against even spacing, split by what would cure each part."""

    events: int
    spacing: float
    rate_error: float
    """Of the mean rate, against the speed that is wanted; NaN where none is."""

    drift: float
    """By how much the rate has grown from the first events to the last, as the fitted parabola has it."""

    scatter: float
    """Mean square deviation of the events from that parabola, s."""

    worst: float
    """Largest of these deviations, s."""


def timing(times: Array, wanted: float) -> Timing | None:
    """Split the errors of a row of events; `wanted` is their spacing. None for too few."""
    times = times[np.isfinite(times)]
    n = len(times)
    if n < LEAST_EVENTS:
        return None
    x = np.linspace(-1, 1, n)
    fit = np.polynomial.polynomial.Polynomial.fit(x, times - times[0], 2, domain=[-1, 1])
    step = 2 / (n - 1)
    begin, middle, end = (float(fit.deriv()(v)) * step for v in (-1.0, 0.0, 1.0))
    left = times - times[0] - fit(x)
    return Timing(n, middle, float(steadiness.rate_error(1 / middle, 1 / wanted)),
                  float(steadiness.rate_drift(begin, end)), float(np.sqrt(np.mean(left**2))),
                  float(np.abs(left).max()))


def swing_within(m: Motion, turn: float, first: float, last: float) -> tuple[float, float]:
    """Largest swing within one turn between two times, and when that turn begins; NaN for no whole turn.

    Speed has its extremes at edges: inside a stretch it only rises or only falls.
    """
    (begin, end), _ = m.at_time(np.array([first, last]))
    marks = turn * np.arange(np.ceil(begin / turn), np.floor(end / turn) + 1)
    if len(marks) < 2:
        return float("nan"), float("nan")
    times, speeds = m.at_angle(marks)
    inside = (m.angle > marks[0]) & (m.angle < marks[-1])
    angle = np.concatenate([marks, m.angle[inside]])
    order = np.argsort(angle, kind="stable")
    omega = np.concatenate([speeds, m.omega[inside]])[order]
    at = np.searchsorted(angle[order], marks)
    low, high = (np.minimum.reduceat(omega, at)[:-1], np.maximum.reduceat(omega, at)[:-1])
    low, high = np.minimum(low, speeds[1:]), np.maximum(high, speeds[1:])
    found = np.asarray(steadiness.swing(high, low, turn / np.diff(times)))
    worst = int(np.argmax(found))
    return float(found[worst]), float(times[worst])
