"""Do the teeth of a pair fit: what both rating methods stand on, checked before any load.

One pair, external or a pinion inside a ring, mounted at a centre distance.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from layshaft.elements.gear_pair import geometry, meshing
from layshaft.trace.checks import Check
from layshaft.trace.formula import formula, governs, group, named, remark_if
from layshaft.trace.inputs import Inputs, quantity
from layshaft.trace.source import Source
from layshaft.trace.units import (
    ANGLE,
    COUNT,
    LENGTH,
    RATIO,
    Angle,
    Count,
    Length,
    Ratio,
)

GEOMETRY = Source("geometry of the mesh", "a tooth must not touch outside its flank", "derived")
PRACTICE = Source("gear handbooks", "total contact ratio at least 1.2", "common practice")


@dataclass(frozen=True, kw_only=True)
class FitInputs(Inputs):
    """One pair as cut and mounted. A ring with internal teeth counts its teeth with a minus."""

    m_n: Length = quantity("normal module", LENGTH, above=0)
    z_1: Count = quantity("teeth of the pinion", COUNT, at_least=5)
    z_2: Count = quantity("teeth of the wheel, negative for a ring with internal teeth", COUNT)
    b: Length = quantity("face width, of one half where the helix is double", LENGTH, above=0)
    beta: Angle = quantity("helix angle", ANGLE, at_least=0, at_most=np.pi / 4)
    alpha_n: Angle = quantity("normal pressure angle", ANGLE, above=0, at_most=np.pi / 4)
    x_1: Ratio = quantity("profile shift coefficient of the pinion", RATIO, at_least=-2, at_most=3)
    x_2: Ratio = quantity("profile shift coefficient of the wheel", RATIO, at_least=-3, at_most=3)
    a_w: Length = quantity("distance of the axes", LENGTH, above=0)
    S_fit: Ratio = quantity("required margin of each fit of the teeth", RATIO, above=0)


@dataclass(frozen=True, slots=True)
class PairShape:
    """A pair as cut and mounted; diameters of a ring carry a minus."""

    m_t: Length
    alpha_t: Angle
    beta_b: Angle
    a_s: Length
    alpha_wt: Angle
    d_1: Length
    d_2: Length
    d_b1: Length
    d_b2: Length
    d_a1: Length
    d_a2: Length
    p_b: Length
    eps_alpha: Ratio
    eps_beta: Ratio
    j_t: Length


@dataclass(frozen=True, slots=True)
class FitRating:
    """Shape and checks of one pair."""

    shape: PairShape
    x_s: Ratio
    checks: tuple[Check, ...]


@formula("one", "least pairs in contact", GEOMETRY)
def least_contact() -> Ratio:
    """One pair must take over before the last leaves."""
    return 1.0


@formula("S_i", "margin of what must stay free", GEOMETRY, where={
    "d_i1": "diameter that must stay free", "d_i2": "diameter that bounds it"})
def free_margin(d_i1: Length, d_i2: Length) -> Ratio:
    """Above one the tip of the mate stays on the involute."""
    return d_i2 / d_i1


@formula("S_a", "margin of a tip", GEOMETRY, where={
    "s_an": "thickness of the tooth at its tip", "s_min": "least thickness at the tip"})
def tip_margin(s_an: Length, s_min: Length) -> Ratio:
    """Thickness over the least."""
    return s_an / s_min


def pair_shape(m_n: Length, z: tuple[Count, Count], b: Length, beta: Angle, alpha_n: Angle,
               x: tuple[Ratio, Ratio], a_w: Length) -> PairShape:
    """Diameters, contact and overlap at the distance the axes stand apart."""
    m_t = geometry.transverse_module(m_n, beta)
    alpha_t = geometry.transverse_angle(alpha_n, beta)
    beta_b = geometry.base_helix(beta, alpha_n)
    d_1 = named("d_1", geometry.reference_diameter(z[0], m_t), "reference diameter, pinion")
    d_2 = named("d_2", geometry.reference_diameter(z[1], m_t), "reference diameter, wheel")
    a = geometry.reference_centre_distance(z[0], z[1], m_t)
    a_s = meshing.signed_centres(a_w, z[0], z[1])
    alpha_wt = geometry.working_angle_at(a, alpha_t, a_s)
    inv_w = geometry.working_involute(alpha_t, alpha_n, x[0], x[1], z[0], z[1])
    j_t = meshing.backlash(a_s, alpha_wt, inv_w)
    k = geometry.tip_shortening(x[0], x[1], geometry.centre_modification(a_s, a, m_n))
    d_a1 = named("d_a1", geometry.tip_diameter(d_1, m_n, x[0], k), "tip diameter, pinion")
    d_a2 = named("d_a2", geometry.tip_diameter(d_2, m_n, x[1], k), "tip diameter, wheel")
    d_b1 = named("d_b1", geometry.base_diameter(d_1, alpha_t), "base diameter, pinion")
    d_b2 = named("d_b2", geometry.base_diameter(d_2, alpha_t), "base diameter, wheel")
    g_a = geometry.path_of_contact(d_a1, d_b1, d_a2, d_b2, a_s, alpha_wt)
    p_b = geometry.base_pitch(m_t, alpha_t)
    eps_alpha = geometry.contact_ratio(g_a, p_b)
    eps_beta = geometry.overlap_ratio(b, beta, m_n)
    return PairShape(m_t, alpha_t, beta_b, a_s, alpha_wt, d_1, d_2, d_b1, d_b2, d_a1, d_a2, p_b,
                     eps_alpha, eps_beta, j_t)


def _above_base(g: FitInputs, s: PairShape) -> Check:
    S_1 = named("S_b1", meshing.base_margin(s.d_a1, s.d_b1), "tip over base circle, pinion")
    S_2 = named("S_b2", meshing.base_margin(s.d_a2, s.d_b2), "tip over base circle, wheel")
    S_b = governs("S_b", "margin of a tip above its base circle", RATIO, {"pinion": S_1, "wheel": S_2},
                  geometry.ISO_21771, pick="smallest")
    base = named("d_b", meshing.diameter_of_the_worse(S_1, S_2, s.d_b1, s.d_b2), "base diameter of that gear")
    tip = named("d_a", meshing.diameter_of_the_worse(S_1, S_2, s.d_a1, s.d_a2), "tip diameter of that gear")
    return Check("tip above base", LENGTH, base, tip, S_b, g.S_fit, geometry.ISO_21771, GEOMETRY)


def _interference(g: FitInputs, s: PairShape) -> Check:
    """The mate's tip must not pass the end of the flank of either gear, and should not touch its fillet."""
    sides, fillets = [], []
    for i, d, d_b, d_am, d_bm, x in ((1, s.d_1, s.d_b1, s.d_a2, s.d_b2, g.x_1),
                                     (2, s.d_2, s.d_b2, s.d_a1, s.d_b1, g.x_2)):
        d_Nf = named(f"d_Nf{i}", meshing.touched_diameter(d_b, s.a_s, s.alpha_wt, d_am, d_bm))
        d_Ff = named(f"d_Ff{i}", meshing.form_diameter(d, d_b, s.alpha_t, g.m_n, x))
        d_e = named(f"d_e{i}", meshing.flank_end(d, d_b, g.m_n, x))
        inner = named(f"d_i{i}", meshing.must_reach(d, d_Nf, d_e), "diameter that must stay free")
        outer = named(f"d_o{i}", meshing.may_reach(d, d_Nf, d_e), "diameter that bounds it")
        fillets.append(meshing.fillet_touched(d, d_Nf, d_Ff))
        sides.append((inner, outer, named(f"S_i{i}", free_margin(inner, outer))))
    for touched, whose in zip(fillets, ("pinion", "wheel"), strict=True):
        remark_if(touched, f"A tip reaches into the fillet of the {whose}, where no involute is left: d_Nf lies beyond "
                  "d_Ff. Turn the tips of its mate down a little, or shift the teeth.", GEOMETRY)
    (in_1, out_1, S_1), (in_2, out_2, S_2) = sides
    S_i = governs("S_i", "margin of what must stay free", RATIO, {"pinion": S_1, "wheel": S_2},
                  GEOMETRY, pick="smallest")
    demand = named("d_in", meshing.of_the_worse(S_1, S_2, in_1, in_2), "diameter that must stay free")
    rating = named("d_out", meshing.of_the_worse(S_1, S_2, out_1, out_2), "diameter that bounds it")
    return Check("tooth interference", LENGTH, demand, rating, S_i, g.S_fit, GEOMETRY, GEOMETRY)


def _trochoid(g: FitInputs, s: PairShape, alpha_a: tuple[Angle, Angle]) -> Check:
    theta_1 = meshing.pinion_turn(s.d_a1, s.d_a2, g.a_w, alpha_a[0], s.alpha_wt)
    theta_2 = meshing.ring_turn(s.d_a1, s.d_a2, g.a_w)
    S_t = meshing.trochoid_margin(g.z_1, g.z_2, theta_1, theta_2, s.alpha_wt, alpha_a[1])
    return Check("tip clash in the ring", RATIO, least_contact(), S_t, S_t, g.S_fit, meshing.JGMA, GEOMETRY)


def _undercut(g: FitInputs, s: PairShape) -> Check:
    sides = []
    for i, z, d, x in ((1, g.z_1, s.d_1, g.x_1), (2, g.z_2, s.d_2, g.x_2)):
        h_c = named(f"h_c{i}", meshing.cut_depth(g.m_n, x))
        h_l = named(f"h_l{i}", meshing.line_depth(d, s.alpha_t))
        sides.append((h_c, h_l, named(f"S_u{i}", meshing.undercut_margin(z, h_l, h_c))))
    (cut_1, line_1, S_1), (cut_2, line_2, S_2) = sides
    S_u = governs("S_u", "margin against undercut", RATIO, {"pinion": S_1, "wheel": S_2},
                  meshing.DIN_3960, pick="smallest")
    return Check("undercut", LENGTH, named("h_cut", meshing.of_the_worse(S_1, S_2, cut_1, cut_2)),
                 named("h_line", meshing.of_the_worse(S_1, S_2, line_1, line_2)), S_u, g.S_fit,
                 meshing.DIN_3960, GEOMETRY)


def _tips(g: FitInputs, s: PairShape, alpha_a: tuple[Angle, Angle]) -> Check:
    s_1 = named("s_an1", meshing.tip_thickness(s.d_a1, s.d_1, g.z_1, g.x_1, g.alpha_n, s.alpha_t, alpha_a[0], g.beta))
    s_2 = named("s_an2", meshing.tip_thickness(s.d_a2, s.d_2, g.z_2, g.x_2, g.alpha_n, s.alpha_t, alpha_a[1], g.beta))
    thinner = governs("s_an", "thickness of the thinner tip", LENGTH, {"pinion": s_1, "wheel": s_2},
                      meshing.POINTED, pick="smallest")
    least = meshing.least_tip(g.m_n)
    return Check("tip thickness", LENGTH, least, thinner, tip_margin(thinner, least), g.S_fit,
                 meshing.POINTED, GEOMETRY)


def rate_fit(g: FitInputs) -> FitRating:
    """Say whether the teeth of one pair fit, or of many at once when the inputs are arrays."""
    with group("Fit of the teeth"):
        g = g.record()
        s = pair_shape(g.m_n, (g.z_1, g.z_2), g.b, g.beta, g.alpha_n, (g.x_1, g.x_2), g.a_w)
        x_s = geometry.shift_sum(g.z_1, g.z_2, s.alpha_t, s.alpha_wt, g.alpha_n)
        alpha_a = (named("alpha_a1", geometry.tip_angle(s.d_b1, s.d_a1)),
                   named("alpha_a2", geometry.tip_angle(s.d_b2, s.d_a2)))
        eps_gamma = meshing.total_contact_ratio(s.eps_alpha, s.eps_beta)
        tight = meshing.tight_centres(s.a_s, s.j_t, s.alpha_wt)
        checks = (
            Check("contact ratio", RATIO, least_contact(), eps_gamma, eps_gamma, g.S_fit,
                  geometry.ISO_21771, PRACTICE),
            _above_base(g, s), _interference(g, s), _trochoid(g, s, alpha_a), _undercut(g, s), _tips(g, s, alpha_a),
            Check("backlash", LENGTH, tight, g.a_w, meshing.backlash_margin(s.j_t, g.m_n), g.S_fit,
                  GEOMETRY, GEOMETRY),
        )
    return FitRating(s, x_s, checks)
