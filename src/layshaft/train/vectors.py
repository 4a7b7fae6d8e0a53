"""Directions in the machine's frame (x, y, z up): axes of shafts, frames across them, lines between them."""

from __future__ import annotations

from functools import cache

import numpy as np
import numpy.typing as npt

from layshaft.machine.model import Shaft
from layshaft.machine.once import once

Vector = npt.NDArray[np.float64]
UP = np.array([0.0, 0.0, 1.0])
FLAT = 1e-12


def axis(shaft: Shaft) -> Vector:
    """Direction of a shaft's axis."""
    return _direction(shaft.axis)


@cache
def _direction(axis: tuple[float, float, float]) -> Vector:
    found = np.array(axis, dtype=np.float64)
    found.setflags(write=False)
    return found


def frame(shaft: Shaft) -> tuple[Vector, Vector, Vector]:
    """Axis, and two directions across it; the second points up where the shaft is not upright."""
    return _frame(shaft.axis)


@cache
def _frame(direction: tuple[float, float, float]) -> tuple[Vector, Vector, Vector]:
    a = np.array(direction)
    rise = UP - (UP @ a) * a
    other = np.array([0.0, 1.0, 0.0]) if np.linalg.norm(rise) < 1e-9 else rise / np.linalg.norm(rise)
    return a, np.cross(other, a), other


def seen_along(shaft: Shaft) -> float:
    """1 where the axis points as `line` is seen, -1 where against it."""
    a = axis(shaft)
    return 1.0 if a[np.argmax(np.abs(a) > FLAT)] > 0 else -1.0


@once
def line_direction(shaft: Shaft, angle: float) -> Vector:
    """Unit vector across a shaft: 0 lies to the right, a quarter turn is up, seen against the axis.

    For an upright shaft 0 is +x and a quarter turn is +y. The sense of the axis does not matter.
    """
    a = axis(shaft) * seen_along(shaft)
    rise = UP - (UP @ a) * a
    if np.linalg.norm(rise) < 1e-9:
        right, rise = np.array([1.0, 0, 0]), np.array([0, 1.0, 0])
    else:
        rise = rise / np.linalg.norm(rise)
        right = cross(rise, a)
    return np.cos(angle) * right + np.sin(angle) * rise


def cross(a: Vector, b: Vector) -> Vector:
    """Cross product along the first axis, whatever follows."""
    return np.stack([
        a[1] * b[2] - a[2] * b[1],
        a[2] * b[0] - a[0] * b[2],
        a[0] * b[1] - a[1] * b[0],
    ])


def spread(v: Vector, like: Vector) -> Vector:
    """A fixed vector times a number per case and sample."""
    return v[:, None, None] * like[None]
