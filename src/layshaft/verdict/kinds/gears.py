"""Spur gear pairs: torque on the pinion, root, flank and jam; what bevel pairs ask for alike."""

from __future__ import annotations

from typing import Any

import numpy as np

from layshaft.elements.gear_pair import rate as room
from layshaft.machine.kinds import BevelPair, GearPair
from layshaft.train.cases import (
    ARRESTED,
    AT_REST,
    BRAKED,
    CRANK_LOADS,
    FAILED,
    HELD,
    MODULE_OFF,
    PEAK,
    RUNNING,
    WINDING,
)
from layshaft.verdict.context import NAN, Context, Steel
from layshaft.verdict.kinds.gear_fit import as_cut, is_spur, not_chosen, sides
from layshaft.verdict.rows import Block, Part, with_required

MODES = {
    "root strength": (RUNNING, PEAK, WINDING, MODULE_OFF),
    "flank wear": (RUNNING, WINDING, MODULE_OFF),
    "jam strength": (AT_REST, HELD, ARRESTED, BRAKED, CRANK_LOADS, FAILED),
}
REQUIRED = {"root strength": "S_root", "flank wear": "S_wear", "jam strength": "S_jam"}


def block(c: Context) -> Block:
    """Every spur gear pair."""
    found = Block("gear pair", room.rate, room.GearInputs, MODES, required=REQUIRED)
    for name, stage in c.stages:
        if is_spur(stage):
            found.parts.append(_part(c, name, stage))
    return found


def _part(c: Context, name: str, stage: GearPair) -> Part:
    side = sides(stage)
    pinion, wheel = side.pinion, side.wheel
    cut, cut_origins = as_cut(stage)
    steels = steels_of(c, stage)
    values: dict[str, Any] = {symbol: cut[symbol] for symbol in ("z_1", "z_2", "x_1", "x_2")} | {
        "m": cut["m_n"], "b": stage.face.value, "alpha": cut["alpha_n"],
        "T_1": carried(c, name, stage), "omega_1": np.abs(c.solved.speed[shaft_of(stage, pinion)]),
        "R_m1": steels[pinion].R_m, "R_m2": steels[wheel].R_m, "R_e1": steels[pinion].R_e,
        "R_e2": steels[wheel].R_e, "H_B1": stage.hardness[pinion].value, "H_B2": stage.hardness[wheel].value,
    }
    demand, speed = (c.from_train(shaft_of(stage, pinion), f"{what} of the pinion") for what in ("torque", "speed"))
    origins = {symbol: cut_origins[symbol] for symbol in ("z_1", "z_2", "x_1", "x_2")} | {
        "m": cut_origins["m_n"], "b": stage.face.origin, "alpha": cut_origins["alpha_n"], "T_1": demand,
        "omega_1": speed, "R_m1": steels[pinion].source, "R_m2": steels[wheel].source, "R_e1": steels[pinion].source,
        "R_e2": steels[wheel].source, "H_B1": stage.hardness[pinion].origin, "H_B2": stage.hardness[wheel].origin,
    }
    part = Part(stage.path, "", values, origins, c.hurts(stage.path), frozenset({"T_1", "omega_1"}),
                not_chosen=not_chosen(stage),
                content=tuple(line for s in steels for line in s.content), shaft=stage.from_)
    return with_required(part, c.machine.margins or {}, REQUIRED)


def shaft_of(stage: GearPair | BevelPair, i: int) -> str:
    """Shaft of the first or second gear."""
    return stage.from_ if i == 0 else stage.to


def carried(c: Context, name: str, stage: GearPair) -> Any:
    """Torque on the pinion that one pair must be rated for.

    With losses the two gears feel different forces, and pairs side by side never share evenly: the
    torque each pair must be rated for is that of the train, told at the first gear.
    """
    z = [t.nominal for t in stage.teeth]
    return c.solved.carried.get(name, NAN) * z[sides(stage).pinion] / z[0]


def steels_of(c: Context, stage: GearPair | BevelPair) -> list[Steel]:
    """Steels of both gears, each in a bar over its tips."""
    tips = [stage.normal_module.nominal * (count.nominal + 2) for count in stage.teeth]
    return [c.steel(choice, tip) for choice, tip in zip(stage.materials, tips, strict=True)]
