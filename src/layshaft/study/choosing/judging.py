"""Parts of answers to a choice, rated as `check` rates: the rows of all answers in bulk, each part once."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field, replace

import numpy as np
import numpy.typing as npt

from layshaft.study.choosing.space import Chosen, Space
from layshaft.trace.errors import BadInput
from layshaft.trace.findings import HOLDS, UNKNOWN
from layshaft.train.solve import Solved
from layshaft.verdict.context import context
from layshaft.verdict.rate import Codes, Rated, rated_block
from layshaft.verdict.reasons import reason
from layshaft.verdict.rows import Block
from layshaft.verdict.search import Answer, put

Key = tuple[str, tuple[int, ...]]
"""A part, and the options of every axis its rating rests on."""


@dataclass(slots=True)
class Judged:
    """One part with some sizes in place: of each failure mode its words by place and case, and how far it is."""

    codes: dict[str, Codes] = field(default_factory=dict)
    """(places, cases); what is not asked counts as holding."""

    answers: dict[str, Answer] = field(default_factory=dict)
    unknown: dict[str, str] = field(default_factory=dict)
    """Modes that some place or case has no answer for, with the reason."""


class Judge:
    """Rates parts of rows, each part once for the sizes its rating rests on."""

    def __init__(self, space: Space) -> None:
        self.space = space
        self.known: dict[Key, Judged] = {}
        self.answered: dict[tuple[str, str], npt.NDArray[np.bool_]] = {}
        """By part and mode: places and cases that some option has an answer for. One without it is not proven there."""

    def key(self, part: Chosen, row: Mapping[str, int]) -> Key:
        """What a part's rating is known by."""
        return part.path, tuple(row[name] for name in part.rests_on)

    def look(self, rows: Iterable[Mapping[str, int]]) -> None:
        """Rate what is not known yet of these rows: one call for each kind of rows."""
        for part in self.space.parts.values():
            new = {self.key(part, row): row for row in rows}
            new = {key: row for key, row in new.items() if key not in self.known}
            if new:
                self._rated(part, new)

    def of(self, row: Mapping[str, int]) -> dict[str, Judged]:
        """What is known of each part of a row that has been looked at."""
        return {path: self.known[self.key(part, row)] for path, part in self.space.parts.items()}

    def failing(self, part: Chosen, row: Mapping[str, int]) -> list[str]:
        """Modes in which a part of a row does not hold, the worst first."""
        judged = self.known[self.key(part, row)]
        found = [m for m, codes in judged.codes.items()
                 if (codes[self.answered.get((part.path, m), np.zeros(codes.shape, bool))] != HOLDS).any()]
        return sorted(found, key=lambda m: judged.answers[m].share if m in judged.answers else 0.0)

    def _rated(self, part: Chosen, new: Mapping[Key, Mapping[str, int]]) -> None:
        blocks: list[Block] = []
        spans: list[list[tuple[int, int]]] = []
        first: Solved | None = None
        solved = {key: whole for key, row in new.items() if (whole := self._tried(part, row)) is not None}
        for whole in solved.values():
            first = first or whole
            c = replace(context(whole), solved=replace(whole, machine=part.inside(whole.machine)))
            for i, block in enumerate(part.gather(c)):
                if i == len(blocks):
                    blocks.append(replace(block, parts=[]))
                    spans.append([])
                start = len(blocks[i].parts)
                blocks[i].parts += [p for p in block.parts if part.judges(p.path)]
                spans[i].append((start, len(blocks[i].parts)))
        self.known |= {key: Judged() for key in new if key not in solved}  # the whole machine says what is against it
        found = {key: Judged() for key in solved}
        if first is None:
            return
        with np.errstate(all="ignore"):
            for block, at in zip(blocks, spans, strict=True):
                for r in rated_block(first, block) if block.parts else ():
                    for judged, (start, end) in zip(found.values(), at, strict=True):
                        self._scatter(first, part, judged, r, start, end)
        self.known |= found

    def _tried(self, part: Chosen, row: Mapping[str, int]) -> Solved | None:
        """The same; None for sizes that cannot stand in a machine."""
        try:
            return self._solved(part, row)
        except BadInput:
            return None

    def _solved(self, part: Chosen, row: Mapping[str, int]) -> Solved:
        """The solved machine with the sizes a part rests on."""
        space = self.space
        felt = [name for name in part.rests_on if name in space.trains]
        solved = space.solved(space.sets_of(row, felt))
        rest = space.sets_of(row, [name for name in part.rests_on if name not in space.trains])
        return replace(solved, machine=put(solved.machine, rest))

    def _scatter(self, solved: Solved, part: Chosen, judged: Judged, r: Rated, start: int, end: int) -> None:
        """One mode of one part: the worst word over places and cases."""
        asked = r.asked[start:end]
        if not asked.any():
            return
        codes, shares = r.codes[start:end].min(axis=2), r.ranked[start:end].min(axis=2)
        known = asked & (codes != UNKNOWN)
        judged.codes[r.mode] = np.where(asked, codes, HOLDS)
        self.answered[part.path, r.mode] = self.answered.get((part.path, r.mode), np.zeros(known.shape, bool)) | known
        if known.any():
            row, case = np.unravel_index(int(np.argmin(np.where(known, shares, np.inf))), shares.shape)
            rated = r.block.parts[start + int(row)]
            required = rated.required[r.mode][0]
            title = solved.columns[int(case)].title if r.block.modes[r.mode] else "any case"
            judged.answers[r.mode] = Answer(r.mode, rated.place, title, float(shares[row, case]) * required, required)
        if not known.all() and (asked & (codes == UNKNOWN)).any():
            row, case = np.argwhere(asked & (codes == UNKNOWN))[0]
            judged.unknown[r.mode] = reason(solved, r.block, start + int(row), int(case), r.check)
