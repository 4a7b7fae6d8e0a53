"""Keys: the torque each seat passes on, and the key that carries it."""

from __future__ import annotations

from typing import Any

import numpy as np

from layshaft.elements import parallel_key
from layshaft.machine.listings import resolve
from layshaft.machine.model import Seat, Shaft
from layshaft.trace.source import Source
from layshaft.train.cases import CASES, TRANSIT
from layshaft.train.place import diameters_at
from layshaft.verdict.context import NAN, Context
from layshaft.verdict.rows import Block, Part, with_required

ASKED = tuple(case for case in CASES if case != TRANSIT)
MODES = {"flank pressure": ASKED, "key shear": ASKED}
REQUIRED = dict.fromkeys(MODES, "S_required")
MM = 1e-3
LEAST_HUB = 60 * MM
"""A hub that is not drawn counts as turned from a bar of this size, or of twice its shaft where that is more."""
NOTHING = Source("nothing in the file acts on this seat: say what sits here, or leave the key out", obtained="given")


def block(c: Context) -> Block:
    """Every seat with a key, chosen or open."""
    found = Block("parallel key", parallel_key.rate, parallel_key.KeyInputs, MODES, required=REQUIRED)
    for shaft in c.shafts:
        for name, seat in shaft.seats.items():
            if seat.key_size.state != "missing":
                found.parts.append(_part(c, shaft, name, seat))
    return found


def _part(c: Context, shaft: Shaft, name: str, seat: Seat) -> Part:
    size = resolve(c.machine, "key", seat.key_size.name) if seat.key_size.known else None
    row = size.row if size else None
    d, bar = diameters_at(shaft, seat.at.nominal)
    width = row.number("b_mm", MM) if row else 8 * MM
    steels = {"shaft": c.steel(shaft.material, bar), "key": c.steel(seat.key_steel, width),
              "hub": c.steel(seat.hub_steel, max(LEAST_HUB, 2 * d))}
    torque = c.solved.seat_torque[shaft.name].get(name)
    values: dict[str, Any] = {
        "T": np.abs(torque) if torque is not None else NAN, "d": d,
        "b": row.number("b_mm", MM) if row else NAN, "h": row.number("h_mm", MM) if row else NAN,
        "t_1": row.number("t1_shaft_mm", MM) if row else NAN, "l": size.length if size else NAN,
        "i": seat.keys.nominal,
    } | {f"R_e_{where}": found.R_e for where, found in steels.items()}
    listed = row.source if row else Source(f"{seat.key_size.path}: not chosen yet", obtained="given")
    chosen = Source(f"{seat.key_size.path}: {seat.key_size.name}", obtained="given") if size else listed
    demand = c.from_train(shaft.name, f"torque at {name}") if torque is not None else NOTHING
    origins = {
        "T": demand, "b": listed, "h": listed, "t_1": listed,
        "d": Source(f"{shaft.path}.sections", obtained="given"), "l": chosen, "i": seat.keys.origin,
    } | {f"R_e_{where}": found.source for where, found in steels.items()}
    content = (row.content,) if row else ()
    part = Part(f"{seat.path}.key", "", values, origins, c.hurts(seat.path),
                frozenset({"T"} if torque is not None else ()),
                not_chosen=size is None or not np.isfinite(d),
                content=content + tuple(line for s in steels.values() for line in s.content))
    return with_required(part, c.machine.margins or {}, REQUIRED)
