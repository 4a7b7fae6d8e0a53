"""Plain bushes: reactions and slopes of the shaft's beam against the material."""

from __future__ import annotations

from typing import Any

import numpy as np

from layshaft.elements import plain_bush
from layshaft.machine.model import Seat, Shaft
from layshaft.trace.source import Source
from layshaft.train.bushes import Rubbing, rubbing
from layshaft.train.cases import CASES, MODULE_OFF, PEAK, RUNNING, WINDING
from layshaft.train.place import diameter_at
from layshaft.verdict.context import NAN, Context, magnitude
from layshaft.verdict.rows import Block, Part, with_required

LIFE = (RUNNING, WINDING, MODULE_OFF)
MODES = {"bush pressure": CASES, "rubbing speed": LIFE, "pressure times speed": LIFE, "wear of the bush": LIFE,
         "edge load": (RUNNING, PEAK, WINDING, MODULE_OFF)}
REQUIRED = dict.fromkeys(MODES, "S_required")
LISTED = ("p_lim", "v_lim", "pv_lim", "k_w", "mu", "mu_rest")


def block(c: Context) -> Block:
    """Every seat with a bush."""
    found = Block("plain bush", plain_bush.rate, plain_bush.BushInputs, MODES, required=REQUIRED)
    for shaft in c.shafts:
        for name in c.solved.loads[shaft.name].supports:
            if shaft.seats[name].rubs:
                found.parts.append(_part(c, shaft, name, shaft.seats[name]))
    return found


def _part(c: Context, shaft: Shaft, name: str, seat: Seat) -> Part:
    loads, rub = c.solved.loads[shaft.name], rubbing(c.machine, seat)
    i, known = loads.supports.index(name), len(loads.reaction) == len(loads.supports)
    at, bent = loads.at(name), len(loads.slope) == len(loads.stations)
    limits, source = _limits(c, rub)
    values: dict[str, Any] = limits | {
        "F": magnitude(loads.reaction[i, 0], loads.reaction[i, 1]) if known else NAN,
        "d": diameter_at(shaft, seat.at.nominal),
        "b": seat.bush.length.value, "omega": np.abs(c.solved.speed[shaft.name]), "t_w": c.life,
        "theta": magnitude(loads.slope[at, 0], loads.slope[at, 1]) if bent else NAN,
        "c_d": seat.bush.clearance.value, "h_lim": seat.bush.wear.value,
    }
    beam = c.from_train(shaft.name, f"reaction and slope at {name}{loads.hand}")
    origins = dict.fromkeys(LISTED, source) | {
        "F": beam, "theta": beam, "d": Source(f"{shaft.path}.sections", obtained="given"),
        "b": seat.bush.length.origin, "omega": c.from_train(shaft.name, "speed"), "t_w": c.life_source,
        "c_d": seat.bush.clearance.origin, "h_lim": seat.bush.wear.origin,
    }
    part = Part(f"{seat.path}.bush", "", values, origins, "", frozenset({"F", "omega", "theta"}),
                content=rub.content, shaft=shaft.name)
    return with_required(part, c.machine.margins or {}, REQUIRED)


def _limits(c: Context, rub: Rubbing) -> tuple[dict[str, Any], Source]:
    """What the material bears; nothing is known of one that the warmest day is too warm for."""
    found = {symbol: getattr(rub, symbol) for symbol in LISTED}
    warmest = c.machine.venue.warmest
    if not (warmest.known and np.any(np.asarray(warmest.value) > np.asarray(rub.warmest))):
        return found, rub.source
    words = f"{warmest.path} is warmer than this material may be"
    return found | dict.fromkeys(("p_lim", "v_lim", "pv_lim", "k_w"), NAN), Source(words, obtained="given")
