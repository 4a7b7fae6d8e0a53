"""Errors of the train's shape in whole machines: who follows what, rigid or elastic, and what is not stated."""

import numpy as np
import pytest
from pytest import approx
from scipy.linalg import solve

import layshaft
from layshaft.mechanics import universal_joint
from layshaft.train.kinematic.answer import follows, uneven
from layshaft.train.motion.figures import figures_of
from layshaft.train.motion.results import motion_of
from layshaft.train.torsion.damping import of_modes
from layshaft.train.torsion.modes import natural
from layshaft.verdict.remarks import remarks

HARBOUR = layshaft.named_option(layshaft.read("examples/harbour-light"), "as first drawn")


def test_the_elastic_answer_against_a_direct_solution():
    """Five masses, one loop, three frequencies; each mode keeps its own damping, so C = M Phi rate Phi' M."""
    rng = np.random.default_rng(4)
    mass, k = rng.uniform(0.1, 3.0, 5), rng.uniform(50.0, 900.0, 5)
    springs = [(0, 1), (1, 2), (2, 3), (3, 4), (1, 3)]
    modes = natural(mass, springs, k)
    damped = of_modes(modes, np.full(5, 0.04), np.array([0.0, 0.0, 0.0, 0.0, 0.6]))
    M, K = np.diag(mass), np.zeros((5, 5))
    for (a, b), stiff in zip(springs, k, strict=True):
        K[np.ix_([a, b], [a, b])] += stiff * np.array([[1, -1], [-1, 1]])
    C = M @ modes.shapes @ np.diag(damped.rate) @ modes.shapes.T @ M
    for omega in (2.0, 17.0, 60.0):
        push = np.zeros(5)
        push[[2, 3]] = k[2], -k[2]
        direct = solve(K + 1j * omega * C - omega**2 * M, push)
        assert follows(modes, damped.rate, 2, omega) == approx(direct, rel=1e-8, abs=1e-12)


def test_slow_errors_are_shared_by_momentum():
    """Two masses behind a spring: far below its frequency the elastic answer is the rigid one."""
    modes = natural(np.array([0.7, 4.9]), [(0, 1)], np.array([800.0]))
    damped = of_modes(modes, np.array([0.02]), np.zeros(2))
    found = follows(modes, damped.rate, 0, 1e-3)
    assert np.abs(found) == approx([4.9 / 5.6, 0.7 / 5.6], rel=1e-6)


def by_words(shape):
    return {(o.error.stage, o.error.words): o for o in shape.orders}


def test_harbour_light_lens_by_hand():
    """Lens chain 19 : 38, 12.7 mm: 2/(z (z^2 - 1)) of each wheel as angle of the first; 19 links a turn of main."""
    spindle, = uneven(layshaft.solve(HARBOUR), ["spindle"])
    order = by_words(spindle)["lens chain", "links"]
    arm = 12.7 / 2 / np.sin(np.pi / 19)
    advance = 12.7 / np.pi * (1 / (19**2 - 1) + 1 / (38**2 - 1))
    assert order.error.theta == approx(advance / arm, rel=1e-9)
    assert order.omega / (2 * np.pi) == approx(19 / 30, rel=0.002)
    assert order.elastic and order.share == approx(0.988, abs=0.002)
    # single mass behind its drive, 0.971 Hz, as `layshaft torsion` says
    assert order.gain == approx(order.share / (1 - (0.6327 / 0.9706) ** 2), rel=0.02)
    assert np.mean(order.swing) == approx(2 * advance / arm * order.gain * 19, rel=1e-9)


def test_runout_is_stated_by_grade_or_by_standard():
    spindle, = uneven(layshaft.solve(HARBOUR), ["spindle"])
    found = by_words(spindle)
    stated = found["lens chain", "runout on main, as stated"]
    assert np.mean(stated.error.theta) == approx(0.04 / (12.7 / 2 / np.sin(np.pi / 19)), rel=1e-9)
    assert not stated.elastic and np.mean(stated.time) > 0
    grade = found["fan gears 1", "runout on main, limit of class 9"]
    assert np.mean(grade.error.theta) == approx(
        (0.24 * 2 + 240**0.5 + 5.6) * 4e-3 / 2 / (120 * np.cos(np.radians(20))), rel=1e-3)
    assert [x.words for x in spindle.lacking] == ["errors of its teeth: no grade is asked of bevels"]


def test_what_every_event_meets_alike_does_not_shift_it():
    spindle, = uneven(layshaft.solve(HARBOUR), ["spindle"])
    links = by_words(spindle)["lens chain", "links"]  # 38 in a turn of the spindle
    assert links.meets_alike(1.0) and not links.meets_alike(4.0)
    assert np.mean(spindle.time("links", 1.0)) == 0 < np.mean(spindle.time("links", 4.0)) <= np.mean(spindle.time("links"))


CLOCK = """
layshaft: 1
name: two wheels
gravity: 9.81 m/s2
modules:
  frame: {mass: 10 kg, size: [1 m, 1 m, 1 m]}
shafts:
  one: {at: [0 mm, 0 mm, 1 m], module: frame, axis: x, sections: [[20 mm, 300 mm]], material: C45+N, seats: {l: {at: 10 mm, bearing: open}, a: {at: 50 mm}, b: {at: 250 mm}, r: {at: 290 mm, bearing: open}}}
  two: {module: frame, axis: x, sections: [[20 mm, 300 mm]], material: C45+N, seats: {l: {at: 10 mm, bearing: open}, a: {at: 50 mm}, b: {at: 250 mm}, r: {at: 290 mm, bearing: open}}}
drives:
  motor: {kind: motor, shaft: one, seat: a, speed: 30 rpm}
stages:
  chain: {kind: roller chain, from: one, to: two, seats: [b, b], chain: 08B-1, teeth: [19, 38], centres: about 700 mm, line: 0 deg, efficiency: 1}
loads:
  disc: {kind: flywheel, shaft: two, seat: a, inertia: 2 kg m2}
"""


@pytest.fixture
def clock():
    return layshaft.read_text(CLOCK)


def test_what_a_motor_leads_does_not_give_way(clock):
    one, two = uneven(layshaft.solve(clock), ["one", "two"])
    assert all(o.share == 0 for o in one.orders) and all(o.share == 1 for o in two.orders)
    assert [x.words for x in two.lacking] == ["runout of its wheel on one and on two: not stated"]


def test_cut_to_a_standard(clock):
    found, = uneven(layshaft.solve(layshaft.read_text(CLOCK.replace("teeth: [19, 38]", "teeth: [19, 38], cut to: ISO 606"))),
                    ["two"])
    runout = [o for o in found.orders if o.error.kind == "runout"]
    assert not found.lacking and {o.error.shaft for o in runout} == {"one", "two"}
    assert runout[0].error.theta == approx(0.075 / (12.7 / 2 / np.sin(np.pi / 19)), rel=1e-9)


def test_without_stiffness_it_is_told_for_a_rigid_train(clock):
    text = CLOCK.replace("centres: about 700 mm, ", "")
    found, = uneven(layshaft.solve(layshaft.read_text(text)), ["two"])
    assert found.orders and not found.elastic and "centres" in found.twisting[0]


def test_the_want_says_which_part_is_pulses():
    verdict = layshaft.rate(layshaft.solve(HARBOUR))
    found = next(f for f in verdict.findings if f.mode == "swing of spindle within a turn")
    shape, = uneven(verdict.solved, ["spindle"])
    assert found.demand == approx(0.0355 + float(np.mean(shape.swing())), abs=0.0003)
    assert "pulses 3.55 %" in found.note and "links 2.86 %" in found.note


JOINT = CLOCK.replace("{kind: roller chain, from: one, to: two, seats: [b, b], chain: 08B-1, teeth: [19, 38], "
                      "centres: about 700 mm, line: 0 deg, efficiency: 1}",
                      "{kind: universal joint, from: one, to: two, seats: [b, a], angle: 12 deg, efficiency: 1}").replace(
                          "shaft: two, seat: a, inertia", "shaft: two, seat: b, inertia")


def test_a_bent_joint_swings_twice_a_turn():
    found, = uneven(layshaft.solve(layshaft.read_text(JOINT)), ["two"])
    order, = found.orders
    assert order.error.kind == "cardan" and order.order == 2
    assert np.mean(order.swing) == approx(float(universal_joint.speed_swing(np.radians(12))), rel=0.01)


def test_near_a_natural_frequency_a_bent_joint_swings_more():
    """Led at 30 rev/min behind 25 N m/rad and two lengths of shaft, with 2 kg m2: 3.5 rad/s, shaken with 6.28 rad/s."""
    soft = JOINT.replace("angle: 12 deg", "angle: 12 deg, torsional stiffness: 25 N m/rad")
    found, = uneven(layshaft.solve(layshaft.read_text(soft)), ["two"])
    order, = found.orders
    assert order.elastic and order.share == 1
    k = 1 / (1 / 25 + 2 * 0.2 / (80e9 * np.pi / 32 * 0.02**4))
    assert order.gain == approx(1 / ((2 * np.pi) ** 2 * 2 / k - 1), rel=0.003)


def test_two_joints_undo_each_other_and_an_angle_not_stated_is_named():
    pair, = uneven(layshaft.solve(layshaft.read_text(JOINT.replace("12 deg", "12 deg, double: yes"))), ["two"])
    assert not pair.orders and not pair.lacking
    bare, = uneven(layshaft.solve(layshaft.read_text(JOINT.replace("angle: 12 deg, ", ""))), ["two"])
    assert [x.words for x in bare.lacking] == ["its cardan error: `angle` not stated"]


def test_the_couple_of_a_bent_joint_is_told():
    verdict = layshaft.rate(layshaft.solve(layshaft.read_text(JOINT)))
    assert any(path == "stages.chain" and "bends both of its shafts" in r.text for path, r in remarks(verdict))
    assert next(f for f in verdict.findings if f.part == "stages.chain").verdict == "unknown"


def test_scatter_of_a_run_counts_what_shifts_events():
    r = motion_of(layshaft.solve(HARBOUR))
    bell = next(s for s in r.shafts if s.shaft == "bell")
    timed, (shape,) = figures_of(r).timed["bell"], uneven(r.course.solved, ["bell"])
    off = [float(np.mean(o.time)) for o in shape.orders if o.order / 4 % 1 > 1e-6]
    assert len(off) > 2 and timed.of_shape == approx(np.sqrt(np.sum(np.square(off)) / 2), rel=1e-9)
    assert timed.scatter == approx(np.hypot(bell.timing.scatter, timed.of_shape), rel=1e-12)


SHAFT = ("{module: frame, axis: x, sections: [[20 mm, 300 mm]], material: C45+N, seats: {l: {at: 10 mm, bearing: open}, "
         "b: {at: 250 mm}, c: {at: 150 mm}, r: {at: 290 mm, bearing: open}}}")
CHAIN = "{kind: roller chain, chain: 08B-1, centres: about 700 mm, line: 0 deg, efficiency: 1, "
LOOP = CLOCK.replace("b: {at: 250 mm}", "b: {at: 250 mm}, c: {at: 150 mm}").replace(
    "drives:", f"  three: {SHAFT}\ndrives:").replace(
    "loads:", f"  across: {CHAIN}from: two, to: three, seats: [c, c], teeth: [20, 20]}}\n"
    f"  back: {CHAIN}from: one, to: three, seats: [c, b], teeth: [19, 38]}}\nloads:")


def test_in_a_loop_only_the_elastic_train_can_tell():
    two, = uneven(layshaft.solve(layshaft.read_text(LOOP)), ["two"])
    closing = [o for o in two.orders if np.isnan(o.share)]
    assert closing and all(o.elastic and 0 < o.gain < 1 for o in closing)
    bare, = uneven(layshaft.solve(layshaft.read_text(LOOP.replace("centres: about 700 mm, ", ""))), ["two"])
    assert any("in a loop only the elastic train can tell" in x.words for x in bare.lacking)
