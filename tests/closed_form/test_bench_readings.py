"""Readings of the bench against what made them: machines moved step by step, integrals, moments by hand.

Weighing at three points: the worked example of a weight and balance handbook (nose wheel 340 lb, 78 in ahead of the
main wheels, 2006 lb in all: 13.2 in ahead of them), read in a second text. Flywheel by a falling weight: the formula of
laboratory courses in its other form, I = m d^2/4 . N/(N + n) . (g t^2/(2 h) - 1), read in a second text.
"""

import numpy as np
import pytest
from pytest import approx
from scipy.integrate import solve_ivp

from layshaft.mechanics import bench

G = 9.81


def run_down(m, d, J, T, h):
    """A weight falls by h, comes off, and the wheel runs down, moved step by step: turns, turns, time, time."""
    def moving(_t, y):
        return [y[1], (m * G * d / 2 - T) / (J + m * d**2 / 4)]

    def down(_t, y):
        return y[0] - h / (d / 2)
    down.terminal = True
    first = solve_ivp(moving, (0, 1e4), [0.0, 0.0], events=down, rtol=1e-10, atol=1e-12)
    angle, omega = first.y_events[0][0]

    def stands(_t, y):
        return y[1]
    stands.terminal, stands.direction = True, -1
    then = solve_ivp(lambda _t, y: [y[1], -T / J], (0, 1e5), [0.0, omega], events=stands, rtol=1e-10, atol=1e-12)
    turn = 2 * np.pi
    return angle / turn, then.y_events[0][0][0] / turn, then.t_events[0][0], first.t_events[0][0], omega


@pytest.mark.parametrize(("m", "d", "J", "T", "h"), [(1.0, 0.1, 0.087, 0.05, 1.0), (0.4, 0.03, 0.02, 0.01, 1.5)])
def test_run_down_gives_back_inertia_and_friction(m, d, J, T, h):
    N_1, N_2, t_2, t_1, omega = run_down(m, d, J, T, h)
    assert bench.speed_at_release(N_2, t_2) == approx(omega, rel=1e-6)
    found = bench.run_down_inertia(m, G, h, omega, d, N_1, N_2)
    assert found == approx(J, rel=1e-6)
    assert bench.run_down_torque(found, omega, N_2) == approx(T, rel=1e-6)
    assert found == approx(m * d**2 / 4 * N_2 / (N_2 + N_1) * (G * t_1**2 / (2 * h) - 1), rel=1e-6)


def test_a_wheel_faster_than_its_weight_is_no_reading():
    assert np.isnan(bench.run_down_inertia(1.0, G, 1.0, 100.0, 0.1, 3.0, 40.0))


def test_a_weight_alone_falls_at_the_root_of_two_g_h_and_no_wheel_turns_faster():
    """Free fall (v^2 = 2 g h, Galilei): a drum turned 1 % more slowly than that has some inertia, 1 % faster none."""
    h, d = 0.8, 0.05
    free = 2 * np.sqrt(2 * G * h) / d
    slower, faster = (bench.run_down_inertia(1.0, G, h, free * f, d, 5.0, 20.0) for f in (0.99, 1.01))
    assert slower == pytest.approx(d**2 / 4 * (0.99**-2 - 1) * 20 / 25, rel=1e-9) and np.isnan(faster)


def test_radius_of_gyration_of_a_disc():
    """Half the square of the radius."""
    assert bench.radius_of_gyration(8.0 * 0.3**2 / 2, 8.0) == approx(0.3 / np.sqrt(2))


def test_torques_on_an_arm():
    """5 N on 0.2 m turn two bearings and a load of 0.4 N m: 0.3 N m each. At rest 8 N: 1.6 times as much."""
    assert bench.torque_of_each(5 * 0.2, 0.4, 2) == approx(0.3)
    assert bench.break_away_ratio(8.0, 5.0) == approx(1.6)


def test_mass_that_breaks_a_shaft_away():
    """1.962 N m on a drum of 0.4 m: 9.81 N at 0.2 m, one kilogram."""
    assert bench.break_away_mass(1.962, G, 0.4) == approx(1.0, rel=1e-12)


def test_a_table_that_rolls():
    """110 kg on a track of 0.4 m: a pull of 32.373 N on 0.2 m is 0.015 of its weight there."""
    assert bench.rolling_coefficient(32.373 * 0.2, 110.0, G, 0.4) == approx(0.015, rel=1e-12)


def test_work_through_a_stage():
    """One turn of the second shaft: 10 kg rise by pi 0.1 m; the first shaft turns twice at 20 N less 2 N on 0.2 m."""
    out, into = 10 * G * np.pi * 0.1, (20 - 2) * 0.2 * 2 * np.pi * 2
    assert bench.work_through(10.0, G, 0.1, 20.0, 2.0, 0.2, 2.0) == approx(out / into)


def test_loss_of_a_pulley():
    assert bench.pulley_loss(10 * G * 1.04, 10.0, G) == approx(0.04)


def test_work_under_a_torque():
    """A half wave of 5 N m over 80 deg: 2/pi of the rectangle; strips of a fine table come to the integral."""
    phi = np.linspace(0, np.radians(80), 4001)
    T = 5 * np.sin(np.pi * phi / phi[-1])
    found = bench.strip_work(T[:-1], T[1:], phi[:-1], phi[1:]).sum()
    assert found == approx(5 * phi[-1] * 2 / np.pi, rel=1e-6)
    assert found == approx(np.trapezoid(T, phi), rel=1e-12)


def test_stiffnesses():
    """10 kg push a dial from 0.12 to 0.37 mm; 900 N stretch by 3 mm; 2 kg on 0.3 m move a dial at 0.1 m by 0.5 mm."""
    assert bench.stiffness_by_weight(10.0, G, 0.12e-3, 0.37e-3) == approx(98.1 / 0.25e-3)
    assert bench.stiffness_by_pull(100.0, 1000.0, 1.0, 1.003) == approx(300e3)
    assert bench.torsional_stiffness(2.0, G, 0.3, 0.1e-3, 0.6e-3, 0.1) == approx(2 * G * 0.3 / (0.5e-3 / 0.1))
    assert bench.deflection(0.12e-3, 0.37e-3) == approx(0.25e-3)
    assert bench.stretch(2.0, 2.008) == approx(0.004)


def test_weight_and_balance_of_the_handbook():
    """Feet: two main wheels at 0, 833 lb each, nose wheel at -78 in."""
    assert bench.mass_on_feet(340.0, 833.0, 833.0) == approx(2006)
    assert bench.centre_on_feet(340.0, 833.0, 833.0, -78.0, 0.0, 0.0) == approx(-13.2, abs=0.05)


def test_centre_of_three_unlike_feet():
    """Equal masses at the corners: the mean of the corners; unlike ones by their moments."""
    assert bench.centre_on_feet(2.0, 2.0, 2.0, 1.0, 4.0, 10.0) == approx(5.0)
    assert bench.centre_on_feet(1.0, 2.0, 5.0, 1.0, 4.0, 10.0) == approx((1 + 8 + 50) / 8)


def test_a_person_at_a_crank():
    """100 N on 0.3 m, sixty turns in two minutes: 60 J x pi a turn, half a turn a second."""
    assert bench.effort_ripple(150.0, 100.0) == approx(1.5)
    assert bench.effort_power(100.0, 0.3, 60.0, 120.0) == approx(100 * 2 * np.pi * 0.3 / 2)


def test_dials():
    """A rim 0.1 mm off swings by 0.2 mm; a face of 100 mm leaning by 1 mrad swings by 0.1 mm."""
    angle = np.linspace(0, 2 * np.pi, 3601)
    assert bench.offset_by_dial(np.ptp(0.1e-3 * np.cos(angle))) == approx(0.1e-3)
    assert bench.angle_by_dial(np.ptp(1e-3 * 0.05 * np.cos(angle)), 0.1) == approx(1e-3)


def test_a_fan_at_its_steady_speed():
    """Vanes of which the drag coefficient is 1.2, balanced by hand against a weight, give it back."""
    rho, area, r, n = 1.2, 0.15 * 0.17, 0.26, 2
    omega = 2 * np.pi * 20 / 8.0
    T = n * 0.5 * rho * 1.2 * area * (omega * r) ** 2 * r
    m = (T + 0.04) / (G * 0.05)
    left = bench.torque_left(m, G, 0.1, 0.04)
    assert left == approx(T)
    assert bench.counted_speed(20.0, 8.0) == approx(omega)
    k = bench.fan_constant_read(left, omega)
    assert bench.drag_coefficient_read(k, n, rho, area, r) == approx(1.2)
    assert bench.eddy_constant_read(0.9, 6.0) == approx(0.15)
