"""What an unknown verdict waits for: filling in every line that is named leaves nothing unknown for want of a line."""

import pytest

from faces.pages_help import rated
from layshaft.machine.options import apply
from layshaft.machine.paths import in_model, split
from layshaft.machine.schema import Choice, Given, keys
from layshaft.train.solve import solve
from layshaft.verdict.lacking import FOR_TORQUE
from layshaft.verdict.rate import rate
from layshaft.verdict.unfinished import still_needed, unfinished
from layshaft.verdict.waiting import lines_waited_for

WITH_WANTS = ("harbour-light", "planter-hoist", "sack-hoist")


def example_of(machine, path):
    """The example the schema gives of a key."""
    steps = split(path)
    return keys(type(in_model(machine, steps[:-1])))[steps[-1]][1].example


@pytest.mark.parametrize("name", WITH_WANTS)
def test_every_line_that_is_named_is_not_there_and_is_what_an_unknown_verdict_lacks(name):
    verdict = rated(name)
    unknown = {f.part for f in verdict.findings if f.verdict == "unknown"}
    for part, lines in lines_waited_for(verdict).items():
        assert part in unknown
        for line in lines:
            there = in_model(verdict.solved.machine, split(line))
            assert not there.known if isinstance(there, Given | Choice) else not there


def test_a_ratchet_whose_lines_are_filled_in_is_unknown_for_want_of_nothing():
    verdict = rated("harbour-light")
    machine = verdict.solved.machine
    lines = lines_waited_for(verdict)["stages.ratchet"]
    assert still_needed(verdict, "stages.ratchet") == lines == unfinished(verdict)["stages.ratchet"]
    filled = rate(solve(apply(machine, {"set": {line: example_of(machine, line) for line in lines}})))
    assert "stages.ratchet" not in lines_waited_for(filled)
    left = [f for f in filled.findings if f.part == "stages.ratchet" and f.verdict == "unknown"]
    assert not [f for f in left if "not given" in f.reason]


def test_a_weight_on_no_told_rope_is_named_where_its_blow_is_asked():
    """By mechanics: the blow of a weight that is caught is as hard as what it hangs on is stiff."""
    machine = rated("sack-hoist").solved.machine
    weight = next(d for d in machine.drives.values() if type(d).__name__ == "FallingWeight")
    bare = rate(solve(apply(machine, {"set": {f"{weight.path}.suspension": "open"}})))
    assert f"{weight.path}.suspension" in unfinished(bare)[weight.path]
    named = [f for f in bare.findings if f.verdict == "unknown" and f.case == "weight arrested" and f.part != weight.path]
    assert len(named) > 8 and all(f.reason.endswith(f"follows from {weight.path}.suspension") for f in named)


@pytest.mark.parametrize("kind", ["DiscBrake", "BlockBrake", "BandBrake"])
def test_a_brake_is_asked_for_the_inertia_it_adds_to_what_it_stops(kind):
    assert "inertia" in next(names for k, names in FOR_TORQUE.items() if k.__name__ == kind)
