"""The figures of a run that wants and ratings ask for: plain numbers, so that they can be kept with the machine."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from layshaft.machine.kinds import FanBrake
from layshaft.train.kinematic.answer import events_per_turn, uneven
from layshaft.train.moments import Moment
from layshaft.train.motion.drift import drifts

if TYPE_CHECKING:
    from layshaft.train.motion.results import Results, ShaftRun

NOT_RUN = "not run yet: `layshaft run`"
EARLIER_STATE = "from an earlier state: `layshaft run`"
TOO_SOON = "a change comes before the speed of one cycle is known"
NO_CHANGE = "nothing is engaged or let go in the run, and nobody winds"


@dataclass(frozen=True, slots=True)
class Timed:
    """Events of one shaft against even spacing; NaN where too few came, or no rate is wanted."""

    event: str
    events: int
    rate_error: float = float("nan")
    drift: float = float("nan")
    scatter: float = float("nan")
    """Of the pulses and of the train's own shape together: root of the sum of both squares."""

    slow: float = 0.0
    """By how much air and drag may move the rate slowly, all one way; only where a drift is wanted. NaN: not known."""

    of_shape: float = 0.0
    """What chains, teeth, runout and bent joints scatter by themselves."""


@dataclass(frozen=True, slots=True)
class Asked:
    """What one bout of winding asked of the person: powers in W."""

    bout: str
    crank: str
    power: float
    peak_power: float


@dataclass(frozen=True, slots=True)
class Figures:
    """One run in numbers. Times in s."""

    lasted: float
    """Until a weight landed, a brake was put on for good, it stopped, or its time was over."""

    time: float
    """Length the programme states; endless where it ends by itself."""

    settled: float
    droop: float
    """Largest change of the mean speed, as a share, down or up."""

    droop_at: str
    """The change it belongs to; where it is not known, why."""

    timed: dict[str, Timed]
    per_winding: dict[str, float]
    """Running time of a full drop of each weight."""

    asked: list[Asked]
    moments: list[Moment]
    """Where the run goes beyond the cases every part is rated for."""


@dataclass(frozen=True, slots=True)
class RunSeen:
    """The figures of the run of a machine, or why there are none."""

    figures: Figures | None = None
    why: str = NOT_RUN

    @property
    def moments(self) -> Sequence[Moment]:
        """What the ratings take up of it."""
        return self.figures.moments if self.figures is not None else ()


UNSEEN = RunSeen()


def figures_of(r: Results) -> Figures:
    """The figures of a run."""
    from layshaft.train.motion.beyond import moments_beyond

    droop, at = _droop(r)
    return Figures(r.ends, r.course.programme.time, r.settled, droop, at, _timings(r),
                   {w.weight: w.per_winding for w in r.wound},
                   [Asked(b.name, b.crank, b.power, b.peak_power) for w in r.wound for b in w.bouts],
                   moments_beyond(r.course))


def _timings(r: Results) -> dict[str, Timed]:
    machine = r.course.solved.machine
    shapes = uneven(r.course.solved, [s.shaft for s in r.shafts])
    return {s.shaft: _timed(r, s, float(shape.scatter(events_per_turn(machine, s.shaft))))
            for s, shape in zip(r.shafts, shapes, strict=True)}


def _timed(r: Results, s: ShaftRun, of_shape: float) -> Timed:
    t = s.timing
    if t is None:
        return Timed(s.event, 0)
    scatter = float(np.hypot(t.scatter, of_shape))
    return Timed(s.event, t.events, t.rate_error, t.drift, scatter, _slow(r, s.shaft), of_shape)


def _slow(r: Results, shaft: str) -> float:
    """A run keeps air and drag as they are, so what they do to the rate comes from the running balance."""
    solved = r.course.solved
    if not any(want.shaft == shaft and want.drift.known for want in solved.machine.wants.values()):
        return 0.0
    if not _air_is_known(r):
        return float("nan")
    return float(sum(abs(d.rate[1] - d.rate[0]) for d in drifts(solved, shaft)))


def _air_is_known(r: Results) -> bool:
    """Whether what colder and warmer air does to every fan of the train can be told."""
    machine = r.course.solved.machine
    fans = [load for load in machine.loads.values() if isinstance(load, FanBrake) and load.shaft in r.course.ratio]
    stated = (machine.venue.coldest, machine.venue.warmest, machine.venue.air_density)
    follow = not any(fan.constant.known or fan.air_density.known for fan in fans)
    return not fans or (follow and all(given.known for given in stated))


def _droop(r: Results) -> tuple[float, str]:
    """The largest of all changes; not known where one of them is not."""
    came = [m for m in r.course.marks if m.kind in ("change", "wind") and m.time > 0]
    droops = np.array([c.droop for c in r.changes])
    if not came:
        return float("nan"), NO_CHANGE
    if len(droops) < len(came) or not np.isfinite(droops).all():
        return float("nan"), TOO_SOON
    at = int(np.argmax(np.abs(droops)))
    return float(abs(droops[at])), r.changes[at].name
