"""What lets go on purpose: slip clutches and shear pins, each against what it must pass without letting go."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from layshaft.elements import shear_pin, slip_clutch
from layshaft.machine.kinds import ShearPin, SlipClutch
from layshaft.machine.schema import Given
from layshaft.train.cases import ARRESTED, AT_REST, BRAKED, FAILED, MODULE_OFF, PEAK, RUNNING, WINDING
from layshaft.verdict.context import NAN, Context
from layshaft.verdict.hazards import frees_a_weight
from layshaft.verdict.rows import Block, Part, with_required

GRIPS = (RUNNING, PEAK, WINDING, AT_REST, FAILED, MODULE_OFF)
CAUGHT_IN = (ARRESTED, BRAKED)
MODES = {"grip in running": GRIPS, "grip when caught": CAUGHT_IN}
SPRUNG = MODES | {"lining pressure": ()}
REQUIRED = {"grip in running": "S_required", "grip when caught": "S_required"}
APPLIES = {"grip when caught": lambda part: frees_a_weight(part.hurts)}
STATED = {"T_s": "slip_torque", "s": "scatter"}
SPRINGS = {"mu": "friction", "F": "spring_force", "d_o": "outer_diameter", "d_i": "inner_diameter", "i": "faces",
           "s": "scatter", "p_lim": "lining_pressure"}
PINS = {"d": "diameter", "i": "pins", "n_s": "shear_planes", "r": "at_radius", "tau_u": "shear_strength",
        "s": "scatter"}


def blocks(c: Context) -> list[Block]:
    """Slip clutches by their slip torque, by their springs, and shear pins."""
    stated = Block("slip clutch", slip_clutch.rate, slip_clutch.SlipClutchInputs, MODES, [], APPLIES, REQUIRED)
    sprung = Block("slip clutch, by its springs", slip_clutch.rate_sprung, slip_clutch.SprungClutchInputs, SPRUNG, [],
                   APPLIES, REQUIRED | {"lining pressure": "S_p_required"})
    pins = Block("shear pin", shear_pin.rate, shear_pin.ShearPinInputs, MODES, [], APPLIES, REQUIRED)
    for stage in c.machine.stages.values():
        if isinstance(stage, ShearPin):
            pins.parts.append(_part(c, stage, PINS, pins.required, stage.diameter))
        elif isinstance(stage, SlipClutch):
            block, keys = (sprung, SPRINGS) if by_springs(stage) else (stated, STATED)
            block.parts.append(_part(c, stage, keys, block.required, stage.slip_torque))
    return [stated, sprung, pins]


def by_springs(stage: SlipClutch) -> bool:
    """True where the springs tell the slip torque."""
    return stage.slip_torque.state == "missing" and stage.spring_force.known


def _part(c: Context, stage: SlipClutch | ShearPin, keys: Mapping[str, str], required: Mapping[str, str],
          size: Given) -> Part:
    given = {symbol: getattr(stage, key) for symbol, key in keys.items()}
    values: dict[str, Any] = {"T": c.solved.carried.get(stage.name, NAN)}
    values |= {symbol: g.value for symbol, g in given.items()}
    origins = {symbol: g.origin for symbol, g in given.items()}
    origins["T"] = c.from_train(stage.from_, "torque it must pass")
    part = Part(stage.path, "", values, origins, c.hurts(stage.path), frozenset({"T"}),
                not_chosen=size.state == "open", shaft=stage.from_)
    return with_required(part, c.machine.margins or {}, required)
