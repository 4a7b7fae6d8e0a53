"""Own and peer beside each other: alternating rounds in one process, medians, one ratio.

Alternating spreads a busy moment of the machine over both sides. Before anything is timed both
sides must give the same numbers, else the ratio would compare two different jobs.
"""

from __future__ import annotations

import gc
import math
import statistics
import time
from collections.abc import Callable, Sequence
from dataclasses import dataclass

ROUND_SECONDS = 0.02
ROUNDS = 15


@dataclass(frozen=True, slots=True)
class Pair:
    """One job done twice. Each side returns plain SI numbers, to be compared before timing."""

    name: str
    own: Callable[[], Sequence[float]]
    peer: Callable[[], Sequence[float]]
    peer_is: str
    agree: float = 1e-9
    share: float = 1.0
    """Share of the job the peer does; its time is divided by it."""

    check: Callable[[], None] | None = None
    """Compares the two where what they return is not the same list; raises `AssertionError`."""


@dataclass(frozen=True, slots=True)
class Timing:
    """Median seconds a call on both sides."""

    pair: Pair
    own: float
    peer: float

    @property
    def ratio(self) -> float:
        """How many times longer the peer takes."""
        return self.peer / self.own


def compare(pair: Pair, rounds: int = ROUNDS) -> Timing:
    """Time one pair. Raises `AssertionError` where the two sides disagree."""
    (pair.check or (lambda: _compared(pair)))()
    calls = [_calls(pair.own), _calls(pair.peer)]
    taken: list[list[float]] = [[], []]
    gc.disable()
    try:
        for _ in range(rounds):
            for side, job in enumerate((pair.own, pair.peer)):
                taken[side].append(_seconds(job, calls[side]) / calls[side])
    finally:
        gc.enable()
    own, peer = map(statistics.median, taken)
    return Timing(pair, own, peer / pair.share)


def _compared(pair: Pair) -> None:
    ours, theirs = list(pair.own()), list(pair.peer())
    same = len(ours) == len(theirs) and all(
        math.isclose(a, b, rel_tol=pair.agree) for a, b in zip(ours, theirs, strict=True)
    )
    if not same:
        raise AssertionError(f"{pair.name}: own {ours} and peer {theirs} disagree.")


def _calls(job: Callable[[], object]) -> int:
    """Calls that fill one round."""
    calls = 1
    while (seconds := _seconds(job, calls)) < ROUND_SECONDS / 4:
        calls *= 4
    return max(1, round(calls * ROUND_SECONDS / seconds))


def _seconds(job: Callable[[], object], calls: int) -> float:
    start = time.perf_counter()
    for _ in range(calls):
        job()
    return time.perf_counter() - start


def in_words(seconds: float) -> str:
    """Seconds in the unit that reads between 1 and 1000."""
    for unit, size in (("s", 1.0), ("ms", 1e-3)):
        if seconds >= size:
            return f"{seconds / size:.3g} {unit}"
    return f"{seconds / 1e-6:.3g} µs"


def as_table(timings: Sequence[Timing]) -> str:
    """One line a pair."""
    head = ("job", "own", "peer", "peer / own", "peer is")
    rows = [
        (t.pair.name, in_words(t.own), in_words(t.peer), f"{t.ratio:.3g}", t.pair.peer_is) for t in timings
    ]
    widths = [max(len(row[i]) for row in (head, *rows)) for i in range(len(head))]
    lines = ["  ".join(cell.ljust(width) for cell, width in zip(row, widths, strict=True)).rstrip()
             for row in (head, *rows)]
    return "\n".join([lines[0], "-" * max(map(len, lines)), *lines[1:]])
