"""One-way hubs: torque they hold or drive with, and the speed at which one half runs ahead."""

from __future__ import annotations

from typing import Any

import numpy as np

from layshaft.elements import one_way_hub
from layshaft.machine.kinds import OneWayHub, OneWayHubPart
from layshaft.trace.source import Source
from layshaft.train.cases import MODULE_OFF, RUNNING, WINDING
from layshaft.train.sizes import own_part
from layshaft.verdict.context import NAN, Context
from layshaft.verdict.kinds.ratchets import DRIVES, HOLDS, torques
from layshaft.verdict.rows import Block, Part, with_required

OVERRUN = (RUNNING, WINDING, MODULE_OFF)
MODES = {"held torque": HOLDS, "overrun speed": OVERRUN}
BETWEEN = {"held torque": DRIVES, "overrun speed": OVERRUN, "sense of drive": OVERRUN}
REQUIRED = {"held torque": "S_required", "overrun speed": "S_speed_required"}
LISTED = {"T_N": "torque", "omega_lim": "overrun_speed"}


def blocks(c: Context) -> list[Block]:
    """Every hub against the frame, then every hub between two shafts."""
    found = [Block("one-way hub", one_way_hub.rate, one_way_hub.OneWayHubInputs, modes,
                   required=REQUIRED | dict.fromkeys(modes.keys() - REQUIRED.keys(), "S_speed_required"))
             for modes in (MODES, BETWEEN)]
    for stage in c.machine.stages.values():
        if isinstance(stage, OneWayHub):
            block = found[stage.to != "frame"]
            block.parts.append(with_required(_part(c, stage), c.machine.margins or {}, block.required))
    return found


def _part(c: Context, stage: OneWayHub) -> Part:
    part = own_part(c.machine, stage.listing)
    own = part if isinstance(part, OneWayHubPart) else None
    size, forward = torques(c, stage)
    runs = stage.from_ if stage.to == "frame" else stage.to
    values: dict[str, Any] = {"T": size, "T_f": forward, "d_omega": np.abs(c.solved.speed[runs])}
    values |= {symbol: getattr(own, key).value if own else NAN for symbol, key in LISTED.items()}
    words = "not chosen yet" if stage.listing.state == "open" else "not given"
    open_ = Source(f"{stage.listing.path}: {words}", obtained="given")
    torque = c.from_train(stage.from_, "torque it holds or drives with")
    origins = {"T": torque, "T_f": torque,
               "d_omega": c.from_train(runs, "speed of what runs on while the other half stands")}
    origins |= {symbol: getattr(own, key).origin if own else open_ for symbol, key in LISTED.items()}
    return Part(stage.path, "", values, origins, c.hurts(stage.path), frozenset({"T", "T_f", "d_omega"}),
                not_chosen=stage.listing.state == "open", content=(f"{own.path}|{own.read_in}",) if own else (),
                shaft=stage.from_)
