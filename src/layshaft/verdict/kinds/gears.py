"""Spur gear pairs: torque on the pinion, root, flank and jam. Helical and bevel strength stay unknown."""

from __future__ import annotations

from typing import Any

import numpy as np

from layshaft.elements.gear_pair import rate as room
from layshaft.machine.kinds import GearPair
from layshaft.trace.source import Source
from layshaft.train.cases import (
    ARRESTED,
    AT_REST,
    CRANK_LOADS,
    FAILED,
    HELD,
    MODULE_OFF,
    PEAK,
    RUNNING,
    WINDING,
)
from layshaft.verdict.context import NAN, Context
from layshaft.verdict.rows import Block, Part, with_required

MODES = {
    "root strength": (RUNNING, PEAK, WINDING, MODULE_OFF),
    "flank wear": (RUNNING, WINDING, MODULE_OFF),
    "jam strength": (AT_REST, HELD, ARRESTED, CRANK_LOADS, FAILED),
}
REQUIRED = {"root strength": "S_root", "flank wear": "S_wear", "jam strength": "S_jam"}


def is_spur(stage: Any) -> bool:
    """True for a gear pair without helix."""
    return isinstance(stage, GearPair) and not (stage.helix.known and stage.helix.nominal != 0)


def block(c: Context) -> Block:
    """Every spur gear pair."""
    found = Block("gear pair", room.rate, room.GearInputs, MODES, required=REQUIRED)
    for name, stage in c.machine.stages.items():
        if is_spur(stage):
            found.parts.append(_part(c, name, stage))
    return found


def _part(c: Context, name: str, stage: GearPair) -> Part:
    z = [t.nominal for t in stage.teeth]
    pinion = 0 if not z[0] > z[1] else 1
    wheel = 1 - pinion
    shafts = (stage.from_, stage.to)
    # With losses the two gears feel different forces, and pairs side by side never share evenly: the
    # torque each pair must be rated for is that of the train, told at the first gear.
    carried = c.solved.carried.get(name, NAN) * z[pinion] / z[0]
    tips = [stage.normal_module.nominal * (count + 2) for count in z]
    steels = [c.steel(choice, tip) for choice, tip in zip(stage.materials, tips, strict=True)]
    shift = [s.value if s.known else 0.0 for s in stage.shift]
    values: dict[str, Any] = {
        "m": stage.normal_module.value, "z_1": z[pinion], "z_2": z[wheel], "b": stage.face.value,
        "x_1": shift[pinion], "x_2": shift[wheel], "alpha": stage.pressure_angle.value,
        "T_1": carried, "omega_1": np.abs(c.solved.speed[shafts[pinion]]),
        "R_m1": steels[pinion].R_m, "R_m2": steels[wheel].R_m, "R_e1": steels[pinion].R_e,
        "R_e2": steels[wheel].R_e, "H_B1": stage.hardness[pinion].value, "H_B2": stage.hardness[wheel].value,
    }
    demand, speed = (c.from_train(shafts[pinion], f"{what} of the pinion") for what in ("torque", "speed"))
    origins: dict[str, Source] = {
        "m": stage.normal_module.origin, "z_1": stage.teeth[pinion].origin, "z_2": stage.teeth[wheel].origin,
        "b": stage.face.origin, "x_1": _shift(stage, pinion), "x_2": _shift(stage, wheel),
        "alpha": stage.pressure_angle.origin, "T_1": demand, "omega_1": speed,
        "R_m1": steels[pinion].source, "R_m2": steels[wheel].source, "R_e1": steels[pinion].source,
        "R_e2": steels[wheel].source, "H_B1": stage.hardness[pinion].origin, "H_B2": stage.hardness[wheel].origin,
    }
    part = Part(stage.path, "", values, origins, c.hurts(stage.path), frozenset({"T_1", "omega_1"}),
                not_chosen=not (stage.normal_module.known and all(t.known for t in stage.teeth)),
                content=tuple(line for s in steels for line in s.content), shaft=stage.from_)
    return with_required(part, c.machine.margins or {}, REQUIRED)


def _shift(stage: GearPair, i: int) -> Source:
    if stage.shift[i].known:
        return stage.shift[i].origin
    return Source(f"{stage.path}: no shift stated, cut without", obtained="given")
