"""Idlers on a chain against geometry worked another way: hulls, tangent points, triangles."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from pytest import approx
from scipy.spatial import ConvexHull

from layshaft.elements.roller_chain import idler
from layshaft.trace.source import Source

MM = 1e-3
OUTSIDE = (-0.5 * np.pi, 0.5 * np.pi)


def hull(circles, points=200_000):
    """Perimeter of the tight string round circles (x, y, r), by the hull of points on them."""
    t = np.linspace(0, 2 * np.pi, points, endpoint=False)
    cloud = np.concatenate([np.c_[x + r * np.cos(t), y + r * np.sin(t)] for x, y, r in circles])
    return ConvexHull(cloud).area


@pytest.mark.parametrize(("r_n", "r_f", "r_i", "a", "x", "y"), [
    (0.05, 0.10, 0.04, 0.50, 0.20, 0.12), (0.06, 0.06, 0.05, 0.40, 0.20, 0.10), (0.09, 0.05, 0.06, 0.45, 0.15, 0.16),
])
def test_an_idler_inside_makes_the_hull_of_three_circles(r_n, r_f, r_i, a, x, y):
    run = idler.run(r_n, r_f, r_i, a, x, y)
    both = hull([(0, 0, r_n), (a, 0, r_f)])
    assert idler.two_wheel_path(run.l_0, run.psi_0, r_n, r_f) == approx(both, rel=1e-8)
    assert both + run.L_x == approx(hull([(0, 0, r_n), (a, 0, r_f), (x, y, r_i)]), rel=1e-8)
    assert run.gamma_n + run.gamma_f + run.theta_i == approx(0, abs=1e-12)
    assert run.theta_i > 0 > run.gamma_n


def touching(x, y, rho, psi):
    """Point of a circle where a line of slope psi touches it on its upper side (lower for a negative radius)."""
    return np.array([x, y]) + rho * np.array([-np.sin(psi), np.cos(psi)])


@settings(max_examples=60, derandomize=True)
@given(st.floats(0.03, 0.1), st.floats(0.03, 0.1), st.floats(0.02, 0.06), st.floats(0.2, 0.4), st.floats(0.02, 0.1),
       st.booleans())
def test_tangents_touch_both_circles_whatever_the_place(r_n, r_f, r_i, x, y, inside):
    """Vector algebra: the line between two touching points has the slope the formula gives."""
    a, rho = 0.6, r_i if inside else -r_i
    run = idler.run(r_n, r_f, rho, a, x, y)
    if not np.isfinite(run.L_x):
        return
    length = 0.0
    for (x_1, y_1, r_1), (x_2, y_2, r_2), psi in (((0, 0, r_n), (x, y, rho), run.psi_n),
                                                  ((x, y, rho), (a, 0, r_f), run.psi_f)):
        way = touching(x_2, y_2, r_2, psi) - touching(x_1, y_1, r_1, psi)
        assert np.hypot(*way) > 0
        assert way / np.hypot(*way) == approx([np.cos(psi), np.sin(psi)], abs=1e-9)
        length += np.hypot(*way)
    straight = np.sqrt(a**2 - (r_f - r_n) ** 2)
    arcs = r_i * run.theta_i + r_n * run.gamma_n + r_f * run.gamma_f
    assert run.L_x == approx(length - straight + arcs, abs=1e-12)
    assert run.L_x > -1e-12  # a bent way is longer
    mirrored = idler.run(r_f, r_n, rho, a, a - x, y)
    assert (mirrored.gamma_n, mirrored.gamma_f, mirrored.L_x) == approx((run.gamma_f, run.gamma_n, run.L_x), abs=1e-12)


def test_an_outside_idler_in_the_middle_by_hand():
    """Equal sprockets of 60 mm, idler of 40 mm pressed in from outside: crossed tangents of a 3-4-5 triangle.

    Centres (0, 0) and (120, 90) mm are 150 apart; crossed tangents turn by asin(100/150) from the line at atan(90/120).
    """
    run = idler.run(0.060, 0.060, idler.signed_radius(0.040, 0.0), 0.240, 0.120, 0.090)
    psi = np.arctan2(90, 120) - np.arcsin(100 / 150)
    assert run.psi_n == approx(psi, rel=1e-12)
    assert run.psi_f == approx(-psi, rel=1e-12)
    assert run.theta_i == approx(-2 * psi)
    assert run.gamma_n == run.gamma_f == approx(-psi)
    assert run.L_x == approx(2 * np.sqrt(0.150**2 - 0.1**2) - 0.240 + (0.040 + 0.060) * -2 * psi)


def test_distances_and_straight_slope_of_triangles():
    assert idler.near_distance(0.3, 0.4) == approx(0.5)
    assert idler.far_distance(0.3, 0.4, 0.6) == approx(0.5)
    assert idler.far_distance(0.1, 0.4, 0.6) == approx(np.sqrt(0.41))
    assert np.sin(idler.straight_slope(0.1, 0.4, 0.5)) == approx(0.6)
    assert np.sin(idler.straight_slope(0.4, 0.2, 0.5)) == approx(-0.4)
    assert np.isnan(idler.straight_slope(np.array([0.1, 0.7]), np.array([0.7, 0.1]), 0.5)).all()
    assert idler.chain_circle(20.0, 2 * np.pi * MM) == approx(20 * MM)
    assert idler.tangent_length(0.5, 0.1, 0.4) == approx(0.4)
    assert idler.tangent_length(0.5, 0.1, -0.2) == approx(0.4)
    assert np.isnan(idler.tangent_length(0.29, 0.1, 0.4))
    assert idler.two_wheel_path(0.4, np.arcsin(0.6), 0.1, 0.4) == approx(0.8 + np.pi * 0.5 + 0.6 * np.arcsin(0.6))


def test_signs_of_inside_and_outside():
    flag = np.array([1.0, 0.0, np.nan])
    assert idler.signed_radius(0.04, flag) == approx([0.04, -0.04, np.nan], nan_ok=True)
    assert idler.moved_in(0.10, 0.03, flag) == approx([0.13, 0.07, np.nan], nan_ok=True)
    assert idler.taken_up(0.05, 0.02) == approx(0.03)


def test_wheels_that_meet_or_miss_are_unknown():
    """80 mm from the near sprocket where radii of 50 and 40 mm need 90; an outside idler 20 mm clear of the strand."""
    assert np.isnan(idler.run(0.05, 0.05, 0.04, 0.5, 0.08, 0.0).psi_n)
    assert np.isnan(idler.run(0.05, 0.05, 0.04, 0.5, 0.42, 0.0).psi_f)
    assert np.isnan(idler.run(0.05, 0.05, -0.04, 0.5, 0.08, 0.0).psi_n)
    assert np.isnan(idler.run(0.05, 0.05, -0.04, 0.5, 0.42, 0.0).psi_f)
    assert np.isfinite(idler.run(0.05, 0.05, 0.04, 0.5, 0.092, 0.02).psi_n)
    assert np.isnan(idler.run(0.05, 0.05, -0.04, 0.5, 0.25, 0.11).theta_i)
    assert np.isnan(idler.run(0.05, 0.05, 0.04, 0.5, 0.25, 0.009).theta_i)
    assert np.isfinite(idler.run(0.05, 0.05, 0.04, 0.5, 0.25, 0.011).theta_i)


def test_force_on_an_idler_that_turns_the_chain_by_60_degrees():
    """Two equal forces at 120 deg: their sum is one of them."""
    assert idler.idler_force(500.0, np.pi / 3) == approx(500.0)


GIVEN = {  # invented
    "p": 15.875 * MM, "z_n": 19.0, "z_f": 38.0, "z_i": 23.0, "a": 0.465, "x": 0.190, "y": 0.035, "inside": 0.0,
    "s_t": 25 * MM, "L_n": 40 * MM, "F": 60.0, "tight": 0.0, "S_required": 1.0,
}


def rated(**changes):
    values = {**GIVEN, **changes}
    return idler.rate(idler.IdlerInputs(**values, origins=dict.fromkeys(values, Source("test", obtained="given"))))


def test_a_whole_rating_by_hand():
    """Angles from crossed tangents; engaged teeth floor(23 theta / 2 pi); travel by the same layout 25 mm further."""
    r = {z: z * 15.875e-3 / (2 * np.pi) for z in (19, 38, 23)}

    def slopes(y):
        n = np.arctan2(y, 0.190) - np.arcsin((r[23] + r[19]) / np.hypot(0.190, y))
        f = np.arcsin((r[38] + r[23]) / np.hypot(0.275, y)) - np.arctan2(y, 0.275)
        return n, f

    def way(y):
        n, f = slopes(y)
        tangents = (np.sqrt(0.190**2 + y**2 - (r[23] + r[19]) ** 2)
                    + np.sqrt(0.275**2 + y**2 - (r[23] + r[38]) ** 2))
        return tangents + r[23] * (f - n) - r[19] * n + r[38] * f

    found = rated()
    n, f = slopes(0.035)
    assert found.theta_i == approx(f - n)
    assert found.L_t == approx(way(0.010) - way(0.035))
    assert found.F_i == approx(120 * np.sin((f - n) / 2))
    margins = {c.mode: c.margin for c in found.checks}
    assert margins == approx({"idler engagement": np.floor(23 * (f - n) / (2 * np.pi)) / 3,
                              "idler on the slack strand": 1.0,
                              "tensioner travel": (way(0.010) - way(0.035)) / 0.040})


def test_an_idler_on_the_tight_strand_does_not_hold():
    margins = [rated(tight=t).checks[1].margin for t in (0.0, 1.0, np.nan)]
    assert margins == approx([1.0, 0.0, np.nan], nan_ok=True)


def test_few_teeth():
    assert idler.few_teeth(np.array([16.0, 17.0])).tolist() == [1, 0]
