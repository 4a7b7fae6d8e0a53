"""Dowel and cross pins: ASME B18.8.5M (shear loads, read); cross pins after a German textbook (from memory)."""

import numpy as np
import pytest
from pytest import approx

from layshaft.elements import dowel_pins
from layshaft.listings.tables import table
from layshaft.mechanics import pins
from layshaft.trace.source import Source

GIVEN = Source("worked by hand", obtained="given")


def rated(**changes):
    values = {"V": 3000.0, "T": 60.0, "n": 2.0, "a": 0.12, "d": 0.008, "F_s": 52.5e3, "t": 0.012, "R_e": 235e6,
              "S_s_required": 3.0, "S_p_required": 1.5} | changes
    return dowel_pins.rate(dowel_pins.DowelInputs(**values, origins=dict.fromkeys(values, GIVEN)))


def test_statics_of_two_pins():
    """3 kN shared by two, 60 N m over 120 mm: 1500 + 500 N; 8 mm by 12 mm of shadow."""
    assert pins.pin_force(3000.0, 60.0, 2.0, 0.12) == approx(2000)
    assert rated().F == approx(2000)
    assert pins.hole_pressure(2000.0, 0.008, 0.012) == approx(20.83e6, rel=1e-3)
    shear, pressure = rated().checks
    assert [shear.margin, pressure.margin] == approx([52.5e3 / 2000, 235 / (2000 / 96)])


def test_one_pin_holds_no_twist():
    assert np.isnan(pins.pin_force(3000.0, 60.0, 1.0, 0.12))
    assert pins.pin_force(3000.0, 0.0, 1.0, 0.12) == approx(3000)
    assert np.isnan(pins.pin_force(3000.0, np.nan, 2.0, 0.12))


def test_shear_loads_of_the_standard_are_one_shear_strength():
    """Every load is close to 1.05 GPa over the section: no slip of the pen between the rows."""
    for row in table("dowel_pins").rows:
        stress = row.number("shear_kN", 1e3) / (np.pi / 4 * row.number("d_mm", 1e-3) ** 2)
        assert stress == approx(1.05e9, rel=0.007), row.name


@pytest.mark.from_memory
def test_cross_pin():
    """6 mm through 25 mm, 60 N m: 84.88 MPa, 96 MPa."""
    assert pins.cross_pin_shear(60.0, 0.006, 0.025) == approx(84.8826e6, rel=1e-4)
    assert pins.cross_pin_pressure(60.0, 0.006, 0.025) == approx(96e6)


def test_more_load_never_raises_a_margin():
    for name, value in (("V", 4000.0), ("T", 90.0)):
        for more, base in zip(rated(**{name: value}).checks, rated().checks, strict=True):
            assert more.margin < base.margin
