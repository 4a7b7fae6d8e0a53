"""Every number of a sheet says where it comes from: steps from givens, the train in one line, guesses further up."""

import numpy as np
import pytest
from pytest import approx

from layshaft.machine.options import apply
from layshaft.machine.reader import read
from layshaft.trace.constants import constants_of
from layshaft.trace.formula import origin, tracing
from layshaft.trace.registry import load_all
from layshaft.trace.whole import replayed, whole
from layshaft.train.solve import solve
from layshaft.verdict.provenance.from_train import _torques
from layshaft.verdict.rate import rate
from layshaft.verdict.sheets import sheets_of
from layshaft.verdict.teaching import walks


@pytest.fixture(scope="module")
def harbour(checkout):
    return rate(solve(read(checkout / "examples" / "harbour-light")))


@pytest.fixture(scope="module")
def tooth_jump(harbour):
    return next(s for s in sheets_of(harbour, "drives.weight.winding wheel") if s.finding.mode == "tooth jump")


@pytest.mark.parametrize("name", ["harbour-light", "mill-hoist", "planter-hoist", "sack-hoist", "sluice-winch"])
def test_the_steps_before_an_input_give_the_number_that_was_rated(checkout, name):
    """Two ways to one number: the arrays of the solver, and the formulas of the sheet one after the other."""
    verdict = rate(solve(read(checkout / "examples" / name)))
    asked = 0
    for block in {id(r.block): r.block for r in verdict.rated}.values():
        for part in block.parts:
            for case in range(len(verdict.solved.columns)):
                inputs = block.single(part, case)
                for symbol, follow in part.follows.items():
                    rated = getattr(inputs, symbol)
                    if np.isfinite(rated):
                        with np.errstate(all="ignore"), tracing() as trace:
                            told = origin(follow(case))
                        assert told.value == approx(rated, rel=1e-9), (part.path, symbol, case)
                        assert trace.untraced == []
                        asked += 1
    assert asked > 2


def test_the_tension_of_an_arrest_is_a_sum_one_can_follow(tooth_jump):
    """By hand: W = 96 * 9.81 = 941.76 N; 17.8 kN / 8 / (0.0015 * 0.2 m) = 7417 N/mm, twice, and a frame of 5000 N/mm
    in line: 3739 N/mm; h = pi 69.12 / 48 mm."""
    trace = tooth_jump.trace
    k, h, W = 1 / (1 / (2 * 17800 / 8 / (0.0015 * 0.2)) + 1 / 5e6), np.pi * trace["d"].value / (24 * 2), 96 * 9.81
    assert trace["F_1"].kind == "formula"
    assert trace["F_1"].value == approx(W * 1.04 / 2.04 * (1 + np.sqrt(1 + 2 * h * k / W)))
    assert trace["F_2"].value == approx(8 * 9.81 / 2.04 / 1.04)
    assert trace.untraced == []


def test_the_sheet_is_headed_by_its_own_shaft_and_marks_the_guess_it_rests_on(tooth_jump, checkout):
    assert tooth_jump.came_from == "weight → wind"
    moves = {rest.path: dict(rest.moves) for rest in tooth_jump.trace.rests}
    share = moves["drives.weight.strand length"]["F_1"]
    longer = apply(read(checkout / "examples" / "harbour-light"), {"set": {"drives.weight.strand length": "202 mm"}})
    sheets = sheets_of(rate(solve(longer)), "drives.weight.winding wheel")
    there = next(s for s in sheets if s.finding.mode == "tooth jump").trace["F_1"].value
    assert there / tooth_jump.trace["F_1"].value - 1 == approx(0.01 * share, rel=0.01)
    assert "strand length" in str(tooth_jump)
    assert "drives.weight.mass" not in moves  # measured, so no guess


def test_a_torque_of_the_train_is_told_with_all_that_turn_its_shaft(harbour):
    sheet = next(s for s in sheets_of(harbour, "stages.lens chain") if s.finding.mode == "plate capacity")
    told = sheet.trace["T_1"].detail["follows"]
    assert "drives.weight -14.57 N m" in told and "together nothing" in told
    for shaft in harbour.solved.speed:  # statics: what runs evenly has no torque left over
        assert not harbour.solved.seat_torque[shaft] or "nothing" in _torques(harbour.solved, shaft, 0).lower()


def test_every_named_number_in_a_formula_says_what_it_is():
    """A reader of a sheet cannot look into the code."""
    bare = {text for info in load_all().values() for text in constants_of(info).values() if ". " not in text}
    assert bare == set()


def test_the_lesson_of_a_loops_wheel_is_of_tooth_jump(harbour):
    """Its pencil rule: with 17 teeth a tooth leaves sin(13.24) / sin(13.24 + 21.18) = 0.405 of the pull (by hand)."""
    walk = walks(harbour, "drives.weight.winding wheel")[0]
    assert walk.lesson.title == "Wheel of a chain loop" and "jump" in walk.lesson.purpose
    trace, power = walk.trace, walk.trace["K"].value - 1
    assert (trace["F_k"].value / trace["F_1"].value) ** (1 / power) == approx(0.405, abs=0.0005)
    assert walks(harbour, "stages.lens chain")[0].lesson.title == "Roller chain"


def test_a_whole_number_says_how_near_the_next_smaller_one_is_and_what_it_would_be_then(tooth_jump):
    """By hand: 17 * 106.14 / 360 = 5.012 teeth; one tooth less takes one factor 0.405 less off the pull."""
    found = whole(tooth_jump.trace["K"])
    assert (found.exact, found.beyond) == (approx(5.0121, abs=1e-4), 4)
    F_k = tooth_jump.trace["F_k"]
    then = replayed(tooth_jump.trace, found.step, 4.0, F_k)
    assert then == approx(F_k.value / 0.40512, rel=1e-4)
    assert "5.0121 counts as 5; with 0.012 less it would be 4" in str(tooth_jump)
    assert "5.0121 counts as 5; with 0.012 less it would be 4" in tooth_jump.finding.note
    assert f"the demand then {then:.1f} N" in tooth_jump.finding.note
