"""Sizes next to the one there is, and life over speed: both must say what a solve of the changed machine says."""

from functools import cache
from pathlib import Path

import numpy as np
import pytest

from layshaft.listings.tables import table
from layshaft.machine import apply, read
from layshaft.train.solve import solve
from layshaft.verdict.ladder import ladder
from layshaft.verdict.rate import rate
from layshaft.verdict.sheets import sheets_of
from layshaft.verdict.sweeps import at_now, speed_sweeps

EXAMPLES = Path(__file__).parents[2] / "examples"
NAMES = ["harbour-light", "cider-mill", "mill-hoist", "village-pump", "sack-hoist", "corn-sheller"]


@cache
def rated(name):
    return rate(solve(read(EXAMPLES / name)))


def parts(name):
    return list(dict.fromkeys(f.part for f in rated(name).findings))


@pytest.mark.parametrize("name", NAMES)
def test_the_size_there_is_has_the_margins_of_the_verdict(name):
    """Every rung that is the part's own size answers as the verdict does, mode by mode."""
    verdict, seen = rated(name), 0
    for part in parts(name):
        found = ladder(verdict, part)
        if found.now < 0:
            continue
        answers = found.tried[found.now].answers
        own = {f.mode: f for f in verdict.of(part)}
        for answer in answers:
            if answer.mode in own and own[answer.mode].part == part and np.isfinite(own[answer.mode].margin):
                assert answer.margin == pytest.approx(own[answer.mode].margin, rel=1e-9), (part, answer.mode)
                seen += 1
    assert seen >= 10


@pytest.mark.parametrize("part", ["shafts.wind.seats.right bearing.bearing", "shafts.wind.seats.ratchet.key",
                                  "shafts.crank.seats.hub.key"])
def test_the_next_sizes_answer_as_a_solve_with_them_does(part):
    """A bearing of the same bore and a longer key change no load, so the whole machine must say the same."""
    verdict = rated("harbour-light")
    found = ladder(verdict, part)
    for rung in (found.down, found.up):
        changed = rate(solve(apply(verdict.solved.machine, rung.option)))
        own = {f.mode: f for f in changed.of(part)}
        for answer in rung.answers:
            assert answer.margin == pytest.approx(own[answer.mode].margin, rel=1e-9), (rung.candidate.name, answer.mode)


@pytest.mark.parametrize(("name", "sets", "part"), [
    ("harbour-light", {}, "stages.lens mitre"),
    ("sluice-winch", {}, "stages.worm"),  # another lead loses otherwise, so its torques are not quite those as solved
    ("harbour-light", {"stages.ratchet.face": "12 mm", "stages.ratchet.diameter": "120 mm",
                       "stages.ratchet.tooth depth": "8 mm"}, "stages.ratchet"),
    ("mill-hoist", {}, "loads.brake disc"),
    ("mill-hoist", {}, "loads.wheel"),  # its run-away speed follows its inertia
    ("mill-hoist", {}, "stages.pin"),
    ("mill-hoist", {"drives.weight.groove pitch": "8 mm"}, "drives.weight"),  # a rope alone changes its arrest
    ("mill-hoist", {}, "stages.dogs"),
    ("sluice-winch", {}, "stages.clutch"),
    ("sack-hoist", {}, "springs.pawl"),
    ("sack-hoist", {}, "springs.hatch lock"),
    ("hand-grinder", {}, "springs.guard"),
    ("hand-grinder", {}, "springs.hose reel"),
    ("village-pump", {}, "shafts.pump.seats.far bush.bush"),
    ("corn-sheller", {}, "fixings.right feet"),
    ("corn-sheller", {}, "fixings.right block"),
    ("corn-sheller", {}, "frames.left rail"),
    ("corn-sheller", {}, "frames.legs"),
])
def test_what_is_made_has_steps_that_answer_as_a_solve_with_them_does(name, sets, part):
    """Preferred modules and numbers; forces of a new size bend its shafts, so the whole machine must say the same."""
    machine = read(EXAMPLES / name)
    verdict = rate(solve(apply(machine, {"set": sets}) if sets else machine))
    found = ladder(verdict, part)
    assert found.now > 0
    seen, within = 0, 1e-2 if part == "stages.worm" else 1e-9
    for rung in (found.down, found.up):
        changed = rate(solve(apply(verdict.solved.machine, rung.option)))
        own = {f.mode: f for f in changed.findings if f.part == part}
        for answer in rung.answers:
            there = own[answer.mode].margin
            assert answer.margin == pytest.approx(there, rel=within), (rung.candidate.name, answer.mode)
            seen += 1
    assert seen >= 2


def test_steps_of_a_face_are_preferred_numbers():
    """R20 of ISO 3 about 12 mm, values from memory: 9, 10, 11.2 and 12.5, 14, 16 mm."""
    machine = apply(read(EXAMPLES / "harbour-light"), {"set": {"stages.ratchet.face": "12 mm"}})
    names = [t.candidate.name for t in ladder(rate(solve(machine)), "stages.ratchet").tried]
    assert names == [f"face {n} mm" for n in ("8", "9", "10", "11.2", "12", "12.5", "14", "16", "18")]


def test_a_bar_up_winds_up_less():
    """The twist of a round bar falls with the fourth power of its diameter: 20 to 22 mm is a factor 1.4641."""
    found = ladder(rated("harbour-light"), "shafts.lens lay")
    twist = [next(a.margin for a in t.answers if a.mode == "twist") for t in found.tried]
    names = [t.candidate.name for t in found.tried]
    at = names.index("20 mm bar")
    assert names[at + 1] == "22 mm bar"
    assert twist[at + 1] / twist[at] == pytest.approx(1.1**4, rel=1e-9)


def test_a_duplex_chain_stays_one():
    machine = apply(read(EXAMPLES / "harbour-light"), {"set": {"stages.lens chain.chain": "08B-2"}})
    found = ladder(rate(solve(machine)), "stages.lens chain")
    assert found.tried[found.now].candidate.sets == {"stages.lens chain.chain": "08B-2"}
    assert all("-2" in t.candidate.name for t in found.tried)


def test_sizes_run_from_small_to_large_and_can_be_chosen():
    verdict = rated("harbour-light")
    for part in parts("harbour-light"):
        for rung in ladder(verdict, part).tried:
            if "bar" not in rung.candidate.name:  # another bar may ask for other bearings
                apply(verdict.solved.machine, rung.option)


def test_what_has_no_series_says_so():
    verdict = rated("harbour-light")
    for part in ("modules.winder", "wants.lens speed", "drives.crank", "loads.fan"):
        found = ladder(verdict, part)
        assert not found.tried
        assert found.cannot


@pytest.mark.parametrize("name", NAMES)
def test_a_sweep_passes_through_the_verdict(name):
    """At the part's own speed each line has the margin of its finding."""
    verdict, seen = rated(name), 0
    for part in parts(name):
        for sweep in speed_sweeps(verdict, part):
            own = {f.mode: f for f in verdict.findings if f.part == sweep.part}
            for line in sweep.lines:
                margin = own[line.mode].margin / own[line.mode].required
                if np.isfinite(margin):
                    assert at_now(sweep, line.share) == pytest.approx(margin, rel=1e-9)
                    seen += 1
    assert seen >= 3


def test_life_of_a_ball_bearing_over_speed():
    """ISO 281:2007: a1 1e6 / (60 n) (C/P)^3 hours, a1 = 0.25 where 99 % must survive (table 12)."""
    part = "shafts.wind.seats.right bearing.bearing"
    verdict = rated("harbour-light")
    sweep = next(s for s in speed_sweeps(verdict, part) if any(k.life is not None for k in s.lines))
    line = next(k for k in sweep.lines if k.mode == "rating life")
    assert line.life[-1] / line.life[0] == pytest.approx(0.01, rel=1e-9)
    trace = next(s.trace for s in sheets_of(verdict, part) if s.finding.mode == "rating life")
    rating, load = float(trace["C"].value), float(trace["P"].value)
    assert rating == float(table("bearings_deep_groove")["6205"].number("C_kN", 1e3))
    rpm = sweep.speed * 60 / (2 * np.pi)
    assert line.life / 3600 == pytest.approx(0.25 * 1e6 / (60 * rpm) * (rating / load) ** 3, rel=1e-9)
