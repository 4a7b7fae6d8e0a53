"""Stretches of constant torque against closed forms and a general integrator of differential equations (scipy).

Run-up under constant torque and the terminal speed of a fan are elementary dynamics; rows of pulses with
fan and eddy brake are held against scipy's DOP853, stretch by stretch, with tolerances of 1e-12.
"""

import numpy as np
import pytest
from pytest import approx
from scipy.integrate import solve_ivp

from layshaft.mechanics import motion
from layshaft.train.motion.steps import Stretches, cycle, march


def row(angles, torques, k=0.0, c=0.0, J=0.5):
    column = np.asarray(angles, float)[:, None]
    one = np.ones_like(column)
    return Stretches(column, np.asarray(torques, float)[:, None], k * one, c * one, J * one)


def pulses(turns, k=0.02, c=0.0):
    pitch = 2 * np.pi / 8
    return row(np.tile([0.6 * pitch, 0.4 * pitch], 8 * turns), np.tile([-1.0, 4.5], 8 * turns), k, c)


def after(omega_0, T, k, J, phi):
    x = motion.brake_exponent(k, phi, J)
    return motion.speed_of(motion.energy_after(J * omega_0**2 / 2, x, T, phi, motion.kept_share(x)), J)


def integrated(s, y0):
    omega, t, found = np.sqrt(y0), 0.0, [y0]
    for i in range(len(s)):
        T, k, c, J = (float(v[i, 0]) for v in (s.torque, s.square, s.linear, s.inertia))
        r = solve_ivp(lambda _, z, T=T, k=k, c=c, J=J: [2 * (T - k * z[0] - c * np.sqrt(z[0])) / J, 1 / np.sqrt(z[0])],
                      (0, s.angle[i, 0]), [omega**2, t], rtol=1e-12, atol=1e-13, method="DOP853")
        omega, t = np.sqrt(r.y[0, -1]), r.y[1, -1]
        found.append(omega**2)
    return np.array(found), t


def test_run_up_under_constant_torque():
    # J omega^2 / 2 = T phi and t = J omega / T: elementary dynamics
    found = march(row([2.0, 3.0], [1.5, 1.5]), np.zeros(1))
    assert found.y[:, 0] == approx([0, 2 * 1.5 * 2 / 0.5, 2 * 1.5 * 5 / 0.5])
    assert found.time.sum() == approx(0.5 * np.sqrt(30) / 1.5)


def test_a_fan_takes_a_free_wheel_down_as_one_over_time():
    # without drive omega = omega_0 / (1 + k omega_0 t / J), phi = (J / k) ln(1 + k omega_0 t / J)
    J, k, omega_0, t = 0.5, 0.02, 6.0, 10.0
    phi = J / k * np.log1p(k * omega_0 * t / J)
    assert after(omega_0, 0.0, k, J, phi) == approx(omega_0 / (1 + k * omega_0 * t / J))
    assert motion.time_slowing(J, k, 1e-6, omega_0, omega_0 / (1 + k * omega_0 * t / J)) == approx(t, rel=1e-9)
    found = march(row([phi / 2, phi / 2], [1e-13, 0.0], k), np.array([omega_0**2]))
    assert np.sqrt(found.y[-1, 0]) == approx(omega_0 / (1 + k * omega_0 * t / J), rel=1e-9)


@pytest.mark.parametrize(("T", "omega_0"), [(2.0, 1.0), (2.0, 12.0), (-1.0, 9.0)])
def test_speed_and_time_of_a_fan_governed_run(T, omega_0):
    # T > 0: omega = omega_e tanh(a t + artanh), or coth above; T < 0: tan: J d omega = (T - k omega^2) dt
    J, k, t = 0.5, 0.02, 1.7
    e = np.sqrt(abs(T) / k)
    if T > 0:
        shift = np.arctanh(min(omega_0 / e, e / omega_0))
        line = (np.tanh if omega_0 < e else lambda x: 1 / np.tanh(x))
        omega = e * line(np.sqrt(T * k) / J * t + shift)
    else:
        omega = e * np.tan(np.arctan(omega_0 / e) - np.sqrt(-T * k) / J * t)
    r = solve_ivp(lambda _, z: [(T - k * z[0] ** 2) / J, z[0]], (0, t), [omega_0, 0.0], rtol=1e-12, atol=1e-13)
    phi = r.y[1, -1]
    assert after(omega_0, T, k, J, phi) == approx(omega, rel=1e-9)
    time = motion.time_driven(phi, e, J, k, omega_0, omega) if T > 0 else motion.time_slowing(J, k, e, omega_0, omega)
    assert time == approx(t, rel=1e-9)
    assert march(row([phi], [T], k), np.array([omega_0**2])).time[0, 0] == approx(t, rel=1e-9)


def test_terminal_speed_of_fan_eddy_brake_and_both():
    assert motion.terminal_speed(2.0, 0.02, 0.0) == approx(10.0)  # k omega^2 = T
    assert motion.terminal_speed(2.0, 0.0, 0.25) == approx(8.0)  # c omega = T
    both = motion.terminal_speed(2.0, 0.02, 0.25)
    assert 0.02 * both**2 + 0.25 * both == approx(2.0)
    assert np.isnan(motion.terminal_speed(2.0, 0.0, 0.0)) and np.isnan(motion.terminal_speed(-2.0, 0.02, 0.0))
    assert march(row(np.full(400, 2.0), np.full(400, 2.0), 0.02), np.zeros(1)).y[-1, 0] == approx(100.0)


def test_settling_time_is_that_of_a_small_disturbance():
    J, k, T = 0.5, 0.02, 2.0
    tau = motion.settling_time(J, k, 0.0, 10.0)
    r = solve_ivp(lambda _, z: [(T - k * z[0] ** 2) / J], (0, tau), [10.0 + 1e-4], rtol=1e-12, atol=1e-14)
    assert (r.y[0, -1] - 10.0) / 1e-4 == approx(np.exp(-1), rel=1e-4)
    assert motion.settling_time(J, 0.0, 0.05, 10.0) == approx(10.0)  # J/c, of a linear brake


@pytest.mark.parametrize("c", [0.0, 0.03, 0.4])
def test_pulses_against_a_general_integrator(c):
    s = pulses(6, c=c)
    y, t = integrated(s, 20.0)
    found = march(s, np.array([20.0]))
    assert found.y[:, 0] == approx(y, rel=2e-9)
    assert found.time.sum() == approx(t, rel=2e-9)


@pytest.mark.parametrize("c", [0.0, 0.03, 0.4])
def test_the_repeating_cycle_is_where_a_long_run_ends(c):
    long, one = march(pulses(60, c=c), np.array([20.0])), cycle(pulses(1, c=c))
    assert one.y[0, 0] == approx(one.y[-1, 0], rel=1e-12)
    assert long.y[-17:, 0] == approx(one.y[:, 0], rel=1e-9)
    if c == 0:
        once = 0.5 * march(pulses(1), np.zeros(1)).y[-1, 0] / 2
        whole = motion.brake_exponent(0.02, 2 * np.pi, 0.5)
        assert motion.cycle_energy(once, whole) == approx(0.5 * one.y[0, 0] / 2)


def test_samples_are_single_runs():
    s = pulses(3, c=0.03)
    many = Stretches(s.angle, s.torque * np.array([[1.0, 1.1, 0.9]]), s.square, s.linear, s.inertia)
    found = march(many, np.full(3, 20.0))
    for i, factor in enumerate((1.0, 1.1, 0.9)):
        alone = march(Stretches(s.angle, s.torque * factor, s.square, s.linear, s.inertia), np.array([20.0]))
        assert found.y[:, i] == approx(alone.y[:, 0], rel=1e-12)
        assert found.time[:, i] == approx(alone.time[:, 0], rel=1e-12)


def test_a_machine_that_stops_has_no_time_from_there_on():
    found = march(row([1.0, 1.0, 1.0], [-1.0, -1.0, 3.0]), np.array([5.0]))
    assert found.y[1, 0] == approx(1.0) and found.y[2, 0] < 0 and np.isnan(found.time[1:, 0]).all()
    assert np.isnan(after(np.sqrt(5.0), -1.0, 0.0, 0.5, 2.0)) and np.isnan(motion.cycle_energy(3.0, 0.0))
