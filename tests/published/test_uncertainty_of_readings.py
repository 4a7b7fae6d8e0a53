"""How sure a measured value is.

Guide to the expression of uncertainty in measurement, ISO/IEC Guide 98-3:2008 (JCGM 100:2008): example 4.4.3 and
table G.2, read in texts that quote them. Montgomery and Runger, Applied Statistics and Probability for Engineers,
3rd ed., examples 8-1 and 8-2, pp. 250-252, read. Law of propagation: the general package `uncertainties`. Welch
and Satterthwaite, variance between limits: `scipy.stats`.
"""

import numpy as np
import pytest
from pytest import approx
from scipy import stats
from uncertainties import ufloat

from layshaft.mechanics import uncertainty as gum

TEMPERATURES = [96.90, 98.18, 98.25, 98.61, 99.03, 99.49, 99.56, 99.74, 99.89, 100.07, 100.33, 100.42, 100.68, 100.95,
                101.11, 101.20, 101.57, 101.84, 102.36, 102.72]


def test_twenty_temperatures_of_the_guide():
    """Printed: mean 100.14 degC, 1.49 degC for one reading, 0.33 degC for the mean, 0.66 degC expanded by 2."""
    mean, s = np.mean(TEMPERATURES), np.std(TEMPERATURES, ddof=1)
    u = gum.of_the_mean(s / mean, 20) * mean
    assert (mean, s, u) == approx((100.145, 1.489, 0.333), abs=6e-4)
    assert gum.expanded(2.0, u / mean) * mean == approx(0.66, abs=0.01)


def test_charpy_energies_of_the_textbook():
    """Example 8-1: ten readings, sigma 1 J, 63.84 to 65.08 J with 1.96; 8-2: 16 specimens for half a length of 0.5 J."""
    mean = np.mean([64.1, 64.7, 64.5, 64.6, 64.5, 64.3, 64.6, 64.8, 64.2, 64.3])
    U = gum.expanded(1.96, gum.of_the_mean(1 / mean, 10)) * mean
    assert (mean - U, mean + U) == approx((63.84, 65.08), abs=0.005)
    n = gum.readings_needed(1.96, 1 / mean, 0.5 / mean, 0.0)
    assert n == approx(15.37, abs=0.005)
    assert np.ceil(n) == 16


def test_readings_needed_leave_the_spread_that_was_wanted():
    n = gum.readings_needed(2.0, 0.1, 0.05, 0.01)
    assert gum.expanded(2.0, gum.combined(gum.of_the_mean(0.1, n), 0.01)) == approx(0.05, rel=1e-12)
    assert np.isnan(gum.readings_needed(2.0, 0.1, 0.02, 0.01))


@pytest.mark.parametrize(("freedom", "printed"), [
    (1, 13.97), (2, 4.53), (3, 3.31), (4, 2.87), (5, 2.65), (6, 2.52), (7, 2.43), (8, 2.37), (9, 2.32), (10, 2.28),
    (20, 2.13), (50, 2.05), (100, 2.025)])
def test_table_of_student(freedom, printed):
    """Table G.2, column 95.45 %."""
    assert gum.coverage_factor(freedom) == approx(printed, abs=0.0051)
    assert gum.coverage_factor(freedom + 0.7) == gum.coverage_factor(freedom)  # clause G.4.2: the next lower whole one


def test_many_degrees_of_freedom_cover_by_two():
    assert gum.coverage_factor(float("inf")) == 2.0
    assert gum.coverage_factor(9999) == approx(2.0, abs=2e-3)
    assert np.isnan(gum.coverage_factor(0.5))


def test_between_limits():
    """Standard deviation of an even distribution: a whole step wide, and from minus to plus a limit."""
    assert gum.of_a_step(0.04) == approx(stats.uniform(-0.02, 0.04).std())
    assert gum.of_a_limit(0.04) == approx(stats.uniform(-0.04, 0.08).std())
    assert gum.of_a_step(1.0) == approx(0.29, abs=0.002)  # the Guide's 0.29 of a step


def test_causes_add_by_their_squares():
    assert gum.combined(0.03, 0.02) == approx((ufloat(1, 0.03) + ufloat(0, 0.02)).std_dev)


def test_degrees_of_freedom_of_scatter_beside_an_instrument():
    """Welch's test of two samples, one of them so large that its mean is known for sure."""
    a, many = np.array([1.0, 2.0, 4.0, 7.0]), 10**6
    sure = np.tile([-1.0, 1.0], many // 2) * np.sqrt(1.7 * many)
    u_a = np.std(a, ddof=1) / 2
    freedom = gum.degrees_of_freedom(4, u_a, np.hypot(u_a, np.sqrt(1.7)))
    assert freedom == approx(stats.ttest_ind(a, sure, equal_var=False).df, rel=1e-4)


def test_score_of_two_values():
    """Distance of two independent values over the doubled standard deviation of their difference."""
    measured, guessed = ufloat(0.13, 0.0105), ufloat(0.03, 0.025)
    apart = measured - guessed
    assert gum.score(0.1 / 0.13, 0.021 / 0.13, 0.05 / 0.13) == approx(apart.nominal_value / (2 * apart.std_dev))
