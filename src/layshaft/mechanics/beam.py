"""A stepped round shaft on two or more rigid bearings, bent in two planes at once.

Euler-Bernoulli beam with concentrated forces and bending couples, solved exactly by the force
method: the moment line comes from statics on the outermost two bearings, the bent line by
integrating M/(E I) over each stretch of constant diameter, and the bearings in between push with
whatever force brings the shaft back to zero there. Everything is linear in the loads, so a `Beam`
is built once per shaft and then multiplies whole arrays of loads.

Signs, the same in both planes: x runs along the shaft, positive to the right. Forces, reactions
and deflections are positive along the plane's transverse axis; reactions are what the bearing does
to the shaft. A couple is positive when it turns the x axis towards that transverse axis: with
plane 0 = (x, y) and plane 1 = (x, z) in a right-handed frame that is about +z and about -y. Shear
is the sum of all forces to the left; the moment is the sum of force times distance to the left
less the couples to the left, so that E I y'' = M, and a load that presses down between two
bearings gives a positive moment.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from itertools import pairwise
from typing import Any

import numpy as np
import numpy.typing as npt

from layshaft.trace.formula import formula, named, total
from layshaft.trace.source import STATICS
from layshaft.trace.units import FORCE, TORQUE, Force, Length, Torque

Array = npt.NDArray[np.float64]
AT_ONCE = 250_000
"""Products of one piece of a matrix product."""

SAME_PLACE = 1e-9
"""Two positions nearer than this share of the shaft's length are one."""


@dataclass(frozen=True, slots=True)
class BeamResult:
    """What the shaft answers. Supports or stations first, then plane, then column."""

    reactions: Array
    shear_left: Array
    shear_right: Array
    moment_left: Array
    moment_right: Array
    deflection: Array
    slope: Array


class Beam:
    """Geometry of one shaft, ready to answer loads at its stations.

    `ends` are the section ends from left to right, one more than `diameters`; `bores` may give the
    hole of each section. `supports` and `stations` keep their order in every result.
    """

    def __init__(self, ends: Sequence[float], diameters: Sequence[float], E: float,
                 supports: Sequence[float], stations: Sequence[float],
                 bores: Sequence[float] | None = None) -> None:
        bores = bores if bores is not None else [0.0] * len(diameters)
        refuse_impossible(ends, diameters, bores, E, supports, stations)
        self.supports = np.asarray(supports, dtype=float)
        self.stations = np.asarray(stations, dtype=float)
        x = _nodes((*ends, *supports, *stations), SAME_PLACE * (ends[-1] - ends[0]))
        EI = _rigidity(x, np.asarray(ends, float), np.asarray(diameters, float), np.asarray(bores, float), E)
        self._answers = _influence(x, EI, _nearest(x, self.supports), _nearest(x, self.stations))

    @classmethod
    def solved(cls, supports: Array, stations: Array, answers: Array) -> Beam:
        """A shaft whose answers to unit loads are known already."""
        made = cls.__new__(cls)
        made.supports, made.stations, made._answers = supports, stations, answers
        return made

    def solve(self, forces: Array, couples: Array) -> BeamResult:
        """Answer all columns at once; both arrays have the shape (stations, 2 planes, columns).

        An unknown load (NaN) makes its own plane and column unknown, and no other.
        """
        n, p = len(self.stations), len(self.supports)
        if forces.shape != couples.shape or forces.ndim != 3 or forces.shape[:2] != (n, 2):
            raise ValueError(
                f"Forces {forces.shape} and couples {couples.shape} must both have the shape "
                f"({n} stations, 2 planes, columns)."
            )
        loads = np.concatenate((forces, couples)).reshape(2 * n, -1)
        answer = _product(self._answers, loads).reshape(p + 6 * n, 2, -1)
        lines = (answer[p + k * n : p + (k + 1) * n] for k in range(6))
        return BeamResult(answer[:p], *lines)

    def flexibility(self) -> Array:
        """Deflection at each station (rows) under one newton at each (columns), in m/N; symmetric."""
        n, p = len(self.stations), len(self.supports)
        return np.array(self._answers[p + 4 * n : p + 5 * n, :n])


def _product(answers: Array, loads: Array) -> Array:
    """The matrix product in pieces that stay in the cache, and that a library does not share out among processors:
    of so narrow a matrix that costs more than it gains, above all where other work keeps them busy."""
    step = max(1, AT_ONCE // answers.size)
    if loads.shape[1] <= step:
        found: Array = answers @ loads
        return found
    whole = np.empty((len(answers), loads.shape[1]))
    for start in range(0, loads.shape[1], step):
        np.matmul(answers, loads[:, start: start + step], out=whole[:, start: start + step])
    return whole


def refuse_impossible(ends: Sequence[float], diameters: Sequence[float], bores: Sequence[float],
                       E: float, supports: Sequence[float], stations: Sequence[float]) -> None:
    """Say in plain words why such a shaft cannot be solved."""
    if len(ends) != len(diameters) + 1 or len(bores) != len(diameters):
        raise ValueError(f"{len(diameters)} shaft sections need {len(diameters) + 1} section ends "
                         f"and as many bores as diameters; there are {len(ends)} and {len(bores)}.")
    if len(diameters) == 0 or not all(b > a for a, b in pairwise(ends)):
        raise ValueError("The section ends of a shaft must grow from left to right.")
    if not (E > 0 and all(d > b >= 0 for d, b in zip(diameters, bores, strict=True))):
        raise ValueError("A shaft needs a modulus of elasticity and diameters above zero, "
                         "each larger than its bore.")
    if len(supports) < 2:
        raise ValueError(f"A shaft needs at least two bearings to stay in place; it has {len(supports)}.")
    for name, places in (("bearing", supports), ("seat", stations)):
        for place in places:
            if not ends[0] - SAME_PLACE <= place <= ends[-1] + SAME_PLACE:
                raise ValueError(f"A {name} at {place * 1e3:.6g} mm lies outside the shaft, which runs "
                                 f"from {ends[0] * 1e3:.6g} mm to {ends[-1] * 1e3:.6g} mm.")
    gaps = np.diff(np.sort(np.asarray(supports, float)))
    if gaps.min() <= 1e-6 * (ends[-1] - ends[0]):
        raise ValueError("Two bearings of one shaft sit at the same place; move one of them or leave it out.")


def _nodes(places: Sequence[float], apart: float) -> Array:
    x = np.sort(np.asarray(places, dtype=float))
    return x[np.concatenate(([True], np.diff(x) > apart))]


def _nearest(x: Array, places: Array) -> npt.NDArray[np.intp]:
    return np.abs(places[:, None] - x).argmin(axis=1)


def _rigidity(x: Array, ends: Array, diameters: Array, bores: Array, E: float) -> Array:
    """E I of each stretch between two neighbouring nodes."""
    section = np.clip(np.searchsorted(ends, (x[1:] + x[:-1]) / 2) - 1, 0, len(diameters) - 1)
    second_moments: Array = np.pi * (diameters**4 - bores**4) / 64
    return E * second_moments[section]


def _influence(x: Array, EI: Array, supports: npt.NDArray[np.intp], stations: npt.NDArray[np.intp]) -> Array:
    """Matrix from loads at the stations (forces, then couples) to every answer."""
    first, last = supports[np.argmin(x[supports])], supports[np.argmax(x[supports])]
    between = np.array([s for s in supports if s not in (first, last)], dtype=np.intp)
    n = len(stations)
    at = np.concatenate((stations, stations, between))
    is_couple = np.zeros(len(at))
    is_couple[n : 2 * n] = 1.0
    ends, answers, bent = _on_two_bearings(x, EI, first, last, at, is_couple, stations, between)
    loads, pushes = slice(0, 2 * n), slice(2 * n, None)
    redundant = -np.linalg.solve(bent[:, pushes], bent[:, loads]) if len(between) else bent[:, loads]
    outer = ends[:, loads] + ends[:, pushes] @ redundant
    by_node = {int(first): outer[0], int(last): outer[1],
               **{int(node): row for node, row in zip(between, redundant, strict=True)}}
    reactions = np.array([by_node[int(s)] for s in supports])
    return np.concatenate((reactions, answers[:, loads] + answers[:, pushes] @ redundant))


def _on_two_bearings(x: Array, EI: Array, first: np.intp, last: np.intp, at: npt.NDArray[np.intp], is_couple: Array,
                     stations: npt.NDArray[np.intp], between: npt.NDArray[np.intp]) -> tuple[Array, Array, Array]:
    """Unit forces and couples on the shaft carried by its outermost two bearings alone.

    Pushes of the two; then shear and moment left and right of every station, deflection and slope there,
    one below the other; then the deflection at the bearings in between.
    """
    span, is_force, place = x[last] - x[first], 1 - is_couple, x[at]
    push_last = -(is_force * (place - x[first]) + is_couple) / span
    push_first = -is_force - push_last
    reach = [np.maximum(x[:, None] - c, 0) for c in (place, x[first], x[last])]
    arms = is_force * reach[0] + push_first * reach[1] + push_last * reach[2]
    node = np.arange(len(x))[:, None]
    moment_left, moment_right = arms - is_couple * (node > at), arms - is_couple * (node >= at)
    deflection, slope = _bent(x, EI, moment_left, moment_right, first, last)
    here = node[stations]
    shears = [is_force * left(here, at) + push_first * left(here, first) + push_last * left(here, last)
              for left in (np.greater, np.greater_equal)]
    lines = (line[stations] for line in (moment_left, moment_right, deflection, slope))
    return np.array([push_first, push_last]), np.concatenate((*shears, *lines)), deflection[between]


def _bent(x: Array, EI: Array, moment_left: Array, moment_right: Array,
          first: np.intp, last: np.intp) -> tuple[Array, Array]:
    """Integrate the linear moment of each stretch twice; zero deflection at the two bearings."""
    length, start, end = np.diff(x)[:, None], moment_right[:-1], moment_left[1:]
    soft = length / EI[:, None]
    slope, bent = np.zeros_like(moment_left), np.zeros_like(moment_left)
    np.cumsum(soft / 2 * (start + end), axis=0, out=slope[1:])
    np.cumsum(length * (slope[:-1] + soft / 6 * (2 * start + end)), axis=0, out=bent[1:])
    tilt = (bent[last] - bent[first]) / (x[last] - x[first])
    return bent - bent[first] - tilt * (x - x[first])[:, None], slope - tilt


@formula("a", "distance from the point of reference", STATICS,
         where={"x": "position on the shaft", "x_0": "position of the point of reference"})
def lever(x: Length, x_0: Length) -> Length:
    """Positive to the right of the point of reference."""
    return x - x_0


@formula("M_i", "moment of one force", STATICS, where={"F": "force on the shaft"})
def moment_of(F: Force, a: Length) -> Torque:
    """Force times its distance."""
    return F * a


@formula("R_B", "reaction of the right bearing", STATICS,
         where={"M_A": "sum of the moments about the left bearing", "l": "distance of the bearings"})
def reaction_b(M_A: Torque, l: Length) -> Force:
    """The right bearing holds the moments about the left one."""
    return -M_A / l


@formula("R_A", "reaction of the left bearing", STATICS, where={"F_sum": "sum of the forces"})
def reaction_a(F_sum: Force, R_B: Force) -> Force:
    """The left bearing takes what the right one leaves."""
    return -F_sum - R_B


@formula("F_r", "radial force of both planes together", STATICS,
         where={"F_y": "force in the first plane", "F_z": "force in the second plane"})
def resultant_force(F_y: Force, F_z: Force) -> Force:
    """Two planes at right angles add as vectors."""
    return np.hypot(F_y, F_z)


@formula("M_b", "bending moment of both planes together", STATICS,
         where={"M_y": "moment in the first plane", "M_z": "moment in the second plane"})
def resultant_moment(M_y: Torque, M_z: Torque) -> Torque:
    """Two planes at right angles add as vectors."""
    return np.hypot(M_y, M_z)


def reactions_of_two(forces: Mapping[str, tuple[Any, Any]], couples: Mapping[str, Any],
                     x_A: Any, x_B: Any) -> tuple[Any, Any]:
    """Left and right reaction in one plane, step by step for a sheet.

    `forces` maps a name to (force, position), `couples` a name to a couple; signs as in `Beam`.
    """
    moments = {name: _moment_named(name, F, x, x_A) for name, (F, x) in forces.items()}
    M_A = total("M_A", "sum of the moments about the left bearing", TORQUE, moments | _turns(couples), STATICS)
    R_B = reaction_b(M_A, lever(x_B, x_A))
    F_sum = total("F_sum", "sum of the forces", FORCE, {name: F for name, (F, _) in forces.items()}, STATICS)
    return reaction_a(F_sum, R_B), R_B


def _turns(couples: Mapping[str, Any]) -> dict[str, Any]:
    """Couples by names of their own: one part may both push and turn."""
    return {f"couple at {name}": C for name, C in couples.items()}


def _moment_named(name: str, F: Any, x: Any, x_0: Any) -> Any:
    """Moment of one force, said by the name of what exerts it."""
    return named("M_i", moment_of(F, named("a", lever(x, x_0), f"distance of {name}")), f"moment of {name}")


def moment_at(x: Any, left: Mapping[str, tuple[Any, Any]], couples_left: Mapping[str, Any]) -> Any:
    """Bending moment at `x` from the forces (reactions included) and couples to its left."""
    arms = {name: _moment_named(name, F, x, place) for name, (F, place) in left.items()}
    less = {name: counted_against(C) for name, C in _turns(couples_left).items()}
    return total("M", "bending moment", TORQUE, arms | less, STATICS)


@formula("M_C", "share of a couple in the bending moment", STATICS,
         where={"C": "bending couple on the shaft"})
def counted_against(C: Torque) -> Torque:
    """A positive couple to the left of the section lowers its moment."""
    return -C
