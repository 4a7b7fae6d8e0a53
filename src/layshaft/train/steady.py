"""What the torque of a case swings about: told to all that ask for a mean and a peak."""

from __future__ import annotations

from collections.abc import Sequence

from layshaft.train.cases import MEAN_WINDING, PEAK, WINDING, Column


def steady_of(cols: Sequence[Column]) -> list[int]:
    """For each case the one whose torque it swings about; itself where it has no other.

    A peak swings about the running case, hard winding about the mean winding before it. In a case that
    comes once in a while, or that opens a loop, the whole torque counts as steady.
    """
    found, winding = list(range(len(cols))), 0
    for i, column in enumerate(cols):
        if column.case == PEAK:
            found[i] = 0
        elif column.case == WINDING:
            winding = i if column.title == MEAN_WINDING else winding
            found[i] = winding
    return found
