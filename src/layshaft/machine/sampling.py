"""Doubt as numbers: the same machine with its doubtful givens as arrays of draws.

Where the doubt is a judgement (assumed, advised, listed) draws follow a triangle with the stated
value as its most likely one; where it is a tolerance (decided, measured) a normal distribution of
which the ends are two standard deviations from the value, clipped at the ends. Both are common
practice, no single source. A cause draws from its own stream, named by its path: the same seed
gives the same draws whatever else is in the file, so options are compared on equal luck.
"""

from __future__ import annotations

import hashlib
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
    drawn: Machine = _Sampler(n, seed).thing(machine)
    return drawn


def at_nominal(machine: Machine) -> Machine:
    """The machine with every draw put back to the value it was drawn around."""
    restored: Machine = _Restorer(1, 0).thing(machine)
    return restored


def drawn_causes(machine: Machine) -> list[str]:
    """The paths whose doubt `sample` draws, in file order."""
    sampler = _Sampler(1, 0)
    sampler.thing(machine)
    return list(sampler.draws)


class _Sampler:
    def __init__(self, n: int, seed: int) -> None:
        self.n, self.seed = n, seed
        self.draws: dict[str, Draws] = {}

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
        if isinstance(old, tuple) and isinstance(reads, schema.ListOf):
            new = tuple(self.value(item, reads.item) for item in old)
            return new if any(a is not b for a, b in zip(new, old, strict=True)) else old
        if isinstance(old, dict) and not isinstance(reads, schema.Raw):
            found = {name: self.value(item, reads) for name, item in old.items()}
            return found if any(found[name] is not old[name] for name in old) else old
        return old

    def given(self, given: Given) -> Given:
        if given.cause not in self.draws:
            self.draws[given.cause] = draw(given, self.n, stream(self.seed, given.cause))
        return replace(given, value=self.draws[given.cause], middle=given.nominal)


class _Restorer(_Sampler):
    def given(self, given: Given) -> Given:
        return replace(given, value=given.nominal)


def stream(seed: int, cause: str) -> np.random.Generator:
    """The random numbers of one cause."""
    name = int.from_bytes(hashlib.blake2b(cause.encode(), digest_size=8).digest(), "big")
    return np.random.default_rng([abs(seed), name])


def draw(given: Given, n: int, numbers: np.random.Generator) -> Draws:
    """`n` draws of one given between its two ends."""
    assert given.low is not None and given.high is not None
    value = given.nominal
    if given.source not in TOLERANCES:
        return numbers.triangular(given.low, value, given.high, n)
    z = numbers.standard_normal(n) / DEVIATIONS_TO_AN_END
    reach = np.where(z < 0, value - given.low, given.high - value)
    return np.clip(value + z * reach, given.low, given.high)
