"""Drives and loads against statics, energy balances and sums written out by hand."""

import numpy as np
import pytest
from pytest import approx

from layshaft.mechanics import drives, loads

G = 9.80665


def test_loop_strands_carry_the_weight_and_differ_by_the_pulley_loss():
    """96 kg, e = 0.05: 941.4384 N in two parts, 459.2383 and 482.2002 N."""
    drive = drives.loop_drive_strand(96.0, G, 0.05)
    held = drives.loop_winding_strand(96.0, G, 0.05)
    assert drive == approx(459.2383, rel=1e-6)
    assert held == approx(482.2002, rel=1e-6)
    assert drive + held == approx(96.0 * G)


def test_counterweight_strands_have_the_loss_the_other_way_round():
    """8 kg, e = 0.05: 40.1833 N drawn off at the drive wheel, 38.2699 N on the other side."""
    assert drives.counterweight_drive_strand(8.0, G, 0.05) == approx(40.18335, rel=1e-6)
    assert drives.counterweight_return_strand(8.0, G, 0.05) == approx(38.26985, rel=1e-6)


def test_energy_balance_of_a_loop_with_losses():
    """Work of the drive wheel + work lost in both pulleys = work of weight less counterweight."""
    M, m, e, d, turn = 96.0, 8.0, 0.04, 0.069, 2 * np.pi
    F_1, F_2 = drives.loop_drive_strand(M, G, e), drives.counterweight_drive_strand(m, G, e)
    # each pulley turns through half the chain that passes it, with e times its arriving part
    lost = e * (F_1 + drives.counterweight_return_strand(m, G, e)) * d / 2 * turn / 2
    sink = drives.loop_weight_speed(1.0, d) * turn
    assert drives.loop_torque(F_1, F_2, d) * turn + lost == approx((M - m) * G * sink, rel=1e-12)


def test_winding_torque_and_weight_torque():
    assert drives.winding_torque(482.2, 38.2, 0.1) == approx(22.2)
    assert drives.weight_torque(300.0, 0.12) == approx(18.0)


def test_idler_takes_its_loss_from_the_arriving_part():
    assert drives.idler_slack_side(105.0, 0.05) == approx(100.0)


@pytest.mark.parametrize(("k", "falls"), [(1, [1]), (3, [1, 1.06, 1.1236])])
def test_falls_of_a_purchase_are_summed_one_by_one(k, falls):
    F = drives.rope_force_running(120.0, G, float(k), 0.06)
    assert sum(F * part for part in falls) == approx(120.0 * G, rel=1e-12)
    rising = drives.rope_force_winding(F, float(k), 0.06)
    assert sum(rising / part for part in falls) == approx(120.0 * G, rel=1e-12)


def test_purchase_without_loss_divides_by_the_falls():
    assert drives.rope_force_running(120.0, G, 4.0, 0.0) == approx(30 * G)
    both = drives.rope_force_running(120.0, G, 4.0, np.array([0.0, np.nan]))
    assert both[0] == approx(30 * G)
    assert np.isnan(both[1])


def test_stored_energy_of_120_kg_over_2_5_m():
    """E = m g h: 2942.0 J (check value of the drive collection, formula evaluated)."""
    assert drives.weight_energy(120.0, G, 2.5) == approx(2942.0, rel=1e-4)


def test_drop_rate_for_six_watts():
    """v = P/(eta m g): 6.3732 mm/s for 6 W, 120 kg, efficiency 0.8."""
    assert drives.drop_rate(6.0, 0.8, 120.0, G) == approx(6.3732e-3, rel=1e-4)


def test_endless_loop_travels_two_metres_per_metre_and_its_weight_at_half_speed():
    assert drives.chain_travel(1.4, 2.0) == approx(2.8)
    assert drives.loop_weight_speed(2.0, 0.07) == approx(0.035)
    assert drives.drum_weight_speed(2.0, 0.07, 4.0) == approx(0.0175)


def test_running_time_and_turns_of_one_winding():
    """2.8 m of chain at 2 mm/s: 1400 s; on a wheel of 70 mm 12.7324 turns."""
    assert drives.running_time(2.8, 0.002) == approx(1400.0)
    assert drives.wheel_turns(2.8, 0.07) == approx(12.7324, rel=1e-5)


def test_crank_force_times_radius_and_back():
    assert drives.crank_torque(120.0, 0.3) == approx(36.0)
    assert drives.handle_force(36.0, 0.3) == approx(120.0)
    assert drives.handle_power(36.0, 3.0) == approx(108.0)


def test_turning_energy_and_what_is_left_of_it():
    """J 4 kg m2 at 10 rad/s holds 200 J; 72 J given leaves 8 rad/s; 201 J it does not hold."""
    assert drives.turning_energy(4.0, 10.0) == approx(200.0)
    assert drives.speed_after(10.0, 72.0, 4.0) == approx(8.0)
    assert drives.speed_after(10.0, 199.0, 4.0) == approx(np.sqrt(0.5))
    assert np.isnan(drives.speed_after(10.0, 201.0, 4.0))


def test_held_train_turns_all_kinetic_energy_into_twist():
    """J omega^2/2 = T^2/(2 k): J 0.5, omega 3, k 800 gives 60 N m."""
    T = drives.locked_train_torque(3.0, 0.5, 800.0)
    assert T == approx(60.0)
    assert drives.turning_energy(0.5, 3.0) == approx(T**2 / (2 * 800.0))


def test_start_ratio():
    assert drives.start_ratio(12.0, 8.0) == approx(1.5)


def test_parallel_strands_solved_as_two_springs():
    """k 4e5 N/m each, strand 1 shorter by 0.2 mm and its wheel 1 mrad ahead on 50 mm, 400 N."""
    k, slack, F = 4e5, 0.2e-3 + 0.05 * 1e-3, 400.0
    stretch = (F - k * slack) / (2 * k)
    expected = k * (stretch + slack) / F
    assert drives.parallel_strand_share(k, 0.2e-3, 0.05, 1e-3, F) == approx(expected, rel=1e-12)
    ends = drives.parallel_strand_share(k, np.array([2e-3, -2e-3]), 0.05, 0.0, F)
    assert ends == approx([1.0, 0.0])
    assert np.isnan(drives.parallel_strand_share(k, 0.0, 0.05, 0.0, 0.0))


def test_two_flat_vanes():
    """T = n rho/2 Cd A omega^2 r^3: 0.1228 N m for 2 vanes of 0.02 m2 at 0.3 m, 120 rev/min."""
    area = loads.vane_area(0.1, 0.2)
    k = loads.fan_constant(2.0, 1.2, 1.2, area, 0.3)
    assert loads.fan_torque(k, 4 * np.pi) == approx(0.1228, rel=1e-3)


def test_fan_law_and_its_sense():
    """Half the speed, a quarter of the torque; 20 % more torque, 9.54 % more speed."""
    k = 2.0 / (4 * np.pi) ** 2
    assert loads.fan_torque(k, 2 * np.pi) == approx(0.5)
    assert loads.fan_torque(k, -4 * np.pi) == approx(-2.0)
    assert loads.fan_torque(k, 4 * np.pi * 1.0954) == approx(2.4, rel=1e-3)


def test_eddy_brake_below_and_above_its_critical_speed():
    """c 0.05 N m s at 20 rad/s: 1.0 N m; unknown past 30 rad/s."""
    assert loads.eddy_torque(0.05, 20.0, 30.0) == approx(1.0)
    assert loads.eddy_torque(0.05, 30.0, 30.0) == approx(1.5)
    assert np.isnan(loads.eddy_torque(0.05, -31.0, 30.0))


def test_rolling_on_a_track():
    """150 kg, mu 0.004, track radius 0.4 m: 0.004 * 150 g * 0.4."""
    assert loads.rolling_torque(150.0, G, 0.004, 0.4) == approx(2.353596, rel=1e-6)


def test_pulses_lifted_over_part_of_a_turn():
    """4 pulses of 6 J a turn: 3.8197 N m mean; over 80 degrees each 4.2972 N m."""
    assert loads.pulse_energy(3.0, G, 0.204) == approx(6.00167, rel=1e-5)
    assert loads.pulse_mean_torque(6.0, 4.0) == approx(3.8197, rel=1e-4)
    assert loads.pulse_lift_torque(6.0, np.radians(80)) == approx(4.2972, rel=1e-4)


def test_pulse_energy_is_given_back_by_mean_and_lifting_torque():
    E, n, phi = 6.0, 3.0, np.radians(75)
    assert loads.pulse_mean_torque(E, n) * 2 * np.pi == approx(n * loads.pulse_lift_torque(E, phi) * phi)


def test_worm_does_not_run_back_at_half_efficiency():
    """eta = tan g/tan(g + r), reverse tan(g - r)/tan g; lead 0.3, friction 0.1 degrees."""
    lead, friction = np.radians(0.3), np.radians(0.1)
    eta = np.tan(lead) / np.tan(lead + friction)
    reverse = np.tan(lead - friction) / np.tan(lead)
    assert loads.worm_reverse_efficiency(eta) == approx(reverse, abs=1e-4)
    assert loads.worm_reverse_efficiency(0.5) == approx(0.0)
