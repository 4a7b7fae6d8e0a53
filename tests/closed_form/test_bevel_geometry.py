"""Cones and virtual teeth of bevel pairs, and how bent shafts part their points, against independent closed forms."""

from types import SimpleNamespace

import numpy as np
import pytest
from pytest import approx

from layshaft.elements.bevel_pair import geometry as bevel
from layshaft.elements.bevel_pair import strength
from layshaft.elements.gear_pair import geometry as spur
from layshaft.train.bevels import Bent, bevel_mesh, lean_along_face, shift_of_middle

ALPHA = np.radians(20)


def test_bevel_cones_fill_the_shaft_angle():
    """15 and 45 teeth at 90 degrees: tan = 1/3; at 70 degrees the two cones still add to it."""
    assert np.tan(bevel.cone_angle(15.0, 45.0, np.pi / 2)) == approx(1 / 3)
    for sigma in np.radians([60.0, 70.0, 110.0]):
        delta = [bevel.cone_angle(15.0, 40.0, sigma), bevel.cone_angle(40.0, 15.0, sigma)]
        assert sum(delta) == approx(sigma)
        edges = [bevel.cone_distance(15.0, delta[0]), bevel.cone_distance(40.0, delta[1])]
        assert edges[0] == approx(edges[1], rel=1e-12)


def test_cone_distance_and_mean_diameter():
    """Teeth 30 and 40 of 1 mm at 90 degrees: a 3-4-5 triangle with edge 25 mm."""
    delta = bevel.cone_angle(30.0, 40.0, np.pi / 2)
    assert bevel.cone_distance(bevel.large_diameter(30.0, 1.0), delta) == approx(25.0)
    assert bevel.mean_diameter(30.0, 10.0, delta) == approx(24.0)


def test_bevel_forces_of_shafts_at_right_angles_are_each_others():
    delta = bevel.cone_angle(15.0, 45.0, np.pi / 2)
    radial = bevel.radial_force(400.0, ALPHA, delta)
    assert radial == approx(bevel.axial_force(400.0, ALPHA, np.pi / 2 - delta))
    assert np.hypot(radial, bevel.axial_force(400.0, ALPHA, delta)) == approx(400.0 * np.tan(ALPHA))


def test_the_back_cone_unrolls_to_a_spur_gear_of_the_same_module():
    delta = bevel.cone_angle(15.0, 45.0, np.pi / 2)
    assert bevel.virtual_diameter(30.0, delta) / bevel.virtual_teeth(15.0, delta) == approx(2.0)
    assert bevel.virtual_diameter(30.0, delta) == approx(2 * 15.0 / np.cos(delta))


@pytest.mark.parametrize(("z", "alpha"), [((20.0, 60.0), 20.0), ((24.04, 54.08), 20.0), ((15.8, 142.3), 25.0)])
def test_the_virtual_contact_ratio_is_that_of_spur_gears(z, alpha):
    """The same from base circles and the path of contact; 1.6708 for 20 and 60 teeth."""
    m, alpha = 3e-3, np.radians(alpha)
    d = [m * n for n in z]
    base, tip = [spur.base_diameter(x, alpha) for x in d], [spur.tip_diameter(x, m, 0.0, 0.0) for x in d]
    path = spur.path_of_contact(tip[0], base[0], tip[1], base[1], sum(d) / 2, alpha)
    found = bevel.virtual_contact_ratio(*d, m, alpha)
    assert found == approx(spur.contact_ratio(path, spur.base_pitch(m, alpha)), rel=1e-12)
    if z == (20.0, 60.0):
        assert found == approx(1.6708, rel=2e-4)


def test_outside_the_method_there_is_no_answer():
    assert np.isnan(strength.root_capacity(100e6, 0.06, 3e-3, 0.05, 0.3))
    assert np.isnan(strength.wear_capacity(0.06, 0.02, 1.3, 1e6, 0.6, np.radians(14.5)))


def test_a_tapered_tooth_carries_more_than_its_first_term_says():
    """Slices of a beam of even strength, size and arm both as the way from the point: 1 - b/A + b^2/(3 A^2)."""
    b, A = 0.3, 1.0
    x = np.linspace(A - b, A, 20001)
    exact = np.trapezoid((x / A) ** 2, x) if hasattr(np, "trapezoid") else np.trapz((x / A) ** 2, x)
    assert exact == approx(b * (1 - b / A + b**2 / (3 * A**2)), rel=1e-8)
    assert strength.root_capacity(1.0, b, 1.0, A, 1.0) == approx(b * (1 - b / A))
    assert strength.root_capacity(1.0, b, 1.0, A, 1.0) < exact


# Bent shafts ---------------------------------------------------------------------------------------


def thing(value):
    return SimpleNamespace(nominal=value)


STAGE = SimpleNamespace(teeth=(thing(20.0), thing(30.0)), normal_module=thing(4e-3), face=thing(20e-3),
                        pressure_angle=thing(ALPHA), apex=("beyond", "before"))
FIRST, SECOND = SimpleNamespace(axis=(1.0, 0.0, 0.0)), SimpleNamespace(axis=(0.0, 0.0, 1.0))
ONE = np.ones((1, 1))


def bent(shift=(0.0, 0.0, 0.0), lean=(0.0, 0.0, 0.0)):
    return Bent(*(np.array(v)[:, None, None] * ONE for v in (shift, lean)))


def as_a_body(turn, about, seat, axis, along=0.0):
    """How a seat and its axis move when all turns by a small `turn` about a point, and slides."""
    turn = np.array(turn)
    return bent(np.cross(turn, np.array(seat) - np.array(about)) + along, np.cross(turn, np.array(axis)))


def seats():
    """Point of the cones at the origin: the first gear before it, the second above."""
    mesh = bevel_mesh(STAGE, FIRST, SECOND)
    return mesh, (mesh.out[0] * 60e-3, mesh.out[1] * 40e-3)


def lean(one, two, torque=1.0):
    return float(lean_along_face(STAGE, FIRST, SECOND, torque * ONE, (one, two))[0, 0])


def test_the_mesh_lies_on_the_common_edge_half_a_face_from_the_large_ends():
    mesh, (p, q) = seats()
    assert mesh.height == approx((60e-3, 40e-3))
    edge = (mesh.out[0] * 60 + mesh.out[1] * 40) / np.hypot(60, 40)
    middle = edge * (np.hypot(60e-3, 40e-3) - 10e-3)
    assert p + mesh.arm[0] == approx(middle)
    assert q + mesh.arm[1] == approx(middle)


def test_what_both_gears_do_alike_opens_nothing():
    _, (p, q) = seats()
    turn, about = (3e-4, -2e-4, 5e-4), (0.1, 0.2, -0.3)
    moved = as_a_body(turn, about, p, FIRST.axis), as_a_body(turn, about, q, SECOND.axis)
    assert lean(*moved) == approx(0.0, abs=1e-15)
    assert float(shift_of_middle(STAGE, FIRST, SECOND, moved)[0, 0]) < 1e-4


def test_gears_that_turn_about_the_point_of_the_cones_still_bear_all_along():
    _, (p, _) = seats()
    assert lean(as_a_body((2e-4, 7e-4, -4e-4), (0.0, 0.0, 0.0), p, FIRST.axis), bent()) == approx(0.0, abs=1e-15)


@pytest.mark.parametrize("torque", [1.0, -1.0])
def test_parted_points_open_the_face_as_the_gap_itself_says(torque):
    """The gap between the flanks' common edge and its first place, at both ends, once one gear has turned to touch."""
    mesh, (p, q) = seats()
    one, two = bent((1e-5, 2e-5, -3e-5), (0.0, 4e-4, 6e-4)), bent((-2e-5, 1e-5, 0.0), (5e-4, -3e-4, 0.0))
    out, delta = mesh.out, mesh.delta[0]
    edge = out[0] * np.cos(delta) + out[1] * np.sin(delta)
    normal = torque * np.cos(ALPHA) * np.cross(FIRST.axis, out[1]) + np.sin(ALPHA) * (
        out[0] * np.sin(delta) - out[1] * np.cos(delta))
    ends = [edge * (np.hypot(60e-3, 40e-3) - way) for way in (20e-3, 10e-3, 0.0)]

    def moved(gear, axis, seat, at):
        return gear.shift[:, 0, 0] + np.cross(np.cross(axis, gear.lean[:, 0, 0]), at - seat)

    gaps = [(moved(one, FIRST.axis, p, at) - moved(two, SECOND.axis, q, at)) @ normal for at in ends]
    closing = [np.cross(FIRST.axis, at) @ normal for at in ends]
    left = [g - gaps[1] / closing[1] * c for g, c in zip(gaps, closing, strict=True)]
    assert left[1] == approx(0.0, abs=1e-18)
    assert lean(one, two, torque) == approx(abs(left[2] - left[0]) / 20e-3, rel=1e-9)


def test_the_middles_shift_as_rigid_gears_do():
    mesh, _ = seats()
    one, two = bent((1e-5, 2e-5, -3e-5), (0.0, 4e-4, 6e-4)), bent((-2e-5, 1e-5, 0.0), (5e-4, -3e-4, 0.0))
    way = [g.shift[:, 0, 0] + np.cross(np.cross(a, g.lean[:, 0, 0]), arm)
           for g, a, arm in ((one, FIRST.axis, mesh.arm[0]), (two, SECOND.axis, mesh.arm[1]))]
    found = shift_of_middle(STAGE, FIRST, SECOND, (one, two))
    assert float(found[0, 0]) == approx(np.linalg.norm(way[0] - way[1]), rel=1e-12)
