"""Candidates for a part that is open, put into the machine one by one and rated by one call.

A candidate is a set of paths with values. The mapping of its kind gathers its rows as it would if the
file said so; all candidates together are the rows of one block.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass, field, replace
from typing import Any

import numpy as np
import numpy.typing as npt

from layshaft.machine import paths
from layshaft.machine.bearing_pairs import shifts
from layshaft.machine.model import Machine
from layshaft.machine.schema import Choice, Given, Thing, keys
from layshaft.trace.findings import HOLDS, UNKNOWN
from layshaft.train.beams import prepare
from layshaft.train.forces import bending_shape, shaft_loads, supports_of
from layshaft.train.place import length, places
from layshaft.verdict.context import Context
from layshaft.verdict.kinds.critical_speeds import whirling_shape
from layshaft.verdict.rate import Rated, rated_block
from layshaft.verdict.reasons import reason
from layshaft.verdict.rows import Block, Part

Gather = Callable[[Context], Sequence[Block]]
Grid = npt.NDArray[Any]


@dataclass(frozen=True, slots=True)
class Candidate:
    """A size by name and what it puts into the machine file: SI numbers, or names of listings."""

    name: str
    sets: Mapping[str, float | str]
    worth: Mapping[str, float] = field(default_factory=dict)
    """What it weighs or how large it is, by the names of wishes, as far as its sizes tell."""


@dataclass(frozen=True, slots=True)
class Answer:
    """One failure mode of one candidate in the case nearest to its required margin."""

    mode: str
    place: str
    title: str
    margin: float
    required: float

    @property
    def share(self) -> float:
        """Margin over what is required."""
        return self.margin / self.required


@dataclass(slots=True)
class Tried:
    """A candidate with its answers. `holds` where every mode that any candidate can answer holds."""

    candidate: Candidate
    holds: bool = True
    answers: list[Answer] = field(default_factory=list)
    unjudged: dict[str, str] = field(default_factory=dict)
    """Modes that no candidate has an answer for, with the reason."""

    option: dict[str, dict[str, str]] = field(default_factory=dict)
    """The change to the machine file that chooses it."""

    @property
    def worst(self) -> Answer | None:
        """The answer that is nearest to failing."""
        return min(self.answers, key=lambda a: a.share, default=None)


# Putting a candidate into the machine --------------------------------------------------------------


def put(machine: Machine, sets: Mapping[str, float | str]) -> Machine:
    """The machine with some sizes chosen; nothing is read or checked again."""
    for path, value in sets.items():
        steps = paths.split(path)
        assert steps is not None
        machine = _put(machine, steps, value)
    return machine


def _put(thing: Any, steps: Sequence[str | int], value: float | str) -> Any:
    if not steps:
        if isinstance(thing, Given):
            return replace(thing, value=float(value), state="given", note="tried by layshaft")
        assert isinstance(thing, Choice)
        return replace(thing, name=str(value), state="given")
    step, rest = steps[0], steps[1:]
    if isinstance(thing, tuple):
        return tuple(_put(item, rest, value) if i == step else item for i, item in enumerate(thing))
    if isinstance(thing, dict):
        return thing | {step: _put(thing[str(step)], rest, value)}
    assert isinstance(thing, Thing)
    name = keys(type(thing))[str(step)][0]
    return replace(thing, **{name: _put(getattr(thing, name), rest, value)})


def as_option(machine: Machine, sets: Mapping[str, float | str]) -> dict[str, dict[str, str]]:
    """The same change as an option of the machine file, numbers with their units."""
    found = {}
    for path, value in sets.items():
        steps = paths.split(path)
        assert steps is not None
        there = paths.in_model(machine, steps)
        found[path] = _text(there, value) if isinstance(there, Given) else str(value)
    return {"set": found}


def _text(given: Given, value: float | str) -> str:
    unit = given.dimension.best_unit(float(value))
    return f"{float(value) / given.dimension.units[unit]:.10g} {unit}".rstrip()


def with_stages(c: Context, sets: Mapping[str, float | str]) -> Context:
    """The context with sizes of stages in place: every shaft placed and bent anew, torques as they were."""
    if not sets:
        return c
    solved = replace(c.solved, machine=put(c.machine, sets), loads={})
    solved.place = places(solved.machine)
    solved.loads = {name: shaft_loads(solved, name) for name in solved.machine.shafts}
    return replace(c, solved=solved)


# Rating all candidates -----------------------------------------------------------------------------


def tried(c: Context, candidates: Sequence[Candidate], gather: Gather, keep: Callable[[Part], bool],
          inside: Callable[[Machine], Machine] = lambda m: m) -> list[Tried]:
    """Rate every candidate: one call of `rate()` for each kind of rows that `gather` brings."""
    found = [Tried(k, option=as_option(c.machine, k.sets)) for k in candidates]
    _bend_all(c, candidates)
    blocks: list[Block] = []
    for candidate in candidates:
        for i, block in enumerate(gather(with_sizes(c, candidate.sets, inside))):
            if i == len(blocks):
                blocks.append(replace(block, parts=[]))
            blocks[i].parts += [part for part in block.parts if keep(part)]
    with np.errstate(all="ignore"):
        for block in blocks:
            for r in rated_block(c.solved, block) if block.parts else ():
                _answer(c, found, r)
    return found


def _bend_all(c: Context, candidates: Sequence[Candidate]) -> None:
    """Build the beams of every shaft the candidates change at a stroke, before each is asked for alone."""
    changed = [(shaft, shifts(machine, shaft)) for k in candidates for machine in (put(c.machine, k.sets),)
               for shaft in map(machine.shafts.__getitem__, _shafts_in(k.sets))]
    whole = [(shaft, moved) for shaft, moved in changed if np.isfinite(length(shaft)) and len(supports_of(shaft)) > 1]
    prepare(shape for shaft, moved in whole
            for shape in (bending_shape(shaft, moved), whirling_shape(shaft, moved)))


def _shafts_in(sets: Mapping[str, float | str]) -> set[str]:
    """Shafts whose steps a candidate changes."""
    return {path.split(".")[1] for path in sets if path.startswith("shafts.") and ".sections" in path}


def with_sizes(c: Context, sets: Mapping[str, float | str], inside: Callable[[Machine], Machine] = lambda m: m
               ) -> Context:
    """The context with some sizes in place; shafts they change are bent anew."""
    solved = replace(c.solved, machine=put(c.machine, sets))
    if shafts := _shafts_in(sets):
        solved.loads = c.solved.loads | {name: shaft_loads(solved, name) for name in shafts}
    solved.machine = inside(solved.machine)
    return replace(c, solved=solved)


def _answer(c: Context, found: list[Tried], r: Rated) -> None:
    """Scatter one mode: (candidates, rows of each, cases)."""
    shape = (len(found), -1, r.asked.shape[1])
    codes, asked = r.codes.min(axis=2).reshape(shape), r.asked.reshape(shape)
    shares = r.ranked.min(axis=2).reshape(shape)
    answered = (codes != UNKNOWN).any(axis=0)
    parts = np.arange(len(r.block.parts)).reshape(shape[:2])
    for k, tried_ in enumerate(found):
        judged = asked[k] & answered
        tried_.holds &= bool(np.all(codes[k][judged] == HOLDS))
        if judged.any():
            tried_.answers.append(_nearest(c, r, parts[k], np.where(judged, shares[k], np.inf)))
    left = asked[0] & ~answered
    if left.any():
        row, case = np.argwhere(left)[0]
        middle = int(parts[len(found) // 2][row])  # the ends may lie outside a table
        why = reason(c.solved, r.block, middle, int(case), r.check)
        for tried_ in found:
            tried_.unjudged[r.mode] = why


def _nearest(c: Context, r: Rated, parts: Grid, shares: Grid) -> Answer:
    row, case = np.unravel_index(int(np.argmin(shares)), shares.shape)
    part = r.block.parts[int(parts[row])]
    required = part.required[r.mode][0]
    title = c.solved.columns[int(case)].title if r.block.modes[r.mode] else "any case"
    return Answer(r.mode, part.place, title, float(shares[row, case]) * required, required)


def smallest(found: Iterable[Tried]) -> tuple[Tried | None, Tried | None]:
    """The first candidate that holds, with the one before it; candidates run from small to large."""
    before = None
    for t in found:
        if t.holds and t.answers:
            return t, before
        before = t
    return None, before
