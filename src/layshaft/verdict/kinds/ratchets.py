"""Ratchets: those that hold a shaft against the frame, and those that let one shaft drive the next."""

from __future__ import annotations

from typing import Any

import numpy as np

from layshaft.elements import ratchet
from layshaft.machine.kinds import Ratchet, Stage, Suspended
from layshaft.trace.source import Source
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
from layshaft.train.sources import falls, wheel_diameter, wound_from
from layshaft.verdict.context import NAN, Context
from layshaft.verdict.rows import Block, Part, with_required

HOLDS = (AT_REST, HELD, ARRESTED, BRAKED, CRANK_LOADS)
DRIVES = (RUNNING, PEAK, WINDING, *HOLDS, FAILED, MODULE_OFF)
NAMES = ("tooth bending", "tooth pressure", "pawl pin shear", "pawl pin bending", "pawl seating")
REQUIRED = dict.fromkeys(NAMES, "S_required")
SENSE: dict[str, tuple[str, ...]] = {"sense of drive": (RUNNING, WINDING, MODULE_OFF)}


def blocks(c: Context) -> list[Block]:
    """Every ratchet against the frame, then every ratchet between two shafts."""
    found = [Block("ratchet", ratchet.rate, ratchet.RatchetInputs, dict.fromkeys(NAMES, HOLDS), required=REQUIRED),
             Block("ratchet", ratchet.rate, ratchet.RatchetInputs, dict.fromkeys(NAMES, DRIVES) | SENSE,
                   required=REQUIRED | dict.fromkeys(SENSE, "S_required"))]
    for stage in c.machine.stages.values():
        if isinstance(stage, Ratchet):
            found[stage.to != "frame"].parts.append(_part(c, stage))
    return found


def torques(c: Context, stage: Stage) -> tuple[Any, Any]:
    """Torque a stage holds or drives with at its first shaft, and the same below zero where the second drives."""
    if stage.to == "frame":
        held = c.solved.seat_torque[stage.from_].get(stage.seats[0])
        size = NAN if held is None else np.abs(held)
        return size, size
    if stage.name not in c.solved.carried:
        return NAN, NAN
    size, second = c.solved.carried[stage.name], c.solved.stage_torque[stage.name][1]
    return size, np.copysign(size, second * _running_sense(c, stage.to))


def _running_sense(c: Context, shaft: str) -> float:
    """1 where the shaft turns forward about its axis while the machine runs or is wound, -1 where backward."""
    turning = c.solved.speed[shaft][np.nan_to_num(c.solved.speed[shaft][:, 0]) != 0]
    return float(np.sign(turning[0, 0])) if len(turning) else 1.0


def _part(c: Context, stage: Ratchet) -> Part:
    steel = c.steel(stage.material, stage.diameter.nominal)
    drive = _weight(c, stage)
    pawls = stage.pawls.value if stage.pawls.known else NAN
    size, forward = torques(c, stage)
    values: dict[str, Any] = {
        "T": size, "T_f": forward, "D": stage.diameter.value, "z": stage.teeth.value,
        "i": 1.0, "i_s": pawls, "h_t": stage.tooth_depth.value, "s_t": stage.root_thickness.value,
        "b": stage.face.value, "h_c": stage.tooth_depth.value, "d_pin": stage.pin_diameter.value,
        "n_s": stage.pin_shears.value, "l_pin": stage.pin_arm.value, "alpha": stage.flank_angle.value,
        "mu": stage.friction.value, "R_e_tooth": steel.R_e, "R_e_pawl": steel.R_e, "R_e_pin": steel.R_e,
        "W": drive.mass.value * c.machine.gravity.value if drive else NAN,
        "D_w": wheel_diameter(c.machine, drive) * _turns(c, stage, drive) if drive else NAN,
        "j": falls(drive) if drive else 1.0,
    }
    one = Source("staggered pawls: one carries at a time", obtained="common practice")
    weight = drive.mass.origin if drive else Source("no weight on this ratchet", obtained="given")
    torque = c.from_train(stage.from_, "torque the ratchet holds")
    origins = {
        "T": torque, "T_f": torque, "D": stage.diameter.origin,
        "z": stage.teeth.origin, "i": one, "i_s": stage.pawls.origin, "h_t": stage.tooth_depth.origin,
        "s_t": stage.root_thickness.origin, "b": stage.face.origin, "h_c": stage.tooth_depth.origin,
        "d_pin": stage.pin_diameter.origin, "n_s": stage.pin_shears.origin, "l_pin": stage.pin_arm.origin,
        "alpha": stage.flank_angle.origin, "mu": stage.friction.origin, "R_e_tooth": steel.source,
        "R_e_pawl": steel.source, "R_e_pin": steel.source, "W": weight, "D_w": weight, "j": weight,
    }
    part = Part(stage.path, "", values, origins, c.hurts(stage.path), frozenset({"T", "T_f"}),
                not_chosen=stage.diameter.state == "open", content=steel.content)
    names = REQUIRED if stage.to == "frame" else REQUIRED | dict.fromkeys(SENSE, "S_required")
    return with_required(part, c.machine.margins or {}, names)


def _weight(c: Context, stage: Ratchet) -> Suspended | None:
    for drive in c.machine.drives.values():
        if isinstance(drive, Suspended) and wound_from(drive) in c.solved.set_of(stage.from_).ratio:
            return drive
    return None


def _turns(c: Context, stage: Ratchet, drive: Suspended) -> float:
    """Turns of the wheel the weight is wound on for one of the ratchet."""
    ratio = c.solved.set_of(stage.from_).ratio
    return abs(ratio[wound_from(drive)] / ratio[stage.from_])
