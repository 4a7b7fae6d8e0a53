"""Moments of a run at which it goes beyond the cases every part is rated for."""

from __future__ import annotations

from dataclasses import dataclass, field

import numpy as np
import numpy.typing as npt

from layshaft.train.limits import one_way
from layshaft.train.moments import Moment, fastest, rated_for
from layshaft.train.motion.course import Course
from layshaft.train.motion.peaks import joints_of, link_torques

Array = npt.NDArray[np.float64]
LEAST = 1e-3
"""Share by which a run must go beyond for it to count: less changes no digit of a margin."""


@dataclass(slots=True)
class _Found:
    torque: dict[str, float] = field(default_factory=dict)
    beyond: float = 0.0


def moments_beyond(c: Course) -> list[Moment]:
    """For each stage the moment of its peak, where that is beyond; and the fastest moment, where it is."""
    found: dict[tuple[int, int], _Found] = {}
    torques = _real(c, np.abs(link_torques(c)))
    for i, joint in enumerate(joints_of(c)):
        at, late = (int(n) for n in np.unravel_index(int(np.argmax(torques[:, :, i])), torques.shape[:2]))
        carried = float(torques[at, late, i]) / len(joint.stages)
        for name in joint.stages:
            # Not what an earlier run put among the cases: a second run would find nothing beyond it and be forgotten.
            rated = rated_for(c.solved, name, joint.child, besides_runs=True)
            if carried > rated * (1 + LEAST):
                one = found.setdefault((at, late), _Found())
                one.torque[name], one.beyond = carried, max(one.beyond, carried / rated if rated else np.inf)
    at = int(np.argmax(c.motion.omega))
    speed = float(c.motion.omega[at]) / fastest(c.solved, c.programme.root)
    if speed > 1 + LEAST:
        ends = at > 0 and c.motion.parts[int(c.motion.part[at])].reduced is None
        found.setdefault((at - 1, 1) if ends else (at, 0), _Found(beyond=speed))
    return [_moment(c, at, late, one) for (at, late), one in sorted(found.items())]


def _real(c: Course, torques: Array) -> Array:
    """Without what the run lets a one-way stage pass where its shaft would have run ahead of it."""
    passed = link_torques(c)
    for i, joint in enumerate(joints_of(c)):
        stage = c.solved.machine.stages[joint.stages[0]]
        if one_way(stage):
            forward = joint.child_turns * (1.0 if stage.from_ == joint.parent else -1.0)
            torques[:, :, i] = np.where(passed[:, :, i] * forward < 0, 0.0, torques[:, :, i])
    return torques


def _moment(c: Course, at: int, late: int, found: _Found) -> Moment:
    m, root = c.motion, c.programme.root
    part, edge = m.parts[int(m.part[at])], min(at + late, len(m.time) - 1)
    assert part.reduced is not None
    s = part.reduced.setting
    lifting = tuple((lift.load, float(lift.torques[piece]))
                    for piece, lift in zip(part.state, part.reduced.lifts, strict=True))
    return Moment(root, float(m.time[edge]), float(m.omega[edge]), lifting, tuple(sorted(s.off)),
                  tuple(sorted(s.landed)), s.pull, s.brake, found.torque, found.beyond)
