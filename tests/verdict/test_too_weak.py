"""Parts that are chosen but too weak: only where their own size decides. Machines are the invented examples."""

from pathlib import Path

import pytest

from layshaft.faces.needs import needs_text
from layshaft.faces.pages.asked import asked_for
from layshaft.machine import apply, read
from layshaft.train.solve import solve
from layshaft.verdict.rate import rate
from layshaft.verdict.too_weak import too_weak

EXAMPLES = sorted(place.parent for place in Path(__file__).parents[2].glob("examples/*/machine.yaml"))
HOIST, DISC = next(p for p in EXAMPLES if p.name == "mill-hoist"), "loads.brake disc"


@pytest.mark.parametrize("folder", EXAMPLES, ids=lambda p: p.name)
def test_every_example_is_told(folder):
    verdict = rate(solve(read(folder)))
    assert verdict.solved.machine.title in needs_text(verdict)
    for need in too_weak(verdict):
        assert need.short and all(f.verdict != "holds" for f in need.short)


def test_a_brake_too_small_for_its_pads_is_a_need_and_one_that_no_size_mends_is_none():
    """With the force on the pads given, pressure is force over area and torque goes with the mean radius (statics)."""
    machine = read(HOIST)
    as_it_is = rate(solve(machine))
    assert {f.mode: f.verdict for f in as_it_is.findings if f.part == DISC}["reach"] == "fails"
    assert DISC not in [need.path for need in too_weak(as_it_is)]  # what runs on behind a hub, no disc reaches
    small = rate(solve(apply(machine, {"set": {f"{DISC}.outer diameter": "205 mm"}})))
    need = next(n for n in too_weak(small) if n.path == DISC)
    assert {f.mode for f in need.short} == {"lining pressure", "holding torque"}
    # None holds in all, for the reach; of those that hold in the rest the least is told, not a disc as large as a house.
    assert need.smallest is None and need.nearest.candidate.name == "outer diameter 224 mm"
    assert [a.mode for a in need.nearest.answers if a.share < 1] == ["reach"]
    assert asked_for(small.solved.machine, need) is not None
