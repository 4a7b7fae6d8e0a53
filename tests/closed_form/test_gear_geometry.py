"""Gear geometry and forces against independent closed forms."""

import numpy as np
import pytest
from pytest import approx

from layshaft.elements.gear_pair import forces, strength
from layshaft.elements.gear_pair import geometry as gg
from layshaft.listings.tables import table

ALPHA = np.radians(20)


def test_two_tips_add_to_the_contact_ratio():
    """Angle turned between the tips, against length along the line of action; 1.6708 for 20/60."""
    z = np.array([20.0, 60.0])
    d_b, d_a = gg.base_diameter(z, ALPHA), gg.tip_diameter(z, 1.0, 0.0, 0.0)
    shares = gg.tip_contact_ratio(z, gg.tip_angle(d_b, d_a), ALPHA)
    g_a = gg.path_of_contact(d_a[0], d_b[0], d_a[1], d_b[1], 40.0, ALPHA)
    assert shares.sum() == approx(gg.contact_ratio(g_a, gg.base_pitch(1.0, ALPHA)), rel=1e-12)
    assert shares.sum() == approx(1.6708, rel=2e-4)
    assert np.isnan(gg.tip_angle(10.0, 9.9))
    assert np.isnan(gg.path_of_contact(9.9, 10.0, 20.0, 19.0, 15.0, ALPHA))
    assert np.isnan(gg.path_of_contact(11.0, 10.0, 18.9, 19.0, 15.0, ALPHA))


def test_overlap_of_one_when_the_face_spans_one_axial_pitch():
    beta = np.radians(15)
    axial_pitch = np.pi * gg.transverse_module(2.0, beta) / np.tan(beta)
    assert gg.overlap_ratio(axial_pitch, beta, 2.0) == approx(1.0)
    assert gg.overlap_ratio(axial_pitch / 2, beta, 2.0) == approx(0.5)


def test_base_helix_by_the_unrolled_cylinder():
    """tan(beta_b) = tan(beta) cos(alpha_t): the lead is common to both cylinders."""
    beta = np.radians(21)
    expected = np.tan(beta) * np.cos(gg.transverse_angle(ALPHA, beta))
    assert np.tan(gg.base_helix(beta, ALPHA)) == approx(expected, rel=1e-12)


def test_centres_set_apart_open_the_backlash_of_a_wedge():
    """A tooth as a wedge of half angle alpha drawn out by 0.1 mm: play on both flanks."""
    assert gg.backlash_from_centres(0.1, ALPHA) == approx(2 * 0.1 * 0.36397, rel=1e-4)


def test_pitch_circles_roll_on_each_other():
    d_1, d_2 = gg.working_diameter(50.0, 16.0, 40.0), gg.working_diameter(50.0, 40.0, 16.0)
    assert (d_1 + d_2, d_2 / d_1) == approx((100.0, 2.5))
    assert gg.pitch_line_speed(7.0, d_1) == approx(gg.pitch_line_speed(7.0 / 2.5, d_2))
    assert gg.pitch_line_speed(7.0, 0.2) == approx(0.7)


def test_normal_force_of_a_shifted_pair_acts_along_the_line_of_action():
    """T = F_n d_b/2, F_r = F_n sin(alpha_w)."""
    d_w, alpha_w, T = 0.0377, np.radians(26.0886), 5.0
    F_t = forces.tangential_force(T, d_w)
    F_n = T / (d_w * np.cos(alpha_w) / 2)
    assert forces.radial_force(F_t, alpha_w) == approx(F_n * np.sin(alpha_w))


def test_thrust_tilts_the_wheel_at_its_radius():
    assert forces.axial_moment(100.0, 0.2) == approx(10.0)


def test_negative_shift_thins_the_root_and_a_positive_one_is_not_counted():
    """Tooth at the pitch circle pi/2 + 2 x tan(alpha) modules thick; bending goes by its square."""
    thin = (np.pi / 2 - 2 * 0.25 * np.tan(ALPHA)) / (np.pi / 2)
    assert strength.shifted_form_factor(0.4, -0.25, ALPHA) == approx(0.4 * thin**2)
    assert strength.shifted_form_factor(0.4, 0.25, ALPHA) == approx(0.4)


def test_form_factors_run_smoothly_between_their_neighbours():
    """No cell of the table lies off the line through its neighbours over 1/z."""
    rows = table("lewis_form_factor").rows
    over = np.array([1 / r.number("teeth") for r in rows])
    Y = np.array([r.number("Y") for r in rows])
    for i in range(1, len(Y) - 1):
        share = (over[i] - over[i - 1]) / (over[i + 1] - over[i - 1])
        assert Y[i] == approx(Y[i - 1] + share * (Y[i + 1] - Y[i - 1]), rel=0.02)


@pytest.mark.parametrize("z", [11.0, 401.0, np.nan])
def test_form_factor_outside_its_table_is_unknown(z):
    assert np.isnan(strength.form_factor(z, ALPHA))
    assert np.isnan(strength.form_factor(30.0, np.radians(14.5)))
