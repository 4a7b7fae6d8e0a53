"""The best trade-offs: rows that no other row beats in one wish without losing in another. Less is better."""

from __future__ import annotations

import numpy as np
import numpy.typing as npt

Values = npt.NDArray[np.float64]
STRONG = 24
"""Rows that are held against all others first: they knock out most of an easy set."""

PATIENCE, FEW = 3, 0.01
"""Where a few of them knock out next to nothing the set is hard, and is left to the package."""

MANY = 2_000
DIGITS = 9
"""Sums of the same parts in another order differ behind these digits, and are no trade-off."""


def front(values: Values) -> npt.NDArray[np.bool_]:
    """Which rows are on the front; of rows that are alike in every wish, the first."""
    from moocore import is_nondominated

    even = rounded(values)
    left = _not_beaten_by_strong(even) if len(even) > MANY else np.arange(len(even))
    found = np.zeros(len(even), bool)
    if len(left):
        found[left[is_nondominated(even[left])]] = True
    return found


def rounded(values: Values) -> Values:
    """Values to so many digits of the largest of their column."""
    if not values.size:
        return values
    size = np.abs(values).max(axis=0)
    scale = 10.0 ** (DIGITS - np.ceil(np.log10(np.where(size > 0, size, 1.0))))
    even: Values = np.round(values * scale)
    return even


def _not_beaten_by_strong(values: Values) -> npt.NDArray[np.int64]:
    """Places of the rows left when some of the front, found by weighing the wishes at random, have been used."""
    left = np.arange(len(values))
    low, high = values.min(axis=0), values.max(axis=0)
    share = (values - low) / np.where(high > low, high - low, 1.0)
    draws = np.random.default_rng(1)
    for k in range(STRONG):
        rows = values[left]
        strong = int(np.argmin(share[left] @ (draws.exponential(size=values.shape[1]) + 1e-6)))
        out = np.asarray((rows >= rows[strong]).all(axis=1))
        out[:strong] &= (rows[:strong] > rows[strong]).any(axis=1)  # of rows alike the first stays
        out[strong] = False
        left = left[~out]
        if k >= PATIENCE and np.count_nonzero(out) < FEW * len(rows):
            break
    return left
