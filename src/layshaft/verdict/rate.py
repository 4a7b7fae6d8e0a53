"""From a solved machine to a verdict on every part: each kind rated by one call."""

from __future__ import annotations

import functools
from collections.abc import Callable, Collection, Iterator, Mapping
from dataclasses import dataclass, field
from typing import Any

import numpy as np
import numpy.typing as npt

from layshaft.trace.checks import Check
from layshaft.trace.findings import HOLDS, UNKNOWN, WORST_FIRST, Finding, Shares, nearness, verdicts
from layshaft.trace.source import WEAK
from layshaft.train.cases import STOPPED
from layshaft.train.motion.figures import UNSEEN, RunSeen
from layshaft.train.solve import Solved
from layshaft.verdict.context import Context, context
from layshaft.verdict.edges import edge_words
from layshaft.verdict.kinds import (
    bearing_pairs,
    bearings,
    belts,
    bevel_pairs,
    brakes,
    bushes,
    chains,
    couplings,
    cranks,
    critical_speeds,
    deflections,
    engaged,
    fixings,
    frames,
    gear_fit,
    gears,
    hubs,
    idlers,
    iso_gears,
    keys,
    load_chains,
    loop_wheels,
    one_way_hubs,
    ratchets,
    ropes,
    shafts,
    slip_clutches,
    springs,
    twins,
    weights,
    wheels,
    worms,
)
from layshaft.verdict.notebook import verdict_html, verdict_text
from layshaft.verdict.open import open_owners, owner, set_root, taken_weights
from layshaft.verdict.reasons import reason
from layshaft.verdict.record import fingerprint, relies_on, remembered
from layshaft.verdict.required import lets_go, while_turning
from layshaft.verdict.rows import Block, Part
from layshaft.verdict.whole import OF_THE_WHOLE, asked_of

Codes = npt.NDArray[np.int8]


@dataclass(slots=True)
class Rated:
    """One failure mode of one block: codes and margins, shape (parts, cases, samples)."""

    block: Block
    check: Check
    mode: str
    codes: Codes
    ranked: npt.NDArray[np.float64]
    """Margin over required margin, 0 where unknown: sorts what is nearest to failing first."""

    asked: npt.NDArray[np.bool_]
    """(parts, cases): where the mode is asked."""


@dataclass(slots=True)
class Verdict:
    """Verdicts of a machine. `findings` has one line a part and mode: the worst of its cases."""

    solved: Solved
    context: Context
    rated: list[Rated] = field(default_factory=list)
    whole: list[Finding] = field(default_factory=list)
    """Findings on the machine as a whole, and parts no method covers."""

    run: RunSeen = UNSEEN
    _findings: list[Finding] | None = None

    @property
    def findings(self) -> list[Finding]:
        """One finding for each part and failure mode, its worst case, worst first."""
        if self._findings is None:
            found = [f for r in self.rated for f in _headlines(self, r)]
            self._findings = sorted([*found, *self.whole], key=lambda f: f.rank)
        return self._findings

    def every(self) -> Iterator[Finding]:
        """One finding for each part, place, failure mode and case."""
        for r in self.rated:
            for p, c in zip(*np.nonzero(r.asked), strict=True):
                yield finding(self, r, int(p), int(c))
        yield from self.whole

    def of(self, path: str) -> list[Finding]:
        """Findings of one part and what sits on it, by its path in the machine file."""
        return [f for f in self.findings if f.part == path or f.part.startswith(f"{path}.")]

    def __str__(self) -> str:
        return verdict_text(self)

    def _repr_html_(self) -> str:
        return verdict_html(self)

    @property
    def worst(self) -> str:
        """The worst word of all findings; holds if there are none."""
        return self.findings[0].verdict if self.findings else "holds"


def rate(solved: Solved, run: RunSeen = UNSEEN) -> Verdict:
    """Rate every part of a solved machine, nominal or sampled; `run` is what a run over time said of it."""
    found = Verdict(solved, context(solved), run=run)
    unsettled = open_owners(solved), taken_weights(solved)
    for gather in ONE_KIND:
        found.rated += rated_kind(found.context, gather, *unsettled)
    found.whole = [f for ask in OF_THE_WHOLE for f in asked_of(found, ask)]
    return found


def rated_kind(c: Context, gather: Gather, missing: Collection[str], weights: Mapping[str, str]) -> list[Rated]:
    """One kind of part: its rows gathered and rated."""
    found = []
    with np.errstate(all="ignore"):
        for block in gathered(gather(c)):
            if block.parts:
                settle(c.solved, block, missing, weights)
                found += rated_block(c.solved, block)
    return found


def settle(solved: Solved, block: Block, missing: Collection[str], weights: Mapping[str, str]) -> None:
    """Say of every part whether it is chosen, and what it rests on that is not."""
    for part in block.parts if missing or weights else ():
        part.not_chosen = part.not_chosen or owner(part.path) in missing
        part.rests_on = weights.get(set_root(solved, part.path), "") if weights else ""


Gather = Callable[[Context], Block | list[Block]]
ONE_KIND: tuple[Gather, ...] = (
    weights.block,
    load_chains.block,
    loop_wheels.blocks,
    ratchets.blocks,
    one_way_hubs.blocks,
    slip_clutches.blocks,
    engaged.blocks,
    brakes.blocks,
    chains.block,
    gear_fit.block,
    twins.block,
    idlers.block,
    gears.block,
    iso_gears.block,
    bevel_pairs.blocks,
    worms.block,
    couplings.block,
    shafts.sections,
    shafts.bearing_slopes,
    shafts.mesh_slopes,
    deflections.mesh_deflections,
    deflections.coupling_slopes,
    deflections.coupling_deflections,
    shafts.wind_up,
    critical_speeds.block,
    keys.block,
    hubs.blocks,
    bearings.blocks,
    bearing_pairs.blocks,
    bushes.block,
    wheels.blocks,
    fixings.blocks,
    frames.blocks,
    cranks.block,
    ropes.block,
    belts.blocks,
    springs.blocks,
)
"""Every kind the house can rate, each gathered from the machine."""


def gathered(found: Block | list[Block]) -> list[Block]:
    """What one of `ONE_KIND` gathers, as a list."""
    return found if isinstance(found, list) else [found]


def rated_block(solved: Solved, block: Block) -> list[Rated]:
    """One kind rated by one call, mode by mode."""
    found = []
    hurts = np.array([bool(part.hurts) for part in block.parts])[:, None, None]
    unsettled = np.array([part.not_chosen or bool(part.rests_on) for part in block.parts])[:, None, None]
    some_unsettled = bool(unsettled.any())
    shape = (len(block.parts), len(solved.columns), solved.samples)
    when = _When(solved, block)
    for check in block.rated():
        if check.mode not in block.modes:
            continue
        people = hurts if lets_go(check.mode) else False
        required = np.array([part.required[check.mode][0] for part in block.parts])[:, None, None]
        codes = verdicts(check.demand, check.rating, check.margin, required, people)
        if some_unsettled:
            codes = np.where(unsettled, np.int8(UNKNOWN), codes)
        ranked = _spread(nearness(check.margin, required), shape)
        found.append(Rated(block, check, check.mode, _spread(codes, shape), ranked, when.asked(check.mode)))
    return found


def _spread(array: npt.NDArray[Any], shape: tuple[int, ...]) -> npt.NDArray[Any]:
    return array if array.shape == shape else np.broadcast_to(array, shape)


@functools.lru_cache(maxsize=256)
def _cases_that_ask(modes_cases: tuple[str, ...], cases: tuple[str, ...]) -> npt.NDArray[np.bool_]:
    """Which of the solved cases a mode is asked in, (cases,)."""
    first = [i == 0 for i in range(len(cases))]
    return np.array([case in modes_cases and case != STOPPED for case in cases] if modes_cases else first)


@dataclass(slots=True)
class _When:
    """The cases in which the modes of one block are asked."""

    solved: Solved
    block: Block
    _turns: npt.NDArray[np.bool_] | None = None

    def asked(self, mode: str) -> npt.NDArray[np.bool_]:
        """Where a mode is asked, (parts, cases)."""
        parts = self.block.parts
        asked = _cases_that_ask(self.block.modes[mode], tuple(self.solved.cases))
        mask = self._while_turning() & asked if while_turning(mode) else np.tile(asked, (len(parts), 1))
        narrow = self.block.applies.get(mode)
        if narrow:
            mask &= np.array([narrow(part) for part in parts])[:, None]
        return mask

    def _while_turning(self) -> npt.NDArray[np.bool_]:
        """Where the shaft of a part turns, (parts, cases)."""
        if self._turns is None:
            shafts = dict.fromkeys(part.shaft for part in self.block.parts)
            roots = {shaft: self.solved.set_of(shaft).root if shaft else "" for shaft in shafts}
            turns = {root: turning(self.solved, root) for root in set(roots.values())}
            self._turns = np.array([turns[roots[part.shaft]] for part in self.block.parts])
        return self._turns


def turning(solved: Solved, shaft: str) -> npt.NDArray[np.bool_]:
    """Cases in which a shaft turns, (cases,); all of them for a part without a shaft."""
    if not shaft:
        return np.ones(len(solved.columns), bool)
    root = solved.set_of(shaft).root
    plans = [column.plans[root] for column in solved.columns]
    return np.array([plan.turning and not plan.idle for plan in plans])


def _headlines(verdict: Verdict, r: Rated) -> Iterator[Finding]:
    """The worst case and place of every part."""
    words, shares, cases = worst_cases(r)
    first: dict[str, int] = {}
    for p, part in enumerate(r.block.parts):
        known = first.get(part.path)
        if words[p] <= HOLDS and (known is None or (words[p], shares[p]) < (words[known], shares[known])):
            first[part.path] = p
    for p in first.values():
        yield finding(verdict, r, p, cases[p])


def worst_cases(r: Rated) -> tuple[list[int], list[float], list[int]]:
    """Of every part of a mode at its place: code, share of the required margin and number of its worst case.

    The code is beyond that of what holds where the mode is asked in no case.
    """
    alone = r.codes.shape[2] == 1
    codes, ranked = (r.codes[:, :, 0], r.ranked[:, :, 0]) if alone else (r.codes.min(axis=2), r.ranked.min(axis=2))
    worst = np.where(r.asked, codes, HOLDS + 1)
    nearest = np.where(worst == worst.min(axis=1, keepdims=True), ranked, np.inf)
    cases = nearest.argmin(axis=1)
    rows = np.arange(len(cases))
    return worst[rows, cases].tolist(), nearest[rows, cases].tolist(), cases.tolist()


def glance(r: Rated) -> tuple[Codes, npt.NDArray[np.float64]]:
    """Code, and share of the required margin, of every finding of a mode, (parts, cases): what `rank` sorts by."""
    alone = r.codes.shape[2] == 1
    codes = r.codes[:, :, 0] if alone else np.apply_along_axis(_usual, 2, r.codes)
    margin = np.broadcast_to(r.check.margin, r.codes.shape).mean(axis=2)
    required = np.array([part.required[r.mode][0] for part in r.block.parts])[:, None]
    return codes, np.where(np.isfinite(margin), margin / required, 0.0)


def finding(verdict: Verdict, r: Rated, p: int, c: int) -> Finding:
    """The finding of one part in one case."""
    part, check = r.block.parts[p], r.check
    column, many = verdict.solved.columns[c], verdict.solved.samples > 1
    code = _usual(r.codes[p, c]) if many else int(r.codes[p, c, 0])
    demand, rating, margin = _at(check.demand, p, c), _at(check.rating, p, c), _at(check.margin, p, c)
    required, required_source = part.required[r.mode]
    alone = not r.block.modes[r.mode]
    return Finding(
        part.path, part.place, r.mode, "any" if alone else column.case,
        "any case" if alone else column.title, check.dimension, demand, rating, margin, required, WORST_FIRST[code],
        check.source,
        required_source, reason=reason(verdict.solved, r.block, p, c, check) if code == UNKNOWN else "",
        hurts=part.hurts if lets_go(r.mode) else "", trust=_trust(r, part),
        note=_note(r, part, c, code),
        fingerprint=fingerprint(r.block, part),
        shares=_shares(r.codes[p, c]) if many else None,
    )


def _note(r: Rated, part: Part, c: int, code: int) -> str:
    """What the room says of the check, and how near the next whole number is that counts worse."""
    edge = "" if code == UNKNOWN else edge_words(r.block, part, c, r.mode, holds=code == HOLDS)
    return "; ".join(words for words in (r.check.note, edge) if words)


def _at(value: Any, p: int, c: int) -> float:
    """Value of one part and case; the mean over samples."""
    if not isinstance(value, np.ndarray):
        return float(value)
    if value.ndim < 3:
        value = value.reshape((1,) * (3 - value.ndim) + value.shape)
    parts, cases, samples = value.shape
    p, c = p if parts > 1 else 0, c if cases > 1 else 0
    return float(value.item(p, c, 0) if samples == 1 else np.mean(value[p, c]))


def _usual(codes: Codes) -> int:
    """Of many samples: holds or not by the larger share, unknown where that is the largest."""
    counts = np.bincount(codes, minlength=4)
    return int(np.argmax(counts))


def _shares(codes: Codes) -> Shares:
    n = len(codes)
    holds, unknown = int((codes == HOLDS).sum()), int((codes == UNKNOWN).sum())
    return Shares(holds / n, (n - holds - unknown) / n, unknown / n)


def _trust(r: Rated, part: Part) -> str:
    """Words for what a margin rests on, where nobody has seen the number or method on a page.

    Demands are left out: what they rest on are the guesses of the train, listed on their own.
    """
    kind: Any = r.block.inputs
    used, _ = relies_on(r.block.rate, kind, r.mode)
    obtained = {part.origins[name].obtained for name in used if name not in part.demands}
    if "typical" in obtained:
        return "a typical value: get the maker's figure"
    if r.check.source.weak or remembered(r.block.rate, kind, r.mode):
        return "a remembered method: have it checked"
    if not WEAK.isdisjoint(obtained):
        return "a remembered value: have it checked"
    return ""
