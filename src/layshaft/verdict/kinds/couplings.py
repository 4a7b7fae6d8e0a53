"""Couplings: torque of each case and the misalignment expected, against the listing."""

from __future__ import annotations

import numpy as np

from layshaft.elements import coupling
from layshaft.machine.kinds import Coupling, CouplingPart
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
from layshaft.train.sizes import own_part
from layshaft.train.steady import steady_of
from layshaft.verdict.context import NAN, Context
from layshaft.verdict.rows import Block, Part, with_required

MODES = {
    "steady torque": (RUNNING, WINDING, MODULE_OFF),
    "peak torque": (PEAK, WINDING, AT_REST, HELD, ARRESTED, CRANK_LOADS, FAILED),
    "misalignment": (),
}
REQUIRED = dict.fromkeys(MODES, "S_required")
STARTS = Source("DIN 740-2, start factor up to 120 starts an hour", "", "from memory")
LISTED = {"T_KN": "steady_torque", "T_Kmax": "peak_torque", "r_lim": "offset", "w_lim": "angle",
          "a_lim": "end_float", "C_T": "stiffness"}


def block(c: Context) -> Block:
    """Every coupling."""
    found = Block("coupling", coupling.rate, coupling.CouplingInputs, MODES, required=REQUIRED)
    for name, stage in c.machine.stages.items():
        if isinstance(stage, Coupling):
            found.parts.append(with_required(_part(c, name, stage), c.machine.margins or {}, REQUIRED))
    return found


def _part(c: Context, name: str, stage: Coupling) -> Part:
    part = own_part(c.machine, stage.listing)
    own = part if isinstance(part, CouplingPart) else None
    torque = c.solved.carried.get(name, np.full((len(c.solved.columns), 1), NAN))
    values = {"T_N": torque[steady_of(c.solved.columns)], "T_max": torque, "S_Z": 1.0,
              "S_t": stage.temperature_factor.value, "delta_r": stage.offset.value,
              "delta_w": stage.angle.value, "delta_a": stage.end_float.value}
    values |= {symbol: getattr(own, key).value if own else NAN for symbol, key in LISTED.items()}
    steady = c.from_train(stage.from_, "torque of the case, in a peak or hard winding that of its mean")
    demand = c.from_train(stage.from_, "torque")
    open_ = Source(f"{stage.listing.path}: not chosen yet", obtained="given")
    origins = {"T_N": steady, "T_max": demand, "S_t": stage.temperature_factor.origin, "S_Z": STARTS,
               "delta_r": stage.offset.origin, "delta_w": stage.angle.origin, "delta_a": stage.end_float.origin}
    origins |= {symbol: getattr(own, key).origin if own else open_ for symbol, key in LISTED.items()}
    return Part(stage.path, "", values, origins, c.hurts(stage.path), frozenset({"T_N", "T_max"}),
                not_chosen=own is None, content=(f"{own.path}|{own.read_in}",) if own else (), shaft=stage.from_)
