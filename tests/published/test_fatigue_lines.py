"""Fatigue lines other than Goodman's.

Budynas and Nisbett, Shigley's Mechanical Engineering Design, solutions manuals to the 8th and 10th editions,
problem 7-1 (read); U.C. Jindal, Machine Design, ex. 15-7 (read in a textbook companion).
"""

import numpy as np
import pytest
from pytest import approx

from layshaft.mechanics import criteria, endurance
from layshaft.trace.units import INCH, POUND_FORCE

MPA = 1e6
KPSI = 1e3 * POUND_FORCE / INCH**2
LBF_IN = POUND_FORCE * INCH
METRIC = {"A": endurance.alternating_moment(2.2, 70.0, 1.8, 45.0), "B": endurance.mean_moment(2.2, 55.0, 0.0, 0.03, 1.8, 35.0),
              "S_e": 210 * MPA, "R_m": 700 * MPA, "R_e": 560 * MPA}
INCHES = {"A": endurance.alternating_moment(2.2, 600 * LBF_IN, 1.8, 400 * LBF_IN),
              "B": endurance.mean_moment(2.2, 500 * LBF_IN, 0.0, 0.03, 1.8, 300 * LBF_IN),
              "S_e": 30 * KPSI, "R_m": 100 * KPSI, "R_e": 80 * KPSI}
LINES = {"gerber": ("R_m", 25.85, 1.016), "elliptic": ("R_e", 25.77, 1.012), "soderberg": ("R_e", 27.70, 1.090)}


@pytest.mark.parametrize("line", LINES)
@pytest.mark.parametrize("case", [0, 1])
def test_problem_7_1_diameters_and_back_to_the_margin(line, case):
    """Printed at n = 2: Gerber 25.85 mm and 1.016 in, ellipse 25.77 mm (and 1.012 in, remembered), Soderberg 27.70 mm and 1.090 in."""
    strength, *printed = LINES[line]
    given, unit = ((METRIC, 1e-3), (INCHES, INCH))[case]
    d = getattr(criteria, f"{line}_diameter")(2.0, given["A"], given["S_e"], given["B"], given[strength])
    assert d / unit == approx(printed[case], rel=5e-4)
    stresses = (endurance.equivalent_stress(given[k], d) for k in "AB")
    assert getattr(criteria, f"{line}_margin")(*stresses, given["S_e"], given[strength]) == approx(2.0, rel=1e-9)


@pytest.mark.parametrize("line", LINES)
def test_lines_end_at_their_strengths(line):
    """Nothing steady: S_e over the stress; nothing alternating: the strength over it; nothing at all: the margin of an
    unloaded part."""
    margin = getattr(criteria, f"{line}_margin")
    found = margin(np.array([50e6, 0.0, 0.0]), np.array([0.0, 80e6, 0.0]), 200e6, 480e6)
    assert found == approx([4.0, 6.0, {"gerber": 2e6}.get(line, 1e6)])


def test_soderberg_asks_most():
    """At any mix of stresses: Soderberg below Goodman below Gerber, Soderberg below the ellipse."""
    a, m = np.array([10.0, 50.0, 90.0]) * MPA, np.array([200.0, 100.0, 20.0]) * MPA
    goodman = 210 * MPA / endurance.reversed_stress(a, m, 210 * MPA, 700 * MPA)
    soderberg = criteria.soderberg_margin(a, m, 210 * MPA, 560 * MPA)
    assert (soderberg < goodman).all()
    assert (goodman < criteria.gerber_margin(a, m, 210 * MPA, 700 * MPA)).all()
    assert (soderberg < criteria.elliptic_margin(a, m, 210 * MPA, 560 * MPA)).all()
