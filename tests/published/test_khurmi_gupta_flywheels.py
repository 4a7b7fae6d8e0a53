"""Khurmi and Gupta, Theory of Machines, ch. 16, flywheels; Sarkar, Theory of Machines, ch. 6.

Read in textbook companions (worked examples with the books' printed pages).
"""

import numpy as np
from pytest import approx

from layshaft.mechanics import drives
from layshaft.trace.units import REV_PER_MIN


def test_khurmi_example_16_2_page_573():
    """2500 kg at 1 m, 1500 N m for 10 s: printed 45 kJ."""
    J = drives.gyration_inertia(2500.0, 1.0)
    assert drives.turning_energy(J, 1500.0 / J * 10) == approx(45e3)


def test_khurmi_example_16_4_page_574():
    """36 kg at 0.15 m, 1800 rev/min, 85.1 N m: printed 0.003 (0.3 %)."""
    J = drives.gyration_inertia(36.0, 0.15)
    assert drives.speed_fluctuation(85.1, J, 1800 * REV_PER_MIN) == approx(0.003, rel=0.03)


def test_khurmi_example_16_6_page_584():
    """500 kg at 0.6 m, 250 rev/min, 8835.7 N m: printed 0.072; 1875 N m at that speed 49.087 kW."""
    J = drives.gyration_inertia(500.0, 0.6)
    assert drives.speed_fluctuation(8835.7, J, 250 * REV_PER_MIN) == approx(0.072, rel=0.01)
    assert drives.handle_power(1875.0, 250 * REV_PER_MIN) == approx(49087, rel=1e-3)


def test_khurmi_example_16_21_page_604():
    """150 kg at 0.6 m, 300 rev/min, rivet 10 kJ less 3 kW for 1 s: printed 257.6 rev/min."""
    J = drives.gyration_inertia(150.0, 0.6)
    after = drives.speed_after(300 * REV_PER_MIN, 10_000.0 - 3000.0, J)
    assert after / REV_PER_MIN == approx(257.6, rel=5e-4)


def test_sarkar_illustration_6_9_page_182():
    """60 kg m2, 360 rev/min, 7500 J less 5 kW for 1 s: printed drop 10.7 rev/min."""
    after = drives.speed_after(360 * REV_PER_MIN, 2500.0, 60.0)
    assert 360 - after / REV_PER_MIN == approx(10.7, rel=5e-3)


def test_sarkar_illustration_6_7_page_181():
    """200 kg at 0.5 m between 360 and 240 rev/min in 4 s: printed 4.93 kW."""
    J = drives.gyration_inertia(200.0, 0.5)
    given = np.diff(drives.turning_energy(J, np.array([240.0, 360.0]) * REV_PER_MIN))[0]
    assert given / 4 == approx(4930, rel=2e-3)
