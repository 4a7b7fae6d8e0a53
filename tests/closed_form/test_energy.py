"""Energy books by hand: work, power and the losses on the way, every term at work."""

import numpy as np
from pytest import approx

from layshaft.mechanics import energy

G = 9.80665


def test_power_of_a_crank_turned_by_130_newton():
    """Public engineering reference page on human-operated machines: 130 N at 0.4 m, 25 rev/min, 136 W."""
    assert energy.shaft_power(130 * 0.4, 25 * 2 * np.pi / 60) == approx(136, abs=0.5)


def test_energy_of_a_drop_with_and_without_a_counterweight():
    """E = m g h: 120 kg over 2.5 m 2942.0 J; a counterweight of 20 kg takes 490.3 J of it."""
    assert energy.net_drop_energy(120.0, 0.0, G, 2.5) == approx(2942.0, rel=1e-4)
    assert energy.net_drop_energy(120.0, 20.0, G, 2.5) == approx(2942.0 - 490.33, rel=1e-4)


def test_energy_over_an_hour():
    """6 W for one hour: 21.6 kJ."""
    assert energy.energy_over(6.0, 3600.0) == approx(21_600)


def test_loss_of_a_train_is_what_its_efficiencies_leave():
    """100 W through 0.96, 0.96 and 0.97: each stage loses its share of what enters; 0.893952 comes out."""
    left = 100.0
    for eta in (0.96, 0.96, 0.97):
        left -= energy.stage_loss(left, eta)
    assert left == approx(100 * 0.893952, rel=1e-9)
    assert energy.stage_loss(-100.0, 0.96) == approx(4.0)  # power may enter on the other side


def test_a_seal_takes_power_in_both_senses():
    """0.05 N m at 4 rad/s: 0.2 W forwards and backwards."""
    assert energy.drag_loss(0.05, np.array([4.0, -4.0])) == approx([0.2, 0.2])


def test_a_pulley_in_a_bight_passes_half_the_chain():
    """480 N in, 450 N out, chain at 0.2 m/s on the wheel: the pulley sees 0.1 m/s, 3 W."""
    assert energy.pulley_loss(480.0, 450.0, 0.2) == approx(3.0)


def test_losses_of_a_purchase_are_the_gap_between_weight_and_drum():
    """Three falls, e 0.06, 100 N at the drum, 0.5 m/s: falls 100, 106, 112.36 N sinking, 100, 94.340, 89.000 rising."""
    sinking = (100 + 106 + 112.36) * 0.5 - 100 * 1.5
    assert energy.purchase_loss_sinking(100.0, 0.06, 3.0, 0.5) == approx(sinking, rel=1e-9)
    rising = 100 * 1.5 - (100 + 100 / 1.06 + 100 / 1.1236) * 0.5
    assert energy.purchase_loss_rising(100.0, 0.06, 3.0, 0.5) == approx(rising, rel=1e-9)
    for loss in (energy.purchase_loss_sinking, energy.purchase_loss_rising):
        assert loss(100.0, np.array([0.0, np.nan]), 3.0, 0.5) == approx([0.0, np.nan], abs=1e-9, nan_ok=True)


def test_rewinding_while_the_machine_pays_out():
    """Two parts of 1.4 m, taken up at 0.12 m/s against 0.05 m/s paid out: 40 s; never where it is no faster."""
    times = energy.rewinding_time(2.0, 1.4, np.array([0.12, 0.05, 0.04, np.nan]), 0.05)
    assert times == approx([40.0, np.nan, np.nan, np.nan], nan_ok=True)
