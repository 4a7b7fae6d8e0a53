"""A verdict made step by step says what the verdict made at once says; a search by it finds what one without it finds."""

import json
from pathlib import Path

import pytest

import layshaft
from layshaft.faces.mending_told import mending_dict
from layshaft.study.mending import finding_of, mending
from layshaft.verdict.stepwise import Stepwise

EXAMPLES = Path(__file__).parents[2] / "examples"


@pytest.fixture(scope="module")
def solved():
    return layshaft.solve(layshaft.read(EXAMPLES / "hand-grinder"))


def test_all_steps_together_are_the_verdict(solved):
    step_by_step, at_once = Stepwise(solved).all(), layshaft.rate(solved)
    assert list(map(str, step_by_step.findings)) == list(map(str, at_once.findings))


def test_first_steps_say_of_one_finding_what_the_verdict_says(solved):
    whole = layshaft.rate(solved)
    for part, mode in {(f.part, f.mode) for f in whole.findings}:
        steps = Stepwise(solved).steps_of(part, mode)
        if not steps:
            assert mode == "run-away"
            continue
        first = Stepwise(solved)
        first.verdict.rated, first.verdict.whole = first.rated(steps), first.found(steps)
        [alone] = [f for f in first.verdict.findings if (f.part, f.mode) == (part, mode)]
        [among] = [f for f in whole.findings if (f.part, f.mode) == (part, mode)]
        assert str(alone) == str(among)


def test_a_search_that_asks_the_finding_first_finds_the_same(solved, monkeypatch):
    finding = finding_of(layshaft.rate(solved), "stages.second belt", "grip")
    quick = mending_dict(mending(solved.machine, finding))
    monkeypatch.setattr(Stepwise, "steps_of", lambda self, part, mode: ())
    assert json.dumps(mending_dict(mending(solved.machine, finding))) == json.dumps(quick)
