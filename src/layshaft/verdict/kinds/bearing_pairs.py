"""Angular contact and tapered roller bearings in pairs: what the shaft pushes and the other one brings, case by case.

Where part of the outer thrust may act either way, each bearing is asked with it towards itself.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import numpy as np

from layshaft.elements import bearing_pair
from layshaft.machine.bearing_pairs import Pair, centre_known, pair_of, part_on, thrust_seats
from layshaft.machine.kinds import AngularContactPart, TaperedRollerPart
from layshaft.machine.model import Seat, Shaft
from layshaft.mechanics.rolling_life import BALLS, ROLLERS
from layshaft.mechanics.rolling_life import LIFE as LIFE_METHOD
from layshaft.trace.source import Source
from layshaft.verdict.context import NAN, Context, magnitude
from layshaft.verdict.kinds.bearing_duty import over_duty
from layshaft.verdict.kinds.bearings import LIFE, MODES, REQUIRED, as_quiet_as_asked, life_is_asked
from layshaft.verdict.rows import Block, Part, with_required

TAPER_X = Source("ISO 281:2007", "radial factor of tapered rollers", "second text")
AT_REST = Source("ISO 76:2006", "static radial factor of one row", "second text")
ASKED = {"static load": MODES["static load"], "rating life": LIFE}
TRAIN = ("F_r", "F_o", "K_a", "K_u", "omega")
NEEDED = {mode: REQUIRED[mode] for mode in ASKED}
MILLI = 1e-3
Values = dict[str, tuple[Any, Source]]


def blocks(c: Context) -> list[Block]:
    """Every such bearing case by case, then over its duty."""
    alone = block(c)
    return [alone, over_duty(c, alone, _equivalent)]


def block(c: Context) -> Block:
    """Every seat with an angular contact or tapered roller bearing."""
    found = Block("bearing of a pair", bearing_pair.rate, bearing_pair.PairInputs, ASKED, required=NEEDED)
    for shaft in c.shafts:
        pair = pair_of(c.machine, shaft)
        for name in thrust_seats(c.machine, shaft):
            part = part_on(c.machine, shaft.seats[name])
            if part is not None:
                found.parts.append(_part(c, shaft, shaft.seats[name], part, pair))
    turns = {shaft.name for shaft in c.shafts if life_is_asked(c, shaft)}
    found.applies = {"rating life": lambda part: part.shaft in turns}
    return found


def _part(c: Context, shaft: Shaft, seat: Seat, listed: AngularContactPart, pair: Pair | None) -> Part:
    survive = seat.reliability if seat.reliability.known else shaft.reliability
    rollers = isinstance(listed, TaperedRollerPart)
    found: Values = {
        **loads_of(c, shaft, seat, pair), **factors(listed),
        "C": (listed.dynamic_rating.value, listed.dynamic_rating.origin),
        "C_0": (listed.static_rating.value, listed.static_rating.origin),
        "p": (ROLLERS if rollers else BALLS, LIFE_METHOD),
        "omega": (np.abs(c.solved.speed[shaft.name]), c.from_train(shaft.name, "speed")),
        "t_w": (c.life, c.life_source), "R": (survive.value, survive.origin),
    }
    contents = [f"{part.path}|{part.read_in}" for part in (listed, _other(c, shaft, seat, pair)) if part is not None]
    demands = frozenset(symbol for symbol in TRAIN if found[symbol][1].obtained == "derived")
    part = Part(f"{seat.path}.bearing", "", {k: v for k, (v, _) in found.items()},
                {k: origin for k, (_, origin) in found.items()}, "", demands,
                content=tuple(contents), shaft=shaft.name)
    with_required(part, c.machine.margins or {}, NEEDED)
    return as_quiet_as_asked(c, seat, part, rollers=rollers)


def _other(c: Context, shaft: Shaft, seat: Seat, pair: Pair | None) -> AngularContactPart | None:
    return None if pair is None else part_on(c.machine, shaft.seats[pair.other(seat.name)])


# Loads -----------------------------------------------------------------------------------------


def loads_of(c: Context, shaft: Shaft, seat: Seat, pair: Pair | None) -> Values:
    """Radial loads of both, outer thrust towards this one, and what each radial load induces."""
    loads, other = c.solved.loads[shaft.name], _other(c, shaft, seat, pair)
    found: Values = {"F_r": (_radial(c, shaft, seat.name), _reaction(c, shaft, seat.name)),
                     "k_i": _induced(part_on(c.machine, seat))}
    if pair is None or other is None:
        why = Source(f"{shaft.path}: {len(thrust_seats(c.machine, shaft))} angular contact or tapered roller bearings, "
                     "and only two of them, mounted against each other, are rated", obtained="given")
        return found | dict.fromkeys(("F_o", "K_a", "K_u", "k_o"), (NAN, why))
    thrust = c.from_train(shaft.name, "thrust along the shaft, what pushes it but its bearings")
    if not pair.facing:
        thrust = Source(f"{seat.path}.facing: not given, here nor at {pair.other(seat.name)}", obtained="given")
    there = pair.other(seat.name)
    return found | {"F_o": (_radial(c, shaft, there), _reaction(c, shaft, there)), "k_o": _induced(other),
                    "K_a": (-pair.holds(seat.name) * loads.settled, thrust), "K_u": (loads.either_way, thrust)}


def _reaction(c: Context, shaft: Shaft, seat: str) -> Source:
    loads = c.solved.loads[shaft.name]
    place = loads.centres[loads.supports.index(seat)] / MILLI
    return c.from_train(shaft.name, f"reaction at {seat}, {place:.4g} mm from the start of the shaft{loads.hand}")


def _radial(c: Context, shaft: Shaft, seat: str) -> Any:
    loads = c.solved.loads[shaft.name]
    if len(loads.reaction) != len(loads.supports):
        return NAN
    i = loads.supports.index(seat)
    return magnitude(loads.reaction[i, 0], loads.reaction[i, 1])


def axial_on(c: Context, shaft: Shaft, seat: str) -> tuple[Any, float] | None:
    """Axial load of a bearing of a pair and the way it holds the shaft; None for any other bearing."""
    pair = pair_of(c.machine, shaft)
    if pair is None or seat not in (pair.left, pair.right):
        return None
    v = {symbol: value for symbol, (value, _) in loads_of(c, shaft, shaft.seats[seat], pair).items()}
    return _axial(v.__getitem__), pair.holds(seat)


def _axial(of: Callable[[str], Any]) -> Any:
    own, other = (bearing_pair.induced_thrust(of(k), of(F)) for k, F in (("k_i", "F_r"), ("k_o", "F_o")))
    return bearing_pair.axial_load(own, other, of("K_a"), of("K_u"))


def _equivalent(of: Callable[[str], Any]) -> Any:
    """Dynamic equivalent load of bearings in pairs."""
    return bearing_pair.dynamic_equivalent_load(of("F_r"), _axial(of), of("e"), of("X"), of("Y"))


# Listing ---------------------------------------------------------------------------------------


def factors(part: AngularContactPart) -> Values:
    """e, X, Y, X_0 and Y_0: what the list says, else by the contact angle, else unknown by name."""
    alpha, rollers = part.contact_angle, isinstance(part, TaperedRollerPart)
    by_angle = {"e": bearing_pair.taper_limit, "Y": bearing_pair.taper_axial_factor,
                "Y_0": bearing_pair.taper_static_factor}
    found: Values = {"X_0": (bearing_pair.X_0, AT_REST)}
    for symbol, own in (("e", part.limit), ("X", part.radial_factor), ("Y", part.axial_factor),
                        ("Y_0", part.static_axial_factor)):
        if own.known:
            found[symbol] = own.value, own.origin
        elif symbol == "X" and rollers:
            found[symbol] = bearing_pair.TAPER_X, TAPER_X
        elif not alpha.known:
            found[symbol] = NAN, own.origin
        elif rollers:
            found[symbol] = by_angle[symbol](alpha.value), _by_angle(bearing_pair.TAPER, part)
        else:
            factor = bearing_pair.ball_factor(symbol.replace("_", ""), alpha.value)
            known = bool(np.isfinite(np.mean(factor)))
            found[symbol] = factor, _by_angle(bearing_pair.ANGLES, part) if known else Source(
                f"{own.path}: not given, and the table by contact angle goes from 20 to 45 deg", obtained="given")
    return found


def _by_angle(method: Source, part: AngularContactPart) -> Source:
    return Source(f"{method.work}, from {part.contact_angle.path}", method.place, method.obtained)


def _induced(part: AngularContactPart | None) -> tuple[Any, Source]:
    """Induced thrust over radial load: listed, else e of balls, the most that published tables say, or 1/(2 Y)."""
    if part is None:
        return NAN, Source("no bearing here", obtained="given")
    if part.induced_thrust.known:
        return part.induced_thrust.value, part.induced_thrust.origin
    values = factors(part)
    if isinstance(part, TaperedRollerPart):
        Y, origin = values["Y"]
        return bearing_pair.induced_share(Y), Source(f"1/(2 Y): {origin.work}", origin.place, origin.obtained)
    e, origin = values["e"]
    return e, Source(f"as much as e: {origin.work}", origin.place, origin.obtained)


# Advice ----------------------------------------------------------------------------------------


def without_centre(c: Context, shaft: Shaft) -> list[str]:
    """Seats of a pair whose list does not say where the load centre lies."""
    seats = [(name, part_on(c.machine, shaft.seats[name])) for name in thrust_seats(c.machine, shaft)]
    return [name for name, part in seats if part is not None and not centre_known(part)]
