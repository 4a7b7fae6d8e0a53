"""What is wanted of a run over time: each key against a closed form or a regression by numpy."""

from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest
from pytest import approx

import layshaft
from layshaft.machine.reader import read_text
from layshaft.train.motion.drift import drifts
from layshaft.train.motion.figures import Figures, RunSeen, Timed, figures_of
from layshaft.train.motion.results import motion_of
from layshaft.train.motion.steady import timing
from layshaft.verdict.rate import rate
from layshaft.verdict.run_wants import ASKS

EXAMPLES = Path(__file__).parents[2] / "examples"
TEXT = """layshaft: 1
name: Fan and weight
gravity: 10 m/s2
modules: {{frame: {{mass: 20 kg}}}}
shafts:
  drum: {{module: frame, axis: x, material: C45+N, sections: [[30 mm, 300 mm]], at: [0 m, 0 m, 6 m], seats: {{
    left: {{at: 0 mm, bearing: open, drag: 0 N m, break away: 1}}, drum: {{at: 10 mm}}, wheel: {{at: 50 mm}}, mill: {{at: 70 mm}},
    fan: {{at: 90 mm}}, right: {{at: 200 mm, bearing: open, drag: 0 N m, break away: 1}}}}}}
drives:
  weight: {{kind: falling weight, shaft: drum, hangs on: +y, over people: no, mass: 4 kg, drop: {drop}, diameter: 200 mm,
           seat: drum}}
loads:
  wheel: {{kind: flywheel, shaft: drum, inertia: 0.46 kg m2}}
  fan: {{kind: fan brake, shaft: drum, seat: fan, constant: 0.04 N m s2, inertia: 0 kg m2}}
  mill: {{kind: steady, shaft: drum, seat: mill, torque: 1 N m, break away: 1, inertia: 0 kg m2}}
programme: {{{programme}}}
wants: {{w: {{{wants}}}}}
"""


def seen(wants, drop="200 m", programme="time: 60 s"):
    """The finding of a machine of one want, and the figures of its run."""
    solved = layshaft.solve(read_text(TEXT.format(wants=wants, drop=drop, programme=programme)))
    figures = figures_of(motion_of(solved))
    found = [f for f in rate(solved, RunSeen(figures)).findings if f.part == "wants.w"]
    assert len(found) == 1
    return found[0], figures


# 4 kg at 0.1 m pull with 4 N m; the mill takes 1 N m, the fan 0.04 omega^2; J = 0.5 kg m2
FULL, WITHOUT = np.sqrt(3 / 0.04), np.sqrt(4 / 0.04)


def test_settling_time_of_a_fan_is_that_of_tanh():
    closed = np.arctanh(0.99) * 0.5 / (0.04 * FULL)
    found, _ = seen("settle time: 4 s")
    assert found.demand == approx(closed, abs=0.25 / FULL)  # told cycle by cycle, of 0.25 rad where nothing lifts
    assert found.verdict == "holds" and found.margin == approx(4 / found.demand)
    assert seen("settle time: 3 s")[0].verdict == "fails"


def test_a_run_is_got_through_until_its_weight_is_down():
    # omega^2 = 75 (1 - exp(-2 k phi / J)), so the time to turn phi is arcosh(exp(k phi / J)) J / (k omega_e); 10 m are 100 rad
    closed = np.arccosh(np.exp(0.04 * 100 / 0.5)) * 0.5 / (0.04 * FULL)
    found, _ = seen("run time: 15 s", drop="10 m")
    assert found.rating == approx(closed, rel=1e-9) and found.verdict == "fails"
    assert seen("run time: 12 s", drop="10 m")[0].verdict == "holds"
    assert seen("run time: 60 s")[0].verdict == "holds"  # just as long as the programme
    longer, _ = seen("run time: 61 s")
    assert longer.verdict == "unknown" and "the programme is over before" in longer.reason


def test_a_change_of_load_moves_the_speed_by_the_root_of_what_is_left():
    act = "time: 60 s, acts: {idle: {at: 30 s, without: [mill]}}"
    found, _ = seen("droop: 20 %", programme=act)
    assert found.demand == approx(WITHOUT / FULL - 1, rel=1e-4) and found.verdict == "holds" and "idle" in found.note
    assert seen("droop: 10 %", programme=act)[0].verdict == "fails"
    assert "nothing is engaged" in seen("droop: 10 %")[0].reason
    soon, _ = seen("droop: 10 %", programme="time: 60 s, acts: {idle: {at: 0.001 s, without: [mill]}}")
    assert soon.verdict == "unknown" and "before the speed of one cycle" in soon.reason


def test_a_winding_gives_its_drop_over_the_speed():
    found, _ = seen("wind every: 3 min")
    assert found.rating == approx(200 / (0.1 * FULL), rel=1e-3) and found.verdict == "holds"
    assert seen("wind every: 4 min")[0].verdict == "fails"


def test_timing_names_which_of_the_three_it_means():
    turns = 2 * np.pi / FULL
    found, figures = seen("shaft: drum, speed: 80 rpm, rate error: 5 %")
    wanted = 80 * 2 * np.pi / 60
    assert found.demand == approx(FULL / wanted - 1, rel=1e-4) and found.mode == "timing of drum: error of the mean rate"
    even = np.arctanh(1 - 1e-5) * 0.5 / (0.04 * FULL)  # timing is taken from when it runs evenly
    assert figures.timed["drum"].events == approx((60 - even) / turns, abs=2)
    found, _ = seen("shaft: drum, scatter: 1 ms")
    assert found.verdict == "holds" and found.mode.endswith("scatter about the rate") and found.demand < 1e-5
    found, _ = seen("shaft: drum, drift: 1 %")  # a fan of a stated constant does not tell what air does to it
    assert found.verdict == "unknown" and "venue.coldest" in found.reason and found.mode.endswith("drift of the rate")


@pytest.mark.parametrize(("wants", "why"), [
    ("scatter: 1 ms", "wants.w.shaft"), ("shaft: drum, rate error: 1 %", "wants.w.speed"), ("mean power: 50 W", "nobody winds"),
])
def test_what_is_not_told_is_unknown_by_name(wants, why):
    found, _ = seen(wants)
    assert found.verdict == "unknown" and why in found.reason


def test_slow_drift_counts_with_that_of_the_run():
    machine = layshaft.apply(layshaft.read(EXAMPLES / "harbour-light"), {"set": {"wants.lens speed.drift": "3 %"}})
    solved = layshaft.solve(machine)
    figures = figures_of(motion_of(solved))
    # 0 degC to 35 degC: the density of air falls by 273/308, the speed of a fan that takes all grows by its root at most
    slow = sum(abs(d.rate[1] - d.rate[0]) for d in drifts(solved, "spindle"))
    assert 0.01 < abs(drifts(solved, "spindle")[0].rate[1] - drifts(solved, "spindle")[0].rate[0]) < np.sqrt(308 / 273) - 1
    found = next(f for f in rate(solved, RunSeen(figures)).findings if f.mode.endswith("drift of the rate"))
    assert found.demand == approx(slow + abs(figures.timed["spindle"].drift), rel=1e-9) and "air and drag" in found.note
    assert figures.timed["bell"].slow == 0
    airless = figures_of(motion_of(layshaft.solve(layshaft.apply(machine, {"remove": ["venue.coldest"]}))))
    assert np.isnan(airless.timed["spindle"].slow)


def test_too_few_events_say_nothing():
    found, _ = seen("shaft: drum, scatter: 1 ms", programme="time: 1 s")
    assert found.verdict == "unknown" and "turns of drum" in found.reason


@pytest.mark.parametrize("seed", range(5))
def test_the_split_is_that_of_a_regression(seed):
    """Events with a drifting period and noise: numpy's least squares on the powers of their number."""
    random = np.random.default_rng(seed)
    n = np.arange(random.integers(30, 300))
    period, growth, noise = 1.7, random.uniform(-4e-4, 4e-4), random.normal(0, 5e-3, len(n))
    times = 3 + period * n + growth * n**2 / 2 + noise
    c2, c1, c0 = np.polyfit(n, times, 2)
    left = times - np.polyval((c2, c1, c0), n)
    found = timing(times, 1.65)
    first, last = c1, c1 + 2 * c2 * n[-1]
    assert found.drift == approx(first / last - 1, rel=1e-6)
    assert found.rate_error == approx(1.65 / ((first + last) / 2) - 1, rel=1e-6)
    assert found.scatter == approx(np.sqrt(np.mean(left**2)), rel=1e-6)
    assert found.drift == approx(-growth * n[-1] / period, abs=0.01) and found.scatter == approx(5e-3, rel=0.3)


EVEN = Figures(60.0, 60.0, 5.0, 0.1, "a", {"drum": Timed("turns of drum", 50, -0.02, 0.03, 0.004)}, {"weight": 100.0}, [], [])


@pytest.mark.parametrize(("change", "word"), [
    ({}, "holds"), ({"timed": {"drum": Timed("turns of drum", 50, -0.06, 0.03, 0.004)}}, "fails"),
    ({"timed": {"drum": Timed("turns of drum", 3)}}, "unknown"), ({"timed": {}}, "unknown"),
])
def test_an_error_to_either_side_counts(change, word):
    solved = layshaft.solve(read_text(TEXT.format(wants="shaft: drum, speed: 1 rpm, rate error: 5 %", drop="9 m",
                                                  programme="time: 60 s")))
    found = [f for f in rate(solved, RunSeen(replace(EVEN, **change))).findings if f.part == "wants.w"]
    assert [f.verdict for f in found] == [word]


def test_without_a_run_every_one_is_unknown_and_says_how_to_get_it():
    texts = {key: "1 %" if key in ("rate_error", "drift", "droop") else "1 W" if "power" in key else "1 s" for key in ASKS}
    wants = "shaft: drum, " + ", ".join(f"{key.replace('_', ' ')}: {text}" for key, text in texts.items())
    solved = layshaft.solve(read_text(TEXT.format(wants=wants, drop="9 m", programme="time: 60 s")))
    found = [f for f in rate(solved).findings if f.part == "wants.w"]
    assert len(found) == len(ASKS) == len({f.mode for f in found})
    assert {f.verdict_text for f in found} == {"unknown: not run yet: `layshaft run`"}
