"""A second pawl beside the first must hold alone what that one holds: whichever is lost, the other is all there is."""

import pytest

from faces.pages_help import rated
from layshaft.machine.options import apply
from layshaft.machine.shaping import copy
from layshaft.train.solve import solve
from layshaft.verdict.rate import rate


@pytest.fixture(scope="module")
def twice():
    machine = rated("sack-hoist").solved.machine
    return rate(solve(apply(machine, copy(machine, "stages.pawl", "second pawl"))))


def test_a_copy_of_a_pawl_is_rated_as_the_pawl_is(twice):
    margins = {name: {f.mode: f.margin for f in twice.findings if f.part == f"stages.{name}" and f.mode != "run-away"}
               for name in ("pawl", "second pawl")}
    assert margins["second pawl"] == pytest.approx(margins["pawl"], nan_ok=True)
    assert margins["pawl"]["tooth bending"] > 1


def test_its_key_carries_what_the_first_ones_key_carries(twice):
    found = {f.part: f for f in twice.findings if f.mode == "flank pressure"}
    first, second = (found[f"shafts.drum.seats.{seat}.key"] for seat in ("pawl wheel", "second pawl"))
    assert second.verdict == "holds" and second.margin == pytest.approx(first.margin)


def test_with_a_second_one_the_loss_of_the_first_lets_nothing_go(twice):
    """By mechanics: what still holds, holds the weight at once; alone, the first one's loss lets it run away."""
    alone = {f.part: f.verdict for f in rated("sack-hoist").findings if f.mode == "run-away"}
    both = {f.part: f.verdict for f in twice.findings if f.mode == "run-away"}
    assert alone["stages.pawl"] == "fails" and both["stages.pawl"] == "holds"
