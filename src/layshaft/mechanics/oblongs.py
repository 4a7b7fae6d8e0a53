"""Distances of flat rectangles in one plane, however they are turned; a line or a point is a rectangle too."""

from __future__ import annotations

import numpy as np
import numpy.typing as npt

Array = npt.NDArray[np.float64]
Halves = tuple[Array, Array]
"""Half the length and half the breadth of many rectangles, as two vectors square to each other, (n, 3) each."""

CORNERS = np.array([[1, 1], [1, -1], [-1, -1], [-1, 1]], dtype=float)
TINY = 1e-18
"""m2; a side whose square is smaller counts as a point."""


def distances(a: Halves, b: Halves, between: Array, normal: Array) -> Array:
    """Distance in each row, below 0 by how deep they lie in one another; `between` runs from middle to middle."""
    deep = _deepest(np.stack([*a, *b], axis=1), between, normal)
    here = np.einsum("ck,knj->ncj", CORNERS, np.stack(a))
    there = np.einsum("ck,knj->ncj", CORNERS, np.stack(b)) + between[:, None, :]
    edge = np.minimum(_to_edges(here, there), _to_edges(there, here))
    found: Array = np.where(deep < 0, deep, edge)
    return found


def _deepest(halves: Array, between: Array, normal: Array) -> Array:
    """The largest gap between their shadows, (n, 4, 3) halves: along all sides, and square to these.

    Two rectangles lie apart where a gap shows along one of these ways, and only there.
    """
    ways = np.concatenate([halves, np.cross(normal[:, None, :], halves)], axis=1)
    size = np.linalg.norm(ways, axis=2)
    unit = ways / np.where(size > 0, size, 1.0)[:, :, None]
    reach = np.abs(np.einsum("nwj,nhj->nwh", unit, halves)).sum(axis=2)
    gaps = np.abs(np.einsum("nwj,nj->nw", unit, between)) - reach
    found: Array = np.where(size**2 > TINY, gaps, -np.inf).max(axis=1)
    return found


def _to_edges(points: Array, corners: Array) -> Array:
    """Least distance from any of the points to any edge of a rectangle, (n, 4, 3) each."""
    edges = np.roll(corners, -1, axis=1) - corners
    square = np.einsum("nej,nej->ne", edges, edges)[:, None, :]
    off = points[:, :, None, :] - corners[:, None, :, :]
    share = np.einsum("npej,nej->npe", off, edges)
    s = np.clip(np.divide(share, square, out=np.zeros_like(share), where=square > TINY), 0, 1)
    rest = off - edges[:, None, :, :] * s[..., None]
    found: Array = np.sqrt(np.einsum("npej,npej->npe", rest, rest).min(axis=(1, 2)))
    return found
