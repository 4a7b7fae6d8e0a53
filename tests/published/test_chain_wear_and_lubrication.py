"""Wear life, oil and offset links of roller chain.

A chain trader's published table of chain speed and lubrication (American practice, ft/min) and a chain
works' page on oiling, both read. Life factor f_5 = (15 000 h / L_h)^(1/3): a textbook's chain drives after
DIN ISO 10823, read in a students' companion. Conditions of the charts (15 000 h, 3 %, 120 links, ratio 3) and
the strength of offset links are from memory.
"""

import numpy as np
import pytest
from pytest import approx

from layshaft.elements import roller_chain as chain
from layshaft.elements.roller_chain import wear
from layshaft.elements.roller_chain.choices import choices
from layshaft.elements.roller_chain.sizes import oil_limits
from layshaft.listings.tables import table
from layshaft.trace.units import FOOT, INCH

HOUR, MM = 3600.0, 1e-3


@pytest.mark.parametrize(("number", "pitch", "by_hand", "bath"), [
    (40, 0.5, 300, 2300), (50, 0.625, 250, 2000), (60, 0.75, 220, 1800), (80, 1.0, 170, 1500), (100, 1.25, 150, 1300),
    (120, 1.5, 130, 1200), (140, 1.75, 115, 1100), (160, 2.0, 100, 1000),
])
def test_limits_of_speed_by_pitch(number, pitch, by_hand, bath):
    """Types A and B of the table read: manual or drip, oil bath; ft/min. A row of our table: guards the pen only."""
    pitches, (drip, dip), _ = oil_limits()
    row = np.searchsorted(pitches, pitch * INCH)
    assert (drip[row], dip[row]) == approx((by_hand * FOOT / 60, bath * FOOT / 60))
    assert table("chain_lubrication").rows[row].text("number") == str(number)


def test_speeds_for_oil_bath_are_seven_to_ten_times_those_by_hand():
    """The page says of its own table: an oil bath raises the limit of speed 7 to 10 times."""
    _, (drip, bath), _ = oil_limits()
    assert ((bath[2:-1] / drip[2:-1] > 7) & (bath[2:-1] / drip[2:-1] < 10.1)).all()


def test_kind_of_lubrication_of_a_half_inch_chain():
    """By hand to 0.5 m/s, drip to 300 ft/min, bath to 2300 ft/min, beyond it an oil stream."""
    v_1 = chain.practice("oiling by hand").number("value")
    v_2, v_3 = 300 * FOOT / 60, 2300 * FOOT / 60
    found = wear.lubrication_class(np.array([0.0, 0.5, 0.51, 1.52, 1.53, 11.6, 11.7, np.nan]), v_1, v_2, v_3)
    assert found == approx([1, 1, 2, 2, 3, 3, 4, np.nan], nan_ok=True)
    assert wear.lubrication_class(0.45, v_1, 0.4, 3.0) == 3  # a large pitch leaves even oiling by hand sooner
    assert np.isnan(wear.lubrication_class(5.0, v_1, np.nan, np.nan))


def test_a_remark_for_every_kind():
    kinds = np.array([1.0, 2.0, 3.0, 4.0])
    found = [f(kinds).tolist() for f in (wear.by_hand, wear.by_drip, wear.by_bath, wear.by_stream)]
    assert found == [[1, 0, 0, 0], [0, 1, 0, 0], [0, 0, 1, 0], [0, 0, 0, 1]]


@pytest.mark.parametrize("hours", [1000.0, 5000.0, 14000.0])
def test_life_below_the_charts_by_the_life_factor(hours):
    """f_5: a chain wanted for fewer hours may carry (15 000 h / L_h)^(1/3) as much; turned round, that pull lasts L_h."""
    f_5 = (15000 / hours) ** (1 / 3)
    found = wear.life_to_three_percent(25e6, 25e6 * f_5, 0.2, 0.2, 1.0, 1.0)
    assert found == approx(hours * HOUR, rel=1e-12)


@pytest.mark.from_memory
def test_the_drive_of_the_charts_lasts_15_000_hours():
    """ISO 10823: 120 links, ratio 3, 3 % in 15 000 h at the capacity: 19 and 57 teeth, 12.7 mm, 1 m/s."""
    Phi = wear.joint_turning(19.0, 57.0, 0.0)
    psi_j = wear.turning_rate(Phi, 1.0, 120.0, 12.7 * MM)
    psi_c = wear.chart_rate(19.0, 1.0, 12.7 * MM)
    assert psi_j == approx(psi_c, rel=1e-12)
    assert wear.life_to_three_percent(28e6, 28e6, psi_c, psi_j, 2.0, 2.0) == approx(15000 * HOUR)


def test_turning_of_joints_by_hand():
    """12 and 36 teeth: 30 and 10 deg on and again off; an idler of 18 adds twice 20 deg: 120 deg a round.

    At 2 m/s and 100 links of 20 mm that is one round a second.
    """
    Phi = wear.joint_turning(12.0, 36.0, 1 / 18)
    assert Phi == approx(np.deg2rad(2 * (30 + 10 + 20)))
    assert wear.turning_rate(Phi, 2.0, 100.0, 0.020) == approx(np.deg2rad(120))
    assert wear.chart_rate(12.0, 2.4, 0.020) == approx(np.deg2rad(80))


def test_half_the_pressure_and_half_the_turning_last_four_times_as_long():
    assert wear.life_to_three_percent(30e6, 15e6, 0.1, 0.05, 2.0, 1.0) == approx(4 * 15000 * HOUR)
    less = wear.life_to_three_percent(30e6, 15e6, 0.1, 0.05, np.array([0.0, 1.0, np.nan]), 1.0)
    assert less == approx([np.nan, 4 * 15000 * HOUR, np.nan], nan_ok=True)


def test_chart_pressure_is_the_capacity_as_a_pull():
    """500 W at 0.5 m/s on 50 mm2: 20 N/mm2; below 10 rev/min the pressure of slow drives."""
    speeds = np.array([10.1, 9.9]) * 2 * np.pi / 60
    assert wear.chart_pressure(500.0, 0.5, 50e-6, 30e6, speeds) == approx([20e6, 30e6])
    assert np.isnan(wear.chart_pressure(500.0, 0.0, 50e-6, 30e6, 2.0))


def test_what_a_tensioner_counts_for():
    """Strands at 60 deg to the line of centres: each millimetre of axis takes a millimetre of chain."""
    assert wear.take_up_offered(10 * MM, 9 * MM, 4 * MM, np.deg2rad(60)) == approx(15 * MM)
    assert wear.take_up_offered(2 * MM, 0.0, 10 * MM, np.deg2rad(60)) == 0


def test_a_chain_goes_when_worn_out_or_when_it_no_longer_fits():
    """100 links of 10 mm, strands at 60 deg: 20 mm of axis fit 2 %; 40 mm more than the 3 % it may wear."""
    a_o, fixed = np.array([0.02, 0.04, 0.0, 0.0, np.nan, 0.02]), np.array([0.0, 0.0, 0.0, 1.0, 1.0, np.nan])
    found = wear.elongation_used(0.03, a_o, np.deg2rad(60), 100.0, 10 * MM, fixed)
    assert found == approx([0.02, 0.03, 0.0, 0.03, np.nan, 0.02], nan_ok=True)
    assert wear.wear_life(9000.0, 0.01) == approx(3000.0)


@pytest.mark.from_memory
def test_an_offset_link_weakens_the_chain():
    """0.65 of the strength; one is needed for an odd number of links, or said to be there."""
    u_o = chain.practice("offset link strength").number("value")
    n_o = chain.offset_links(np.array([100.0, 101.0, 100.0]), np.array([0.0, 0.0, 1.0]))
    assert n_o.tolist() == [0, 1, 1]
    assert chain.weakest_link(10e3, u_o, n_o).tolist() == approx([10e3, 6.5e3, 6.5e3])
    assert np.isnan(chain.weakest_link(10e3, u_o, np.nan))


def test_no_offset_link_where_a_weight_hangs():
    """A chain maker's guide on lifting, read: tight-fit links, no offset links."""
    n_zul = chain.practice("offset links when hoisting").number("value")
    assert chain.at_most(np.array([0.0, 1.0, np.nan]), n_zul) == approx([1, 0, np.nan], nan_ok=True)


def test_wrap_with_idlers():
    assert chain.wrap_with_idlers(np.deg2rad(150), np.deg2rad(-25)) == approx(np.deg2rad(125))


def test_the_ways_to_carry_one_pull_side_by_side():
    """Two strands of 08B carry what one 12B does, on two thirds of the pitch; of two new 12B one carries all.

    ISO 606 strengths; length tolerance 0.15 % stretches by 28 900 N / 8, more than the 2000 N of the case.
    """
    one, duplex, twin = ({f.meaning: f.value for f in way.figures} for way in choices().ways)
    assert duplex["safety of all that carries"] == approx(31100 / 2000)
    assert one["safety of all that carries"] == twin["safety of all that carries"] == approx(28900 / 2000)
    assert twin["largest share of the pull in one chain"] == 1
    assert twin["breaking load of what is left when one has parted"] == 28900
    assert one["breaking load of what is left when one has parted"] == 0
    assert duplex["pitch, the step that is heard"] / one["pitch, the step that is heard"] == approx(2 / 3)
    assert duplex["width between the outermost plates"] == approx((7.75 + 13.92) * MM)
