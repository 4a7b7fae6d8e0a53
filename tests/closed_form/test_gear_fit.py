"""Do teeth fit: against gears drawn point by point, and numbers every handbook of gears prints.

Drawn: an involute is a thread unrolled from its base circle, and nothing else of the house is used. 34 teeth of an
unshifted ring, 14 and 17 of a rack-cut pinion at 20 degrees: common practice, no single source.
"""

import numpy as np
import pytest
from pytest import approx
from scipy.optimize import brentq

from layshaft.elements.gear_pair import fit, meshing
from layshaft.elements.gear_pair import geometry as gg
from layshaft.trace.formula import tracing
from layshaft.trace.source import Source

GIVEN = Source("machine file", "", "given")
ALPHA = np.radians(20)
PAIR = {"m_n": 3e-3, "z_1": 16.0, "z_2": 60.0, "b": 0.02, "beta": 0.0, "alpha_n": ALPHA, "x_1": 0.0, "x_2": 0.0,
        "a_w": 3e-3 * 76 / 2, "S_fit": 1.0}


def rated(**changes):
    values = PAIR | changes
    return fit.rate_fit(fit.FitInputs(**values, origins=dict.fromkeys(values, GIVEN)))


def checks(**changes):
    return {c.mode: c for c in rated(**changes).checks}


def half_angle(radius, base, pitch, thickness, *, inside=False):
    """Half the angle of a tooth at a radius: the flank unrolls from the base circle, on both sides of the tooth."""
    def roll(r):
        return np.sqrt((r / base) ** 2 - 1) - np.arctan(np.sqrt((r / base) ** 2 - 1))

    step = roll(pitch) - roll(radius)
    return thickness / 2 / pitch + (-step if inside else step)


# Tips ------------------------------------------------------------------------------------------


@pytest.mark.parametrize(("z", "x", "beta"), [(16.0, 0.0, 0.0), (12.0, 0.6, 0.0), (18.0, 0.3, 0.3)])
def test_thickness_of_a_tip_drawn(z, x, beta):
    m, m_t, alpha_t = 3.0, 3 / np.cos(beta), np.arctan(np.tan(ALPHA) / np.cos(beta))
    r, base = z * m_t / 2, z * m_t / 2 * np.cos(alpha_t)
    tip = r + m * (1 + x)
    thick = m_t * np.pi / 2 + 2 * x * m * np.tan(alpha_t)
    across = 2 * tip * half_angle(tip, base, r, thick) * np.cos(np.arctan(np.tan(beta) * tip / r))
    alpha_a = np.arccos(base / tip)
    assert meshing.tip_thickness(2 * tip, 2 * r, z, x, ALPHA, alpha_t, alpha_a, beta) == approx(across, rel=1e-12)


def test_thickness_of_a_ring_at_its_tip_drawn():
    """40 teeth, shifted by a half: thicker at the pitch circle, thicker still inside it."""
    r, base, tip = 60.0, 60 * np.cos(ALPHA), 60 - 3 * 1.5
    thick = 3 * np.pi / 2 + 2 * 0.5 * 3 * np.tan(ALPHA)
    tip = max(tip, base * 1.001)
    across = 2 * tip * half_angle(tip, base, r, thick, inside=True)
    found = meshing.tip_thickness(-2 * tip, -120.0, -40.0, 0.5, ALPHA, ALPHA, np.arccos(base / tip), 0.0)
    assert found == approx(across, rel=1e-12)


def test_tip_checks_name_both_numbers():
    pointed = checks(z_1=10.0, x_1=0.9, a_w=3e-3 * 35.7)["tip thickness"]
    assert pointed.demand == approx(0.6e-3)
    assert pointed.margin == approx(pointed.rating / pointed.demand) and pointed.margin < 1
    ring = checks(z_2=-30.0, a_w=3e-3 * 7)["tip above base"]
    assert (ring.demand, ring.rating) == approx((0.09 * np.cos(ALPHA), 0.084))
    assert ring.margin == approx(0.084 / 0.09 / np.cos(ALPHA)) and ring.margin < 1


@pytest.mark.parametrize(("z", "holds"), [(33, False), (34, True)])
def test_a_ring_without_shift_needs_34_teeth(z, holds):
    margin = checks(z_2=-float(z), a_w=3e-3 * (z - 16) / 2)["tip above base"].margin
    assert bool(margin >= 1) is holds


# Undercut --------------------------------------------------------------------------------------


def test_undercut_begins_at_17_teeth_and_is_borne_down_to_14():
    margin = {z: checks(z_1=float(z), a_w=3e-3 * (z + 60) / 2)["undercut"].margin for z in (13, 14, 17)}
    assert margin[13] < 1 <= margin[14]
    assert margin[17] == approx(17.1 / 14 * 17 * np.sin(ALPHA) ** 2 / 2, rel=1e-12)
    line = checks(z_1=10.0, a_w=0.12)["undercut"]
    assert (line.demand, line.rating) == approx((3e-3 * 14 / 17.1, 0.03 * np.sin(ALPHA) ** 2 / 2))
    assert checks(z_1=10.0, x_1=0.3, a_w=0.12)["undercut"].demand == approx(3e-3 * (14 / 17.1 - 0.3))


def test_a_ring_is_not_undercut_by_a_rack():
    assert meshing.undercut_margin(-40.0, 1.0, 1.0) == 10
    assert np.isnan(meshing.undercut_margin(np.nan, 1.0, np.nan))


# Interference ----------------------------------------------------------------------------------


def last_touch(z, x, z_m, x_m, a, m=3.0):
    """Diameter on a gear that the tip of its mate reaches on the line of action, drawn as a straight line."""
    base, base_m = z * m / 2 * np.cos(ALPHA), z_m * m / 2 * np.cos(ALPHA)
    tip_m = z_m * m / 2 + m * (1 + x_m)
    along = np.sqrt(a**2 - (base + base_m) ** 2) - np.sqrt(tip_m**2 - base_m**2)
    return 2 * np.hypot(base, along)


def test_where_the_mates_tip_touches_last():
    s = rated(z_1=20.0, z_2=33.0, x_1=0.2, x_2=-0.2, a_w=3e-3 * 53 / 2).shape
    touched = meshing.touched_diameter(s.d_b1, s.a_s, s.alpha_wt, s.d_a2, s.d_b2)
    assert touched == approx(last_touch(20, 0.2, 33, -0.2, 79.5) / 1e3, rel=1e-12)
    touched = meshing.touched_diameter(s.d_b2, s.a_s, s.alpha_wt, s.d_a1, s.d_b1)
    assert touched == approx(last_touch(33, -0.2, 20, 0.2, 79.5) / 1e3, rel=1e-12)


def test_where_a_rack_ends_on_the_flank():
    """The end of the straight flank lies one module below the rack's line, on the line of action."""
    r, base = 30.0, 30 * np.cos(ALPHA)
    y = 3.0 * (1 - 0.2)  # below the pitch point
    point = np.array([-y / np.tan(ALPHA), r - y])
    assert meshing.form_diameter(60.0, 2 * base, ALPHA, 3.0, 0.2) == approx(2 * np.hypot(*point), rel=1e-12)
    assert meshing.form_diameter(-120.0, -112.0, ALPHA, 3.0, 0.2) == approx(120 + 2 * 2.4)


@pytest.mark.parametrize(("z_1", "z_2"), [(20, 60), (30, 60), (16, 40), (20, 40), (24, 40)])
def test_involute_interference_in_a_ring(z_1, z_2):
    """Its tip must meet the line of action before the pinion's base point: z_1/z_2 >= 1 - tan(a_a2)/tan(a_w)."""
    c = checks(z_1=float(z_1), z_2=-float(z_2), a_w=3e-3 * (z_2 - z_1) / 2)["tooth interference"]
    tip = np.tan(np.arccos(z_2 * np.cos(ALPHA) / (z_2 - 2)))
    assert (c.margin >= 1) == (z_1 / z_2 >= 1 - tip / np.tan(ALPHA)) == (z_1 / z_2 in (0.5, 0.6) and z_1 != 20)
    assert c.margin == approx(c.rating / c.demand)


def test_where_a_flank_ends():
    assert meshing.flank_end(60.0, 56.0, 3.0, 0.2) == 56
    assert meshing.flank_end(-180.0, -169.0, 3.0, 0.2) == approx(180 + 6 * 1.05)
    c = checks(z_1=20.0, z_2=-60.0, x_1=1.9, x_2=-1.0, a_w=0.0622)["tooth interference"]
    ring = rated(z_1=20.0, z_2=-60.0, x_1=1.9, x_2=-1.0, a_w=0.0622).shape
    assert c.rating == approx(-gg.root_diameter(ring.d_2, 3e-3, -1.0))  # the pinion's tip against the ring's root
    assert c.demand == approx(meshing.touched_diameter(ring.d_b2, ring.a_s, ring.alpha_wt, ring.d_a1, ring.d_b1))


@pytest.mark.parametrize(("values", "said"), [({}, []), ({"x_1": 0.4, "x_2": -0.4}, []), ({"x_2": 0.0, "z_1": 30.0}, ["pinion"])])
def test_a_tip_in_a_fillet_is_remarked(values, said):
    """The ring of 60 unshifted teeth reaches 85.17 mm on its pinion of 30, whose involute begins at 85.60 mm."""
    case = {"z_1": 20.0, "z_2": 60.0, "a_w": 0.12} | values
    if case["z_1"] == 30:
        case |= {"z_2": -60.0, "a_w": 0.045}
    with tracing() as trace:
        rated(**case)
    assert not trace.untraced
    assert [r.text.split("fillet of the ")[1].split(",")[0] for r in trace.remarks] == said
    assert meshing.fillet_touched(np.array([90, 90, -180, -180]), np.array([85.17, 86, 185, 187.0]),
                                  np.array([85.6, 85.6, 186, 186.0])) == approx([1, 0, 0, 1])
    assert last_touch_inside(30, 60) == approx(85.17, abs=0.005)


def last_touch_inside(z, z_ring, m=3.0):
    base, base_r, a = z * m / 2 * np.cos(ALPHA), z_ring * m / 2 * np.cos(ALPHA), (z_ring - z) * m / 2
    return 2 * np.hypot(base, np.sqrt((z_ring * m / 2 - m) ** 2 - base_r**2) - a * np.sin(ALPHA))


def free_of_the_ring(z_1, z_2, m=3.0):
    """Turn a pinion inside its ring, drawn: does the corner of its tip stay out of the ring's teeth?"""
    r, base, tip = z_2 * m / 2, z_2 * m / 2 * np.cos(ALPHA), z_2 * m / 2 - m
    r_1, base_1, tip_1, a = z_1 * m / 2, z_1 * m / 2 * np.cos(ALPHA), z_1 * m / 2 + m, (z_2 - z_1) * m / 2
    corner = half_angle(tip_1, base_1, r_1, m * np.pi / 2)
    # At rest a tooth of the pinion stands in the middle of a gap of the ring, on the line of centres.
    turn = np.linspace(0.02, 1.2, 20001)
    for sign in (1, -1):  # both corners of its tip
        x, y = a + tip_1 * np.cos(turn + sign * corner), tip_1 * np.sin(turn + sign * corner)
        radius, angle = np.hypot(x, y), np.arctan2(y, x) - turn * z_1 / z_2
        near = (radius > tip) & (radius < r + m)
        half = half_angle(np.clip(radius, base, None), base, r, m * np.pi / 2, inside=True)
        middle = np.pi / z_2 * (2 * np.floor(angle * z_2 / (2 * np.pi)) + 1)
        if np.any(near & (np.abs(angle - middle) < half - 1e-4)):
            return False
    return True


@pytest.mark.parametrize("z_1", [24, 26, 28, 29, 30, 31, 32, 33, 34])
def test_tips_clash_in_a_ring_with_too_few_teeth_more(z_1):
    margin = checks(z_1=float(z_1), z_2=-40.0, a_w=3e-3 * (40 - z_1) / 2)["tip clash in the ring"].margin
    assert (margin >= 1) == free_of_the_ring(z_1, 40)


def test_gears_side_by_side_have_no_such_clash():
    assert checks()["tip clash in the ring"].margin == 10


# Mounting --------------------------------------------------------------------------------------


def gap(z, x, a, m=3.0):
    """Pitch less both thicknesses, where the two gears roll on each other, drawn."""
    found = 2 * np.pi * a / sum(z)
    for n, shift in zip(z, x, strict=True):
        r, base = n * m / 2, n * m / 2 * np.cos(ALPHA)
        working = a * n / sum(z)
        found -= 2 * working * half_angle(working, base, r, m * np.pi / 2 + 2 * shift * m * np.tan(ALPHA))
    return found


def test_backlash_at_a_given_distance():
    z, x = (16.0, 60.0), (0.3, -0.1)
    rating = rated(z_1=z[0], z_2=z[1], x_1=x[0], x_2=x[1], a_w=0.115)
    assert rating.shape.j_t == approx(gap(z, x, 115.0) / 1e3, rel=1e-9)
    c = {c.mode: c for c in rating.checks}["backlash"]
    assert c.margin == approx(1 + rating.shape.j_t / 3e-3)
    none = brentq(lambda a: gap(z, x, a), 110, 120)
    assert c.demand == approx(none / 1e3, rel=1e-4)  # the first order, half a millimetre away
    assert c.rating == 0.115
    tight = {c.mode: c for c in rated(z_1=z[0], z_2=z[1], x_1=x[0], x_2=x[1], a_w=0.114).checks}["backlash"]
    assert tight.margin < 1 and tight.demand > tight.rating


def test_a_pinion_moved_off_its_ring_bites():
    """Further apart means deeper in on the far side of the axes."""
    play = [rated(z_2=-60.0, a_w=a).shape.j_t for a in (0.0659, 0.066, 0.0661)]
    assert play[0] > 0 > play[2]
    assert play[1] == approx(0, abs=1e-12)


def test_shift_for_a_given_distance_takes_up_all_play():
    a, beta = 0.1165, np.radians(21)
    z = 31.0, 30.0
    alpha_t = gg.transverse_angle(ALPHA, beta)
    x_s = rated(m_n=3.5e-3, z_1=30.0, z_2=31.0, beta=beta, a_w=a).x_s
    assert x_s == approx(0.651877, rel=1e-5)  # as printed on the sheet that test_iso_21771 reads
    x_1 = meshing.pinion_shift(x_s, 30.0, 31.0)
    s = rated(m_n=3.5e-3, z_1=30.0, z_2=31.0, beta=beta, a_w=a, x_1=x_1, x_2=meshing.wheel_shift(x_s, x_1)).shape
    assert s.j_t == approx(0, abs=1e-12)
    assert s.alpha_t == approx(alpha_t) and sum(z) == 61


def test_share_of_the_pinion_in_the_shift():
    """Equal gears share evenly; 20 to 80 teeth with nothing to share: 0.5 lg 4 / lg 16 = 0.25."""
    assert meshing.pinion_shift(0.4, 30.0, 30.0) == approx(0.2)
    assert meshing.pinion_shift(0.0, 20.0, 80.0) == approx(0.25)
    assert meshing.pinion_shift(0.4, 20.0, 80.0) == approx(0.2 + 0.3 / 2)
    assert meshing.pinion_shift(0.4, 20.0, -80.0) == 0
    assert np.isnan(meshing.pinion_shift(0.4, 5.0, 6.0))


def test_contact_ratio_counts_the_helix():
    spur, helical = checks()["contact ratio"], checks(beta=0.3, a_w=3e-3 * 38 / np.cos(0.3))["contact ratio"]
    assert spur.margin == spur.rating == meshing.total_contact_ratio(rated().shape.eps_alpha, 0.0)
    assert spur.margin == approx(rated().shape.eps_alpha)
    assert helical.rating == approx(rated(beta=0.3, a_w=3e-3 * 38 / np.cos(0.3)).shape.eps_alpha
                                    + 0.02 * np.sin(0.3) / np.pi / 3e-3)


# A ring by the tables ---------------------------------------------------------------------------


@pytest.mark.from_memory
def test_internal_pair_module_3_teeth_16_and_24():
    """A gear maker's technical reference after JGMA, internal gears: 13.1683 mm, tips 54 and 69 mm.

    There the shift of the ring is +0.5 where its teeth lie further out; by ISO 21771 that is -0.5.
    """
    inv = gg.working_involute(ALPHA, ALPHA, 0.0, -0.5, 16.0, -24.0)
    alpha_w = gg.working_angle(inv)
    a = gg.reference_centre_distance(16.0, -24.0, 3e-3)
    assert -gg.working_centre_distance(a, ALPHA, alpha_w) == approx(13.1683e-3, abs=5e-8)
    s = rated(z_2=-24.0, x_2=-0.5, a_w=13.1683e-3).shape
    assert (s.d_a1, s.d_a2) == approx((54e-3, -69e-3), rel=1e-6)
    assert (s.d_b1, s.d_b2) == approx((45.105e-3, -67.658e-3), abs=5e-7)
    assert -gg.root_diameter(s.d_2, 3e-3, -0.5) == approx(82.5e-3)


# Each formula by itself, worked out by hand ------------------------------------------------------


def test_depths_of_cut_and_of_the_line_of_action():
    """Module 3 and x 0.3: 3 (14/17.1 - 0.3); 16 teeth: 24 sin2 20 deg, on a ring alike."""
    assert meshing.cut_depth(3.0, 0.3) == approx(1.5561404, rel=1e-6)
    assert meshing.cut_depth(3.0, 1.0) == approx(0.3)
    assert meshing.line_depth(48.0, ALPHA) == approx(2.8074667, rel=1e-6)
    assert meshing.line_depth(-48.0, ALPHA) == approx(2.8074667, rel=1e-6)
    assert meshing.undercut_margin(16.0, 2.8, 1.6) == approx(1.75)


def test_ends_of_flanks_and_which_of_two_bounds():
    assert meshing.flank_end(-60.0, -56.0, 2.0, 0.2) == approx(64.2)
    assert meshing.flank_end(60.0, 56.0, 2.0, 0.2) == 56
    assert (meshing.must_reach(60.0, 57.0, 56.0), meshing.may_reach(60.0, 57.0, 56.0)) == (56, 57)
    assert (meshing.must_reach(-60.0, 63.0, 64.2), meshing.may_reach(-60.0, 63.0, 64.2)) == (63, 64.2)
    assert (meshing.of_the_worse(1.1, 1.2, 5.0, 6.0), meshing.of_the_worse(1.2, 1.1, 5.0, 6.0)) == (5, 6)
    assert meshing.of_the_worse(1.1, 1.1, 5.0, 6.0) == 5
    assert meshing.diameter_of_the_worse(1.1, 1.2, 5.0, -6.0) == 5
    assert meshing.diameter_of_the_worse(1.2, 1.1, 5.0, -6.0) == 6
    assert meshing.diameter_of_the_worse(1.1, 1.1, 5.0, -6.0) == 5
    assert fit.least_contact() == 1


def test_two_tip_circles_cross_where_a_triangle_says():
    """Radii 40 and 55, axes 18 apart: the corner of the triangle by the law of cosines, from either axis."""
    a, r_1, r_2 = 18.0, 40.0, 55.0
    x = (r_2**2 - r_1**2 - a**2) / (2 * a)  # along the line of axes, beyond the pinion's
    y = np.sqrt(r_1**2 - x**2)
    roll = (np.tan(0.5) - 0.5) - (np.tan(0.3) - 0.3)
    assert meshing.pinion_turn(2 * r_1, -2 * r_2, a, 0.5, 0.3) == approx(np.arctan2(y, x) + roll, rel=1e-12)
    assert meshing.ring_turn(2 * r_1, -2 * r_2, a) == approx(np.arctan2(y, x + a), rel=1e-12)
    assert meshing.pinion_turn(2 * r_1, -2 * 20.0, a, 0.5, 0.3) == approx(np.pi + roll)  # circles that do not cross
    assert meshing.pinion_turn(2 * r_1, -2 * 99.0, a, 0.5, 0.3) == approx(roll)
    assert meshing.ring_turn(2 * r_1, -2 * 99.0, a) == 0
    assert meshing.ring_turn(2 * 90.0, -2 * 10.0, a) == approx(np.pi)
    margin = meshing.trochoid_margin(20.0, -50.0, 1.4, 0.5, 0.4, 0.3)
    assert margin == approx((1.4 * 0.4 + (np.tan(0.4) - 0.4) - (np.tan(0.3) - 0.3)) / 0.5, rel=1e-12)
    assert meshing.trochoid_margin(20.0, 50.0, 1.4, 0.5, 0.4, 0.3) == 10
    assert meshing.trochoid_margin(20.0, -50.0, 1.4, 0.0, 0.4, 0.3) == approx(
        (1.4 * 0.4 + (np.tan(0.4) - 0.4) - (np.tan(0.3) - 0.3)) * 1e9)
    assert np.isnan(meshing.trochoid_margin(np.nan, 50.0, 1.4, 0.5, 0.4, 0.3))
    assert np.isnan(meshing.trochoid_margin(20.0, np.nan, 1.4, 0.5, 0.4, 0.3))


def test_touched_diameter_on_both_sides_of_the_base_point():
    """Base 60 mm, 2 a sin 30 = 50 mm; the mate reaches 40, 60 or, in a ring, 70 mm from its own base point."""
    for reach, d_bm, along in ((40.0, 80.0, 10.0), (60.0, 80.0, -10.0)):
        d_am = np.hypot(d_bm, reach)
        found = meshing.touched_diameter(60.0, 50.0, np.pi / 6, d_am, d_bm)
        assert found == approx(np.sqrt(3600 + along * abs(along)), rel=1e-12)
    found = meshing.touched_diameter(60.0, -50.0, np.pi / 6, -np.hypot(80.0, 70.0), -80.0)
    assert found == approx(np.sqrt(3600 + 20**2), rel=1e-12)
    found = meshing.touched_diameter(-80.0, -50.0, np.pi / 6, np.hypot(60.0, 30.0), 60.0)
    assert found == approx(np.sqrt(6400 + 80**2), rel=1e-12)
    assert np.isnan(meshing.touched_diameter(60.0, 50.0, np.pi / 6, 70.0, 80.0))
    assert np.isnan(meshing.touched_diameter(60.0, 50.0, np.pi / 6, -70.0, -80.0))
    assert meshing.touched_diameter(10.0, 50.0, np.pi / 6, np.hypot(80.0, 90.0), 80.0) == 0


def test_the_rule_for_shares_begins_beyond_a_product_of_100():
    assert np.isnan(meshing.pinion_shift(0.2, 10.0, 10.0))
    assert meshing.pinion_shift(0.0, 10.0, 15.0) == approx(0.5 * np.log10(1.5) / np.log10(1.5))
    assert meshing.pinion_shift(0.2, 10.0, 10.05) == approx(0.1 + 0.4 * np.log10(1.005) / np.log10(1.01))
