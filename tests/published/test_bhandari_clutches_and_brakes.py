"""Bhandari, Design of Machine Elements, ch. 11 Friction clutches and ch. 12 Brakes. Read in a textbook companion.

The companion recomputes each example with full digits; where it says that the book's own answer is in error
(example 12.14) its recomputed value was checked by hand and is used.
"""

import numpy as np
from pytest import approx

from layshaft.mechanics import brakes, drives, friction, inertia, stopping
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
    """20 kg at 75 mm drives 35 kg at 125 mm from rest to 2000 rev/min, 10 kW: 0.409 285 s and 2046.42 J.

    Nothing else acts while it slips.
    """
    J_1, J_2 = drives.gyration_inertia(20.0, 0.075), drives.gyration_inertia(35.0, 0.125)
    omega = 2000 * REV_PER_MIN
    T = 10_000 / omega
    t = stopping.slip_time(stopping.reduced_inertia(J_1, J_2), omega, stopping.net_torque(T, 0.0))
    assert t == approx(0.409285, abs=5e-7)
    assert stopping.slip_heat(T, omega, t) == approx(2046.422713, rel=1e-8)


def test_example_12_1_disc_stopped():
    """A cast disc of 1 m, 200 mm thick, stopped from 350 rev/min in 1.5 s: 94 956.72 J and 3454.36 N m."""
    J = inertia.ring(7200 * np.pi / 4 * 0.2, 1.0, 0.0)
    omega = 350 * REV_PER_MIN
    assert stopping.slip_time(J, omega, 3454.361540) == approx(1.5, rel=1e-8)
    assert stopping.slip_heat(3454.361540, omega, 1.5) == approx(94_956.722333, rel=1e-8)


def test_example_12_3_mass_lowered_and_stopped():
    """2500 kg at 1.5 m/s on a drum of 1.5 m (50 kg at 0.7 m), stopped in 0.5 m: 15 124 J and 22 686 N m.

    The weight goes on pulling while it stops: that is its 2500 x 9.81 x 0.75 N m.
    """
    J, omega, T_w = 2500 * 0.75**2 + 50 * 0.7**2, 1.5 / 0.75, 2500 * 9.81 * 0.75
    t = stopping.slip_time(J, omega, stopping.net_torque(22_686.0, T_w))
    assert 1.5 * t / 2 == approx(0.5, rel=1e-9)
    assert stopping.slip_heat(22_686.0, omega, t) == approx(15_124, rel=1e-9)


def test_example_12_4_block_brake():
    """Drum 400 mm, 250 N m, friction 0.35; lever 500 mm, block at 200 mm, pivot 50 mm off: 1303.57 and 1553.57 N.

    Friction draws the block on clockwise, where the smaller force does.
    """
    for F, press in ((1303.571429, brakes.block_strong), (1553.571429, brakes.block_weak)):
        assert brakes.shoe_torque(0.35, press(F, 0.5, 0.2, 0.05, 0.35), 0.4, 1.0) == approx(250, rel=1e-8)


def test_example_12_4_locks_by_itself():
    """It is not self-locking with 200 over 50 mm; it would be with friction of 4 and more."""
    assert np.isnan(brakes.block_strong(100.0, 0.5, 0.2, 0.05, 4.0))
    assert brakes.block_strong(100.0, 0.5, 0.2, 0.05, 3.9) > 0


def test_example_12_4_heat_of_a_block():
    """250 N m on a drum of 400 mm at 100 rev/min, friction 0.35, 1 MPa: 1309.0 W at the mean speed of the stop."""
    N = 250 / 0.35 / 0.200
    v = friction.rubbing_speed(-100 * REV_PER_MIN, 0.400) / 2
    assert friction.rubbing_power(0.35, 1e6, v) * (N / 1e6) == approx(1308.996939, rel=1e-8)


def test_example_12_10_differential_band():
    """240 degrees, friction 0.25, drum 600 mm, arms 200 and 50 mm, lever 950 mm.

    318.694 N give 5263.80 N on the slack side, 15 000 N on the tight one, and 2920.86 N m.
    """
    k = friction.tension_ratio(0.25, 240 * DEGREE)
    F = brakes.band_strong(318.694128, 0.95, 0.2, 0.05, k)
    assert F == approx(5263.797108, rel=1e-7)
    assert brakes.tight_tension(F, k) == approx(15_000, rel=1e-7)
    assert brakes.band_torque(F, k, 0.6) == approx(2920.860868, rel=1e-7)
    assert brakes.band_pressure(15_000.0, 0.6, 0.1) == approx(0.5e6)  # 15 000 N over 300 mm x 100 mm


def test_example_12_10_is_not_self_locking():
    """The arms are as 4 to 1, the tensions as 2.85 to 1; with arms as 2 to 1 it would lock."""
    k = friction.tension_ratio(0.25, 240 * DEGREE)
    assert np.isnan(brakes.band_strong(300.0, 0.95, 0.1, 0.05, k))


def test_example_12_12_pads_of_a_disc():
    """Two pads of 77.543 degrees between 100 and 150 mm radius, friction 0.35, 2 MPa: 1500 N m."""
    area = brakes.pad_area(0.300, 0.200, 77.543160 * DEGREE)
    T = friction.friction_torque(0.35, 2e6 * area, friction.pressure_radius(0.300, 0.200), 2.0)
    assert T == approx(1500, rel=1e-7)


def test_example_12_14_heat_in_a_drum():
    """100 kg at 350 mm from 500 rev/min into 5 kg of 460 J/(kg K): 7.3009 K."""
    E = drives.turning_energy(drives.gyration_inertia(100.0, 0.350), 500 * REV_PER_MIN)
    assert friction.temperature_rise(E, 5.0, 460.0) == approx(7.300885, rel=1e-6)
