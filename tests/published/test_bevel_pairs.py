"""Straight bevel gears by the classical handbook method.

Jindal, Machine Design, ch. 27; Khurmi & Gupta, A Textbook of Machine Design, ch. 30 (both read in textbook
companions with the books' data); a lecturer's worked example of a pair of 20 and 30 teeth (read, its printed results);
Shigley's Mechanical Engineering Design, ex. 15-1 (second text) and ex. 13-7 (from memory).
"""

import numpy as np
import pytest
from pytest import approx

from layshaft.elements.bevel_pair import contact, fit, geometry, strength
from layshaft.elements.bevel_pair.rate import BevelInputs, rate
from layshaft.mechanics import spur_teeth
from layshaft.trace.formula import tracing
from layshaft.trace.source import Source
from layshaft.trace.units import INCH, REV_PER_MIN

GIVEN = Source("machine file", "", "given")
ALPHA = np.radians(20)
SQUARE = np.pi / 2


def test_jindal_example_27_1_page_712():
    """8 kW at 400 rev/min, ratio 2, radius 200 mm, face a fifth of the cone: 1061, 345.41 and 172.71 N."""
    delta = geometry.cone_angle(1.0, 2.0, SQUARE)
    face = 0.2 * geometry.cone_distance(0.4, delta)
    F_tm = spur_teeth.tangential_force(8000 / (400 * REV_PER_MIN), geometry.mean_diameter(0.4, face, delta))
    assert F_tm == approx(1061, abs=0.5)
    assert geometry.radial_force(F_tm, ALPHA, delta) == approx(345.41, rel=1e-4)
    assert geometry.axial_force(F_tm, ALPHA, delta) == approx(172.71, rel=1e-4)


def test_jindal_examples_27_2_and_27_3_page_712():
    """20 teeth with 36: 22.88 virtual teeth. 30 with 45 of module 6: cone angle 33.7 deg, distance 162.25 mm."""
    assert geometry.virtual_teeth(20.0, geometry.cone_angle(20.0, 36.0, SQUARE)) == approx(22.88, abs=0.005)
    delta = geometry.cone_angle(30.0, 45.0, SQUARE)
    assert np.degrees(delta) == approx(33.7, abs=0.05)
    assert geometry.cone_distance(geometry.large_diameter(30.0, 6e-3), delta) == approx(162.25e-3, abs=5e-6)


def test_jindal_example_27_5():
    """20 and 36 teeth, module 4, face 25, 600 MPa, 360 HB: root 4633 N (as the companion mends it), flank 5438 N."""
    delta = np.arctan(20 / 36)
    A_0 = np.hypot(40, 72) * 1e-3
    F_b = strength.root_capacity(strength.endurance_stress(600e6), 0.025, 4e-3, A_0, 0.33 + 0.003 * 0.86)
    assert F_b == approx(4 * 25 * 0.33258 * 200 * (1 - 25 / 82.365), rel=1e-4)
    Q = spur_teeth.ratio_factor(20 / np.cos(delta), 36 / np.sin(delta))
    F_w = strength.wear_capacity(0.080, 0.025, Q, spur_teeth.wear_factor(360.0), delta, ALPHA)
    assert F_w == approx(0.75 * 25 * 80 * 1.52830 * 2.0736 / 0.874157, rel=1e-4)


def test_jindal_example_27_6():
    """15 kW at 300 rev/min on 300 mm: 4.712 m/s, velocity factor 5.6/(5.6 + sqrt v) = 0.7206."""
    v = spur_teeth.pitch_line_speed(300 * REV_PER_MIN, 0.300)
    assert v == approx(4.712, abs=5e-4)
    K_v = strength.generated_factor(v)
    assert 1 / K_v == approx(0.7206, abs=5e-5)
    assert spur_teeth.dynamic_load(15_000 / v, K_v) == approx(3183.1 / 0.7206, rel=2e-4)


def test_khurmi_and_gupta_9_kw_pair():
    """21 and 60 teeth, 55 MPa: the wheel of module 5 carries 885 m^2/(6 + 1.32 m) N, y = 0.124 - 0.686/181.5 of 14.5 deg."""
    delta = geometry.cone_angle(60.0, 21.0, SQUARE)
    assert np.degrees(delta) == approx(90 - 19.3, abs=0.05)
    z_v = geometry.virtual_teeth(60.0, delta)
    assert z_v == approx(60 / np.cos(np.radians(70.7)), rel=3e-3)
    A_0 = geometry.cone_distance(geometry.large_diameter(60.0, 5e-3), delta)
    assert A_0 == approx(32 * 5e-3, rel=7e-3)
    carried = strength.root_capacity(55e6, 10.67 * 5e-3, 5e-3, 32 * 5e-3, np.pi * (0.124 - 0.686 / z_v))
    assert carried / strength.form_cut_factor(1.32 * 5) == approx(885 * 25 / (6 + 1.32 * 5), rel=2e-3)
    assert spur_teeth.dynamic_load(6820 / 5, strength.form_cut_factor(6.6)) == approx(6820 / 5 * 12.6 / 6)


def test_khurmi_and_gupta_overhung_37_5_kw_pair():
    """20 and 60 teeth of module 10, face 105.4 mm: mean radius 83.33 mm, 659 N along and 1978 N across the shaft."""
    delta = geometry.cone_angle(20.0, 60.0, SQUARE)
    d_m = geometry.mean_diameter(0.200, 0.1054, delta)
    assert d_m / 2 == approx(83.33e-3, rel=2e-4)
    F_tm = spur_teeth.tangential_force(37_500 / (750 * REV_PER_MIN), d_m)
    assert geometry.axial_force(F_tm, ALPHA, delta) == approx(659.3, rel=1e-3)
    assert geometry.radial_force(F_tm, ALPHA, delta) == approx(1978, rel=1e-3)


def test_a_lecturers_pair_of_20_and_30_teeth():
    """Module 4, face 20, 750 MPa, 400 HB, 2.5 kW at 500 rev/min: 1193.66 N, root 4872.37 N, flank 5113.53 N."""
    r = rate(inputs())
    assert spur_teeth.tangential_force(2500 / (500 * REV_PER_MIN), 0.080) == approx(1193.66, abs=0.005)
    assert r.v == approx(2.094, abs=5e-4)
    assert r.cones.A_0 == approx(72.11e-3, abs=5e-6)
    root, wear, _ = r.checks
    assert root.rating == approx(4872.37, rel=2e-4)
    assert wear.rating == approx(5113.53, rel=5e-4)


@pytest.mark.from_memory
def test_shigley_example_13_7_bevel_15_to_45():
    """F_t 406 lbf at the mean circle: 140 and 46.6 lbf on the pinion."""
    delta = geometry.cone_angle(15.0, 45.0, SQUARE)
    assert np.degrees(delta) == approx(18.4, abs=0.05)
    assert geometry.radial_force(406.0, ALPHA, delta) == approx(140, rel=5e-3)
    assert geometry.axial_force(406.0, ALPHA, delta) == approx(46.6, rel=5e-3)


def test_shigley_example_15_1_mounting():
    """Face 1.1 in: 1.254 where neither gear stands between its bearings; 1.10 + 0.0036 where one does, 1 + 0.0036 F^2."""
    assert strength.mounting_factor(2.0, 1.1 * INCH) == approx(1.254, abs=5e-4)
    wide = 1.1**2 * 0.0036
    assert strength.mounting_factor(np.array([0.0, 1.0]), 1.1 * INCH) == approx([1 + wide, 1.1 + wide], abs=1e-4)
    assert strength.mounting_factor(0.0, 10 * INCH) == approx(1.36, abs=2e-3)
    assert strength.mounted_load(200.0, 1.254) == approx(250.8)


def test_least_teeth_of_handbooks():
    """17 at 20 deg and 32 at 14.5 deg for spur gears; a mitre pinion of 20 deg wants 12.02 (common practice)."""
    assert geometry.least_teeth(np.pi / 4, ALPHA) == approx(12.02, abs=0.005)
    assert geometry.least_teeth(0.0, np.radians(14.5)) == approx(31.7, abs=0.05)


def test_widest_face_of_handbooks():
    """A third of the cone distance and ten modules, whichever is less (common practice)."""
    assert geometry.widest_by_cone(0.15) == approx(0.05)
    assert geometry.widest_by_module(4e-3) == approx(0.04)


@pytest.mark.from_memory
def test_shift_that_bevel_gears_bear():
    """0.003 in for gears of 6 to 15 in; in proportion below."""
    assert contact.largest_shift(np.array([3.0, 6.0, 15.0]) * INCH) == approx(np.array([1.5, 3.0, 3.0]) * 1e-3 * INCH)


CASE = {"m": 4e-3, "z_1": 20.0, "z_2": 30.0, "b": 0.02, "alpha": ALPHA, "sigma": SQUARE, "n_o": 1.0,
        "T_1": 2500 / (500 * REV_PER_MIN), "omega_1": 500 * REV_PER_MIN, "R_m1": 750e6, "R_m2": 760e6,
        "R_e1": 460e6, "R_e2": 470e6, "H_B1": 410.0, "H_B2": 400.0, "S_root": 1.5, "S_wear": 1.0, "S_jam": 1.5}


def inputs(**changes):
    values = CASE | changes
    return BevelInputs(**values, origins=dict.fromkeys(values, GIVEN))


def test_a_pair_in_full_by_the_formulas_of_the_examples():
    """Mounting counts in the root alone; the larger velocity factor counts; held fast there is none."""
    r = rate(inputs())
    F_t, v = CASE["T_1"] / 0.040, 2.0944
    K_v, K_m = max((6 + v) / 6, (5.6 + v**0.5) / 5.6), 1.1 + 5.6e-6 * 20**2
    root, wear, jam = r.checks
    assert [c.demand for c in r.checks] == approx([F_t * K_v * K_m, F_t * K_v, F_t * K_m], rel=1e-4)
    assert jam.rating == approx(root.rating * 460 / 250)
    assert [c.margin for c in r.checks] == approx([c.rating / c.demand for c in r.checks])
    assert [c.required for c in r.checks] == [1.5, 1.0, 1.5]
    assert r.F_tm == approx(CASE["T_1"] / (0.040 - 0.010 * np.sin(r.cones.delta_1)))
    fast = rate(inputs(omega_1=500.0))
    assert fast.checks[1].demand == approx(F_t * (6 + fast.v) / 6)
    assert wear.rating == approx(0.75 * 0.02 * 0.08 * 2 * 54.083 / 78.120 * 2.56e6 / 0.83205, rel=1e-4)


def test_the_weaker_wheel_and_the_softer_flank_govern():
    weak, before = rate(inputs(R_m2=75e6, R_e2=46e6, H_B1=200.0)), rate(inputs())
    wheel = 4e-3 * 0.02 * 25e6 * (1 - 20 / 72.111)
    assert weak.checks[0].rating == approx(wheel * spur_teeth.form_factor(54.083, ALPHA), rel=1e-4)
    assert weak.checks[1].rating == approx(before.checks[1].rating / 4)
    assert weak.checks[2].rating == approx(weak.checks[0].rating * 46 / 25)


def test_below_half_a_metre_a_second_wear_leads():
    for omega, said in ((10.0, 1), (20.0, 0)):
        with tracing() as trace:
            rate(inputs(omega_1=omega))
        assert not trace.untraced
        assert len(trace.remarks) == said


FIT = {"m": 3e-3, "z_1": 25.0, "z_2": 25.0, "b": 0.02, "alpha": ALPHA, "sigma": SQUARE, "S_fit": 1.0}


def fits(**changes):
    values = FIT | changes
    checks = fit.rate_fit(fit.BevelFitInputs(**values, origins=dict.fromkeys(values, GIVEN))).checks
    return {c.mode: c for c in checks}


def test_whether_a_mitre_pair_fits():
    """25 teeth of module 3: cone distance 53.03 mm, so the face may be 17.68 mm; 35.36 virtual teeth."""
    found = fits()
    assert found["face width"].rating == approx(17.68e-3, abs=5e-6)
    assert found["face width"].margin == approx(17.68 / 20, rel=3e-4)
    assert found["undercut"].margin == approx(25 / 12.02, rel=1e-3)
    assert found["contact ratio"].margin == approx(
        geometry.virtual_contact_ratio(3e-3 * 35.3553, 3e-3 * 35.3553, 3e-3, ALPHA), rel=1e-6)
    assert fits(z_1=11.0, z_2=11.0)["undercut"].margin < 1 < fits(z_1=13.0, z_2=13.0)["undercut"].margin
    assert fits(z_1=60.0, z_2=90.0)["face width"].rating == approx(30e-3)
    assert fits(z_1=20.0, z_2=30.0)["contact ratio"].margin == approx(
        geometry.virtual_contact_ratio(3e-3 * 24.037, 3e-3 * 54.083, 3e-3, ALPHA), rel=1e-4)


def test_lean_and_shift_at_the_mesh_against_their_limits():
    values = {"theta": 4e-4, "y": 2e-5, "d_2": 0.0762, "theta_limit": 1e-3, "S_required": 1.0}
    lean, shift = contact.rate_contact(contact.ContactInputs(**values, origins=dict.fromkeys(values, GIVEN))).checks
    assert (lean.margin, shift.margin) == approx((2.5, 38.1e-6 / 2e-5))


def test_rows_and_samples_give_what_single_pairs_give():
    torques, teeth = np.array([[4.0, 5.0, 6.0]]), np.array([[16.0], [20.0]])
    many = rate(inputs(T_1=torques, z_1=teeth))
    for i in range(2):
        for j in range(3):
            one = rate(inputs(T_1=torques[0, j], z_1=teeth[i, 0]))
            for a, b in zip(many.checks, one.checks, strict=True):
                assert np.broadcast_to(a.margin, (2, 3))[i, j] == approx(b.margin, rel=1e-13)
