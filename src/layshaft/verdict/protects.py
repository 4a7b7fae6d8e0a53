"""What a slip clutch or shear pin protects: the part behind or before it that a jam through it comes nearest to."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

import numpy as np

from layshaft.machine.kinds import FrictionClutch, ShearPin, SlipClutch
from layshaft.trace.findings import Finding
from layshaft.trace.formula import Remark
from layshaft.trace.source import Source
from layshaft.trace.units import TORQUE, shown
from layshaft.train.cases import HELD
from layshaft.train.limits import limit
from layshaft.verdict.jam import first_to_go
from layshaft.verdict.rate import Verdict

PROTECTS = Source("the jam through it", obtained="derived")
AT_THE_LIMIT = 1 - 1e-9


def protected(verdict: Verdict) -> Iterator[tuple[str, Remark]]:
    """One remark for each that lets go: what gets through at most, and the part that comes nearest to giving way."""
    for stage in verdict.solved.machine.stages.values():
        if isinstance(stage, (SlipClutch, ShearPin, FrictionClutch)):
            most = float(np.mean(limit(stage)[0]))  # type: ignore[index]
            if np.isfinite(most):
                yield stage.path, Remark(_words(most, _weakest(verdict, stage.name, stage.from_, most)), PROTECTS, True)


def _weakest(verdict: Verdict, name: str, shaft: str, most: float) -> Finding | None:
    """Of all jams by the drive's pull that bring it to its limit, the part nearest to parting, shearing or yielding.

    A wheel that runs into a jam may do so without passing through it, and says nothing about it.
    """
    solved = verdict.solved
    if name not in solved.stage_torque:
        return None
    others = replace(verdict, rated=[r for r in verdict.rated if not r.mode.startswith("grip ")])
    root, found = solved.set_of(shaft).root, []
    for i, case in enumerate(solved.cases):
        if case == HELD and np.abs(solved.stage_torque[name][0][i]).mean() >= most * AT_THE_LIMIT:
            found.append(first_to_go(others, i, root))
    return min((f for f in found if f is not None), key=lambda f: f.margin, default=None)


def _words(most: float, weakest: Finding | None) -> str:
    through = f"It lets {shown(most, TORQUE)} through at most, the upper end of its scatter."
    if weakest is None:
        return f"{through} No jam by the pull of a drive reaches that: it protects nothing, or nothing rated."
    place = f", {weakest.place}" if weakest.place else ""
    part = (f"{weakest.part}{place} ({weakest.mode}: {weakest.demand_text} against {weakest.rating_text}, margin "
            f"{weakest.margin_text})")
    if weakest.margin < 1:
        return f"{through} That is too much: in a jam {part} gives way first."
    return f"{through} The part that comes nearest to giving way in such a jam is {part}."
