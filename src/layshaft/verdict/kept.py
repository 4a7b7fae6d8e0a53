"""Ratings of a room kept from check to check: most edits leave most kinds of part with the numbers they had.

A room's `rate` follows from its inputs alone, so it is asked again only where one number of one part differs in
one bit. Many samples are never kept: they are large, and never drawn twice.
"""

from __future__ import annotations

import functools
from collections.abc import Callable, Mapping
from typing import Any

import numpy as np
import numpy.typing as npt

from layshaft.trace.checks import Check
from layshaft.trace.formula import is_tracing, skips, tracing
from layshaft.trace.source import Source

Array = npt.NDArray[np.float64]
Rate = Callable[[Any], Any]
Checks = tuple[Check, ...]
Bits = tuple[tuple[str, tuple[int, ...], bytes], ...]
"""Every input by name, with its shape and its numbers to the last bit."""

ROW = Source("one row of many", obtained="derived")
BLOCKS = 128
"""Kept at once: some three checks of a machine in which every kind of part is found."""

MOST = 250_000
"""Numbers of one block that is kept; beyond, what it takes up costs more than it saves."""


def rated(rate: Rate, inputs: Any, stacked: Mapping[str, Array]) -> Checks:
    """The checks of a room on these inputs."""
    if is_tracing() or skips.get() is not None or not _worth_keeping(stacked):
        return _called(rate, inputs, stacked)
    return _rated(rate, inputs, _bits(stacked))


def traced(rate: Rate, inputs: Any, stacked: Mapping[str, Array]) -> Checks:
    """The same with the trace on: every number knows the step it comes from."""
    if not _worth_keeping(stacked):
        with tracing():
            return _called(rate, inputs, stacked)
    return _traced(rate, inputs, _bits(stacked))


def _worth_keeping(stacked: Mapping[str, Array]) -> bool:
    return all(a.shape[-1] == 1 for a in stacked.values()) and sum(a.size for a in stacked.values()) <= MOST


def _bits(stacked: Mapping[str, Array]) -> Bits:
    return tuple([(name, a.shape, a.tobytes()) for name, a in stacked.items()])


def _numbers(bits: Bits) -> dict[str, Array]:
    return {name: np.frombuffer(numbers).reshape(shape) for name, shape, numbers in bits}


@functools.lru_cache(maxsize=BLOCKS)
def _rated(rate: Rate, inputs: Any, bits: Bits) -> Checks:
    return _called(rate, inputs, _numbers(bits))


@functools.lru_cache(maxsize=BLOCKS)
def _traced(rate: Rate, inputs: Any, bits: Bits) -> Checks:
    with tracing():
        return _called(rate, inputs, _numbers(bits))


def _called(rate: Rate, inputs: Any, stacked: Mapping[str, Array]) -> Checks:
    origins = dict.fromkeys(stacked, ROW)
    with np.errstate(all="ignore"):
        return tuple(rate(inputs(origins=origins, **stacked)).checks)
