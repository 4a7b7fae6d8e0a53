"""Sizes that steady or drive a machine, against balances written out by hand and the formulas they invert."""

from pytest import approx

from layshaft.mechanics import inertia, loads, sizing


def test_inertia_to_add_counts_by_the_square_of_the_ratio():
    """5 kg m2 lacking at the slow shaft are 0.2 on one five times as fast."""
    assert sizing.extra_inertia(12.0, 7.0, 5.0) == approx(0.2)
    assert sizing.extra_inertia(7.0, 12.0, 0.5) == approx(-20.0)
    assert inertia.reflected(sizing.extra_inertia(9.0, 2.0, 3.0), 3.0) == approx(7.0)


def test_what_the_shape_of_the_train_leaves():
    assert sizing.left_for_pulses(0.05, 0.0482) == approx(0.0018)


def test_a_lift_that_is_short():
    """10 J asked, 2 N m over 1.5 rad given, 4 J stored: 3 J short."""
    assert sizing.short_in_a_lift(10.0, 2.0, 1.5, 4.0) == approx(3.0)


def test_governors_balance_what_is_left_over():
    """0.36 N m at 12 rad/s: 0.0025 N m s2 for a fan, 0.03 N m s/rad for an eddy brake."""
    assert sizing.fan_constant_for(0.36, 12.0) == approx(0.0025)
    assert sizing.eddy_constant_for(0.36, 12.0) == approx(0.03)
    assert loads.fan_torque(sizing.fan_constant_for(0.36, 12.0), 12.0) == approx(0.36)
    assert loads.eddy_torque(sizing.eddy_constant_for(0.36, 12.0), 12.0, 40.0) == approx(0.36)


def test_vanes_for_a_fan_constant():
    """2 vanes of 0.0255 m2 at 0.26 m, 1.2 kg/m3, 1.2: k = 2 * 1.2 / 2 * 1.2 * 0.0255 * 0.26^3 = 6.4539e-4."""
    assert sizing.vane_area_for(6.4539072e-4, 2.0, 1.2, 1.2, 0.26) == approx(0.0255)
    assert sizing.vane_radius_for(6.4539072e-4, 2.0, 1.2, 1.2, 0.0255) == approx(0.26)
    k = loads.fan_constant(3.0, 1.1, 1.3, 0.02, 0.3)
    assert sizing.vane_area_for(k, 3.0, 1.1, 1.3, 0.3) == approx(0.02)
    assert sizing.vane_radius_for(k, 3.0, 1.1, 1.3, 0.02) == approx(0.3)


def test_weight_that_gives_a_torque():
    """40 kg give 8 N m net of 2 N m that hang against it: 0.25 N m/kg; 13 N m net need 60 kg."""
    assert sizing.mass_for_torque(13.0, 2.0, 8.0, 40.0) == approx(60.0)
    assert sizing.torque_to_start(1.5, 12.0) == approx(18.0)
    assert sizing.drop_for(0.004, 360.0) == approx(1.44)
