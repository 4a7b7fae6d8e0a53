"""A rolling bearing over every state of its life together, whatever its kind.

Each state uses up its share of the life it would have alone; the shares are summed outside and held here
against the life that the wanted reliability leaves.
"""

from __future__ import annotations

from dataclasses import dataclass

from layshaft.mechanics.margin import margin
from layshaft.mechanics.rolling_life import DUTY, REQUIRED_LIFE, mean_load, reliability_factor
from layshaft.trace.checks import Check
from layshaft.trace.formula import group, named
from layshaft.trace.inputs import Inputs, quantity
from layshaft.trace.units import COUNT, FORCE, RATIO, Count, Force, Ratio


@dataclass(frozen=True, kw_only=True)
class DutyInputs(Inputs):
    """One bearing over every state of its life together."""

    u: Ratio = quantity("share of the rating life used up, all states of the duty together", RATIO, at_least=0)
    N_L: Count = quantity("turns wanted over the duty", COUNT, at_least=0)
    C: Force = quantity("dynamic load rating", FORCE, above=0)
    p: Ratio = quantity("life exponent, 3 for balls and 10/3 for rollers", RATIO, above=0)
    R: Ratio = quantity("share of bearings that must reach it", RATIO, above=0, at_most=1)
    S_required: Ratio = quantity("required margin on life", RATIO, above=0)


@dataclass(frozen=True, slots=True)
class DutyRating:
    """Mean load and share of life of one bearing over its duty."""

    P_m: Force
    a_1: Ratio
    checks: tuple[Check, ...]


def rate(b: DutyInputs) -> DutyRating:
    """Rate one bearing over its duty, or many at once when the inputs are arrays."""
    with group("Rolling bearing over its duty"):
        b = b.record()
        P_m = mean_load(b.C, b.u, b.N_L, b.p)
        a_1 = reliability_factor(b.R)
        S_u = named("S_u", margin(a_1, b.u), "margin on life over the duty")
    return DutyRating(P_m, a_1, (
        Check("life over the duty", RATIO, b.u, a_1, S_u, b.S_required, DUTY, REQUIRED_LIFE,
              "Share of the life at 90 % used up, against the share that the wanted reliability allows."),
    ))
