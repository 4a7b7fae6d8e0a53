"""What fits leave on bearing rings, which fits are usual, and what hubs are made of. Values from memory.

- Bearing handbooks print for a ring of the normal class (ISO 492) what a shaft or housing class leaves, in um.
- Constants of materials as in Roark's and Machinery's handbooks.
"""

import pytest
from pytest import approx

from layshaft.listings.tables import table
from layshaft.machine import read_text
from layshaft.mechanics import fits
from layshaft.train.solve import solve
from layshaft.verdict.fit_advice import remarks
from layshaft.verdict.rate import rate
from machine.samples import SMALL, changed

MM, UM = 1e-3, 1e-6
pytestmark = pytest.mark.from_memory


def ring_of(ring, size):
    return next(r for r in table("bearing_ring_tolerances").rows if r.text("ring") == ring
                and size <= r.number("to_mm", MM) + 1e-9)


def test_ranges_of_rings_end_where_they_are_named():
    for row in table("bearing_ring_tolerances").rows:
        assert row.number("to_mm") == float(row.name.split("-")[1])


@pytest.mark.parametrize(("text", "ring", "printed"), [
    ("15 j6", "bore", (-3, 16)), ("25 k6", "bore", (2, 25)), ("40 k6", "bore", (2, 30)), ("60 m6", "bore", (11, 45)),
    ("100 m6", "bore", (13, 55)), ("140 m6", "bore", (15, 65)),
])
def test_shafts_under_a_bearing(text, ring, printed):
    found = fits.limits(text)
    row = ring_of(ring, found.size)
    assert found.lower / UM == approx(printed[0])
    assert (found.upper - row.number("lower_um", UM)) / UM == approx(printed[1])


@pytest.mark.parametrize(("text", "most"), [
    ("16 H7", 26), ("26 H7", 30), ("40 H7", 36), ("52 H7", 43), ("90 H7", 50), ("130 H7", 58), ("160 H7", 65), ("200 H7", 76),
])
def test_housings_round_a_bearing(text, most):
    """Play at most, in um; at least it is none."""
    found = fits.limits(text)
    row = ring_of("outside", found.size)
    assert found.lower == 0
    assert (found.upper - row.number("lower_um", UM)) / UM == approx(most)


@pytest.mark.parametrize(("material", "E", "nu", "rho", "alpha"), [
    ("steel", 206, 0.3, 7850, 11.5), ("cast iron", 105, 0.26, 7200, 10), ("ductile iron", 169, 0.275, 7100, 12.5),
    ("aluminium", 70, 0.33, 2700, 23.5), ("bronze", 105, 0.34, 8800, 18), ("brass", 100, 0.35, 8500, 19),
])
def test_constants_of_hub_materials(material, E, nu, rho, alpha):
    """Handbooks differ in the second digit: within 4 %."""
    row = table("hub_materials")[material]
    for column, printed in (("E_GPa", E), ("nu", nu), ("rho_kg_m3", rho), ("alpha_um_m_K", alpha)):
        assert row.number(column) == approx(printed, rel=0.04)


def told(old, new):
    return {path: r.text for path, r in remarks(read_text(changed(old, new)))}


def test_a_bearing_on_bright_bar_creeps():
    """Bearing handbooks: k6 or j6 under a ring that turns under a load that stands still; h9 is loose."""
    seat = 'left bearing:  {at: 20 mm, bearing: "6205"'
    loose = told(seat, f"{seat}, fit: h9, housing: H7")
    path = "shafts.main.seats.left bearing"
    assert "from 52 um of play to 10 um of interference" in loose[f"{path}.fit"] and "k6" in loose[f"{path}.fit"]
    assert loose[f"{path}.housing"] == "52 H7 round a ring of the normal class: from 43 um of play to none."
    assert told(seat, f"{seat}, fit: k6")[f"{path}.fit"].endswith("from 2 um of interference to 25 um of interference.")


def test_a_keyed_hub_that_comes_off_every_night():
    seat = "drum:          {at: 110 mm, key: 8x7x25"
    assert told(seat, f"{seat}, fit: H7/g6")["shafts.main.seats.drum.fit"] == (
        "30 H7/g6: from 41 um of play to 7 um of play, a clearance fit.")
    tight = told(seat, f"{seat}, fit: H7/s6")["shafts.main.seats.drum.fit"]
    assert "an interference fit. Usual here: H7/g6, H7/h6, H7/j6" in tight


def test_key_and_press_fit_are_rated_alone():
    seat = "drum:          {at: 110 mm, key: 8x7x25"
    press = "hub: {kind: press fit, hub diameter: 60 mm, length: 30 mm}"
    text = changed(seat, f"{seat}, fit: H7/k6, {press}")
    found = {path: r.text for path, r in remarks(read_text(text))}
    assert "their torques never add" in found["shafts.main.seats.drum"]
    assert "A press fit needs interference at both ends" in found["shafts.main.seats.drum.fit"]
    modes = {(f.part.rpartition(".")[2], f.mode) for f in rate(solve(read_text(text))).of("shafts.main.seats.drum")}
    assert {("hub", "press fit slip"), ("key", "flank pressure")} <= modes
    assert SMALL != text
