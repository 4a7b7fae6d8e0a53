"""A measured log laid over a run: speed over spans long enough that single pulses do not matter."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from layshaft.mechanics import steadiness
from layshaft.study.speed_log import SpeedLog
from layshaft.train.motion.run import Motion

Array = npt.NDArray[np.float64]
LEAST_PULSES = 50
MOST_SPANS = 400


@dataclass(frozen=True, slots=True)
class LaidOver:
    """Speeds of the shaft by span, measured and predicted, rad/s; times of the run in s, from the setting off."""

    begin: Array
    end: Array
    measured: Array
    predicted: Array
    mean: float
    """Measured mean speed over the predicted one, less one, from the first span to the last."""

    measured_mean: float
    predicted_mean: float

    @property
    def difference(self) -> Array:
        """Measured less predicted speed, over the mean of the prediction."""
        return (self.measured - self.predicted) / self.predicted_mean

    @property
    def worst(self) -> int:
        """The span of the largest difference."""
        return int(np.argmax(np.abs(self.difference)))


def laid_over(log: SpeedLog, motion: Motion, ratio: float, late: float) -> LaidOver:
    """The log beside a run whose root turns 1 / `ratio` as fast as the shaft; it set off at `late` of the log."""
    at = _edges(log)
    time = log.time[at]
    run = np.clip(time - late, 0.0, motion.time[-1])
    angle = motion.at_time(run)[0] * ratio
    turned, span = log.count[at] * 2 * np.pi / log.per_turn, np.diff(time)
    measured, predicted = np.diff(turned) / span, np.diff(angle) / span
    whole = float(time[-1] - time[0])
    means = float(turned[-1] - turned[0]) / whole, float(angle[-1] - angle[0]) / whole
    return LaidOver(time[:-1] - late, time[1:] - late, measured, predicted,
                    float(steadiness.rate_error(means[0], means[1])), *means)


def _edges(log: SpeedLog) -> npt.NDArray[np.int64]:
    """Lines that part the log into spans of fifty pulses on the mean or more, no more than four hundred."""
    whole = log.time[-1] - log.time[0]
    span = max(LEAST_PULSES / log.count[-1], 1 / MOST_SPANS) * whole
    marks = np.arange(log.time[0], log.time[-1] + span / 2, span) if span < whole else log.time[[0, -1]]
    found: npt.NDArray[np.int64] = np.unique(np.clip(np.searchsorted(log.time, marks), 0, len(log.time) - 1))
    return found
