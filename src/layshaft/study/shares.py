"""How much of the doubt of a result each input owns, from one set of draws, with its own error.

The first-order index var(E[Y | X]) / var(Y) is the share of the variance of Y that would go if X were known.
It is estimated as a correlation ratio: draws are sorted into classes of X of equal size, and the means of the
classes are compared (K. Pearson 1905; freed of the chance differences of the means by T. L. Kelley's
epsilon squared, 1935 [both from memory]). Ranks of neighbours are not used: in points spread evenly, neighbours
in one input are no chance neighbours in the others.
"""

from __future__ import annotations

import numpy as np
import numpy.typing as npt

Array = npt.NDArray[np.float64]
CLASSES = (4, 64)
"""Fewest and most classes; in between there are 64 draws in each."""

BATCHES = 8
"""Parts of the draws whose scatter says how far the index can be off."""


def first_order(x: Array, y: Array) -> tuple[Array, Array]:
    """Index of every input for every result, and its standard error: (results, inputs) each.

    `x` is (inputs, draws), `y` (results, draws). 0 where a result does not vary. The error is the scatter of parts
    of the draws, and what was taken off for chance: of points spread evenly less of it is chance than of any others.
    Below 256 draws the parts are too small to tell, and it is what theory has for so many draws.
    """
    whole, chance = _indices(x, y)
    n = x.shape[1] // BATCHES
    if n < 32:
        return whole, by_theory(whole, x.shape[1])
    parts = np.stack([_indices(x[:, i * n: (i + 1) * n], y[:, i * n: (i + 1) * n])[0] for i in range(BATCHES)])
    return whole, np.hypot(parts.std(axis=0, ddof=1) / np.sqrt(BATCHES), chance)


def by_theory(index: Array, n: int) -> Array:
    """Standard error of an index found in n draws: that of a share of variance for large n, and that of pure chance,
    sqrt(2 (classes - 1)) / n, under it [both from memory].
    """
    chance = np.sqrt(2 * (_classes(n) - 1)) / n
    found: Array = np.hypot(2 * np.sqrt(np.clip(index, 0, 1) / n) * (1 - np.clip(index, 0, 1)), chance)
    return found


def _classes(n: int) -> int:
    return int(np.clip(n // 64, *CLASSES))


def _indices(x: Array, y: Array) -> tuple[Array, Array]:
    """The index freed of chance, and how much was taken off for it."""
    n = y.shape[1]
    classes = _classes(n)
    centred = y - y.mean(axis=1, keepdims=True)
    total = np.sum(centred**2, axis=1)
    edges = np.linspace(0, n, classes + 1).astype(int)
    sizes = np.diff(edges)
    between = np.zeros((len(y), len(x)))
    for j, values in enumerate(x):
        sums = np.add.reduceat(centred[:, np.argsort(values, kind="stable")], edges[:-1], axis=1)
        between[:, j] = np.sum(sums**2 / sizes, axis=1)
    with np.errstate(all="ignore"):
        ratio = np.where(total[:, None] > 1e-12 * n, between / total[:, None], 0.0)
    chance = np.where(ratio > 0, (1 - ratio) * (classes - 1) / (n - classes), 0.0)
    return np.where(ratio > 0, ratio - chance, 0.0), chance


def ranks(y: Array) -> Array:
    """Each result's draws by their rank, from 0 to 1; equal ones share the middle of their ranks."""
    from scipy.stats import rankdata

    found: Array = (rankdata(y, axis=1) - 0.5) / y.shape[1]
    return found
