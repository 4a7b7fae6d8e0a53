"""Idler or tensioner on one strand of a roller chain: where the chain runs, how far it bends round.

The strand runs above the line of centres from the near sprocket, at the origin, to the far one, at
(a, 0); the idler stands at (x, y). An idler inside the loop presses the strand out and takes wrap
from both sprockets; one outside presses it in and gives them more. Lengths and angles are those on
circles of circumference z p, as in the length of the chain. Usable alone: the train lays out the
chain with it. An idler on a chain that holds up a weight is one more thing that must not give way.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any, NamedTuple

import numpy as np

from layshaft.elements.roller_chain.geometry import engaged_teeth
from layshaft.elements.roller_chain.sizes import practice
from layshaft.elements.roller_chain.strength import at_most
from layshaft.mechanics.margin import margin
from layshaft.trace.checks import Check
from layshaft.trace.formula import formula, group, looked_up, named, remark_if
from layshaft.trace.inputs import Inputs, quantity
from layshaft.trace.source import STATICS, Source
from layshaft.trace.units import (
    COUNT,
    FORCE,
    LENGTH,
    RATIO,
    Angle,
    Count,
    Force,
    Length,
    Ratio,
)

LAYOUT = Source("common tangents of two circles", obtained="derived")
PRACTICE = Source("layout of idlers", "design textbooks and makers' guides", "common practice")
OWN_LIMIT = Source("the method's own limit", "nothing is added to it here", "common practice")
TIGHT = ("on the tight strand the whole pull lies on it, and a sprung one is pushed away: put it on the other strand; "
         "where the pull changes sides move the axes instead, or use fixed wheels and a drive that forgives slack")
CIRCLE = {"z": "teeth of the wheel"}
WHEELS_MEET = "the idler and a sprocket would overlap"


@formula("r", "circle of circumference z p", LAYOUT, where=CIRCLE)
def chain_circle(z: Count, p: Length) -> Length:
    """On this circle the links count as a length; the pins sit a little further out."""
    return z * p / (2 * np.pi)


@formula("rho", "radius of the idler, negative outside the loop", LAYOUT)
def signed_radius(r_i: Length, inside: Count) -> Length:
    """A wheel the chain bends round the other way counts with a negative radius in every tangent."""
    return (2 * inside - 1) * r_i


@formula("d_n", "near sprocket to idler", LAYOUT)
def near_distance(x: Length, y: Length) -> Length:
    """Between the two axes."""
    return np.hypot(x, y)


@formula("d_f", "far sprocket to idler", LAYOUT)
def far_distance(x: Length, y: Length, a: Length) -> Length:
    """Between the two axes."""
    return np.hypot(a - x, y)


@formula("psi_0", "slope of the straight strand", LAYOUT, outside="one sprocket would lie inside the other")
def straight_slope(r_n: Length, r_f: Length, a: Length) -> Angle:
    """Against the line of centres; it rises to the larger wheel."""
    return np.arcsin(np.where(np.abs(r_f - r_n) <= a, (r_f - r_n) / a, np.nan))


@formula("psi_n", "slope from the near sprocket to the idler", LAYOUT, outside=WHEELS_MEET)
def near_slope(x: Length, y: Length, d_n: Length, r_n: Length, rho: Length) -> Angle:
    """The line between the axes, turned by the difference of the radii seen from afar."""
    return np.arctan2(y, x) + np.arcsin(np.where(d_n > r_n + np.abs(rho), (rho - r_n) / d_n, np.nan))


@formula("psi_f", "slope from the idler to the far sprocket", LAYOUT, outside=WHEELS_MEET)
def far_slope(x: Length, y: Length, a: Length, d_f: Length, r_f: Length, rho: Length) -> Angle:
    """The same on the other side, where the line between the axes comes down again."""
    return np.arctan2(-y, a - x) + np.arcsin(np.where(d_f > r_f + np.abs(rho), (r_f - rho) / d_f, np.nan))


@formula("theta_i", "wrap of the idler", LAYOUT, outside="the idler does not touch the chain")
def idler_wrap(psi_n: Angle, psi_f: Angle, rho: Length) -> Angle:
    """How far the strand changes its direction."""
    return np.where((psi_n - psi_f) * rho > 0, np.abs(psi_n - psi_f), np.nan)


@formula("gamma_n", "wrap the idler adds to the near sprocket", LAYOUT)
def near_gain(psi_0: Angle, psi_n: Angle) -> Angle:
    """The strand leaves later where it leaves at a lower slope."""
    return psi_0 - psi_n


@formula("gamma_f", "wrap the idler adds to the far sprocket", LAYOUT)
def far_gain(psi_f: Angle, psi_0: Angle) -> Angle:
    """The strand arrives sooner where it comes in from below."""
    return psi_f - psi_0


@formula("l_t", "tangent between two wheels", LAYOUT, outside="one wheel would lie inside the other",
         where={"d": "distance of the two axes", "r_1": "radius of the first wheel", "r_2": "radius of the second"})
def tangent_length(d: Length, r_1: Length, r_2: Length) -> Length:
    """Leg of a right triangle; radii on opposite sides of the line have opposite signs."""
    return np.sqrt(np.where(d >= np.abs(r_2 - r_1), d**2 - (r_2 - r_1) ** 2, np.nan))


@formula("L_x", "length the idler adds to the chain's way", LAYOUT,
         where={"l_n": "tangent, near sprocket to idler", "l_f": "tangent, idler to far sprocket",
                "l_0": "tangent, near to far sprocket"})
def added_length(l_n: Length, l_f: Length, l_0: Length, r_n: Length, r_f: Length, rho: Length, theta_i: Angle,
                 gamma_n: Angle, gamma_f: Angle) -> Length:
    """Two tangents and an arc for one tangent, and what the arcs on the sprockets gain or lose."""
    return l_n + l_f - l_0 + np.abs(rho) * theta_i + r_n * gamma_n + r_f * gamma_f


@formula("y_t", "height of the idler at the end of its travel", LAYOUT)
def moved_in(y: Length, s_t: Length, inside: Count) -> Length:
    """Outwards inside the loop, inwards outside it: always against the strand."""
    return y + (2 * inside - 1) * s_t


@formula("L_t", "chain length taken up over the travel", LAYOUT,
         where={"L_end": "added length at the end of the travel", "L_x": "added length where it stands"})
def taken_up(L_end: Length, L_x: Length) -> Length:
    """The chain's way at the end of the travel, less that at its beginning."""
    return L_end - L_x


@formula("F_i", "force on the idler", STATICS, where={"F": "pull of the strand"})
def idler_force(F: Force, theta_i: Angle) -> Force:
    """Both parts of the strand pull with the same force; their sum looks along the bisector."""
    return 2 * F * np.sin(theta_i / 2)


@formula("L_2", "way of a chain round two sprockets alone", LAYOUT, where={"l_0": "tangent, near to far sprocket"})
def two_wheel_path(l_0: Length, psi_0: Angle, r_n: Length, r_f: Length) -> Length:
    """Two tangents and the arcs they leave."""
    return 2 * l_0 + np.pi * (r_n + r_f) + 2 * (r_f - r_n) * psi_0


@formula("few_z_i", "fewer than 17 teeth", PRACTICE)
def few_teeth(z_i: Count) -> Count:
    """1 where the remark applies, else 0."""
    return np.where(z_i < 17, 1.0, 0.0)


class Run(NamedTuple):
    """Where a strand with an idler runs; see the formulas of the same names."""

    l_0: Any
    psi_0: Any
    psi_n: Any
    psi_f: Any
    theta_i: Any
    gamma_n: Any
    gamma_f: Any
    L_x: Any


def run(r_n: Any, r_f: Any, rho: Any, a: Any, x: Any, y: Any, end: str = "") -> Run:
    """The layout formulas in their order, for an idler at one place; `end` marks the symbols of another one."""
    d_n, d_f = named(f"d_n{end}", near_distance(x, y)), named(f"d_f{end}", far_distance(x, y, a))
    psi_0 = straight_slope(r_n, r_f, a)
    psi_n = named(f"psi_n{end}", near_slope(x, y, d_n, r_n, rho))
    psi_f = named(f"psi_f{end}", far_slope(x, y, a, d_f, r_f, rho))
    theta_i = named(f"theta_i{end}", idler_wrap(psi_n, psi_f, rho))
    gamma_n, gamma_f = named(f"gamma_n{end}", near_gain(psi_0, psi_n)), named(f"gamma_f{end}", far_gain(psi_f, psi_0))
    l_n = named(f"l_n{end}", tangent_length(d_n, r_n, rho), "tangent, near sprocket to idler")
    l_f = named(f"l_f{end}", tangent_length(d_f, rho, r_f), "tangent, idler to far sprocket")
    l_0 = named("l_0", tangent_length(a, r_n, r_f), "tangent, near to far sprocket")
    return Run(l_0, psi_0, psi_n, psi_f, theta_i, gamma_n, gamma_f, named(f"L_x{end}", added_length(
        l_n, l_f, l_0, r_n, r_f, rho, theta_i, gamma_n, gamma_f)))


@dataclass(frozen=True, kw_only=True)
class IdlerInputs(Inputs):
    """One idler on one strand in one case."""

    p: Length = quantity("chain pitch", LENGTH, above=0)
    z_n: Count = quantity("teeth, near sprocket", COUNT, at_least=6)
    z_f: Count = quantity("teeth, far sprocket", COUNT, at_least=6)
    z_i: Count = quantity("teeth, idler", COUNT, at_least=6)
    a: Length = quantity("centre distance of the sprockets", LENGTH, above=0)
    x: Length = quantity("place of the idler along the line of centres", LENGTH)
    y: Length = quantity("its height above the line of centres, on the side of its strand", LENGTH)
    inside: Count = quantity("1 inside the loop of the chain, 0 outside", COUNT, at_least=0, at_most=1)
    s_t: Length = quantity("travel against the strand, 0 for a fixed idler", LENGTH, at_least=0)
    L_n: Length = quantity("chain growth it has to take up until the chain is worn out", LENGTH, at_least=0)
    F: Force = quantity("pull of its strand", FORCE, at_least=0)
    tight: Count = quantity("1 where its strand is the tight one, else 0", COUNT, at_least=0, at_most=1)
    S_required: Ratio = quantity("required margin", RATIO, above=0)


@dataclass(frozen=True, slots=True)
class IdlerRating:
    """Layout and force of one idler, and its checks."""

    theta_i: Angle
    gamma_n: Angle
    gamma_f: Angle
    L_x: Length
    L_t: Length
    F_i: Force
    checks: tuple[Check, ...]


def rate(i: IdlerInputs) -> IdlerRating:
    """Rate one idler, or many at once when the inputs are arrays."""
    with group("Idler"):
        i = i.record()
        r_n, r_f = named("r_n", chain_circle(i.z_n, i.p)), named("r_f", chain_circle(i.z_f, i.p))
        rho = signed_radius(named("r_i", chain_circle(i.z_i, i.p)), i.inside)
        at = run(r_n, r_f, rho, i.a, i.x, i.y)
        end = run(r_n, r_f, rho, i.a, i.x, moved_in(i.y, i.s_t, i.inside), "_t")
        L_t = taken_up(end.L_x, at.L_x)
        K_i = named("K_i", engaged_teeth(i.z_i, at.theta_i), "engaged teeth, idler")
        F_i = idler_force(i.F, at.theta_i)
        least = _practice("K_min", "least engaged teeth of an idler", "idler teeth engaged")
        none = _practice("n_zul", "idlers allowed on the tight strand", "idlers on the tight strand")
        remark_if(few_teeth(i.z_i), "Fewer than 17 teeth on an idler: each joint bends more there than on a larger "
                  "one, and the chain wears the sooner.", PRACTICE)
        checks = (
            Check("idler engagement", COUNT, least, K_i, named("S_i", margin(K_i, least), "margin on engaged teeth"),
                  i.S_required, PRACTICE, OWN_LIMIT),
            Check("idler on the slack strand", COUNT, i.tight, none,
                  named("S_n", at_most(i.tight, none), "margin against a tight strand"), i.S_required, PRACTICE,
                  OWN_LIMIT, TIGHT),
            Check("tensioner travel", LENGTH, i.L_n, L_t, named("S_l", margin(L_t, i.L_n), "margin on travel"),
                  i.S_required, LAYOUT, OWN_LIMIT, "asked of idlers that can be moved"),
        )
    return IdlerRating(at.theta_i, at.gamma_n, at.gamma_f, at.L_x, L_t, F_i, checks)


def _practice(symbol: str, meaning: str, item: str) -> Any:
    row = practice(item)
    return looked_up(symbol, meaning, COUNT, row.number("value"), table=row.table, row=item, source=row.source)
