"""Outlines of modules, as far as the file gives them: sizes, and the planes in which modules part."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from layshaft.faces.pages.outline import Outline
from layshaft.machine.kinds import InLine
from layshaft.train.solve import Solved
from layshaft.train.stages import Vector


@dataclass(frozen=True, slots=True)
class Frame:
    """A box of the size a module has: lowest and highest corner. It stands on the floor."""

    module: str
    low: Vector
    high: Vector


@dataclass(frozen=True, slots=True)
class Part:
    """Where two modules part: a point in the gap of a coupling, and the direction of its axis."""

    name: str
    point: Vector
    axis: Vector


def partings(solved: Solved, shown: Outline) -> list[Part]:
    """One for each coupling between two modules."""
    found = []
    shafts = solved.machine.shafts
    for name, stage in solved.machine.stages.items():
        if isinstance(stage, InLine) and stage.from_ in shown.bars and stage.to in shown.bars \
                and shafts[stage.from_].module != shafts[stage.to].module:
            a, b = shown.bars[stage.from_], shown.bars[stage.to]
            ends = [(p, q) for p in (a.start, a.point(a.length)) for q in (b.start, b.point(b.length))]
            nearest = min(ends, key=lambda e: float(np.linalg.norm(e[0] - e[1])))
            found.append(Part(name, (nearest[0] + nearest[1]) / 2, a.axis))
    return found


def frames(solved: Solved, shown: Outline) -> list[Frame]:
    """Boxes of all modules with a size and a shaft that has a place.

    A face lies in the parting plane where there is one; otherwise the box is centred on its shafts.
    """
    faces = partings(solved, shown)
    found = []
    for name, module in (solved.machine.modules or {}).items():
        bars = [b for b in shown.bars.values() if solved.machine.shafts[b.shaft].module == name]
        if not bars or not module.size or not all(s.known for s in module.size):
            continue
        size = np.array([s.nominal for s in module.size])
        ends = np.array([p for b in bars for p in (b.start, b.point(b.length))])
        middle = (ends.min(axis=0) + ends.max(axis=0)) / 2
        low = np.array([middle[0] - size[0] / 2, middle[1] - size[1] / 2, 0.0])
        for part in faces:
            _to_face(solved, part, name, low, size, middle)
        found.append(Frame(name, low, low + size))
    return found


def _to_face(solved: Solved, part: Part, module: str, low: Vector, size: Vector, middle: Vector) -> None:
    """Shift a box along one level axis so that its face lies in the parting plane."""
    stage = solved.machine.stages[part.name]
    if module not in {solved.machine.shafts[s].module for s in (stage.from_, stage.to)}:
        return
    k = int(np.argmax(np.abs(part.axis)))
    if k < 2:
        low[k] = part.point[k] - size[k] if middle[k] < part.point[k] else part.point[k]
