"""Many draws of one machine rated at once: only what is asked, and no more of it in memory than is worked on.

A plan is made from the nominal machine: parts and cases in which each failure mode is asked, its required margin,
and the formulas its margin stands on. Every chunk of draws goes through the same plan, so that answers do not
depend on how the draws are cut.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from itertools import groupby

import numpy as np
import numpy.typing as npt

from layshaft.machine.model import Machine
from layshaft.machine.once import once
from layshaft.trace.checks import Check
from layshaft.trace.findings import HOLDS, UNKNOWN, Finding, nearness, verdicts
from layshaft.train.cases import STOPPED
from layshaft.train.solve import Asked, Solved, solve
from layshaft.verdict.clearances import clearances
from layshaft.verdict.context import Context, context
from layshaft.verdict.coverage import silent
from layshaft.verdict.driving import kept_from_driving
from layshaft.verdict.kicks import kicks
from layshaft.verdict.measured import against_guesses
from layshaft.verdict.needed import Needed, needed, only
from layshaft.verdict.open import open_owners, taken_weights
from layshaft.verdict.rate import ONE_KIND, Rated, gathered, rated_block, settle
from layshaft.verdict.required import lets_go
from layshaft.verdict.rows import Block, Picked
from layshaft.verdict.runaways import MODE as RUN_AWAY
from layshaft.verdict.runaways import runaways
from layshaft.verdict.wants import wanted

Key = tuple[str, str]
"""Path of the part, failure mode."""

Row = tuple[str, str, str, str]
"""Path and place of the part, failure mode, title of the case."""

Worst = dict[Key, tuple[npt.NDArray[np.float32], npt.NDArray[np.int8]]]
"""Of every finding and draw: the smallest margin over required margin, and the worst code."""

RATED = Asked(frozenset({STOPPED}))
"""All but the cases that are told, and that no failure mode asks."""

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
    """What is rated in every draw: what is asked of every block, kind by kind."""

    only: frozenset[Key] | None
    asked: Asked
    asks: list[list[list[Ask]]]
    whole: frozenset[Key]
    """Findings on the machine as a whole."""

    unsettled: frozenset[Key]
    """Those of them that rest on what is not chosen or not known, whatever is drawn."""

    still: list[Finding]
    """What no draw changes: clearances of the nominal places, measurements, and what nothing answers."""

    rows: int
    """Stations and shafts times cases: how many numbers of each kind a draw is solved for."""


@once
def plan_of(machine: Machine, only: frozenset[Key] | None = None, asked: Asked = RATED,
            near: frozenset[Row] | None = None) -> Plan:
    """The plan of every finding, or of these only, from the nominal machine; of all rows, or of those in `near`."""
    solved = solve(machine, asked=asked)
    c = context(solved)
    missing, weights = open_owners(solved), taken_weights(solved)
    kinds: list[list[tuple[Block, list[Rated]]]] = []
    with np.errstate(all="ignore"):
        for gather in ONE_KIND:
            kinds.append([])
            for block in gathered(gather(c)):
                settle(solved, block, missing, weights)
                kinds[-1].append((block, rated_block(solved, block) if block.parts else []))
        rated = [r for kind in kinds for _, here in kind for r in here]
        still = [f for f in (*clearances(c), *kept_from_driving(c), *silent(c, rated), *against_guesses(machine))
                 if only is None or (f.part, f.mode) in only]
        told = [*wanted(c), *kicks(c), *runaways(c, rated)]
        on_the_way = None if only is None else only | _bursts(rated, only)
        asks = [[list(_asks(block, here, on_the_way, _titles(solved, near))) for block, here in kind] for kind in kinds]
    stations = sum(len(solved.loads[name].stations) for name in solved.shafts)
    whole = {(f.part, f.mode) for f in told if only is None or (f.part, f.mode) in only}
    unsettled = {(f.part, f.mode) for f in told if f.verdict == "unknown"}
    return Plan(only, asked, asks, frozenset(whole), frozenset(unsettled), still,
                (stations + len(machine.shafts)) * len(solved.columns))


def rated_draws(plan: Plan, solved: Solved) -> Worst:
    """Every finding of the plan in every draw of a machine solved as far as the plan asks."""
    c, found = context(solved), _Found({}, solved.samples)
    with np.errstate(all="ignore"):
        bursts: list[Rated] = []
        for block, ask, check, k, rows in rated_rows(plan, c):
            found.take(block, ask, check, k, rows)
            if plan.whole and check.mode == BURST:
                bursts += rated_block(solved, block)
        if plan.whole:
            told = (*wanted(c), *kicks(c), *runaways(c, bursts))
            found.take_whole([f for f in told if (f.part, f.mode) in plan.whole], plan.unsettled)
        found.take_whole(plan.still, frozenset())
    return {key: found.worst[key] for key in sorted(found.worst) if plan.only is None or key in plan.only}


def rated_rows(plan: Plan, c: Context) -> Iterator[tuple[Block, Ask, Check, int, slice]]:
    """Each failure mode of each ask, a few parts at a time: its check, its number, and which parts."""
    for gather, kind in zip(ONE_KIND, plan.asks, strict=True):
        if any(kind):
            for block, asks in zip(gathered(gather(c)), kind, strict=True):
                for ask in asks:
                    yield from ((block, ask, *one) for one in _checks(block, ask, c.solved.samples))


# The plan --------------------------------------------------------------------------------------


def _cases(r: Rated) -> bytes:
    return r.asked.any(axis=0).tobytes()


def _bursts(rated: list[Rated], only: frozenset[Key]) -> set[Key]:
    """What the speeds at which wheels burst are read from, where a run-away is asked for."""
    if not any(mode == RUN_AWAY for _, mode in only):
        return set()
    return {(part.path, r.mode) for r in rated if r.mode == BURST for part in r.block.parts}


def _asks(block: Block, rated: list[Rated], only: frozenset[Key] | None, near: Near | None) -> Iterator[Ask]:
    for _, alike in groupby(rated, key=_cases):
        modes = [r for r in alike if only is None or any((part.path, r.mode) in only for part in block.parts)]
        if modes:
            yield _ask(block, modes, only, near)


Near = tuple[frozenset[Row], list[str]]


def _titles(solved: Solved, near: frozenset[Row] | None) -> Near | None:
    return None if near is None else (near, [column.title for column in solved.columns])


def _ask(block: Block, alike: list[Rated], only: frozenset[Key] | None, near: Near | None) -> Ask:
    asked = np.stack([r.asked for r in alike])
    if only is not None:
        asked &= np.array([[(part.path, r.mode) in only for part in block.parts] for r in alike])[:, :, None]
    if near is not None:
        asked &= np.array([[[(part.path, part.place, r.mode, title) in near[0] for title in near[1]]
                            for part in block.parts] for r in alike])
    parts, cases = (np.nonzero(asked.any(axis=axes))[0] for axes in ((0, 2), (0, 1)))
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


@dataclass(slots=True)
class _Found:
    worst: Worst
    draws: int

    def take(self, block: Block, ask: Ask, check: Check, k: int, rows: slice) -> None:
        """Keep the worst of all cases of these parts."""
        asked = ask.asked[k, rows][:, :, None]
        required = ask.required[k, rows][:, None, None]
        codes = verdicts(check.demand, check.rating, check.margin, required, ask.hurts[k, rows][:, None, None])
        share = nearness(check.margin, required)
        if ask.unsettled[rows].any():
            codes = np.where(ask.unsettled[rows][:, None, None], np.int8(UNKNOWN), codes)
        if not asked.all():
            share, codes = np.where(asked, share, np.inf), np.where(asked, codes, np.int8(HOLDS))
        share, code = share.min(axis=1), codes.min(axis=1)
        share = np.broadcast_to(share.astype(np.float32), (len(share), self.draws))
        code = np.broadcast_to(code, share.shape)
        for i, p in enumerate(ask.parts[rows]):
            if asked[i].any():
                self.put((block.parts[p].path, ask.modes[k]), share[i], code[i])

    def take_whole(self, findings: Iterable[Finding], unsettled: frozenset[Key]) -> None:
        """What is told of the machine as a whole, and what nothing answers; one impossible draw spoils no other."""
        for f in findings:
            each = np.float64(f.margin) if f.each is None else f.each
            code = np.where((f.part, f.mode) in unsettled, np.int8(UNKNOWN),
                            verdicts(1.0, 1.0, each, f.required, bool(f.hurts)))
            share = np.asarray(nearness(each, f.required), np.float32)
            self.put((f.part, f.mode), np.broadcast_to(share, (self.draws,)), np.broadcast_to(code, (self.draws,)))

    def put(self, key: Key, share: npt.NDArray[np.float32], code: npt.NDArray[np.int8]) -> None:
        """Keep the smaller share and the worse code of a finding, draw by draw."""
        old = self.worst.get(key)
        self.worst[key] = (share, code) if old is None else (np.minimum(old[0], share), np.minimum(old[1], code))
