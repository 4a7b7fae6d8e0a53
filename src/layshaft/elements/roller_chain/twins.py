"""Two separate chains side by side on common shafts: how they share, and each of them alone.

Nothing evens out their pulls but their own stretch, so a chain that is a little shorter, or a
sprocket a little ahead, takes more than half. They are two holders only where each alone carries
everything; the shafts, and every key and hub they share, are there once. Several strands of one
chain are no such pair.
Twins do not make a hanging weight safe: they are inspected together, and a lost one must be seen.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from layshaft.mechanics.drives import parallel_strand_share
from layshaft.mechanics.margin import margin
from layshaft.trace.checks import Check
from layshaft.trace.formula import formula, group, named, remark_if
from layshaft.trace.inputs import Inputs, quantity
from layshaft.trace.source import Source
from layshaft.trace.units import (
    ANGLE,
    COUNT,
    FORCE,
    LENGTH,
    RATIO,
    STIFFNESS,
    Angle,
    Count,
    Force,
    Length,
    Ratio,
    Stiffness,
)

SHARING = Source("two springs side by side, one of them shorter", obtained="derived")
ALONE = Source("strength of what is left when one of two has gone", "redundancy of parallel chains",
               "common practice")
NOT_DOUBLED = ("Two chains double the chain and, where each has a seat of its own, its sprockets, keys and hubs. The "
               "two shafts are there once, and so are the keys and hubs of all else on them and a hub that both "
               "sprockets share: each of those must hold by itself.")


@formula("delta_L", "how much shorter the first tight strand is than its twin", SHARING)
def length_difference(u_l: Ratio, l: Length) -> Length:
    """The whole tolerance at once: one chain at its lower limit, the other at its upper."""
    return u_l * l


@formula("delta_s", "how much later the second strand pulls tight", SHARING)
def lead(delta_L: Length, r: Length, delta_theta: Angle) -> Length:
    """A sprocket that is ahead takes up slack like a shorter chain."""
    return delta_L + r * delta_theta


@formula("F_s", "pull at which the second chain begins to carry", SHARING)
def pull_of_first_alone(k_s: Stiffness, delta_s: Length) -> Force:
    """What stretches the first by as much as the second hangs slack."""
    return k_s * delta_s


@formula("q_t", "share of the tighter chain", SHARING, outside="a share is worked out for two chains only",
         where={"q_1": "share of the first of two parallel strands"})
def tighter_share(q_1: Ratio, n: Count) -> Ratio:
    """The sum is one, so the tighter one has half or more."""
    return np.where(n == 2, np.maximum(q_1, 1 - q_1), np.nan)


@formula("F_t1", "pull of the tighter chain", SHARING)
def tighter_pull(F_a: Force, q_t: Ratio) -> Force:
    """Its share of the pull of both."""
    return F_a * q_t


@formula("F_x", "pull on the twin that is left, taken up suddenly", ALONE)
def snatched_pull(F_a: Force, S_x: Ratio) -> Force:
    """Slack and stretch of the lost one turn into a fall onto the other."""
    return F_a * S_x


@formula("slack", "the second chain hangs slack", SHARING)
def second_is_slack(F_s: Force, F_a: Force) -> Count:
    """1 where the remark applies, else 0."""
    return np.where((F_a > 0) & (F_s >= F_a), 1.0, 0.0)


@formula("pair", "chains side by side", ALONE)
def side_by_side(n: Count) -> Count:
    """1 where the remark applies, else 0."""
    return np.where(n > 1, 1.0, 0.0)


@dataclass(frozen=True, kw_only=True)
class TwinInputs(Inputs):
    """One of several chains side by side, in one case."""

    n: Count = quantity("chains side by side", COUNT, at_least=2)
    F_a: Force = quantity("pull of all of them together", FORCE, at_least=0)
    F_u: Force = quantity("breaking load of this chain", FORCE, above=0)
    k_s: Stiffness = quantity("stiffness of one tight strand", STIFFNESS, above=0)
    l: Length = quantity("length of the tight strand", LENGTH, above=0)
    u_l: Ratio = quantity("difference in length of the chains, over their length", RATIO, at_least=0)
    r: Length = quantity("pitch radius of the sprockets that may stand askew", LENGTH, above=0)
    delta_theta: Angle = quantity("angle between the sprockets side by side", ANGLE, at_least=0)
    S_x: Ratio = quantity("snatch when the twin parts", RATIO, at_least=1)
    S_B_required: Ratio = quantity("required static safety of one alone", RATIO, above=0)
    S_x_required: Ratio = quantity("required safety when the twin parts", RATIO, above=0)


@dataclass(frozen=True, slots=True)
class TwinRating:
    """How the pull is shared, and the checks of one chain of several."""

    q_t: Ratio
    F_s: Force
    checks: tuple[Check, ...]


def rate(t: TwinInputs) -> TwinRating:
    """Rate one of several chains side by side, or many at once when the inputs are arrays."""
    with group("Chains side by side"):
        t = t.record()
        delta_L = length_difference(t.u_l, t.l)
        F_s = pull_of_first_alone(t.k_s, lead(delta_L, t.r, t.delta_theta))
        q_t = tighter_share(parallel_strand_share(t.k_s, delta_L, t.r, t.delta_theta, t.F_a), t.n)
        F_t1 = tighter_pull(t.F_a, q_t)
        F_x = snatched_pull(t.F_a, t.S_x)
        remark_if(side_by_side(t.n), NOT_DOUBLED, ALONE)
        remark_if(second_is_slack(F_s, t.F_a), "The chain that is shorter, or ahead, carries everything, and the other "
                  "hangs slack: it is a spare that wears little, and nothing more. Chains of one box, replaced "
                  "together, and sprockets cut and keyed as a pair come nearer to sharing.", SHARING)
        checks = (
            Check("one chain alone", FORCE, t.F_a, t.F_u, named("S_a", margin(t.F_u, t.F_a), "safety of one alone"),
                  t.S_B_required, ALONE, t.origins["S_B_required"], "as if its twin were not there"),
            Check("twin parts", FORCE, F_x, t.F_u, named("S_y", margin(t.F_u, F_x), "safety when the twin parts"),
                  t.S_x_required, ALONE, t.origins["S_x_required"],
                  "keep people clear of the line of a chain that may part, and change both when one has gone"),
            Check("tighter of two", FORCE, F_t1, t.F_u, named("S_q", margin(t.F_u, F_t1), "safety of the tighter one"),
                  t.S_B_required, SHARING, t.origins["S_B_required"], "both there, one a little shorter or ahead"),
        )
    return TwinRating(q_t, F_s, checks)
