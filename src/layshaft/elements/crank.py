"""Hand crank or pedals: force at the handle, power of one person, length of the bout, all together.

A person is the weakest part of the drive. A crank that a weight can turn back strikes the arm: it
needs a ratchet or a freewheel, and a handle that cannot catch a sleeve.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from layshaft.listings.tables import Row, table
from layshaft.mechanics.drives import handle_force, handle_power
from layshaft.mechanics.margin import margin
from layshaft.trace.checks import Check
from layshaft.trace.formula import formula, group, looked_up, named, plain, remark_if
from layshaft.trace.inputs import Inputs, quantity
from layshaft.trace.source import STATICS, Source
from layshaft.trace.units import (
    COUNT,
    FORCE,
    LENGTH,
    POWER,
    RATIO,
    REV_PER_MIN,
    SPEED,
    TIME,
    TORQUE,
    Count,
    Force,
    Length,
    Power,
    Ratio,
    Speed,
    Time,
    Torque,
)

ENDURANCE = Source("FAO Water Lifting Devices (Fraenkel 1986) after Hofkes 1981",
                   "power against bout length, age 35", "from memory")
ARMS = Source("practice of hand drives", "arms give 0.6 to 0.7 of the power of legs", "from memory")
EFFORT = Source("public engineering reference page \"Force, power and human operated machines\"",
                "largest force on a crank or wheel, standing")
MARGIN = Source("required margin on the effort of a visitor", "no table asks for one",
                "common practice")

ARM_SHARE = 0.65
"""Middle of the share of leg power that arms give; pass 1 for pedals."""


@dataclass(frozen=True, kw_only=True)
class CrankInputs(Inputs):
    """One crank or pair of pedals, turned by one person or several in step."""

    T: Torque = quantity("torque on the crank shaft, all people together", TORQUE, at_least=0)
    r: Length = quantity("crank radius", LENGTH, above=0)
    omega: Speed = quantity("turning speed of the crank", SPEED, at_least=0)
    n_p: Count = quantity("people who turn at the same time", COUNT, at_least=1)
    t_b: Time = quantity("length of one bout", TIME, above=0)
    F_lim: Force = quantity("largest force one person is asked for", FORCE, above=0)
    c_a: Ratio = quantity("share of leg power: 1 for pedals, 0.6 to 0.7 for arms", RATIO,
                          above=0, at_most=1)
    S_required: Ratio = quantity("required margin", RATIO, above=0)


@dataclass(frozen=True, slots=True)
class CrankRating:
    """Force and power one person gives, and the power one person can keep up."""

    F_h: Force
    P_h: Power
    P_p: Power
    checks: tuple[Check, ...]


@formula("T_1", "torque each person gives", STATICS)
def torque_per_person(T: Torque, n_p: Count) -> Torque:
    """Shared evenly, which people in step come near to."""
    return T / n_p


@formula("P_p", "power one person keeps up", ARMS)
def person_power(P_s: Power, c_a: Ratio) -> Power:
    """Leg power for the bout, times the share that arms give of it."""
    return P_s * c_a


@formula("too_fast", "crank faster than 30 rev/min", EFFORT)
def too_fast(omega: Speed) -> Count:
    """1 where the remark applies, else 0."""
    return np.where(omega > 30 * REV_PER_MIN, 1.0, 0.0)


def force_limit(action: str = "rotating crank or wheel standing") -> Row:
    """Row of the table of hand and foot forces: `number("force_N")` and its source.

    Repeated pulls have their own row, "pump lever repeated standing": 100 N.
    """
    return table("hand_forces")[action]


def sustained_power(t_b: Time, age: int = 35) -> Power:
    """Power a healthy person of that age keeps up at the pedals for a bout of that length.

    Between rows the power is linear in the logarithm of time. A shorter bout than 5 minutes counts as
    5, which is on the safe side; beyond 180 minutes nothing is known.
    """
    rows = [r for r in table("human_power").rows if r.text("who") == f"healthy person age {age}"]
    times = np.log([r.number("duration_min", 60.0) for r in rows])
    powers = [r.number("power_W") for r in rows]
    value = np.interp(np.log(plain(t_b)), times, powers, right=np.nan)
    return looked_up(
        "P_s", "power one person keeps up at the pedals", POWER, value, table="human_power",
        row=f"age {age}, between bouts of 5 and 180 min by the logarithm of time", source=ENDURANCE,
    )


def rate(c: CrankInputs) -> CrankRating:
    """Rate one crank, or many at once when the inputs are arrays."""
    with group("Crank or pedals"):
        c = c.record()
        T_1 = torque_per_person(c.T, c.n_p)
        F_h = handle_force(T_1, c.r)
        S_F = named("S_F", margin(c.F_lim, F_h), "margin on the handle force")
        P_h = handle_power(T_1, c.omega)
        P_p = person_power(sustained_power(c.t_b), c.c_a)
        S_P = named("S_P", margin(P_p, P_h), "margin on the power of one person")
        remark_if(too_fast(c.omega), "The crank turns faster than 30 rev/min: the limit on the "
                  "handle force was given for slower cranks.", EFFORT)
    return CrankRating(F_h, P_h, P_p, (
        Check("handle force", FORCE, F_h, c.F_lim, S_F, c.S_required, EFFORT, MARGIN,
              "A weight must not be able to turn the crank back: ratchet or freewheel."),
        Check("power of one person", POWER, P_h, P_p, S_P, c.S_required, ENDURANCE, MARGIN),
    ))
