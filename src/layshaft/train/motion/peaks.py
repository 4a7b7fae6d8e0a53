"""The largest torque each stage carries in a run, and the moment it does."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from layshaft.train.motion.course import Course
from layshaft.train.motion.reduced import Joint
from layshaft.train.motion.run import Part

Array = npt.NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class Peak:
    """Largest torque of a stage on its first and second shaft, and when it is reached."""

    stage: str
    first: float
    second: float
    time: float


def peaks(c: Course) -> list[Peak]:
    """One line for each stage of the train that was run, stages side by side alike."""
    torques = link_torques(c)
    found = []
    for i, joint in enumerate(joints_of(c)):
        both = np.abs(torques[:, :, i]).max(axis=1)
        at = int(np.argmax(both))
        child = float(both[at]) / len(joint.stages)
        parent = child * over(c.motion.parts[int(c.motion.part[at])], i)
        for name in joint.stages:
            ends = (parent, child) if c.solved.machine.stages[name].from_ == joint.parent else (child, parent)
            late = float(np.argmax(np.abs(torques[at, :, i])))
            found.append(Peak(name, *ends, float(c.motion.time[min(at + int(late), len(c.motion.time) - 1)])))
    return found


def link_torques(c: Course) -> Array:
    """Torque each link puts on its outer shaft, at the beginning and at the end of every stretch, (edges, 2, links).

    Over a stretch it only grows or only falls, as the speed does.
    """
    m, links = c.motion, len(joints_of(c))
    table = np.zeros((len(m.parts), links, 3))
    for k, part in enumerate(m.parts):
        if part.reduced is not None:
            table[k] = np.array(part.band.passed).reshape(links, 3)
    terms = table[m.part]
    ends = np.stack([m.omega, np.append(m.omega[1:], m.omega[-1])], axis=1)[:, :, None]
    found: Array = terms[:, None, :, 0] + terms[:, None, :, 1] * ends + terms[:, None, :, 2] * ends**2
    return found


def driving_torques(c: Course) -> Array:
    """The same, above zero where the link drives its outer shaft on."""
    return link_torques(c) * np.array([np.sign(joint.child_turns) for joint in joints_of(c)])


def joints_of(c: Course) -> tuple[Joint, ...]:
    """The links of the train, in the order of the torques."""
    return next(iter(c.reduced.values())).joints


def over(part: Part, i: int) -> float:
    """Torque on the inner shaft of a link over that on its outer one."""
    if part.reduced is None:
        return 0.0
    joint = part.reduced.joints[i]
    share = joint.inward if part.band.inward[i] else 1 / joint.outward
    return abs(joint.child_turns / joint.parent_turns) * share
