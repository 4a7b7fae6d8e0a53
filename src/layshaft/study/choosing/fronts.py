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

    even = [_rounded(values[:, k]) for k in range(values.shape[1])]
    left = _not_beaten_by_strong(even) if len(values) > MANY else np.arange(len(values))
    found = np.zeros(len(values), bool)
    if len(left):
        rest = np.stack([one[left] for one in even], axis=1)
        found[left[is_nondominated(rest)]] = True
    return found


def rounded(values: Values) -> Values:
    """Values to so many digits of the largest of their column, as whole numbers."""
    return np.stack([_rounded(values[:, k]) for k in range(values.shape[1])], axis=1) if values.size else values


def _rounded(column: Values) -> Values:
    size = float(np.abs(column).max()) if len(column) else 0.0
    scale = float(10.0 ** (DIGITS - np.ceil(np.log10(size)))) if size > 0 else 1.0
    even: Values = np.round(column * scale)
    return even


def _not_beaten_by_strong(columns: list[Values]) -> npt.NDArray[np.int64]:
    """Places of the rows left when some of the front, found by weighing the wishes at random, have been used."""
    left = np.arange(len(columns[0]))
    spans = [float(np.ptp(one)) or 1.0 for one in columns]
    draws = np.random.default_rng(1)
    for k in range(STRONG):
        weights = (draws.exponential(size=len(columns)) + 1e-6) / spans
        strong = int(np.argmin(sum(one * w for one, w in zip(columns, weights, strict=True))))
        out = np.ones(len(left), bool)
        alike = np.ones(strong, bool)
        for one in columns:
            out &= one >= one[strong]
            alike &= one[:strong] == one[strong]
        out[:strong] &= ~alike  # of rows alike the first stays
        out[strong] = False
        gone = np.count_nonzero(out)
        if gone:
            left, columns = left[~out], [one[~out] for one in columns]
        if k >= PATIENCE and gone < FEW * len(left):
            break
    return left
