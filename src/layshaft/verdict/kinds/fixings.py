"""Bolts, pins and welds: the load of a bearing in every case, or a load that is stated, in the axes of the face."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

import numpy as np

from layshaft.elements import bolted_joint, dowel_pins, fillet_weld
from layshaft.machine.kinds import BoltedJoint, DowelPins, FilletWeld, Fixing, PinPart
from layshaft.machine.listings import resolve
from layshaft.mechanics import threads
from layshaft.trace.inputs import Inputs
from layshaft.trace.source import Source
from layshaft.train.cases import CASES, TRANSIT
from layshaft.train.sizes import own_part
from layshaft.verdict.context import NAN, Context
from layshaft.verdict.kinds.bearing_pairs import axial_on
from layshaft.verdict.rows import Block, Part, with_required

MM, MPA, KILO = 1e-3, 1e6, 1e3
BOLTS = {"bolt proof load": "S_p_required", "joint opening": "S_o_required", "joint slip": "S_s_required",
         "bolt without preload": "S_v_required"}
PINS = {"pin shear": "S_s_required", "pin pressure": "S_p_required"}
WELD = {"throat stress": "S_required"}
MODES: dict[type, tuple[str, ...]] = {BoltedJoint: tuple(BOLTS), DowelPins: tuple(PINS), FilletWeld: tuple(WELD)}
SOMEBODY = "people near the machine, as the file says of this fixing"
Numbers = tuple[dict[str, Any], dict[str, Source]]


def blocks(c: Context) -> list[Block]:
    """Each kind twice: under bearings, asked in every case, and with stated loads, asked once."""
    found: list[Block] = []
    if not c.machine.fixings:
        return found
    held: dict[type, list[Fixing]] = {kind: [] for kind in ROOMS}
    for fixing in c.machine.fixings.values():
        held[type(fixing)].append(fixing)
    for kind, room in ROOMS.items():
        for carries in (True, False):
            cases = CASES if carries else ()
            block = Block(room.kind, room.rate, room.inputs, dict.fromkeys(room.names, cases), required=room.names)
            block.parts = [_part(c, f, room) for f in held[kind] if bool(f.shaft) == carries]
            found.append(block)
    return found


def _part(c: Context, f: Fixing, room: _Room) -> Part:
    load, origin = _load(c, f)
    values, origins = room.sizes(c, f)
    load["V"] = np.hypot(load["V_a"], load["V_c"])
    if room.inputs is fillet_weld.WeldInputs:
        load["N"] = np.abs(load["N"])  # a throat pushed bears no more than one pulled
    values |= {symbol: load[symbol] for symbol in room.loads}
    origins |= dict.fromkeys(room.loads, origin)
    at_risk = c.hurts(f"shafts.{f.shaft}.seats.{f.seat}") if f.shaft else ""
    hurts = (at_risk or SOMEBODY) if f.can_hurt else at_risk
    demands = frozenset(room.loads) if f.shaft else frozenset()
    part = Part(f.path, "", values, origins, hurts, demands, shaft=f.shaft)
    return with_required(part, c.machine.margins or {}, room.names)


# Loads -----------------------------------------------------------------------------------------


def _load(c: Context, f: Fixing) -> tuple[dict[str, Any], Source]:
    """Pull, forces across, moments and twist in the axes of the face; sizes, but for the pull."""
    n, u = np.array(f.normal), np.array(f.along)
    axes = np.stack([n, u, np.cross(n, u)])
    arm, moment = _vector(f.arm), _vector(f.moment, none=0.0)
    if not f.shaft:
        force = _vector(f.force)
        return _parts(axes, force, np.cross(arm, force) + moment), Source(f"{f.path}.force, arm and moment",
                                                                          obtained="given")
    loads = c.solved.loads[f.shaft]
    axis, side, other = loads.frame
    i = loads.supports.index(f.seat)
    known = len(loads.reaction) == len(loads.supports)
    r = loads.reaction[i] if known else np.full((2, *loads.thrust.shape), NAN)
    pair = axial_on(c, c.machine.shafts[f.shaft], f.seat)
    thrust = loads.thrust if pair is None else -pair[1] * pair[0]
    force = -(np.multiply.outer(side, r[0]) + np.multiply.outer(other, r[1]) + np.multiply.outer(axis, thrust))
    arms = np.broadcast_to(arm[:, None, None], force.shape)
    found = _parts(axes, force, np.cross(arms, force, axis=0) + moment[:, None, None])
    along = "its axial load" if pair else "all the thrust on it"
    return _any_way(c, loads.goes_round, found, force, arm, moment), c.from_train(
        f.shaft, f"reaction at {f.seat}, {along}, in the axes of the face"
                 f"{', a push on the handle from any side' if loads.goes_round else ''}")


def _vector(given: Any, none: float = NAN) -> Any:
    """Three numbers; `none` where the file says nothing."""
    return np.array([g.nominal if g.state != "missing" else none for g in given])


def _parts(axes: Any, force: Any, moment: Any) -> dict[str, Any]:
    across = np.tensordot(axes, force, axes=1)
    about = np.tensordot(axes, moment, axes=1)
    return {"N": across[0], "V_a": np.abs(across[1]), "V_c": np.abs(across[2]), "T": np.abs(about[0]),
            "M_c": np.abs(about[1]), "M_a": np.abs(about[2])}


def _any_way(c: Context, goes_round: bool, found: dict[str, Any], force: Any, arm: Any, moment: Any) -> dict[str, Any]:
    """On the road, and where a push goes round, the load may come from any side: all of it each way."""
    free = np.array([[goes_round or column.case == TRANSIT] for column in c.solved.columns])
    size = np.sqrt((force**2).sum(axis=0))
    turn = size * np.linalg.norm(arm) + np.linalg.norm(moment)
    return {symbol: np.where(free, turn if symbol in ("T", "M_a", "M_c") else size, value)
            for symbol, value in found.items()}


# Sizes -----------------------------------------------------------------------------------------


def _bolts(c: Context, f: BoltedJoint) -> Numbers:
    size = resolve(c.machine, "thread", f.thread.name) if f.thread.known else None
    row = size.row if size else None
    d = row.number("d_mm", MM) if row else NAN
    strength = threads.property_class(f.property_class, d) if row and f.property_class else None
    listed = row.source if row else Source(f"{f.path}.thread: not given", obtained="given")
    no_class = Source(f"{f.path}.class: {f.property_class} is not made in {f.thread.name}" if f.property_class and row
                      else f"{f.path}.class: not given", obtained="given")
    steel = strength.source if strength else no_class
    values: dict[str, Any] = {
        "d": d, "P": row.number("P_mm", MM) if row else NAN,
        "S_p": strength.number("proof_MPa", MPA) if strength else NAN,
        "R_e": strength.number("Re_MPa", MPA) if strength else NAN,
    }
    origins = {"d": listed, "P": listed, "S_p": steel, "R_e": steel}
    given = {"n_a": f.rows[0], "n_c": f.rows[1], "l_a": f.spread[0], "l_c": f.spread[1], "T_A": f.tightening,
             "K": f.nut_factor, "s": f.scatter, "l_g": f.grip, "E_m": f.modulus, "mu": f.friction}
    return values | {k: g.value for k, g in given.items()}, origins | {k: g.origin for k, g in given.items()}


def _pins(c: Context, f: DowelPins) -> Numbers:
    own = own_part(c.machine, f.pin)
    size = resolve(c.machine, "pin", f.pin.name) if f.pin.known else None
    if isinstance(own, PinPart):
        d, F_s, origin = own.diameter.value, own.shear_load.value, own.shear_load.origin
    elif size is not None and size.row is not None:
        d, F_s, origin = size.row.number("d_mm", MM), size.row.number("shear_kN", KILO), size.row.source
    else:
        d, F_s, origin = NAN, NAN, Source(f"{f.path}.pin: not given", obtained="given")
    given = {"n": f.count, "a": f.apart, "t": f.depth, "R_e": f.plate_yield}
    return ({"d": d, "F_s": F_s} | {k: g.value for k, g in given.items()},
            {"d": origin, "F_s": origin} | {k: g.origin for k, g in given.items()})


def _weld(_c: Context, f: FilletWeld) -> Numbers:
    values: dict[str, Any] = {"h": f.leg.value, "R_w": f.weld_strength.value, "R_e": f.plate_yield.value}
    origins = {"h": f.leg.origin, "R_w": f.weld_strength.origin, "R_e": f.plate_yield.origin}
    if f.round.known:
        values |= {"n_d": 0.0, "n_b": 0.0, "n_r": 1.0, "d": f.round.value, "b": f.round.value}
        return values, origins | dict.fromkeys(("n_d", "n_b", "n_r", "d", "b"), f.round.origin)
    along, across = f.lines
    apart = across.nominal > 0 or along.nominal > 1
    single = Source(f"{f.path}.lines: one line along, none across", obtained="given")
    values |= {"n_d": along.value, "n_b": across.value, "n_r": 0.0, "d": f.lengths[0].value,
               "b": f.lengths[1].value if apart or not along.known else 0.0}
    return values, origins | {"n_d": along.origin, "n_b": across.origin, "n_r": f.round.origin,
                              "d": f.lengths[0].origin, "b": f.lengths[1].origin if apart else single}


@dataclass(frozen=True, slots=True)
class _Room:
    kind: str
    rate: Callable[[Any], Any]
    inputs: type[Inputs]
    names: dict[str, str]
    loads: tuple[str, ...]
    sizes: Callable[[Context, Any], Numbers]


ALL_LOADS = ("N", "V_a", "V_c", "M_a", "M_c", "T")
ROOMS: dict[type, _Room] = {
    BoltedJoint: _Room("bolted joint", bolted_joint.rate, bolted_joint.JointInputs, BOLTS, ALL_LOADS, _bolts),
    DowelPins: _Room("dowel pins", dowel_pins.rate, dowel_pins.DowelInputs, PINS, ("V", "T"), _pins),
    FilletWeld: _Room("fillet weld", fillet_weld.rate, fillet_weld.WeldInputs, WELD, ALL_LOADS, _weld),
}
