"""Many draws of one machine rated at once: only what is asked, and no more of it in memory than is worked on.

A plan is made from the nominal machine: parts and cases in which each failure mode is asked, its required margin,
and the formulas its margin stands on. Every chunk of draws goes through the same plan, so that answers do not
depend on how the draws are cut.
"""

from __future__ import annotations

from collections.abc import Collection, Iterator
from dataclasses import dataclass
from itertools import groupby

import numpy as np
import numpy.typing as npt

from layshaft.machine.model import Machine
from layshaft.machine.once import once
from layshaft.trace.checks import Check
from layshaft.trace.findings import HOLDS, UNKNOWN, Finding, verdicts
from layshaft.train.cases import STOPPED
from layshaft.train.solve import Solved, solve
from layshaft.verdict.context import context
from layshaft.verdict.coverage import silent
from layshaft.verdict.kicks import kicks
from layshaft.verdict.needed import Needed, needed, only
from layshaft.verdict.open import open_owners, taken_weights
from layshaft.verdict.rate import Rated, blocks, rated_block, settle
from layshaft.verdict.required import lets_go
from layshaft.verdict.rows import Block, Picked
from layshaft.verdict.runaways import runaways
from layshaft.verdict.wants import wanted

Key = tuple[str, str]
"""Path of the part, failure mode."""

Worst = dict[Key, tuple[npt.NDArray[np.float32], npt.NDArray[np.int8]]]
"""Of every finding and draw: the smallest margin over required margin, and the worst code."""

NEVER_RATED = (STOPPED,)
"""Cases that are told, and that no failure mode asks."""

BURST = "run-away burst"
AT_ONCE = 32_768
"""Rows times draws in one call of a room: some ten arrays of that size stay in the processor's cache."""


@dataclass(frozen=True, slots=True)
class Ask:
    """Failure modes of one block that are asked in the same cases.

    `asked` is (modes, parts, cases); `required`, `hurts` and `unsettled` come mode by mode and part by part.
    """

    modes: tuple[str, ...]
    parts: npt.NDArray[np.intp]
    cases: Picked
    asked: npt.NDArray[np.bool_]
    required: npt.NDArray[np.float64]
    hurts: npt.NDArray[np.bool_]
    unsettled: npt.NDArray[np.bool_]
    formulas: Needed


@dataclass(frozen=True, slots=True)
class Plan:
    """What is rated in every draw: what is asked of every block, and what nothing answers."""

    asks: list[list[Ask]]
    silent: list[Finding]
    rows: int
    """Stations of all shafts times cases: how many numbers of each kind a draw is solved for."""


@once
def plan_of(machine: Machine) -> Plan:
    """The plan of every finding, from the nominal machine."""
    solved = solve(machine, without=NEVER_RATED)
    c = context(solved)
    missing, weights = open_owners(solved), taken_weights(solved)
    asks, rated = [], []
    with np.errstate(all="ignore"):
        for block in blocks(c):
            settle(solved, block, missing, weights)
            here = rated_block(solved, block) if block.parts else []
            asks.append([_ask(block, list(alike)) for _, alike in groupby(here, key=_cases)])
            rated += here
        stations = sum(len(loads.stations) for loads in solved.loads.values())
        return Plan(asks, list(silent(c, rated)), stations * len(solved.columns))


def rated_draws(plan: Plan, solved: Solved) -> Worst:
    """Every finding of the plan in every draw of a machine solved without what is never rated."""
    c, found = context(solved), _Found({}, solved.samples)
    with np.errstate(all="ignore"):
        bursts: list[Rated] = []
        for block, asks in zip(blocks(c), plan.asks, strict=True):
            for ask in asks:
                for check, parts, rows in _checks(block, ask, solved.samples):
                    found.take(block, ask, check, parts, rows)
            bursts += _bursts(solved, block, asks)
        found.take_whole([*wanted(c), *kicks(c), *runaways(c, bursts), *plan.silent])
    return dict(sorted(found.worst.items()))


# The plan --------------------------------------------------------------------------------------


def _cases(r: Rated) -> bytes:
    return r.asked.any(axis=0).tobytes()


def _ask(block: Block, alike: list[Rated]) -> Ask:
    asked = np.stack([r.asked for r in alike])
    parts, cases = (np.nonzero(asked.any(axis=axes))[0] for axes in ((0, 2), (0, 1)))
    if all(not block.modes[r.mode] for r in alike):
        cases = cases[:1]
    modes = tuple(r.mode for r in alike)
    here = [block.parts[p] for p in parts]
    run = slice(int(cases[0]), int(cases[-1]) + 1) if len(cases) else slice(0, 0)
    return Ask(
        modes, parts, run if run.stop - run.start == len(cases) else cases, asked[:, parts][:, :, cases],
        np.array([[part.required[mode][0] for part in here] for mode in modes]),
        np.array([[bool(part.hurts) and lets_go(mode) for part in here] for mode in modes]),
        np.array([part.not_chosen or bool(part.rests_on) for part in here]), needed(block, modes))


# One chunk -------------------------------------------------------------------------------------


def _checks(block: Block, ask: Ask, samples: int) -> Iterator[tuple[Check, int, slice]]:
    """Each failure mode of an ask, a few parts at a time: its check, its number, and which parts."""
    together = max(1, AT_ONCE // max(1, ask.asked.shape[2] * samples))
    for start in range(0, len(ask.parts), together):
        rows = slice(start, start + together)
        with only(ask.formulas):
            checks = {check.mode: check for check in block.rated(ask.parts[rows], ask.cases)}
        for k, mode in enumerate(ask.modes):
            yield checks[mode], k, rows


def _bursts(solved: Solved, block: Block, asks: list[Ask]) -> list[Rated]:
    """Wheels at their run-away speed, whole: what may end a run-away is told by them."""
    return rated_block(solved, block) if any(BURST in ask.modes for ask in asks) else []


@dataclass(slots=True)
class _Found:
    worst: Worst
    draws: int

    def take(self, block: Block, ask: Ask, check: Check, k: int, rows: slice) -> None:
        """Keep the worst of all cases of these parts."""
        asked = ask.asked[k, rows][:, :, None]
        required = ask.required[k, rows][:, None, None]
        codes = verdicts(check.demand, check.rating, check.margin, required, ask.hurts[k, rows][:, None, None])
        codes = np.where(ask.unsettled[rows][:, None, None], np.int8(UNKNOWN), codes)
        share = np.where(asked, np.nan_to_num(check.margin / required, nan=0.0), np.inf).min(axis=1)
        code = np.where(asked, codes, np.int8(HOLDS)).min(axis=1)
        share = np.broadcast_to(share.astype(np.float32), (len(share), self.draws))
        code = np.broadcast_to(code, share.shape)
        for i, p in enumerate(ask.parts[rows]):
            if asked[i].any():
                self.put((block.parts[p].path, ask.modes[k]), share[i], code[i])

    def take_whole(self, findings: Collection[Finding]) -> None:
        """What is told of the machine as a whole, and what nothing answers."""
        for f in findings:
            each = np.float64(f.margin) if f.each is None else f.each
            known = f.verdict != "unknown"
            code = verdicts(1.0, 1.0, each, f.required, bool(f.hurts)) if known else np.int8(UNKNOWN)
            share = np.asarray(np.nan_to_num(each / f.required, nan=0.0), np.float32)
            self.put((f.part, f.mode), np.broadcast_to(share, (self.draws,)), np.broadcast_to(code, (self.draws,)))

    def put(self, key: Key, share: npt.NDArray[np.float32], code: npt.NDArray[np.int8]) -> None:
        """Keep the smaller share and the worse code of a finding, draw by draw."""
        old = self.worst.get(key)
        self.worst[key] = (share, code) if old is None else (np.minimum(old[0], share), np.minimum(old[1], code))
