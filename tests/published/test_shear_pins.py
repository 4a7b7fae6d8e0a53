"""Shear pins: a published calculation page and an encyclopaedia article on shear pins. Read.

The page: an auger that must not see more than 800 lbf ft, pin on a radius of 1.5 in, single shear, 35 000 psi: shear
force about 6400 lbf; with a factor of 1.3 an area of 0.24 sq in and a pin of 0.55 in.
"""

import numpy as np
from pytest import approx

from layshaft.elements import shear_pin
from layshaft.mechanics import friction
from layshaft.trace.source import Source
from layshaft.trace.units import FOOT, INCH, POUND_FORCE

PSI = POUND_FORCE / INCH**2
TORQUE = 800 * POUND_FORCE * FOOT


def test_a_pin_of_an_auger():
    """Printed area and diameter are rounded: 0.24 sq in and 0.55 in."""
    area = 1.3 * TORQUE / (1.5 * INCH) / (35_000 * PSI)
    assert area / INCH**2 == approx(0.24, abs=0.005)
    assert shear_pin.sheared_area(np.sqrt(4 * area / np.pi), 1.0, 1.0) == approx(area, rel=1e-12)
    assert np.sqrt(4 * area / np.pi) / INCH == approx(0.55, abs=0.005)
    assert shear_pin.shearing_torque(35_000 * PSI, area, 1.5 * INCH) == approx(1.3 * TORQUE, rel=1e-12)


def test_two_pins_in_double_shear():
    """Four sections of 5 mm: 78.54 mm2."""
    assert shear_pin.sheared_area(0.005, 2.0, 2.0) == approx(78.54e-6, rel=1e-5)


def test_scatter_of_standard_pins():
    """The article: standard pins keep within about 20 % of their torque, special ones within 10 %."""
    assert (friction.earliest(50.0, 0.20), friction.latest(50.0, 0.10)) == approx((40.0, 55.0))


def test_a_set_of_pins_by_hand():
    given = {"T": 20.0, "d": 0.004, "i": 1.0, "n_s": 2.0, "r": 0.015, "tau_u": 180e6, "s": 0.2, "S_required": 1.25}
    r = shear_pin.rate(shear_pin.ShearPinInputs(**given, origins=dict.fromkeys(given, Source("test", obtained="given"))))
    T_B = 180e6 * 2 * np.pi / 4 * 0.004**2 * 0.015
    assert (r.T_low, r.T_high) == approx((0.8 * T_B, 1.2 * T_B))
    assert [c.margin for c in r.checks] == approx([0.8 * T_B / 20] * 2)
