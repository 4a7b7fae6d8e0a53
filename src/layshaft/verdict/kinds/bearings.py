"""Deep-groove ball bearings: reactions of the shaft's beam against the listing, case by case and over the duty."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import numpy as np

from layshaft.elements import ball_bearing
from layshaft.listings.tables import table
from layshaft.machine.bearing_pairs import part_on
from layshaft.machine.kinds import BearingPart
from layshaft.machine.model import Seat, Shaft
from layshaft.mechanics.rolling_life import BALLS
from layshaft.mechanics.rolling_life import LIFE as LIFE_METHOD
from layshaft.trace.source import Source
from layshaft.trace.units import REV_PER_MIN
from layshaft.train.cases import CASES, MODULE_OFF, RUNNING, WINDING
from layshaft.train.sizes import own_part
from layshaft.verdict.context import NAN, Context, magnitude
from layshaft.verdict.kinds.bearing_duty import over_duty
from layshaft.verdict.rows import Block, Part, with_required

LIFE = (RUNNING, WINDING, MODULE_OFF)
MODES = {"static load": CASES, "rating life": LIFE, "modified life": LIFE}
REQUIRED = {"static load": "s_0_required", "rating life": "S_required", "modified life": "S_required"}
BOTH = Source("thrust: either bearing may have to take all of it", obtained="derived")
SLOW = 10 * REV_PER_MIN
"""Below this, and where a shaft only rocks, a bearing counts as standing: handbooks on static load."""

WARM_OIL = 40.0
"""degC; viscosity is listed at this temperature, and a colder oil is thicker."""


def blocks(c: Context) -> list[Block]:
    """Every bearing case by case, then over its duty."""
    alone = block(c)
    return [alone, over_duty(c, alone, _equivalent)]


def block(c: Context) -> Block:
    """Every bearing seat, chosen or open."""
    found = Block("ball bearing", ball_bearing.rate, ball_bearing.BearingInputs, MODES, required=REQUIRED)
    for shaft in c.shafts:
        loads = c.solved.loads[shaft.name]
        for i, name in enumerate(loads.supports):
            seat = shaft.seats[name]
            if seat.bearing.state != "missing" and part_on(c.machine, seat) is None:
                found.parts.append(_part(c, shaft, name, seat, i))
    turns = {shaft.name for shaft in c.shafts if life_is_asked(c, shaft)}
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
        "F_a": np.abs(loads.thrust), "C": C, "C_0": C_0, "p": BALLS, "f_0": ball_bearing.OLDER_FORM_F0,
        "omega": np.abs(c.solved.speed[shaft.name]), "t_w": c.life, "R": survive.value, "D_pw": D_pw,
    }
    demand = c.from_train(shaft.name, f"reaction at {name}{loads.hand}")
    origins = {
        "F_r": demand, "F_a": BOTH, "C": source, "C_0": _static_source(c, seat, source), "p": LIFE_METHOD,
        "f_0": Source("older handbook form of the thrust table", obtained="common practice"),
        "omega": c.from_train(shaft.name, "speed"), "t_w": c.life_source, "R": survive.origin, "D_pw": source,
    }
    for symbol, (value, origin) in _grease(c, seat, C_0, D_pw, source).items():
        values[symbol], origins[symbol] = value, origin
    part = Part(f"{seat.path}.bearing", "", values, origins, "", frozenset({"F_r", "F_a", "omega"}),
                not_chosen=not seat.bearing.known, content=content, shaft=shaft.name)
    with_required(part, c.machine.margins or {}, REQUIRED)
    return as_quiet_as_asked(c, seat, part)


def as_quiet_as_asked(c: Context, seat: Seat, part: Part, *, rollers: bool = False) -> Part:
    """Static safety for how the bearing must run, where the seat says it and the builder asks for no other.

    Rollers ask for more than the usual required margin, which is that of balls: shocks, where nothing is said.
    """
    own = (c.machine.margins or {}).get("static load")
    asked = seat.must_run or ("under shocks" if rollers else "")
    if asked and not (own is not None and own.known):
        row = table("bearing_static_safety")[asked]
        needed = (row.number("s_0_rollers" if rollers else "s_0"),
                  Source(row.source.work, f"must run {asked}", row.source.obtained))
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


def _equivalent(of: Callable[[str], Any]) -> Any:
    """Dynamic equivalent load of deep groove bearings."""
    F_a = of("F_a")
    e_a, Y = ball_bearing.thrust_factors(
        ball_bearing.relative_axial_load(F_a, of("C_0"), ball_bearing.OLDER_FORM_F0))
    return ball_bearing.dynamic_equivalent_load(of("F_r"), F_a, e_a, Y)
