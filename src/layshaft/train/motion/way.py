"""How far a stretch of a run may go: an angle of the root, and the heights of the weights."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import numpy as np
import numpy.typing as npt

Array = npt.NDArray[np.float64]
TURNED = "turned so far"
BOTTOM = "the weight is at the bottom"
TOP = "the weight is at the top"
SLACK = 1e-12
HALVINGS = 60


@dataclass(frozen=True, slots=True)
class Hoist:
    """One weight: it sinks by `arm` for each radian of the root, and is lifted meanwhile.

    `start` is its height above the end of its drop at root angle 0, had nobody lifted it; `up` what it has been
    lifted by time `since`, with the speed `speed` then, growing by `gain`. `top` is as high as it goes.
    """

    weight: str
    arm: float
    start: float
    top: float
    up: float = 0.0
    since: float = 0.0
    speed: float = 0.0
    gain: float = 0.0

    def lifted(self, time: Any) -> Any:
        """By how much it has been lifted up to a time."""
        t = time - self.since
        return self.up + self.speed * t + self.gain * t * t / 2

    @property
    def goes_up(self) -> bool:
        """Whether its top may be reached: it is lifted, or the run itself winds it up."""
        return bool(self.speed or self.gain or self.arm < 0)

    def height(self, time: Any, angle: Any) -> Any:
        """Height above the end of the drop."""
        return self.start + self.lifted(time) - self.arm * angle


    def reaches_top(self, until: float, angle: float) -> float:
        """The time before `until` at which a weight that is lifted over a machine at rest is up."""
        low, high = self.since, until
        for _ in range(HALVINGS):
            middle = (low + high) / 2
            low, high = (low, middle) if self.height(middle, angle) > self.top else (middle, high)
        return high


@dataclass(frozen=True, slots=True)
class Way:
    """What may end a stretch of a run besides its time."""

    angle: float = np.inf
    hoists: tuple[Hoist, ...] = ()

    def left(self, time: Array, angle: Array) -> npt.NDArray[np.bool_]:
        """Where times and angles lie beyond the way."""
        beyond = np.asarray(angle > self.angle)
        for h in self.hoists:
            height = h.height(time, angle)
            beyond = beyond | (height < 0)
            if h.goes_up:
                beyond = beyond | (height > h.top * (1 + SLACK))
        return beyond

    def why(self, time: float, angle: float) -> tuple[str, str]:
        """What a time and angle lie beyond, and the weight it concerns; blank if nothing."""
        if angle >= self.angle:
            return TURNED, ""
        for h in self.hoists:
            height = h.height(time, angle)
            if height < 0:
                return BOTTOM, h.weight
            if h.goes_up and height > h.top * (1 + SLACK):
                return TOP, h.weight
        return "", ""

    def clear(self, time: float, angle: float) -> tuple[float, float]:
        """A time and an angle up to which nothing is met for certain."""
        until, far = np.inf, self.angle
        for h in self.hoists:
            height = h.height(time, angle)
            if h.arm > 0:
                far = min(far, angle + height / h.arm)
            if h.arm < 0:
                far = min(far, angle + (h.top - height) / -h.arm)
            if h.speed or h.gain:
                fastest = max(h.speed, h.speed + h.gain * (time - h.since), SLACK)
                until = min(until, time if h.gain else time + (h.top - height) / fastest)
        return until, far
