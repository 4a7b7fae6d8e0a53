"""Belts against closed forms, root finders and numerical integration; a grinder worked out by hand."""

from pathlib import Path

import numpy as np
import pytest
from pytest import approx
from scipy.integrate import quad, solve_ivp
from scipy.optimize import brentq

import layshaft
from layshaft.elements import belt
from layshaft.elements.belt import synchronous, v
from layshaft.machine.errors import MachineErrors
from layshaft.machine.reader import read_text
from layshaft.trace.source import Source
from layshaft.train.stages import centre_distance

GRINDER = (Path(__file__).parents[2] / "examples" / "hand-grinder" / "machine.yaml").read_text(encoding="utf-8")
GIVEN = Source("invented for this test", obtained="given")


def grinder(*changes):
    text = GRINDER
    for old, new in changes:
        assert old in text
        text = text.replace(old, new)
    return layshaft.rate(layshaft.solve(read_text(text, "machine.yaml")))


def of(verdict, name, mode, case=""):
    return next(f for f in (verdict.every() if case else verdict.findings)
                if f.part == f"stages.{name}" and f.mode == mode and (not case or f.case == case))


@pytest.mark.parametrize(("d", "D", "a"), [(0.1, 0.3, 0.25), (0.08, 0.08, 0.5), (0.05, 0.4, 0.21)])
def test_length_by_walking_round_and_the_distance_back(d, D, a):
    lean = np.arcsin((D - d) / (2 * a))
    arcs = quad(lambda _: d / 2, 0, np.pi - 2 * lean)[0] + quad(lambda _: D / 2, 0, np.pi + 2 * lean)[0]
    L = arcs + 2 * a * np.cos(lean)
    assert belt.belt_length(d, D, a) == approx(L)
    assert belt.centre_equation(a, L, d, D) == approx(0, abs=1e-12)
    assert belt.centre_distance(L, d, D) == approx(a, rel=1e-10)
    assert brentq(lambda x: belt.belt_length(d, D, x) - L, (D - d) / 2 + 1e-9, 5) == approx(a)


def test_a_belt_too_short_has_no_distance_and_pulleys_too_near_no_wrap():
    with np.errstate(all="ignore"):
        assert np.isnan(belt.centre_distance(0.7, 0.1, 0.3))
    assert np.isnan(belt.wrap_small(0.1, 0.4, 0.15))
    assert belt.wrap_small(0.1, 0.4, 0.1501) == approx(2 * np.arccos(0.3 / 0.3002))
    assert np.isnan(belt.centre_start(0.9110, 0.1, 0.3))  # (pi 0.2 + sqrt(2) 0.2) m is the shortest: 0.91116
    assert belt.centre_start(0.9113, 0.1, 0.3) == approx((0.9113 - 0.2 * np.pi) / 4, rel=0.05)
    assert np.isnan(belt.belt_length(0.1, 0.4, 0.14))


def test_slip_by_integrating_friction_in_a_groove():
    """dF / dtheta = mu F / sin(beta / 2); the two strands sum to twice the tension at rest."""
    mu, beta, theta, F_0 = 0.21, np.deg2rad(36), 2.7, 130.0
    grown = solve_ivp(lambda _, F: mu * F / np.sin(beta / 2), (0, theta), [1.0], method="DOP853",
                      rtol=1e-12, atol=1e-12).y[0, -1]
    R = belt.tension_ratio(belt.groove_friction(mu, beta), theta)
    assert R == approx(grown, rel=1e-8)
    slack = 2 * F_0 / (1 + grown)
    assert belt.slip_pull(F_0, R, 2.0) == approx(2 * (2 * F_0 - 2 * slack))
    assert belt.slip_pull(F_0, R, 2.0) == approx(4 * F_0 * np.tanh(np.log(grown) / 2))


def test_strands_of_a_belt_pulled_more_than_it_was_strung():
    """Twice the tension at rest is all the slack strand can give: beyond it the tight one carries all."""
    assert belt.tight_tension(100.0, 7.0, 120.0, 1.0) == 167
    assert belt.slack_tension(100.0, 7.0, 120.0, 1.0) == 47
    assert belt.tight_tension(100.0, 7.0, 500.0, 2.0) == 257
    assert belt.slack_tension(100.0, 7.0, 500.0, 2.0) == 7


def test_force_on_the_shaft_as_the_sum_of_two_vectors():
    lean, F_0 = 0.3, 80.0
    strands = F_0 * np.array([[np.cos(lean), np.sin(lean)], [np.cos(lean), -np.sin(lean)]])
    assert belt.pulley_force(F_0, 3.0, np.pi - 2 * lean) == approx(3 * np.linalg.norm(strands.sum(axis=0)))


def test_life_below_and_within_the_fit():
    assert np.isnan(belt.life_passes(1000.0, 11.0, 200.0, 180.0))  # 1 / (0.2^11 + 0.18^11) = 3.7e7
    for damage, passes in ((1.02e-8, np.nan), (0.98e-8, 1 / 0.98e-8), (1.02e-9, 1 / 1.02e-9), (0.98e-9, 1e9)):
        T = 1000.0 * (damage / 2) ** (1 / 11)
        assert belt.life_passes(1000.0, 11.0, T, T) == approx(passes, nan_ok=True)
    assert belt.life_passes(1000.0, 11.0, 170.0, 150.0) == approx(1 / (0.17**11 + 0.15**11))


def test_permitted_pull_of_a_synchronous_belt():
    """An H belt of 1 in with five teeth in mesh at 6 m/s: (0.8 x (1/3)^1.14 x 2100.85 - 0.448 / 3 x 36) N."""
    F_a = belt.permitted_tension(belt.mesh_factor(5.0), belt.width_factor(25.4e-3, 76.2e-3), 2100.85)
    assert belt.permitted_pull(F_a, belt.centrifugal_tension(0.448 / 3, 6.0)) == approx(
        0.8 * np.exp(-1.14 * np.log(3)) * 2100.85 - 0.448 / 3 * 36)
    assert belt.teeth_in_mesh(17.0, np.deg2rad(150)) == 7
    assert belt.teeth_in_mesh(18.0, np.pi) == 9
    assert np.isnan(belt.mesh_factor(1.0))
    assert synchronous.pull_till_slack(35.0) == 70
    assert belt.pressing_tension(100.0, 30.0) == 70
    assert belt.pressing_tension(20.0, 30.0) == 0  # it lifts off its pulleys


def test_the_first_belt_of_the_grinder_by_hand():
    """48 and 20 teeth of 12.7 mm, 100 in the belt, 38.1 mm wide, 900 N."""
    verdict = grinder()
    stage = verdict.solved.machine.stages["first belt"]
    d, D = 20 * 12.7e-3 / np.pi, 48 * 12.7e-3 / np.pi
    a = brentq(lambda x: belt.belt_length(d, D, x) - 1.27, 0.1, 1)
    assert centre_distance(verdict.solved.machine, stage) == approx(a)
    assert verdict.solved.speed["lay"][0, 0] / verdict.solved.speed["pedal"][0, 0] == approx(2.4)
    f = of(verdict, "first belt", "tooth pull", "running mean")
    at_lay = verdict.solved.stage_torque["first belt"][0][0, 0]
    assert f.demand == approx(abs(at_lay) / (D / 2))
    speed = abs(verdict.solved.speed["lay"][0, 0]) * d / 2
    assert f.rating == approx(2100.85 * 0.5**1.14 - 0.448 / 2 * speed**2)
    assert of(verdict, "first belt", "tooth jump", "running mean").rating == approx(1800 - 0.448 * speed**2)
    assert of(verdict, "first belt", "pulley size").margin == approx(20 / 14)


def test_the_second_belt_of_the_grinder_by_hand():
    """An A belt on 200 and 100 mm with 1 % of creep; 90 N at rest."""
    verdict = grinder()
    speeds = verdict.solved.speed
    assert speeds["spindle"][0, 0] / speeds["lay"][0, 0] == approx(2 * 0.99)
    f = of(verdict, "second belt", "grip", "running mean")
    pull = abs(verdict.solved.stage_torque["second belt"][0][0, 0]) / 0.1
    assert f.demand == approx(pull)
    a = brentq(lambda x: belt.belt_length(0.1, 0.2, x) - 1.25, 0.06, 2)
    R = np.exp(0.5123 * (np.pi - 2 * np.arcsin(0.05 / a)))
    speed = abs(speeds["spindle"][0, 0]) * 0.05
    curve = 0.561 * 4.4482216 / (1000 * 0.3048 / 60) ** 2 * speed**2  # lbf at 1000 ft/min, printed as K_c of an A belt
    assert f.rating == approx(2 * (90 - curve) * (R - 1) / (R + 1))
    assert of(verdict, "second belt", "pulley size").margin == approx(100 / 76.2)
    life = of(verdict, "second belt", "belt life")
    assert life.demand == approx(abs(speeds["spindle"][0, 0]) * 0.05 * 2 * 3600 * 12 * 15 / 1.25)


def test_a_tighter_belt_loads_the_shaft_more_at_rest():
    loose, tight = grinder(), grinder(("pretension: 90 N", "pretension: 290 N"))
    i = [c.title for c in loose.solved.columns].index("in transit")
    for verdict, more in ((loose, 90), (tight, 290)):
        force = verdict.solved.loads["spindle"].force[verdict.solved.loads["spindle"].at("second belt"), :, i, 0]
        lean = np.arcsin(0.05 / centre_distance(verdict.solved.machine, verdict.solved.machine.stages["second belt"]))
        along = force @ np.array([0, np.cos(np.deg2rad(30)), np.sin(np.deg2rad(30))])
        weight = 0.5 * 3 * 9.80665  # the pulley's own, on the road
        assert abs(along) == approx(2 * more * np.cos(lean), abs=weight)


@pytest.mark.parametrize(("old", "new", "said"), [
    ("belt: A\n", "belt: Q\n", "no V belt in the shipped tables"),
    ("belt: H\n", "belt: A\n", "no synchronous belt in the shipped tables"),
    ("teeth: [48, 20]", "teeth: [48, 5]", "at least 6"),
    ("pretension: 90 N", "pretension: -1 N", "at least 0"),
    ("pretension: 90 N", "pretension: 90 mm", "a force belongs here"),
    ("diameters: [200 mm, 100 mm]", "diameters: [200 mm]", "diameters"),
    ("creep: {value: 1 %", "creep: {value: 50 %", "creep"),
])
def test_what_cannot_be_is_refused_in_a_sentence(old, new, said):
    assert old in GRINDER
    with pytest.raises(MachineErrors) as refused:
        read_text(GRINDER.replace(old, new, 1), "machine.yaml")
    assert said in str(refused.value)


@pytest.mark.parametrize(("old", "new", "name", "mode"), [
    ("    pretension: 90 N\n", "", "second belt", "grip"), ("    pretension: 900 N\n", "", "first belt", "tooth jump"),
    ("    width: 38.1 mm\n", "", "first belt", "tooth pull"), ("    belts: 1\n", "", "second belt", "grip"),
    ("belt length: 1250 mm", "belt length: 500 mm", "second belt", "grip"),
    ("    belt teeth: 100\n", "", "first belt", "tooth pull"), ("belt: A\n", "belt: open\n", "second belt", "belt life")])
def test_what_is_not_said_is_unknown_and_never_holds(old, new, name, mode):
    assert of(grinder((old, new)), name, mode).verdict == "unknown"


@pytest.mark.parametrize("room", [v, synchronous])
def test_more_torque_never_raises_a_margin(room):
    kind = v.VBeltInputs if room is v else synchronous.SynchronousBeltInputs
    values = {"T": 5.0, "omega": 20.0, "d": 0.1, "D": 0.3, "a": 0.4, "i": 2.0, "F_0": 200.0, "q": 0.1, "mu": 0.2,
              "beta": 0.6, "K_b": 25.0, "K": 3000.0, "b": 11.0, "d_least": 0.08, "t_life": 1e6, "S_required": 1.0,
              "p": 9.525e-3, "z_1": 20.0, "z_2": 60.0, "w": 0.025, "w_0": 0.0254, "T_a": 244.0, "z_least": 12.0}
    names = [f.name for f in kind.quantities()]
    torque = np.linspace(0.1, 40, 50)
    rated = room.rate(kind(origins=dict.fromkeys(names, GIVEN), **({n: values[n] for n in names} | {"T": torque})))
    for check in rated.checks:
        margins = np.broadcast_to(check.margin, torque.shape)
        known = margins[np.isfinite(margins)]
        assert np.all(np.diff(known) <= 1e-12), check.mode
        assert np.isfinite(margins[0])
