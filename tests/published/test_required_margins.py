"""Required margins against what stands behind them outside the house.

Design factors: Shigley's Mechanical Engineering Design and Juvinall and Marshek (known loads 1.5, people
at risk 2.5, values from memory). DIN 8195 practice for drive chains and ISO 76 guidance, from memory.
Margins that are the house's own choice (ratchet, rim, jam) have no outside value and are not checked here.
"""

import pytest
from pytest import approx

from layshaft.listings.tables import table

ONE = ["joint pressure", "plate capacity", "roller capacity", "wear elongation", "wrap", "slope at mesh", "slope at coupling",
       "deflection at mesh", "deflection at coupling", "wind-up",
       "rating life", "steady torque", "misalignment", "flank wear", "handle force", "power of one person"]


def required(mode):
    row = table("required_margins")[mode]
    return row.number("required"), row.number("over_people")


@pytest.mark.parametrize("mode", ONE)
def test_a_limit_that_is_the_requirement_asks_for_no_more(mode):
    """The rating is the limit itself: what reaches it holds."""
    assert required(mode) == (1, 1)


@pytest.mark.parametrize("mode", ["slow hoisting duty", "tooth jump", "pawl seating"])
def test_a_rating_that_holds_its_own_factor_asks_for_no_more(mode):
    """A sixth or a ninth of the breaking load is permitted, the back pull is at least that asked, the pawl draws in."""
    assert required(mode) == (1, 1)


@pytest.mark.from_memory
@pytest.mark.parametrize(("mode", "usual", "people"), [("static strength", 7, 10), ("dynamic strength", 5, 5)])
def test_drive_chains_after_din_8195(mode, usual, people):
    """German design handbooks: 7 on breaking load, 5 with the application factor; 10 is stage practice over people."""
    assert required(mode) == (usual, people)


@pytest.mark.from_memory
@pytest.mark.parametrize("mode", ["static strength of the suspension", "arrested strength of the suspension"])
def test_suspension_of_a_weight(mode):
    """Working factors of lifting and stage practice: 7, and 10 over people (common practice, no single source)."""
    assert required(mode) == (7, 10)


@pytest.mark.from_memory
@pytest.mark.parametrize("mode", ["fatigue", "yield"])
def test_design_factors_of_textbooks(mode):
    """Known loads and material 1.5; 2.5 where a failure harms."""
    assert required(mode) == (1.5, 2.5)


def test_key_pressure_from_two_ways_of_setting_the_limit():
    """Handbooks allow R_e/1.5 for jerky drives where the limit of the method is 0.9 R_e: 0.9 times 1.5."""
    assert required("flank pressure")[0] == approx(0.9 * 1.5)


@pytest.mark.from_memory
def test_static_load_of_bearings_under_shocks():
    """ISO 76 and handbooks: 1 in normal running, 2 under pronounced shock."""
    assert required("static load")[0] == 2


def test_first_critical_speed_at_least_twice_the_turning_speed():
    """Shigley, 9th ed., sec. 7-6, p. 383."""
    assert required("critical speed") == (2, 2)


def test_slope_at_a_bearing_spans_the_printed_range():
    """Shigley, table 7-2, p. 379: deep-groove ball bearings 0.001 to 0.003 rad; the rating is the upper end."""
    assert required("slope at bearing") == approx((0.003 / 0.001,) * 2)
