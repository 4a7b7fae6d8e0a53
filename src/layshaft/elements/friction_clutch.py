"""Friction clutch of flat discs or of a cone: what it passes on, and the heat when it is closed on a running machine.

Worn in it passes least, new and rough most: the first must drive, the second is what every part feels while it slips
into speed. It is opened and closed by hand, so it holds nothing.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from layshaft.mechanics import friction, stopping
from layshaft.mechanics.margin import margin
from layshaft.trace.checks import Check
from layshaft.trace.formula import group, named, remark_if
from layshaft.trace.inputs import Inputs, quantity
from layshaft.trace.source import Source
from layshaft.trace.units import (
    ANGLE,
    COUNT,
    DEGREE,
    FORCE,
    INERTIA,
    LENGTH,
    MASS,
    RATIO,
    SPECIFIC_HEAT,
    SPEED,
    STRESS,
    TEMPERATURE,
    TORQUE,
    Angle,
    Count,
    Energy,
    Force,
    Inertia,
    Length,
    Mass,
    Ratio,
    SpecificHeat,
    Speed,
    Stress,
    Temperature,
    Time,
    Torque,
)

SETTING = Source("choice of a clutch", "its least torque above the running torque", "common practice")
LIMIT = Source("linings, their makers' limits", "temperature rise of one engagement", "common practice")
DANGER = Source("clutches under load", "local codes and licensed practice decide", "common practice")
CAUTION = (
    "Opening a clutch frees both sides: a weight in front of it runs away unless something else holds or governs it. "
    "Keep hands and clothes off faces that close, and off linings that have slipped: they burn. Local codes and "
    "licensed practice have the last word."
)


@dataclass(frozen=True, kw_only=True)
class FrictionClutchInputs(Inputs):
    """One clutch in one case. A flat disc is a cone of 90 degrees."""

    T: Torque = quantity("torque it must pass without slipping", TORQUE, at_least=0)
    mu: Ratio = quantity("friction of the linings", RATIO, above=0)
    F: Force = quantity("force that closes it, along the shaft", FORCE, above=0)
    d_o: Length = quantity("outer diameter of the linings", LENGTH, above=0)
    d_i: Length = quantity("inner diameter of the linings", LENGTH, above=0)
    i: Count = quantity("pairs of rubbing faces", COUNT, at_least=1)
    alpha: Angle = quantity("angle of the cone to its axis, 90 degrees for flat discs", ANGLE, above=0,
                            at_most=90 * DEGREE)
    s: Ratio = quantity("share by which it slips earlier or later", RATIO, at_least=0, at_most=0.9)
    p_lim: Stress = quantity("pressure the linings may bear", STRESS, above=0)
    T_w: Torque = quantity("torque of the load while it is closed", TORQUE, at_least=0)
    J_1: Inertia = quantity("moment of inertia on the driving side, endless if its speed is kept", INERTIA, above=0)
    J_2: Inertia = quantity("moment of inertia on the driven side", INERTIA, above=0)
    d_omega: Speed = quantity("difference of the two speeds when it is closed", SPEED, at_least=0)
    m: Mass = quantity("mass that takes up the heat", MASS, above=0)
    c: SpecificHeat = quantity("specific heat of that mass", SPECIFIC_HEAT, above=0)
    d_lim: Temperature = quantity("temperature rise allowed", TEMPERATURE, above=0)
    S_required: Ratio = quantity("required margin against slipping", RATIO, above=0)
    S_p_required: Ratio = quantity("required margin on pressure and heat", RATIO, above=0)


@dataclass(frozen=True, slots=True)
class FrictionClutchRating:
    """Ends of its torque, time and heat of closing it, and the checks."""

    T_low: Torque
    T_high: Torque
    t_s: Time
    E_s: Energy
    checks: tuple[Check, ...]


def rate(c: FrictionClutchInputs) -> FrictionClutchRating:
    """Rate one clutch, or many at once when the inputs are arrays."""
    with group("Friction clutch"):
        c = c.record()
        F_n = friction.cone_force(c.F, c.alpha)
        worn = friction.friction_torque(c.mu, F_n, friction.wear_radius(c.d_o, c.d_i), c.i)
        new = friction.friction_torque(c.mu, F_n, friction.pressure_radius(c.d_o, c.d_i), c.i)
        T_low, T_high = friction.earliest(worn, c.s), friction.latest(new, c.s)
        p = friction.wear_pressure(c.F, c.d_o, c.d_i)
        S_p = named("S_p", margin(c.p_lim, p), "margin on lining pressure")
        pressed = Check("lining pressure", STRESS, p, c.p_lim, S_p, c.S_p_required, friction.EVEN_WEAR,
                        c.origins["S_p_required"])
        t_s, E_s, heated = _closing(c, T_low)
        remark_if(True, CAUTION, DANGER)
        return FrictionClutchRating(T_low, T_high, t_s, E_s, (*_grips(c, T_low), pressed, heated))


def _grips(c: FrictionClutchInputs, T_low: Any) -> tuple[Check, Check]:
    S = named("S_g", margin(T_low, c.T), "margin against slipping")
    who = c.origins["S_required"]
    return (
        Check("grip in running", TORQUE, c.T, T_low, S, c.S_required, SETTING, who),
        Check("grip when caught", TORQUE, c.T, T_low, S, c.S_required, SETTING, who,
              "it stands between a weight and what holds it: nothing that can let go belongs there"),
    )


def _closing(c: FrictionClutchInputs, T_low: Any) -> tuple[Any, Any, Check]:
    """The least torque slips longest and heats most."""
    J_r = stopping.reduced_inertia(c.J_1, c.J_2)
    t_s = stopping.slip_time(J_r, c.d_omega, stopping.net_torque(T_low, c.T_w))
    E_s = stopping.slip_heat(T_low, c.d_omega, t_s)
    rise = friction.temperature_rise(E_s, c.m, c.c)
    S_h = named("S_h", margin(c.d_lim, rise), "margin on the temperature rise")
    return t_s, E_s, Check("heat of closing", TEMPERATURE, rise, c.d_lim, S_h, c.S_p_required, LIMIT,
                           c.origins["S_p_required"], "one closing, no heat given off")
