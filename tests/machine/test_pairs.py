"""Values the wrong way about are refused with line and column: statics of the thing itself, common practice."""

from pathlib import Path

import pytest

from layshaft.machine.errors import MachineErrors
from layshaft.machine.reader import read_text

EXAMPLES = Path(__file__).parents[2] / "examples"
SPRUNG = ("spring force: 900 N, friction: 0.3, faces: 4, outer diameter: 100 mm, inner diameter: 160 mm, "
          "lining pressure: 0.3 MPa, scatter: 20 %")


@pytest.mark.parametrize(("example", "old", "new", "said"), [
    ("sack-hoist", "least force: 20 N", "least force: 90 N",
     "68:.*hatch lock.least force is 90.00 N, but springs.hatch lock.force is 60.00 N: the first may not be the larger"),
    ("sack-hoist", "turns: 10, free", "turns: 7, free", "68:.*active turns is 8, but .*turns is 7"),
    ("sack-hoist", "mean diameter: 16 mm", "mean diameter: 2 mm", "wire diameter is 2.000 mm, but .* must be the smaller one"),
    ("sack-hoist", "least torque: 0.15 N m", "least torque: 0.5 N m", "67:.*pawl.least torque is 0.5000 N m"),
    ("hand-grinder", "least force: 10 N", "least force: 80 N", "guard.least force is 80.00 N"),
    ("hand-grinder", "arbor: 25 mm", "arbor: 125 mm", "hose reel.arbor is 125.0 mm, but springs.hose reel.drum"),
    ("hand-grinder", "given back: 5", "given back: 9", "hose reel.given back is 9, but springs.hose reel.wound is 7"),
    ("mill-hoist", "inner diameter: 46 mm", "inner diameter: 86 mm", "207:.*dogs.inner diameter is 86.00 mm"),
    ("mill-hoist", "slip torque: {value: 46 N m, source: listed}, scatter: 20 %", SPRUNG, "clutch.inner diameter is 160.0 mm"),
])
def test_refused_where_it_stands(example, old, new, said):
    text = (EXAMPLES / example / "machine.yaml").read_text(encoding="utf-8")
    assert text.count(old) == 1
    with pytest.raises(MachineErrors, match=said):
        read_text(text.replace(old, new), "machine.yaml")


@pytest.mark.parametrize(("example", "old", "new"), [
    ("sack-hoist", "least force: 20 N", "least force: 60 N"), ("hand-grinder", "given back: 5", "given back: 7"),
    ("sack-hoist", "least force: 20 N, ", ""), ("sack-hoist", "turns: 10, free", "turns: 8, free")])
def test_equal_or_missing_is_no_error(example, old, new):
    text = (EXAMPLES / example / "machine.yaml").read_text(encoding="utf-8")
    assert text.count(old) == 1
    read_text(text.replace(old, new), "machine.yaml")
