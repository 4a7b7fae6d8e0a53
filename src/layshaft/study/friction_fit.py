"""The friction that best explains a measured log: loss givens scaled until the rigid run counts as the log does.

Least squares on the pulses counted, with the moment it set off and the place of the first pulse left free. What is
left over tells the uncertainty, widened where neighbours in it go together. Losses that act alike on the log cannot
be told apart by it: all that explain it as well are named.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np
import numpy.typing as npt
from scipy.optimize import least_squares

from layshaft.machine.kinds import EddyBrake, FanBrake, Steady, Turntable
from layshaft.machine.model import Machine
from layshaft.machine.sampling import scaled
from layshaft.machine.schema import Given
from layshaft.study.speed_log import SpeedLog
from layshaft.trace.errors import BadInput
from layshaft.train.motion.course import BROKEN_OFF, follow
from layshaft.train.motion.programme import Programme
from layshaft.train.motion.run import Motion
from layshaft.train.solve import Solved, solve

Array = npt.NDArray[np.float64]
ROUNDS = 80
STEP = 1e-3
"""By how much a loss is changed, in its logarithm, to see what that does."""

SETTLED = 1e-10
NOTHING = 1e-13

DEVIATIONS = 2.0
"""Standard deviations of the ends that are proposed, as `between` is read elsewhere."""

AS_WELL = 4.0
BETTER = 10.0
"""Gain in the sum of squares, over the variance of one count: below the first two explanations are as good as
each other, above the second a second loss is worth its doubt (chi square, common practice)."""

ALIKE = 1 - 1e-7
MOST_SPREAD = 0.5
STARTS = 41
EARLY, LEAST_EARLY = 0.05, 6
"""Share of all pulses, and number of them, that are its beginning: a wrong speed shows little in it yet."""



@dataclass(frozen=True, slots=True)
class Loss:
    """Givens that are scaled together, by the causes of their values."""

    name: str
    givens: tuple[Given, ...]


@dataclass(frozen=True, slots=True)
class Fit:
    """Losses scaled until the run counts as the log does. `spread` is one standard deviation of each factor."""

    losses: tuple[Loss, ...]
    factors: tuple[float, ...]
    spread: tuple[float, ...]
    left: float
    """Root mean square of what is left, in pulses."""

    squares: float
    variance: float
    """Of one count, as what is left has it, widened where neighbours go together."""

    late: float
    """Time of the log at which the machine set off, s."""

    apart: Array
    """What the first factor does to the counts beyond a shift, for telling losses apart."""

    motion: Motion

    def ends(self, i: int) -> tuple[float, float]:
        """Both ends of a factor, two standard deviations away."""
        wide = np.exp(DEVIATIONS * self.spread[i] / self.factors[i])
        return self.factors[i] / wide, self.factors[i] * wide


@dataclass(frozen=True, slots=True)
class Fitted:
    """The run as the file has it, the best fit, and others that explain the log as well."""

    given: Fit
    best: Fit | None
    others: tuple[Fit, ...]

    @property
    def late(self) -> float:
        """When it set off, by the best fit there is."""
        return (self.best or self.given).late

    def ends(self, loss: Loss) -> tuple[float, float]:
        """Both ends of the factor of a loss, in all fits it is in: how sure it is if others may be off as well."""
        every = [f.ends(f.losses.index(loss)) for f in (self.best, *self.others) if f is not None and loss in f.losses]
        return min(low for low, _ in every), max(high for _, high in every)


def losses_of(machine: Machine, solved: Solved, root: str) -> list[Loss]:
    """What may be scaled: all drags together, then every fan, eddy brake, rolling or steady load by itself."""
    inside = solved.sets[root].ratio
    drags = [seat.drag for shaft in inside for seat in machine.shafts[shaft].seats.values() if seat.carries_shaft]
    drags += [stage.drag for stage in machine.stages.values() if stage.from_ in inside]
    found = [Loss("all drags", _known(drags))]
    for load in machine.loads.values():
        if load.shaft in inside:
            found.append(Loss(load.name, _known([_given(load)])))
    return [loss for loss in found if loss.givens]


def _given(load: Any) -> Given | None:
    if isinstance(load, FanBrake):
        return load.constant if load.constant.known else load.drag_coefficient
    if isinstance(load, EddyBrake):
        return load.constant
    if isinstance(load, Turntable):
        return load.rolling_coefficient
    return load.torque if isinstance(load, Steady) else None


def _known(givens: Sequence[Given | None]) -> tuple[Given, ...]:
    """Each cause once, of those that have a value above zero."""
    return tuple({g.cause: g for g in givens if g is not None and g.known and g.nominal > 0}.values())


def fit(machine: Machine, solved: Solved, programme: Programme, log: SpeedLog,
        told: Callable[[float], None] | None = None) -> Fitted:
    """Fit every loss by itself, then the best with each other one. `told` hears the share that is done."""
    work = _Work(machine, solved, programme, log)
    given = work.fit(())
    losses = losses_of(machine, solved, programme.root)
    found: list[Fit] = []
    for i, loss in enumerate(losses):
        found += [one for one in [work.tried((loss,))] if one is not None]
        if told:
            told((i + 1) / (2 * len(losses)))
    if not found:
        return Fitted(given, None, ())
    best = min(found, key=lambda f: f.squares)
    alone, pairs = best, []
    for i, other in enumerate(found):
        if other is not alone and abs(float(alone.apart @ other.apart)) < ALIKE:
            pairs += [two for two in [work.tried((*alone.losses, *other.losses), alone)] if two is not None]
        if told:
            told(0.5 + (i + 1) / (2 * len(found)))
    pair = min(pairs, key=lambda f: f.squares, default=None)
    if pair is not None and alone.squares - pair.squares > BETTER * pair.variance and _told(pair):
        best = pair
    rest = [f for f in ([*found, *(p for p in pairs if _told(p))] if best is alone else pairs) if f is not best]
    return Fitted(given, best, tuple(f for f in rest if f.squares - best.squares < AS_WELL * best.variance))


@dataclass(slots=True)
class _Work:
    machine: Machine
    solved: Solved
    programme: Programme
    log: SpeedLog

    def run(self, losses: tuple[Loss, ...], logs: Array) -> Motion:
        """The run with the losses scaled by exp(logs)."""
        factors = {g.cause: float(np.exp(x)) for loss, x in zip(losses, logs, strict=True) for g in loss.givens}
        course = follow(solve(scaled(self.machine, factors)) if losses else self.solved, self.programme)
        if course.ended == BROKEN_OFF:
            raise KeyboardInterrupt
        return course.motion

    def counts(self, motion: Motion, late: float) -> tuple[Array, Array]:
        """Pulses that the run has counted at every line, and their rate."""
        turns = abs(self.solved.sets[self.programme.root].ratio[self.log.shaft]) * self.log.per_turn / (2 * np.pi)
        angle, omega = motion.at_time(np.clip(self.log.time - late, 0.0, motion.time[-1]))
        return angle * turns, np.where(self.log.time > late, omega, 0.0) * turns

    def tried(self, losses: tuple[Loss, ...], begin: Fit | None = None) -> Fit | None:
        """A fit, or nothing where the machine will not run so or the log says nothing about the losses."""
        try:
            found = self.fit(losses, begin)
        except (BadInput, np.linalg.LinAlgError):
            return None
        return found if np.isfinite([*found.factors, *found.spread]).all() else None

    def window(self) -> tuple[float, float]:
        """When it may have set off: by the first pulse if the log begins with the clock, else at the clock's start."""
        time = self.log.time
        line = float(np.median(np.diff(time)))
        first = float(time[np.argmax(self.log.count > 0)])
        return (-line, first) if time[0] <= line else (-line, line)

    def set_off(self, motion: Motion) -> float:
        """The moment of setting off that suits the beginning of the log best."""
        begun = self.log.count <= max(EARLY * self.log.count[-1], LEAST_EARLY)

        def off(late: float) -> float:
            return float(np.var((self.log.count - self.counts(motion, late)[0])[begun]))

        return float(min(np.linspace(*self.window(), STARTS), key=off))

    def fit(self, losses: tuple[Loss, ...], begin: Fit | None = None) -> Fit:
        """Least squares, from a fit of the first losses if there is one."""
        n = len(losses)
        if not n:
            return self.fitted((), np.array([self.set_off(self.run((), np.zeros(0)))]))
        x = np.zeros(n + 1)
        x[: len(begin.factors) if begin else 0] = np.log(begin.factors if begin else ())
        x[n] = begin.late if begin else self.set_off(self.run(losses, x[:n]))
        worst = 10 * (np.abs(self.log.count) + 1)

        open_ends = np.full(n, np.inf)
        bounds = (np.append(-open_ends, self.window()[0]), np.append(open_ends, self.window()[1]))

        def left(x: Array) -> Array:
            try:
                return self.left(self.run(losses, x[:n]), float(x[n]))
            except BadInput:
                return worst  # it does not run so

        done = least_squares(left, x, jac=lambda x: -self.slopes(losses, x), x_scale="jac", bounds=bounds,
                             xtol=SETTLED, ftol=SETTLED, gtol=SETTLED, max_nfev=ROUNDS)
        return self.fitted(losses, done.x)

    def left(self, motion: Motion, late: float) -> Array:
        """Counts of the log less those of the run, on the mean none."""
        gap = self.log.count - self.counts(motion, late)[0]
        found: Array = gap - gap.mean()
        return found

    def slopes(self, losses: tuple[Loss, ...], x: Array) -> Array:
        """What each logarithm and the moment of setting off do to the counts, on the mean nothing."""
        n, late = len(losses), float(x[-1])
        here, rate = self.counts(self.run(losses, x[:n]), late)
        columns = []
        for i in range(n):
            moved = x[:n] + STEP * (np.arange(n) == i)
            columns.append((self.counts(self.run(losses, moved), late)[0] - here) / STEP)
        every = np.stack([*columns, -rate], axis=1)
        found: Array = every - every.mean(axis=0)
        return found

    def fitted(self, losses: tuple[Loss, ...], x: Array) -> Fit:
        """How sure the factors are, by what is left."""
        n, late = len(losses), float(x[-1])
        motion = self.run(losses, x[:n])
        r = self.left(motion, late)
        squares = float(r @ r)
        variance = squares / max(len(r) - n - 2, 1) * _widened(r)
        root = float(np.sqrt(squares / len(r)))
        if not n:
            return Fit((), (), (), root, squares, variance, late, np.zeros(0), motion)
        factors, J = np.exp(x[:n]), self.slopes(losses, x)
        cov = variance * np.linalg.pinv(J.T @ J, rcond=NOTHING)
        apart = J[:, 0] - J[:, n:] @ np.linalg.lstsq(J[:, n:], J[:, 0], rcond=NOTHING)[0]
        size = float(np.linalg.norm(apart))
        spread = np.sqrt(np.diag(cov)[:n]) * factors if size > 0 else np.full(n, np.nan)
        return Fit(losses, tuple(factors.tolist()), tuple(spread.tolist()), root, squares, variance, late,
                   apart / max(size, 1e-300), motion)


def _told(found: Fit) -> bool:
    """Whether the log tells every factor of a fit well enough to propose it."""
    return all(s < MOST_SPREAD * f for s, f in zip(found.spread, found.factors, strict=True))


def _widened(r: Array) -> float:
    """How many counts stand for one that is free, where what is left of neighbours goes together."""
    together = float(r[1:] @ r[:-1]) / max(float(r @ r), 1e-300)
    rho = min(max(together, 0.0), 0.98)
    return (1 + rho) / (1 - rho)


def proposals(found: Fitted) -> list[tuple[Given, float, float, float]]:
    """Every given of the best fit with its new value and both ends."""
    rows: list[tuple[Given, float, float, float]] = []
    for loss, factor in zip(found.best.losses, found.best.factors, strict=True) if found.best else ():
        low, high = found.ends(loss)
        rows += [(g, g.nominal * factor, g.nominal * low, g.nominal * high) for g in loss.givens]
    return rows
