"""Where every shaft lies: the origin of its axis at the nominal machine, from stage to stage."""

from __future__ import annotations

import numpy as np

from layshaft.machine.kinds import (
    BevelPair,
    EndlessLoop,
    GearPair,
    InLine,
    RollerChain,
    Stage,
    SynchronousBelt,
    VBelt,
    Worm,
)
from layshaft.machine.model import Machine, Shaft
from layshaft.machine.once import once
from layshaft.train.sources import SIDE, wheel_diameter
from layshaft.train.stages import Vector, apex_sides, axis, centre_distance, line_direction

NAN = float("nan")
NAN3 = np.full(3, np.nan)


@once
def length(shaft: Shaft) -> float:
    """Length of a shaft; NaN while its steps are open."""
    return sum(step[1].nominal for step in shaft.sections) if shaft.sections else float("nan")


@once
def diameters_at(shaft: Shaft, x: float) -> tuple[float, float]:
    """Diameter at a place, the smaller of two at a shoulder, and the largest of the whole bar."""
    at, here, largest = 0.0, [], NAN
    for diameter, step in shaft.sections:
        d = diameter.nominal
        largest = d if np.isnan(largest) else max(largest, d)
        if at - 1e-9 <= x <= at + step.nominal + 1e-9:
            here.append(d)
        at += step.nominal
    return (min(here) if here else NAN), largest


def diameter_at(shaft: Shaft, x: float) -> float:
    """Diameter at a place; the smaller of two at a shoulder."""
    return diameters_at(shaft, x)[0]


def places(machine: Machine) -> dict[str, Vector]:
    """Start point of every shaft; NaN where it cannot be known yet."""
    found: dict[str, Vector] = {}
    for name, shaft in machine.shafts.items():
        if shaft.at and all(v.known for v in shaft.at):
            found[name] = np.array([v.nominal for v in shaft.at])
    progress = True
    while progress:
        progress = _placed_by_loops(machine, found)
        for stage in machine.stages.values():
            for known, other in ((stage.from_, stage.to), (stage.to, stage.from_)):
                if known in found and other in machine.shafts and other not in found:
                    start = _placed_by(machine, stage, known, other, found[known])
                    if start is not None:
                        found[other] = start
                        progress = True
    return {name: found.get(name, NAN3) for name in machine.shafts}


def _placed_by_loops(machine: Machine, found: dict[str, Vector]) -> bool:
    """The winding wheel of an endless loop stands two pitch diameters beside the drive wheel."""
    progress = False
    for drive in machine.drives.values():
        if not isinstance(drive, EndlessLoop) or drive.shaft not in found or drive.rewound_from in found:
            continue
        here = seat_point(machine, found[drive.shaft], drive.shaft, drive.seat)
        there = here + 2 * wheel_diameter(machine, drive) * np.asarray(SIDE[drive.hangs_on])
        wind = machine.shafts[drive.rewound_from]
        if np.all(np.isfinite(there)):
            found[drive.rewound_from] = there - axis(wind) * wind.seats[drive.winding_seat].at.nominal
            progress = True
    return progress


def seat_point(machine: Machine, start: Vector, shaft: str, seat: str) -> Vector:
    """Place of a seat in the machine's frame."""
    s = machine.shafts[shaft]
    return start + axis(s) * s.seats[seat].at.nominal


def _placed_by(machine: Machine, stage: Stage, known: str, other: str, start: Vector) -> Vector | None:
    outward = stage.from_ == known
    ours, theirs = stage.seats if outward else stage.seats[::-1]
    here = seat_point(machine, start, known, ours)
    far = machine.shafts[other]
    if isinstance(stage, InLine):
        return _in_line(machine, stage, known, other, start)
    if isinstance(stage, BevelPair):
        sides = apex_sides(stage) if outward else apex_sides(stage)[::-1]
        radii = [stage.normal_module.nominal * t.nominal / 2 for t in stage.teeth]
        r_ours, r_theirs = radii if outward else radii[::-1]
        apex = here - sides[0] * axis(machine.shafts[known]) * r_theirs
        there = apex + sides[1] * axis(far) * r_ours
    elif isinstance(stage, (RollerChain, SynchronousBelt, VBelt, GearPair, Worm)) and stage.line.known:
        step = centre_distance(machine, stage) * line_direction(machine.shafts[stage.from_], stage.line.nominal)
        there = here + (step if outward else -step)
    else:
        return None
    return there - axis(far) * far.seats[theirs].at.nominal if np.all(np.isfinite(there)) else None


def _in_line(machine: Machine, stage: InLine, known: str, other: str, start: Vector) -> Vector | None:
    """The second shaft goes on where the first ends, at the end its coupling sits nearer to.

    Its own length is asked for only where it comes up to the first from behind: a new shaft of open length has a place.
    """
    ours = machine.shafts[known].seats[stage.seats[0 if stage.from_ == known else 1]]
    a, b = axis(machine.shafts[known]), axis(machine.shafts[other])
    lengths = length(machine.shafts[known]), length(machine.shafts[other])
    if not np.isfinite(lengths[0]):
        return None
    gap = stage.gap.nominal if stage.gap.known else 0.0
    beyond = ours.at.nominal > lengths[0] / 2
    end = start + a * (lengths[0] + gap) if beyond else start - a * gap
    start = end if (float(a @ b) > 0) == beyond else end - b * lengths[1]
    return start if np.all(np.isfinite(start)) else None
