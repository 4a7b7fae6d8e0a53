"""Adjustments set as a builder sets them on the first evening: each for the want it is there for, draw by draw.

The machine is solved for its running cases alone, with the adjustment between its stops, until what the want asks
comes out. Where it does not between the stops, the adjustment ends at the stop that comes nearer.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import numpy as np
import numpy.typing as npt

from layshaft.machine.model import Machine, Want
from layshaft.machine.sampling import with_values
from layshaft.machine.schema import Given
from layshaft.machine.trims import asked_by, trims
from layshaft.train.balance import close_in
from layshaft.train.cases import AT_REST, CASES, RUNNING, WINDING
from layshaft.train.energy import running_time
from layshaft.train.solve import Asked, Solved, solve

Array = npt.NDArray[np.float64]
NEEDED = Asked(frozenset(CASES) - {RUNNING, WINDING, AT_REST}, frozenset())
"""What wants that a trim can reach are read from."""

ROUNDS = 8
"""Times several adjustments are gone through in turn, since one moves what another is set for."""

STILL = 1e-9
"""Share of the travel below which an adjustment has not moved."""


@dataclass(frozen=True, slots=True)
class Adjusted:
    """One adjustment in every draw: where it ends, and whether what is wanted comes out there."""

    given: Given
    want: str
    value: Array
    reached: npt.NDArray[np.bool_]
    wanted: Array
    """What the want asks, and what comes out where the adjustment ends."""

    comes_out: Array

    @property
    def place(self) -> Array:
        """Where in its travel it ends: 0 at the low stop, 1 at the high one."""
        assert self.given.trim is not None
        return (self.value - self.given.trim.low) / (self.given.trim.high - self.given.trim.low)


def adjusted(nominal: Machine, machine: Machine) -> tuple[Machine, list[Adjusted]]:
    """A machine, nominal or of many draws, with all it has to be trimmed set; `nominal` says what that is."""
    given = trims(nominal)
    if not given:
        return machine, []
    found: dict[str, Adjusted] = {}
    values = {g.path: np.full(1, g.nominal) for g in given}
    for _ in range(ROUNDS if len(given) > 1 else 1):
        before = values
        for g in given:
            found[g.path] = _set(g, with_values(machine, values))
            values = values | {g.path: found[g.path].value}
        if all(_still(g, before[g.path], values[g.path]) for g in given):
            break
    else:
        if len(given) > 1:
            values = {g.path: np.where(_moved(g, before[g.path], value), np.nan, value)
                      for g, value in zip(given, values.values(), strict=True)}
    return with_values(machine, values), list(found.values())


def _set(g: Given, machine: Machine) -> Adjusted:
    """One adjustment, all others where they are."""
    assert g.trim is not None
    want = machine.wants[g.trim.to]

    def off(value: Array) -> Array:
        comes_out, wanted = comes_out_of(_solved(machine, g, value), want)
        return comes_out - wanted

    low, high = (np.full(_draws(machine), end) for end in g.trim[1:])
    with np.errstate(all="ignore"):
        at_low, at_high = off(low), off(high)
        low, high, at_low, at_high = (np.broadcast_to(x, np.broadcast_shapes(low.shape, at_low.shape))
                                      for x in (low, high, at_low, at_high))
        sense = np.where(at_low < 0, -1.0, 1.0)
        inside = (at_low * at_high <= 0) & np.isfinite(at_low + at_high)
        value = close_in(lambda x: sense * off(x), low, high, sense * at_low, sense * at_high)
        stop = np.where(np.abs(at_low) <= np.abs(at_high), low, high)
        value = np.where(inside, value, np.where(np.isfinite(at_low + at_high), stop, np.nan))
        comes_out, wanted = comes_out_of(_solved(machine, g, value), want)
    wanted, comes_out = (np.broadcast_to(x, value.shape) for x in (wanted, comes_out))
    return Adjusted(g, g.trim.to, value, inside & np.isfinite(value), wanted, comes_out)


def _solved(machine: Machine, g: Given, value: Array) -> Solved:
    return solve(with_values(machine, {g.path: value}), asked=NEEDED)


def comes_out_of(solved: Solved, want: Want) -> tuple[Any, Any]:
    """What a solved machine gives of what a want asks of it, and what it asks."""
    books, asked = solved.budget, asked_by(want)
    assert books is not None
    unknown = np.full(solved.samples, np.nan)
    if asked == "speed":
        return np.abs(solved.speed[want.shaft][0]), want.speed.value
    if asked == "time_per_winding":
        return next((running_time(solved, w.drive, 0) for w in books.windings), unknown), want.time_per_winding.value
    if asked == "handle_force":
        force = next((w.handle_force for w in books.windings if w.crank and want.crank in ("", w.crank)), unknown)
        return np.broadcast_to(force, (solved.samples,)), want.handle_force.value
    return next(iter(books.start_ratio.values()), unknown), want.start_ratio.value


def _draws(machine: Machine) -> int:
    shapes = [np.shape(leaf.value) for leaf in machine.leaves if isinstance(leaf, Given)]
    return max((shape[0] for shape in shapes if shape), default=1)


def _moved(g: Given, before: Array, after: Array) -> npt.NDArray[np.bool_]:
    assert g.trim is not None
    moved: npt.NDArray[np.bool_] = np.abs(after - before) > STILL * (g.trim.high - g.trim.low)
    return moved


def _still(g: Given, before: Array, after: Array) -> bool:
    return not _moved(g, before, after).any()
