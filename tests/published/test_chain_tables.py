"""Dimensions of chains against a chain trader's table, ASME proportions and remembered widths of several strands.

Standard metric roller chain (DIN 8180, DIN 8187, BS 228), a chain trader's table (read). General proportions of roller
chains after ASME B29.1 in a public reference page (read). ISO 606, widths over pins b5 and b6 (from memory).
"""

import pytest
from pytest import approx

from layshaft.elements import roller_chain as chain
from layshaft.elements.roller_chain import outline

MM = 1e-3

TRADER = [  # size, inner width, roller, width over the pins [mm]
    ("05B", 3.00, 5.00, 8.6), ("06B", 5.72, 6.35, 13.5), ("08B", 7.75, 8.51, 17.0), ("10B", 9.65, 10.16, 19.6),
    ("12B", 11.68, 12.07, 22.7), ("16B", 17.02, 15.88, 36.1), ("20B", 19.56, 19.05, 43.2), ("24B", 25.40, 25.40, 53.4),
    ("28B", 30.99, 27.94, 65.1), ("32B", 30.99, 29.21, 67.4), ("081", 3.30, 7.75, 10.2), ("083", 4.88, 7.75, 12.9),
    ("085", None, 7.77, 14.0),
]


@pytest.mark.parametrize(("size", "width", "roller", "over_pins"), TRADER)
def test_metric_chains_in_a_traders_table(size, width, roller, over_pins):
    """The inner width of 085 is 6.38 there, that of its inch twin 6.35, and 6.25 in the house: the least of all."""
    c = chain.series(f"{size}-1")
    assert c.roller_diameter == approx(roller * MM, rel=1e-9)
    assert outline.strand(c).width == approx(over_pins * MM, rel=1e-9)
    if width:
        assert c.inner_width == approx(width * MM, rel=1e-9)
    else:
        assert 0.975 * 6.38 * MM < c.inner_width < 6.35 * MM


@pytest.mark.parametrize(("size", "kg"), [("06B", 0.41), ("081", 0.28), ("083", 0.42), ("085", 0.38), ("08B", 0.70), ("10B", 0.91),
                                          ("12B", 1.18), ("16B", 2.68)])
def test_masses_in_a_traders_table(size, kg):
    assert chain.series(f"{size}-1").mass_per_metre == approx(kg, rel=0.027)


@pytest.mark.parametrize(("size", "newton"), [("06B", 9000), ("08B", 18000)])
def test_strengths_in_a_traders_table(size, newton):
    """A little more than the standard's least."""
    assert 0.985 * newton < chain.series(f"{size}-1").breaking_load < newton


@pytest.mark.parametrize("size", ["04C", "06C", "08A", "10A", "12A", "16A", "20A", "24A", "28A", "32A"])
def test_plates_of_american_chains_are_at_most_19_twentieths_of_the_pitch_high(size):
    """Roller link plates 0.95 of the pitch: the largest the standard allows is what the house counts with."""
    c = chain.series(f"{size}-1")
    assert c.plate_height == approx(0.95 * c.pitch, rel=3e-3)


@pytest.mark.from_memory
@pytest.mark.parametrize(("name", "mm"), [
    ("04C-2", 15.5), ("04C-3", 21.8), ("06C-2", 23.4), ("06C-3", 33.5), ("05B-2", 14.3), ("05B-3", 19.9), ("10A-2", 39.9),
    ("20A-2", 77.0), ("24A-2", 96.3), ("28A-2", 103.6), ("32A-2", 124.2), ("20B-2", 79.7), ("24B-2", 101.8), ("28B-2", 124.7),
    ("32B-2", 126.0)])
def test_width_over_the_pins_of_more_strands(name, mm):
    """ISO 606, b5 and b6: one pin and the transverse pitches between."""
    assert outline.strand(chain.series(name)).width == approx(mm * MM, abs=0.18 * MM)
