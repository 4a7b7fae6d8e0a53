"""What is adjusted on the machine: where it must stand for its want, or that its travel does not reach that far."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from layshaft.machine.schema import Given
from layshaft.machine.trims import asked_by, trims
from layshaft.trace.formula import Remark
from layshaft.trace.source import Source
from layshaft.trace.units import shown
from layshaft.train.adjusting import Adjusted, adjusted
from layshaft.train.solve import Solved

SET = Source("the machine solved with the adjustment between its stops", obtained="derived")
AS_SET = 1e-3
"""Share of its travel within which an adjustment stands where it is to stand."""


def remarks(solved: Solved) -> Iterator[tuple[str, Remark]]:
    """One remark an adjustment; nothing is moved, the file says where it stands."""
    machine = solved.machine
    if trims(machine) and solved.samples == 1:
        for one in adjusted(machine, machine)[1]:
            want = machine.wants[one.want]
            yield one.given.path, Remark(_words(one, getattr(want, asked_by(want))), SET, True)


def _words(one: Adjusted, asked: Given) -> str:
    given, value = one.given, float(one.value[0])
    assert given.trim is not None
    wanted, there = shown(asked.nominal, asked.dimension), shown(value, given.dimension)
    stops = f"{shown(given.trim.low, given.dimension)} and {shown(given.trim.high, given.dimension)}"
    if np.isnan(value):
        return f"It is adjusted for {one.want}, and what that would take is not known yet."
    if not one.reached[0]:
        out = shown(float(one.comes_out[0]), asked.dimension)
        return (f"It is adjusted for {one.want}, {wanted}, and does not get there between {stops}: at {there} it gives "
                f"{out}. Give it more travel, or change what it works against.")
    if abs(value - given.nominal) <= AS_SET * (given.trim.high - given.trim.low):
        return f"It stands where {one.want}, {wanted}, comes out."
    return (f"It stands at {shown(given.nominal, given.dimension)}; {one.want}, {wanted}, comes out at {there}, "
            f"between its stops {stops}.")
