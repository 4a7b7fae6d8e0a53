"""Parallel key: what statics and the geometry of the key give by hand, every term at work."""

import numpy as np
import pytest
from pytest import approx

from layshaft.elements import parallel_key as key
from layshaft.mechanics.margin import margin


def test_shear_of_two_keys_by_hand():
    """10 mm wide, 30 mm bearing, two keys of which three quarters carry: 10 * 30 * 2 * 0.75 = 450 mm2."""
    area = key.sheared_area(0.010, 0.030, 2.0, 0.75)
    assert area == approx(450e-6, rel=1e-12)
    assert key.shear_stress(9000.0, area) == approx(20e6, rel=1e-12)


def test_pressure_of_two_keys_by_hand():
    """2 * 135 N m / (30 mm * 3 mm * 20 mm * 2 * 0.75) = 100 MPa."""
    assert key.flank_pressure(135.0, 0.030, 0.007, 0.004, 0.020, 2.0, 0.75) == approx(100e6, rel=1e-12)


def test_shear_yield_is_the_yield_strength_over_the_root_of_three():
    """Distortion energy in pure shear: sqrt(3 tau^2) = R_e, so 300 MPa gives 173.205 MPa."""
    assert key.shear_yield(300e6) == approx(173.205e6, rel=1e-5)


@pytest.mark.parametrize(("l", "expected"), [(0.030, 0.022), (0.060, 0.0325)])
def test_bearing_length_of_short_and_long_keys(l, expected):  # noqa: E741
    """8 mm wide on 25 mm: 30 - 8 = 22 mm; a 60 mm key counts 1.3 * 25 = 32.5 mm."""
    assert key.bearing_length(l, 0.008, 0.025) == approx(expected, rel=1e-12)


def test_short_means_under_twice_the_width():
    """10 mm wide: 19.8 mm is short, 20.2 mm is not."""
    lengths = np.array([0.0198, 0.0202, 0.05])
    assert key.short(lengths, np.array([0.010])) == approx([1.0, 0.0, 0.0])


def test_margin_of_signed_and_absent_demands():
    """Rating over size of demand; a million where nothing is asked."""
    assert margin(300.0, -200.0) == approx(1.5, rel=1e-12)
    assert margin(300.0, 0.0) == approx(1e6, rel=1e-12)
