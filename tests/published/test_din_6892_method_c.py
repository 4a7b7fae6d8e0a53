"""DIN 6892:2012 method C, as used in German design handbooks. Values from memory, formula evaluated.

Wentzell, Machine Design, ex. 15.1, p. 332 (read in a textbook companion): length for compression.
"""

import numpy as np
import pytest
from pytest import approx

from layshaft.elements import parallel_key as key
from layshaft.mechanics.margin import margin
from layshaft.trace.units import INCH, POUND_FORCE

PSI = POUND_FORCE / INCH**2


@pytest.mark.from_memory
def test_mean_pressure_of_an_8x7x40_key_on_25_mm_at_60_newton_metres():
    """Expected 50.0 MPa (h - t1 = 3 mm, bearing length 32 mm)."""
    l_tr = key.bearing_length(0.040, 0.008, 0.025)
    assert l_tr == approx(0.032)
    phi = key.carrying_share(1.0)
    assert key.flank_pressure(60.0, 0.025, 0.007, 0.004, l_tr, 1.0, phi) == approx(50e6, rel=1e-3)


@pytest.mark.from_memory
def test_permissible_pressure_of_s355():
    assert key.permissible_pressure(355e6) == approx(319.5e6, rel=1e-3)


def test_sadhu_singh_example_7_10_page_212():
    """T 800 N m, d 35 mm, b 10 mm, tau 46 MPa: printed length 100 mm, rounded up from 99.4."""
    tau = key.shear_stress(key.tangential_force(800.0, 0.035), key.sheared_area(0.010, 99.4e-3, 1.0, 1.0))
    assert tau == approx(46e6, rel=1e-3)


def test_wentzell_example_15_1_page_332():
    """T 180 lbf in, D 1/2 in, key 1/8 in square, 51 000 psi with SF 2.5: printed length 0.56 in."""
    pressure = key.flank_pressure(
        180 * POUND_FORCE * INCH, 0.5 * INCH, 0.125 * INCH, 0.0625 * INCH, 0.5647 * INCH, 1.0, 1.0
    )
    assert margin(51_000 * PSI, pressure) == approx(2.5, rel=1e-3)


def test_two_keys_count_one_and_a_half_times():
    """DIN 6892 method C: phi 0.75 for two keys (value from memory)."""
    assert np.asarray(key.carrying_share(np.array([[1.0], [2.0]]))).ravel() == approx([1.0, 0.75])
