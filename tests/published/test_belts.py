"""Belts: textbook examples.

Jindal, Machine Design, ch. 20, flat belts, examples 20-1 and 20-3, pp. 565, 567; ch. 21, V belts, example 21-1
(read in a textbook companion). Khurmi, Theory of Machines, ch. 11, problems 2 and 3 with the book's answers (read in a
solutions page). Mott, Machine Elements in Mechanical Design, 4th ed., example problem 7-1, p. 279 (read).
Shigley's Mechanical Engineering Design, 9th ed., example 17-4 (from memory).
"""

import numpy as np
import pytest
from pytest import approx

from layshaft.elements import belt
from layshaft.trace.units import DEGREE, FOOT, INCH, POUND_FORCE, REV_PER_MIN

FEET_A_MINUTE = FOOT / 60


def test_jindal_example_20_1_tensions_with_centrifugal_part():
    """1.95 kg/m at 20 m/s, friction 0.4 over 3.35 rad, 2500 N of pull: printed T1 4167.4 N, T2 1667.4 N."""
    F_c = belt.centrifugal_tension(1.95, 20.0)
    assert F_c == 780
    theta = 2 * np.pi - belt.wrap_small(0.3, 1.5, 5.8)  # a crossed belt wraps both pulleys as (D + d) / 2 C tells
    R = belt.tension_ratio(belt.groove_friction(0.4, 180 * DEGREE), theta)
    F_0 = (4167.4 + 1667.4) / 2 - F_c
    assert belt.slip_pull(F_0, R, 1.0) == approx(2500, rel=1e-4)
    assert belt.tight_tension(F_0, F_c, 2500.0, 1.0) == approx(4167.4, abs=0.05)
    assert belt.slack_tension(F_0, F_c, 2500.0, 1.0) == approx(1667.4, abs=0.05)


def test_jindal_example_20_3_speed_and_length():
    """Pulleys of 200 and 600 mm, 2.4 m apart, 1440 rev/min: 15.08 m/s, belt of 6.0733 m."""
    assert belt.belt_speed(1440 * REV_PER_MIN, 0.2) == approx(15.08, abs=0.005)
    assert belt.belt_length(0.2, 0.6, 2.4) == approx(6.0733, abs=5e-5)


def test_jindal_example_21_1_centrifugal_tension():
    """230 mm2 of 1100 kg/m3 on a 300 mm pulley at 1500 rev/min: 140.5 N."""
    v = belt.belt_speed(1500 * REV_PER_MIN, 0.3)
    assert belt.centrifugal_tension(1100 * 230e-6, v) == approx(140.5, abs=0.05)


def test_khurmi_problem_3_power_of_a_flat_belt():
    """700 N, friction 0.3, lap 160 deg, 10 m/s: 3.983 kW; the page rounds the lap to 2.8 rad."""
    R = belt.tension_ratio(0.3, 2.8)
    assert R == approx(2.31, abs=0.01)
    assert (700 - 700 / R) * 10 == approx(3983, rel=2e-3)


def test_khurmi_problem_2_ratio():
    """Friction 0.22, 210 deg: 2.2396; 7.5 kW at 25.13 m/s pull 298.44 N."""
    assert belt.tension_ratio(0.22, 210 * DEGREE) == approx(2.2396, rel=2e-4)
    assert belt.effective_pull(7500 / (1600 * REV_PER_MIN), 0.3) == approx(298.44, rel=2e-4)


def test_mott_example_problem_7_1_length_centres_and_wrap():
    """Sheaves of 12.4 and 21.1 in: 100 in of belt give 23.30 in between the axes and 158 deg of wrap.

    The book takes 6.28 for twice pi, as if the belt were 0.027 in longer; with pi it is 23.28 in.
    """
    C = belt.centre_start((100 + (np.pi - 3.14) * 33.5 / 2) * INCH, 12.4 * INCH, 21.1 * INCH)
    assert C / INCH == approx(23.30, abs=0.005)
    assert belt.wrap_small(12.4 * INCH, 21.1 * INCH, C) / DEGREE == approx(158, abs=0.5)
    assert belt.belt_length(12.4 * INCH, 21.1 * INCH, 24 * INCH) / INCH == approx(101.4, abs=0.05)


@pytest.mark.from_memory
def test_shigley_example_17_4_three_b_belts():
    """10 hp at 1750 rev/min, B112 on 7.4 and 11 in: F_c 11.1, pull 42.2, F_1 64.4, F_2 22.2, F_i 32.2 lbf;
    T_1 142.2, T_2 116.8 lbf, 11e9 passes, of which the fit counts 1e9; 46 600 h."""
    B, d, D, L = belt.v_belt("B"), 7.4 * INCH, 11 * INCH, 113.8 * INCH
    v = belt.belt_speed(1750 * REV_PER_MIN, d)
    assert v / FEET_A_MINUTE == approx(3390, abs=1)
    F_c = belt.centrifugal_tension(B.mass_per_metre, v)
    assert F_c / POUND_FORCE == approx(11.1, abs=0.05)
    C = belt.centre_distance(L, d, D)
    assert C / INCH == approx(42.4, abs=0.05)
    theta = belt.wrap_small(d, D, C)
    assert theta == approx(3.057, abs=5e-4)
    R = belt.tension_ratio(belt.EFFECTIVE_FRICTION, theta)
    assert R == approx(4.788, abs=2e-3)
    F_e = 42.2 * POUND_FORCE
    F_0 = F_e * (R + 1) / (R - 1) / 2
    assert F_0 / POUND_FORCE == approx(32.2, abs=0.1)
    assert belt.slip_pull(F_0, R, 3.0) == approx(3 * F_e)
    F_1 = belt.tight_tension(F_0, F_c, 3 * F_e, 3.0)
    assert F_1 / POUND_FORCE == approx(64.4, abs=0.1)
    assert belt.slack_tension(F_0, F_c, 3 * F_e, 3.0) / POUND_FORCE == approx(22.2, abs=0.1)
    T_1 = belt.peak_tension(F_1, belt.bending_pull(B.bending, d))
    T_2 = belt.peak_tension(F_1, belt.bending_pull(B.bending, D))
    assert (T_1 / POUND_FORCE, T_2 / POUND_FORCE) == (approx(142.2, abs=0.1), approx(116.8, abs=0.1))
    exact = 1 / ((T_1 / B.strength) ** B.exponent + (T_2 / B.strength) ** B.exponent)
    assert exact == approx(11e9, rel=0.05)
    assert belt.life_passes(B.strength, B.exponent, T_1, T_2) == 1e9
    assert belt.passes_wanted(v, 46_600 * 3600.0, L) == approx(1e9, rel=2e-3)


@pytest.mark.from_memory
@pytest.mark.parametrize(("teeth", "factor"), [(12, 1.0), (6, 1.0), (5, 0.8), (4, 0.6), (3, 0.4), (2, 0.2)])
def test_iso_5295_teeth_in_mesh(teeth, factor):
    assert belt.mesh_factor(float(teeth)) == approx(factor)


@pytest.mark.from_memory
@pytest.mark.parametrize(("inches", "factor"), [(0.75, 0.206), (1.0, 0.286), (1.5, 0.454), (2.0, 0.630), (3.0, 1.0)])
def test_iso_5295_width_factor_of_an_h_belt(inches, factor):
    """Widths in proportion to 3 in, raised to 1.14: 0.75 in 0.21, 1 in 0.29, 1.5 in 0.45, 2 in 0.63 (design manuals)."""
    assert belt.width_factor(inches * INCH, 3 * INCH) == approx(factor, abs=0.006)


@pytest.mark.parametrize("section", ["A", "B", "C", "D"])
def test_groove_angle_of_large_pulleys(section):
    """A design manual for power transmission belts, table 2: 38 deg on the largest pulleys, 34 on the smallest (read)."""
    assert belt.v_belt(section).groove / DEGREE == approx(38)
