"""What is said of a gear pair whose file lacks a value or holds one that no teeth can have."""

from pathlib import Path

import pytest

from layshaft.machine import MachineErrors, read_text
from layshaft.train.solve import solve
from layshaft.verdict.rate import rate

MANGLE = (Path(__file__).parents[2] / "examples" / "village-mangle" / "machine.yaml").read_text(encoding="utf-8")
BOTH = "press gears", "flank pitting"


def mangle(was, now):
    assert was in MANGLE
    return MANGLE.replace(was, now, 1)


def one(text, stage, mode):
    return next(f for f in rate(solve(read_text(text))).findings if f.part == f"stages.{stage}" and f.mode == mode)


def test_what_is_missing_is_named_and_not_the_table_it_is_looked_up_in():
    found = one(mangle("    accuracy: 9\n", ""), *BOTH)
    assert found.verdict == "unknown"
    assert found.reason == "flank tolerance class, ISO 1328-1 (stages.press gears.accuracy: not given)"


@pytest.mark.parametrize(("was", "now", "shift"), [
    ("    normal module: 2 mm", "    normal module: 1 mm", "modules"),
    ("    centres: 93 mm", "    centres: 193 mm", "at 193.0 mm"),
    ("    double: yes\n    helix: 25 deg", "    helix: 0 deg", "none can be")])
def test_a_distance_no_teeth_can_bridge_is_unknown_in_words(was, now, shift):
    """93 mm for 22 and 62 teeth: 92.68 mm at module 2 and 25 degrees; 84 mm without the helix, 42 at module 1."""
    text = mangle(was, now)
    for mode in ("flank pitting", "root fatigue", "jam strength", "tooth interference"):
        found = one(text, "press gears", mode)
        assert found.verdict == "unknown" and "stages.press gears.centres" in found.reason and shift in found.reason, mode


@pytest.mark.parametrize(("was", "now", "says"), [
    ("    helix: 25 deg", "    helix: 60 deg", "stages.press gears.helix is 60.00 deg; it must be at most 45.00 deg."),
    ("    pressure angle: 20 deg", "    pressure angle: 20 rad",
     "stages.press gears.pressure angle is 1146 deg; it must be at most 45.00 deg."),
    ("    shift: [0.4, -0.4]", "    shift: [4, -0.4]", "stages.roller ring.shift[0] is 4; it must be at most 2.")])
def test_angles_and_shifts_that_nobody_cuts_are_refused_in_their_line(was, now, says):
    with pytest.raises(MachineErrors) as caught:
        read_text(mangle(was, now))
    line = next(i for i, text in enumerate(mangle(was, now).split("\n"), 1) if now.strip() in text)
    assert str(caught.value).startswith(f"machine.yaml:{line}:") and str(caught.value).endswith(says)
