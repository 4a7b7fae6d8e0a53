"""Doubt as numbers: the same machine with its doubtful givens as arrays of draws.

Where the doubt is a judgement (assumed, advised, listed) draws follow a triangle with the stated
value as its most likely one; where it is a tolerance (decided, measured) a normal distribution of
which the ends are two standard deviations from the value, clipped at the ends. Both are common
practice, no single source. Where the file says `even`, every value between the ends is as likely.
A cause draws from its own stream, named by its path: the same seed
gives the same draws whatever else is in the file, so options are compared on equal luck.
"""

from __future__ import annotations

import hashlib
import math
from collections.abc import Mapping
from dataclasses import replace
from typing import Any

import numpy as np
import numpy.typing as npt

from layshaft.machine import schema
from layshaft.machine.model import Machine
from layshaft.machine.schema import Given, Thing, keys

TOLERANCES = ("decided", "measured")
DEVIATIONS_TO_AN_END = 2.0
Draws = npt.NDArray[np.float64]


def sample(machine: Machine, n: int, seed: int) -> Machine:
    """The machine with every doubtful given as `n` draws, shape (n,); whole numbers stay as they are.

    Apply options first: they work on the file's text, so what they give holds no draws.
    """
    if n < 1:
        raise ValueError(f"{n} draws are none: ask for at least 1.")
    return with_draws(machine, {cause: draw(given, n, stream(seed, cause)) for cause, given in doubts(machine).items()})


def with_draws(machine: Machine, draws: Mapping[str, Draws]) -> Machine:
    """The machine with the doubtful givens of these causes as draws, all of one shape (n,); the others stay."""
    drawn: Machine = _Sampler(draws).thing(machine)
    return drawn


def with_values(machine: Machine, values: Mapping[str, Draws]) -> Machine:
    """The machine with the givens of these causes at other values, whether they are in doubt or not."""
    changed: Machine = _Setter(values).thing(machine)
    return changed


def at_nominal(machine: Machine) -> Machine:
    """The machine with every draw put back to the value it was drawn around."""
    restored: Machine = _Restorer({}).thing(machine)
    return restored


def at_sample(machine: Machine, i: int) -> Machine:
    """The machine of one draw."""
    picked: Machine = _Picker(i).thing(machine)
    return picked


def scaled(machine: Machine, factors: Mapping[str, float]) -> Machine:
    """The machine with the givens of these causes times a factor, spreads too."""
    changed: Machine = _Scaler(factors).thing(machine)
    return changed


def doubts(machine: Machine) -> dict[str, Given]:
    """The causes whose doubt can be drawn, in file order, each with a given that has it."""
    collector = _Collector({})
    collector.thing(machine)
    return collector.found


def drawn_causes(machine: Machine) -> list[str]:
    """The paths whose doubt `sample` draws, in file order."""
    return list(doubts(machine))


class _Sampler:
    def __init__(self, draws: Mapping[str, Any]) -> None:
        self.draws = draws

    def thing(self, thing: Any) -> Any:
        changed = {}
        for field, k in keys(type(thing)).values():
            old = getattr(thing, field)
            new = self.value(old, k.reads)
            if new is not old:
                changed[field] = new
        return replace(thing, **changed) if changed else thing

    def value(self, old: Any, reads: Any) -> Any:
        if isinstance(old, Given):
            whole = isinstance(reads, schema.Quantity) and reads.whole
            return old if whole or not old.doubtful else self.given(old)
        if isinstance(old, Thing):
            return self.thing(old)
        if isinstance(old, tuple) and isinstance(reads, schema.ListOf | schema.Row):
            inner = reads.items if isinstance(reads, schema.Row) else (reads.item,) * len(old)
            new = tuple(self.value(item, one) for item, one in zip(old, inner, strict=True))
            return new if any(a is not b for a, b in zip(new, old, strict=True)) else old
        if isinstance(old, dict) and not isinstance(reads, schema.Raw):
            found = {name: self.value(item, reads) for name, item in old.items()}
            return found if any(found[name] is not old[name] for name in old) else old
        return old

    def given(self, given: Given) -> Given:
        if given.cause not in self.draws:
            return given
        return replace(given, value=self.draws[given.cause], middle=given.nominal)


class _Collector(_Sampler):
    def __init__(self, draws: Mapping[str, Any]) -> None:
        super().__init__(draws)
        self.found: dict[str, Given] = {}

    def given(self, given: Given) -> Given:
        self.found.setdefault(given.cause, given)
        return given


class _Picker(_Sampler):
    def __init__(self, i: int) -> None:
        super().__init__({})
        self.i = i

    def given(self, given: Given) -> Given:
        return replace(given, value=float(given.value[self.i])) if np.ndim(given.value) else given


class _Setter(_Sampler):
    def value(self, old: Any, reads: Any) -> Any:
        if not isinstance(old, Given):
            return super().value(old, reads)
        return self.given(old) if old.known else old


class _Scaler(_Sampler):
    def value(self, old: Any, reads: Any) -> Any:
        if not isinstance(old, Given):
            return super().value(old, reads)
        factor = self.draws.get(old.cause) if old.known else None
        if factor is None:
            return old
        low, high = (None if end is None else end * factor for end in (old.low, old.high))
        return replace(old, value=old.value * factor, low=low, high=high)


class _Restorer(_Sampler):
    def given(self, given: Given) -> Given:
        return replace(given, value=given.nominal)


def stream(seed: int, cause: str) -> np.random.Generator:
    """The random numbers of one cause."""
    name = int.from_bytes(hashlib.blake2b(cause.encode(), digest_size=8).digest(), "big")
    return np.random.default_rng([abs(seed), name])


def draw(given: Given, n: int, numbers: np.random.Generator) -> Draws:
    """`n` draws of one given between its two ends."""
    low, high = ends(given)
    if given.even:
        return numbers.uniform(low, high, n)
    if given.source not in TOLERANCES:
        return numbers.triangular(low, given.nominal, high, n)
    return _normal(given, numbers.standard_normal(n))


def quantile(given: Given, normal: Draws) -> Draws:
    """The draws of one given that stand where standard normal numbers stand in their distribution."""
    from scipy.special import ndtr

    low, high, middle = *ends(given), given.nominal
    if given.source in TOLERANCES and not given.even:
        return _normal(given, normal)
    share: Draws = ndtr(normal)
    if given.even:
        return low + share * (high - low)
    turn = (middle - low) / (high - low)
    below = low + np.sqrt(np.maximum(share, 0) * (high - low) * (middle - low))
    above = high - np.sqrt(np.maximum(1 - share, 0) * (high - low) * (high - middle))
    return np.where(share < turn, below, above)


def ends(given: Given) -> tuple[float, float]:
    """Both ends of a doubtful given."""
    assert given.low is not None and given.high is not None
    return given.low, given.high


def deviation(given: Given) -> float:
    """Standard deviation of what is drawn: even, triangular (GUM 4.3.7 and 4.3.9), or two of them to an end."""
    low, high, middle = *ends(given), given.nominal
    if given.even:
        return (high - low) / math.sqrt(12)
    if given.source not in TOLERANCES:
        return math.sqrt(((high - low) ** 2 - (middle - low) * (high - middle)) / 18)
    return (high - low) / (2 * DEVIATIONS_TO_AN_END)


def _normal(given: Given, normal: Draws) -> Draws:
    low, high = ends(given)
    z = normal / DEVIATIONS_TO_AN_END
    return np.clip(given.nominal + z * np.where(z < 0, given.nominal - low, high - given.nominal), low, high)
