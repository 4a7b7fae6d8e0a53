"""Moments of a run over time that become cases: what a run finds beyond the peaks that are solved anyway.

A moment says with which torque every cam lifts, what is not engaged and how fast the train turns. Solved like every
other peak, it gives the torques and forces on every seat, so that all ratings see it.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field, replace
from typing import TYPE_CHECKING, Any

import numpy as np
import numpy.typing as npt

from layshaft.machine.model import Machine
from layshaft.trace.units import TIME, shown
from layshaft.train.balance import ACCELERATION
from layshaft.train.cases import PEAK, RUNNING, Column, running_plan
from layshaft.train.roles import Role

if TYPE_CHECKING:
    from layshaft.train.solve import Solved

OF_THE_RUN = "peak of the run, after"


@dataclass(frozen=True, slots=True)
class Moment:
    """One moment of the train with a root. Time in s from the start, speed of the root in rad/s."""

    root: str
    time: float
    speed: float
    lifting: tuple[tuple[str, float], ...] = ()
    """Torque of each load that lifts, or follows an angle, on its shaft, N m."""

    off: tuple[str, ...] = ()
    landed: tuple[str, ...] = ()
    """Weights that stand on the floor."""

    pull: tuple[tuple[str, float], ...] = ()
    """Factor on the strands of each weight that is brought up to speed."""

    brake: str = ""
    torque: dict[str, float] = field(default_factory=dict)
    """Torque on the outer shaft of every stage that has its peak here, N m."""

    beyond: float = float("nan")
    """The largest of these over what the solved cases give; with no torque, the same of the speed."""


def titles(moments: Sequence[Moment]) -> list[str]:
    """What the cases of moments are called: by their time, and by what is largest then where that tells none apart."""
    times = [shown(m.time, TIME) for m in moments]
    return [f"{OF_THE_RUN} {time}{_largest_then(m) if times.count(time) > 1 else ''}"
            for m, time in zip(moments, times, strict=True)]


def _largest_then(m: Moment) -> str:
    return f", hardest on {' and '.join(m.torque)}" if m.torque else f", {m.root} at its fastest"


def moment_columns(machine: Machine, roles: dict[str, Role], moments: Sequence[Moment]) -> list[Column]:
    """A peak for each moment; every other train as when running."""
    return [_column(machine, roles, m, title) for m, title in zip(moments, titles(moments), strict=True)
            if m.root in roles and (not m.brake or m.brake in machine.loads)]


def _column(machine: Machine, roles: dict[str, Role], m: Moment, title: str) -> Column:
    plans = {root: running_plan(machine, r) for root, r in roles.items()}
    plans[m.root] = replace(plans[m.root], unknown=ACCELERATION, loads="still", drive="mean", off=frozenset(m.off),
                            lifting=m.lifting, speed=m.speed, brake=m.brake)
    return Column(PEAK, title, plans, pull=dict(m.pull) | dict.fromkeys(m.landed, 0.0))


def rated_for(solved: Solved, stage: str, shaft: str, *, besides_runs: bool = False) -> float:
    """Largest torque a stage puts on one of its shafts in the cases of the running machine.

    `besides_runs` leaves out the cases that an earlier run put among them.
    """
    first, second = solved.stage_torque[stage]
    return _largest(solved, first if solved.machine.stages[stage].from_ == shaft else second, besides_runs)


def fastest(solved: Solved, root: str) -> float:
    """Largest speed of a root in these cases, besides those of an earlier run."""
    return _largest(solved, solved.speed[root], besides_runs=True)


def _largest(solved: Solved, values: npt.NDArray[np.float64], besides_runs: bool) -> float:
    rows: Any = [i for i, column in enumerate(solved.columns) if column.case in (RUNNING, PEAK)
                 and not (besides_runs and column.title.startswith(OF_THE_RUN))]
    return float(np.abs(values[rows]).mean(axis=1).max())
