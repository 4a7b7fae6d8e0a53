"""Cross pins and set screws, as printed.

- A school's open collection of worked problems after Roloff/Matek, bolts and pins: lever of grey iron on a shaft of
  32 mm with a grooved pin of 8 mm, 400 N at 80 mm; read.
- Shigley's Mechanical Engineering Design, 9th ed., Table 7-4, p. 389: holding power of set screws; the page was
  read, its figures are from memory.
- A shaft collar maker's table of seating torques; read.
- A screw maker's guide, factors of points; read.
"""

import pytest
from pytest import approx

from layshaft.elements import cross_pin, set_screws
from layshaft.listings.tables import table
from layshaft.trace.units import INCH, POUND_FORCE

MM, MPA = 1e-3, 1e6


def test_lever_on_a_shaft_of_32_mm():
    """T 32 N m, d 32 mm, pin 8 mm, wall 16 mm (hub 64 mm): 5.2 N/mm2 in the hub, 23.44 N/mm2 in the shaft.

    The collection takes T over d_p s (d + s); with a wall s the same as 4 T over d_p (D2 - d2).
    """
    T = 400 * 80 * MM
    assert cross_pin.hub_pressure(T, 8 * MM, 64 * MM, 32 * MM, 0.0) == approx(5.2 * MPA, abs=0.05 * MPA)
    assert cross_pin.shaft_pressure(T, 8 * MM, 32 * MM, 0.0) == approx(23.44 * MPA, abs=0.005 * MPA)


def test_usual_sizes_of_pin_and_hub():
    """The same collection: pin 0.2 to 0.3 of the shaft, wall 0.25 to 0.5 of it."""
    assert cross_pin.unusual(8 * MM, 32 * MM, 64 * MM) == 0
    for pin, shaft, hub in ((6.2, 32, 64), (9.8, 32, 64), (8, 32, 47)):
        assert cross_pin.unusual(pin * MM, shaft * MM, hub * MM) == 1
    assert cross_pin.unusual(6.6 * MM, 32 * MM, 49 * MM) == cross_pin.unusual(9.4 * MM, 32 * MM, 50 * MM) == 0


TABLE_7_4 = {
    "No. 4": (5, 160), "No. 5": (10, 200), "No. 6": (10, 250), "No. 8": (20, 385), "No. 10": (36, 540), "1/4": (87, 1000),
    "5/16": (165, 1500), "3/8": (290, 2000), "7/16": (430, 2500), "1/2": (620, 3000), "9/16": (620, 3500),
    "5/8": (1325, 4000), "3/4": (2400, 5000), "7/8": (5200, 6000), "1": (7200, 7000),
}


@pytest.mark.from_memory
@pytest.mark.parametrize("row", [r for r in table("set_screws").rows if r.text("stands_in")], ids=lambda r: r.name)
def test_a_metric_screw_holds_what_the_next_thinner_inch_screw_holds(row):
    inch = table("set_screws")[row.text("stands_in")]
    assert (row.number("seating_lbf_in"), row.number("holding_lbf")) == TABLE_7_4[inch.name]
    thinner = [r for r in table("set_screws").rows if not r.text("stands_in") and r.number("d_mm") <= row.number("d_mm")]
    assert max(thinner, key=lambda r: r.number("d_mm")) is inch
    assert row.name == f"M{row.number('d_mm'):g}"


def test_seating_torques_of_a_collar_maker():
    """Read: no. 4 5, no. 6 10, 1/4 87, 5/16 165, 3/8 290, 1/2 620 lbf in. (Its no. 10 has 25, for a shorter key.)"""
    for size, torque in (("No. 4", 5), ("No. 6", 10), ("1/4", 87), ("5/16", 165), ("3/8", 290), ("1/2", 620)):
        assert table("set_screws")[size].number("seating_lbf_in") == torque


@pytest.mark.from_memory
def test_two_half_inch_screws_seated_at_three_quarters():
    """3000 lbf each; two count 1.3 times; a flat point 0.92 and 465 of 620 lbf in leave 2691 lbf, on 1 in 1345.5 lbf in."""
    row = table("set_screws")["1/2"]
    share = set_screws.seated_share(465 * POUND_FORCE * INCH, row.number("seating_lbf_in", POUND_FORCE * INCH))
    F = set_screws.holding_power(row.number("holding_lbf", POUND_FORCE), table("set_screw_points")["flat"].number("factor"),
                                 share, set_screws.counted_screws(2.0))
    assert F == approx(2691 * POUND_FORCE)
    assert set_screws.holding_torque(F, 1.0 * INCH) == approx(1345.5 * POUND_FORCE * INCH)
    assert set_screws.counted_screws(1.0) == 1 and set_screws.seated_share(30.0, 20.0) == 1


def test_factors_of_points():
    """Printed: cone 1.07, flat or dog 0.92, oval 0.90 of a cup point."""
    printed = {"cup": 1.0, "cone": 1.07, "flat": 0.92, "dog": 0.92, "oval": 0.90}
    for point, factor in printed.items():
        assert table("set_screw_points")[point].number("factor") == factor


def test_remarks_of_set_screws():
    """Common practice: a screw under a quarter of the shaft is thin; screws that carry torque are pointed out."""
    assert [set_screws.slender(d, 0.032) for d in (0.0078, 0.0082)] == [1, 0]
    assert [set_screws.carries(T) for T in (0.0, 1e-3)] == [0, 1]
