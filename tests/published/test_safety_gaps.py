"""Gaps against crushing, static safety of bearings, forces of people, and what stands for the room of a part.

ISO 13854 (EN 349): the least gaps in an advisory office's published page (read), independent of the insurer's text the
table was made from. ISO 13857, table 4, in a maker's page of test fingers (read). ISO 76: a bearing maker's published table
of guide values (read), and a second maker's (read). A public engineering reference page on human operated machines
(read). FAA Human Factors Design Standard, chapter 14, exhibit 14.5.2.1 (read). A design data book and Khurmi and
Gupta on flange couplings (read in published pages). IEC 60072-1: shaft heights and shafts of motors (a published guide,
read; the two smallest from memory).
"""

import pytest
from pytest import approx

from layshaft.elements import crank
from layshaft.listings.tables import table
from layshaft.verdict.clearances import finger_gap


@pytest.mark.parametrize(("part", "mm"), [("head", 300), ("body", 500), ("leg", 180), ("foot", 120), ("toes", 50), ("arm", 120),
                                          ("hand", 100), ("finger", 25)])
def test_least_gap_in_which_a_part_of_the_body_is_not_crushed(part, mm):
    assert table("safety_gaps")[part].number("gap_mm") == mm


def test_gaps_that_take_a_finger_in():
    """Up to 4 mm only the fingertip gets 2 mm deep, through 5 mm it gets 10 mm deep; from 25 mm a finger is not crushed."""
    assert finger_gap() == (approx(4e-3), approx(25e-3))


@pytest.mark.parametrize(("must_run", "balls", "rollers"), [("quietly", 2, 3), ("normally", 1, 1.5), ("under shocks", 1.5, 3)])
def test_static_safety_of_bearings(must_run, balls, rollers):
    """Turning bearings: smooth and quiet, normal and normal, pronounced shocks and normal. The second maker: 3 and 1.5 for
    rollers that must run true and for ordinary ones."""
    row = table("bearing_static_safety")[must_run]
    assert (row.number("s_0"), row.number("s_0_rollers")) == (balls, rollers)


@pytest.mark.parametrize(("action", "newton"), [
    ("rotating crank or wheel standing", 130), ("pedal horizontal seated with backrest", 1000), ("pedal vertical seated", 300),
    ("pedal vertical standing", 500)])
def test_greatest_forces_of_the_reference_page(action, newton):
    assert crank.force_limit(action).number("force_N") == newton


def test_repeated_pump_strokes_stay_within_the_printed_range():
    assert 90 <= crank.force_limit("pump lever repeated standing").number("force_N") <= 100


def test_hand_grip_is_that_of_the_weaker_hand():
    """Momentary hold of men, 5th percentile: left 200 N, right 208 N."""
    assert crank.force_limit("hand grip momentary hold 5th percentile male").number("force_N") == min(200, 208)


def test_a_person_on_one_pedal():
    """100 kg, in the standard acceleration of 9.80665 m/s2: printed whole."""
    assert crank.force_limit("dead weight on pedal").number("force_N") == approx(100 * 9.80665, abs=0.5)


def test_a_coupling_is_taken_for_twice_a_flange_coupling():
    """Flange 4 d across, two hubs of 1.5 d; pin and bush couplings reach 6 d and a bush more: inside what is assumed."""
    row = table("room_bounds")["coupling"]
    assert (row.number("across_d"), row.number("along_d")) == (2 * 4, 2 * 2 * 1.5)


@pytest.mark.from_memory
def test_a_universal_joint_is_taken_for_twice_the_long_single_and_the_double_one():
    """DIN 808: about 1.6 d across, 4 d long, 6 d if double; forged ones 2 d across."""
    row = table("room_bounds")["universal joint"]
    assert (row.number("across_d"), row.number("along_d")) == (2 * 2, 2 * 6)


MOTORS = [(71, 14), (80, 19), (90, 24), (100, 28), (112, 28), (132, 38)]


@pytest.mark.parametrize(("height", "shaft"), MOTORS)
def test_a_motor_of_the_frame_sizes_stays_within_its_bound(height, shaft):
    """Its feet are the shaft height below the axis, and its box stands out farther above it."""
    assert table("room_bounds")["motor"].number("across_d") / 2 * shaft >= 1.5 * height


@pytest.mark.from_memory
@pytest.mark.parametrize(("shaft", "box", "length"), [(9, 105, 175), (11, 110, 195), (14, 120, 230), (19, 135, 255)])
def test_the_smallest_motors_stand_out_farthest(shaft, box, length):
    """Frames 56 to 80: from the axis to the top of the box and the length over the body, makers' lists from memory."""
    row = table("room_bounds")["motor"]
    assert row.number("across_d") / 2 * shaft >= box
    assert row.number("along_d") * shaft >= length
    assert row.number("across_d") / 2 * 9 == approx(105, rel=0.03)  # the smallest sets the bound, and little more
