"""Clutches that are opened and closed: what they pass, and what closing them on a running machine does."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

import numpy as np

from layshaft.elements import dog_clutch, friction_clutch
from layshaft.machine.kinds import DogClutch, FrictionClutch
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
from layshaft.train.masses import between
from layshaft.verdict.context import NAN, Context
from layshaft.verdict.hazards import frees_a_weight
from layshaft.verdict.kinds.slip_clutches import CAUGHT_IN, GRIPS
from layshaft.verdict.rows import Block, Part, with_required

FRICTION = {"grip in running": GRIPS, "grip when caught": CAUGHT_IN, "lining pressure": (), "heat of closing": ()}
PASSES = (RUNNING, PEAK, WINDING, AT_REST, HELD, ARRESTED, BRAKED, CRANK_LOADS, FAILED, MODULE_OFF)
TEETH = ("tooth pressure", "tooth shear", "tooth bending")
CLOSING = ("engaging speed", "snatch on engaging")
DOG = dict.fromkeys(TEETH, PASSES) | dict.fromkeys(CLOSING, ())
LININGS = {"mu": "friction", "F": "closing_force", "d_o": "outer_diameter", "d_i": "inner_diameter", "i": "faces",
           "alpha": "cone_angle", "s": "scatter", "p_lim": "lining_pressure", "m": "heated_mass", "c": "specific_heat",
           "d_lim": "temperature_rise"}
DOGS = {"z_c": "teeth_that_carry", "d_o": "outer_diameter", "d_i": "inner_diameter", "h": "depth",
        "s_t": "root_thickness", "phi": "play", "v": "push_speed"}
MASSES = Source("turning masses on either side of the clutch, seen at it", obtained="derived")
TWIST = Source("twist of the way between the largest masses on either side, seen at the clutch", obtained="derived")


def closed_running(stage: FrictionClutch | DogClutch) -> bool:
    """True where it is closed on the running machine."""
    return stage.closed_while == "running"


def blocks(c: Context) -> list[Block]:
    """Friction clutches, then dog clutches."""
    running = {p: closed_running(stage) for p, stage in ((s.path, s) for s in c.machine.stages.values())
               if isinstance(stage, (FrictionClutch, DogClutch))}
    closing = {mode: (lambda part: running[part.path]) for mode in ("heat of closing", *CLOSING)}
    grips = Block("friction clutch", friction_clutch.rate, friction_clutch.FrictionClutchInputs, FRICTION, [],
                  {"grip when caught": lambda part: frees_a_weight(part.hurts)} | closing,
                  {"grip in running": "S_required", "grip when caught": "S_required", "lining pressure": "S_p_required",
                   "heat of closing": "S_p_required"})
    dogs = Block("dog clutch", dog_clutch.rate, dog_clutch.DogClutchInputs, DOG, [], closing,
                 dict.fromkeys((*TEETH, "snatch on engaging"), "S_required") | {"engaging speed": "S_v_required"})
    for stage in c.machine.stages.values():
        if isinstance(stage, FrictionClutch):
            grips.parts.append(_part(c, stage, LININGS, grips.required, stage.closing_force.state))
        elif isinstance(stage, DogClutch):
            dogs.parts.append(_dog(c, stage, dogs.required))
    return [grips, dogs]


def _part(c: Context, stage: FrictionClutch | DogClutch, keys: Mapping[str, str], required: Mapping[str, str],
          state: str) -> Part:
    given = {symbol: getattr(stage, key) for symbol, key in keys.items()}
    torque = c.solved.carried.get(stage.name)
    m = between(c.solved, stage)
    speed = np.abs(c.solved.speed[stage.from_][0])
    demand = c.from_train(stage.from_, "torque it passes on")
    values: dict[str, Any] = {symbol: g.value for symbol, g in given.items()}
    values |= {"T": NAN if torque is None else torque, "T_w": NAN if torque is None else torque[0],
               "J_1": m.first, "J_2": m.second, "d_omega": speed}
    origins = {symbol: g.origin for symbol, g in given.items()}
    origins |= {"T": demand, "T_w": c.from_train(stage.from_, "torque while running"), "J_1": MASSES, "J_2": MASSES,
                "d_omega": c.from_train(stage.from_, "running speed: the driven side stands when it is closed")}
    part = Part(stage.path, "", values, origins, c.hurts(stage.path),
                frozenset({"T", "T_w", "J_1", "J_2", "d_omega"}), not_chosen=state == "open", shaft=stage.from_)
    return with_required(part, c.machine.margins or {}, required)


def _dog(c: Context, stage: DogClutch, required: Mapping[str, str]) -> Part:
    part = _part(c, stage, DOGS, required, stage.outer_diameter.state)
    steel = c.steel(stage.material, stage.outer_diameter.nominal)
    if stage.speed_difference.known:
        part.inputs["d_omega"], part.origins["d_omega"] = stage.speed_difference.value, stage.speed_difference.origin
    part.inputs |= {"R_e": steel.R_e, "k_t": between(c.solved, stage).stiffness}
    part.origins |= {"R_e": steel.source, "k_t": TWIST}
    part.demands |= {"k_t"}
    part.content = steel.content
    return part
