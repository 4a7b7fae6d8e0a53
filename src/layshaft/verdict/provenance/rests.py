"""Which guesses of the machine file move an input of a sheet, and by how much: found by moving each a little.

The machine is solved once more with every guess as a draw of its own, a thousandth up; whatever is a number of the
train follows by the same ways as always, so nothing has to be told what rests on what. A guess that moves nothing as
a draw is one that is settled at its nominal value (a length of the frame, a place); it is moved by itself.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import Any

import numpy as np
import numpy.typing as npt

from layshaft.machine.once import once
from layshaft.machine.sampling import with_values
from layshaft.machine.schema import Given
from layshaft.trace.errors import BadInput
from layshaft.trace.rests import Rest
from layshaft.trace.units import shown
from layshaft.train.solve import Solved, solve
from layshaft.verdict.context import context
from layshaft.verdict.rows import Part

Array = npt.NDArray[np.float64]
STEP = 1e-3
SEEN = 1e-2
"""Least share of its own change that a guess must pass on to an input to be named."""

LEAST = 1e-6
"""The like from which on a guess counts as one that is drawn at all: above what rounding leaves."""

MOST = 8
"""Guesses named on one sheet; of a whole train they are many, and the first ones tell."""

Key = tuple[str, str, str]
Numbers = dict[Key, dict[str, Any]]


@dataclass(frozen=True, slots=True)
class Moved:
    """Inputs of every part with all guesses moved, one a sample after the first, or by one guess alone."""

    causes: tuple[str, ...]
    inputs: Numbers


def rests(solved: Solved, kind: str, part: Part, case: int, symbols: Mapping[str, float]) -> tuple[Rest, ...]:
    """The guesses that move these inputs of a part in a case, those that move one most first."""
    if solved.samples > 1:
        return ()
    found = sorted(_moving(solved, (kind, part.path, part.place), case, symbols),
                   key=lambda one: -max(abs(share) for share in one[1].values()))
    told = [Rest(cause, _words(_guesses(solved)[cause]), tuple(shares.items())) for cause, shares in found[:MOST]]
    if found[MOST:]:
        names = ", ".join(cause for cause, _ in found[MOST:])
        told.append(Rest(f"with less weight: {names}", "",
                         tuple({s: share for _, shares in found[MOST:] for s, share in shares.items()}.items())))
    return tuple(told)


def _words(guess: Given) -> str:
    """What the guess is."""
    return f"{shown(guess.nominal, guess.dimension)}, assumed{f' ({guess.note})' if guess.note else ''}"


def _moving(solved: Solved, key: Key, case: int,
            symbols: Mapping[str, float]) -> Iterator[tuple[str, dict[str, float]]]:
    for moved in _all_moved(solved):
        inputs = moved.inputs.get(key, {})
        for i, cause in enumerate(moved.causes):
            shares = {name: (_at(inputs[name], case, i + 1) / value - 1) / STEP for name, value in symbols.items()
                      if name in inputs and value}
            shares = {name: share for name, share in shares.items() if abs(share) >= SEEN}
            if shares:
                yield cause, shares


def _at(value: Any, case: int, sample: int) -> float:
    array = np.asarray(value, dtype=np.float64)
    if array.ndim == 2:
        array = array[case if array.shape[0] > 1 else 0]
    return float(array[sample if array.shape[0] > sample else 0]) if array.ndim else float(array)


@once
def _guesses(solved: Solved) -> dict[str, Given]:
    """Guesses that are numbers, by their cause."""
    found: dict[str, Given] = {}
    for path, given in solved.machine.givens.items():
        if given.is_guess and given.nominal:
            found.setdefault(given.cause or path, given)
    return found


@once
def _all_moved(solved: Solved) -> tuple[Moved, ...]:
    """The inputs of every part with every guess moved."""
    found = _guesses(solved)
    if not found:
        return ()
    values = {}
    for i, (cause, given) in enumerate(found.items()):
        values[cause] = np.full(len(found) + 1, given.nominal)
        values[cause][i + 1] *= 1 + STEP
    together = Moved(tuple(found), _inputs(solved, values))
    alone = [cause for i, cause in enumerate(found) if not _moves(together.inputs, i + 1)]
    return together, *(Moved((cause,), _inputs(solved, {cause: np.float64(found[cause].nominal * (1 + STEP))}))
                       for cause in alone)


def _inputs(solved: Solved, values: Mapping[str, Any]) -> Numbers:
    """The inputs of every part of the machine with these values; none where it cannot be solved with them."""
    from layshaft.verdict.rate import ONE_KIND, gathered

    try:
        with np.errstate(all="ignore"):
            other = solve(with_values(solved.machine, values), solved.moments, solved.asked)
            there = context(other)
            return {(block.kind, part.path, part.place): part.inputs
                    for gather in ONE_KIND for block in gathered(gather(there)) for part in block.parts}
    except BadInput:
        return {}


def _moves(inputs: Numbers, i: int) -> bool:
    """True where anything differs between one sample and the first."""
    return any(_differs(value, i) for one in inputs.values() for value in one.values())


def _differs(value: Any, i: int) -> bool:
    array = np.asarray(value, dtype=np.float64)
    if not array.ndim or array.shape[-1] <= i:
        return False
    return bool(np.any(np.abs(array[..., i] - array[..., 0]) > LEAST * STEP * np.abs(array[..., 0])))
