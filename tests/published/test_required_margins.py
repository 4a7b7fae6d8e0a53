"""Required margins against what stands behind them outside the house.

Design factors: Shigley's Mechanical Engineering Design and Juvinall and Marshek (known loads 1.5, people
at risk 2.5, values from memory). DIN 8195 practice for drive chains and ISO 76 guidance, from memory.
Directive 2006/42/EC, annex I, 6.1.1 (read in a published text): working coefficients doubled for persons. DGUV
Information 215-313, section 1.4 (read): over persons half of the marked limit. Working coefficients of lifting
accessories after the same directive and EN 1492: 4 for chains, 5 for wire ropes, 7 for textiles (values from memory).
FEM 1.001, booklet 4, on the ends of ropes (read). DIN 7190 and reserves of hoist brakes from memory. Margins that are
the house's own choice (ratchet, rim, jam, slip of hubs and clutches) have no outside value and are not checked here.
"""

import pytest
from pytest import approx

from layshaft.elements import rope
from layshaft.listings.tables import table

ONE = ["joint pressure", "plate capacity", "roller capacity", "wear elongation", "wrap", "slope at mesh", "slope at coupling",
       "deflection at mesh", "deflection at coupling", "twist",
       "rating life", "modified life", "steady torque", "misalignment", "flank wear", "handle force", "power of one person"]


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
@pytest.mark.parametrize("mode", ["fatigue", "yield", "frame bending", "crushing", "drum wall"])
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


def test_nobody_is_asked_for_less_where_people_can_be_hurt():
    """Directive 2006/42/EC, annex I: persons ask for more, never for less."""
    rows = table("required_margins").rows
    assert all(r.number("over_people") >= r.number("required") >= 1 for r in rows)


@pytest.mark.from_memory
@pytest.mark.parametrize("coefficient", [4, 5])
def test_over_people_chains_and_wire_ropes_bear_twice_their_working_coefficient(coefficient):
    """Over persons a chain (4) or wire rope (5) carries half of what is marked on it."""
    for mode in ("static strength of the suspension", "arrested strength of the suspension", "termination strength"):
        assert required(mode)[1] >= 2 * coefficient
        assert required(mode)[0] >= coefficient


@pytest.mark.from_memory
def test_a_textile_rope_bears_its_working_coefficient_and_twice_that_over_people():
    assert required("static strength of the suspension")[0] == required("termination strength")[0] == 7
    assert rope.practice("factor of a textile rope over people")[0] == 2 * 7


@pytest.mark.from_memory
@pytest.mark.parametrize("mode", ["press fit hub yield", "press fit shaft yield"])
def test_yield_at_assembly_of_a_press_fit(mode):
    """DIN 7190: 1.0 to 1.3 on yield of ductile parts; people change nothing, since it is joined before they come."""
    assert 1.15 < required(mode)[0] == required(mode)[1] < 1.25


@pytest.mark.from_memory
def test_reserve_of_a_hoist_brake():
    """Handbooks of hoists: 1.5 in light duty, 2 in heavy duty."""
    assert required("holding torque") == (1.5, 2)
