"""Whether the teeth of a gear pair fit, and what every mapping of gears needs: pinion and wheel, shifts, distance."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import numpy as np

from layshaft.elements.gear_pair import fit as room
from layshaft.machine.kinds import GearPair
from layshaft.machine.once import once
from layshaft.trace.source import Source
from layshaft.train.stages import gear_sizes
from layshaft.verdict.context import Context, none_given
from layshaft.verdict.rows import Block, Part, with_required

MODES: dict[str, tuple[str, ...]] = dict.fromkeys(
    ("contact ratio", "tip above base", "tooth interference", "tip clash in the ring", "undercut", "tip thickness",
     "backlash"), ())
REQUIRED = dict.fromkeys(MODES, "S_fit")
FEWEST_SHIFT, MOST_SHIFT = -1.0, 2.0
"""Shifts that any rating takes; a pair that asks for more is not the pair that is meant."""


@dataclass(frozen=True, slots=True)
class Sides:
    """Which of the two gears of a stage is the pinion, and their teeth with the sign of a ring."""

    pinion: int
    wheel: int
    z: tuple[float, float]


@once
def sides(stage: GearPair) -> Sides:
    """The gear with fewer teeth is the pinion, the first of two alike."""
    z = [t.nominal for t in stage.teeth]
    pinion = 0 if not z[0] > z[1] else 1
    wheel = 1 - pinion
    return Sides(pinion, wheel, (z[pinion], -z[wheel] if stage.internal else z[wheel]))


def is_spur(stage: Any) -> bool:
    """True for a gear pair without helix and without a ring: the one that Lewis and Buckingham rate."""
    return isinstance(stage, GearPair) and not stage.internal and not (stage.helix.known and stage.helix.nominal != 0)


def in_a_ring(part: Part) -> bool:
    """True where the pinion runs inside a ring."""
    return bool(part.inputs["z_2"] < 0)


def set_at_centres(stage: GearPair) -> bool:
    """True where file gives both the distance of the axes and the shifts: play is then what is left."""
    return stage.centres.known and any(x.known for x in stage.shift)


def block(c: Context) -> Block:
    """Every pair of spur, helical and double helical gears, rings among them."""
    placed = {s.path for s in c.machine.stages.values() if isinstance(s, GearPair) and set_at_centres(s)}
    found = Block("fit of teeth", room.rate_fit, room.FitInputs, MODES, required=REQUIRED, applies={
        "tip clash in the ring": in_a_ring, "backlash": lambda part: part.path in placed})
    for stage in c.machine.stages.values():
        if isinstance(stage, GearPair):
            found.parts.append(_part(c, stage))
    return found


def _part(c: Context, stage: GearPair) -> Part:
    values, origins = as_cut(stage)
    part = Part(stage.path, "", values, origins, c.hurts(stage.path), not_chosen=not_chosen(stage), shaft=stage.from_)
    return with_required(part, c.machine.margins or {}, REQUIRED)


def not_chosen(stage: GearPair) -> bool:
    """True while module or teeth are open."""
    return not (stage.normal_module.known and all(t.known for t in stage.teeth))


def as_cut(stage: GearPair) -> tuple[dict[str, Any], dict[str, Source]]:
    """What every method takes from the file about the teeth alone: module, teeth, face, angles, shifts, distance."""
    s, sizes = sides(stage), gear_sizes(stage)
    shifted = [_shift(stage, i, sizes.x[i]) for i in (s.pinion, s.wheel)]
    values: dict[str, Any] = {
        "m_n": stage.normal_module.value, "z_1": s.z[0], "z_2": s.z[1],
        "b": stage.face.value / (2 if stage.double else 1),
        "beta": np.abs(stage.helix.value) if stage.helix.known else 0.0,
        "alpha_n": stage.pressure_angle.value, "x_1": shifted[0][0], "x_2": shifted[1][0], "a_w": sizes.a,
    }
    origins = {
        "m_n": stage.normal_module.origin, "z_1": stage.teeth[s.pinion].origin, "z_2": stage.teeth[s.wheel].origin,
        "b": Source(f"{stage.path}.face, of which each half has half", obtained="given") if stage.double
        else stage.face.origin,
        "beta": stage.helix.origin if stage.helix.known else none_given(stage.path, "helix"),
        "alpha_n": stage.pressure_angle.origin, "x_1": shifted[0][1], "x_2": shifted[1][1],
        "a_w": stage.centres.origin if stage.centres.known
        else Source("where the two shifts ask for, without play", stage.path, "derived"),
    }
    return values, origins


def _shift(stage: GearPair, i: int, settled: float) -> tuple[Any, Source]:
    """The shift of one gear: as given, as the distance of the axes asks for, or none."""
    given = stage.shift[i]
    if given.known:
        return given.value, given.origin
    if stage.centres.known and not any(x.known for x in stage.shift):
        if settled < FEWEST_SHIFT or settled > MOST_SHIFT:
            return np.nan, Source(f"{stage.centres.path}: at {stage.centres} these teeth would have to be shifted by "
                                  f"{settled:.3g} modules, and none can be: correct `centres`, `normal module`, "
                                  "`teeth` or `helix`, whichever is wrong", obtained="given")
        if stage.pinion_shift.known:
            return settled, Source(f"{stage.path}: sum of shifts for the distance of the axes, of which the pinion has "
                                   f"{stage.pinion_shift}", obtained="given")
        return settled, Source(f"{stage.path}: its share of the sum of shifts that the distance of the axes asks for, "
                               "ISO/TR 4467", obtained="from memory")
    return 0.0, Source(f"{stage.path}: no shift stated, cut without", obtained="given")
