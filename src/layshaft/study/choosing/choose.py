"""The best sets of what can be bought for some parts of a machine, each rated as `check` rates it."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace
from typing import Any

import numpy as np
import numpy.typing as npt

from layshaft.machine.model import Machine
from layshaft.study.choosing.asked import space_of
from layshaft.study.choosing.fronts import front
from layshaft.study.choosing.joining import Axis, Grid, Killed, Table, join
from layshaft.study.choosing.judging import Judge
from layshaft.study.choosing.space import Offers, Space, Wish
from layshaft.study.choosing.wholes import REFUSED, Progress, Whole, Wholes
from layshaft.study.choosing.wishes import Weighed, weighed
from layshaft.verdict.search import Answer, as_option
from layshaft.work import HERE, Runner, WorkLost

MOST_RATED = 4_000
"""Answers looked at before a search says that it has not been through all."""

MOST_SORTED = 200_000

MOST_DOWN = 4
"""Smaller sizes looked at for one that does not hold."""

AT_ONCE = 32
"""Rows rated together: the front, and what stands behind it."""


@dataclass(slots=True)
class Smaller:
    """The next size down that does not do: what it breaks, by part; or the condition it does not meet."""

    axis: str
    option: str
    breaks: list[tuple[str, Answer]] = field(default_factory=list)
    words: str = ""
    holding: list[str] = field(default_factory=list)
    """Smaller ones that hold too: others beat them in what is wished for."""

    moved: list[str] = field(default_factory=list)
    """Options of other axes that must change with it."""


@dataclass(slots=True)
class Candidate:
    """One answer that holds: its sizes, what it is worth, its margins, and what it does to the rest."""

    row: dict[str, int]
    sizes: dict[str, str]
    option: dict[str, Any]
    values: dict[str, float]
    why: str = ""
    answers: list[tuple[str, Answer]] = field(default_factory=list)
    unknown: dict[str, dict[str, str]] = field(default_factory=dict)
    smaller: list[Smaller] = field(default_factory=list)
    whole: Whole | None = None
    score: float = 0.0


@dataclass(slots=True)
class Refused:
    """A failure mode, or a harm to another part, that stood in the way: how many, and the nearest miss."""

    words: str
    count: int = 0
    nearest: Answer | None = None
    sizes: dict[str, str] = field(default_factory=dict)


@dataclass(slots=True)
class Choice:
    """The whole answer of a choice."""

    space: Space
    size: int
    killed: list[Killed]
    fitting: int
    rated: int
    refused: list[Refused]
    candidates: list[Candidate]
    weighed: list[Weighed]
    complete: bool = True
    """False where the search ended before all that might be better was rated."""

    ended: str = ""
    """Why nothing more was rated."""

    unrated: int = 0
    """What fits, was neither rated nor ruled out, and may be better than what was."""


def choose(machine: Machine, parts: Sequence[str], wish: Wish, offers: Offers, most: int = 10,
           progress: Progress = lambda _done, _whole: None, runner: Runner = HERE) -> Choice:
    """Every combination that fits, pruned, rated, and the best trade-offs of those that hold. Raises `BadInput`.

    An interrupt, or the loss of all who rate, leaves the answer of what is rated.
    """
    space = space_of(machine, parts, wish, offers)
    joined = join(space.grid)
    if len(joined.table) <= MOST_SORTED:
        order = np.lexsort([joined.table.rows[axis.name] for axis in reversed(space.grid.axes)])
        joined.table = joined.table.kept(order)  # of answers alike in every wish the one of smaller sizes stays
    wishes = weighed(space, joined.table)
    found = _Search(space, joined.table, wishes, Wholes(space, progress, runner))
    found.run()
    choice = Choice(space, space.grid.size, joined.killed, len(joined.table), len(found.looked), found.told(),
                    found.candidates(), wishes, found.complete, found.ended, found.unrated())
    if not found.ended:
        try:
            _explain(found, choice.candidates[:most])
        except (KeyboardInterrupt, WorkLost) as stop:
            choice.ended = _why(stop)
    return choice


def _why(stop: BaseException) -> str:
    return str(stop) or "interrupted"


class _Search:
    """Fronts peeled until all that stands on one holds: what fails goes, and all that fails with it."""

    def __init__(self, space: Space, table: Table, wishes: Sequence[Weighed], wholes: Wholes) -> None:
        self.space, self.table, self.wholes = space, table, wholes
        counted = [w for w in wishes if w.counts]
        values = np.stack([w.values for w in counted], axis=1) if counted else np.zeros((len(table), 1))
        self.values = np.where(np.isnan(values), np.inf, values)
        self.wishes = counted
        self.judge = Judge(space)
        self.left = np.ones(len(table), bool)
        self.sound: dict[int, Whole] = {}
        self.refused: dict[str, Refused] = {}
        self.looked: set[int] = set()
        self.complete = True
        self.ended = ""

    def row(self, i: int) -> dict[str, int]:
        """The options of one row."""
        return {name: int(at[i]) for name, at in self.table.rows.items()}

    def run(self) -> None:
        """Until every row of the front has been found sound, or nobody goes on."""
        try:
            while self._step():
                pass
        except (KeyboardInterrupt, WorkLost) as stop:
            if not len(self.wholes):
                raise
            self.complete, self.ended = False, _why(stop)
            self._settle([i for i in self.front() if i in self.looked and self.row(i) in self.wholes])
            self._again()

    def _step(self) -> bool:
        """Rate the front as it is now; False where nothing of it was new."""
        new = [i for i in self._ahead() if i not in self.looked]
        if len(self.looked) >= MOST_RATED and new:
            self.complete = False
            return False
        self.judge.look([self.row(i) for i in new])
        self.looked |= set(new)
        for i in new:
            if self.left[i]:
                self._strike(i)
        doubtful = [i for i in self.front() if i in self.looked and i not in self.sound]
        self.wholes.look([self.row(i) for i in doubtful])
        self._settle(doubtful)
        self._again()
        return bool(new or doubtful)

    def front(self) -> list[int]:
        """Rows of the front of what is left."""
        left = np.flatnonzero(self.left)
        return list(left[front(_finite(self.values[left]))].tolist()) if len(left) else []

    def _ahead(self) -> list[int]:
        """The front of what is left; behind it as many layers as are rated at a stroke while none is proven."""
        left = np.flatnonzero(self.left)
        found: list[int] = []
        while len(left) and len(found) < AT_ONCE:
            ahead = front(_finite(self.values[left]))
            found += left[ahead].tolist()
            left = left[~ahead]
            if self.sound:
                break
        return found

    def _strike(self, i: int) -> None:
        """Strike out a row that fails by itself, with all that share what fails in it."""
        row = self.row(i)
        for part in self.space.parts.values():
            failing = self.judge.failing(part, row)
            if failing:
                alike = self.left.copy()
                for name in part.rests_on:
                    alike &= self.table.rows[name] == row[name]
                self._refuse(alike, failing[0], self.judge.of(row)[part.path].answers.get(failing[0]), row, part.path)
                return

    def _settle(self, rows: Sequence[int]) -> None:
        """Keep or strike out rows by what is known of the whole machine with them in place."""
        for i in rows:
            row = self.row(i)
            whole = self.wholes.of(row)
            if whole.sound:
                self.sound[i] = whole
            else:
                f = whole.worst
                against = None if f.mode == REFUSED else Answer(f.mode, f.place, f.title, f.margin, f.required)
                self._refuse(self._alone(i), f"{f.mode}: {f.reason}" if f.mode == REFUSED else f.mode, against, row,
                             f.part)

    def _alone(self, i: int) -> npt.NDArray[np.bool_]:
        only = np.zeros(len(self.left), bool)
        only[i] = True
        return only

    def _refuse(self, rows: npt.NDArray[np.bool_], mode: str, answer: Answer | None, row: Mapping[str, int],
                path: str) -> None:
        told = self.refused.setdefault(f"{path}: {mode}", Refused(f"{path}: {mode}"))
        told.count += int(rows.sum())
        self.left &= ~rows
        if answer is not None and (told.nearest is None or answer.share > told.nearest.share):
            told.nearest, told.sizes = answer, self.sizes(row)

    def _again(self) -> None:
        """An answer of a later option may show that an earlier one was never proven."""
        for i in list(self.sound):
            row = self.row(i)
            for part in self.space.parts.values():
                failing = self.judge.failing(part, row)
                if failing and i in self.sound:
                    del self.sound[i]
                    self._refuse(self._alone(i), failing[0], None, row, part.path)

    def differs(self, i: int, row: Mapping[str, int]) -> list[str]:
        """Axes in which a row of the table is another than the one given."""
        return [name for name, at in self.table.rows.items() if int(at[i]) != row[name]]

    def sizes(self, row: Mapping[str, int]) -> dict[str, str]:
        """The option of every axis in words."""
        return {axis.name: axis.options[row[axis.name]] for axis in self.space.grid.axes}

    def told(self) -> list[Refused]:
        """What stood in the way, the most first."""
        return sorted(self.refused.values(), key=lambda r: -r.count)

    def unrated(self) -> int:
        """How many are neither rated, nor ruled out, nor beaten by what is sound; none where all was gone through."""
        open_ = self.left.copy()
        open_[list(self.sound)] = False
        values = _finite(self.values)
        for i in self.sound if not self.complete else ():
            open_ &= ~(values >= values[i]).all(axis=1)
        return 0 if self.complete else int(open_.sum())

    def _best(self) -> list[int]:
        """Sound rows of the front; of a search that ended early those that no other sound row beats."""
        if self.complete:
            return sorted(i for i in self.front() if i in self.sound)
        rows = np.array(sorted(self.sound), int)
        return list(rows[front(_finite(self.values[rows]))].tolist()) if len(rows) else []

    def candidates(self) -> list[Candidate]:
        """The front, the best of it first by the weights of the wishes."""
        rows = self._best()
        values = self.values[rows]
        finite = np.where(np.isfinite(values), values, np.nan)
        low, high = (f(finite, axis=0) if len(rows) else np.zeros(values.shape[1]) for f in (_least, _most))
        weights = np.array([w.weight for w in self.wishes] or [1.0])
        share = (values - low) / np.where(high > low, high - low, 1.0)
        found = []
        for k, i in enumerate(rows):
            row = self.row(i)
            c = Candidate(row, self.sizes(row), self.option(row),
                          {w.kind.name: float(v) for w, v in zip(self.wishes, finite[k], strict=False)},
                          whole=self.sound[i], score=float(np.nan_to_num(share[k], posinf=1.0) @ weights))
            best = [w.kind.best for w, v, least in zip(self.wishes, values[k], low, strict=False) if v <= least]
            c.why = ", ".join(best) if best else "in between" if self.wishes else "the smallest that holds"
            for path, judged in self.judge.of(row).items():
                c.answers += [(path, answer) for answer in judged.answers.values()]
                c.unknown[path] = judged.unknown
            c.answers.sort(key=lambda pair: pair[1].share)
            found.append(c)
        return sorted(found, key=lambda c: (c.score, *c.values.values()))

    def option(self, row: Mapping[str, int]) -> dict[str, Any]:
        """The change to the machine file that takes a row; a supplier's own part comes with it."""
        sets = self.space.sets_of(row)
        option: dict[str, Any] = dict(as_option(self.space.machine, sets))
        names = {str(v) for v in sets.values()} & set(self.space.additions)
        if names:
            option["add"] = {f"parts.{name}": dict(self.space.additions[name]) for name in sorted(names)}
        return option


def _finite(values: npt.NDArray[np.float64]) -> npt.NDArray[np.float64]:
    """What is unknown of a row counts as worse than the worst that is known."""
    known = np.where(np.isfinite(values), values, -np.inf).max(axis=0, initial=0.0)
    return np.where(np.isfinite(values), values, 2 * np.abs(known) + 1.0)


def _least(values: Any, axis: int) -> Any:
    return np.nan_to_num(np.nanmin(np.vstack([values, np.full(values.shape[1], 1e300)]), axis=axis), nan=0.0)


def _most(values: Any, axis: int) -> Any:
    return np.nan_to_num(np.nanmax(np.vstack([values, np.full(values.shape[1], -1e300)]), axis=axis), nan=0.0)


def _explain(found: _Search, candidates: Sequence[Candidate]) -> None:
    """What the next size down of each choice would break, rated like the answer itself."""
    asked = [(c, axis, _tries(found, c, axis)) for c in candidates for axis in found.space.grid.axes
             if axis.name not in found.space.teeth and c.row[axis.name] > 0]
    down = [tries for _, _, tries in asked]
    for k in range(MOST_DOWN):  # all that are one size down at a stroke, then two of what still holds
        down = [tries for tries in down if k < len(tries)]
        found.judge.look([tries[k] for tries in down])
        found.wholes.look([tries[k] for tries in down if not _own(found, tries[k])])
        down = [tries for tries in down if not _broken(found, tries[k])]
    for c, axis, tries in asked:
        c.smaller.append(_smaller(found, c, axis, tries))


def _tries(found: _Search, candidate: Candidate, axis: Axis) -> list[dict[str, int]]:
    """Smaller options beside the others as they are, the next first; else the next with what must move with it."""
    rows, at = found.table.rows, candidate.row
    below = np.flatnonzero(rows[axis.name] < at[axis.name])
    if not len(below):
        return []
    same = np.zeros(len(below), int)
    for a in found.space.grid.axes:
        same += rows[a.name][below] == at[a.name]
    order = np.lexsort([-rows[axis.name][below], -same])
    alone = [found.row(i) for i in below[order][:MOST_DOWN].tolist() if found.differs(i, at) == [axis.name]]
    if alone or axis.name not in found.space.trains:
        return alone  # else its shaft would have to be another: the bar tells of that
    moved = below[rows[axis.name][below] == rows[axis.name][below].max()]
    return [found.row(max(moved.tolist(), key=lambda i: -len(found.differs(i, at))))]


def _smaller(found: _Search, candidate: Candidate, axis: Axis, tries: Sequence[dict[str, int]]) -> Smaller:
    """The next smaller option that does not hold, of those that were tried."""
    at = candidate.row
    if not tries:
        return _fits_nothing(found.space, at, axis)
    for down, row in enumerate(tries):
        broken = _broken(found, row)
        if broken:
            sizes = found.sizes(row)
            others = [sizes[a.name] for a in found.space.grid.axes if a is not axis and row[a.name] != at[a.name]]
            return Smaller(axis.name, sizes[axis.name], broken, "", [found.sizes(r)[axis.name] for r in tries[:down]],
                           others)
    return Smaller(axis.name, axis.options[tries[0][axis.name]], holding=[found.sizes(r)[axis.name] for r in tries])


def _fits_nothing(space: Space, row: Mapping[str, int], axis: Axis) -> Smaller:
    """What keeps every smaller option out, with the others as they are."""
    at = row[axis.name]
    held = [_only(a, range(at) if a is axis else [row[a.name]]) for a in space.grid.axes]
    killed = join(Grid(held, space.grid.columns, space.grid.conditions)).killed
    return Smaller(axis.name, axis.options[at - 1], words=max(killed, key=lambda k: k.nearest).words)


def _own(found: _Search, row: Mapping[str, int]) -> list[tuple[str, Answer]]:
    """Part and answer of what a row, already looked at, does not hold by itself."""
    own = found.judge.of(row)
    return [(part.path, own[part.path].answers[mode]) for part in found.space.parts.values()
            for mode in found.judge.failing(part, row) if mode in own[part.path].answers]


def _broken(found: _Search, row: Mapping[str, int]) -> list[tuple[str, Answer]]:
    """The same, and where there is none what does not hold in the whole machine."""
    broken = _own(found, row)
    if broken:
        return broken
    whole = found.wholes.of(row)
    return [] if whole.sound else [(f.part, Answer(f.mode, f.place, f.title, f.margin, f.required))
                                   for f in (*whole.own, *(f for f, _ in whole.harmed))]


def _only(axis: Axis, options: Sequence[int]) -> Axis:
    kept = list(options)
    return replace(axis, options=[axis.options[i] for i in kept], sets=[axis.sets[i] for i in kept],
                   columns={k: np.asarray(v)[kept] for k, v in axis.columns.items()})
