"""Rate one roller chain in one case, or many at once."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any, NamedTuple

import numpy as np

from layshaft.elements.roller_chain import geometry as g
from layshaft.elements.roller_chain import strength as s
from layshaft.elements.roller_chain.sizes import practice
from layshaft.listings.tables import table
from layshaft.mechanics.margin import margin
from layshaft.trace.checks import Check
from layshaft.trace.formula import formula, group, looked_up, named, plain, remark_if, total
from layshaft.trace.inputs import Inputs, quantity
from layshaft.trace.source import STATICS, Source
from layshaft.trace.units import (
    ACCELERATION,
    ANGLE,
    AREA,
    COUNT,
    DEGREE,
    FORCE,
    LENGTH,
    MASS_PER_LENGTH,
    POWER,
    RATIO,
    SPEED,
    STRESS,
    TIME,
    TORQUE,
    VELOCITY,
    Acceleration,
    Angle,
    Area,
    Count,
    Dimension,
    Force,
    Length,
    MassPerLength,
    Ratio,
    Speed,
    Stiffness,
    Time,
    Torque,
    Velocity,
)

ADVICE = Source("chain layout", "design textbooks and makers' guides", "common practice")
OWN_LIMIT = Source("the method's own limit", "nothing is added to it here", "common practice")
DANGER = Source("work under hanging loads", "local codes and licensed practice decide", "common practice")


@dataclass(frozen=True, kw_only=True)
class ChainInputs(Inputs):
    """One chain on two sprockets in one case. Index 1 is the small sprocket."""

    p: Length = quantity("chain pitch", LENGTH, above=0)
    z_1: Count = quantity("teeth, small sprocket", COUNT, at_least=6)
    z_2: Count = quantity("teeth, large sprocket", COUNT, at_least=6)
    strands: Count = quantity("strands of the chain", COUNT, at_least=1)
    omega_1: Speed = quantity("turning speed, small sprocket", SPEED, at_least=0)
    T_1: Torque = quantity("torque at the small sprocket", TORQUE, at_least=0)
    light: Count = quantity("1 for the light chain of half an inch (085, ASME 41), 0 for the standard series", COUNT,
                            at_least=0, at_most=1)
    F_u: Force = quantity("breaking load of the whole chain", FORCE, above=0)
    A: Area = quantity("bearing area of a joint, all strands", AREA, above=0)
    q: MassPerLength = quantity("mass per length of the whole chain", MASS_PER_LENGTH, above=0)
    g: Acceleration = quantity("acceleration of free fall", ACCELERATION, above=0)
    X: Count = quantity("links", COUNT, above=0)
    a: Length = quantity("centre distance", LENGTH, above=0)
    delta: Angle = quantity("angle of the line of centres to the level", ANGLE)
    s: Ratio = quantity("sag of the slack strand over its span", RATIO, above=0, at_most=0.25)
    F_2: Force = quantity("pull laid on the slack strand by a counterweight or tensioner", FORCE, at_least=0)
    f_1: Ratio = quantity("application factor", RATIO, at_least=1)
    S_B_required: Ratio = quantity("required static safety", RATIO, above=0)
    S_D_required: Ratio = quantity("required dynamic safety", RATIO, above=0)
    S_required: Ratio = quantity("required margin where the method has its own limit", RATIO, above=0)
    t_life: Time = quantity("running time wanted", TIME, above=0)
    running: Count = quantity("1 if the case runs on and on, 0 if once in a while", COUNT,
                              at_least=0, at_most=1)
    hoisting: Count = quantity("1 in the load path of a hanging weight, else 0", COUNT, at_least=0, at_most=1)
    press_fit: Count = quantity("1 if all links are press fit, 0 with a slip-fit or offset link", COUNT,
                                at_least=0, at_most=1)
    fixed: Count = quantity("1 for fixed centres or parallel chains, else 0", COUNT, at_least=0, at_most=1)
    take_up: Length = quantity("centre adjustment the drive offers", LENGTH, at_least=0)


@dataclass(frozen=True, slots=True)
class ChainRating:
    """Pulls, wrap, wear and the checks of one chain in one case."""

    F_t: Force
    F: Force
    F_low: Force
    F_top: Force
    v: Velocity
    delta_v: Ratio
    beta: Angle
    theta_1: Angle
    theta_2: Angle
    K: Count
    l: Length
    L: Length
    L_e: Length
    a_e: Length
    k: Stiffness
    checks: tuple[Check, ...]


class _Layout(NamedTuple):
    v: Any
    delta_v: Any
    d_1: Any
    beta: Any
    theta_1: Any
    theta_2: Any
    K: Any
    l: Any


def rate(c: ChainInputs) -> ChainRating:
    """Rate one chain drive, or many at once when the inputs are arrays.

    Checks that belong to running or hoisting rows only are unknown on the others.
    """
    with group("Roller chain"):
        c = c.record()
        y = _layout(c)
        F_t = s.pull_from_torque(c.T_1, y.d_1)
        F_low = g.slack_pull_low(c.q, c.g, y.l, c.s, c.delta)
        F_top = g.slack_pull_top(F_low, c.q, c.g, y.l, c.delta)
        F = total("F", "tight strand pull", FORCE, {
            "driving pull": F_t, "centrifugal pull": s.centrifugal_pull(c.q, y.v),
            "own weight and sag": F_top, "slack strand pull": c.F_2,
        }, STATICS)
        F_w = s.running_pull(F, c.running)
        wear, L_e, a_e = _wear(c, y)
        checks = (*_strength(c, F, F_w), _pressure(c, y, F_w), *_capacity(c), _duty(c, y, F), wear,
                  _wrap(c, y), _jump(c, y, F, F_low))
        _remarks(c, y)
        return ChainRating(F_t, F, F_low, F_top, y.v, y.delta_v, y.beta, y.theta_1, y.theta_2, y.K, y.l,
                           g.chain_length(c.X, c.p), L_e, a_e, g.strand_stiffness(c.F_u, y.l), checks)


def _layout(c: ChainInputs) -> _Layout:
    v = g.chain_speed(c.p, c.z_1, c.omega_1)
    d_1 = named("d_1", g.pitch_diameter(c.p, c.z_1), "pitch diameter, small sprocket")
    d_2 = named("d_2", g.pitch_diameter(c.p, c.z_2), "pitch diameter, large sprocket")
    beta = g.lean(d_1, d_2, c.a)
    theta_1 = g.wrap_small(beta)
    K = named("K", g.engaged_teeth(c.z_1, theta_1), "engaged teeth, small sprocket")
    return _Layout(v, g.chordal_variation(c.z_1), d_1, beta, theta_1, g.wrap_large(beta), K,
                   g.free_span(c.a, beta))


def _strength(c: ChainInputs, F: Any, F_w: Any) -> tuple[Check, Check]:
    S_B = named("S_B", margin(c.F_u, F), "static safety")
    F_D = s.dynamic_pull(F_w, c.f_1)
    S_D = named("S_D", margin(c.F_u, F_D), "dynamic safety")
    remark_if(c.hoisting, "This chain holds up a weight. Keep people from under it, give the weight a second "
              "holder that works when the chain has parted, and have the lifting checked under local codes "
              "by someone licensed for it.", DANGER)
    return (
        Check("static strength", FORCE, F, c.F_u, S_B, c.S_B_required, s.STRENGTH, c.origins["S_B_required"]),
        Check("dynamic strength", FORCE, F_D, c.F_u, S_D, c.S_D_required, s.STRENGTH,
              c.origins["S_D_required"], "asked of cases that run on and on"),
    )


def _pressure(c: ChainInputs, y: _Layout, F_w: Any) -> Check:
    p_r = s.joint_pressure(F_w, c.A)
    p_0 = _practice("p_0", "joint pressure for a long life, slow drive", STRESS, "joint pressure", 1e6)
    v_0 = _practice("v_0", "chain speed up to which it holds", VELOCITY, "joint pressure speed")
    z_0 = _practice("z_0", "least teeth for which it holds", COUNT, "joint pressure teeth")
    p_zul = s.permissible_joint_pressure(p_0, y.v, v_0, c.z_1, z_0)
    S_p = named("S_p", margin(p_zul, p_r), "margin on joint pressure")
    return Check("joint pressure", STRESS, p_r, p_zul, S_p, c.S_required, s.PRESSURE, OWN_LIMIT,
                 "a value for long life; a chain that is inspected and replaced may go beyond it")


def _capacity(c: ChainInputs) -> tuple[Check, Check]:
    H_D = s.design_power(c.T_1, c.omega_1, c.f_1, c.running)
    K_2 = _strand_factor(c.strands)
    k_H = named("k_H", s.by_series(
        _practice("k_std", "coefficient of the plates, standard series", RATIO, "plate capacity"),
        _practice("k_light", "coefficient of the plates, light chain", RATIO, "plate capacity light"), c.light,
    ), "coefficient of the plates")
    K_std = s.roller_coefficient(
        c.p, _practice("K_bush", "coefficient of rollerless chains", RATIO, "roller capacity bush"),
        _practice("K_roll", "coefficient of roller chains", RATIO, "roller capacity"),
    )
    K_r = named("K_r", s.by_series(
        K_std, _practice("K_light", "coefficient of the rollers, light chain", RATIO, "roller capacity light"), c.light,
    ), "coefficient of the rollers")
    plates = s.strands_power(s.plate_power(k_H, c.z_1, c.omega_1, c.p), K_2)
    rollers = s.strands_power(s.roller_power(K_r, c.z_1, c.omega_1, c.p, c.X, c.t_life), K_2)
    S_1 = named("S_H1", margin(plates, H_D), "margin on plate capacity")
    S_2 = named("S_H2", margin(rollers, H_D), "margin on roller capacity")
    note = "second opinion for running cases; below 10 rev/min the formula has no bottom"
    return (
        Check("plate capacity", POWER, H_D, plates, S_1, c.S_required, s.CAPACITY, OWN_LIMIT, note),
        Check("roller capacity", POWER, H_D, rollers, S_2, c.S_required, s.CAPACITY, OWN_LIMIT, note),
    )


def _duty(c: ChainInputs, y: _Layout, F: Any) -> Check:
    u_zul = s.hoisting_share(
        _practice("u_press", "share of the breaking load, press-fit links", RATIO, "working pull press fit"),
        _practice("u_slip", "share of the breaking load, slip-fit link", RATIO, "working pull slip fit"),
        c.press_fit, y.v,
        _practice("v_h", "largest chain speed with a hanging load", VELOCITY, "hanging speed", 1 / 60),
        c.hoisting,
    )
    F_h = s.hoisting_pull(u_zul, c.F_u)
    return Check("slow hoisting duty", FORCE, F, F_h, named("S_h", margin(F_h, F), "margin on hoisting duty"),
                 c.S_required, s.HOISTING, OWN_LIMIT, "asked of chains in the load path of a hanging weight")


def _wear(c: ChainInputs, y: _Layout) -> tuple[Check, Any, Any]:
    e_zul = g.permitted_elongation(
        c.z_2, c.fixed,
        _practice("e_max", "permitted elongation, adjustable drive", RATIO, "wear elongation", 0.01),
        _practice("e_z", "permitted elongation times teeth", RATIO, "wear elongation times teeth", 0.01),
        _practice("e_fix", "permitted elongation, fixed centres", RATIO, "wear elongation fixed", 0.01),
    )
    L_e = g.elongation(e_zul, c.X, c.p)
    a_e = g.take_up_needed(L_e, y.beta)
    S_e = named("S_e", margin(c.take_up, a_e), "margin on take-up")
    note = ("centre adjustment needed until the chain is worn out, against what the drive offers; an idler "
            "counts with the centre adjustment it replaces; below 1 the chain must be changed sooner")
    return (Check("wear elongation", LENGTH, a_e, c.take_up, S_e, c.S_required, g.WEAR, OWN_LIMIT, note),
            L_e, a_e)


def _wrap(c: ChainInputs, y: _Layout) -> Check:
    least = _practice("theta_min", "least wrap", ANGLE, "wrap", DEGREE)
    S_w = named("S_w", margin(y.theta_1, least), "margin on wrap")
    return Check("wrap", ANGLE, least, y.theta_1, S_w, c.S_required, ADVICE, OWN_LIMIT)


def _jump(c: ChainInputs, y: _Layout, F: Any, F_low: Any) -> Check:
    F_k = s.back_pull(F, s.tooth_angle(c.z_1), c.z_1, y.K, c.hoisting)
    held = total("F_s", "slack strand pull at the lower sprocket", FORCE,
                 {"own weight": F_low, "counterweight or tensioner": c.F_2}, STATICS)
    return Check("tooth jump", FORCE, F_k, held, named("S_k", margin(held, F_k), "margin against tooth jump"),
                 c.S_required, s.JUMP, OWN_LIMIT,
                 "asked of chains in the load path of a hanging weight; new chain and new teeth")


def _remarks(c: ChainInputs, y: _Layout) -> None:
    remark_if(few_teeth(c.z_1), "Fewer than 17 teeth on the small sprocket: the chain runs roughly and wears "
              "sooner. 13 are tolerable below about 30 rev/min.", ADVICE)
    remark_if(many_teeth(c.z_2), "More than 120 teeth on the large sprocket: a little wear makes the chain "
              "climb over the teeth.", ADVICE)
    remark_if(unusual_centres(c.a, c.p), "The centre distance is outside 30 to 50 pitches.", ADVICE)
    remark_if(odd_links(c.X), "An odd number of links needs a cranked link, which loses a fifth to a third "
              "of the strength; never put one in a hoisting chain.", ADVICE)
    remark_if(few_engaged(y.K), "Fewer than six teeth of the small sprocket are engaged.", ADVICE)


def _practice(symbol: str, meaning: str, dimension: Dimension, item: str, factor: float = 1.0) -> Any:
    row = practice(item)
    return looked_up(symbol, meaning, dimension, row.number("value", factor), table=row.table, row=item,
                     source=row.source)


def _strand_factor(strands: Any) -> Any:
    rows = table("chain_strand_factors").rows
    factors: Mapping[float, float] = {float(r.name): r.number("K_2") for r in rows}
    n = plain(strands)
    value = np.select([np.equal(n, k) for k in factors], list(factors.values()), np.nan)[()]
    row = "the number of strands" if np.ndim(n) or not np.isfinite(n) else f"{n:g} strands"
    return looked_up("K_2", "strand factor", RATIO, value, table="chain_strand_factors", row=row,
                     source=table("chain_strand_factors").source)


@formula("few_z_1", "fewer than 17 teeth", ADVICE)
def few_teeth(z_1: Count) -> Count:
    """1 where the remark applies, else 0."""
    return np.where(z_1 < 17, 1.0, 0.0)


@formula("many_z_2", "more than 120 teeth", ADVICE)
def many_teeth(z_2: Count) -> Count:
    """1 where the remark applies, else 0."""
    return np.where(z_2 > 120, 1.0, 0.0)


@formula("far", "centres outside 30 to 50 pitches", ADVICE)
def unusual_centres(a: Length, p: Length) -> Count:
    """1 where the remark applies, else 0."""
    return np.where((a < 30 * p) | (a > 50 * p), 1.0, 0.0)


@formula("odd", "odd number of links", ADVICE)
def odd_links(X: Count) -> Count:
    """1 where the remark applies, else 0."""
    return np.where(np.mod(X, 2) == 1, 1.0, 0.0)


@formula("few_K", "fewer than six engaged teeth", ADVICE)
def few_engaged(K: Count) -> Count:
    """1 where the remark applies, else 0."""
    return np.where(K < 6, 1.0, 0.0)
