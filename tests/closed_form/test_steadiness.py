"""Figures of steadiness against elementary kinematics and textbook definitions."""

import numpy as np
import pytest
from pytest import approx

from layshaft.mechanics import drives, steadiness
from layshaft.trace.units import REV_PER_MIN
from layshaft.train.motion.steady import timing


@pytest.mark.from_memory
def test_coefficient_of_fluctuation_of_speed():
    # Khurmi & Gupta: a speed that varies by 1 % either side of 250 rev/min has C_s = 0.02
    assert steadiness.swing(252.5 * REV_PER_MIN, 247.5 * REV_PER_MIN, 250 * REV_PER_MIN) == approx(0.02)
    # and of the energy E = J omega^2 C_s, the two definitions agree for a small swing
    J, omega, C_s = 20.0, 15.0, 0.01
    high, low = omega * (1 + C_s / 2), omega * (1 - C_s / 2)
    assert drives.speed_fluctuation(J * (high**2 - low**2) / 2, J, omega) == approx(steadiness.swing(high, low, omega))


def test_rates():
    assert steadiness.rate_error(1.05, 1.0) == approx(0.05) and steadiness.rate_error(19.0, 20.0) == approx(-0.05)
    # a clock whose beats grow from 1 s to 1.01 s ends slow by 1 part in 101
    assert steadiness.rate_drift(1.0, 1.01) == approx(-1 / 101) and np.isnan(steadiness.rate_drift(1.0, 0.0))
    assert steadiness.rate_drift(3.0, 2.0) == approx(0.5)
    assert steadiness.droop(10.0, 9.0) == approx(0.1) and steadiness.droop(4.0, 5.0) == approx(-0.25)
    assert steadiness.windings(2700.0, 360.0) == approx(7.5)


def test_timing_is_split_into_rate_drift_and_scatter():
    # beats that are 1 % slow on the mean, slow down by 0.2 % over the run, and lie up to 2 ms to and fro
    k = np.arange(601)
    x = k / 300 - 1
    even = 10.1 * 300 * (x + 0.0005 * x**2)
    noise = 0.002 * np.where(k % 2 == 0, 1.0, -1.0)
    found = timing(even + noise, 10.0)
    assert found.events == 601
    assert found.spacing == approx(10.1, rel=1e-6)
    assert found.rate_error == approx(1 / 1.01 - 1, rel=1e-4)
    assert found.drift == approx((1 - 0.001) / (1 + 0.001) - 1, rel=1e-2)
    assert found.scatter == approx(0.002, rel=1e-2) and found.worst == approx(0.002, rel=1e-2)
    assert timing(np.array([0.0, 1.0, 2.0]), 1.0) is None


def test_even_beats_have_no_error():
    found = timing(5 + 0.25 * np.arange(50), 0.25)
    assert (found.rate_error, found.drift, found.scatter) == (approx(0, abs=1e-12),) * 3


def test_the_fit_is_that_of_a_general_library():
    rng = np.random.default_rng(3)
    times = np.cumsum(1 + 0.1 * rng.random(200))
    k = np.arange(200.0)
    c2, c1, c0 = np.polyfit(k, times, 2)
    found = timing(times, 1.0)
    left = times - (c2 * k**2 + c1 * k + c0)
    assert found.scatter == approx(np.sqrt(np.mean(left**2)), rel=1e-9)
    assert found.drift == approx(c1 / (c1 + 2 * c2 * 199) - 1, rel=1e-9)
    assert found.spacing == approx(c1 + c2 * 199, rel=1e-9)
