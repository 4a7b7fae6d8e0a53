"""Flywheels sized for punching presses and engines.

Khurmi and Gupta, Theory of Machines, ch. 16; Uicker, Pennock and Shigley, Theory of Machines and Mechanisms,
ch. 18 (solutions). Second texts: worked examples with the printed values.
"""

import numpy as np
from pytest import approx

from layshaft.elements import flywheel
from layshaft.mechanics import drives, sizing
from layshaft.trace.units import REV_PER_MIN

TURN = 2 * np.pi


def test_khurmi_example_16_19_page_603():
    """15 kJ a hole, 720 an hour, 2 s of each 5 s, 225 to 200 rev/min at 0.5 m: printed 618 kg."""
    omega = 212.5 * REV_PER_MIN
    dE = sizing.lift_surplus(15e3, 3.0, 0.4 * TURN / 3)  # three holes a turn, each over its share of 2 in 5
    assert flywheel.needed_inertia(dE, 25 / 212.5, omega) / 0.5**2 == approx(618, abs=0.5)
    # and the other way round: this wheel and this swing leave 2 s of each 5 for the lift
    J = drives.gyration_inertia(618.0, 0.5)
    assert sizing.lift_angle(15e3, 3.0, J, 25 / 212.5, omega) / (TURN / 3) == approx(0.4, rel=1e-3)


def test_khurmi_example_16_20_page_603():
    """38 mm holes in 32 mm plate, 7 J/mm2, 10 s a hole, stroke 100 mm, 25 m/s, 3 %: printed 1198 kg."""
    E = 7 * round(np.pi * 38 * 32)
    dE = sizing.lift_surplus(E, 1.0, TURN * 32 / (2 * 100))
    assert flywheel.needed_inertia(dE, 0.03, 25.0) == approx(1198, abs=0.5)  # at 1 m, so that omega is the rim speed


def test_khurmi_example_16_22_page_605():
    """40 mm holes in 15 mm plate, 6 J/mm2, 30 a minute, 0.1 s each, 160 to 140 rev/min at 1 m: printed 327 kg."""
    E = 6 * round(np.pi * 40 * 15)
    dE = sizing.lift_surplus(E, 2.0, 0.05 * TURN / 2)
    assert flywheel.needed_inertia(dE, 20 / 150, 150 * REV_PER_MIN) == approx(327, abs=0.5)
    assert sizing.lift_angle(E, 2.0, 327.0, 20 / 150, 150 * REV_PER_MIN) / np.pi == approx(0.05, rel=0.03)


def test_uicker_problem_18_2():
    """394.38 J, 0.0125, 4600 rev/min: printed 0.136 kg m2, and 6.8 kg for a disc of 400 mm."""
    J = flywheel.needed_inertia(394.38, 0.0125, 4600 * REV_PER_MIN)
    assert J == approx(0.136, abs=0.0005)
    assert sizing.disc_mass(0.136, 0.4) == approx(6.8, abs=0.05)
    assert sizing.disc_mass(0.136, 0.4) == approx(7800 * np.pi / 4 * 0.4**2 * 6.94e-3, rel=1e-3)
