"""Shafts of the machine as beams: each built once, or a whole field of candidates at a stroke."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable
from typing import NamedTuple

import numpy as np

from layshaft.machine.model import Shaft
from layshaft.mechanics.beam import Beam
from layshaft.mechanics.beam_batch import Beams

YOUNG = 206e9
"""Young's modulus of steel, Pa: the value the deflection checks of this house were read with."""

STAND_IN = 0.03
"""Diameter, m, that stands in for an open one where the answer does not depend on it."""

MOST_KEPT = 1000


class Shape(NamedTuple):
    """What a beam is made of: step ends, diameters, bearings, stations."""

    ends: tuple[float, ...]
    diameters: tuple[float, ...]
    supports: tuple[float, ...]
    stations: tuple[float, ...]

    @property
    def kind(self) -> tuple[int, ...]:
        """How many of each: shafts of one kind can be solved at a stroke."""
        return tuple(map(len, self))


_KEPT: dict[Shape, Beam] = {}


def beam_like(shape: Shape) -> Beam:
    """The beam of that shape, kept: most edits leave most shafts as they are."""
    if shape not in _KEPT:
        _keep(shape, Beam(shape.ends, shape.diameters, YOUNG, shape.supports, shape.stations))
    return _KEPT[shape]


def prepare(shapes: Iterable[Shape]) -> None:
    """Build the beams of many shafts, those of one kind together; one that is impossible waits for its turn."""
    kinds: dict[tuple[int, ...], list[Shape]] = defaultdict(list)
    for shape in dict.fromkeys(shapes):
        if shape not in _KEPT:
            kinds[shape.kind].append(shape)
    for alike in kinds.values():
        try:
            ends, diameters, supports, stations = (np.array(column) for column in zip(*alike, strict=True))
            beams = Beams(ends, diameters, YOUNG, supports, stations)
        except ValueError:
            continue
        for i, shape in enumerate(alike):
            _keep(shape, beams.one(i))


def _keep(shape: Shape, beam: Beam) -> None:
    if len(_KEPT) >= MOST_KEPT:
        del _KEPT[next(iter(_KEPT))]
    _KEPT[shape] = beam


def shape_of(shaft: Shaft, supports: Iterable[str], stations: Iterable[float],
             shifts: frozenset[tuple[str, float]] = frozenset()) -> Shape:
    """The shape of a shaft whose lengths are known; an open diameter is stood in for.

    `shifts` moves supports to the load centres of their bearings; one beyond an end of the shaft is reached
    by a weightless stub of the last diameter.
    """
    ends = [0.0]
    for _, step in shaft.sections:
        ends.append(ends[-1] + step.nominal)
    diameters = [STAND_IN if np.isnan(d.nominal) else d.nominal for d, _ in shaft.sections]
    places = tuple(centres(shaft, supports, shifts))
    if min(places, default=0.0) < ends[0]:
        ends, diameters = [min(places), *ends], [diameters[0], *diameters]
    if max(places, default=0.0) > ends[-1]:
        ends, diameters = [*ends, max(places)], [*diameters, diameters[-1]]
    return Shape(tuple(ends), tuple(diameters), places, tuple(stations))


def centres(shaft: Shaft, supports: Iterable[str], shifts: frozenset[tuple[str, float]]) -> list[float]:
    """Where the reaction of each support acts along the shaft."""
    moved = dict(shifts)
    return [shaft.seats[name].at.nominal + moved.get(name, 0.0) for name in supports]
