"""Rows: one kind of element, all its parts and all cases, rated by one call.

A block holds P parts of one kind. Every input is an array that broadcasts to (P, cases, samples);
what does not depend on the case has one case, so that it is computed once a part.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from typing import Any

import numpy as np
import numpy.typing as npt

from layshaft.elements import rope
from layshaft.trace.checks import Check
from layshaft.trace.inputs import Inputs
from layshaft.trace.source import Source
from layshaft.verdict import kept
from layshaft.verdict.required import lets_go, required_margin

Array = npt.NDArray[np.float64]
Numbers = npt.NDArray[np.intp]
Picked = Numbers | slice
"""Some of the cases; a slice where they follow each other, which costs no copy."""


@dataclass(slots=True)
class Part:
    """One part at one place: its inputs (numbers, (samples,) or (cases, samples)) and their origins."""

    path: str
    place: str
    inputs: dict[str, Any]
    origins: dict[str, Source]
    hurts: str = ""
    demands: frozenset[str] = frozenset()
    """Inputs that come from the solved train: a record compares them with a tolerance."""

    not_chosen: bool = False
    rests_on: str = ""
    """What its demand rests on that is not chosen, in words: no verdict before that is."""

    content: tuple[str, ...] = ()
    """Table rows the inputs were read from, by content."""

    over_people: bool = False
    required: dict[str, tuple[float, Source]] = field(default_factory=dict)
    """Required margin of each mode and who asks for it."""

    fingerprint: str = ""
    """Hash of what it stands on, once it has been asked for."""

    follows: Mapping[str, Callable[[int], Any]] = field(default_factory=dict)
    """Inputs that follow from givens by formulas: asked for a case while tracing, each leaves those steps and gives the
    result. Nothing but a sheet asks."""

    came_from: str = ""
    """The way its demand comes, where it is not the one from the drive to its shaft."""

    shaft: str = ""
    """Shaft whose turning decides whether modes of running parts are asked; blank if none does."""


@dataclass(slots=True)
class Block:
    """All parts of one kind, and which cases each failure mode is asked in.

    `modes` maps a mode to the cases it applies to; () means that it does not depend on the case.
    `applies` may narrow a mode to some parts. A mode that is not named is not asked.
    """

    kind: str
    rate: Callable[[Any], Any]
    inputs: type[Inputs]
    modes: Mapping[str, tuple[str, ...]]
    parts: list[Part] = field(default_factory=list)
    applies: Mapping[str, Callable[[Part], bool]] = field(default_factory=dict)
    required: Mapping[str, str] = field(default_factory=dict)
    """Name of the input that carries the required margin of each mode in the room."""

    _traced: tuple[Check, ...] | None = field(default=None, init=False)

    def stacked(self, parts: Numbers | None = None, cases: Picked | None = None) -> dict[str, Array]:
        """Every input as one array that broadcasts to (parts, cases, samples), of all of them or of some."""
        names = [f.name for f in self.inputs.quantities()]
        here = self.parts if parts is None else [self.parts[p] for p in parts]
        return {name: _stack([part.inputs[name] for part in here], cases) for name in names}

    def rated(self, parts: Numbers | None = None, cases: Picked | None = None) -> tuple[Check, ...]:
        """The one call of `rate` for the whole machine, or for some parts in some cases."""
        return kept.rated(self.rate, self.inputs, self.stacked(parts, cases))

    def traced(self) -> tuple[Check, ...]:
        """The same with the trace on, kept: it tells of every row where an unknown comes from."""
        if self._traced is None:
            self._traced = kept.traced(self.rate, self.inputs, self.stacked())
        return self._traced

    def single(self, part: Part, case: int, mode: str = "", sample: int = 0) -> Inputs:
        """The inputs of one row as scalars with their true origins, for a sheet on one mode."""
        values = {name: _pick(value, case, sample) for name, value in part.inputs.items()}
        origins = dict(part.origins)
        if mode in part.required and mode in self.required:
            values[self.required[mode]], origins[self.required[mode]] = part.required[mode]
        return self.inputs(origins=origins, **values)


def _stack(values: list[Any], picked: Picked | None = None) -> Array:
    """(P,1,1) where all are plain numbers, else (P, cases or 1, samples or 1); of all cases or those picked."""
    if np.ndarray not in set(map(type, values)):
        return np.array(values, dtype=np.float64)[:, None, None]
    if picked is not None:
        values = [v[picked] if np.ndim(v) == 2 and len(v) > 1 else v for v in values]
    shapes = {v.shape for v in values if isinstance(v, np.ndarray)}
    cases = max((shape[0] for shape in shapes if len(shape) == 2), default=1)
    samples = max((shape[-1] for shape in shapes if shape), default=1)
    stacked = np.empty((len(values), cases, samples))
    for row, value in enumerate(values):
        stacked[row] = value
    return stacked


def _pick(value: Any, case: int, sample: int) -> float:
    array = np.asarray(value, dtype=np.float64)
    if array.ndim == 0:
        return float(array)
    if array.ndim == 1:
        return float(array[sample if array.shape[0] > 1 else 0])
    row = array[case if array.shape[0] > 1 else 0]
    return float(row[sample if row.shape[0] > 1 else 0])


def with_required(part: Part, margins: Mapping[str, Any], names: Mapping[str, str]) -> Part:
    """Settle the required margin of every mode; stricter where a person can be hurt.

    The input that carries it in the room gets the strictest of the modes that share it; verdicts and
    sheets use each mode's own.
    """
    for mode, name in names.items():
        value, source = required_margin(mode, margins, bool(part.hurts) and lets_go(mode), part.over_people)
        part.required[mode] = value, source
        if name not in part.inputs or value > part.inputs[name]:
            part.inputs[name], part.origins[name] = value, source
    return part


def textile_over_people(part: Part, margins: Mapping[str, Any], names: Mapping[str, str]) -> Part:
    """A textile rope over people bears twice its working coefficient, unless the builder asks for another."""
    factor, asked = rope.practice("factor of a textile rope over people")
    for mode, name in names.items():
        own = margins.get(mode)
        if part.over_people and not (own is not None and own.known):
            part.required[mode] = factor, asked
            part.inputs[name], part.origins[name] = max((part.inputs[name], part.origins[name]), (factor, asked),
                                                        key=lambda value: float(value[0]))
    return part
