"""Chains, sprockets and gears that do not turn evenly, against printed figures.

Shigley's Mechanical Engineering Design, figure 17-11: chordal speed variation 1 - cos(180 deg / z), from memory.
ISO 1328-2:1997 annex B and ISO 1328-1:1995, tables, rounded to whole micrometres, from memory.
A sprocket maker's published table of eccentricity between bore and bottom of the teeth, read.
"""

import numpy as np
import pytest
from pytest import approx

from layshaft.mechanics import transmission_error as error

INCH = 25.4e-3


@pytest.mark.from_memory
@pytest.mark.parametrize(("z", "percent"), [(11, 4.05), (15, 2.19), (17, 1.70), (19, 1.36), (25, 0.79)])
def test_two_harmonics_reach_from_the_slowest_to_the_fastest(z, percent):
    """The two harmonics at their worst are 1 to 2 % more than the whole polygon."""
    arm = 1 / (2 * np.sin(np.pi / z))
    swing = sum(error.order_swing(error.angle_error(error.polygon_advance(1.0, float(z), k), arm), k * z)
                for k in (1.0, 2.0))
    assert swing * 100 == approx(percent * 1.0125, rel=0.015)


def between(low, high):
    """Tables are reckoned at the geometric mean of the ends of a range."""
    return np.sqrt(low * high) * 1e-3


@pytest.mark.from_memory
@pytest.mark.parametrize(("d", "m", "row"), [
    ((50, 125), (2, 3.5), {5: 15, 6: 21, 7: 30, 8: 43}), ((125, 280), (2, 3.5), {5: 20, 7: 40}),
    ((20, 50), (0.5, 2), {7: 23, 8: 32}), ((50, 125), (6, 10), {5: 16, 8: 46})])
def test_iso_1328_2_runout(d, m, row):
    for grade, micrometres in row.items():
        assert error.gear_runout(between(*m), between(*d), float(grade)) * 1e6 == approx(micrometres, abs=0.51)


@pytest.mark.from_memory
def test_runout_is_eight_tenths_of_the_total_pitch_deviation():
    """F_p = 0.3 m_n + 1.25 root d + 7, class 5; m_n 8 mm and d 31.7 mm, so that every term matters."""
    F_p = 0.3 * 8 + 1.25 * np.sqrt(31.7) + 7
    assert error.gear_runout(8e-3, 31.7e-3, 5.0) * 1e6 == approx(0.8 * F_p, rel=1e-9)


@pytest.mark.from_memory
@pytest.mark.parametrize(("d", "m", "row"), [((50, 125), (2, 3.5), {5: 18, 6: 25, 7: 36, 8: 51}),
                                             ((20, 50), (0.5, 2), {5: 14, 7: 29})])
def test_iso_1328_1_tooth_to_tooth_over_its_factor(d, m, row):
    """Tabled without the factor of contact: 0.4 where four teeth share."""
    for grade, micrometres in row.items():
        assert error.tooth_to_tooth(between(*m), between(*d), float(grade), 5.0) * 1e6 / 0.4 == approx(
            micrometres, abs=0.51)


@pytest.mark.from_memory
def test_tooth_to_tooth_from_pitch_and_profile():
    """K (4.3 + f_pt + F_alpha), F_alpha = 3.2 root m + 0.22 root d + 0.7; contact ratio 1.6, K 0.7; class 7."""
    m, d = 6.0, 400.0
    f_pt, F_alpha = 0.3 * (m + 0.4 * np.sqrt(d)) + 4, 3.2 * np.sqrt(m) + 0.22 * np.sqrt(d) + 0.7
    found = error.tooth_to_tooth(m * 1e-3, d * 1e-3, 7.0, 1.6)
    assert found * 1e6 == approx(0.7 * (4.3 + f_pt + F_alpha) * 2, rel=1e-9)
    assert np.isnan(error.tooth_to_tooth(m * 1e-3, d * 1e-3, 7.0, np.nan))
    assert error.tooth_to_tooth(m * 1e-3, d * 1e-3, 7.0, 3.999) == approx(
        error.tooth_to_tooth(m * 1e-3, d * 1e-3, 7.0, 4.0), rel=1e-3)


@pytest.mark.from_memory
@pytest.mark.parametrize(("root", "runout"), [(50, 0.15), (87.5, 0.15), (200, 0.24), (600, 0.56), (850, 0.76), (1e3, 0.76)])
def test_iso_606_runout_of_a_sprocket(root, runout):
    assert error.sprocket_runout(root * 1e-3) * 1e3 == approx(runout, abs=1e-9)


@pytest.mark.parametrize(("root", "shown"), [(4, 0.006), (7, 0.010), (15, 0.018), (25, 0.024), (45, 0.028)])
def test_a_maker_s_table_of_eccentricity(root, shown):
    """Steps of sizes, so a sixth apart at most."""
    assert error.sprocket_runout(root * INCH) == approx(shown * INCH, rel=0.17)
