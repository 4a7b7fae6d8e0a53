"""The chain a weight hangs on: working pull by connecting link, no offset link.

The strength of what a weight hangs on, at rest and when it is caught, is rated with the weight; here
is what chain makers ask on top where a roller chain lifts. Nobody stands under it, and local codes
and a licensed person decide.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from layshaft.elements.roller_chain.geometry import chain_speed
from layshaft.elements.roller_chain.rate import DANGER, NO_OFFSET, OWN_LIMIT, hoisting_limit, offset_allowed
from layshaft.elements.roller_chain.strength import HOISTING, at_most
from layshaft.mechanics.margin import margin
from layshaft.trace.checks import Check
from layshaft.trace.formula import formula, group, named, remark_if
from layshaft.trace.inputs import Inputs, quantity
from layshaft.trace.source import Source
from layshaft.trace.units import COUNT, FORCE, LENGTH, RATIO, SPEED, Count, Force, Length, Ratio, Speed, Velocity

LIFTING = Source("lifting of loads with chain, Directive 2006/42/EC, Annex I, 4.1.2.5 and 6.1.1", "working factors",
                 "from memory")


@formula("slip", "a slip-fit link where a weight hangs", HOISTING)
def slip_fit(press_fit: Count, hoisting: Count) -> Count:
    """1 where the remark applies, else 0."""
    return np.where((press_fit <= 0) & (hoisting > 0), 1.0, 0.0)


@dataclass(frozen=True, kw_only=True)
class HoistInputs(Inputs):
    """A chain that carries a weight, in one case."""

    p: Length = quantity("chain pitch", LENGTH, above=0)
    z: Count = quantity("teeth of its wheel", COUNT, at_least=6)
    omega: Speed = quantity("turning speed of the wheel", SPEED, at_least=0)
    F: Force = quantity("pull of the chain at the wheel", FORCE, at_least=0)
    F_u: Force = quantity("breaking load of the whole chain", FORCE, above=0)
    press_fit: Count = quantity("1 if all links are press fit, 0 with a slip-fit or offset link", COUNT,
                                at_least=0, at_most=1)
    n_o: Count = quantity("offset links", COUNT, at_least=0)
    hoisting: Count = quantity("1 in the load path of a hanging weight, else 0", COUNT, at_least=0, at_most=1)
    S_required: Ratio = quantity("required margin", RATIO, above=0)


@dataclass(frozen=True, slots=True)
class HoistRating:
    """Speed, permitted pull and checks of a load chain."""

    v: Velocity
    F_h: Force
    checks: tuple[Check, ...]


def rate(h: HoistInputs) -> HoistRating:
    """Rate one load chain, or many at once when the inputs are arrays."""
    with group("Load chain"):
        h = h.record()
        v = chain_speed(h.p, h.z, h.omega)
        F_h = hoisting_limit(h.F_u, h.press_fit, v, h.hoisting)
        n_zul = offset_allowed()
        remark_if(h.hoisting, "A weight hangs on this chain. Lifting rules ask at least a quarter of the breaking load "
                  "for lifting chain and twice that where people are lifted; over or beside people the usual factor is "
                  "ten. Nobody under it, a second holder, and inspection for stiff, bent or rusty links.", LIFTING)
        remark_if(slip_fit(h.press_fit, h.hoisting), "A weight hangs on a connecting link that fits loosely: makers "
                  "ask for press-fit (riveted) links where a load hangs, and never for a spring clip.", DANGER)
        S_o = named("S_o", at_most(h.n_o, n_zul), "margin against offset links")
        checks = (
            Check("slow hoisting duty", FORCE, h.F, F_h, named("S_h", margin(F_h, h.F), "margin on hoisting duty"),
                  h.S_required, HOISTING, OWN_LIMIT, "nobody under the load; local codes and a licensed person decide"),
            Check("no offset link", COUNT, h.n_o, n_zul, S_o, h.S_required, HOISTING, OWN_LIMIT, NO_OFFSET),
        )
    return HoistRating(v, F_h, checks)
