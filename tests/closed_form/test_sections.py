"""Plane areas against polygons summed corner by corner (Green's theorem), with numpy.

The oracle knows no shape: it gets corners and adds up triangles. Round outlines have 20,000 corners.
"""

import numpy as np
import pytest
from pytest import approx

from layshaft.mechanics import sections as s

TURN = np.linspace(0, 2 * np.pi, 20_001)[:-1]


def polygon(*outlines):
    """A, x_c, y_c, and I_x, I_y, I_xy about the middle; the first outline solid, the others holes."""
    sums = np.zeros(6)
    for k, corners in enumerate(outlines):
        x, y = np.asarray(corners, float).T
        u, v = np.roll(x, -1), np.roll(y, -1)
        w = x * v - u * y
        own = np.array([
            (w / 2).sum(), ((x + u) * w / 6).sum(), ((y + v) * w / 6).sum(), ((y * y + y * v + v * v) * w / 12).sum(),
            ((x * x + x * u + u * u) * w / 12).sum(), ((x * v + 2 * x * y + 2 * u * v + u * y) * w / 24).sum()])
        sums += np.sign(own[0]) * own * (-1 if k else 1)
    A, S_y, S_x, I_x, I_y, I_xy = sums
    x_c, y_c = S_y / A, S_x / A
    return A, x_c, y_c, I_x - A * y_c**2, I_y - A * x_c**2, I_xy - A * x_c * y_c


def box(b, h):
    return [(-b / 2, -h / 2), (b / 2, -h / 2), (b / 2, h / 2), (-b / 2, h / 2)]


def arc(r, start, end, middle=(0, 0), n=5000):
    turn = np.linspace(start, end, n)
    return [*zip(middle[0] + r * np.cos(turn), middle[1] + r * np.sin(turn), strict=True)]


I_SECTION = [(-35, 0), (35, 0), (35, 9), (3, 9), (3, 111), (35, 111), (35, 120), (-35, 120), (-35, 111), (-3, 111), (-3, 9),
             (-35, 9)]
CHANNEL = [(0, 0), (45, 0), (45, 8), (6, 8), (6, 72), (45, 72), (45, 80), (0, 80)]
TEE = [(-30, 0), (30, 0), (30, -7), (2.5, -7), (2.5, -50), (-2.5, -50), (-2.5, -7), (-30, -7)]
ANGLE = [(0, 0), (60, 0), (60, 6), (6, 6), (6, 90), (0, 90)]


def test_rectangle_solid_and_hollow():
    A, _, _, I_x, I_y, _ = polygon(box(60, 40), box(54, 34))
    assert s.rectangle_area(60.0, 40.0, 54.0, 34.0) == approx(A)
    assert s.rectangle_moment(60.0, 40.0, 54.0, 34.0) == approx(I_x)
    assert s.rectangle_moment(40.0, 60.0, 34.0, 54.0) == approx(I_y)
    assert s.rectangle_moment(60.0, 40.0, 0.0, 0.0) == approx(60 * 40**3 / 12)


def test_circle_and_ellipse():
    A, *_ = polygon(arc(20, 0, 2 * np.pi)[:-1], arc(15, 0, 2 * np.pi)[:-1])
    assert s.circle_area(40.0, 30.0) == approx(A, rel=1e-5)
    A, _, _, I_x, _, _ = polygon([*zip(25 * np.cos(TURN), 10 * np.sin(TURN), strict=True)])
    assert s.ellipse_area(50.0, 20.0) == approx(A, rel=1e-6)
    assert s.ellipse_moment(50.0, 20.0) == approx(I_x, rel=1e-6)


def test_triangle():
    A, _, y_c, I_x, _, _ = polygon([(0, 0), (70, 0), (20, 45)])
    assert [s.triangle_area(70.0, 45.0), s.triangle_centre(45.0), s.triangle_moment(70.0, 45.0)] == approx([A, y_c, I_x])


def test_half_circle():
    A, _, y_c, I_x, _, _ = polygon(arc(30, 0, np.pi, n=20_000))
    found = [s.half_circle_area(30.0), s.half_circle_centre(30.0), s.half_circle_moment(30.0)]
    assert found == approx([A, y_c, I_x], rel=1e-6)


def test_trapezoid():
    A, _, y_c, I_x, _, _ = polygon([(0, 0), (80, 0), (65, 35), (15, 35)])
    found = [f(50.0, 80.0, 35.0) for f in (s.trapezoid_area, s.trapezoid_centre, s.trapezoid_moment)]
    assert found == approx([A, y_c, I_x])


def test_flanged_sections():
    A, _, _, I_x, I_y, _ = polygon(I_SECTION)
    found = [f(70.0, 120.0, 6.0, 9.0) for f in (s.flanged_area, s.flanged_moment, s.flanged_moment_upright)]
    assert found == approx([A, I_x, I_y])
    A, x_c, _, I_x, I_y, _ = polygon(CHANNEL)
    found = [f(45.0, 80.0, 6.0, 8.0) for f in (s.flanged_area, s.channel_centre, s.flanged_moment,
                                               s.channel_moment_upright)]
    assert found == approx([A, x_c, I_x, I_y])
    A, _, y_c, I_x, _, _ = polygon(TEE)
    found = [f(60.0, 50.0, 5.0, 7.0) for f in (s.tee_area, s.tee_centre, s.tee_moment)]
    assert found == approx([A, -y_c, I_x])


def test_angle_and_its_principal_axes():
    A, x_c, y_c, I_x, I_y, I_xy = polygon(ANGLE)
    legs = (60.0, 90.0, 6.0)
    assert [s.angle_area(*legs), s.angle_centre(*legs), s.angle_moment(*legs), s.angle_product(*legs)] == approx(
        [A, y_c, I_x, I_xy])
    assert s.angle_centre(90.0, 60.0, 6.0) == approx(x_c)
    assert s.angle_moment(90.0, 60.0, 6.0) == approx(I_y)
    moments, directions = np.linalg.eigh([[I_x, -I_xy], [-I_xy, I_y]])
    assert [s.weak_moment(I_x, I_y, I_xy), s.strong_moment(I_x, I_y, I_xy)] == approx(moments)
    theta = s.strong_axis(I_x, I_y, I_xy)
    assert abs(directions[:, 1] @ [np.cos(theta), np.sin(theta)]) == approx(1)
    steep = s.strong_axis(I_y, I_x, -I_xy)  # told lying: the strong axis is the upright one
    _, directions = np.linalg.eigh([[I_y, I_xy], [I_xy, I_x]])
    assert abs(directions[:, 1] @ [np.cos(steep), np.sin(steep)]) == approx(1)


def test_rounded_corner_and_tube():
    r = 12.0
    bit = [(0, 0), (0, 12), *arc(12, np.pi, 3 * np.pi / 2, (12, 12), 20_000)]
    A, x_c, _, I_x, _, _ = polygon(bit)
    assert [s.corner_area(r), s.corner_centre(r), s.corner_moment(r)] == approx([A, x_c, I_x], rel=1e-6)
    assert tube(60.0, 40.0, 4.0, 8.0, 4.0) == approx(polygon(rounded(60, 40, 8), rounded(52, 32, 4))[3], rel=1e-6)


def rounded(b, h, r):
    corners = []
    for k, (x, y) in enumerate([(1, 1), (-1, 1), (-1, -1), (1, -1)]):
        middle = (x * (b / 2 - r), y * (h / 2 - r))
        corners += arc(r, k * np.pi / 2, (k + 1) * np.pi / 2, middle)
    return corners


def tube(b, h, t, r_o, r_i):
    I_e = s.rectangle_moment(b, h, b - 2 * t, h - 2 * t)
    return s.rounded_tube_moment(I_e, s.corner_moment(r_o), s.corner_area(r_o), h, s.corner_centre(r_o),
                                 s.corner_moment(r_i), s.corner_area(r_i), h - 2 * t, s.corner_centre(r_i))


def test_sum_of_areas_with_a_hole():
    """A tee built from two rectangles, with a round hole; each shifted to the middle of the sum."""
    hole = [(x, y - 20) for x, y in arc(1.5, 0, 2 * np.pi, n=20_001)[:-1]]
    A, x_c, y_c, I_x, I_y, I_xy = polygon([(x + 4, y) for x, y in TEE], hole)
    pieces = [(420.0, 4.0, -3.5, 60 * 7**3 / 12, 7 * 60**3 / 12), (215.0, 4.0, -28.5, 5 * 43**3 / 12, 43 * 5**3 / 12),
              (-np.pi * 1.5**2, 0.0, -20.0, -np.pi * 1.5**4 / 4, -np.pi * 1.5**4 / 4)]
    assert sum(p[0] for p in pieces) == approx(A)
    assert sum(s.shifted_moment(own, area, y - y_c) for area, _, y, own, _ in pieces) == approx(I_x)
    assert sum(s.shifted_moment(own, area, x - x_c) for area, x, _, _, own in pieces) == approx(I_y)
    assert sum(s.shifted_product(0.0, area, x - x_c, y - y_c) for area, x, y, *_ in pieces) == approx(I_xy, rel=1e-5)
    assert s.shifted_product(2.0, 3.0, 4.0, -5.0) == approx(-58.0)


def test_polar_modulus_and_gyration():
    """Rectangle 3 by 4: I 16 and 9, polar 25, modulus 8, gyration 4 over root 12."""
    assert s.polar_moment(16.0, 9.0) == approx(25.0)
    assert s.section_modulus(16.0, 2.0) == approx(8.0)
    assert s.gyration(16.0, 12.0) == approx(4 / 12**0.5)


@pytest.mark.parametrize("formula", [s.strong_moment, s.weak_moment])
def test_principal_moments_do_not_depend_on_the_sign_of_the_product(formula):
    assert formula(5.0, 3.0, 2.0) == formula(5.0, 3.0, -2.0)
