"""What would mend a finding: every answer, written into the file and checked anew, does what it says.

The outside of this search is `check` itself: each answer is applied, the machine solved and rated afresh, and all
findings compared here by hand.
"""

from pathlib import Path

import pytest

from layshaft.faces.mending_told import mending_text, step_words
from layshaft.machine import apply, named_option, read, set_from_text
from layshaft.machine.reader import read_text
from layshaft.study.mending import finding_of, mending
from layshaft.study.ways import ways
from layshaft.trace.errors import BadInput
from layshaft.train.solve import solve
from layshaft.verdict.rate import rate

ROOT = Path(__file__).parents[2]
LIGHT = ROOT / "examples" / "harbour-light"
SEVERITY = {"holds": 0, "thin": 1, "unknown": 2, "fails": 3}


@pytest.fixture(scope="module")
def light():
    return read(LIGHT)


def worst(machine):
    """The worst word of every part and failure mode, by the path `check` goes."""
    found = {}
    for f in rate(solve(machine)).findings:
        key = (f.part, f.mode)
        found[key] = max(found.get(key, "holds"), f.verdict, key=SEVERITY.__getitem__)
    return found


def asked(machine, part, mode):
    return mending(machine, finding_of(rate(solve(machine)), part, mode))


def applied(machine, change):
    if change.steps[0].then:
        return apply(machine, change.option)
    return named_option(machine, change.what.removeprefix("option "))


def hold_when_checked_again(machine, found):
    """Every answer makes the finding hold, and nothing that did not fail before fails."""
    before, key = worst(machine), (found.finding.part, found.finding.mode)
    assert before[key] in ("fails", "thin")
    for change in found.changes:
        after = worst(applied(machine, change))
        assert after[key] == "holds", change.what
        assert [k for k, w in after.items() if w == "fails" and before.get(k) != "fails"] == [], change.what
        assert [k for k, w in after.items() if w == "unknown" and before.get(k) == "holds"] == [], change.what


@pytest.fixture(scope="module")
def slope(light):
    return asked(light, "stages.lens mitre", "slope")


def test_slope_of_the_lens_mitre_is_mended_by_a_bearing_nearer_to_it(light, slope):
    found = slope
    hold_when_checked_again(light, found)
    at = next(c for c in found.values if c.what == "shafts.lens far.seats.right bearing.at")
    value = float(at.steps[0].then.removesuffix(" mm"))
    assert value == int(value) > 420  # whole mm, towards the mitre: a shorter overhang bends less (statics of a beam)
    for nearer in (1, 5):  # the least change: 1 mm and 5 mm less do not do
        text = f"shafts.lens far.seats.right bearing.at={value - nearer:g} mm"
        assert worst(apply(light, set_from_text([text])))["stages.lens mitre", found.finding.mode] != "holds"
    assert [c.far for c in found.values] == sorted(c.far for c in found.values)
    assert len(found.values) <= 5


def test_what_costs_another_is_told_apart_and_does(light, slope):
    found = slope
    before = worst(light)
    assert found.but
    for change in found.but:
        after = worst(applied(light, change))
        assert after["stages.lens mitre", found.finding.mode] == "holds"
        lost = {(f.part, f.mode) for f in change.breaks}
        assert lost == {k for k, w in after.items() if (w == "fails" and before.get(k) != "fails")
                        or (w == "unknown" and before.get(k, "holds") == "holds")}


def test_options_of_the_file_that_mend_it_come_first(light):
    found = asked(light, "stages.winding chain", "static strength")
    assert "option stout winding chain" in [c.what for c in found.options]
    assert found.changes[0].what.startswith("option ")
    hold_when_checked_again(light, found)


def test_where_nothing_mends_it_the_nearest_and_what_stands_in_the_way_are_told(light):
    found = asked(light, "drives.weight.winding wheel", "tooth jump")
    assert found.changes == []
    part, mode = found.finding.part, found.finding.mode
    for change in (found.nearest, found.in_the_way):
        now = finding_of(rate(solve(applied(light, change))), part, mode)
        assert now.margin == pytest.approx(change.found.margin)
        assert found.finding.margin < now.margin < now.required
    assert not found.nearest.breaks and found.in_the_way.breaks
    text = " ".join(mending_text(found).split())
    said = " and ".join(step_words(step) for step in found.nearest.steps)
    assert f"The nearest: {said[:1].upper()}{said[1:]}: it comes to {found.nearest.found.margin_text} of 1" in text
    assert "Nearer still, at a cost:" in text and ", but then " in text


def test_what_holds_with_nothing_to_spare_is_told_with_a_value_that_has_some(light, slope):
    part = "shafts.lens far.seats.right bearing.at"
    spare, least = slope.spare[part], next(c for c in slope.values if c.what == part)
    assert least.share < 1.1 <= spare.share
    after = rate(solve(apply(light, spare.option)))
    now = next(f for f in after.findings if (f.part, f.mode) == (slope.finding.part, slope.finding.mode))
    assert now.margin == pytest.approx(spare.found.margin)
    assert f"With something to spare: {spare.steps[0].then} holds with" in " ".join(mending_text(slope).split())


def test_what_leaves_it_unknown_is_told_apart():
    text = (LIGHT / "machine.yaml").read_text(encoding="utf-8")
    opened = "options:\n  key left open:\n    set: {shafts.crank.seats.winding sprocket.key: open}\n"
    machine = read_text(text.replace("options:\n", opened, 1))
    part = "shafts.crank.seats.winding sprocket.key"
    found = asked(machine, part, "flank pressure")
    assert [c.what for c in found.opens] == ["option key left open"]
    assert worst(named_option(machine, "key left open"))[part, "flank pressure"] == "unknown"
    assert "With these it no longer fails, but is not known either" in mending_text(found)


def test_two_together_where_no_single_change_will_do():
    """A belt strung loosely over a pulley so small that neither more belts nor more tension alone will grip."""
    loose = apply(read(ROOT / "examples" / "hand-grinder"), {"set": {
        "stages.second belt.pretension": "40 N", "stages.second belt.diameters[1]": "60 mm"}})
    found = asked(loose, "stages.second belt", "grip")
    assert found.options == [] and found.values == []
    assert found.pairs, mending_text(found)
    hold_when_checked_again(loose, found)
    for pair in found.pairs:
        assert len(pair.steps) == 2
        for step in pair.steps:  # neither does it alone
            if step.what in pair.option["set"]:
                single = apply(loose, {"set": {step.what: pair.option["set"][step.what]}})
                assert worst(single)[found.finding.part, found.finding.mode] != "holds"
    assert "No single change mends it" in mending_text(found)


def test_a_key_too_short_is_mended_by_a_longer_one(light):
    part = "shafts.crank.seats.hub.key"
    short = apply(light, {"set": {part: "8x7x18"}})
    found = asked(short, part, "")
    hold_when_checked_again(short, found)
    longer = next(c for c in found.values if c.what == part)
    section, length = longer.steps[0].then.rsplit("x", 1)
    assert section == "8x7"
    assert 18 < float(length.split()[0]) <= 40


def test_a_run_away_no_size_mends_is_said_so(light):
    found = asked(light, "stages.fan gears 1", "run-away")
    assert found.finding.verdict == "fails"
    assert found.changes == []
    assert found.tried == len(light.options)  # no size is tried where no size can help
    assert "No size mends this" in mending_text(found) and "brake or governor" in " ".join(mending_text(found).split())


def test_only_what_a_builder_makes_is_moved(light):
    finding = finding_of(rate(solve(light)), "stages.lens mitre", "slope")
    moved = {way.path for way in ways(rate(solve(light)), finding)}
    assert "stages.lens mitre.face" in moved
    hoist = rate(solve(read(ROOT / "examples" / "sack-hoist")))
    moved |= {way.path for way in ways(hoist, finding_of(hoist, "drives.sack", "drum width"))}
    assert "drives.sack.drum width" in moved
    for word in ("drop", "dead wraps", "efficiency", "reliability", "wind up", "runout", "break away", "drag"):
        assert not [path for path in moved if path.rpartition(".")[2].startswith(word)]


def test_stopping_keeps_what_is_found(light):
    finding = finding_of(rate(solve(light)), "stages.lens mitre", "slope")

    def told(done, _whole):
        if done >= 20:
            raise KeyboardInterrupt

    found = mending(light, finding, told)
    assert found.stopped
    assert 0 < found.tried < 100


def test_nothing_to_mend_and_an_unknown_mode_are_said_in_a_sentence(light):
    verdict = rate(solve(light))
    with pytest.raises(BadInput, match="has no finding named 'no such'"):
        finding_of(verdict, "stages.lens mitre", "no such")
    holding = next(p for p in {f.part for f in verdict.findings} if all(f.verdict == "holds" for f in verdict.of(p)))
    with pytest.raises(BadInput, match="nothing to mend"):
        finding_of(verdict, holding)
