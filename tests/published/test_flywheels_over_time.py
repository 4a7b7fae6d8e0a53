"""Flywheels of textbooks turned through their cycle by the stepping of a run.

Khurmi and Gupta, Theory of Machines, ch. 16; Budynas and Nisbett, Shigley's Mechanical Engineering Design, ch. 16,
solutions. Second texts: worked examples with the printed values.
"""

import numpy as np
from pytest import approx

from layshaft.mechanics import drives, steadiness
from layshaft.trace.units import REV_PER_MIN
from layshaft.train.motion.steps import Stretches, march


def turned(J, omega, *stretches):
    """Speeds at the ends of stretches of (angle, torque that speeds up)."""
    angle, torque = (np.array(v, float)[:, None] for v in zip(*stretches, strict=True))
    one = np.ones_like(angle)
    return np.sqrt(march(Stretches(angle, torque, 0 * one, 0 * one, J * one), np.array([omega**2])).y[:, 0])


def test_khurmi_example_16_1_page_573():
    """6.5 t at 1.8 m, 56 kJ to and fro at 120 rev/min: printed 121 and 119 rev/min."""
    J = drives.gyration_inertia(6500.0, 1.8)
    over, under = 2.0, 4.0  # rad: the answer does not depend on how the energy is spread
    high, low, again = turned(J, 121 * REV_PER_MIN, (over, -56e3 / over), (under, 56e3 / under))
    assert low / REV_PER_MIN == approx(119, abs=0.5) and again == approx(high)
    assert steadiness.swing(high, low, 120 * REV_PER_MIN) == approx(drives.speed_fluctuation(56e3, J, 120 * REV_PER_MIN),
                                                                     rel=0.01)


def test_khurmi_example_16_2_page_573():
    """2500 kg at 1 m under 1500 N m from rest for 10 s: printed 0.6 rad/s2 and 45 kJ."""
    J = drives.gyration_inertia(2500.0, 1.0)
    s = Stretches(*(np.array([[v]]) for v in (0.6 * 10**2 / 2, 1500.0, 0.0, 0.0, float(J))))
    found = march(s, np.zeros(1))
    assert found.time[0, 0] == approx(10.0) and J * found.y[1, 0] / 2 == approx(45e3)


def test_shigley_press_swing():
    """A punch press between 124.41 and 117.81 rad/s: printed C_s = 0.0545, mean 121.11 rad/s."""
    assert steadiness.swing(124.41, 117.81, 121.11) == approx(0.0545, abs=0.00005)
