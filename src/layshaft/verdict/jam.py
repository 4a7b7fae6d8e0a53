"""Hold each shaft fast in turn: the torque between it and the drive, and what lets go first."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from layshaft.trace.findings import Finding
from layshaft.train.cases import HELD, STOPPED
from layshaft.train.solve import Solved
from layshaft.verdict.rate import Rated, Verdict, finding
from layshaft.verdict.required import lets_go


@dataclass(frozen=True, slots=True)
class Passed:
    """Torque one stage passes on in a jam, at its two shafts."""

    stage: str
    first: float
    second: float


@dataclass(frozen=True, slots=True)
class Jam:
    """One shaft held fast. `still`: by the drive's pull alone; else the turning masses run into it."""

    shaft: str
    still: bool
    torque: float
    """Torque that holds the shaft."""

    path: list[Passed]
    first_to_go: Finding | None
    """The part on the way with the smallest margin that parts, shears or yields."""

    @property
    def goes(self) -> bool:
        """True where that part's margin is below 1: it lets go and limits what the rest feels."""
        return self.first_to_go is not None and bool(self.first_to_go.margin < 1)


def jams(verdict: Verdict) -> list[Jam]:
    """Every shaft held fast, first by the drive's pull, then running into the jam."""
    return [_jam(verdict, i) for i, case in enumerate(verdict.solved.cases) if case in (HELD, STOPPED)]


def can_be_held(solved: Solved) -> list[str]:
    """Shafts somebody may hold fast, without asking what that does."""
    return [_held_in(column.title) for column in solved.columns if column.case == HELD]


def _held_in(title: str) -> str:
    """The shaft a case of holding fast is named after."""
    return title.split(" at ", 1)[1]


LASTING = ("fatigue", "dynamic strength", "slow hoisting duty", "root strength", "root fatigue", "pawl seating")
"""What lets go only after many turns, or by its shape and not by a torque: no jam brings it about."""

UPPER_BOUNDS = ("Upper bounds: teeth and frame count as rigid. Choose the part that gives way, never one that holds a "
                "weight.")


def stops(verdict: Verdict) -> list[Jam]:
    """Every shaft stopped dead while the machine runs: what gives way is for a builder to choose, not to hope for."""
    return [_jam(verdict, i) for i, case in enumerate(verdict.solved.cases) if case == STOPPED]


def _jam(verdict: Verdict, i: int) -> Jam:
    solved = verdict.solved
    column = solved.columns[i]
    shaft = _held_in(column.title)
    root = solved.set_of(shaft).root
    path = [
        Passed(name, float(np.abs(first[i]).mean()), float(np.abs(second[i]).mean()))
        for name, (first, second) in solved.stage_torque.items()
        if solved.machine.stages[name].from_ in solved.sets[root].ratio and np.abs(first[i]).max() > 1e-9
    ]
    held = float(np.abs(solved.required[root][i]).mean())
    return Jam(shaft, column.case == HELD, held, path, first_to_go(verdict, i, root))


def first_to_go(verdict: Verdict, case: int, root: str) -> Finding | None:
    """Of all parts of one set, the one nearest to parting, shearing or yielding in this case."""
    inside = verdict.solved.sets[root].ratio
    best: tuple[float, Rated, int] | None = None
    for r in verdict.rated:
        if not lets_go(r.mode) or r.mode in LASTING or not r.block.modes[r.mode]:  # what asks no case feels no jam
            continue
        margins = np.broadcast_to(np.asarray(r.check.margin, dtype=float), r.codes.shape)[:, case].mean(axis=1)
        for p, part in enumerate(r.block.parts):
            if _on_the_way(verdict, part.path, inside) and np.isfinite(margins[p]) and (
                    best is None or margins[p] < best[0]):
                best = (float(margins[p]), r, p)
    return None if best is None else finding(verdict, best[1], best[2], case)


def _on_the_way(verdict: Verdict, path: str, shafts: dict[str, float]) -> bool:
    """Shafts, what sits on them and stages pass a jam on; drives and loads do not."""
    return path.startswith(("shafts.", "stages.")) and verdict.solved.machine.shaft_of(path) in shafts
