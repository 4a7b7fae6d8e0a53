"""What a load does by the angle of its shaft: its torque between points, mean, extremes, and the pieces a run takes.

The angle counts the way the shaft turns. Between two points the torque is straight; two points at one angle are a
step. A run takes constant pieces that do the same work as the torque they stand for, so that the energy at every
edge is exact; what they miss in between is said.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import numpy as np
import numpy.typing as npt

from layshaft.machine.kinds import Cam, Load, Pulses, TorqueByAngle
from layshaft.machine.model import Machine
from layshaft.mechanics import by_angle as formulas
from layshaft.mechanics import loads

Array = npt.NDArray[np.float64]
PIECES = 96
"""Pieces of one repeat, besides an edge at every step of the torque."""

SAME = 1e-9
"""Share of a repeat below which two angles, and share of the largest torque below which two torques, are one."""


@dataclass(frozen=True, slots=True)
class Curve:
    """One repeat: angles and torques at both ends of every straight part, (parts, samples or 1)."""

    begin: Array
    end: Array
    first: Array
    last: Array
    per_turn: float

    @property
    def work(self) -> Array:
        """Work of every part."""
        return np.asarray(formulas.work_between(self.first, self.last, self.begin, self.end))

    @property
    def mean(self) -> Any:
        """Mean torque of a turn."""
        return loads.pulse_mean_torque(np.sum(self.work, axis=0), self.per_turn)

    @property
    def largest(self) -> Any:
        """Largest torque; unknown where any is."""
        return np.max(np.maximum(self.first, self.last), axis=0)

    @property
    def smallest(self) -> Any:
        """Smallest torque, below zero where it drives."""
        return np.min(np.minimum(self.first, self.last), axis=0)

    @property
    def taken(self) -> Any:
        """Work of one repeat that the shaft must give, parts that drive left out."""
        return np.sum(np.maximum(self.work, 0.0), axis=0)

    @property
    def fluctuation(self) -> Any:
        """Largest less smallest energy within a turn, beside a drive of the mean torque."""
        mean, span = self.mean, self.end - self.begin
        done = np.cumsum(self.work - mean * span, axis=0)
        before = np.concatenate([0 * done[:1], done[:-1]])
        within = before + formulas.work_to_the_mean(self.first, self.last, mean, self.begin, self.end)
        every = np.concatenate([done, np.where(np.isnan(within), done, within)])
        return np.max(every, axis=0) - np.min(every, axis=0)


def curve_of(machine: Machine, load: Load) -> Curve:
    """The torque of a load by angle. Pulses, too, are one: constant in the lift, nothing after."""
    often = repeats(load)
    if isinstance(load, Pulses):
        lift, pitch = loads.pulse_lift_torque(load.energy.value, load.over.value), 2 * np.pi / often
        over = np.minimum(load.over.value, pitch)
        return _curve([0.0, over], [over, pitch], [lift, 0 * lift], [lift, 0 * lift], often)
    points = load.points if isinstance(load, TorqueByAngle) else load.lift  # type: ignore[attr-defined]
    angles, values = ([p[i].value for p in points] for i in (0, 1))
    angles, values = [*angles, angles[0] + 2 * np.pi / often], [*values, values[0]]
    spans = [i for i in range(len(points)) if not _same(angles[i], angles[i + 1], often)]
    begin, end, a, b = ([row[i + k] for i in spans] for row in (angles, values) for k in (0, 1))
    if isinstance(load, TorqueByAngle):
        factor = load.scale.value if load.scale.known else 1.0
        return _curve(begin, end, [v * factor for v in a], [v * factor for v in b], often)
    assert isinstance(load, Cam)
    return _lifted(machine, load, _curve(begin, end, a, b, often))


def repeats(load: Load) -> float:
    """How often a turn its torque comes again."""
    often = load.per_turn  # type: ignore[attr-defined]
    return float(often.nominal) if often.known or isinstance(load, Pulses) else 1.0


def _same(one: Any, other: Any, often: float) -> bool:
    return bool(np.all(np.abs(np.asarray(other) - one) <= SAME * 2 * np.pi / often))


def _curve(begin: list[Any], end: list[Any], first: list[Any], last: list[Any], often: float) -> Curve:
    every = np.broadcast_arrays(*(np.atleast_1d(v) for v in (*begin, *end, *first, *last)))
    n = len(begin)
    rows = [np.stack(every[i * n : (i + 1) * n]).astype(np.float64) for i in range(4)]
    return Curve(rows[0], rows[1], rows[2], rows[3], often)


def _lifted(machine: Machine, load: Cam, lift: Curve) -> Curve:
    """Virtual work: force times lift over angle, at both ends of every part."""
    parts = (load.mass, load.force, load.spring_rate)
    m, F_0, c = (p.value if p.known else 0.0 for p in parts)
    if not any(p.known for p in parts):
        m = np.nan
    ends = []
    for h in (lift.first, lift.last):
        force = formulas.follower_force(m, machine.gravity.value, F_0, c, h)
        torque = formulas.cam_torque(force, lift.first, lift.last, lift.begin, lift.end)
        ends.append(np.maximum(torque, 0.0) if load.falls_free else torque)
    begin, end, first, last = (np.asarray(v) for v in np.broadcast_arrays(lift.begin, lift.end, *ends))
    return Curve(begin, end, first, last, lift.per_turn)


# Pieces ----------------------------------------------------------------------------------------


@dataclass(frozen=True, slots=True)
class Pieces:
    """Constant pieces of one repeat at the nominal machine: where each begins, and its torque."""

    starts: tuple[float, ...]
    torques: tuple[float, ...]
    missed: float
    """Largest energy by which the torque that is meant differs within a piece."""


def pieces_of(machine: Machine, load: Load, count: int = PIECES) -> Pieces:
    """The pieces of a load from angle 0 on, each with the work of what it stands for."""
    c = curve_of(machine, load)
    begin, end, first, last = (np.mean(v, axis=1) for v in (c.begin, c.end, c.first, c.last))
    period = 2 * np.pi / c.per_turn
    done = np.concatenate([[0.0], np.cumsum(np.mean(c.work, axis=1))])
    knots = np.append(begin, end[-1])
    breaks = begin if len(begin) <= count else begin[_steps(first, last, count)]
    edges = np.unique(np.concatenate([[0.0], np.mod(breaks, period), np.linspace(0, period, count, endpoint=False)]))
    edges = edges[np.append(np.diff(edges) > SAME * period, period - edges[-1] > SAME * period)]
    edges = edges if edges[0] == 0 else np.append(0.0, edges)

    def work(angle: Array) -> Array:
        """Work from the first point on up to an angle, turn after turn."""
        turns, into = np.divmod(angle - knots[0], period)
        i = np.clip(np.searchsorted(knots, knots[0] + into, side="right") - 1, 0, len(begin) - 1)
        x = knots[0] + into - begin[i]
        here = first[i] + (last[i] - first[i]) * x / (end[i] - begin[i])
        found: Array = turns * done[-1] + done[i] + formulas.work_between(first[i], here, 0.0, x)
        return found

    ends = np.append(edges[1:], period)
    torques = (work(ends) - work(edges)) / (ends - edges)
    inside = np.linspace(edges, ends, 9)
    missed = float(np.max(np.abs(work(inside) - work(edges) - torques * (inside - edges))))
    keep = np.append(True, np.abs(np.diff(torques)) > SAME * np.max(np.abs(torques)))
    return Pieces(tuple(edges[keep].tolist()), tuple(torques[keep].tolist()), missed)


def _steps(first: Array, last: Array, most: int) -> npt.NDArray[np.int64]:
    """The points at which the torque jumps, or rises or falls most before or after."""
    rise = np.abs(last - first)
    change = np.abs(first - np.roll(last, 1)) + rise + np.roll(rise, 1)
    found: npt.NDArray[np.int64] = np.argsort(-change, kind="stable")[:most]
    return found
