"""One-way hub: drives or holds one way, runs free the other way.

Rated by its listing alone: rollers, sprags and pawls inside are the maker's. What it drives may run ahead of it,
so a wheel behind it goes on turning when the train stops, and no brake on the driving side reaches it.
"""

from __future__ import annotations

from dataclasses import dataclass

from layshaft.mechanics.margin import margin
from layshaft.mechanics.one_way import sense
from layshaft.trace.checks import Check
from layshaft.trace.formula import given, group, named, remark_if
from layshaft.trace.inputs import Inputs, quantity
from layshaft.trace.source import Source
from layshaft.trace.units import RATIO, SPEED, TORQUE, Ratio, Speed, Torque

LISTING = Source("the listing of the hub", "largest torque and overrun speed", "common practice")
ONE_WAY = Source("a one-way hub passes torque one way", obtained="derived")
OWN_LIMIT = Source("it drives or it does not", "nothing is added here", "common practice")
DANGER = Source("one-way hubs that hold a weight or free a wheel", "local codes and licensed practice decide",
                "common practice")
CAUTION = (
    "What a one-way hub drives runs on when the train stops: wait until it stands. Where it holds a weight, grease, "
    "cold or dirt can keep it from gripping: have a second holder. Local codes and licensed practice have the last "
    "word."
)


@dataclass(frozen=True, kw_only=True)
class OneWayHubInputs(Inputs):
    """One hub in one case, with the ratings of its listing."""

    T: Torque = quantity("torque it holds or drives with", TORQUE, at_least=0)
    T_f: Torque = quantity("the same, negative where it would have to act the way it runs free", TORQUE)
    d_omega: Speed = quantity("speed at which one half runs ahead of the other", SPEED, at_least=0)
    T_N: Torque = quantity("largest torque of the listing", TORQUE, above=0)
    omega_lim: Speed = quantity("largest overrun speed of the listing", SPEED, above=0)
    S_required: Ratio = quantity("required margin on the listed torque", RATIO, above=0)
    S_speed_required: Ratio = quantity("required margin on the listed speed", RATIO, above=0)


@dataclass(frozen=True, slots=True)
class OneWayHubRating:
    """Checks of one hub."""

    checks: tuple[Check, ...]


def rate(c: OneWayHubInputs) -> OneWayHubRating:
    """Rate one hub, or many at once when the inputs are arrays."""
    with group("One-way hub"):
        c = c.record()
        S_T = named("S_T", margin(c.T_N, c.T), "margin on the listed torque")
        S_n = named("S_n", margin(c.omega_lim, c.d_omega), "margin on the listed overrun speed")
        required = given("c_s_required", "it acts the way it can, or not at all", RATIO, 1.0, OWN_LIMIT)
        remark_if(True, CAUTION, DANGER)
        return OneWayHubRating((
            Check("held torque", TORQUE, c.T, c.T_N, S_T, c.S_required, LISTING, c.origins["S_required"]),
            Check("overrun speed", SPEED, c.d_omega, c.omega_lim, S_n, c.S_speed_required, LISTING,
                  c.origins["S_speed_required"]),
            Check("sense of drive", TORQUE, c.T, c.T_f, sense(c.T_f), required, ONE_WAY, OWN_LIMIT,
                  "below one it runs free where it ought to drive: turn it round, or swap from and to"),
        ))
