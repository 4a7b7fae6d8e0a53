"""Moments of a run that become cases: closed forms, the run's own torques on random machines, what stays uncovered."""

from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest
from pytest import approx

import layshaft
from layshaft.machine.reader import read_text
from layshaft.trace.errors import BadInput
from layshaft.train.moments import OF_THE_RUN, Moment, titles
from layshaft.train.motion.figures import RunSeen, figures_of
from layshaft.train.motion.programme import Hold, Programme
from layshaft.train.motion.results import motion_of
from layshaft.verdict.rate import rate
from layshaft.verdict.run_peaks import MODE
from train.random_machines import machine_text

EXAMPLES = Path(__file__).parents[2] / "examples"
TEXT = """layshaft: 1
name: Flywheel behind a coupling
gravity: 10 m/s2
modules: {frame: {mass: 20 kg}}
shafts:
  drum: {module: frame, axis: x, material: C45+N, sections: [[30 mm, 300 mm]], at: [0 m, 0 m, 6 m], seats: {
    left: {at: 0 mm, bearing: open, drag: 0 N m, break away: 1}, drum: {at: 10 mm}, fan: {at: 50 mm},
    right: {at: 200 mm, bearing: open, drag: 0 N m, break away: 1}, half: {at: 250 mm}}}
  lay: {module: frame, axis: x, material: C45+N, sections: [[30 mm, 300 mm]], seats: {
    half: {at: 10 mm, key: 8x7x25, keys: 1, key steel: C45+N, hub steel: S355J2},
    left: {at: 60 mm, bearing: open, drag: 0 N m, break away: 1}, wheel: {at: 100 mm}, disc: {at: 150 mm},
    right: {at: 200 mm, bearing: open, drag: 0 N m, break away: 1}}}
drives:
  weight: {kind: falling weight, shaft: drum, hangs on: +y, over people: no, mass: 4 kg, drop: 500 m, diameter: 200 mm,
           seat: drum}
stages:
  coupling: {kind: coupling, from: drum, to: lay, seats: [half, half], listing: open, efficiency: 1, break away: 1, gap: 2 mm}
loads:
  wheel: {kind: flywheel, shaft: lay, seat: wheel, inertia: 0.46 kg m2}
  fan: {kind: fan brake, shaft: drum, seat: fan, constant: 0.04 N m s2, inertia: 0 kg m2}
programme: {time: 60 s}
"""


def of_run(solved):
    return [i for i, column in enumerate(solved.columns) if column.title.startswith(OF_THE_RUN)]


def test_setting_off_loads_a_flywheel_shaft_that_carries_nothing_when_it_runs():
    # 4 N m on 0.5 kg m2 in all: 8 rad/s2, of which the wheel behind the coupling takes 0.46 x 8 = 3.68 N m
    machine = read_text(TEXT)
    plain = layshaft.solve(machine)
    figures = figures_of(motion_of(plain))
    (moment,) = figures.moments
    assert moment.time == 0 and moment.speed == 0 and moment.torque == {"coupling": approx(3.68)}
    solved = layshaft.solve(machine, figures.moments)
    (i,) = of_run(solved)
    assert np.abs(solved.stage_torque["coupling"][1][i]) == approx(3.68) and np.abs(solved.acceleration["lay"][i]) == approx(8)
    assert np.abs(plain.stage_torque["coupling"][1][0]) == approx(0, abs=1e-12)
    key = {f.title: f.demand for f in rate(solved, RunSeen(figures)).every()
           if f.part == "shafts.lay.seats.half.key" and f.mode == "flank pressure"}
    # held fast, the key passes all 4 N m of the weight
    assert key[solved.columns[i].title] / key["held fast at lay"] == approx(3.68 / 4)


def test_the_moments_of_the_example_are_solved_to_the_torques_of_its_run():
    machine = layshaft.read(EXAMPLES / "harbour-light")
    figures = figures_of(motion_of(layshaft.solve(machine)))
    compare(machine, figures)
    fastest = max(figures.moments, key=lambda m: m.speed)
    solved = layshaft.solve(machine, figures.moments)
    assert abs(solved.speed["main"][of_run(solved)]).max() == approx(fastest.speed)
    assert fastest.off == ("hammer cam",) and not fastest.lifting


def compare(machine, figures):
    """Every peak of the run in the case of its moment; how many there are."""
    solved, found = layshaft.solve(machine, figures.moments), 0
    child = {name: (link.child, machine.stages[name].from_) for s in solved.sets.values() for link in s.links
             for name in link.stages}
    for i, moment in zip(of_run(solved), figures.moments, strict=True):
        if moment.landed:
            continue
        for stage, torque in moment.torque.items():
            shaft, first = child[stage]
            assert abs(solved.stage_torque[stage][0 if shaft == first else 1][i, 0]) == approx(torque, rel=1e-9)
            found += 1
    return found


def test_a_run_of_what_counts_a_run_already_finds_the_same_moments_again():
    for text in (TEXT, (EXAMPLES / "harbour-light" / "machine.yaml").read_text(encoding="utf-8")):
        machine = read_text(text)
        once = figures_of(motion_of(layshaft.solve(machine)))
        assert once.moments
        assert figures_of(motion_of(layshaft.solve(machine, once.moments))).moments == once.moments


def test_random_machines_are_solved_to_the_torques_of_their_runs():
    found = 0
    for number in range(40):
        machine = read_text(machine_text(number))
        solved = layshaft.solve(machine)
        for root, role in solved.roles.items():
            if role.weights and not role.led_by:
                try:
                    figures = figures_of(motion_of(solved, Programme(root, time=120.0)))
                except (BadInput, ValueError):
                    continue
                found += compare(machine, figures)
    assert found > 10


@pytest.mark.parametrize("name", ["harbour-light", "mill-hoist"])
def test_a_moment_makes_nothing_unknown_that_was_known(name):
    machine = layshaft.read(EXAMPLES / name)
    plain = layshaft.solve(machine)
    figures = figures_of(motion_of(plain))
    before = {(f.part, f.place, f.mode): f for f in rate(plain, RunSeen(figures)).findings}
    after = {(f.part, f.place, f.mode): f for f in rate(layshaft.solve(machine, figures.moments), RunSeen(figures)).findings}
    lost = [key for key, f in after.items() if f.verdict == "unknown" and before[key].verdict != "unknown"
            and f.mode != "peak of the run"] if figures.moments else ["no moment"]
    assert not lost
    looser = [key for key in before if key in after and after[key].margin > before[key].margin * (1 + 1e-9)]
    assert not looser  # one case more can only be nearer to failing


def test_ratings_that_count_the_moments_of_a_run_cover_it():
    machine = layshaft.read(EXAMPLES / "harbour-light")
    figures = figures_of(motion_of(layshaft.solve(machine), Programme("main", time=60.0)))
    with_them, without = ([f.mode for f in rate(layshaft.solve(machine, moments), RunSeen(figures)).findings]
                          for moments in (figures.moments, []))
    assert MODE not in with_them and MODE in without


def test_what_no_case_covers_is_unknown_with_both_torques():
    machine = read_text(TEXT)
    figures = figures_of(motion_of(layshaft.solve(machine)))
    (moment,) = figures.moments
    harder = replace(figures, moments=[replace(moment, torque={"coupling": 7.36})])
    found = [f for f in rate(layshaft.solve(machine, harder.moments), RunSeen(harder)).findings
             if f.mode == "peak of the run"]
    assert [f.verdict for f in found] == ["unknown"] and "7.360 N m" in found[0].reason and "3.680 N m" in found[0].reason
    fine = rate(layshaft.solve(machine, figures.moments), RunSeen(figures))
    assert not [f for f in fine.findings if f.mode == "peak of the run"]


def test_a_moment_of_another_machine_does_no_harm():
    machine = read_text(TEXT)
    odd = [Moment("nowhere", 1.0, 1.0, torque={"coupling": 9.0}), Moment("drum", 1.0, 1.0, brake="none"),
           Moment("drum", 1.0, 1.0, (("no cam", 1.0),), ("no load",), ("no weight",), (("no", 2.0),), "", {"no stage": 1.0})]
    solved = layshaft.solve(machine, odd)
    assert len(of_run(solved)) == 1
    seen = RunSeen(replace(figures_of(motion_of(layshaft.solve(machine))), moments=odd))
    assert len([f for f in rate(solved, seen).findings if f.mode == "peak of the run"]) == 2


def test_a_brake_put_on_is_rated_too():
    text = TEXT.replace("programme:", """  disc: {kind: disc brake, shaft: lay, seat: disc, put on by: hand, force: 200 N, friction: 0.4, outer diameter: 100 mm,
         inner diameter: 60 mm, pads: 2, inertia: 0 kg m2}
programme:""")
    machine = read_text(text)
    solved = layshaft.solve(machine)
    figures = figures_of(motion_of(solved, Programme("drum", time=30.0, holds=(Hold("h", "disc", 20.0, 3.0),))))
    assert [m.torque for m in figures.moments if m.brake] and compare(machine, figures)


def test_a_torque_by_angle_counts_with_what_it_is_just_then():
    text = TEXT.replace("programme:", """  saw: {kind: torque by angle, shaft: lay, seat: disc, break away: 1, points: [[0 deg, 0.5 N m], [90 deg, 2 N m],
    [180 deg, -1 N m]]}
programme:""")
    machine = read_text(text)
    figures = figures_of(motion_of(layshaft.solve(machine), Programme("drum", time=30.0)))
    assert compare(machine, figures) and any(0.1 < abs(torque) < 1.9 for m in figures.moments for _, torque in m.lifting)


def test_a_programme_that_was_not_run_is_said():
    from layshaft.verdict.remarks import remarks

    solved = layshaft.solve(read_text(TEXT))
    said = [r.text for path, r in remarks(rate(solved)) if path == "programme"]
    assert len(said) == 1 and "`layshaft run`" in said[0]
    figures = figures_of(motion_of(solved))
    assert not [path for path, _ in remarks(rate(solved, RunSeen(figures))) if path == "programme"]
    without = layshaft.solve(read_text(TEXT.replace("programme: {time: 60 s}\n", "")))
    assert not [path for path, _ in remarks(rate(without)) if path == "programme"]


def test_cases_of_moments_are_told_apart():
    """Findings are led back to their case by its title, so no two may bear the same."""
    at = [Moment("main", 0.0, 1.0, torque={"chain": 2.0}), Moment("main", 1501.0, 1.0, torque={"gears": 1.0, "hub": 2.0}),
          Moment("main", 1501.2, 1.0)]
    assert titles(at) == ["peak of the run, after 0 s", "peak of the run, after 25.02 min, hardest on gears and hub",
                          "peak of the run, after 25.02 min, main at its fastest"]
    machine = layshaft.read(EXAMPLES / "harbour-light")
    figures = figures_of(motion_of(layshaft.solve(machine)))
    found = [c.title for c in layshaft.solve(machine, figures.moments).columns]
    assert len(figures.moments) > 1 and len(found) == len(set(found))
