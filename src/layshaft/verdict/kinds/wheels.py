"""Flywheels: rim stress at the speed of each case."""

from __future__ import annotations

from typing import Any

import numpy as np

from layshaft.elements import flywheel
from layshaft.machine.kinds import Flywheel
from layshaft.trace.source import Source
from layshaft.train.cases import MODULE_OFF, RUNNING
from layshaft.verdict.context import Context
from layshaft.verdict.rows import Block, Part, with_required

REQUIRED = {"rim stress": "S_required"}
POISSON = Source("Poisson's ratio of steel, handbooks", "", "from memory")
NU_STEEL = 0.3


def block(c: Context) -> Block:
    """Every flywheel, as a plain disc or ring of its inertia."""
    found = Block("flywheel", flywheel.rate, flywheel.FlywheelInputs, {"rim stress": (RUNNING, MODULE_OFF)},
                  required=REQUIRED)
    for load in c.machine.loads.values():
        if isinstance(load, Flywheel):
            found.parts.append(_part(c, load))
    return found


def _part(c: Context, load: Flywheel) -> Part:
    width = _width(load)
    values: dict[str, Any] = {
        "d_o": load.diameter.value, "d_i": load.bore.value, "b": width, "rho": load.density.value,
        "nu": NU_STEEL, "omega": np.abs(c.solved.speed[load.shaft]), "R_lim": load.yield_strength.value,
    }
    derived = Source("width that gives the stated mass", load.mass.path, "derived")
    origins = {
        "d_o": load.diameter.origin, "d_i": load.bore.origin, "b": derived, "rho": load.density.origin,
        "nu": POISSON, "omega": c.from_train(load.shaft, "speed"), "R_lim": load.yield_strength.origin,
    }
    part = Part(load.path, "", values, origins, c.hurts(load.path), frozenset({"omega"}),
                not_chosen=load.diameter.state == "open", shaft=load.shaft)
    return with_required(part, c.machine.margins or {}, REQUIRED)


def _width(load: Flywheel) -> Any:
    area = np.pi / 4 * (load.diameter.value**2 - load.bore.value**2)
    return load.mass.value / (load.density.value * area)
