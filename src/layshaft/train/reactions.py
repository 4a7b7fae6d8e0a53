"""What a coupling pushes back with: its stiffness times the misalignment expected, on both shafts.

The two axes stand where the frame left them, so the push stands still in space while the shafts turn:
it bends them anew with every turn. Nobody knows its direction, so whoever asks turns it to where it is
hardest. Rigid bearings make it an upper bound: shafts and frame that give way take some of it off.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

import numpy as np
import numpy.typing as npt

from layshaft.elements import coupling
from layshaft.machine.kinds import Coupling, CouplingPart
from layshaft.machine.model import Machine, Shaft
from layshaft.train.cases import TRANSIT, Column
from layshaft.train.sizes import own_part
from layshaft.train.stages import axis, frame, spread

if TYPE_CHECKING:
    from layshaft.train.solve import Solved

Array = npt.NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class PushedBack:
    """One push of no settled direction: across a shaft here straight down, along it here forward.

    `force` and `couple` have the shape (stations, 3, cases, samples), `along`, the part of the force
    that lies along the shaft, (cases, samples).
    """

    force: Array
    couple: Array
    along: Array


def pushed_back(solved: Solved, shaft: Shaft, names: list[str], like: Array) -> list[PushedBack]:
    """The pushes on one shaft: offset and angle each by itself, since each has a direction of its own."""
    found = []
    for stage in solved.machine.stages.values():
        if isinstance(stage, Coupling) and shaft.name in (stage.from_, stage.to):
            push = reaction(solved.machine, stage)
            if push is not None:
                seat = stage.seats[0 if stage.from_ == shaft.name else 1]
                there = _joined(solved, stage)
                pushes = [np.broadcast_to(p * there, like.shape[2:]) for p in push]
                found += _on_seat(shaft, names.index(seat), like, pushes)
    return found


def reaction(machine: Machine, stage: Coupling) -> tuple[Any, Any, Any] | None:
    """Radial force, couple and axial force of a coupling; None where its listing gives no stiffness across.

    A stiffness that is not listed takes nothing from the two others, and is told in a remark.
    """
    part = own_part(machine, stage.listing)
    if not isinstance(part, CouplingPart):
        return None
    listed = (part.radial_stiffness, part.angular_stiffness, part.axial_stiffness)
    if not any(c.known for c in listed):
        return None
    ways = (stage.offset, stage.angle, stage.end_float)
    pushes = (coupling.radial_reaction, coupling.bending_reaction, coupling.axial_reaction)
    found = [push(c.value, way.value) if c.known else 0.0 for push, c, way in zip(pushes, listed, ways, strict=True)]
    return found[0], found[1], found[2]


def _joined(solved: Solved, stage: Coupling) -> Array:
    """1 in the cases in which the two shafts stay coupled, (cases, 1)."""
    modules = {solved.machine.shafts[shaft].module for shaft in (stage.from_, stage.to)}

    def joined(column: Column) -> bool:
        apart = column.case == TRANSIT and len(modules) > 1
        return not apart and not any(stage.name in plan.out for plan in column.plans.values())

    return np.array([[float(joined(column))] for column in solved.columns])


def _on_seat(shaft: Shaft, at: int, like: Array, push: list[Array]) -> list[PushedBack]:
    _, side, up = frame(shaft)
    nothing, still = np.zeros_like(like), np.zeros(like.shape[2:])
    force, couple = nothing.copy(), nothing.copy()
    force[at] += spread(-up, push[0]) + spread(axis(shaft), push[2])
    couple[at] += spread(side, push[1])
    return [PushedBack(force, nothing, push[2]), PushedBack(nothing, couple, still)]
