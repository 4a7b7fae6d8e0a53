"""Worm gears: sizes, sliding, friction, forces, strength and heat.

Mott, Machine Elements in Mechanical Design, 4th ed., ex. 10-7 (from memory) and 10-8, p. 437 (second text);
Shigley's Mechanical Engineering Design, ex. 13-10 and 15-3 (from memory); Bhandari, Design of Machine
Elements, ex. 20.1 (from memory); a gear maker's handbook of metric gears, worm gear mesh (second text).
"""

import numpy as np
import pytest
from pytest import approx

from layshaft.elements import worm_pair as room
from layshaft.trace.units import FOOT, INCH, POUND_FORCE, REV_PER_MIN

FPM = FOOT / 60
MOTT = INCH / 6  # module of diametral pitch 6
DEG = np.pi / 180


def test_mott_example_10_8_sizes_and_speeds():
    """3 threads on 2 in, 52 teeth of pitch 6, 1750 rev/min: 14.04 deg, 8.667 in, 944 and 229 ft/min, 0.508 in."""
    gamma = room.lead_angle(MOTT, 3.0, 2 * INCH)
    assert gamma == approx(14.04 * DEG, abs=0.005 * DEG)
    assert room.wheel_diameter(MOTT, 52.0) == approx(8.667 * INCH, rel=1e-4)
    assert room.sliding_speed(1750 * REV_PER_MIN, 2 * INCH, gamma) == approx(944 * FPM, rel=1e-3)
    assert room.wheel_speed(1750 * REV_PER_MIN, MOTT, 3.0) == approx(229 * FPM, rel=1e-3)
    p_x = room.axial_pitch(MOTT)
    assert p_x == approx(0.5236 * INCH, rel=1e-4)
    assert room.normal_pitch(p_x, gamma) == approx(0.508 * INCH, rel=1e-3)


def test_mott_example_10_8_face():
    """1.25 in of a worm of 2 in carries; of more than 1.33 in the rest does not."""
    assert room.carrying_face(1.25 * INCH, 2 * INCH) == approx(1.25 * INCH)
    assert room.carrying_face(1.75 * INCH, 2 * INCH) == approx(1.333 * INCH, rel=6e-3)


def test_metric_worm_of_the_handbook():
    """Module 3, 2 starts on 44 mm, 30 teeth: 7.765 deg, 90 mm, 67 mm apart, threads over 48.07 mm."""
    assert room.lead_angle(3e-3, 2.0, 44e-3) == approx(7.76517 * DEG, rel=1e-6)
    assert room.centre_distance(44e-3, room.wheel_diameter(3e-3, 30.0), 0.0, 3e-3) == approx(67e-3)
    assert room.least_length(3e-3, 30.0) == approx(48.0664e-3, rel=2e-6)


@pytest.mark.from_memory
def test_bhandari_example_20_1():
    """1/30/10/8: worm of 80 mm at 5.71 deg, 160 mm apart."""
    assert room.diameter_by_quotient(10.0, 8e-3) == approx(80e-3)
    assert room.diameter_by_lead_angle(8e-3, 1.0, 5.71 * DEG) == approx(80e-3, rel=5e-4)
    assert room.diameter_by_centres(160e-3, 8e-3, 30.0) == approx(80e-3)
    assert room.rolling_diameter(160e-3, 240e-3) == approx(80e-3)


def test_shifted_wheel():
    """By hand: 32 and 123 mm of module 3 on 78 mm leave half a millimetre, a sixth of a module."""
    assert room.shift_at(78e-3, 32e-3, 123e-3, 3e-3) == approx(1 / 6)
    assert room.centre_distance(32e-3, 123e-3, 1 / 6, 3e-3) == approx(78e-3)
    assert room.rolling_diameter(78e-3, 123e-3) == approx(33e-3)


@pytest.mark.from_memory
def test_shigley_example_15_3_friction_and_efficiency():
    """Single thread on 3 in, pitch 4, 1800 rev/min, 14.5 deg: 4.764 deg, 1419 ft/min, 0.0178, 81.8 %."""
    gamma = room.lead_angle(INCH / 4, 1.0, 3 * INCH)
    assert gamma == approx(4.764 * DEG, abs=5e-4 * DEG)
    v_s = room.sliding_speed(1800 * REV_PER_MIN, 3 * INCH, gamma)
    assert v_s == approx(1419 * FPM, rel=5e-4)
    assert room.friction(v_s) == approx(0.0178, abs=5e-5)
    assert room.efficiency(14.5 * DEG, 0.0178, gamma) == approx(0.818, abs=5e-4)
    assert room.implied_friction(0.818, 14.5 * DEG, gamma) == approx(0.0178, rel=5e-3)


def test_friction_curve_by_hand():
    """At rest 0.150; 5 ft/min: 0.124 exp(-0.074 x 2.8238) = 0.10061; 944 ft/min: 0.02135 (a graph says 0.022)."""
    assert room.friction(0.0) == 0.150
    assert room.friction(5 * FPM) == approx(0.10061, rel=1e-4)
    assert room.friction(944 * FPM) == approx(0.02135, rel=1e-3)
    assert room.friction(10.5 * FPM) == approx(0.08703, rel=1e-4)  # 0.103 exp(-0.110 x 2.8810) + 0.012
    assert room.friction(9.9 * FPM) == approx(0.08965, rel=1e-3)  # 0.124 exp(-0.074 x 4.3871)


@pytest.mark.from_memory
def test_mott_example_10_7_forces():
    """962 lb on the wheel, 20 deg, friction 0.022: 265 lb on the worm, 363 lb apart, 90.9 %."""
    gamma = room.lead_angle(MOTT, 3.0, 2 * INCH)
    F_t2 = room.wheel_force(4168 * POUND_FORCE * INCH, 8.667 * INCH)
    assert F_t2 / POUND_FORCE == approx(962, abs=0.5)
    assert room.worm_force(F_t2, 20 * DEG, gamma, 0.022) / POUND_FORCE == approx(265, abs=0.5)
    assert room.radial_force(F_t2, 20 * DEG, gamma, 0.022) / POUND_FORCE == approx(363, abs=0.5)
    assert room.efficiency(20 * DEG, 0.022, gamma) == approx(0.909, abs=5e-4)


@pytest.mark.from_memory
def test_shigley_example_13_10_forces():
    """1 hp at 1200 rev/min, 2 threads on 2 in, pitch 6, 14.5 deg, friction 0.03: 52.5, 69.6 and 264 lbf."""
    gamma = room.lead_angle(INCH / 6, 2.0, 2 * INCH)
    assert room.worm_force(264.0, 14.5 * DEG, gamma, 0.03) == approx(52.5, abs=0.1)
    assert room.radial_force(264.0, 14.5 * DEG, gamma, 0.03) == approx(69.6, abs=0.1)


@pytest.mark.parametrize("gamma", [3 * DEG, 14 * DEG, 30 * DEG])
def test_wedge_of_a_screw(gamma):
    """A flank leaning by the pressure angle rubs as with mu / cos: tan g / tan(g + r) up, tan(g - r) / tan g down."""
    alpha, mu = 20 * DEG, 0.05
    r = np.arctan(mu / np.cos(alpha))
    assert room.efficiency(alpha, mu, gamma) == approx(np.tan(gamma) / np.tan(gamma + r), rel=1e-12)
    assert room.reverse_efficiency(alpha, mu, gamma) == approx(np.tan(gamma - r) / np.tan(gamma), rel=1e-12)
    assert room.implied_friction(np.tan(gamma) / np.tan(gamma + r), alpha, gamma) == approx(mu, rel=1e-9)
    assert room.locking_friction(alpha, r) == approx(mu, rel=1e-12)  # locks where the slope is the friction angle


def test_losses_at_rest_by_hand():
    """40 % at rest and 80 % running: 0.6 over 0.2."""
    assert room.losses_at_rest(0.4, 0.8) == approx(3.0)
