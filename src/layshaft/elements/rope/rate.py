"""Rates one rope with its drum and pulleys, or many at once."""

from __future__ import annotations

from dataclasses import dataclass

from layshaft.elements.rope.drum import (
    anchor_force,
    drum_width,
    fleet_angle,
    turns_on_drum,
    wall_stress,
    working_turns,
)
from layshaft.elements.rope.sizes import PRESSURES
from layshaft.elements.rope.strength import (
    BENDING,
    ENDS,
    RATIO_RULE,
    bending_load,
    bending_ratio,
    bending_stress,
    end_strength,
    groove_pressure,
)
from layshaft.mechanics.margin import margin
from layshaft.trace.checks import Check
from layshaft.trace.formula import group, named, remark_if, total
from layshaft.trace.inputs import Inputs, quantity
from layshaft.trace.source import MECHANICS_OF_MATERIALS, Source
from layshaft.trace.units import (
    ANGLE,
    AREA,
    COUNT,
    DEGREE,
    FORCE,
    LENGTH,
    RATIO,
    STRESS,
    Angle,
    Area,
    Count,
    Force,
    Length,
    Ratio,
    Stress,
)

DEAD_WRAPS = Source("dead wraps that stay on the drum", "two, three over people", "common practice")
ANCHOR = Source("capstan friction of the dead wraps", "rest of the pull on the anchor", "derived")
WIDTH = Source("turns in one layer beside the drum's width", obtained="derived")
FLEET = Source("two rope makers' guides to winding", "1.5 deg on a plain drum, 2 deg on a grooved one", "second text")
DISCARD = Source("ISO 4309", "care, inspection and discard of wire ropes", "from memory")
INSPECT = (
    "Look over the whole rope before every show: broken wires, kinks, corrosion, flattened places, ends and anchor. "
    "Put it away for good when the standard for its discard says so, and after any arrest or jump off its wheel."
)
CAUTION = (
    "A rope that parts lets the weight fall and whips back. Nobody under the weight or in line with the rope; "
    "local codes and someone licensed for lifting have the last word."
)


@dataclass(frozen=True, kw_only=True)
class RopeInputs(Inputs):
    """A rope on a drum, over pulleys or not."""

    F: Force = quantity("largest pull in the rope", FORCE, at_least=0)
    F_u: Force = quantity("breaking force of the rope", FORCE, above=0)
    d: Length = quantity("diameter of the rope", LENGTH, above=0)
    D: Length = quantity("diameter of the drum, to the rope's centre", LENGTH, above=0)
    D_s: Length = quantity("diameter of the smallest pulley, to the rope's centre", LENGTH, above=0)
    h_1: Ratio = quantity("least ratio asked of the drum", RATIO, above=0)
    h_2: Ratio = quantity("least ratio asked of the pulleys", RATIO, above=0)
    d_w: Length = quantity("diameter of the outer wires", LENGTH, above=0)
    A: Area = quantity("metal area of the rope", AREA, above=0)
    E_r: Stress = quantity("modulus of elasticity of the rope", STRESS, above=0)
    eta_e: Ratio = quantity("strength of the end over that of the rope", RATIO, above=0, at_most=1)
    p_zul: Stress = quantity("highest pressure on the surface of the drum", STRESS, above=0)
    n_d: Count = quantity("dead wraps", COUNT, at_least=0)
    n_least: Count = quantity("dead wraps asked for", COUNT, above=0)
    mu: Ratio = quantity("friction of the rope on the drum, low", RATIO, above=0)
    F_hold: Force = quantity("pull the anchor on the drum holds", FORCE, above=0)
    H: Length = quantity("drop of the weight", LENGTH, at_least=0)
    k: Count = quantity("falls", COUNT, at_least=1)
    s: Length = quantity("pitch of the turns", LENGTH, above=0)
    b: Length = quantity("width of the drum between its flanges", LENGTH, above=0)
    a: Length = quantity("from the drum to the first pulley", LENGTH, above=0)
    alpha_zul: Angle = quantity("greatest fleet angle", ANGLE, above=0, at_most=45 * DEGREE)
    t: Length = quantity("thickness of the drum's wall under the rope", LENGTH, above=0)
    R_e: Stress = quantity("yield strength of the drum", STRESS, above=0)
    S_required: Ratio = quantity("required margin", RATIO, above=0)


@dataclass(frozen=True, slots=True)
class RopeRating:
    """Turns, pull on the anchor, and the checks of rope and drum."""

    Z: Count
    F_A: Force
    checks: tuple[Check, ...]


def rate(c: RopeInputs) -> RopeRating:
    """Rate one rope, or many at once when the inputs are arrays."""
    with group("Rope"):
        c = c.record()
        remark_if(True, INSPECT, DISCARD)
        return _drum(c, _rope(c))


def _rope(c: RopeInputs) -> tuple[Check, ...]:
    drum = named("D_1", bending_ratio(c.D, c.d), "diameter of the drum over that of the rope")
    pulley = named("D_2", bending_ratio(c.D_s, c.d), "diameter of the pulley over that of the rope")
    S_1 = named("S_1", margin(drum, c.h_1), "share of the least ratio, drum")
    S_2 = named("S_2", margin(pulley, c.h_2), "share of the least ratio, pulley")
    F_b = bending_load(bending_stress(c.E_r, c.d_w, c.D), c.A)
    F_eff = total("F_eff", "pull and bending together", FORCE, {"pull": c.F, "bending": F_b}, BENDING)
    S_b = named("S_B", margin(c.F_u, F_eff), "factor on breaking force, bending counted")
    F_end = end_strength(c.F_u, c.eta_e)
    S_e = named("S_e", margin(F_end, c.F), "factor on the strength of the end")
    p = groove_pressure(c.F, c.d, c.D)
    S_p = named("S_p", margin(c.p_zul, p), "margin on pressure")
    return (
        Check("drum bending ratio", RATIO, c.h_1, drum, S_1, c.S_required, RATIO_RULE, c.origins["S_required"]),
        Check("pulley bending ratio", RATIO, c.h_2, pulley, S_2, c.S_required, RATIO_RULE, c.origins["S_required"]),
        Check("rope strength with bending", FORCE, F_eff, c.F_u, S_b, c.S_required, BENDING,
              c.origins["S_required"], CAUTION),
        Check("termination strength", FORCE, c.F, F_end, S_e, c.S_required, ENDS, c.origins["S_required"], CAUTION),
        Check("rope pressure", STRESS, p, c.p_zul, S_p, c.S_required, PRESSURES, c.origins["S_required"]),
    )


def _drum(c: RopeInputs, rope: tuple[Check, ...]) -> RopeRating:
    S_d = named("S_d", margin(c.n_d, c.n_least), "dead wraps over those asked for")
    F_A = anchor_force(c.F, c.mu, c.n_d)
    S_A = named("S_A", margin(c.F_hold, F_A), "margin of the anchor")
    z_w = working_turns(c.H, c.k, c.D)
    Z = turns_on_drum(z_w, c.n_d)
    needed = drum_width(Z, c.s)
    S_w = named("S_w", margin(c.b, needed), "width over the width needed")
    alpha = fleet_angle(z_w, c.s, c.a)
    S_f = named("S_f", margin(c.alpha_zul, alpha), "share of the greatest fleet angle")
    sigma = wall_stress(c.F, c.s, c.t)
    S_t = named("S_t", margin(c.R_e, sigma), "margin on yield of the wall")
    return RopeRating(Z, F_A, (
        *rope,
        Check("dead wraps", COUNT, c.n_least, c.n_d, S_d, c.S_required, DEAD_WRAPS, c.origins["S_required"], CAUTION),
        Check("rope anchor", FORCE, F_A, c.F_hold, S_A, c.S_required, ANCHOR, c.origins["S_required"], CAUTION),
        Check("drum width", LENGTH, needed, c.b, S_w, c.S_required, WIDTH, c.origins["S_required"]),
        Check("fleet angle", ANGLE, alpha, c.alpha_zul, S_f, c.S_required, FLEET, c.origins["S_required"]),
        Check("drum wall", STRESS, sigma, c.R_e, S_t, c.S_required, MECHANICS_OF_MATERIALS,
              c.origins["S_required"], CAUTION),
    ))
