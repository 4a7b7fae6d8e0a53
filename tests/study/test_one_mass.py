"""Mass, friction and inertia of one body come from one mass, draw by draw; impossible draws are counted by name."""

import numpy as np
import pytest
from pytest import approx

import layshaft
from layshaft.faces.doubt import doubt_dict, doubt_text
from layshaft.machine.reader import read_text
from layshaft.machine.sampling import ends, with_draws
from layshaft.study.doubt import doubt
from layshaft.study.draws import drawn, same_mass
from layshaft.study.outcomes import outcomes
from layshaft.trace.findings import UNKNOWN
from layshaft.train import sources

TEXT = """layshaft: 1
name: Bodies
gravity: 9.81 m/s2
modules: {frame: {mass: 30 kg}}
shafts:
  main: {module: frame, axis: x, material: C45+N, at: [0 m, 0 m, 3 m], sections: [[30 mm, 300 mm]], seats: {
    left: {at: 50 mm, bearing: "6206", drag: 0 N m, break away: 1}, wheel: {at: 150 mm}, table: {at: 200 mm}, fan: {at: 100 mm},
    drum: {at: 220 mm}, right: {at: 250 mm, bearing: "6206", drag: 0 N m, break away: 1}}}
drives:
  weight: {kind: falling weight, shaft: main, seat: drum, hangs on: +y, over people: no, mass: 60 kg, drop: 3 m,
    diameter: 120 mm}
loads:
  wheel: {kind: flywheel, shaft: main, seat: wheel, mass: {value: 20 kg, between: [15 kg, 30 kg], source: assumed},
    inertia: {value: 0.4 kg m2, between: [0.3 kg m2, 0.6 kg m2], source: assumed}}
  table: {kind: turntable, shaft: main, seat: table, mass: {value: 110 kg, between: [80 kg, 130 kg], source: assumed},
    radius of gyration: 0.42 m, rolling coefficient: 0.015, track radius: 0.40 m, break away: 2.0}
  fan: {kind: fan brake, shaft: main, seat: fan, constant: 0.02 N m s2, inertia: 0 kg m2}
wants: {pace: {shaft: main, speed: 200 rpm, error: 20 %}}
"""


def test_a_turntable_has_its_drag_and_its_inertia_of_one_mass():
    """Drag c m g r at the track and inertia m k^2, both of the drawn mass."""
    machine = read_text(TEXT)
    draws = drawn(machine, 64, 1)
    sampled, mass = with_draws(machine, draws), draws["loads.table.mass"]
    table = sampled.loads["table"]
    np.testing.assert_allclose(sources.inertia(table), mass * 0.42**2, rtol=1e-12)
    torque = layshaft.solve(sampled).seat_torque["main"]["table"][0]
    np.testing.assert_allclose(np.abs(torque), 0.015 * mass * 9.81 * 0.40, rtol=1e-9)
    assert mass.std() > 5


def test_a_wheel_heavier_than_thought_is_so_on_its_bearings_and_in_its_inertia():
    """Half its weight on either bearing beside it; its inertia stands where its mass stands in its own spread."""
    machine = read_text(TEXT)
    draws = drawn(machine, 256, 1)
    mass, inertia = draws["loads.wheel.mass"], draws["loads.wheel.inertia"]
    assert same_mass(layshaft.machine.sampling.doubts(machine)) == {"loads.wheel.inertia": "loads.wheel.mass"}
    np.testing.assert_allclose(inertia, mass * 0.4 / 20, rtol=1e-9)  # like spreads, so one is the other scaled
    reaction = layshaft.solve(with_draws(machine, draws)).loads["main"].reaction[0, :, 0]
    up = np.abs(reaction).max(axis=0)
    slope, _ = np.polyfit(mass, up, 1)
    assert slope == approx(9.81 / 2, rel=1e-6) and np.corrcoef(mass, up)[0, 1] == approx(1, abs=1e-9)


def test_a_measured_inertia_does_not_follow_a_guessed_mass():
    machine = read_text(TEXT.replace("between: [0.3 kg m2, 0.6 kg m2], source: assumed",
                                     "between: [0.3 kg m2, 0.6 kg m2], source: measured"))
    draws = drawn(machine, 1024, 1)
    assert np.corrcoef(draws["loads.wheel.mass"], draws["loads.wheel.inertia"])[0, 1] == approx(0, abs=0.05)


def test_an_impossible_mass_is_refused_when_it_is_read():
    with pytest.raises(layshaft.machine.errors.MachineErrors, match=r"loads.wheel.mass is -5.000 kg at the end of its "
                       r"spread; it must be more than 0 kg. Narrow the spread to what can be."):
        read_text(TEXT.replace("[15 kg, 30 kg]", "[-5 kg, 30 kg]"))


def test_draws_that_cannot_be_are_counted_and_spoil_no_other():
    """Friction above the torque of the weight: 60 kg on 60 mm carry 0.3 g r m of the table up to m = 20 kg at 3.0."""
    machine = read_text(TEXT.replace("rolling coefficient: 0.015",
                                     "rolling coefficient: {value: 0.05, between: [0.01, 0.12], source: assumed}"))
    found = doubt(machine, 256)
    draws = drawn(machine, 256, 1)
    stands = draws["loads.table.rolling coefficient"] * draws["loads.table.mass"] * 0.40 >= 60 * 0.06
    assert 0 < stands.mean() < 1
    o = outcomes(machine, draws)
    row = o.row(("wants.pace", "mean speed of main, error"))
    np.testing.assert_array_equal(o.codes[row] == UNKNOWN, stands)
    gap = next(g for g in found.gaps if g.key[0] == "wants.pace" and g.cause == "loads.table.rolling coefficient")
    low, high = ends(layshaft.machine.sampling.doubts(machine)[gap.cause])
    step, edge = (high - low) / 16, 60 * 0.06 / 0.40 / 110
    assert gap.low == low and edge - step <= gap.high < edge
    text = " ".join(doubt_text(machine, found).split())
    assert "UNKNOWN IN SOME DRAWS" in text and "Narrow its spread, or settle it." in text
    assert any(u["given"] == gap.cause for u in doubt_dict(found)["unknown"])
