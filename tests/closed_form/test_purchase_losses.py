"""Losses of the pulleys of a rope purchase, pulley by pulley.

A rope runs from the drum through k falls. Pulley j between fall j and fall j + 1 passes the rope that
the falls beyond it take up, each as fast as the weight; it takes tension difference times that speed.
"""

import pytest
from pytest import approx

from layshaft.mechanics import drives, energy

G = 9.81


def pulley_by_pulley(tensions, v):
    k = len(tensions)
    return sum(abs(tensions[j + 1] - tensions[j]) * (k - 1 - j) * v for j in range(k - 1))


@pytest.mark.parametrize(("k", "e"), [(2, 0.04), (3, 0.05), (4, 0.10)])
def test_sinking_weight(k, e):
    m, v = 90.0, 0.012
    drum = drives.rope_force_running(m, G, k, e)
    falls = [drum * (1 + e) ** j for j in range(k)]
    assert sum(falls) == approx(m * G)
    assert energy.purchase_loss_sinking(drum, e, k, v) == approx(pulley_by_pulley(falls, v), rel=1e-12)
    assert m * G * v - drum * k * v == approx(energy.purchase_loss_sinking(drum, e, k, v), rel=1e-12)


@pytest.mark.parametrize(("k", "e"), [(2, 0.04), (3, 0.05), (4, 0.10)])
def test_rising_weight(k, e):
    m, v = 90.0, 0.012
    drum = drives.rope_force_winding(drives.rope_force_running(m, G, k, e), k, e)
    falls = [drum / (1 + e) ** j for j in range(k)]
    assert sum(falls) == approx(m * G)
    assert energy.purchase_loss_rising(drum, e, k, v) == approx(pulley_by_pulley(falls, v), rel=1e-12)
    assert drum * k * v - m * G * v == approx(energy.purchase_loss_rising(drum, e, k, v), rel=1e-12)


def test_pulleys_without_loss_and_a_plain_drum_lose_nothing():
    for loss in (energy.purchase_loss_sinking, energy.purchase_loss_rising):
        assert loss(100.0, 0.0, 3, 0.01) == 0
        assert loss(100.0, 0.05, 1, 0.01) == approx(0, abs=1e-15)


def test_three_falls_by_hand():
    """e = 0.1: falls 1, 1.1, 1.21; the first pulley passes two falls' rope, the second one's."""
    assert energy.purchase_loss_sinking(1.0, 0.1, 3, 1.0) == approx(2 * 0.1 + 0.11)
    assert energy.purchase_loss_rising(1.21, 0.1, 3, 1.0) == approx(2 * 0.11 + 0.1)
