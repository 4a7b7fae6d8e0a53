"""Preferred numbers: each of R20 is its power of the twentieth root of ten, rounded by 1.26 % at most (ISO 3:1973)."""

import itertools

import pytest

from layshaft.listings.tables import table
from layshaft.verdict.preferred import R20, decades


def test_r20_are_the_rounded_powers_of_the_twentieth_root_of_ten():
    assert len(R20) == 20
    for i, n in enumerate(R20):
        assert n == pytest.approx(10 ** (i / 20), rel=0.0127)


def test_decades_go_on_from_end_to_end():
    values = decades(-1, 2)
    assert len(values) == 61 and values[0] == 0.1 and values[-1] == 100.0
    assert all(b / a == pytest.approx(10 ** 0.05, rel=0.026) for a, b in itertools.pairwise(values))


@pytest.mark.from_memory
def test_pins_are_those_of_the_standard():
    """ISO 2338:1997, nominal diameters 1 to 30 mm; 16, 20 and 8 read in published tables of DIN 6325 as well."""
    assert [row.number("d_mm") for row in table("pin_diameters").rows] == [
        1, 1.2, 1.5, 2, 2.5, 3, 4, 5, 6, 8, 10, 12, 16, 20, 25, 30]


def test_wire_is_listed_from_thin_to_thick_without_a_gap():
    """A wire maker's published table after EN 10270-1 has 0.3 to 20 mm; here up to what the strengths reach."""
    d = [row.number("d_mm") for row in table("spring_wire_diameters").rows]
    assert d == sorted(set(d)) and (d[0], d[-1]) == (0.3, 14)
    assert max(b / a for a, b in itertools.pairwise(d)) < 1.34
