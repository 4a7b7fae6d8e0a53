"""Deep-groove ball bearings: reactions of the shaft's beam against the listing."""

from __future__ import annotations

from typing import Any

import numpy as np

from layshaft.elements import ball_bearing
from layshaft.machine.kinds import BearingPart
from layshaft.machine.model import Seat, Shaft
from layshaft.trace.source import Source
from layshaft.train.cases import CASES, MODULE_OFF, RUNNING, WINDING
from layshaft.train.sizes import own_part
from layshaft.verdict.context import NAN, Context, magnitude
from layshaft.verdict.rows import Block, Part, with_required

MODES = {"static load": CASES, "rating life": (RUNNING, WINDING, MODULE_OFF)}
REQUIRED = {"static load": "s_0_required", "rating life": "S_required"}
BOTH = Source("thrust: either bearing may have to take all of it", obtained="derived")


def block(c: Context) -> Block:
    """Every bearing seat, chosen or open."""
    found = Block("ball bearing", ball_bearing.rate, ball_bearing.BearingInputs, MODES, required=REQUIRED)
    for shaft in c.machine.shafts.values():
        loads = c.solved.loads[shaft.name]
        for i, name in enumerate(loads.supports):
            found.parts.append(_part(c, shaft, name, shaft.seats[name], i))
    return found


def _part(c: Context, shaft: Shaft, name: str, seat: Seat, i: int) -> Part:
    loads = c.solved.loads[shaft.name]
    known = len(loads.reaction) == len(loads.supports)
    C, C_0, source, content = _ratings(c, seat)
    survive = seat.reliability if seat.reliability.known else shaft.reliability
    values: dict[str, Any] = {
        "F_r": magnitude(loads.reaction[i, 0], loads.reaction[i, 1]) if known else NAN,
        "F_a": np.abs(loads.thrust), "C": C, "C_0": C_0, "f_0": ball_bearing.OLDER_FORM_F0,
        "omega": np.abs(c.solved.speed[shaft.name]), "t_w": c.life, "R": survive.value,
    }
    demand = c.from_train(shaft.name, f"reaction at {name}{loads.hand}")
    origins = {
        "F_r": demand, "F_a": BOTH, "C": source, "C_0": _static_source(c, seat, source),
        "f_0": Source("older handbook form of the thrust table", obtained="common practice"),
        "omega": c.from_train(shaft.name, "speed"), "t_w": c.life_source, "R": survive.origin,
    }
    part = Part(f"{seat.path}.bearing", "", values, origins, "", frozenset({"F_r", "F_a", "omega"}),
                not_chosen=not seat.bearing.known, content=content, shaft=shaft.name)
    return with_required(part, c.machine.margins or {}, REQUIRED)


def _static_source(c: Context, seat: Seat, listed: Source) -> Source:
    own = own_part(c.machine, seat.bearing)
    return own.static_rating.origin if isinstance(own, BearingPart) else listed


def _ratings(c: Context, seat: Seat) -> tuple[Any, Any, Source, tuple[str, ...]]:
    own = own_part(c.machine, seat.bearing)
    if isinstance(own, BearingPart):
        return (own.dynamic_rating.value, own.static_rating.value, own.dynamic_rating.origin,
                (f"{own.path}|{own.read_in}",))
    size = ball_bearing.bearing(seat.bearing.name) if seat.bearing.known else None
    if size is None:
        return NAN, NAN, Source(f"{seat.bearing.path}: not chosen yet", obtained="given"), ()
    return size.C, size.C0, size.source, (size.row_content,)
