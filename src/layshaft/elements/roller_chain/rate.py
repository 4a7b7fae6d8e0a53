"""Rate one roller chain in one case, or many at once."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any, NamedTuple

import numpy as np

from layshaft.elements.roller_chain import geometry as g
from layshaft.elements.roller_chain import strength as s
from layshaft.elements.roller_chain import wear as w
from layshaft.elements.roller_chain.inputs import ChainInputs
from layshaft.elements.roller_chain.sizes import oil_limits, practice
from layshaft.listings.tables import table
from layshaft.mechanics.margin import margin
from layshaft.trace.checks import Check
from layshaft.trace.formula import formula, group, looked_up, named, plain, remark_if, total
from layshaft.trace.source import STATICS, Source
from layshaft.trace.units import (
    ANGLE,
    COUNT,
    DEGREE,
    FORCE,
    LENGTH,
    POWER,
    RATIO,
    STRESS,
    TIME,
    VELOCITY,
    Angle,
    Count,
    Dimension,
    Force,
    Length,
    Ratio,
    Stiffness,
    Velocity,
)

ADVICE = Source("chain layout", "design textbooks and makers' guides", "common practice")
OWN_LIMIT = Source("the method's own limit", "nothing is added to it here", "common practice")
NO_OFFSET = "a cranked link is the weakest of the chain: never in one that holds up a weight; add or take out one link"
FITS = ("centre adjustment needed until the chain is worn out, against what the axes and a tensioner offer; below 1 "
        "the chain must be changed sooner")
ESTIMATE = ("hours until the chain is worn out or no longer fits: an estimate for a clean chain that is oiled as its "
            "speed asks; measure its length, and change it and its worn sprockets together")
DANGER = Source("work under hanging loads", "local codes and licensed practice decide", "common practice")


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
        n_o = s.offset_links(c.X, c.offset)
        pressure, p_r, p_zul = _pressure(c, y, F_w)
        plates, rollers, H_p = _capacity(c)
        wear, L_e, a_e, life = _wear(c, y, p_r, w.chart_pressure(H_p, y.v, c.A, p_zul, c.omega_1))
        checks = (*_strength(c, F, F_w, n_o), pressure, plates, rollers, *_duty(c, y, F, n_o), wear, life,
                  _wrap(c, y), _jump(c, y, F, F_low))
        _remarks(c, y)
        return ChainRating(F_t, F, F_low, F_top, y.v, y.delta_v, y.beta, y.theta_1, y.theta_2, y.K, y.l,
                           g.chain_length(c.X, c.p), L_e, a_e, g.strand_stiffness(c.F_u, y.l), checks)


def _layout(c: ChainInputs) -> _Layout:
    v = g.chain_speed(c.p, c.z_1, c.omega_1)
    d_1 = named("d_1", g.pitch_diameter(c.p, c.z_1), "pitch diameter, small sprocket")
    d_2 = named("d_2", g.pitch_diameter(c.p, c.z_2), "pitch diameter, large sprocket")
    beta = g.lean(d_1, d_2, c.a)
    theta_1 = g.wrap_with_idlers(named("theta_0", g.wrap_small(beta), "wrap, small sprocket, without idlers"), c.gamma)
    K = named("K", g.engaged_teeth(c.z_1, theta_1), "engaged teeth, small sprocket")
    return _Layout(v, g.chordal_variation(c.z_1), d_1, beta, theta_1, g.wrap_large(beta), K,
                   g.free_span(c.a, beta))


def _strength(c: ChainInputs, F: Any, F_w: Any, n_o: Any) -> tuple[Check, Check]:
    F_v = s.weakest_link(c.F_u, _practice("u_o", "strength of an offset link over that of the chain", RATIO,
                                          "offset link strength"), n_o)
    S_B = named("S_B", margin(F_v, F), "static safety")
    F_D = s.dynamic_pull(F_w, c.f_1)
    S_D = named("S_D", margin(F_v, F_D), "dynamic safety")
    remark_if(c.hoisting, "This chain holds up a weight. Keep people from under it, give the weight a second "
              "holder that works when the chain has parted, and have the lifting checked under local codes "
              "by someone licensed for it.", DANGER)
    return (
        Check("static strength", FORCE, F, F_v, S_B, c.S_B_required, s.STRENGTH, c.origins["S_B_required"]),
        Check("dynamic strength", FORCE, F_D, F_v, S_D, c.S_D_required, s.STRENGTH,
              c.origins["S_D_required"], "asked of cases that run on and on"),
    )


def _pressure(c: ChainInputs, y: _Layout, F_w: Any) -> tuple[Check, Any, Any]:
    p_r = s.joint_pressure(F_w, c.A)
    p_0 = _practice("p_0", "joint pressure for a long life, slow drive", STRESS, "joint pressure", 1e6)
    v_0 = _practice("v_0", "chain speed up to which it holds", VELOCITY, "joint pressure speed")
    z_0 = _practice("z_0", "least teeth for which it holds", COUNT, "joint pressure teeth")
    p_zul = s.permissible_joint_pressure(p_0, y.v, v_0, c.z_1, z_0)
    S_p = named("S_p", margin(p_zul, p_r), "margin on joint pressure")
    return Check("joint pressure", STRESS, p_r, p_zul, S_p, c.S_required, s.PRESSURE, OWN_LIMIT,
                 "a value for long life; a chain that is inspected and replaced may go beyond it"), p_r, p_zul


def _capacity(c: ChainInputs) -> tuple[Check, Check, Any]:
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
    plates = named("H_p", s.strands_power(s.plate_power(k_H, c.z_1, c.omega_1, c.p), K_2),
                   "capacity of the link plates, all strands")
    rollers = s.strands_power(s.roller_power(K_r, c.z_1, c.omega_1, c.p, c.X, c.t_life), K_2)
    S_1 = named("S_H1", margin(plates, H_D), "margin on plate capacity")
    S_2 = named("S_H2", margin(rollers, H_D), "margin on roller capacity")
    note = "a second opinion on chains that run; slow ones are judged by static strength and joint pressure"
    return (
        Check("plate capacity", POWER, H_D, plates, S_1, c.S_required, s.CAPACITY, OWN_LIMIT, note),
        Check("roller capacity", POWER, H_D, rollers, S_2, c.S_required, s.CAPACITY, OWN_LIMIT, note),
        plates,
    )


def _duty(c: ChainInputs, y: _Layout, F: Any, n_o: Any) -> tuple[Check, Check]:
    F_h = hoisting_limit(c.F_u, c.press_fit, y.v, c.hoisting)
    n_zul = offset_allowed()
    return (
        Check("slow hoisting duty", FORCE, F, F_h, named("S_h", margin(F_h, F), "margin on hoisting duty"),
              c.S_required, s.HOISTING, OWN_LIMIT, "asked of chains in the load path of a hanging weight"),
        Check("no offset link", COUNT, n_o, n_zul, named("S_o", s.at_most(n_o, n_zul), "margin against offset links"),
              c.S_required, s.HOISTING, OWN_LIMIT, NO_OFFSET),
    )


def hoisting_limit(F_u: Any, press_fit: Any, v: Any, hoisting: Any) -> Any:
    """Permitted pull of a chain that holds up a weight; for the rooms of drive chains and of load chains."""
    u_zul = s.hoisting_share(
        _practice("u_press", "share of the breaking load, press-fit links", RATIO, "working pull press fit"),
        _practice("u_slip", "share of the breaking load, slip-fit link", RATIO, "working pull slip fit"),
        press_fit, v,
        _practice("v_h", "largest chain speed with a hanging load", VELOCITY, "hanging speed", 1 / 60),
        hoisting,
    )
    return s.hoisting_pull(u_zul, F_u)


def offset_allowed() -> Any:
    """Offset links a chain may have that holds up a weight: none."""
    return _practice("n_zul", "offset links allowed where a weight hangs", COUNT, "offset links when hoisting")


def _wear(c: ChainInputs, y: _Layout, p_r: Any, p_15: Any) -> tuple[Check, Any, Any, Check]:
    e_zul = g.permitted_elongation(
        c.z_2, c.fixed,
        _practice("e_max", "permitted elongation, adjustable drive", RATIO, "wear elongation", 0.01),
        _practice("e_z", "permitted elongation times teeth", RATIO, "wear elongation times teeth", 0.01),
        _practice("e_fix", "permitted elongation, fixed centres", RATIO, "wear elongation fixed", 0.01),
    )
    L_e = g.elongation(e_zul, c.X, c.p)
    a_e = g.take_up_needed(L_e, y.beta)
    a_o = w.take_up_offered(c.take_up, c.L_t, c.L_0, y.beta)
    S_e = named("S_e", margin(a_o, a_e), "margin on take-up")
    t_w = w.wear_life(_life(c, y, p_r, p_15), w.elongation_used(e_zul, a_o, y.beta, c.X, c.p, c.fixed))
    return (
        Check("wear elongation", LENGTH, a_e, a_o, S_e, c.S_required, g.WEAR, OWN_LIMIT, FITS), L_e, a_e,
        Check("wear life", TIME, c.t_life, t_w, named("S_t", margin(t_w, c.t_life), "margin on wear life"),
              c.S_required, w.LINEAR, OWN_LIMIT, ESTIMATE),
    )


def _life(c: ChainInputs, y: _Layout, p_r: Any, p_15: Any) -> Any:
    """Hours to 3 %, with the oil the speed asks for."""
    lub_min = w.lubrication_class(
        y.v, _practice("v_1", "chain speed up to which oiling by hand does", VELOCITY, "oiling by hand"),
        _oil("v_2", "chain speed up to which drip feed does", c.p, 0),
        _oil("v_3", "chain speed up to which a bath or disc does", c.p, 1))
    remark_if(w.by_hand(lub_min), "Oiling by hand does at this chain speed: brush or can on the slack strand, into the "
              "gaps between the plates, about every eight hours of running and before the joints are dry.", w.OIL)
    remark_if(w.by_drip(lub_min), "This chain speed asks for drip feed: 5 to 20 drops a minute for each strand, on the "
              "edges of the plates.", w.OIL)
    remark_if(w.by_bath(lub_min), "This chain speed asks for an oil bath or a slinger disc in a closed case; only the "
              "lowest links dip, by 6 to 12 mm.", w.OIL)
    remark_if(w.by_stream(lub_min), "This chain speed asks for a stream of oil from a pump, inside the loop and onto "
              "the slack strand, in a closed case.", w.OIL)
    psi_j = w.turning_rate(w.joint_turning(c.z_1, c.z_2, c.s_i), y.v, c.X, c.p)
    return w.life_to_three_percent(p_15, p_r, w.chart_rate(c.z_1, y.v, c.p), psi_j, c.lub, lub_min)


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
    remark_if(several_strands(c.strands), "Strands of one chain share their pins and one connecting link: they carry "
              "more, but none of them is a second chain that holds when the first has parted.", ADVICE)
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
                     source=table("chain_strand_factors").source, of={"strands": strands})


def _oil(symbol: str, meaning: str, p: Any, column: int) -> Any:
    """Limit of speed from the row of the pitch, or of the next larger one."""
    pitches, limits, sources = oil_limits()
    row = np.searchsorted(pitches, plain(p))
    source = sources[int(row)] if np.ndim(row) == 0 else table("chain_lubrication").source
    return looked_up(symbol, meaning, VELOCITY, limits[column][row][()], table="chain_lubrication",
                     row=source.place or "the pitch", source=source, of={"p": p})


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


@formula("many", "more than one strand", ADVICE)
def several_strands(strands: Count) -> Count:
    """1 where the remark applies, else 0."""
    return np.where(strands > 1, 1.0, 0.0)
