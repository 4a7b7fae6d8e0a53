"""Worm pairs: force on the wheel in every case, root, flank and jam, bending of the worm, heat of a closed case."""

from __future__ import annotations

from typing import Any

import numpy as np

from layshaft.elements.worm_pair import rate as room
from layshaft.elements.worm_pair import sizes as tables
from layshaft.machine.kinds import Worm
from layshaft.machine.schema import Given
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
from layshaft.train.worms import worm_sizes
from layshaft.verdict.context import NAN, Context
from layshaft.verdict.kinds.shafts import STEADY
from layshaft.verdict.rows import Block, Part, with_required

MODES = {
    "root strength": (RUNNING, PEAK, WINDING, MODULE_OFF),
    "flank wear": (RUNNING, WINDING, MODULE_OFF),
    "flank durability": (RUNNING, WINDING, MODULE_OFF),
    "jam strength": (AT_REST, HELD, ARRESTED, BRAKED, CRANK_LOADS, FAILED),
    "worm deflection": STEADY,
    "heat of running": (RUNNING,),
}
REQUIRED = {"root strength": "S_root", "flank wear": "S_wear", "flank durability": "S_wear", "jam strength": "S_jam",
            "worm deflection": "S_wear", "heat of running": "S_wear"}
DEMANDS = frozenset({"T_1", "T_2", "omega_1", "y_y", "y_z"})
HOTTEST = Source("ANSI/AGMA 6034", "oil of worm gears no warmer than 200 degrees Fahrenheit", "from memory")
HOTTEST_OIL = 93.0
"""degC."""


def modes_of(stage: Worm) -> tuple[str, ...]:
    """Failure modes of one pair: only a closed case gets hot."""
    return tuple(mode for mode in MODES if mode != "heat of running" or closed(stage))


def closed(stage: Worm) -> bool:
    """True where the pair runs in a case."""
    return stage.housing_area.state != "missing"


def block(c: Context) -> Block:
    """Every worm pair."""
    cased = {s.path for s in c.machine.stages.values() if isinstance(s, Worm) and closed(s)}
    found = Block("worm pair", room.rate, room.WormInputs, MODES, required=REQUIRED,
                  applies={"heat of running": lambda part: part.path in cased})
    for name, stage in c.stages:
        if isinstance(stage, Worm):
            found.parts.append(_part(c, name, stage))
    return found


def _part(c: Context, name: str, stage: Worm) -> Part:
    values, origins = _teeth(stage)
    for more, said in (_loads(c, name, stage), _bronze(stage), _case(c, stage)):
        values |= more
        origins |= said
    part = Part(stage.path, "", values, origins, c.hurts(stage.path), DEMANDS,
                not_chosen=any(g.state == "open" for g in stage.leaves), content=_rows(stage), shaft=stage.from_)
    return with_required(part, c.machine.margins or {}, REQUIRED)


def _teeth(stage: Worm) -> tuple[dict[str, Any], dict[str, Source]]:
    """What the file says about the two, and what it means for distance and form."""
    sizes = worm_sizes(stage)
    given: dict[str, Given] = {"m": stage.axial_module, "z_1": stage.starts, "z_2": stage.wheel_teeth,
                               "alpha_n": stage.pressure_angle, "b": stage.face, "eta_0": stage.efficiency,
                               "H_w": stage.worm_hardness}
    values: dict[str, Any] = {symbol: g.value for symbol, g in given.items()} | {"d_1": sizes.d_1, "a": sizes.a}
    origins = {symbol: g.origin for symbol, g in given.items()} | _told(stage)
    for symbol, column in (("y", "form"), ("z_m", "least_teeth")):
        values[symbol], origins[symbol] = tables.by_pressure_angle(column, stage.pressure_angle.nominal)
    return values, origins


def _told(stage: Worm) -> dict[str, Source]:
    """Which key says how thick the worm is, and how far the axes stand apart."""
    ways = (stage.worm_diameter, stage.quotient, stage.lead_angle, stage.centres)
    by = next((g for g in ways if g.known), stage.worm_diameter)
    d_1 = by.origin if by is stage.worm_diameter or not by.known else Source(
        f"{by.path} says how thick the worm is", stage.path, "derived")
    a = stage.centres.origin if stage.centres.known else Source("half of both diameters", stage.path, "derived")
    return {"d_1": d_1, "a": a}


def _loads(c: Context, name: str, stage: Worm) -> tuple[dict[str, Any], dict[str, Source]]:
    first, second = c.solved.stage_torque.get(name, (NAN, NAN))
    loads = c.solved.loads[stage.from_]
    known = len(loads.deflection) == len(loads.stations)
    i = loads.at(stage.seats[0])
    bent = c.from_train(stage.from_, f"deflection of the worm's shaft at {stage.seats[0]}{loads.hand}")
    return {"T_1": first, "T_2": second, "omega_1": np.abs(c.solved.speed[stage.from_]),
            "y_y": loads.deflection[i, 0] if known else NAN, "y_z": loads.deflection[i, 1] if known else NAN}, {
        "T_1": c.from_train(stage.from_, "torque on the worm"), "T_2": c.from_train(stage.to, "torque on the wheel"),
        "omega_1": c.from_train(stage.from_, "speed of the worm"), "y_y": bent, "y_z": bent}


def _bronze(stage: Worm) -> tuple[dict[str, Any], dict[str, Source]]:
    """Strength of the wheel's rim and the wear factor of the pair."""
    found = tables.wheel_material(stage.wheel_material)
    names = ("sigma_f", "R_e", "D_c", "c_0", "c_1")
    if found is None:
        missing = Source(f"{stage.path}.wheel material: not given", obtained="given")
        return dict.fromkeys((*names, "K_w"), NAN), dict.fromkeys((*names, "K_w"), missing)
    K_w, source = tables.wear_factor(stage.pressure_angle.nominal, stage.worm_hardness.nominal, chilled=found.chilled)
    return {n: getattr(found, n) for n in names} | {"K_w": K_w}, dict.fromkeys(names, found.row.source) | {
        "K_w": source if stage.worm_hardness.known else stage.worm_hardness.origin}


def _case(c: Context, stage: Worm) -> tuple[dict[str, Any], dict[str, Source]]:
    air = c.machine.venue.warmest
    return {"A_h": stage.housing_area.value, "t_lim": HOTTEST_OIL, "t_a": air.value}, {
        "A_h": stage.housing_area.origin, "t_lim": HOTTEST, "t_a": air.origin}


def _rows(stage: Worm) -> tuple[str, ...]:
    found = tables.wheel_material(stage.wheel_material)
    return (found.row.content,) if found else ()
