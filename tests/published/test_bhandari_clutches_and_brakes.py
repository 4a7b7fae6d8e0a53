"""Bhandari, Design of Machine Elements, ch. 11 Friction clutches and ch. 12 Brakes. Read in a textbook companion.

The companion recomputes each example with full digits; where it says that the book's own answer is in error
(example 12.14) its recomputed value was checked by hand and is used.
"""

import numpy as np
from pytest import approx

from layshaft.mechanics import drives, friction
from layshaft.trace.units import DEGREE, REV_PER_MIN


def test_example_11_1_worn_in_disc():
    """100 and 200 mm, friction 0.2, 1 MPa at the inner edge: 15 707.96 N and 235.619 N m."""
    assert friction.wear_pressure(15_707.963, 0.200, 0.100) == approx(1e6, rel=1e-7)
    r = friction.wear_radius(0.200, 0.100)
    assert friction.friction_torque(0.2, 15_707.963268, r, 1.0) == approx(235.619449, rel=1e-8)


def test_example_11_2_new_disc():
    """The same disc pressed evenly: 23 561.94 N and 366.519 N m."""
    r = friction.pressure_radius(0.200, 0.100)
    assert friction.friction_torque(0.2, 23_561.944902, r, 1.0) == approx(366.519143, rel=1e-8)
    assert friction.mean_pressure(23_561.944902, np.pi / 4 * (0.200**2 - 0.100**2)) == approx(1e6, rel=1e-8)


def test_example_11_8_nine_plates():
    """75 and 150 mm, friction 0.1, 0.3 MPa, five plates of steel and four of bronze: 2650.72 N, 119.282 N m."""
    assert friction.wear_pressure(2650.718801, 0.150, 0.075) == approx(0.3e6, rel=1e-8)
    assert friction.friction_torque(0.1, 2650.718801, friction.wear_radius(0.150, 0.075), 8.0) == approx(119.282346)


def test_example_11_10_cone():
    """30 kW at 500 rev/min, 12.5 degrees, friction 0.2, 300 and 270 mm: 4351.25 N engage it."""
    F_n = friction.cone_force(4351.254877, 12.5 * DEGREE)
    T = friction.friction_torque(0.2, F_n, friction.wear_radius(0.300, 0.270), 1.0)
    assert T == approx(30_000 / (500 * REV_PER_MIN), rel=1e-8)


def test_example_11_14_engaging():
    """20 kg at 75 mm drives 35 kg at 125 mm from rest to 2000 rev/min, 10 kW: 0.409 285 s and 2046.42 J."""
    J_1, J_2 = drives.gyration_inertia(20.0, 0.075), drives.gyration_inertia(35.0, 0.125)
    omega = 2000 * REV_PER_MIN
    assert friction.slip_time(J_1, J_2, omega, 10_000 / omega) == approx(0.409285, abs=5e-7)
    assert friction.slip_energy(J_1, J_2, omega) == approx(2046.422713, rel=1e-8)


def test_example_12_4_heat_of_a_block():
    """250 N m on a drum of 400 mm at 100 rev/min, friction 0.35, 1 MPa: 1309.0 W at the mean speed of the stop."""
    N = 250 / 0.35 / 0.200
    v = friction.rubbing_speed(-100 * REV_PER_MIN, 0.400) / 2
    assert friction.rubbing_power(0.35, 1e6, v) * (N / 1e6) == approx(1308.996939, rel=1e-8)


def test_example_12_10_band():
    """240 degrees, friction 0.25: 15 000 N on the tight side leave 5263.80 N on the slack one."""
    assert 15_000 / friction.tension_ratio(0.25, 240 * DEGREE) == approx(5263.797108, rel=1e-8)


def test_example_12_12_pads_of_a_disc():
    """Two pads of 77.543 degrees between 100 and 150 mm radius, friction 0.35, 2 MPa: 1500 N m."""
    area = 77.543160 * DEGREE / 2 * (0.150**2 - 0.100**2)
    T = friction.friction_torque(0.35, 2e6 * area, friction.pressure_radius(0.300, 0.200), 2.0)
    assert T == approx(1500, rel=1e-7)


def test_example_12_14_heat_in_a_drum():
    """100 kg at 350 mm from 500 rev/min into 5 kg of 460 J/(kg K): 7.3009 K."""
    E = drives.turning_energy(drives.gyration_inertia(100.0, 0.350), 500 * REV_PER_MIN)
    assert friction.temperature_rise(E, 5.0, 460.0) == approx(7.300885, rel=1e-6)
