"""Hand cranks and pedals: force on the handle, watts of the person, length of a bout."""

from __future__ import annotations

from typing import Any

import numpy as np

from layshaft.elements import crank
from layshaft.machine.kinds import Crank, Pedals
from layshaft.trace.source import Source
from layshaft.train.cases import PEAK, RUNNING, WINDING
from layshaft.verdict.context import Context
from layshaft.verdict.rows import Block, Part, with_required

MODES = {"handle force": (RUNNING, PEAK, WINDING), "power of one person": (RUNNING, WINDING)}
REQUIRED = {"handle force": "S_required", "power of one person": "S_required"}


def block(c: Context) -> Block:
    """Every crank and every pair of pedals, while it is turned."""
    found = Block("crank", crank.rate, crank.CrankInputs, MODES, required=REQUIRED)
    for drive in c.machine.drives.values():
        if isinstance(drive, Crank):
            found.parts.append(_part(c, drive))
    return found


def _part(c: Context, drive: Crank) -> Part:
    root = c.solved.set_of(drive.shaft).root
    asked = np.array([[1.0 if column.plans[root].turning and not column.plans[root].idle else 0.0]
                      for column in c.solved.columns])
    torque = np.abs(c.solved.seat_torque[drive.shaft][drive.seat]) * asked
    limit = crank.force_limit(_action(drive))
    values: dict[str, Any] = {
        "T": torque, "r": drive.radius.value, "omega": drive.speed.value * asked, "n_p": drive.people.value,
        "t_b": drive.bout.value, "F_lim": limit.number("force_N"), "c_a": drive.arms_factor.value,
    }
    demand = c.from_train(drive.shaft, "torque at the crank")
    origins: dict[str, Source] = {
        "T": demand, "r": drive.radius.origin, "omega": drive.speed.origin, "n_p": drive.people.origin,
        "t_b": drive.bout.origin, "F_lim": limit.source, "c_a": drive.arms_factor.origin,
    }
    part = Part(drive.path, "", values, origins, "", frozenset({"T"}), shaft=drive.shaft)
    return with_required(part, c.machine.margins or {}, REQUIRED)


def _action(drive: Crank) -> str:
    return PEDAL if isinstance(drive, Pedals) else HAND


HAND = "rotating crank or wheel standing"
PEDAL = "pedal vertical seated"
