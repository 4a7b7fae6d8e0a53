"""Limits of the shared friction formulas: elementary geometry, worked by hand."""

import numpy as np
from pytest import approx
from scipy.integrate import quad

from layshaft.mechanics import friction, one_way


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
