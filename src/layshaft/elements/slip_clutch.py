"""Slip clutch: slips beyond a torque and so protects what lies behind it, if it is set between two torques.

The lower end of its scatter must stay above what the machine asks while it runs; the upper end caps what a jam can put
into the parts. It holds no weight: while it slips, a weight in front of it sinks. Slipping makes heat, torque times
speed, until somebody stops the drive.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from layshaft.mechanics import friction
from layshaft.mechanics.margin import margin
from layshaft.trace.checks import Check
from layshaft.trace.formula import group, named, remark_if
from layshaft.trace.inputs import Inputs, quantity
from layshaft.trace.source import Source
from layshaft.trace.units import (
    COUNT,
    FORCE,
    LENGTH,
    RATIO,
    STRESS,
    TORQUE,
    Count,
    Force,
    Length,
    Ratio,
    Stress,
    Torque,
)

SETTING = Source("setting of a slip clutch", "above the running torque, below what it protects", "common practice")
DANGER = Source("clutches that let go", "local codes and licensed practice decide", "common practice")
CAUTION = (
    "A slip clutch gets hot while it slips and lets go of what hangs on it. Never put it between a weight and what "
    "holds or governs that weight; stop the drive before anyone reaches in. Local codes and licensed practice have the "
    "last word."
)


@dataclass(frozen=True, kw_only=True)
class SlipClutchInputs(Inputs):
    """One slip clutch by its stated slip torque."""

    T: Torque = quantity("torque it must pass without slipping", TORQUE, at_least=0)
    T_s: Torque = quantity("slip torque", TORQUE, above=0)
    s: Ratio = quantity("share by which it slips earlier or later", RATIO, at_least=0, at_most=0.9)
    S_required: Ratio = quantity("required margin against slipping", RATIO, above=0)


@dataclass(frozen=True, kw_only=True)
class SprungClutchInputs(Inputs):
    """One slip clutch by the springs and linings that make its slip torque."""

    T: Torque = quantity("torque it must pass without slipping", TORQUE, at_least=0)
    mu: Ratio = quantity("friction of the linings", RATIO, above=0)
    F: Force = quantity("force of the springs", FORCE, above=0)
    d_o: Length = quantity("outer diameter of the linings", LENGTH, above=0)
    d_i: Length = quantity("inner diameter of the linings", LENGTH, above=0)
    i: Count = quantity("pairs of rubbing faces", COUNT, at_least=1)
    s: Ratio = quantity("share by which it slips earlier or later", RATIO, at_least=0, at_most=0.9)
    p_lim: Stress = quantity("pressure the linings may bear", STRESS, above=0)
    S_required: Ratio = quantity("required margin against slipping", RATIO, above=0)
    S_p_required: Ratio = quantity("required margin on lining pressure", RATIO, above=0)


@dataclass(frozen=True, slots=True)
class SlipClutchRating:
    """Ends of the slip torque and the checks."""

    T_low: Torque
    T_high: Torque
    checks: tuple[Check, ...]


def rate(c: SlipClutchInputs) -> SlipClutchRating:
    """Rate one clutch by its slip torque, or many at once when the inputs are arrays."""
    with group("Slip clutch"):
        c = c.record()
        T_low, T_high = friction.earliest(c.T_s, c.s), friction.latest(c.T_s, c.s)
        remark_if(True, CAUTION, DANGER)
        return SlipClutchRating(T_low, T_high, _grips(c, T_low))


def rate_sprung(c: SprungClutchInputs) -> SlipClutchRating:
    """Rate one clutch by its springs and linings, or many at once when the inputs are arrays."""
    with group("Slip clutch, by its springs"):
        c = c.record()
        worn = friction.friction_torque(c.mu, c.F, friction.wear_radius(c.d_o, c.d_i), c.i)
        new = friction.friction_torque(c.mu, c.F, friction.pressure_radius(c.d_o, c.d_i), c.i)
        T_low, T_high = friction.earliest(worn, c.s), friction.latest(new, c.s)
        p = friction.wear_pressure(c.F, c.d_o, c.d_i)
        S_p = named("S_p", margin(c.p_lim, p), "margin on lining pressure")
        remark_if(True, CAUTION, DANGER)
        pressed = Check("lining pressure", STRESS, p, c.p_lim, S_p, c.S_p_required, friction.EVEN_WEAR,
                        c.origins["S_p_required"])
        return SlipClutchRating(T_low, T_high, (*_grips(c, T_low), pressed))


def _grips(c: Any, T_low: Any) -> tuple[Check, Check]:
    """The same number asked twice: while the machine runs, and when a weight is caught through it."""
    S = named("S_g", margin(T_low, c.T), "margin against slipping")
    who = c.origins["S_required"]
    return (
        Check("grip in running", TORQUE, c.T, T_low, S, c.S_required, SETTING, who),
        Check("grip when caught", TORQUE, c.T, T_low, S, c.S_required, SETTING, who,
              "it stands between a weight and what holds it: nothing that can let go belongs there"),
    )
