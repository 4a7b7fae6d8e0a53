"""ISO 21771:2007, geometry of cylindrical involute gears, through worked examples.

A gear maker's technical reference after JGMA (from memory); a published profile-shift calculation
sheet that cites ISO 21771 equations 62 and 63 (read); ISO/TR 6336-30:2017 example 1 (inputs from
memory); Jindal, Machine Design, ex. 26-1 (read in a textbook companion); Shigley's Mechanical
Engineering Design, ex. 13-1 (problem read).
"""

import numpy as np
import pytest
from pytest import approx

from layshaft.elements.gear_pair import geometry as gg
from layshaft.trace.formula import tracing

ALPHA = np.radians(20)


def shifted_pair(m_n, z_1, z_2, beta, x_1, x_2):
    m_t = gg.transverse_module(m_n, beta)
    alpha_t = gg.transverse_angle(ALPHA, beta)
    a = gg.reference_centre_distance(z_1, z_2, m_t)
    inv_w = gg.working_involute(alpha_t, ALPHA, x_1, x_2, z_1, z_2)
    alpha_w = gg.working_angle(inv_w)
    return inv_w, alpha_w, a, gg.working_centre_distance(a, alpha_t, alpha_w)


def test_involute_function():
    """Handbook involute table: 14.5, 20 and 25 degrees."""
    for angle, printed in ((14.5, 0.0055448), (20, 0.0149044), (25, 0.0299753)):
        assert gg.involute(np.radians(angle)) == approx(printed, rel=2e-5)


@pytest.mark.from_memory
def test_positive_shifted_spur_pair_module_3_teeth_12_and_24():
    """x 0.6 and 0.36: inv 0.034316, 26.0886 deg, a 56.4999 mm."""
    inv_w, alpha_w, a, a_w = shifted_pair(3.0, 12.0, 24.0, 0.0, 0.6, 0.36)
    assert inv_w == approx(0.034316, rel=3e-5)
    assert np.degrees(alpha_w) == approx(26.0886, rel=1e-5)
    assert a_w == approx(56.4999, rel=1e-6)
    assert gg.centre_modification(a_w, a, 3.0) == approx(0.83329, rel=1e-4)


@pytest.mark.from_memory
def test_diameters_of_that_pair():
    """Tips 44.840 and 79.400 mm, root 32.1 mm, base 33.8289 mm."""
    k = gg.tip_shortening(0.6, 0.36, (56.4999 - 54) / 3)
    assert gg.tip_diameter(36.0, 3.0, 0.6, k) == approx(44.84, rel=2e-5)
    assert gg.tip_diameter(72.0, 3.0, 0.36, k) == approx(79.4, rel=2e-5)
    assert gg.root_diameter(gg.reference_diameter(12.0, 3.0), 3.0, 0.6) == approx(32.1, rel=2e-5)
    assert gg.base_diameter(36.0, ALPHA) == approx(33.8289, rel=1e-5)


@pytest.mark.from_memory
def test_contact_ratio_of_that_pair():
    """1.202 (formula evaluated)."""
    g_a = gg.path_of_contact(44.84, 33.8289, 79.4, 67.6579, 56.4999, np.radians(26.0886))
    assert gg.contact_ratio(g_a, gg.base_pitch(3.0, ALPHA)) == approx(1.202, rel=2e-3)


def test_profile_shift_sheet_helical_31_to_30():
    """m_n 3.5, 21 deg, a_w 116.5 mm: 21.29906 and 23.87076 deg, sum of shifts 0.651877."""
    beta = np.radians(21)
    alpha_t = gg.transverse_angle(ALPHA, beta)
    assert np.degrees(alpha_t) == approx(21.29906, rel=1e-6)
    a = gg.reference_centre_distance(31.0, 30.0, gg.transverse_module(3.5, beta))
    assert a == approx(114.3447, rel=1e-6)
    alpha_w = gg.working_angle_at(a, alpha_t, 116.5)
    assert np.degrees(alpha_w) == approx(23.87076, rel=1e-5)
    assert gg.shift_sum(31.0, 30.0, alpha_t, alpha_w, ALPHA) == approx(0.651877, rel=1e-5)


@pytest.mark.from_memory
def test_iso_tr_6336_30_example_1_closes_on_500_mm():
    """m_n 8, 17/103, 15.8 deg, x 0.145 and 0."""
    *_, a_w = shifted_pair(8.0, 17.0, 103.0, np.radians(15.8), 0.145, 0.0)
    assert a_w == approx(500.0, rel=2e-5)


def test_jindal_example_26_1_page_698():
    """m_n 4, 20 teeth, 15 deg: printed 20.647 deg, d 82.82, tip 90.82 mm."""
    beta = np.radians(15)
    assert np.degrees(gg.transverse_angle(ALPHA, beta)) == approx(20.647, rel=1e-4)
    d = gg.reference_diameter(20.0, gg.transverse_module(4.0, beta))
    assert d == approx(82.82, rel=1e-4)
    assert gg.tip_diameter(d, 4.0, 0.0, 0.0) == approx(90.82, rel=3e-4)


def test_shigley_example_13_1_gears_mounted_too_far_apart():
    """16 and 40 teeth of pitch 2, centres 14.25 in: 22.6 degrees, and play by the larger centres."""
    alpha_w = gg.working_angle_at(14.0, ALPHA, 14.25)
    assert np.degrees(alpha_w) == approx(22.6, rel=1e-3)
    assert gg.working_diameter(14.25, 16.0, 40.0) == approx(2 * 4.0714, rel=1e-4)  # 16/56 of it
    assert gg.working_angle_at(14.0, ALPHA, 13.5) == approx(np.arccos(14 / 13.5 * np.cos(ALPHA)))
    assert np.isnan(gg.working_angle_at(14.0, ALPHA, 13.0))


def test_khurmi_example_12_3_page_398():
    """m 12, 30/80, addendum 10 mm: printed path 52.3 mm; ratio 1.475 (arc over pitch evaluated)."""
    d_1, d_2 = 360.0, 960.0
    g_a = gg.path_of_contact(d_1 + 20, gg.base_diameter(d_1, ALPHA), d_2 + 20,
                             gg.base_diameter(d_2, ALPHA), 660.0, ALPHA)
    assert g_a == approx(52.3, rel=1e-3)
    assert gg.contact_ratio(g_a, gg.base_pitch(12.0, ALPHA)) == approx(1.475, rel=1e-3)


def test_sarkar_illustration_4_1_page_133():
    """m 5, 30/48: printed arc of contact 26.7 mm."""
    g_a = gg.path_of_contact(160.0, 150 * np.cos(ALPHA), 250.0, 240 * np.cos(ALPHA), 195.0, ALPHA)
    assert g_a / np.cos(ALPHA) == approx(26.7, rel=2e-3)


def test_bevan_example_10_4_page_334():
    """A rack with addendum of one module: printed 18 teeth at least."""
    assert gg.undercut_limit(18.0, ALPHA, 0.0) < 0 < gg.undercut_limit(17.0, ALPHA, 0.0)
    assert gg.undercut_limit(2 / np.sin(ALPHA) ** 2, ALPHA, 0.0) == approx(0, abs=1e-12)


def test_helical_undercut_is_that_of_the_plane_of_rotation():
    """Dedendum of the rack (1 - x) m_n = r sin^2(alpha_t), with r from m_t (closed form)."""
    beta, z = np.radians(25), 9.0
    alpha_t = gg.transverse_angle(ALPHA, beta)
    r = gg.reference_diameter(z, gg.transverse_module(1.0, beta)) / 2
    assert gg.undercut_limit(z, alpha_t, beta) == approx(1 - r * np.sin(alpha_t) ** 2)


def test_working_angle_leaves_its_residual_on_the_sheet_and_knows_its_limits():
    with tracing() as trace:
        angle = gg.working_angle(0.0149044)
    assert abs(angle.step.detail["residual"]) < 1e-15
    assert gg.involute_residual(np.radians(20), 0.0149044) == approx(0, abs=1e-7)
    assert gg.involute_residual(0.5, 0.01) == approx(np.tan(0.5) - 0.51)
    assert trace.steps[0].kind == "equation"
    assert np.isnan(gg.working_angle(np.array([0.0, -0.01, 0.7, np.nan]))).all()
    for degrees in (0.5, 20.0, 45.0, 60.0):
        wanted = gg.involute(np.radians(degrees))
        assert np.degrees(gg.working_angle(wanted * (1 - 1e-12))) == approx(degrees, rel=1e-9)
