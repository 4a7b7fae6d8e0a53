"""What every brake is asked: does it hold, how soon does it stop, how hot does it get, does it reach all that turns."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import numpy as np

from layshaft.mechanics import brakes, friction, stopping
from layshaft.mechanics.drives import turning_energy
from layshaft.mechanics.margin import margin
from layshaft.trace.checks import Check
from layshaft.trace.formula import formula, named, remark_if
from layshaft.trace.inputs import Inputs, quantity
from layshaft.trace.source import KINEMATICS, STATICS, Source
from layshaft.trace.units import (
    ENERGY,
    INERTIA,
    MASS,
    PRESSURE_VELOCITY,
    RATIO,
    SPECIFIC_HEAT,
    SPEED,
    STRESS,
    TEMPERATURE,
    TIME,
    TORQUE,
    Energy,
    Inertia,
    Mass,
    PressureVelocity,
    Ratio,
    SpecificHeat,
    Speed,
    Stress,
    Temperature,
    Time,
    Torque,
)

HOLDING = Source("holding torque over the torque to be held", "practice of hoists", "common practice")
LIMIT = Source("linings, their makers' limits", "pressure, rubbing power and heat", "common practice")
REACH = Source("what the brake brings to rest", "all that turns", "derived")
DANGER = Source("brakes that hold a weight", "local codes and licensed practice decide", "common practice")
CAUTION = (
    "A brake that holds a weight must hold when nobody touches it: let a spring or its own weight put it on, and have "
    "a ratchet beside it. After a stop drum and lining burn skin; oil, rain and wear take half its torque. Local codes "
    "and licensed practice have the last word."
)


@dataclass(frozen=True, kw_only=True)
class BrakeInputs(Inputs):
    """What does not depend on the kind of brake. Off while the machine runs."""

    T_h: Torque = quantity("torque to be held, above zero where the shaft would turn the strong way", TORQUE)
    mu: Ratio = quantity("friction of the lining", RATIO, above=0)
    s: Ratio = quantity("share by which it holds less or more", RATIO, at_least=0, at_most=0.9)
    J: Inertia = quantity("moment of inertia that it stops, seen at its shaft", INERTIA, at_least=0)
    omega: Speed = quantity("turning speed of its shaft when it is put on, above zero the strong way", SPEED)
    T_w: Torque = quantity("torque that goes on driving while it stops", TORQUE)
    E_a: Energy = quantity("energy of all that turns with the set of shafts", ENERGY, at_least=0)
    p_lim: Stress = quantity("pressure the lining may bear", STRESS, above=0)
    q_lim: PressureVelocity = quantity("rubbing power per area the lining may bear", PRESSURE_VELOCITY, above=0)
    m: Mass = quantity("mass that takes up the heat", MASS, above=0)
    c: SpecificHeat = quantity("specific heat of that mass", SPECIFIC_HEAT, above=0)
    d_lim: Temperature = quantity("temperature rise allowed", TEMPERATURE, above=0)
    t_lim: Time = quantity("time it must stop in", TIME, above=0)
    S_required: Ratio = quantity("required margin on holding", RATIO, above=0)
    S_p_required: Ratio = quantity("required margin on pressure, heat and time", RATIO, above=0)


@dataclass(frozen=True, slots=True)
class BrakeRating:
    """Torque either way, time and heat of a stop, and the checks."""

    T_1: Torque
    T_2: Torque
    t_s: Time
    E_s: Energy
    checks: tuple[Check, ...]


@formula("T_a", "size of the torque to be held", STATICS)
def size(T_h: Torque) -> Torque:
    """Whichever way it turns."""
    return np.abs(T_h)


@formula("omega_b", "turning speed when it is put on", KINEMATICS)
def turning(omega: Speed) -> Speed:
    """Whichever way it turns."""
    return np.abs(omega)


def rated(c: BrakeInputs, T_1: Any, T_2: Any, p: Any, v: Any) -> BrakeRating:
    """All checks of one brake from its torques either way, its pressure and its rubbing speed."""
    who, what = c.origins["S_required"], c.origins["S_p_required"]
    T_low = named("T_hold", friction.earliest(brakes.that_way(c.T_h, T_1, T_2), c.s), "torque it surely holds that way")
    T_a = size(c.T_h)
    S_h = named("S_h", margin(T_low, T_a), "margin on holding")
    q = friction.rubbing_power(c.mu, p, v)
    t_s, E_s, stops = _stop(c, T_1, T_2)
    remark_if(True, CAUTION, DANGER)
    return BrakeRating(T_1, T_2, t_s, E_s, (
        Check("holding torque", TORQUE, T_a, T_low, S_h, c.S_required, HOLDING, who,
              "what a brake holds, oil and wear take away: have a second holder under a weight"),
        Check("lining pressure", STRESS, p, c.p_lim, named("S_p", margin(c.p_lim, p), "margin on lining pressure"),
              c.S_p_required, LIMIT, what),
        Check("rubbing power", PRESSURE_VELOCITY, q, c.q_lim,
              named("S_q", margin(c.q_lim, q), "margin on rubbing power"), c.S_p_required, LIMIT, what,
              "at the first moment of a stop"),
        *stops,
    ))


def _stop(c: BrakeInputs, T_1: Any, T_2: Any) -> tuple[Any, Any, tuple[Check, ...]]:
    """The least torque stops latest and heats most."""
    what = c.origins["S_p_required"]
    T_b = named("T_stop", friction.earliest(brakes.running_way(c.omega, T_1, T_2), c.s), "torque it surely stops with")
    omega = turning(c.omega)
    t_s = stopping.slip_time(c.J, omega, stopping.net_torque(T_b, c.T_w))
    E_s = stopping.slip_heat(T_b, omega, t_s)
    rise = friction.temperature_rise(E_s, c.m, c.c)
    E_r = named("E_r", turning_energy(c.J, c.omega), "energy of what the brake stops")
    q_a = stopping.reached(E_r, c.E_a)
    return t_s, E_s, (
        Check("stopping time", TIME, t_s, c.t_lim, named("S_t", margin(c.t_lim, t_s), "margin on the time"),
              c.S_p_required, stopping.STOPPING, what),
        Check("heat of a stop", TEMPERATURE, rise, c.d_lim, named("S_d", margin(c.d_lim, rise), "margin on the heat"),
              c.S_p_required, stopping.STOPPING, what, "one stop, no heat given off; drum and lining burn skin"),
        Check("reach", ENERGY, c.E_a, E_r, q_a, c.S_p_required, REACH, what,
              "below one, something runs on behind a one-way hub when this brake has stopped the rest"),
    )
