"""Inputs of a rating: each carries meaning, dimension, limits and an origin."""

from __future__ import annotations

import functools
from collections.abc import Mapping
from dataclasses import Field, dataclass, field, fields, replace
from typing import Any, ClassVar, Self

import numpy as np

from layshaft.trace.errors import BadInput
from layshaft.trace.formula import given, is_tracing
from layshaft.trace.source import Source
from layshaft.trace.units import Dimension, shown


class InputError(BadInput):
    """A value that cannot describe a real part: symbol, meaning, value, limit, origin."""


def quantity(
    meaning: str,
    dimension: Dimension,
    *,
    above: float = -np.inf,
    at_least: float = -np.inf,
    at_most: float = np.inf,
) -> Any:
    """A field of an `Inputs` class. Limits are hard: outside them no such part can exist."""
    return field(metadata={"meaning": meaning, "dimension": dimension, "above": above,
                           "at_least": at_least, "at_most": at_most})


@dataclass(frozen=True, kw_only=True)
class Inputs:
    """Base of every element's inputs: SI scalars, or arrays that broadcast (rows, samples).

    NaN means *not known* and is let through: what depends on it becomes unknown. An impossible
    scalar raises `InputError`; an impossible entry of an array becomes NaN.
    """

    origins: Mapping[str, Source]
    _bookkeeping: ClassVar[tuple[str, ...]] = ("origins",)

    def __post_init__(self) -> None:
        for f in self.quantities():
            if f.name not in self.origins:
                raise InputError(
                    f"{f.name} ({f.metadata['meaning']}) has no origin. "
                    f"Say in origins['{f.name}'] who or what gives this value."
                )
            value = getattr(self, f.name)
            object.__setattr__(self, f.name, _checked(f, value, self.origins[f.name]))

    @classmethod
    @functools.cache
    def quantities(cls) -> tuple[Field[Any], ...]:
        """The fields that are numbers, in order."""
        return tuple(f for f in fields(cls) if f.name not in cls._bookkeeping)

    def record(self) -> Self:
        """While tracing: a copy whose values are handles, one given each. Else: itself."""
        if not is_tracing():
            return self
        traced = replace(self)
        for f in self.quantities():
            m = f.metadata
            handle = given(f.name, m["meaning"], m["dimension"], getattr(self, f.name), self.origins[f.name])
            object.__setattr__(traced, f.name, handle)
        return traced


def _checked(f: Field[Any], value: Any, origin: Source) -> Any:
    m = f.metadata
    if isinstance(value, np.ndarray) and value.ndim:
        possible = value >= m["at_least"] if m["at_least"] > m["above"] else value > m["above"]
        if m["at_most"] < np.inf:
            possible &= value <= m["at_most"]
        return value if possible.all() else np.where(possible, value, np.nan)
    number = float(value)
    if number <= m["above"] or number < m["at_least"] or number > m["at_most"] or np.isinf(number):
        raise InputError(
            f"{f.name} ({m['meaning']}) is {shown(number, m['dimension'])}; it must be {_limit(m)}. "
            f"It came from: {origin}."
        )
    return np.float64(number)


def _limit(m: Mapping[str, Any]) -> str:
    dimension: Dimension = m["dimension"]
    parts = []
    if m["above"] > -np.inf:
        parts.append(f"more than {shown(m['above'], dimension)}")
    if m["at_least"] > -np.inf:
        parts.append(f"at least {shown(m['at_least'], dimension)}")
    if m["at_most"] < np.inf:
        parts.append(f"at most {shown(m['at_most'], dimension)}")
    return " and ".join(parts) or "a finite number"
