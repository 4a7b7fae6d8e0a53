"""Turning masses as one part of the train sees them: on either side of a clutch, or all that a brake stops."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

import numpy as np

from layshaft.machine.kinds import Stage
from layshaft.train import sources
from layshaft.train.limits import beyond
from layshaft.train.stiffness import path_flexibility

if TYPE_CHECKING:
    from layshaft.train.solve import Solved

NAN = float("nan")


@dataclass(frozen=True, slots=True)
class Between:
    """Moments of inertia on the two sides of a stage, and the stiffness between their largest masses; seen at it.

    A side whose speed a drive decides counts as endless. NaN where the stage lies in a loop of shafts.
    """

    first: Any
    second: Any
    stiffness: Any


def seen(solved: Solved, at: str, shafts: Iterable[str]) -> Any:
    """Moment of inertia of all that turns with some shafts, hanging weights included, seen at one shaft."""
    return sum((J for _, _, J in _masses(solved, at, shafts)), 0.0)


def _masses(solved: Solved, at: str, shafts: Iterable[str]) -> list[tuple[str, str, Any]]:
    """Shaft, seat and moment of inertia, seen at one shaft, of every mass on some shafts."""
    machine, s, inside = solved.machine, solved.set_of(at), set(shafts)
    role = solved.roles[s.root]
    found = [(load.shaft, load.seat, sources.inertia(load)) for load in machine.loads.values() if load.shaft in inside]
    found += [(d.shaft, d.seat, sources.weight_inertia(machine, d)) for d in (machine.drives[n] for n in role.weights)
              if d.shaft in inside]
    return [(shaft, seat, J * (s.ratio[shaft] / s.ratio[at]) ** 2) for shaft, seat, J in found]


def between(solved: Solved, stage: Stage) -> Between:
    """What a clutch brings together when it is closed."""
    s = solved.set_of(stage.from_)
    sides = beyond(s, stage.name, stage.from_), beyond(s, stage.name, stage.to)
    if not all(sides):
        return Between(NAN, NAN, NAN)
    masses = [_masses(solved, stage.from_, side) for side in sides]
    totals = [sum((J for _, _, J in side), 0.0) for side in masses]
    # its own seat, where a side has no mass to twist against
    seats = (stage.from_, stage.seats[0]), (stage.to, stage.seats[1])
    ends = [_largest(side) or seat for side, seat in zip(masses, seats, strict=True)]
    led = solved.roles[s.root].led_by
    if led:
        drive = solved.machine.drives[led]
        here = 0 if drive.shaft in sides[0] else 1
        totals[here], ends[here] = np.inf, (drive.shaft, drive.seat)
    totals = [J if np.any(np.asarray(J) > 0) else NAN for J in totals]
    return Between(totals[0], totals[1], _stiffness(solved, stage, *ends))


def _largest(masses: list[tuple[str, str, Any]]) -> tuple[str, str] | None:
    known = [(float(np.mean(J)), shaft, seat) for shaft, seat, J in masses if np.all(np.asarray(J) > 0)]
    return max(known)[1:] if known else None


def _stiffness(solved: Solved, stage: Stage, one: tuple[str, str], other: tuple[str, str]) -> Any:
    """Torsional stiffness between two seats, seen at the stage; NaN where nothing twists."""
    s = solved.set_of(stage.from_)
    twist = path_flexibility(solved.machine, s, one, other) * (s.ratio[one[0]] / s.ratio[stage.from_]) ** -2
    return np.where(np.asarray(twist) > 0, 1 / np.where(np.asarray(twist) > 0, twist, 1.0), NAN)
