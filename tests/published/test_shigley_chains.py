"""Shigley's Mechanical Engineering Design, sec. 17-5: roller chain.

Equations, strand factors and example data read in study notes that quote the section; where a
printed result was remembered the test says so.
"""

import numpy as np
import pytest
from pytest import approx

from layshaft.elements import roller_chain as chain
from layshaft.elements.roller_chain import practice
from layshaft.listings.tables import table
from layshaft.trace.units import DEGREE, HORSEPOWER, INCH, REV_PER_MIN

HOUR = 3600.0


def test_example_17_5_length():
    """17 and 34 teeth, 25 pitches apart: 75.79 pitches, taken as 76; eq. 17-35 gives 25.104 back."""
    X_0 = chain.links_exact(25.0, 1.0, 17.0, 34.0)
    assert X_0 == approx(75.79, rel=2e-4)
    assert chain.links_even(X_0) == 76
    assert chain.centre_distance_approximate(76.0, 17.0, 34.0, 1.0) == approx(25.104, rel=1e-4)


@pytest.mark.parametrize(("z", "percent"), [(17.0, 1.712), (19.0, 1.370), (25.0, 0.791)])
def test_chordal_variation_eq_17_31(z, percent):
    """Equation read, evaluated."""
    assert chain.chordal_variation(z) == approx(percent / 100, rel=1e-3)


def test_articulation_of_17_teeth():
    assert chain.articulation(17.0) == approx(10.588 * DEGREE, rel=1e-4)


@pytest.mark.from_memory
@pytest.mark.parametrize(("inches", "rpm", "hp"), [
    (0.5, 50, 0.37), (0.5, 100, 0.69), (0.75, 50, 1.24), (1.0, 100, 5.38), (1.5, 50, 9.33),
])
def test_table_17_20_plates(inches, rpm, hp):
    """Table for 17 teeth, one strand, chains 40 to 120; table values from memory, equation read."""
    k_H = practice("plate capacity").number("value")
    found = chain.plate_power(k_H, 17.0, rpm * REV_PER_MIN, inches * INCH)
    assert found == approx(hp * HORSEPOWER, rel=0.007)


@pytest.mark.from_memory
def test_table_17_20_light_chain():
    """No. 41 at 100 rev/min: 0.38 hp, with its own coefficient."""
    k_H = practice("plate capacity light").number("value")
    assert chain.plate_power(k_H, 17.0, 100 * REV_PER_MIN, 0.5 * INCH) == approx(0.38 * HORSEPOWER, rel=0.01)


def test_rollers_eq_17_33():
    """Chain 40, 17 teeth, 3000 rev/min, 100 pitches, 15 000 h: 4.165 hp (equation read, evaluated)."""
    K_r = chain.roller_coefficient(0.5 * INCH, practice("roller capacity bush").number("value"),
                                   practice("roller capacity").number("value"))
    found = chain.roller_power(K_r, 17.0, 3000 * REV_PER_MIN, 0.5 * INCH, 100.0, 15000 * HOUR)
    assert found == approx(4.165 * HORSEPOWER, rel=2e-4)


def test_rollers_with_another_length_and_life():
    """The same chain with (L/100)^0.4 (15000/h)^0.4: 120 pitches and 2500 h, by hand."""
    found = chain.roller_power(17.0, 17.0, 3000 * REV_PER_MIN, 0.5 * INCH, 120.0, 2500 * HOUR)
    assert found == approx(4.165 * 1.07565 * 2.04767 * HORSEPOWER, rel=5e-4)


def test_plates_and_rollers_cross_at_1773_rev_per_min():
    """Chain 40, 17 teeth: eq. 17-32 equals eq. 17-33."""
    n = 1773.0 * REV_PER_MIN
    plates = chain.plate_power(0.004, 17.0, n, 0.5 * INCH)
    assert plates == approx(chain.roller_power(17.0, 17.0, n, 0.5 * INCH, 100.0, 15000 * HOUR), rel=1e-3)


def test_below_ten_rev_per_min_the_formulas_are_unknown():
    """The permitted pull of eq. 17-32 has no bottom: speeds a little below and at the limit."""
    n = np.array([9.9, 10.0, 10.4]) * REV_PER_MIN
    assert np.isnan(chain.plate_power(0.004, 17.0, n, 0.0127)).tolist() == [True, False, False]
    assert np.isnan(chain.roller_power(17.0, 17.0, n, 0.0127, 100.0, 5e7)).tolist() == [True, False, False]
    assert np.isnan(chain.roller_power(17.0, 17.0, 0.0, 0.0127, 100.0, 5e7))
    slowest = chain.roller_power(17.0, 17.0, 10 * REV_PER_MIN, 0.5 * INCH, 100.0, 15000 * HOUR)
    assert slowest == approx(300**1.5 * 4.165 * HORSEPOWER, rel=2e-4)


def test_coefficient_of_the_rollers():
    """29 below half an inch (25, 35), 17 from half an inch on."""
    K = practice("roller capacity bush").number("value"), practice("roller capacity").number("value")
    found = chain.roller_coefficient(np.array([0.375, 0.48, 0.5, 2.5, np.nan]) * INCH, *K)
    assert found == approx([29, 29, 17, 17, np.nan], nan_ok=True)


@pytest.mark.from_memory
@pytest.mark.parametrize(("strands", "hp"), [("1", 176.0), ("2", 104.0), ("3", 70.2), ("4", 53.2)])
def test_example_17_5_power_to_look_for(strands, hp):
    """90 hp, service factor 1.3, design factor 1.5, 17 teeth; printed 176, 104, 70.2, 53.2 (from memory)."""
    K_2 = table("chain_strand_factors")[strands].number("K_2")
    found = chain.table_power(90 * HORSEPOWER, 1.3, 1.5, chain.tooth_factor_plates(17.0), K_2)
    assert found == approx(hp * HORSEPOWER, rel=8e-3)


def test_tooth_factors_of_21_teeth_table_17_22():
    """(21/17)^1.08 = 1.26 left of the peak, (21/17)^1.5 = 1.37 right of it."""
    assert chain.tooth_factor_plates(21.0) == approx(1.26, abs=0.005)
    assert chain.tooth_factor_rollers(21.0) == approx(1.373, abs=0.0005)


def test_strands_of_one_chain_table_17_23():
    """Read in a second text, a chain maker's published guide: 1.7, 2.5, 3.3, 3.9, 4.6."""
    factors = [r.number("K_2") for r in table("chain_strand_factors").rows]
    assert factors == [1.0, 1.7, 2.5, 3.3, 3.9, 4.6]
    assert chain.strands_power(100.0, factors[2]) == approx(250.0)


def test_light_chain_coefficients():
    """Eq. 17-32 and 17-33 as read in a trader's page of roller chains: 0.0022 and 3.4 for no. 41."""
    k = [practice(f"plate capacity{tail}").number("value") for tail in ("", " light")]
    K = [practice(f"roller capacity{tail}").number("value") for tail in ("", " light")]
    assert chain.by_series(*k, np.array([0.0, 1.0, np.nan])) == approx([0.004, 0.0022, np.nan], nan_ok=True)
    assert chain.by_series(*K, 1.0) == approx(3.4)
    found = chain.roller_power(chain.by_series(*K, 1.0), 17.0, 3000 * REV_PER_MIN, 0.5 * INCH, 100.0, 15000 * HOUR)
    assert found == approx(4.165 * 3.4 / 17 * HORSEPOWER, rel=2e-4)
