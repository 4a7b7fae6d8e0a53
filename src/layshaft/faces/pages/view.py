"""Looking at the machine: the axis most shafts share, planes to project on, and the scale."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable
from dataclasses import dataclass, field

import numpy as np

from layshaft.faces.pages.svg import Point
from layshaft.machine.model import Machine
from layshaft.train.stages import UP, Vector, axis

SCALES = (0.5, 1, 2, 2.5, 4, 5, 8, 10, 12.5, 15, 20, 25, 40, 50, 100, 200, 500)
PER_MM = 4.0
"""Drawing units per millimetre of paper where the drawing is 720 units and 180 mm wide."""

SMALLEST = 1e-3
"""Metres: nothing is drawn larger for being smaller than this."""

AXES = {"x": np.array([1.0, 0, 0]), "y": np.array([0, 1.0, 0]), "z": np.array([0, 0, 1.0])}


def main_axis(machine: Machine) -> Vector:
    """The direction most shafts share, pointing the way that is counted positive."""
    seen: Counter[tuple[float, ...]] = Counter()
    for shaft in machine.shafts.values():
        a = axis(shaft)
        a = a if a[np.argmax(np.abs(a) > 1e-9)] > 0 else -a
        seen[tuple(float(v) for v in np.round(a, 9) + 0.0)] += 1
    return np.array(seen.most_common(1)[0][0])


@dataclass(frozen=True, slots=True)
class Plane:
    """A way of looking: unit vectors to the right, up, and towards the one who looks."""

    right: Vector
    up: Vector
    towards: Vector = field(init=False)
    """Out of the paper."""

    def __post_init__(self) -> None:
        object.__setattr__(self, "towards", np.cross(self.right, self.up))

    def flat(self, point: Vector) -> tuple[float, float]:
        """A point on the paper, in metres, up counted positive."""
        return float(point @ self.right), float(point @ self.up)

    def facing(self, direction: Vector) -> float:
        """1 where a direction points at the one who looks, 0 where it lies in the paper."""
        return float(abs(direction @ self.towards))


def end_plane(main: Vector) -> Plane:
    """Looking against the main axis."""
    up = UP if abs(main @ UP) < 0.9 else AXES["y"]
    up = up - (up @ main) * main
    up = up / np.linalg.norm(up)
    return Plane(np.cross(up, main), up)


def side_plane(main: Vector) -> Plane:
    """Looking across the main axis; an upright one stays upright."""
    if abs(main @ UP) < 0.9:
        up = UP - (UP @ main) * main
        return Plane(main, up / np.linalg.norm(up))
    return Plane(AXES["x"], UP)


def axis_name(direction: Vector) -> str:
    """`x`, `-y`, ... or the three numbers."""
    for name, unit in AXES.items():
        along = float(direction @ unit)
        if abs(along) > 1 - 1e-9:
            return name if along > 0 else f"-{name}"
    return "(" + ", ".join(f"{v:.2f}" for v in direction) + ")"


@dataclass(frozen=True, slots=True)
class Paper:
    """Metres on a plane to drawing units: `scale` units a metre, origin of the plane at `zero`."""

    plane: Plane
    scale: float
    zero: Point
    ratio: float
    """1 : ratio when printed 180 mm wide."""

    def at(self, point: Vector) -> Point:
        """Where a point of the machine lands."""
        x, y = self.plane.flat(point)
        return self.zero[0] + x * self.scale, self.zero[1] - y * self.scale

    def flat(self, x: float, y: float) -> Point:
        """Where a point of the plane lands."""
        return self.zero[0] + x * self.scale, self.zero[1] - y * self.scale


@dataclass(frozen=True, slots=True)
class Extent:
    """What a view must hold, in metres on its plane."""

    left: float
    right: float
    low: float
    high: float

    @property
    def width(self) -> float:
        """From left to right."""
        return self.right - self.left

    @property
    def height(self) -> float:
        """From low to high."""
        return self.high - self.low


def extent(flat: Iterable[tuple[float, float]]) -> Extent:
    """The smallest extent that holds the points."""
    points = np.array([p for p in flat if np.all(np.isfinite(p))] or [(0.0, 0.0)])
    (left, low), (right, high) = points.min(axis=0), points.max(axis=0)
    return Extent(float(left), float(right), float(low), float(high))


def paper(plane: Plane, holds: Extent, room: tuple[float, float], middle: float, top: float,
          per_mm: float = PER_MM, *, usual: bool = True) -> Paper:
    """The largest scale that fits the room, a `usual` one for print, centred about `middle`, hung from `top`."""
    fits = min(room[0] / max(holds.width, SMALLEST), room[1] / max(holds.height, SMALLEST))
    for ratio in SCALES:
        scale = 1000 * per_mm / ratio
        if scale <= fits:
            break
    if not usual:
        scale = min(fits, 1000 * per_mm / SCALES[0])
        ratio = 1000 * per_mm / scale
    x = middle - (holds.left + holds.right) / 2 * scale
    return Paper(plane, scale, (x, top + holds.high * scale), ratio)
