"""Couplings: torque of each case and the misalignment expected, against the listing."""

from __future__ import annotations

from typing import Any

import numpy as np

from layshaft.elements import coupling
from layshaft.listings.tables import table
from layshaft.machine.kinds import PERIODIC, Coupling, CouplingPart, Crank
from layshaft.trace.source import Source
from layshaft.train.by_angle import repeats
from layshaft.train.cases import (
    ARRESTED,
    AT_REST,
    BRAKED,
    CRANK_LOADS,
    FAILED,
    HARDEST_PUSH,
    HELD,
    MODULE_OFF,
    PEAK,
    RUNNING,
    WINDING,
    Column,
)
from layshaft.train.sizes import own_part
from layshaft.train.steady import steady_of
from layshaft.verdict.context import NAN, Context
from layshaft.verdict.rows import Block, Part, with_required

MODES = {
    "steady torque": (RUNNING, WINDING, MODULE_OFF),
    "alternating torque": (PEAK, WINDING),
    "peak torque": (PEAK, WINDING, AT_REST, HELD, ARRESTED, BRAKED, CRANK_LOADS, FAILED),
    "misalignment": (),
}
REQUIRED = dict.fromkeys(MODES, "S_required")
STARTS = Source("DIN 740-2, start factor up to 120 starts an hour", "", "from memory")
LISTED = {"T_KN": "steady_torque", "T_KW": "alternating_torque", "T_Kmax": "peak_torque", "r_lim": "offset",
          "w_lim": "angle", "a_lim": "end_float", "C_T": "stiffness", "c_r": "radial_stiffness",
          "c_w": "angular_stiffness", "c_a": "axial_stiffness"}
PUSHES_A_TURN = 2
"""Arms or feet push hard twice a turn: common practice, no single source."""


def block(c: Context) -> Block:
    """Every coupling."""
    found = Block("coupling", coupling.rate, coupling.CouplingInputs, MODES, required=REQUIRED)
    for name, stage in c.stages:
        if isinstance(stage, Coupling):
            found.parts.append(with_required(_part(c, name, stage), c.machine.margins or {}, REQUIRED))
    return found


def _part(c: Context, name: str, stage: Coupling) -> Part:
    part = own_part(c.machine, stage.listing)
    own = part if isinstance(part, CouplingPart) else None
    nothing = np.full((len(c.solved.columns), 1), NAN)
    torque = c.solved.carried.get(name, nothing)
    swing, speed = _alternation(c, stage, c.solved.stage_torque.get(name, (nothing,))[0])
    warm, starts = _warm(c, stage, own), _starts(stage)
    values = {"T_N": torque[steady_of(c.solved.columns)], "T_max": torque, "T_W": swing, "omega_w": speed,
              "S_Z": starts[0], "S_t": warm[0], "delta_r": stage.offset.value,
              "delta_w": stage.angle.value, "delta_a": stage.end_float.value}
    values |= {symbol: getattr(own, key).value if own else NAN for symbol, key in LISTED.items()}
    steady = c.from_train(stage.from_, "torque of the case, in a peak or hard winding that of its mean")
    demand = c.from_train(stage.from_, "torque")
    swings = c.from_train(stage.from_, "torque of the case less that of its mean; pushes or lifts in a time")
    open_ = Source(f"{stage.listing.path}: not chosen yet", obtained="given")
    origins = {"T_N": steady, "T_max": demand, "T_W": swings, "omega_w": swings, "S_t": warm[1], "S_Z": starts[1],
               "delta_r": stage.offset.origin, "delta_w": stage.angle.origin, "delta_a": stage.end_float.origin}
    origins |= {symbol: getattr(own, key).origin if own else open_ for symbol, key in LISTED.items()}
    demands = frozenset({"T_N", "T_max", "T_W", "omega_w"})
    return Part(stage.path, "", values, origins, c.hurts(stage.path), demands,
                not_chosen=own is None, content=(f"{own.path}|{own.read_in}",) if own else (), shaft=stage.from_)


# Factors ---------------------------------------------------------------------------------------


def _warm(c: Context, stage: Coupling, own: CouplingPart | None) -> tuple[Any, Source]:
    """The stated factor, else that of the element at the warmest and not below the coldest of the venue."""
    venue, given = c.machine.venue, stage.temperature_factor
    if given.known or own is None or not own.element:
        return given.value, given.origin
    if own.element == coupling.STEEL:
        return 1.0, Source("no elastomer in it: temperature takes nothing off", obtained="common practice")
    if not (venue.warmest.known and venue.coldest.known):
        return NAN, (venue.coldest if venue.warmest.known else venue.warmest).origin
    factor = np.where(venue.coldest.value < coupling.COLDEST, NAN,
                      coupling.temperature_factor(venue.warmest.value, own.element))
    rows = table("coupling_temperature").source
    return factor[()], Source(rows.work, f"{own.element} from venue.coldest to venue.warmest", rows.obtained)


def _starts(stage: Coupling) -> tuple[Any, Source]:
    if not stage.starts_per_hour.known:
        return 1.0, STARTS
    rows = table("coupling_starts").source
    return (coupling.start_factor(stage.starts_per_hour.value),
            Source(rows.work, f"at {stage.starts_per_hour.path}", rows.obtained))


# Alternating torque ----------------------------------------------------------------------------


def _alternation(c: Context, stage: Coupling, torque: Any) -> tuple[Any, Any]:
    """What the torque of a case swings from that of its mean, and how often; nothing where it comes once."""
    columns = c.solved.columns
    swings = np.array([[_repeats(column)] for column in columns])
    swing = np.where(swings, np.abs(torque - torque[steady_of(columns)]), 0.0)
    often = np.zeros((len(columns), c.solved.samples))
    inside = c.solved.set_of(stage.from_).ratio
    for i, column in enumerate(columns):
        if _repeats(column):
            for shaft, times in _beats(c, inside, by_hand=column.title.endswith(HARDEST_PUSH)):
                often[i] = np.maximum(often[i], times * np.abs(c.solved.speed[shaft][i]))
    return swing, often


def _repeats(column: Column) -> bool:
    """A peak comes again and again; of winding, the hard push of every turn does."""
    return column.case == PEAK or (column.case == WINDING and column.title.endswith(HARDEST_PUSH))


def _beats(c: Context, inside: Any, *, by_hand: bool) -> list[tuple[str, Any]]:
    """Shafts from which the torque of this set is beaten, with the beats a turn. Pushes on a winding crank
    reach every set that hangs on its loop."""
    if by_hand:
        return [(d.shaft, PUSHES_A_TURN) for d in c.machine.drives.values() if isinstance(d, Crank)]
    return [(load.shaft, repeats(load)) for load in c.machine.loads.values()
            if isinstance(load, PERIODIC) and load.shaft in inside]
