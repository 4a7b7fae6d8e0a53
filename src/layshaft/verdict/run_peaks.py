"""Peaks of a run among the ratings: what they do not cover is said, and so is that no run was made."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from layshaft.machine.kinds import Programme
from layshaft.trace.findings import Finding
from layshaft.trace.formula import Remark
from layshaft.trace.source import Source
from layshaft.trace.units import TORQUE, shown
from layshaft.train.cases import PEAK
from layshaft.train.moments import rated_for, titles
from layshaft.train.motion.figures import RunSeen
from layshaft.verdict.context import Context

MODE = "peak of the run"
COMPARED = Source("torque of the run against that of the cases that are rated", obtained="derived")
LEAST = 5e-3
"""Share by which the cases may fall short of a run: a weight on the floor is not followed to the digit."""

NO_RUN = Remark("No run of the machine as it stands is kept, so no rating counts the peaks of its programme: "
                "`layshaft run`.", Source("a run over time, made on demand", obtained="derived"), True)


def not_covered(c: Context, run: RunSeen) -> Iterator[Finding]:
    """Stages that a run loads by more than any case they are rated for: their ratings do not answer it."""
    for moment, title in zip(run.moments, titles(run.moments), strict=True):
        children = {name: link.child for link in c.solved.sets[moment.root].links for name in link.stages} \
            if moment.root in c.solved.sets else {}
        for stage, torque in moment.torque.items():
            rated = rated_for(c.solved, stage, children[stage]) if stage in children else np.nan
            if not torque <= rated * (1 + LEAST):
                yield _finding(c, title, stage, torque, rated)


def _finding(c: Context, title: str, stage: str, torque: float, rated: float) -> Finding:
    path = c.machine.stages[stage].path if stage in c.machine.stages else f"stages.{stage}"
    often = f", {torque / rated:.3g} times less" if rated > 0 else ""
    why = f"the run loads it with {shown(torque, TORQUE)}; its ratings stand on {shown(rated, TORQUE)}{often}"
    return Finding(path, "", MODE, PEAK, title, TORQUE, torque, rated,
                   rated / torque, 1.0, "unknown", COMPARED, COMPARED, reason=why)


def not_run(programme: Programme, run: RunSeen) -> Iterator[tuple[str, Remark]]:
    """A programme that was not run since the machine was last changed."""
    stated = programme.time.known or programme.acts or programme.winding or programme.brakes
    if stated and run.figures is None:
        yield "programme", NO_RUN
