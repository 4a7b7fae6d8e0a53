"""Bhandari, Design of Machine Elements, ch. 14 Chain drives. Read in a textbook companion."""

import numpy as np
from pytest import approx

from layshaft.elements import roller_chain as chain
from layshaft.mechanics.margin import margin
from layshaft.trace.units import REV_PER_MIN

MM = 1e-3


def test_example_14_3_length_and_centre_distance():
    """Pitch 12.7 mm, 21 and 63 teeth, 500 mm: 121.875 links, 122 chosen, centres 500.805 mm."""
    X_0 = chain.links_exact(0.500, 12.7 * MM, 21.0, 63.0)
    assert X_0 == approx(121.875, rel=1e-5)
    assert chain.links_even(X_0) == 122
    assert chain.centre_distance_approximate(122.0, 21.0, 63.0, 12.7 * MM) == approx(0.500805, rel=1e-6)


def test_example_14_3_design_power():
    """5 kW, service factor 1.3, tooth factor 1.26, one strand: 5.1587 kW."""
    assert chain.table_power(5000.0, 1.3, 1.0, 1.26, 1.0) == approx(5158.7, rel=1e-4)


def test_example_14_4_pitch_circle_and_length():
    """Pitch 19.05 mm, 17 and 34 teeth, 40 pitches: d_2 = 206.463 mm, 105.683 links."""
    assert chain.pitch_diameter(19.05 * MM, 34.0) == approx(206.463 * MM, rel=1e-5)
    assert chain.links_exact(40 * 19.05 * MM, 19.05 * MM, 17.0, 34.0) == approx(105.683, rel=1e-5)


def test_example_14_7_tension_and_factor_of_safety():
    """12.9537 kW, pitch 15.875 mm, 19 teeth, 1400 rev/min: 1840.56 N; breaking load 22 200 N: 12.06."""
    v = chain.chain_speed(15.875 * MM, 19.0, 1400 * REV_PER_MIN)
    F = chain.pull_from_power(12953.7, v)
    assert F == approx(1840.56, rel=1e-5)
    assert margin(22200.0, F) == approx(12.0616, rel=1e-5)


def test_breaking_load_of_12a_1():
    """31 100 N in the book (the 2004 edition of ISO 606); 31.3 kN in the 2015 edition."""
    assert chain.series("12A-1").breaking_load == approx(31100.0, rel=0.01)


def test_exact_centre_distance_beside_the_approximate_one():
    """The approximate inverse is 0.018 mm off at 21 and 63 teeth, 122 links (evaluated beside ex. 14.3)."""
    exact = chain.centre_distance_exact(122.0, 21.0, 63.0, 12.7 * MM)
    assert np.abs(exact - 0.500805) == approx(0.018 * MM, abs=0.001 * MM)
