"""Plain bushes: Wentzell, Machine Design, ch. 19 (read in a textbook companion); Shigley's Mechanical Engineering
Design, 9th ed., ch. 12 (from memory); The Tribology Handbook, rubbing bearing materials (read).
"""

import numpy as np
import pytest
from pytest import approx

from layshaft.elements import plain_bush as bush
from layshaft.listings.tables import table
from layshaft.trace.formula import tracing
from layshaft.trace.source import Source
from layshaft.trace.units import FOOT, INCH, POUND_FORCE, REV_PER_MIN

GIVEN = Source("machine file", "", "given")
PSI, FPM, HOUR = POUND_FORCE / INCH**2, FOOT / 60, 3600.0
WEAR_FACTOR = INCH**3 * 60 / (FOOT * POUND_FORCE * HOUR)
"""Wear factors are printed in in3 min/(ft lbf h)."""

CASE = {"F": 400.0, "d": 0.025, "b": 0.03, "omega": 30 * REV_PER_MIN, "t_w": 500 * HOUR, "theta": 5e-4, "c_d": 6e-5,
        "mu": 0.12, "mu_rest": 0.16, "p_lim": 31e6, "v_lim": 7.6, "pv_lim": 1.75e6, "k_w": 2e-15, "h_lim": 2e-4,
        "S_required": 1.0}


def inputs(**changes):
    values = CASE | changes
    return bush.BushInputs(**values, origins=dict.fromkeys(values, GIVEN))


def test_wentzell_example_19_1_page_417():
    """20 lbf on 3/4 x 7/8 in at 500 rev/min: 30.48 psi and 98.17 ft/min printed; 0.873 in at 3000 psi ft/min."""
    p = bush.projected_pressure(20 * POUND_FORCE, 0.75 * INCH, 0.875 * INCH)
    v = bush.rubbing_speed(500 * REV_PER_MIN, 0.75 * INCH)
    assert p / PSI == approx(30.48, abs=0.005)
    assert v / FPM == approx(98.17, abs=0.005)
    assert bush.pressure_velocity(p, v) / (PSI * FPM) * 0.875 / 0.8727 == approx(3000, rel=1e-3)


def test_wentzell_example_19_2_page_421():
    """0.010 in of wear, K 12e-10, 30.5 psi, 98 ft/min: 2788 h. (The printed answer of the book is a slip.)"""
    pv = bush.pressure_velocity(30.5 * PSI, 98 * FPM)
    assert bush.wear_depth(12e-10 * WEAR_FACTOR, pv, 2788 * HOUR) / INCH == approx(0.010, rel=1e-4)


@pytest.mark.from_memory
def test_shigley_bush_of_a_slow_shaft():
    """1 x 1 in, 700 lbf, 33 ft/min, K 0.6e-10 with motion factor 1.3: 0.005 in after 2180 h and 16.5e6 turns.

    The book puts its wear on the peak pressure 4/pi times F/(D L): told here by a load so much larger.
    """
    p = bush.projected_pressure(4 / np.pi * 700 * POUND_FORCE, INCH, INCH)
    assert p / PSI == approx(891, abs=0.5)
    hours = 16.5e6 / (126 * 60)
    h = bush.wear_depth(1.3 * 0.6e-10 * WEAR_FACTOR, bush.pressure_velocity(p, 33 * FPM), hours * HOUR)
    assert h / INCH == approx(0.005, rel=5e-3)


REMEMBERED = {  # psi, ft/min, psi ft/min, in3 min/(ft lbf h) times 1e10, friction running and breaking away, degF
    # loads, speeds, products and temperatures of the first four by Shigley, table 12-9, wear by table 12-8
    "cast bronze greased": (4500, 1500, 50_000, None, 0.12, 0.16, 325),
    "sintered bronze oiled": (4500, 1500, 50_000, 102, 0.12, 0.16, 150),
    "nylon 66": (1000, 1000, 3000, 200, 0.25, 0.35, 200),
    "acetal": (1000, 1000, 3000, 60, 0.20, 0.30, 180),
    "filled PTFE": (1015, 1000, 10_000, 9.93, 0.20, 0.25, 482),
    "PTFE lined steel": (20_300, 492, 50_000, 4.97, 0.20, 0.25, 536),
    "woven PTFE": (60_900, 50, 45_700, None, 0.15, 0.20, 482),
    "oiled wood": (2000, 1970, 12_000, None, 0.15, 0.25, 150)}


@pytest.mark.from_memory
@pytest.mark.parametrize("name", REMEMBERED)
def test_typical_materials(name):
    """Handbook figures in their own units; friction is the usual range's high end. They pin the list, no maker."""
    p, v, pv, K, mu, mu_rest, F = REMEMBERED[name]
    found = bush.material(name)
    assert (found.p_lim, found.v_lim, found.pv_lim) == approx((p * PSI, v * FPM, pv * PSI * FPM), rel=0.02)
    assert found.k_w / (1e-10 * WEAR_FACTOR) == approx(np.nan if K is None else K, rel=5e-3, nan_ok=True)
    assert (found.mu, found.mu_rest) == approx((mu, mu_rest))
    assert found.warmest == approx((F - 32) / 1.8, abs=3)


@pytest.mark.parametrize(("name", "p", "pv", "warmest", "mu"), [
    ("filled PTFE", 7e6, 0.35e6, 250, 0.35), ("PTFE lined steel", 140e6, 1.75e6, 280, 0.30),
    ("woven PTFE", 420e6, 1.6e6, 250, 0.30)])
def test_limits_read_in_the_tribology_handbook(name, p, pv, warmest, mu):
    """Maximum loading, PV, temperature, and the high end of friction, which the list keeps below."""
    found = bush.material(name)
    assert (found.p_lim, found.pv_lim, found.warmest) == approx((p, pv, warmest))
    assert 0.03 < found.mu <= found.mu_rest <= mu


def test_porous_bronze_of_a_second_textbook():
    """Machine Elements in Mechanical Design, table 16-1 (read in a worked answer): porous bronze 1.750 MPa m/s."""
    assert bush.material("sintered bronze oiled").pv_lim == approx(1.750e6)


def test_all_materials_make_sense():
    for row in table("bush_materials").rows:
        found = bush.material(row.name)
        assert 0 < found.mu < found.mu_rest < 1
        assert found.pv_lim < found.p_lim * found.v_lim  # never all of both at once
        assert not found.k_w <= 0
    assert bush.material("cheese") is None


def test_friction_and_edge():
    """Closed forms: 0.12 x 400 N x 12.5 mm = 0.6 N m; 0.5 mrad over 30 mm is 15 um."""
    assert bush.friction_torque(0.12, 400.0, 0.025) == approx(0.6)
    assert bush.edge_shift(5e-4, 0.03) == approx(15e-6)


def test_a_bush_in_full():
    rating = bush.rate(inputs())
    pressure, speed, pv, wear, edge = rating.checks
    assert pressure.demand == approx(400 / (0.025 * 0.03))
    assert speed.demand == approx(np.pi * 0.025 / 2)
    assert pv.margin == approx(1.75e6 / (pressure.demand * speed.demand))
    assert wear.demand == approx(2e-15 * pressure.demand * speed.demand * 500 * HOUR)
    assert edge.margin == approx(4.0)
    assert (rating.M_f, rating.M_rest) == approx((0.6, 0.8))
    assert pressure.margin == approx(31e6 / pressure.demand)
    assert speed.margin == approx(7.6 / speed.demand)
    unknown = bush.rate(inputs(k_w=np.nan)).checks
    assert np.isnan(unknown[3].margin)
    assert np.isfinite(unknown[2].margin)


def test_the_sheet_of_a_bush_has_no_untraced_number():
    with tracing() as trace:
        bush.rate(inputs())
    assert not trace.untraced
