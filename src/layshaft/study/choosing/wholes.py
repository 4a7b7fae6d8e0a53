"""The whole machine with an answer in place, solved and rated as `check` does, here or by others."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from layshaft.machine.errors import MachineErrors
from layshaft.machine.model import Machine
from layshaft.machine.options import apply
from layshaft.study.choosing.space import Space
from layshaft.trace.errors import BadInput
from layshaft.trace.findings import Finding
from layshaft.trace.source import Source
from layshaft.trace.units import RATIO
from layshaft.train.solve import solve
from layshaft.verdict.coverage import WHOLE
from layshaft.verdict.rate import Verdict, rate
from layshaft.verdict.runaways import MODE as RUN_AWAY
from layshaft.verdict.search import as_option
from layshaft.work import HERE, Runner, WorkLost

TOGETHER = 2
"""Answers in a chunk. One takes a few hundredths of a second in a machine of middling size."""

Option = Mapping[str, Any]
Progress = Callable[[float, float], None]
"""Hears how many answers have been rated, of how many that are asked for so far."""

Told = list[tuple[tuple[str, str], Finding]]
"""Path and mode with the worst finding."""

SHORT = ("fails", "thin")
REFUSED = "it does not fit what else the file says"
FITS = Source("what must fit in a machine file", obtained="derived")


@dataclass(slots=True)
class Whole:
    """The whole machine with an answer in place: what of the parts chosen does not hold, and what else it harms."""

    own: list[Finding]
    harmed: list[tuple[Finding, str]]
    """Findings of other parts that are worse than they were, each with its word before."""

    mended: list[Finding]

    @property
    def sound(self) -> bool:
        """Nothing of it fails or is thin, and nothing else is made worse."""
        return not self.own and not self.harmed

    @property
    def worst(self) -> Finding:
        """The first thing against it; there is one where it is not sound."""
        return self.own[0] if self.own else self.harmed[0][0]


class Wholes:
    """Whole machines by the options of a row, each rated once."""

    def __init__(self, space: Space, progress: Progress = lambda _done, _whole: None, runner: Runner = HERE) -> None:
        self.space, self.progress, self.runner = space, progress, runner
        self.before = {key: f.verdict for key, f in _worst(space.verdict).items()}
        self._known: dict[tuple[tuple[str, int], ...], Whole] = {}

    def __len__(self) -> int:
        return len(self._known)

    def __contains__(self, row: Mapping[str, int]) -> bool:
        return _key(row) in self._known

    def of(self, row: Mapping[str, int]) -> Whole:
        """The whole machine with a row in place."""
        if row not in self:
            self.look([row])
        return self._known[_key(row)]

    def look(self, rows: Iterable[Mapping[str, int]]) -> None:
        """Rate what is not known yet of these rows, chunk by chunk.

        What is done stays known when this ends early. Raises `WorkLost`, or `KeyboardInterrupt` where nothing is done.
        """
        new = {_key(row): row for row in rows if row not in self}
        keys, there = list(new), len(self._known)
        options = [as_option(self.space.machine, self.space.sets_of(row)) for row in new.values()]
        chunks = [options[i: i + TOGETHER] for i in range(0, len(options), TOGETHER)]
        whole = float(there + len(options))
        done = self.runner.run(rated, (self.space.machine, self.before), chunks,
                               lambda count: self.progress(min(there + count * TOGETHER, whole), whole))
        found = (self._whole(told) for chunk in done.results for told in chunk)
        self._known |= dict(zip(keys, found, strict=False))
        if done.ended:
            raise WorkLost(done.ended)

    def _whole(self, told: Told) -> Whole:
        found = Whole([], [], [])
        for (path, mode), f in told:
            if mode == REFUSED:
                found.own.append(f)
                continue
            was = self.before.get((path, mode), "not there")
            own = any(part.judges(path) for part in self.space.parts.values())
            mine = own and mode not in WHOLE
            if own and mode == RUN_AWAY and was != "holds":
                continue  # what runs away when it is lost, no size of it decides; while it is open nobody can say
            if mine and f.verdict in SHORT:
                found.own.append(f)
            elif not mine and ((was == "holds" and f.verdict != "holds") or (f.verdict == "fails" and was != "fails")):
                found.harmed.append((f, was))
            elif not mine and f.verdict == "holds" and was in SHORT:
                found.mended.append(f)
        return found


def rated(shared: tuple[Machine, Mapping[tuple[str, str], str]], options: Sequence[Option]) -> list[Told]:
    """Of a machine with each option: the worst finding of every part and mode that is short or other than before."""
    machine, before = shared
    return [_rated(machine, before, option) for option in options]


def _rated(machine: Machine, before: Mapping[tuple[str, str], str], option: Option) -> Told:
    try:
        found = _worst(rate(solve(apply(machine, option))))
    except BadInput as refused:
        return [((REFUSED, REFUSED), _refused(refused))]
    return [(key, f) for key, f in found.items() if f.verdict in SHORT or f.verdict != before.get(key)]


def _refused(why: BadInput) -> Finding:
    """What the reader of the file says against it, as a finding that fails."""
    return Finding("the file", "", REFUSED, "any", "any case", RATIO, math.nan, math.nan, math.nan, 1.0, "fails", FITS,
                   FITS, reason=why.problems[0].sentence if isinstance(why, MachineErrors) else str(why))


def _worst(verdict: Verdict) -> dict[tuple[str, str], Finding]:
    found: dict[tuple[str, str], Finding] = {}
    for f in verdict.findings:
        found.setdefault((f.part, f.mode), f)
    return found


def _key(row: Mapping[str, int]) -> tuple[tuple[str, int], ...]:
    return tuple(sorted(row.items()))
