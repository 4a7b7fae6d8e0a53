"""What becomes of every finding in every draw: margin over required margin, and whether it holds.

A finding is a part and a failure mode; of its places and cases the one nearest to failing counts, draw by draw.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from layshaft.machine.model import Machine
from layshaft.machine.sampling import Draws, with_draws
from layshaft.trace.findings import HOLDS, UNKNOWN
from layshaft.train.solve import solve
from layshaft.verdict.sampled import NEVER_RATED, Key, Worst, plan_of, rated_draws

__all__ = ["Key", "Outcomes", "Progress", "at_once", "chunk", "outcomes"]

ROWS_AT_ONCE = 450_000
"""Stations times cases times draws gone through at once: some hundred megabytes."""

FEWEST, MOST = 16, 1024
"""Draws gone through at once, whatever the machine."""

Progress = Callable[[float], None]


@dataclass(slots=True)
class Outcomes:
    """Of the findings `keys`: share of the required margin, and codes, (findings, draws) each; 0 where unknown."""

    keys: list[Key]
    share: npt.NDArray[np.float32]
    codes: npt.NDArray[np.int8]

    def row(self, key: Key) -> int:
        """The row of a finding."""
        return self.keys.index(key)

    @property
    def draws(self) -> int:
        """How many draws there are."""
        return int(self.share.shape[1])

    @property
    def holds(self) -> npt.NDArray[np.bool_]:
        """Where a finding holds."""
        return np.equal(self.codes, HOLDS)

    @property
    def unknown(self) -> npt.NDArray[np.bool_]:
        """Where a finding is not known."""
        return np.equal(self.codes, UNKNOWN)


def outcomes(machine: Machine, draws: Mapping[str, Draws], progress: Progress = lambda _done: None) -> Outcomes:
    """Solve and rate the machine in all draws, chunk by chunk; an interrupt keeps the chunks that are done."""
    count, size = len(next(iter(draws.values()))), at_once(machine)
    chunks: list[Worst] = []
    for start in range(0, count, size):
        try:
            chunks.append(chunk(machine, {cause: values[start: start + size] for cause, values in draws.items()}))
        except KeyboardInterrupt:
            if not chunks:
                raise
            break
        progress(min(start + size, count))
    keys = list(chunks[0])
    return Outcomes(keys, np.concatenate([[c[k][0] for k in keys] for c in chunks], axis=1),
                    np.concatenate([[c[k][1] for k in keys] for c in chunks], axis=1))


def at_once(machine: Machine) -> int:
    """Draws that are gone through at once: fewer of a large machine. It depends on nothing but the machine."""
    return int(np.clip(ROWS_AT_ONCE // max(1, plan_of(machine).rows), FEWEST, MOST))


def chunk(machine: Machine, draws: Mapping[str, Draws]) -> Worst:
    """Share and code of every finding in a few draws."""
    return rated_draws(plan_of(machine), solve(with_draws(machine, draws), without=NEVER_RATED))
