"""Many sampled machines at once: each against the same machine run alone, and against closed forms."""

from pathlib import Path

import numpy as np
import pytest
from pytest import approx

import layshaft
from layshaft.machine.reader import read_text
from layshaft.machine.sampling import at_sample
from layshaft.trace.errors import BadInput
from layshaft.train.motion.programme import Programme
from layshaft.train.motion.reduced import reduce
from layshaft.train.motion.results import motion_of
from layshaft.train.motion.sampled import motion_of_samples
from layshaft.train.motion.steady import settled_speed

EXAMPLES = Path(__file__).parents[2] / "examples"
TEXT = """layshaft: 1
name: Drawn machine
gravity: 10 m/s2
modules: {frame: {mass: 20 kg}}
shafts:
  drum: {module: frame, axis: x, material: C45+N, sections: [[30 mm, 300 mm]], at: [0 m, 0 m, 6 m], seats: {
    left: {at: 0 mm, bearing: open, drag: 0 N m, break away: 1}, drum: {at: 10 mm}, wheel: {at: 50 mm}, fan: {at: 90 mm},
    one: {at: 120 mm}, two: {at: 150 mm}, right: {at: 200 mm, bearing: open, drag: 0 N m, break away: 1}}}
drives:
  weight: {kind: falling weight, shaft: drum, hangs on: +y, over people: no, mass: {value: 4 kg, between: [3 kg, 5 kg],
           source: assumed}, drop: 5000 m, diameter: 200 mm, seat: drum}
loads:
  wheel: {kind: flywheel, shaft: drum, inertia: {value: 0.46 kg m2, between: [0.3 kg m2, 0.9 kg m2], source: assumed}}
"""
FAN = "  fan: {kind: fan brake, shaft: drum, seat: fan, constant: {value: 0.04 N m s2, between: [0.03 N m s2, 0.06 N m s2], source: assumed}, inertia: 0 kg m2}\n"
EDDY = "  eddy: {kind: eddy brake, shaft: drum, seat: fan, constant: {value: 0.5 N m s/rad, between: [0.4 N m s/rad, 0.7 N m s/rad], source: assumed}, critical speed: 900 rpm, inertia: 0 kg m2}\n"
CAMS = """  one: {kind: pulses, shaft: drum, seat: one, per turn: 2, energy: {value: 2 J, between: [1 J, 3 J], source: assumed},
    over: {value: 80 deg, between: [60 deg, 170 deg], source: assumed}, break away: 1}
  two: {kind: pulses, shaft: drum, seat: two, per turn: 3, energy: 0.3 J, over: 20 deg, break away: 1}
"""
WANTS = "wants: {w: {shaft: drum, speed: 90 rpm}}\n"


def drawn(text, n=40):
    machine = layshaft.sample(read_text(text), n, 3)
    return machine, layshaft.solve(machine)


@pytest.mark.parametrize("brake", [FAN, EDDY])
def test_terminal_speed_of_every_sample(brake):
    machine, solved = drawn(TEXT + brake + WANTS)
    (run,) = motion_of_samples(solved)
    load = machine.loads["fan" if brake is FAN else "eddy"]
    torque = machine.drives["weight"].mass.value * 10 * 0.1
    closed = np.sqrt(torque / load.constant.value) if brake is FAN else torque / load.constant.value
    assert run.speed == approx(closed, rel=1e-12) and run.swing == approx(0, abs=1e-12) and run.starts.all()
    assert run.error == approx(closed / (90 * 2 * np.pi / 60) - 1, rel=1e-9)
    times = run.timing[7]
    assert times.spacing == approx(2 * np.pi / closed[7], rel=1e-9) and times.scatter < 1e-9
    assert times.events == pytest.approx(600 * closed[7] / (2 * np.pi), abs=1.01)


@pytest.mark.parametrize("brake", [FAN, EDDY])
def test_every_sample_is_that_machine_alone(brake):
    machine, solved = drawn(TEXT + brake + CAMS + WANTS)
    (run,) = motion_of_samples(solved)
    ran = 0
    for i in range(solved.samples):
        r = reduce(layshaft.solve(at_sample(machine, i)), "drum")
        if r.at_rest <= 0:
            assert not run.starts[i] and np.isnan(run.speed[i])
            continue
        alone = settled_speed(r)
        if alone.mean > 0:
            assert (run.speed[i], run.swing[i]) == (approx(alone.mean, rel=1e-9), approx(alone.swing, rel=1e-9))
            ran += 1
        else:
            assert np.isnan(run.speed[i])
    assert ran > 10


def test_events_of_a_sample_are_those_of_its_run():
    machine, solved = drawn(TEXT + FAN + CAMS + WANTS)
    (run,) = motion_of_samples(solved, time=300.0)
    i = next(i for i in range(solved.samples) if run.timing[i] and run.timing[i].scatter > 1e-4)
    alone = motion_of(layshaft.solve(at_sample(machine, i)), Programme("drum", time=330.0))
    shaft = next(s for s in alone.shafts if s.shaft == "drum")
    assert run.event == shaft.event == "drops of one"
    assert run.timing[i].rate_error == approx(shaft.timing.rate_error, rel=1e-3, abs=1e-5)
    assert run.timing[i].scatter == approx(shaft.timing.scatter, rel=0.02)


def test_the_example_starts_where_its_start_ratio_says_so():
    machine = layshaft.sample(layshaft.read(EXAMPLES / "harbour-light"), 200, 1)
    solved = layshaft.solve(machine)
    spindle, bell = motion_of_samples(solved)
    assert (spindle.starts == (solved.budget.start_ratio["weight"] > 1)).all() and 0 < spindle.starts.sum() < 200
    assert np.isfinite(spindle.speed[spindle.starts]).mean() > 0.9 and bell.event == "drops of hammer cam"
    ratio = solved.sets["main"].ratio
    known = np.isfinite(spindle.speed)
    assert (bell.speed / spindle.speed)[known] == approx(abs(ratio["bell"] / ratio["spindle"]))


def test_a_torque_that_turns_round_within_the_cycle_is_reckoned_alone():
    text = TEXT.replace("drum: {at: 10 mm},", "drum: {at: 10 mm}, half: {at: 170 mm},")
    text = text.replace("drives:", """  lay: {module: frame, axis: x, material: C45+N, sections: [[30 mm, 300 mm]], seats: {half: {at: 10 mm},
    left: {at: 60 mm, bearing: open, drag: 0 N m, break away: 1}, wheel: {at: 100 mm}, fan: {at: 150 mm},
    right: {at: 200 mm, bearing: open, drag: 0 N m, break away: 1}}}
drives:""").replace("loads:", """stages:
  link: {kind: gear pair, from: drum, to: lay, seats: [half, half], normal module: 2 mm, teeth: [40, 40], face: 20 mm, helix: 0 deg,
    pressure angle: 20 deg, line: 0 deg, efficiency: 0.8, break away: 1}
loads:""")
    fan = FAN
    wheel = text.replace("kind: flywheel, shaft: drum", "kind: flywheel, shaft: lay, seat: wheel")
    machine, solved = drawn(wheel + fan + CAMS + WANTS, 60)
    (run,) = motion_of_samples(solved)
    for i in np.flatnonzero(run.starts):
        alone = settled_speed(reduce(layshaft.solve(at_sample(machine, int(i))), "drum"))
        if alone.mean > 0:
            assert (run.speed[i], run.swing[i]) == (approx(alone.mean, rel=1e-9), approx(alone.swing, rel=1e-9))
    assert run.alone.any() and np.isfinite(run.speed).any()


def test_what_cannot_be_run_so_is_said():
    saw = "  saw: {kind: torque by angle, shaft: drum, seat: one, break away: 1, points: [[0 deg, 0 N m], [90 deg, 2 N m]]}\n"
    with pytest.raises(BadInput, match="follows an angle"):
        motion_of_samples(drawn(TEXT + FAN + saw)[1])
    with pytest.raises(BadInput, match="decided by"):
        motion_of_samples(layshaft.solve(layshaft.sample(layshaft.read(EXAMPLES / "sack-hoist"), 4, 1)))
