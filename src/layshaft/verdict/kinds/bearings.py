"""Deep-groove ball bearings: reactions of the shaft's beam against the listing, case by case and over the duty."""

from __future__ import annotations

from functools import reduce
from typing import Any

import numpy as np

from layshaft.elements import ball_bearing
from layshaft.listings.tables import table
from layshaft.machine.kinds import BearingPart
from layshaft.machine.model import Seat, Shaft
from layshaft.trace.source import Source
from layshaft.trace.units import REV_PER_MIN
from layshaft.train.cases import CASES, MODULE_OFF, RUNNING, WINDING
from layshaft.train.duty import State, duty
from layshaft.train.sizes import own_part
from layshaft.verdict.context import NAN, Context, magnitude
from layshaft.verdict.rows import Block, Part, with_required

LIFE = (RUNNING, WINDING, MODULE_OFF)
MODES = {"static load": CASES, "rating life": LIFE, "modified life": LIFE}
REQUIRED = {"static load": "s_0_required", "rating life": "S_required", "modified life": "S_required"}
DUTY_REQUIRED = {"life over the duty": "S_required"}
BOTH = Source("thrust: either bearing may have to take all of it", obtained="derived")
SLOW = 10 * REV_PER_MIN
"""Below this, and where a shaft only rocks, a bearing counts as standing: handbooks on static load."""

WARM_OIL = 40.0
"""degC; viscosity is listed at this temperature, and a colder oil is thicker."""


def blocks(c: Context) -> list[Block]:
    """Every bearing case by case, then over its duty."""
    alone = block(c)
    return [alone, over_duty(c, alone)]


def block(c: Context) -> Block:
    """Every bearing seat, chosen or open."""
    found = Block("ball bearing", ball_bearing.rate, ball_bearing.BearingInputs, MODES, required=REQUIRED)
    for shaft in c.machine.shafts.values():
        loads = c.solved.loads[shaft.name]
        for i, name in enumerate(loads.supports):
            if shaft.seats[name].bearing.state != "missing":
                found.parts.append(_part(c, shaft, name, shaft.seats[name], i))
    turns = {shaft.name for shaft in c.machine.shafts.values() if life_is_asked(c, shaft)}
    found.applies = {"rating life": lambda part: part.shaft in turns,
                     "modified life": lambda part: part.shaft in turns and _told(part)}
    return found


def life_is_asked(c: Context, shaft: Shaft) -> bool:
    """False where a shaft rocks or creeps: its bearings stand, and dents and rust end them, not turns."""
    if shaft.rocks.known:
        return False
    asked = [i for i, column in enumerate(c.solved.columns) if column.case in LIFE]
    speeds = np.abs(c.solved.speed[shaft.name][asked])
    fastest = np.max(speeds, where=np.isfinite(speeds), initial=0.0)
    return not 0 < fastest < SLOW


def _told(part: Part) -> bool:
    """True where somebody has said what grease is in it."""
    return not part.origins["nu"].work.startswith(NO_GREASE)


def _part(c: Context, shaft: Shaft, name: str, seat: Seat, i: int) -> Part:
    loads = c.solved.loads[shaft.name]
    known = len(loads.reaction) == len(loads.supports)
    C, C_0, D_pw, source, content = _ratings(c, seat)
    survive = seat.reliability if seat.reliability.known else shaft.reliability
    values: dict[str, Any] = {
        "F_r": magnitude(loads.reaction[i, 0], loads.reaction[i, 1]) if known else NAN,
        "F_a": np.abs(loads.thrust), "C": C, "C_0": C_0, "f_0": ball_bearing.OLDER_FORM_F0,
        "omega": np.abs(c.solved.speed[shaft.name]), "t_w": c.life, "R": survive.value, "D_pw": D_pw,
    }
    demand = c.from_train(shaft.name, f"reaction at {name}{loads.hand}")
    origins = {
        "F_r": demand, "F_a": BOTH, "C": source, "C_0": _static_source(c, seat, source),
        "f_0": Source("older handbook form of the thrust table", obtained="common practice"),
        "omega": c.from_train(shaft.name, "speed"), "t_w": c.life_source, "R": survive.origin, "D_pw": source,
    }
    for symbol, (value, origin) in _grease(c, seat, C_0, D_pw, source).items():
        values[symbol], origins[symbol] = value, origin
    part = Part(f"{seat.path}.bearing", "", values, origins, "", frozenset({"F_r", "F_a", "omega"}),
                not_chosen=not seat.bearing.known, content=content, shaft=shaft.name)
    with_required(part, c.machine.margins or {}, REQUIRED)
    return _as_quiet_as_asked(c, seat, part)


def _as_quiet_as_asked(c: Context, seat: Seat, part: Part) -> Part:
    """Static safety for how the bearing must run, where the seat says it and the builder asks for no other."""
    own = (c.machine.margins or {}).get("static load")
    if seat.must_run and not (own is not None and own.known):
        row = table("bearing_static_safety")[seat.must_run]
        needed = row.number("s_0"), Source(row.source.work, f"must run {seat.must_run}", row.source.obtained)
        part.required["static load"] = needed
        part.inputs["s_0_required"], part.origins["s_0_required"] = needed
    return part


# Listing ---------------------------------------------------------------------------------------


def _static_source(c: Context, seat: Seat, listed: Source) -> Source:
    own = own_part(c.machine, seat.bearing)
    return own.static_rating.origin if isinstance(own, BearingPart) else listed


def _ratings(c: Context, seat: Seat) -> tuple[Any, Any, Any, Source, tuple[str, ...]]:
    """Both ratings, mean diameter, who says so, and the content of the listing."""
    own = own_part(c.machine, seat.bearing)
    if isinstance(own, BearingPart):
        return (own.dynamic_rating.value, own.static_rating.value, (own.bore.value + own.outside.value) / 2,
                own.dynamic_rating.origin, (f"{own.path}|{own.read_in}",))
    size = ball_bearing.bearing(seat.bearing.name) if seat.bearing.known else None
    if size is None:
        return NAN, NAN, NAN, Source(f"{seat.bearing.path}: not chosen yet", obtained="given"), ()
    return size.C, size.C0, (size.bore + size.outside) / 2, size.source, (size.row_content,)


# Grease and dirt -------------------------------------------------------------------------------

NO_GREASE = "no base oil stated"
NOT_TOLD = Source(NO_GREASE, obtained="given")


def _grease(c: Context, seat: Seat, C_0: Any, D_pw: Any, listed: Source) -> dict[str, tuple[Any, Source]]:
    """What the life-modification factor needs; unknown where the seat says nothing of its grease."""
    if not seat.base_oil.known:
        return dict.fromkeys(("nu", "C_u", "e_c"), (NAN, NOT_TOLD))
    own = own_part(c.machine, seat.bearing)
    warmest = c.machine.venue.warmest
    oil: tuple[Any, Source] = seat.base_oil.value, seat.base_oil.origin
    if not warmest.known:
        oil = NAN, warmest.origin
    elif np.max(warmest.value) > WARM_OIL:
        oil = NAN, Source(f"{warmest.path}: warmer than the {WARM_OIL:g} degC the oil is listed at", obtained="given")
    dirt = table("bearing_cleanliness").source
    clean = (ball_bearing.contamination_factor(seat.cleanliness, D_pw),
             Source(dirt.work, f"{seat.cleanliness}, low end", dirt.obtained)) if seat.cleanliness else (
             NAN, Source(f"{seat.path}.cleanliness: not given", obtained="given"))
    if isinstance(own, BearingPart) and own.fatigue_limit.known:
        return {"nu": oil, "e_c": clean, "C_u": (own.fatigue_limit.value, own.fatigue_limit.origin)}
    limit = Source(f"from the static rating: {listed.work}", "ISO 281:2007, annex B, simplified", listed.obtained)
    return {"nu": oil, "e_c": clean, "C_u": (ball_bearing.fatigue_limit(C_0, D_pw), limit)}


# Over the duty ---------------------------------------------------------------------------------


def over_duty(c: Context, alone: Block) -> Block:
    """The same bearings over every state of their life together, where it has more than one."""
    found = Block("ball bearing over its duty", ball_bearing.rate_duty, ball_bearing.DutyInputs,
                  {"life over the duty": ()}, required=DUTY_REQUIRED)
    states = duty(c.solved) if alone.parts else []
    parts = [part for part in alone.parts if alone.applies["rating life"](part)]
    if len(states) < 2 or not parts:
        return found
    used, turns = _used_up(c, [part.inputs for part in parts], states)
    words = ", ".join(f"{state.words} {float(np.mean(state.share)):.0%}" for state in states)
    for i, part in enumerate(parts):
        spent = c.from_train(part.shaft, f"turns over life in each state, summed: {words}")
        values = {"u": used[i], "N_L": turns[i], "C": part.inputs["C"], "R": part.inputs["R"]}
        origins = {"u": spent, "N_L": spent, "C": part.origins["C"], "R": part.origins["R"]}
        made = Part(part.path, "", values, origins, "", frozenset({"u", "N_L"}), not_chosen=part.not_chosen,
                    content=part.content, shaft=part.shaft)
        found.parts.append(with_required(made, c.machine.margins or {}, DUTY_REQUIRED))
    return found


def has_duty(c: Context) -> bool:
    """True where the life of the machine has more than one state."""
    return len(duty(c.solved)) > 1


def _used_up(c: Context, inputs: list[dict[str, Any]], states: list[State]) -> tuple[Any, Any]:
    """Share of life and turns of each bearing over all states, (parts, samples)."""
    asked = sorted({i for state in states for i in state.columns})
    at, shape = {i: k for k, i in enumerate(asked)}, (len(c.solved.columns), c.solved.samples)
    F_r, F_a, omega = (np.stack([_in_cases(i[name], shape)[asked] for i in inputs]) for name in ("F_r", "F_a", "omega"))
    C, C_0 = (np.stack([_in_cases(i[name], (1, shape[1])) for i in inputs]) for name in ("C", "C_0"))
    e_a, Y = ball_bearing.thrust_factors(ball_bearing.relative_axial_load(F_a, C_0, ball_bearing.OLDER_FORM_F0))
    life: Any = ball_bearing.rating_life(C, ball_bearing.dynamic_equivalent_load(F_r, F_a, e_a, Y))
    used: Any = 0.0
    turns: Any = 0.0
    for state in states:
        here = [ball_bearing.turns_wanted(omega[:, at[i]], c.life * state.share) for i in state.columns]
        spent = [np.where(N > 0, ball_bearing.life_used(N, life[:, at[i]]), 0 * N)
                 for N, i in zip(here, state.columns, strict=True)]
        used, turns = used + reduce(np.maximum, spent), turns + reduce(np.maximum, here)
    return used, turns


def _in_cases(value: Any, shape: tuple[int, int]) -> Any:
    return value if np.shape(value) == shape else np.broadcast_to(value, shape)
