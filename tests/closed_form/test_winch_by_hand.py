"""A hand winch with two spur gear pairs and a pawl at the crank, worked out by hand: elementary statics.

All of the machine is invented. A pawl lets the crank turn the way that winds, so whoever leans on the crank
loads the pawl the other way, together with the weight.
"""

from math import pi, sqrt

import pytest
from pytest import approx

import layshaft

SHAFTS = {"crank": (25, 400, "6205", ("handle", "stop", "pinion")), "lay": (35, 400, "6207", ("wheel", "pinion")),
          "drum": (50, 600, "6210", ("wheel", "drum"))}
PLACES = {"crank": (10, 100, 200), "lay": (200, 280), "drum": (280, 420)}
REST = """\
drives:
  load: {kind: falling weight, shaft: drum, seat: drum, mass: 500 kg, drop: 3 m, strand length: 1 m,
    hangs on: +y, over people: no, diameter: 206 mm, suspension: rope, falls: 1, wound by: crank}
  crank: {kind: crank, shaft: crank, seat: handle, radius: 350 mm, people: 1, speed: 25 rpm, bout: 2 min,
    worst push: 600 N, ripple: 1.5}
stages:
  first: {kind: gear pair, from: crank, to: lay, seats: [pinion, wheel], normal module: 4 mm, teeth: [16, 64],
    face: 40 mm, helix: 0 deg, pressure angle: 20 deg, efficiency: 0.96, break away: 1, line: -90 deg}
  second: {kind: gear pair, from: lay, to: drum, seats: [pinion, wheel], normal module: 5 mm, teeth: [16, 80],
    face: 50 mm, helix: 0 deg, pressure angle: 20 deg, efficiency: 0.96, break away: 1, line: -90 deg}
  stop: {kind: ratchet, from: crank, to: frame, teeth: 24, pawls: 1, diameter: 120 mm, face: 12 mm, material: C45+N}
parts:
  rope: {kind: suspension, source: assumed, read in: invented, breaking load: 20 kN, stretch: 0.4 %}
"""
WEIGHT = 500 * 9.81


def machine():
    lines = ["layshaft: 1", "name: Winch", "gravity: 9.81 m/s2", "modules:", "  frame: {mass: 60 kg}", "shafts:"]
    for name, (d, length, bearing, seats) in SHAFTS.items():
        lines += [f"  {name}: {{module: frame, axis: x, material: C45+N, sections: [[{d} mm, {length} mm]], seats: {{"]
        lines += [f"    {side} bearing: {{at: {at} mm, bearing: \"{bearing}\", drag: 0 N m, break away: 1}},"
                  for side, at in (("left", 60 if d < 50 else 40), ("right", length - 40))]
        lines += [f"    {s}: {{at: {at} mm, key: 8x7x25, keys: 1, key steel: C45+N, hub steel: C45+N}},"
                  for s, at in zip(seats, PLACES[name], strict=True)]
        lines += ["  }}"]
    return "\n".join(lines).replace(",\n  }}", "}}") + "\n" + REST


@pytest.fixture(scope="module")
def verdict(tmp_path_factory):
    path = tmp_path_factory.mktemp("winch") / "machine.yaml"
    path.write_text(machine(), encoding="utf-8")
    return layshaft.rate(layshaft.solve(layshaft.read(path)))


def of(verdict, part, mode):
    return next(f for f in verdict.findings if f.part == part and f.mode == mode)


def case(verdict, name):
    return next(i for i, c in enumerate(verdict.solved.columns) if c.title == name)


def test_whoever_leans_on_the_crank_pushes_with_the_weight_on_the_pawl(verdict):
    """210 N m of the push and 25.26 N m of the weight: the pawl only clicks the other way."""
    held = verdict.solved.seat_torque["crank"]["stop"][case(verdict, "leaning on crank"), 0]
    assert abs(held) == approx(600 * 0.350 + WEIGHT * 0.103 / 20, rel=1e-9)
    at_rest = verdict.solved.seat_torque["crank"]["stop"][case(verdict, "at rest, weights hanging"), 0]
    assert at_rest * held > 0
    assert abs(at_rest) == approx(WEIGHT * 0.103 / 20, rel=1e-9)


def test_the_key_of_the_ratchet_bears_both(verdict):
    """Key 8x7x25: 17 mm between its round ends, 3 mm of it in the hub."""
    found = of(verdict, "shafts.crank.seats.stop.key", "flank pressure")
    assert found.demand == approx(2 * (210 + WEIGHT * 0.103 / 20) / (0.025 * 0.017 * 0.003), rel=1e-9)


def test_a_jam_takes_the_push_through_the_gears_but_the_pawl_nothing(verdict):
    drum = case(verdict, "held fast at drum")
    assert verdict.solved.seat_torque["crank"]["stop"][drum, 0] == 0
    assert abs(verdict.solved.seat_torque["drum"]["wheel"][drum, 0]) == approx(210 * 20, rel=1e-9)


def test_power_of_winding(verdict):
    torque = WEIGHT * 0.103 / (20 * 0.96**2)
    found = of(verdict, "drives.crank", "power of one person")
    assert found.demand == approx(torque * 25 * 2 * pi / 60, rel=1e-9)


def test_the_weight_falls_one_step_of_the_pawl_through_the_gears(verdict):
    """A 24th of a turn of the crank is a 480th of the drum's; the rope gives 0.4 % on 1 m at 2500 N."""
    fall = pi * 0.206 / (24 * 20)
    sag = WEIGHT / (2500 / 0.004)
    found = of(verdict, "drives.load", "arrested strength of the suspension")
    assert found.demand == approx(WEIGHT * (1 + sqrt(1 + 2 * fall / sag)), rel=1e-9)


def test_the_sheet_of_the_ratchet_tells_the_same_fall(verdict):
    part = next(p for r in verdict.rated for p in r.block.parts if p.path == "stages.stop")
    assert part.inputs["D_w"] / 2 * 2 * pi / 24 / part.inputs["j"] == approx(pi * 0.206 / (24 * 20), rel=1e-12)


def test_time_and_turns_of_lifting(verdict):
    """3 m of rope on 206 mm, 20 turns of the crank for one of the drum, 25 of them in a minute."""
    lift = verdict.solved.budget.windings[0]
    turns = 3 / (pi * 0.206) * 20
    assert lift.lifted
    assert lift.crank_turns == approx(turns, rel=1e-12)
    assert lift.time == approx(turns / 25 * 60, rel=1e-12)
    assert lift.running_time != lift.running_time
    assert lift.handle_force == approx(WEIGHT * 0.103 / (20 * 0.96**2) / 0.350, rel=1e-9)
    assert lift.person_energy == approx(WEIGHT * 3 / 0.96**2, rel=1e-9)
