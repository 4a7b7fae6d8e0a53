"""Many stepped shafts at once: the beams of a whole field of candidates, stacked.

The same theory, signs and answers as `mechanics.beam`, for shafts that have equally many steps, bearings
and stations. Where one shaft is wanted again alone, `Beams.one` hands it out.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from layshaft.mechanics.beam import SAME_PLACE, Beam, BeamResult, refuse_impossible

Array = npt.NDArray[np.float64]


class Beams:
    """Geometry of S shafts, ready to answer loads at their stations.

    `ends` (S, steps + 1), `diameters` (S, steps), `supports` (S, bearings) and `stations` (S, stations)
    are in m and keep their order in every result; `bores` (S, steps) may give the holes. Raises
    `ValueError` in the words of `Beam` for the first shaft that cannot be solved.
    """

    def __init__(self, ends: npt.ArrayLike, diameters: npt.ArrayLike, E: float, supports: npt.ArrayLike,
                 stations: npt.ArrayLike, bores: npt.ArrayLike | None = None) -> None:
        steps = [np.asarray(a, dtype=float) for a in (ends, diameters, supports, stations)]
        ends, diameters, self.supports, self.stations = steps
        bores = np.zeros_like(diameters) if bores is None else np.asarray(bores, dtype=float)
        if not len(ends) == len(diameters) == len(bores) == len(self.supports) == len(self.stations):
            raise ValueError("Ends, diameters, bores, bearings and stations must be of equally many shafts.")
        _refuse(ends, diameters, bores, E, self.supports, self.stations)
        field = _Field(ends, E * np.pi / 64 * (diameters**4 - bores**4), self.supports, self.stations)
        self._answers = field.answers()

    def __len__(self) -> int:
        return len(self._answers)

    def solve(self, forces: Array, couples: Array) -> BeamResult:
        """Answer all columns of all shafts; both arrays have the shape (shafts, stations, 2 planes, columns).

        The results carry the shafts first, then what those of `Beam.solve` have.
        """
        s, n, p = len(self), self.stations.shape[1], self.supports.shape[1]
        if forces.shape != couples.shape or forces.ndim != 4 or forces.shape[:3] != (s, n, 2):
            raise ValueError(f"Forces {forces.shape} and couples {couples.shape} must both have the shape "
                             f"({s} shafts, {n} stations, 2 planes, columns).")
        loads = np.concatenate((forces, couples), axis=1).reshape(s, 2 * n, -1)
        answer = (self._answers @ loads).reshape(s, p + 6 * n, 2, -1)
        lines = (answer[:, p + k * n : p + (k + 1) * n] for k in range(6))
        return BeamResult(answer[:, :p], *lines)

    def flexibility(self) -> Array:
        """Deflection at each station (rows) under one newton at each (columns), (shafts, stations, stations)."""
        n, p = self.stations.shape[1], self.supports.shape[1]
        return np.array(self._answers[:, p + 4 * n : p + 5 * n, :n])

    def one(self, i: int) -> Beam:
        """One of the shafts alone."""
        return Beam.solved(self.supports[i], self.stations[i], self._answers[i])


def _refuse(ends: Array, diameters: Array, bores: Array, E: float, supports: Array, stations: Array) -> None:
    """Look at all shafts at once; only one that is out of order is looked at closely, for its sentence."""
    low, high = ends[:, :1] - SAME_PLACE, ends[:, -1:] + SAME_PLACE
    sound = np.full(len(ends), E > 0 and ends.shape[1] == diameters.shape[1] + 1 and supports.shape[1] > 1)
    for fits in (np.diff(ends, axis=1) > 0, diameters > bores, bores >= 0,
                 (supports >= low) & (supports <= high), (stations >= low) & (stations <= high),
                 np.diff(np.sort(supports, axis=1), axis=1) > 1e-6 * (ends[:, -1:] - ends[:, :1])):
        sound &= fits.all(axis=1)
    if not sound.all():
        i = int(np.argmin(sound))
        refuse_impossible(ends[i].tolist(), diameters[i].tolist(), bores[i].tolist(), E, supports[i].tolist(),
                          stations[i].tolist())


@dataclass(slots=True)
class _Field:
    """All shafts on their outermost bearings, under one newton and one newton metre at every station."""

    ends: Array
    EI: Array
    supports: Array
    stations: Array

    def answers(self) -> Array:
        """Matrices from loads at the stations (forces, then couples) to every answer, (shafts, rows, 2 stations)."""
        n = self.stations.shape[1]
        order = np.argsort(self.supports, axis=1)
        placed = np.take_along_axis(self.supports, order, axis=1)
        first, last, between = placed[:, :1], placed[:, -1:], placed[:, 1:-1]
        at = np.concatenate((self.stations, self.stations, between), axis=1)
        is_couple = np.zeros(at.shape[1])
        is_couple[n : 2 * n] = 1.0
        push_last = -((1 - is_couple) * (at - first) + is_couple) / (last - first)
        push_first = is_couple - 1 - push_last
        x = np.sort(np.concatenate((self.ends, self.supports, self.stations), axis=1), axis=1)
        unit = _Units(at, is_couple, first, last, push_first, push_last, 2 * n,
                      SAME_PLACE * (self.ends[:, -1:] - self.ends[:, :1]))
        bent, slope = self._bent(x, unit)
        stations = _places(x, self.stations)
        redundant = _holding(np.take_along_axis(bent, _places(x, between)[:, :, None], axis=1), 2 * n)
        lines = (*unit.shears(self.stations), *unit.moments(self.stations),
                 *(np.take_along_axis(line, stations[:, :, None], axis=1) for line in (bent, slope)))
        outer = np.stack((push_first, push_last), axis=1)
        ends = outer[:, :, : 2 * n] + outer[:, :, 2 * n :] @ redundant
        reactions = np.concatenate((ends[:, :1], redundant, ends[:, 1:]), axis=1)
        back = np.argsort(order, axis=1)[:, :, None]
        return np.concatenate((np.take_along_axis(reactions, back, axis=1),
                               *(line[:, :, : 2 * n] + line[:, :, 2 * n :] @ redundant for line in lines)), axis=1)

    def _bent(self, x: Array, unit: _Units) -> tuple[Array, Array]:
        """Deflection and slope at every node: each stretch integrated twice, zero at the two bearings."""
        middle = (x[:, 1:] + x[:, :-1]) / 2
        section = (middle[:, :, None] > self.ends[:, None, 1:-1]).sum(axis=2)
        EI = np.take_along_axis(self.EI, section, axis=1)[:, :, None]
        length = np.diff(x, axis=1)[:, :, None]
        left, right = unit.moments(x)
        start, end = right[:, :-1], left[:, 1:]
        slope, bent = np.zeros_like(left), np.zeros_like(left)
        np.cumsum(length * (start + end) / (2 * EI), axis=1, out=slope[:, 1:])
        np.cumsum(length * (slope[:, :-1] + length * (2 * start + end) / (6 * EI)), axis=1, out=bent[:, 1:])
        held = [np.take_along_axis(bent, _places(x, place)[:, :, None], axis=1) for place in (unit.first, unit.last)]
        tilt = (held[1] - held[0]) / (unit.last - unit.first)[:, :, None]
        return bent - held[0] - tilt * (x - unit.first)[:, :, None], slope - tilt


def _places(x: Array, places: Array) -> npt.NDArray[np.intp]:
    """Index of each place among the sorted nodes of its shaft."""
    found: npt.NDArray[np.intp] = (x[:, None, :] < places[:, :, None]).sum(axis=2)
    return found


def _holding(bent: Array, loads: int) -> Array:
    """Push of every bearing in between that brings the shaft back to zero there."""
    if not bent.shape[1]:
        return np.zeros((len(bent), 0, loads))
    return np.asarray(-np.linalg.solve(bent[:, :, loads:], bent[:, :, :loads]))


@dataclass(slots=True)
class _Units:
    """Unit loads: where they act, and what the two outer bearings push back with."""

    at: Array
    is_couple: Array
    first: Array
    last: Array
    push_first: Array
    push_last: Array
    loads: int
    apart: Array

    def shears(self, x: Array) -> tuple[Array, Array]:
        """Shear just left and just right of places (shafts, places)."""
        is_force = 1 - self.is_couple
        apart = self.apart[:, :, None]
        found = []
        for side in (apart, -apart):
            beyond = [x[:, :, None] > place[:, None, :] + side for place in (self.at, self.first, self.last)]
            found.append(is_force * beyond[0] + self.push_first[:, None, :] * beyond[1]
                         + self.push_last[:, None, :] * beyond[2])
        return found[0], found[1]

    def moments(self, x: Array) -> tuple[Array, Array]:
        """Moment just left and just right of places (shafts, places); it jumps at couples alone."""
        place = x[:, :, None]
        arms = np.maximum(place - self.at[:, None, :], 0)
        arms *= 1 - self.is_couple
        arms += self.push_first[:, None, :] * np.maximum(place - self.first[:, None, :], 0)
        arms += self.push_last[:, None, :] * np.maximum(place - self.last[:, None, :], 0)
        half, n = self.loads // 2, self.loads
        right = arms.copy()
        for line, side in ((arms, self.apart), (right, -self.apart)):
            line[:, :, half:n] -= place > (self.at[:, half:n] + side)[:, None, :]
        return arms, right
