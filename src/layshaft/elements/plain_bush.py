"""Plain bush that rubs: pressure, speed, their product, wear, friction, and a slope that loads one edge.

Rated as a bearing without a full film of oil, which every slow bush is. Where a ball bearing creeps or
rocks a bush is at home: pressure and wear are the right questions there. Heat is asked by pressure
times speed alone; a bush in still air beside a fire or in the sun wants more.
"""

from __future__ import annotations

from dataclasses import dataclass

from layshaft.listings.tables import table
from layshaft.mechanics.margin import margin
from layshaft.trace.checks import Check
from layshaft.trace.formula import formula, group, named
from layshaft.trace.inputs import Inputs, quantity
from layshaft.trace.source import KINEMATICS, STATICS, Source
from layshaft.trace.units import (
    FORCE,
    LENGTH,
    PRESSURE_VELOCITY,
    RATIO,
    SLOPE,
    SPEED,
    STRESS,
    TIME,
    VELOCITY,
    WEAR_RATE,
    Force,
    Length,
    PressureVelocity,
    Ratio,
    Slope,
    Speed,
    Stress,
    Time,
    Torque,
    Velocity,
    WearRate,
)

PROJECTED = Source("Machine Design (T. H. Wentzell)", "pressure on the projected area, ex. 19.1, p. 417", "second text")
HEATING = Source("Machine Design (T. H. Wentzell)", "pressure times speed, ex. 19.1, p. 417", "second text")
WEAR = Source("Machine Design (T. H. Wentzell)", "wear by pressure times speed, ex. 19.2, p. 421", "second text")
EDGE = Source("geometry of a tilted journal", "a slope over the length takes up the clearance", "derived")
LIMIT = Source("required margin of a bush", "the listing is the requirement", "common practice")
MILLI = 1e-3


@dataclass(frozen=True, slots=True)
class BushMaterial:
    """Limits of one material of the shipped list, SI; typical, not a maker's."""

    p_lim: float
    v_lim: float
    pv_lim: float
    k_w: float
    mu: float
    mu_rest: float
    warmest: float
    source: Source
    row_content: str


def material(name: str) -> BushMaterial | None:
    """A material of the shipped list by its name; None if not listed."""
    row = table("bush_materials").get(name)
    if row is None:
        return None
    return BushMaterial(
        row.number("p_MPa", 1e6), row.number("v_m_s"), row.number("pv_MPa_m_s", 1e6),
        row.number("wear_1e_6_mm3_per_N_m", 1e-15), row.number("mu"), row.number("mu_rest"),
        row.number("warmest_degC"), row.source, row.content,
    )


@dataclass(frozen=True, kw_only=True)
class BushInputs(Inputs):
    """One bush of one shaft in one case."""

    F: Force = quantity("radial load", FORCE, at_least=0)
    d: Length = quantity("diameter of the shaft in the bush", LENGTH, above=0)
    b: Length = quantity("length of the bush", LENGTH, above=0)
    omega: Speed = quantity("turning speed", SPEED, at_least=0)
    t_w: Time = quantity("running time wanted", TIME, at_least=0)
    theta: Slope = quantity("slope of the shaft in the bush", SLOPE, at_least=0)
    c_d: Length = quantity("clearance, bore less shaft", LENGTH, above=0)
    mu: Ratio = quantity("coefficient of friction when running", RATIO, at_least=0)
    mu_rest: Ratio = quantity("coefficient of friction when breaking away", RATIO, at_least=0)
    p_lim: Stress = quantity("largest pressure on the projected area", STRESS, above=0)
    v_lim: Velocity = quantity("largest rubbing speed", VELOCITY, above=0)
    pv_lim: PressureVelocity = quantity("largest pressure times speed", PRESSURE_VELOCITY, above=0)
    k_w: WearRate = quantity("volume worn off for each newton and metre", WEAR_RATE, above=0)
    h_lim: Length = quantity("wear that may be worn off", LENGTH, above=0)
    S_required: Ratio = quantity("required margin", RATIO, above=0)


@dataclass(frozen=True, slots=True)
class BushRating:
    """Pressure, speed, wear and friction of one bush."""

    p: Stress
    v: Velocity
    h: Length
    M_f: Torque
    M_rest: Torque
    checks: tuple[Check, ...]


@formula("p", "pressure on the projected area", PROJECTED)
def projected_pressure(F: Force, d: Length, b: Length) -> Stress:
    """Load over diameter times length; the true peak is about a quarter higher, and the limits are for this one."""
    return F / (d * b)


@formula("v", "rubbing speed", KINEMATICS)
def rubbing_speed(omega: Speed, d: Length) -> Velocity:
    """Speed of the shaft's surface."""
    return omega * d / 2


@formula("pv", "pressure times speed", HEATING)
def pressure_velocity(p: Stress, v: Velocity) -> PressureVelocity:
    """What rubs is heated by this product times the friction."""
    return p * v


@formula("h", "depth worn off over the life wanted", WEAR)
def wear_depth(k_w: WearRate, pv: PressureVelocity, t_w: Time) -> Length:
    """Wear grows with load and with way; the shaft sinks by as much."""
    return k_w * pv * t_w


@formula("M_f", "friction torque when running", STATICS)
def friction_torque(mu: Ratio, F: Force, d: Length) -> Torque:
    """Friction at the surface of the shaft."""
    return mu * F * d / 2


@formula("h_e", "clearance taken up by the slope", EDGE)
def edge_shift(theta: Slope, b: Length) -> Length:
    """How far one end of the bush stands off the shaft when the other touches."""
    return theta * b


def rate(b: BushInputs) -> BushRating:
    """Rate one bush, or many at once when the inputs are arrays."""
    with group("Plain bush"):
        b = b.record()
        p = projected_pressure(b.F, b.d, b.b)
        S_p = named("S_p", margin(b.p_lim, p), "margin on pressure")
        v = rubbing_speed(b.omega, b.d)
        S_v = named("S_v", margin(b.v_lim, v), "margin on speed")
        pv = pressure_velocity(p, v)
        S_pv = named("S_pv", margin(b.pv_lim, pv), "margin on pressure times speed")
        h = wear_depth(b.k_w, pv, b.t_w)
        S_h = named("S_h", margin(b.h_lim, h), "margin on wear")
        h_e = edge_shift(b.theta, b.b)
        S_e = named("S_e", margin(b.c_d, h_e), "margin on edge load")
        M_f = friction_torque(b.mu, b.F, b.d)
        M_rest = named("M_rest", friction_torque(b.mu_rest, b.F, b.d), "friction torque when breaking away")
    return BushRating(p, v, h, M_f, M_rest, (
        Check("bush pressure", STRESS, p, b.p_lim, S_p, b.S_required, PROJECTED, LIMIT),
        Check("rubbing speed", VELOCITY, v, b.v_lim, S_v, b.S_required, KINEMATICS, LIMIT),
        Check("pressure times speed", PRESSURE_VELOCITY, pv, b.pv_lim, S_pv, b.S_required, HEATING, LIMIT),
        Check("wear of the bush", LENGTH, h, b.h_lim, S_h, b.S_required, WEAR, LIMIT),
        Check("edge load", LENGTH, h_e, b.c_d, S_e, b.S_required, EDGE, LIMIT),
    ))
