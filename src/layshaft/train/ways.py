"""The way of a chain or belt round its wheels: straight pieces from tangent to tangent, over idlers too."""

from __future__ import annotations

from dataclasses import dataclass
from itertools import pairwise
from typing import Any

import numpy as np

from layshaft.machine.kinds import RollerChain, SynchronousBelt, VBelt
from layshaft.train.idlers import INSIDE, circles, has_idlers, side
from layshaft.train.place import seat_point
from layshaft.train.sizes import belt_diameters
from layshaft.train.solve import Solved
from layshaft.train.sources import sprocket_radius
from layshaft.train.stages import Vector, axis

FLEXIBLE = (RollerChain, SynchronousBelt, VBelt)
Piece = tuple[Vector, Vector]


@dataclass(frozen=True, slots=True)
class Idling:
    """An idler in its place."""

    name: str
    centre: Vector
    radius: float
    teeth: float


@dataclass(frozen=True, slots=True)
class Way:
    """Two strands as straight pieces from the first wheel to the second: first that on the side of axis x line."""

    axis: Vector
    strands: tuple[tuple[Piece, ...], tuple[Piece, ...]]
    idlers: tuple[Idling, ...]


def way(solved: Solved, name: str) -> Way | None:
    """The way of one stage; None where it is no chain or belt, or a place or size is not known."""
    stage: Any = solved.machine.stages[name]
    if not isinstance(stage, FLEXIBLE):
        return None
    if not np.isfinite([solved.place[s] for s in (stage.from_, stage.to)]).all():
        return None
    ends = [seat_point(solved.machine, solved.place[shaft], shaft, seat)
            for shaft, seat in ((stage.from_, stage.seats[0]), (stage.to, stage.seats[1]))]
    radii = wheel_radii(solved, stage)
    line = axis(solved.machine.shafts[stage.from_])
    between = ends[1] - ends[0]
    between = between - (between @ line) * line
    distance = float(np.linalg.norm(between))
    if not np.isfinite(sum(radii)) or distance <= abs(radii[0] - radii[1]):
        return None
    along = between / distance
    across = np.cross(line, along)
    far = ends[0] + between
    found, idlers = [], _idlers(solved, stage, ends[0], along, across)
    for sign in (1.0, -1.0):
        here = [(i.centre, -i.radius if outside else i.radius) for i, s, outside in idlers if s == sign]
        stops = [(ends[0], radii[0]), *here, (far, radii[1])]
        found.append(tuple(tangent(a, b, across * sign) for a, b in pairwise(stops)))
    return Way(line, (found[0], found[1]), tuple(i for i, _, _ in idlers))


def wheel_radii(solved: Solved, stage: RollerChain | SynchronousBelt | VBelt) -> tuple[float, float]:
    """Pitch radii of the first and second wheel."""
    if isinstance(stage, RollerChain):
        return sprocket_radius(solved.machine, stage, 0), sprocket_radius(solved.machine, stage, 1)
    d = belt_diameters(solved.machine, stage)
    return d[0] / 2, d[1] / 2


def _idlers(solved: Solved, stage: Any, start: Vector, along: Vector,
            across: Vector) -> list[tuple[Idling, float, bool]]:
    """Idlers with a place: each with the side of its strand, and whether it runs on the back of the chain."""
    if not isinstance(stage, RollerChain) or not has_idlers(stage):
        return []
    found = []
    for name, idler in stage.idlers.items():
        centre = start + along * idler.along.nominal + across * idler.off.nominal
        radius = circles(solved.machine, stage, idler)[2]
        if np.isfinite([*centre, radius]).all():
            found.append((Idling(name, centre, radius, idler.teeth.nominal), side(idler), idler.runs != INSIDE))
    return found


def tangent(a: tuple[Vector, float], b: tuple[Vector, float], across: Vector) -> Piece:
    """The straight piece that touches two circles on the side of `across`; of a wheel on the back the radius is minus.

    The normal n of the line fulfils n . (b - a) = r_a - r_b.
    """
    between = b[0] - a[0]
    distance = float(np.linalg.norm(between))
    along = between / distance
    up = across - (across @ along) * along
    up = up / np.linalg.norm(up)
    sine = (a[1] - b[1]) / distance
    out = along * sine + up * np.sqrt(max(0.0, 1 - sine**2))
    return a[0] + out * a[1], b[0] + out * b[1]
