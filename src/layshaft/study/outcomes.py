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
from layshaft.train.adjusting import adjusted
from layshaft.train.solve import solve
from layshaft.verdict.narrowed import narrowed, near_rows
from layshaft.verdict.sampled import Key, Plan, Row, Worst, plan_of, rated_draws
from layshaft.work import HERE, Runner

__all__ = ["Key", "Outcomes", "Progress", "at_once", "chunk", "outcomes"]

ROWS_AT_ONCE = 600_000
"""Stations and shafts times cases times draws gone through at once: below 300 MB, with all that is loaded."""

FEWEST, MOST = 16, 2048
"""Draws gone through at once, whatever the machine."""

Progress = Callable[[float], None]


@dataclass(slots=True)
class Outcomes:
    """Of the findings `keys`: share of the required margin, and codes, (findings, draws) each; 0 where unknown."""

    keys: list[Key]
    share: npt.NDArray[np.float32]
    codes: npt.NDArray[np.int8]
    ended: str = ""
    """Why there are fewer draws than were asked for."""

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


def outcomes(machine: Machine, draws: Mapping[str, Draws], progress: Progress = lambda _done: None,
             only: frozenset[Key] | None = None, runner: Runner = HERE, *, keep: bool = True) -> Outcomes:
    """Solve and rate the machine in all draws, chunk by chunk; with `keep` an interrupt keeps what is done.

    `only` asks for some findings: that is much faster.
    """
    near = None if only is None else near_rows(machine, only, draws)
    count, size = len(next(iter(draws.values()))), at_once(machine, only, near)
    parts = [{cause: values[start: start + size] for cause, values in draws.items()}
             for start in range(0, count, size)]
    done = runner.run(_part, (machine, only, near), parts, lambda chunks: progress(min(chunks * size, count)),
                      keep=keep)
    chunks: list[Worst] = done.results
    keys = list(chunks[0])
    return Outcomes(keys, np.concatenate([[c[k][0] for k in keys] for c in chunks], axis=1),
                    np.concatenate([[c[k][1] for k in keys] for c in chunks], axis=1), done.ended)


def at_once(machine: Machine, only: frozenset[Key] | None = None, near: frozenset[Row] | None = None) -> int:
    """Draws that are gone through at once: fewer of a large machine. It depends on nothing but what is asked."""
    return int(np.clip(ROWS_AT_ONCE // max(1, _plan(machine, only, near).rows), FEWEST, MOST))


def _part(asked: tuple[Machine, frozenset[Key] | None, frozenset[Row] | None], draws: Mapping[str, Draws]) -> Worst:
    machine, only, near = asked
    return chunk(machine, draws, only, near)


def chunk(machine: Machine, draws: Mapping[str, Draws], only: frozenset[Key] | None = None,
          near: frozenset[Row] | None = None) -> Worst:
    """Share and code of every finding, or of some by all their rows or those that are near, in a few draws."""
    plan = _plan(machine, only, near)
    drawn, _ = adjusted(machine, with_draws(machine, draws))
    return rated_draws(plan, solve(drawn, asked=plan.asked))


def _plan(machine: Machine, only: frozenset[Key] | None, near: frozenset[Row] | None) -> Plan:
    return plan_of(machine) if only is None else narrowed(machine, only, near)
