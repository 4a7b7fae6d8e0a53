"""Adjustments: closed forms of a fan that holds a weight at a speed, two adjustments at once, the file and its words."""

import numpy as np
import pytest
from pytest import approx

import layshaft
from layshaft.machine.errors import MachineErrors
from layshaft.machine.reader import read_text
from layshaft.machine.sampling import doubts, with_draws
from layshaft.study.adjustments import adjustments
from layshaft.study.doubt import doubt
from layshaft.study.draws import drawn
from layshaft.train.adjusting import adjusted
from layshaft.verdict.remarks import remarks

PACE = 1200 * 2 * np.pi / 60
HEIGHT = "{value: 150 mm, trim: {to: pace, between: [60 mm, 400 mm]}}"
TEXT = """layshaft: 1
name: Fan
gravity: 9.81 m/s2
venue: {{air density: {{value: 1.2 kg/m3, between: [1.1 kg/m3, 1.3 kg/m3], source: assumed}}}}
modules: {{frame: {{mass: 30 kg}}}}
shafts:
  main: {{module: frame, axis: x, material: C45+N, at: [0 m, 0 m, 3 m], sections: [[30 mm, 300 mm]], seats: {{
    left: {{at: 20 mm, bearing: "6206", drag: 0 N m, break away: 1}}, drum: {{at: 100 mm}}, fan: {{at: 200 mm}},
    right: {{at: 280 mm, bearing: "6206", drag: 0 N m, break away: 1}}}}}}
drives:
  weight: {{kind: falling weight, shaft: main, seat: drum, hangs on: +y, over people: no,
    mass: {mass}, drop: {drop}, diameter: 120 mm}}
loads:
  fan: {{kind: fan brake, shaft: main, seat: fan, vanes: 2, area: [{height}, 170 mm], at radius: 260 mm,
    drag coefficient: {{value: 1.2, between: [1.0, 1.4], source: assumed}}, inertia: 0 kg m2}}
wants:
  pace: {{shaft: main, speed: 1200 rpm, error: 5 %}}
  drop time: {{time per winding: 20 s}}
"""
MASS = "{value: 20 kg, between: [15 kg, 25 kg], source: assumed}"


def fan(height=HEIGHT, mass=MASS, drop="3 m"):
    return read_text(TEXT.format(height=height, mass=mass, drop=drop))


def height_for(omega, m, rho, c_d):
    """Torque of the weight is that of the vanes: m g d / 2 = z rho/2 c_d h b r^3 omega^2, solved for h."""
    return m * 9.81 * 0.06 / (2 * rho / 2 * c_d * 0.17 * 0.26**3 * omega**2)


def test_the_height_of_a_vane_that_sets_a_speed_in_closed_form():
    machine = fan()
    draws = drawn(machine, 256, 1)
    assert set(draws) == {"venue.air density", "drives.weight.mass", "loads.fan.drag coefficient"}
    sampled, (found,) = adjusted(machine, with_draws(machine, draws))
    exact = height_for(PACE, *(draws[c] for c in ("drives.weight.mass", "venue.air density",
                                                      "loads.fan.drag coefficient")))
    assert found.reached.all()
    np.testing.assert_allclose(found.value, exact, rtol=1e-9)
    speed = np.abs(layshaft.solve(sampled).speed["main"][0])
    np.testing.assert_allclose(speed, PACE, rtol=1e-9)


def test_at_a_stop_the_want_is_missed_by_what_the_vanes_cannot_give():
    machine = fan(HEIGHT.replace("[60 mm, 400 mm]", "[140 mm, 180 mm]"))
    draws = drawn(machine, 256, 1)
    _, (found,) = adjusted(machine, with_draws(machine, draws))
    m, rho, c_d = (draws[c] for c in ("drives.weight.mass", "venue.air density", "loads.fan.drag coefficient"))
    exact = height_for(PACE, m, rho, c_d)
    np.testing.assert_array_equal(found.reached, (exact >= 0.14) & (exact <= 0.18))
    np.testing.assert_allclose(found.comes_out, PACE * np.sqrt(exact / found.value), rtol=1e-9)
    (told,) = adjustments(machine, draws)
    assert (told.reached, told.at_low, told.at_high) == (
        found.reached.mean(), (exact <= 0.14).mean(), (exact >= 0.18).mean())
    assert told.at_low + told.reached + told.at_high == approx(1) and told.unknown == 0
    assert told.value[1] == approx(np.quantile(np.clip(exact, 0.14, 0.18), 0.5), rel=1e-9)


def test_what_is_adjusted_is_no_doubt_and_owns_none():
    machine = fan()
    assert "loads.fan.area[0]" not in doubts(machine)
    found = doubt(machine, 256)
    assert "loads.fan.area[0]" not in [w.cause for w in found.owners]
    speed = next(o for o in found.odds if "mean speed" in o.finding.mode)
    assert speed.holds == 1 and found.adjustments[0].reached == 1


def test_two_adjustments_that_move_each_other():
    """The drop is hung longer for a time, 20 s for so many turns at the wanted speed; the vanes hold the speed."""
    machine = fan(drop="{value: 150 m, trim: {to: drop time, between: [100 m, 200 m]}}")
    _, found = adjusted(machine, with_draws(machine, drawn(machine, 64, 1)))
    drop, height = sorted(found, key=lambda f: f.given.path)
    assert drop.reached.all() and height.reached.all()
    np.testing.assert_allclose(drop.value, 20 * PACE * 0.06, rtol=1e-8)


@pytest.mark.parametrize(("height", "words"), [
    (HEIGHT, "comes out at"), (HEIGHT.replace("400", "151"), "does not get there"),
    (HEIGHT.replace("150", f"{1e3 * height_for(PACE, 20, 1.2, 1.2):.6f}"), "It stands where pace, 1200 rev/min"),
])
def test_check_says_where_it_is_to_stand(height, words):
    machine = fan(height, mass="20 kg")
    said = [r.text for path, r in remarks(layshaft.rate(layshaft.solve(machine))) if path == "loads.fan.area[0]"]
    assert len(said) == 1 and words in said[0]
    as_it_is = fan(height[:height.index(", trim")].strip("{}").removeprefix("value: "), mass="20 kg")
    assert layshaft.solve(machine).speed["main"][0] == layshaft.solve(as_it_is).speed["main"][0]


def test_setting_it_keeps_that_it_can_be_set_and_renaming_its_want_renames_it():
    machine = layshaft.apply(fan(), {"set": {"loads.fan.area[0]": "130 mm"}, "rename": {"wants.pace": "tempo"}})
    height = machine.loads["fan"].area[0]
    assert (height.nominal, height.trim) == (0.13, ("tempo", 0.06, 0.4)) and height.source == "decided"


@pytest.mark.parametrize(("height", "words"), [
    ("{value: 150 mm, trim: pace}", "which want it is adjusted for, and both its stops"),
    ("{value: 150 mm, trim: {to: pace}}", "both its stops"),
    ("{value: 150 mm, trim: {to: pace, between: 60 mm}}", "both its stops"),
    ("{value: 150 mm, trim: {to: paze, between: [60 mm, 240 mm]}}", "Did you mean 'pace'?"),
    ("{value: 150 mm, trim: {to: pace, between: [160 mm, 240 mm]}}", "the value must lie between"),
    ("{value: 150 mm, trim: {to: pace, between: [150 mm, 150 mm]}}", "no travel"),
    ("{value: 150 mm, trim: {to: pace, between: [0 mm, 240 mm]}}", "must be more than"),
    ("{value: 150 mm ± 2 mm, trim: {to: pace, between: [60 mm, 240 mm]}}", "not in doubt"),
    ("{value: 150 mm, between: [140 mm, 160 mm], trim: {to: pace, between: [60 mm, 240 mm]}}", "not in doubt"),
])
def test_what_cannot_be_a_trim_is_said_in_one_sentence(height, words):
    with pytest.raises(MachineErrors) as refused:
        fan(height)
    assert len(refused.value.problems) == 1 and words in str(refused.value)


def test_a_want_is_reached_by_one_adjustment_and_must_ask_something():
    with pytest.raises(MachineErrors, match="already"):
        fan(mass="{value: 20 kg, trim: {to: pace, between: [10 kg, 30 kg]}}")
    with pytest.raises(MachineErrors, match="wants nothing an adjustment can bring out"):
        read_text(TEXT.format(height=HEIGHT, mass=MASS, drop="3 m").replace("shaft: main, speed: 1200 rpm, error: 5 %",
                                                                            "rate error: 1 %"))
    with pytest.raises(MachineErrors, match="a whole number"):
        read_text(TEXT.format(height="150 mm", mass=MASS, drop="3 m").replace(
            "vanes: 2", "vanes: {value: 2, trim: {to: pace, between: [1, 4]}}"))
