"""Roller chain against geometry and statics worked another way."""

import numpy as np
import pytest
from pytest import approx
from scipy.optimize import brentq

from layshaft.elements import roller_chain as chain
from layshaft.elements.roller_chain.rate import (
    few_engaged,
    few_teeth,
    many_teeth,
    odd_links,
    several_strands,
    unusual_centres,
)
from layshaft.trace.formula import tracing
from layshaft.trace.source import Source
from layshaft.trace.units import DEGREE, REV_PER_MIN, STANDARD_GRAVITY

MM = 1e-3


@pytest.mark.parametrize(("X", "z_1", "z_2"), [(122, 21, 63), (76, 17, 34), (70, 9, 60), (116, 19, 38), (40, 17, 19)])
def test_exact_centre_distance_against_a_bracketing_solver(X, z_1, z_2):
    """Published form (X - z_1)/(z_2 - z_1) - 1/2 = (cot phi + phi)/pi, a = (z_2 - z_1) p/(2 pi sin phi)."""
    wanted = (X - z_1) / (z_2 - z_1) - 0.5
    phi = brentq(lambda f: (1 / np.tan(f) + f) / np.pi - wanted, 1e-6, np.pi / 2, xtol=1e-15, rtol=1e-14)
    a = chain.centre_distance_exact(float(X), float(z_1), float(z_2), 12.7 * MM)
    assert a == approx((z_2 - z_1) * 12.7 * MM / (2 * np.pi * np.sin(phi)), rel=1e-12)
    assert chain.contact_equation(a, float(X), float(z_1), float(z_2), 12.7 * MM) == approx(0, abs=1e-14)


def test_contact_equation_away_from_its_root():
    """Residual is the chain left over: circles of circumference z p, 3-4-5 triangle of radii and centres."""
    p = 2 * np.pi  # a pitch of 2 pi makes the radius equal to the number of teeth
    lean = np.arcsin(0.6)  # radii 6 and 12, centres 10, tangent 8
    path = 2 * 8 + (np.pi - 2 * lean) * 6 + (np.pi + 2 * lean) * 12
    assert chain.contact_equation(10.0, 13.0, 6.0, 12.0, p) == approx(13 * p - path, rel=1e-12)


def test_equal_sprockets_are_exact_and_bit_equal():
    assert chain.centre_distance_exact(100.0, 19.0, 19.0, 12.7 * MM) == 12.7 * MM * 81 / 2
    assert chain.centre_distance_approximate(100.0, 19.0, 19.0, 12.7 * MM) == approx(12.7 * MM * 81 / 2)


def test_a_chain_too_short_is_unknown():
    """At 40 links the wheels of 19 and 57 teeth would overlap; unequal arrays keep their shape."""
    X, z_2 = np.array([[40.0], [120.0]]), np.array([[19.0, 57.0, np.nan]])
    a = chain.centre_distance_exact(X, 19.0, z_2, 12.7 * MM)
    assert np.isfinite(a).tolist() == [[True, False, False], [True, True, False]]
    assert chain.centre_distance_exact(120.0, 19.0, 57.0, 12.7 * MM) == a[1, 1]


def test_limit_of_the_approximate_inverse():
    """10 and 60 teeth: the root ends where X - 35 is sqrt(8) 50 / 2 pi = 22.508."""
    a = chain.centre_distance_approximate(np.array([30.0, 57.4, 57.6]), 10.0, 60.0, 12.7 * MM)
    assert np.isnan(a).tolist() == [True, True, False]


def test_the_equation_leaves_its_residual():
    with tracing() as trace:
        chain.centre_distance(122.0, 21.0, 63.0, 12.7 * MM)
    assert trace["a"].detail["residual"] == approx(0, abs=1e-14)


def test_links_are_rounded_up_to_even():
    """Up to a hundredth of a link is left to the sag."""
    assert chain.links_even(np.array([99.2, 100.0, 100.0098, 100.0103, 101.0])).tolist() == [100, 100, 100, 102, 102]


def test_pitch_circle_of_six_teeth_is_a_hexagon():
    assert chain.pitch_diameter(10.0, 6.0) == approx(20.0)
    assert chain.articulation(6.0) == approx(30 * DEGREE)


def test_wrap_and_span_of_a_3_4_5_triangle():
    """Diameters 0.2 and 0.8, centres 0.5: sine of the lean 0.6, span 0.4."""
    beta = chain.lean(0.2, 0.8, 0.5)
    assert np.sin(beta) == approx(0.6)
    assert chain.free_span(0.5, beta) == approx(0.4)
    assert chain.wrap_small(beta) == approx(2 * np.arccos(0.6))
    assert chain.wrap_small(beta) + chain.wrap_large(beta) == approx(2 * np.pi)
    assert chain.wrap_large(beta) == approx(np.pi + 2 * np.arcsin(0.6))
    assert np.isfinite(chain.lean(0.2, 0.8, 0.31))
    assert np.isnan(chain.lean(np.array([0.2, 0.8]), np.array([0.8, 0.2]), 0.29)).all()


def test_engaged_teeth_do_not_lose_a_whole_tooth_to_rounding():
    assert chain.engaged_teeth(15.0, 120 * DEGREE) == 5
    assert chain.engaged_teeth(19.0, np.pi) == 9


def test_sag_and_slack_against_the_arc_length_of_a_parabola():
    """Span 1 m, sag 30 mm: arc by integration; the shallow formula is within 0.3 % of the slack."""
    x = np.linspace(-0.5, 0.5, 200_001)
    slope = 8 * 0.03 * x
    slack = np.trapezoid(np.sqrt(1 + slope**2) - 1, x)
    assert chain.slack_of_sag(1.0, 0.03) == approx(slack, rel=3e-3)
    assert chain.sag_of_slack(1.0, slack) == approx(0.03, rel=2e-3)
    assert chain.slack_of_sag(2.0, 0.03) == approx(2 * chain.slack_of_sag(1.0, 0.03))
    assert chain.sag_of_slack(4.0, 0.006) == approx(np.sqrt(0.009))


def test_slack_strand_on_inclined_and_steep_lines():
    """Level load q g cos(delta) sets the pull; its slope part is shared half and half between the ends."""
    q, span, s, delta = 2.0, 1.5, 0.02, 30 * DEGREE
    w = q * STANDARD_GRAVITY * span
    low = chain.slack_pull_low(q, STANDARD_GRAVITY, span, s, delta)
    assert low == approx(w * (np.sqrt(3) / 2 / 0.16 - 0.25))
    assert chain.slack_pull_top(low, q, STANDARD_GRAVITY, span, -delta) == approx(low + w / 2)
    assert chain.slack_pull_low(q, STANDARD_GRAVITY, span, s, -delta) == approx(low)
    assert chain.slack_pull_low(q, STANDARD_GRAVITY, span, s, 150 * DEGREE) == approx(low)
    assert chain.slack_pull_low(q, STANDARD_GRAVITY, span, s, 90 * DEGREE) == 0
    assert chain.slack_pull_top(0.0, q, STANDARD_GRAVITY, span, 90 * DEGREE) == approx(w)


def test_wear_in_length_and_centres():
    """100 links of 12.7 mm, 3 %: 38.1 mm of chain; strands at 60 deg to the line of centres: all of it."""
    L_e = chain.elongation(0.03, 100.0, 12.7 * MM)
    assert L_e == approx(38.1 * MM)
    assert chain.take_up_needed(L_e, 60 * DEGREE) == approx(38.1 * MM)


def test_take_up_agrees_with_two_exact_centre_distances():
    """A chain 1 % longer, solved again, moves the centres by what the rate 2 cos(lean) says."""
    p, z_1, z_2 = 12.7 * MM, 19.0, 57.0
    a, b = (chain.centre_distance_exact(x, z_1, z_2, p) for x in (120.0, 121.2))
    beta = np.arcsin((z_2 - z_1) * p / (2 * np.pi) / ((a + b) / 2))
    assert chain.take_up_needed(chain.elongation(0.01, 120.0, p), beta) == approx(b - a, rel=1e-4)


@pytest.mark.from_memory
def test_stretch_under_an_eighth_of_the_breaking_load():
    """Typical 0.15 %: 17.8 kN, 0.5 m: 2225 N over 0.75 mm."""
    assert chain.strand_stiffness(17800.0, 0.5) == approx(2225 / 0.75e-3, rel=1e-9)


def test_pulls():
    """60 N m on 0.1 m: 1200 N; 0.7 kg/m at 3 m/s: 6.3 N; factors and gates."""
    assert chain.pull_from_torque(60.0, 0.1) == approx(1200.0)
    assert chain.centrifugal_pull(0.7, 3.0) == approx(6.3)
    assert chain.dynamic_pull(1000.0, 1.7) == approx(1700.0)
    assert chain.running_pull(np.array([5.0, 5.0]), np.array([1.0, 0.0])) == approx([5.0, np.nan], nan_ok=True)
    assert chain.design_power(20.0, 6.0, 1.3, 1.0) == approx(156.0)
    assert np.isnan(chain.design_power(20.0, 6.0, 1.3, 0.0))


def test_area_of_a_joint_of_three_strands():
    assert chain.joint_area(0.004, 0.011, 3.0) == approx(132e-6)


def test_permissible_joint_pressure_only_where_it_is_known():
    v, z = np.array([0.1, 0.1, 0.2, 0.19]), np.array([17.0, 16.0, 17.0, 19.0])
    assert chain.permissible_joint_pressure(30e6, v, 0.2, z, 17.0) == approx([30e6, np.nan, np.nan, 30e6], nan_ok=True)


GIVEN = {  # invented: 08B-1 between 19 and 38 teeth, a hanging weight behind it
    "light": 0.0, "p": 12.7 * MM, "z_1": 19.0, "z_2": 38.0, "strands": 1.0, "omega_1": 12 * REV_PER_MIN, "T_1": 20.0, "F_u": 17800.0, "A": 50.3e-6,
    "q": 0.69, "g": STANDARD_GRAVITY, "X": 116.0, "a": 0.55, "delta": 0.0, "s": 0.02, "F_2": 40.0, "f_1": 1.3, "S_B_required": 7.0, "S_D_required": 5.0,
    "S_required": 1.0, "t_life": 3600.0 * 450, "running": 1.0, "hoisting": 1.0, "press_fit": 0.0, "fixed": 0.0, "take_up": 10 * MM,
    "offset": 0.0, "lub": 1.0, "gamma": 0.0, "s_i": 0.0, "L_t": 0.0, "L_0": 0.0,
}


def rated(**changes):
    given = {**GIVEN, **changes}
    return chain.rate(chain.ChainInputs(**given, origins=dict.fromkeys(given, Source("test", obtained="given"))))


def margins(rating):
    return {c.mode: c.margin for c in rating.checks}


def test_a_whole_rating_by_hand():
    """Every margin from first principles, without the room's formulas."""
    p, T, F_u, g = 0.0127, 20.0, 17800.0, STANDARD_GRAVITY
    d_1, d_2 = p / np.sin(np.pi / 19), p / np.sin(np.pi / 38)
    beta = np.arcsin((d_2 - d_1) / 1.1)
    span, v = 0.55 * np.cos(beta), 19 * p * 12 / 60
    own = 0.69 * g * span / 0.16
    F = 2 * T / d_1 + 0.69 * v**2 + own + 40
    power = T * 12 * 2 * np.pi / 60 * 1.3
    plates = 745.69987 * 0.004 * 19**1.08 * 12**0.9 * 0.5 ** (3 - 0.035)
    rollers = 745.69987 * 17000 * 19**1.5 * 0.5**0.8 / 12**1.5 * 1.16**0.4 * (15000 / 450) ** 0.4
    phi = (17 - 64 / 19) * np.pi / 180
    K = np.floor(19 * (np.pi - 2 * beta) / (2 * np.pi))
    back = F * (np.sin(phi) / np.sin(phi + 2 * np.pi / 19)) ** (K - 1)
    assert rollers / power > 1e6  # the shared margin stops at a million
    # Chart pressure over pressure, linear; turning of the joints against 120 links and a ratio of three; what 10 mm fit.
    rated_pressure = plates / (v * 50.3e-6)
    life = (15000 * rated_pressure / (F / 50.3e-6) * 116 / 120 * (1 / 19 * 4 / 3) / (1 / 19 + 1 / 38)
            * (2 * 0.010 * np.cos(beta) / (116 * p)) / 0.03)
    r = rated()
    wanted = {
        "static strength": F_u / F, "dynamic strength": F_u / (1.3 * F), "joint pressure": 30e6 / (F / 50.3e-6),
        "plate capacity": plates / power, "roller capacity": 1e6, "slow hoisting duty": F_u / 9 / F,
        "wear elongation": 0.010 / (0.03 * 116 * p / 2 / np.cos(beta)), "wear life": life / 450, "no offset link": 1.0,
        "wrap": (np.pi - 2 * beta) / (2 * np.pi / 3), "tooth jump": (own + 40) / back,
    }
    assert margins(r) == approx(wanted, rel=1e-6)
    assert (r.F, r.K, r.L) == approx((F, K, 116 * p))
    assert {c.mode: c.required for c in r.checks}["dynamic strength"] == 5.0


def test_roller_capacity_of_a_fast_rating_by_hand():
    """600 rev/min, two strands, 116 links, 450 h."""
    rollers = 1.7 * 745.69987 * 17000 * 19**1.5 * 0.5**0.8 / 600**1.5 * 1.16**0.4 * (15000 / 450) ** 0.4
    found = margins(rated(omega_1=600 * REV_PER_MIN, strands=2.0))["roller capacity"]
    assert found == approx(rollers / (20 * 20 * np.pi * 1.3), rel=1e-6)


def test_a_case_once_in_a_while_has_no_running_checks():
    found = margins(rated(running=0.0, hoisting=0.0, take_up=np.nan))
    unknown = {mode for mode, value in found.items() if np.isnan(value)}
    assert unknown == {"dynamic strength", "joint pressure", "plate capacity", "roller capacity",
                       "slow hoisting duty", "wear elongation", "wear life", "tooth jump"}


def test_idlers_change_wrap_wear_and_take_up():
    """10 deg more wrap; an idler of 17 teeth adds to the turning of the joints; 20 mm taken up of 5 too long."""
    plain, found = margins(rated()), margins(rated(gamma=10 * DEGREE, s_i=1 / 17, L_t=20 * MM, L_0=5 * MM))
    beta = np.arcsin((0.0127 / np.sin(np.pi / 38) - 0.0127 / np.sin(np.pi / 19)) / 1.1)
    assert found["wrap"] == approx(plain["wrap"] + 10 / 120)
    offered = 0.010 + 0.015 / (2 * np.cos(beta))
    assert found["wear elongation"] == approx(plain["wear elongation"] * offered / 0.010)
    assert found["wear life"] == approx(
        plain["wear life"] * (1 / 19 + 1 / 38) / (1 / 19 + 1 / 38 + 1 / 17) * offered / 0.010)


def test_an_odd_or_cranked_chain_is_weaker_and_may_hold_no_weight():
    plain, odd, cranked = (margins(rated(**c)) for c in ({}, {"X": 117.0}, {"offset": 1.0}))
    assert odd["static strength"] == approx(0.65 * plain["static strength"])
    assert cranked["dynamic strength"] == approx(0.65 * plain["dynamic strength"])
    assert (plain["no offset link"], odd["no offset link"], cranked["no offset link"]) == (1, 0, 0)


def test_less_oil_than_the_speed_asks_for_is_unknown():
    """12 rev/min is 48 mm/s: by hand. 600 rev/min is 2.4 m/s, above 300 ft/min: a bath."""
    assert np.isnan(margins(rated(lub=0.0))["wear life"])
    fast = [margins(rated(omega_1=600 * REV_PER_MIN, lub=k))["wear life"] for k in (2.0, 3.0, 4.0)]
    assert np.isfinite(fast).tolist() == [False, True, True]


def test_strand_factors_reach_the_capacity():
    one, two = (margins(rated(strands=n))["plate capacity"] for n in (1.0, 2.0))
    assert two == approx(1.7 * one)
    assert np.isnan(margins(rated(strands=7.0))["plate capacity"])


def test_arrays_equal_single_ratings():
    T, z_1 = np.array([[5.0], [20.0]]), np.array([[13.0, 17.0, 19.0]])
    many = margins(rated(T_1=T, z_1=z_1))
    for i in range(2):
        for j in range(3):
            one = margins(rated(T_1=T[i, 0], z_1=z_1[0, j]))
            got = {m: np.broadcast_to(x, (2, 3))[i, j] for m, x in many.items()}
            assert got == approx(one, rel=1e-13, nan_ok=True)


def test_the_sheet_explains_every_number():
    with tracing() as trace:
        rated(z_1=13.0, X=117.0, a=0.3, z_2=121.0)
    assert trace.untraced == []
    said = " ".join(r.text for r in trace.remarks)
    assert all(word in said for word in ("17 teeth", "120 teeth", "30 to 50", "odd number", "six teeth", "weight"))


@pytest.mark.parametrize(("formula", "below", "above"), [
    (few_teeth, (16.9, 1), (17.0, 0)),
    (many_teeth, (120.0, 0), (121.0, 1)),
    (few_engaged, (5.9, 1), (6.0, 0)),
    (odd_links, (101.0, 1), (102.0, 0)),
    (several_strands, (1.0, 0), (2.0, 1)),
])
def test_remarks_begin_where_practice_says(formula, below, above):
    assert [formula(below[0]), formula(above[0])] == [below[1], above[1]]


def test_remark_on_centres():
    assert unusual_centres(np.array([59.9, 60.0, 100.0, 100.1]), 2.0).tolist() == [1, 0, 0, 1]
    assert unusual_centres(0.6, 0.015) == 0
