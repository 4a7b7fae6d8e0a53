"""Ball bearings in a machine: which question is asked of which, over the duty, and what the seat says of its grease."""

from pathlib import Path

import numpy as np
import pytest
from pytest import approx

from layshaft.elements import ball_bearing as bb
from layshaft.machine.reader import read_text
from layshaft.mechanics.rolling_life import reliability_factor
from layshaft.train.duty import duty
from layshaft.train.solve import solve
from layshaft.verdict.rate import rate
from layshaft.verdict.remarks import by_text

EXAMPLES = Path(__file__).parents[2] / "examples"
PUMP = (EXAMPLES / "village-pump/machine.yaml").read_text(encoding="utf-8")
LIGHT = (EXAMPLES / "harbour-light/machine.yaml").read_text(encoding="utf-8")
LEFT, RIGHT = "shafts.crank.seats.left bearing.bearing", "shafts.crank.seats.right bearing.bearing"


def verdict(*pairs, text=PUMP):
    for old, new in pairs:
        assert old in text, old
        text = text.replace(old, new)
    return rate(solve(read_text(text)))


def modes(v, path):
    return {f.mode: f for f in v.findings if f.part == path}


def said(v, words):
    return [paths for text, paths in by_text(v).items() if words in text]


def test_a_shaft_that_creeps_is_asked_no_life():
    v = verdict(("speed: 40 rpm\n", "speed: 9.9 rpm\n"))
    assert set(modes(v, LEFT)) == {"static load"}
    assert len(said(v, "below 10 rev/min")[0]) == 2
    fast = verdict(("speed: 40 rpm\n", "speed: 10 rpm\n"))
    assert "rating life" in modes(fast, LEFT)
    assert not said(fast, "below 10 rev/min")


def test_a_shaft_that_rocks_is_asked_no_life():
    v = verdict(("    wind up: 0.5 deg\n    sections: [[25 mm, 360 mm]]", "    rocks: 40 deg\n    wind up: 0.5 deg\n    sections: [[25 mm, 360 mm]]"))
    assert set(modes(v, LEFT)) == {"static load"}
    assert said(v, "Rocks to and fro") == [[LEFT, RIGHT]]


def test_the_road_is_spoken_of_where_it_shakes():
    assert len(said(verdict(), "false brinelling")[0]) == 2
    still = verdict(("transit: {shock: 3 g}\n", ""))
    assert not said(still, "false brinelling")


def test_how_it_must_run_sets_the_static_safety():
    for word, s_0 in (("quietly", 2.0), ("normally", 1.0), ("under shocks", 1.5)):
        found = modes(verdict(("must run: under shocks", f"must run: {word}")), RIGHT)["static load"]
        assert found.required == s_0
    assert modes(verdict(), LEFT)["static load"].required == 2.0
    own = verdict(("transit:", "margins: {static load: 3}\ntransit:"))
    assert modes(own, RIGHT)["static load"].required == 3.0


def test_modified_life_only_where_the_grease_is_told():
    """6205 at 40 rev/min: 45000 x 40^-0.83 / sqrt(38.5) = 339 mm2/s, so 460 mm2/s is a film and 100 mm2/s is 0.3."""
    v = verdict()
    silent = verdict((", base oil: 460 mm2/s, cleanliness: high", ""))
    assert set(modes(silent, LEFT)) == {"static load", "rating life"}
    for path, oil, e_c in ((LEFT, 460e-6, 0.6), (RIGHT, 100e-6, 0.3)):
        found = modes(v, path)["modified life"]
        size = bb.bearing("6205")
        [part] = [p for r in v.rated if r.mode == "modified life" for p in r.block.parts if p.path == path]
        kappa = oil / (45000 * 40**-0.83 / np.sqrt(38.5) * 1e-6)
        assert kappa == approx(1.357 if path == LEFT else 0.295, rel=2e-3)
        at = [c.title for c in v.solved.columns].index(found.title)
        F_r, F_a = (float(part.inputs[name][at, 0]) for name in ("F_r", "F_a"))
        assert F_a == approx(120)  # the coupling's end float, 0.4 mm at 300 N/mm
        P = bb.dynamic_equivalent_load(F_r, F_a, *bb.thrust_factors(bb.relative_axial_load(F_a, size.C0, 12.3)))
        a_iso = bb.life_modification(bb.film_term(kappa), (e_c * size.C0 / 22 / P) ** (1 / 3))
        assert found.rating == approx(0.25 * a_iso * 1e6 * (size.C / P) ** 3, rel=1e-3)
        assert part.inputs["C_u"] == approx(size.C0 / 22)
        assert part.inputs["e_c"] == e_c


@pytest.mark.parametrize(("change", "reason"), [
    (("base oil: 460 mm2/s", "base oil: 20 mm2/s"), "viscosity ratio of 0.1"),
    (("warmest: 32 degC", "warmest: 41 degC"), "warmer than the 40 degC"),
    ((", warmest: 32 degC", ""), "venue.warmest"), ((", cleanliness: high", ""), "cleanliness: not given")])
def test_modified_life_refused_with_its_reason(change, reason):
    v = verdict(change)
    found = modes(v, LEFT)
    assert found["modified life"].verdict == "unknown"
    assert reason in found["modified life"].reason
    assert found["rating life"].verdict == "holds"
    assert bool(said(v, "no film of oil")) == ("ratio" in reason)


def test_duty_of_a_loop_is_wound_as_fast_as_it_sinks():
    """The weight sinks while it runs and is lifted by the winding wheel: shares of the time are speeds' inverse."""
    solved = solve(read_text(LIGHT))
    running, winding = duty(solved)
    sinks = np.abs(solved.speed["main"][0, 0])
    lifts = np.abs(solved.speed["wind"][[c.title == "winding while running, mean" for c in solved.columns], 0][0])
    assert winding.share == approx(sinks / lifts)
    assert running.share == approx(1 - sinks / lifts)


def test_duty_of_things_engaged_in_part():
    """Two loads engaged 50 and 80 % by chance: 40, 40, 10 and 10 % of the time."""
    text = LIGHT
    for load, share in (("lens table", "50 %"), ("hammer cam", "80 %")):
        head = f"  {load}:\n    kind:"
        assert head in text
        text = text.replace(head, f"  {load}:\n    engaged: {share}\n    kind:")
    shares = [float(np.mean(s.share)) for s in duty(solve(read_text(text)))]
    assert sum(shares) == approx(1)
    assert np.array(shares[:4]) / sum(shares[:4]) == approx([0.4, 0.4, 0.1, 0.1])


def test_life_over_the_duty_lies_between_its_states():
    """One part, by hand: share used = sum of turns over life, against a1."""
    v = verdict(text=LIGHT)
    [rated] = [r for r in v.rated if r.mode == "life over the duty"]
    lives = next(r for r in v.rated if r.mode == "rating life")
    states = duty(v.solved)
    for part in rated.block.parts:
        alone = next(p for p in lives.block.parts if p.path == part.path)
        i = lives.block.parts.index(alone)
        a_1 = reliability_factor(alone.inputs["R"])
        worst = max(float(lives.check.demand[i, c, 0] / lives.check.rating[i, c, 0]) for s in states for c in s.columns)
        assert 0 <= part.inputs["u"][0] <= worst * a_1 * (1 + 1e-9)
        running = float(lives.check.demand[i, 0, 0] / lives.check.rating[i, 0, 0] * a_1 * np.mean(states[0].share))
        assert part.inputs["u"][0] >= running * (1 - 1e-9)
    assert {f.mode for f in v.findings if f.part.endswith(".bearing")} >= {"life over the duty", "rating life", "static load"}
