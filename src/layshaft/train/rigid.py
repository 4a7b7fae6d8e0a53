"""What two shafts would push each other with if nothing between them gave way: a bound for what is not listed."""

from __future__ import annotations

import numpy as np
import numpy.typing as npt

from layshaft.machine.bearing_pairs import shifts
from layshaft.machine.kinds import Coupling
from layshaft.machine.model import Machine, Shaft
from layshaft.train.forces import beam_of, supports_of
from layshaft.train.place import length
from layshaft.train.stages import same_sense

Array = npt.NDArray[np.float64]


def rigid_reaction(machine: Machine, stage: Coupling) -> float:
    """Radial force if the coupling were rigid: both shafts bend until offset and angle are gone. NaN while open.

    Force and couple on the first shaft, and their opposites on the second, close the gap and the angle
    between the two ends; offset and angle count as if they lay in one plane and added up.
    """
    ends = [machine.shafts[shaft] for shaft in (stage.from_, stage.to)]
    if any(not _can_bend(shaft) for shaft in ends):
        return float("nan")
    one, other = (_give(machine, shaft, seat) for shaft, seat in zip(ends, stage.seats, strict=True))
    turned = np.array([[1.0, same_sense(machine, stage)], [same_sense(machine, stage), 1.0]])
    push = np.linalg.solve(one + turned * other, np.diag([stage.offset.nominal, stage.angle.nominal]))
    return float(np.abs(push[0]).sum())


def _can_bend(shaft: Shaft) -> bool:
    known = all(np.isfinite(d.nominal) for d, _ in shaft.sections)
    return bool(known and np.isfinite(length(shaft)) and len(supports_of(shaft)) > 1)


def _give(machine: Machine, shaft: Shaft, seat: str) -> Array:
    """Deflection and slope at a seat under a unit force and under a unit couple there, (2, 2)."""
    beam = beam_of(shaft, shifts(machine, shaft))
    at = int(np.argmin(np.abs(beam.stations - shaft.seats[seat].at.nominal)))
    force, couple = np.zeros((len(beam.stations), 2, 2)), np.zeros((len(beam.stations), 2, 2))
    force[at, 0, 0], couple[at, 0, 1] = 1.0, 1.0
    found = beam.solve(force, couple)
    return np.stack([found.deflection[at, 0], found.slope[at, 0]])
