"""Limits of the shared friction formulas: elementary geometry, worked by hand."""

import numpy as np
from pytest import approx
from scipy.integrate import quad

from layshaft.mechanics import brakes, friction, one_way


def test_mean_radii_by_integration():
    """Friction of rings summed over the face: pressure the same everywhere, or falling as one over the radius."""
    R, r = 0.070, 0.030
    even = quad(lambda x: x**2, r, R)[0] / quad(lambda x: x, r, R)[0]
    worn = quad(lambda x: x, r, R)[0] / quad(lambda x: 1.0, r, R)[0]
    assert friction.pressure_radius(2 * R, 2 * r) == approx(even, rel=1e-9)
    assert friction.wear_radius(2 * R, 2 * r) == approx(worn, rel=1e-9)


def test_faces_that_cannot_be():
    assert np.isnan(friction.pressure_radius(0.05, 0.05))
    assert np.isnan(friction.pressure_radius(0.05, 0.06))
    assert np.isnan(friction.wear_pressure(100.0, 0.05, 0.06))
    assert np.isnan(friction.wear_pressure(100.0, 0.05, 0.0))


def test_the_sense_of_a_torque():
    assert [float(one_way.sense(T)) for T in (5.0, -0.2, 0.0)] == [1.0, -1.0, 1.0]
    assert np.isnan(one_way.sense(np.nan))


def test_a_differential_band_turned_the_other_way():
    """Moments about the lever's pivot: the ends have changed places. 100 N on 0.5 m; tensions as 3 to 1; arms 60, 20 mm.

    Tight 3 S pulls on 60 mm against the hand, slack S on 20 mm with it: S (0.180 - 0.020) = 50 N m.
    """
    assert brakes.band_weak(100.0, 0.5, 0.060, 0.020, 3.0) == approx(50 / 0.160)
    assert np.isnan(brakes.band_weak(100.0, 0.5, 0.060, 0.185, 3.0))  # 3 x 60 mm is less than 185
    assert brakes.band_weak(100.0, 0.5, 0.060, 0.175, 3.0) == approx(50 / 0.005)
    assert np.isnan(brakes.band_weak(100.0, 0.5, 0.5, 2.0, 3.0))


def test_which_way_counts():
    assert [float(brakes.that_way(T, 9.0, 4.0)) for T in (2.0, 0.0, -2.0)] == [9, 9, 4]
    assert [float(brakes.running_way(w, 9.0, 4.0)) for w in (2.0, 0.0, -2.0)] == [9, 9, 4]
    assert np.isnan(brakes.that_way(np.nan, 9.0, 4.0)) and np.isnan(brakes.running_way(np.nan, 9.0, 4.0))
