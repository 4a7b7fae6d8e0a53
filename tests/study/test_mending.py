"""What would mend a finding: every answer, written into the file and checked anew, does what it says.

The outside of this search is `run` and `check` themselves: each answer is applied, the machine solved, run over time and
rated afresh, and all findings compared here by hand.
"""

from pathlib import Path

import pytest

from layshaft.faces.mending_told import mending_text, step_words
from layshaft.machine import apply, named_option, read, set_from_text
from layshaft.machine.reader import read_text
from layshaft.study.mending import finding_of, mending
from layshaft.study.ways import ways
from layshaft.trace.errors import BadInput
from layshaft.train.motion.figures import RunSeen, figures_of
from layshaft.train.motion.programme import programme_of
from layshaft.train.motion.results import motion_of
from layshaft.train.solve import solve
from layshaft.verdict.rate import rate

ROOT = Path(__file__).parents[2]
LIGHT = ROOT / "examples" / "harbour-light"
SEVERITY = {"holds": 0, "thin": 1, "unknown": 2, "fails": 3}


@pytest.fixture(scope="module")
def light():
    return read(LIGHT)


def checked(machine):
    """What `check` says after `run`; without a run where none can be made."""
    solved = solve(machine)
    try:
        seen = RunSeen(figures_of(motion_of(solved, programme_of(solved))))
    except BadInput:
        return rate(solved)
    return rate(solve(machine, seen.moments), seen)


def worst(machine):
    """The worst word of every part and failure mode, by the path `check` goes."""
    found = {}
    for f in checked(machine).findings:
        key = (f.part, f.mode)
        found[key] = max(found.get(key, "holds"), f.verdict, key=SEVERITY.__getitem__)
    return found


def figures(machine):
    """Every finding by part and failure mode, by the path `check` goes; of each there is one, its worst."""
    return {(f.part, f.mode): f for f in checked(machine).findings}


def harmed_by(machine, changed, finding):
    """What a change makes worse: what begins to fail or is lost, and what failed or was thin and loses margin."""
    before, after, harmed = figures(machine), figures(changed), set()
    for k, f in after.items():
        was = before.get(k)
        if k == (finding.part, finding.mode):
            continue
        ill = was is not None and was.verdict in ("fails", "thin")
        much = 0.001 if f.hurts else 0.01
        word = was.verdict if was is not None else "holds"
        begins = f.verdict == "fails" and word != "fails"
        lost = f.verdict == "unknown" and word != "unknown"
        if begins or lost or (ill and f.verdict != "holds"
                              and f.margin / f.required < was.margin / was.required * (1 - much)):
            harmed.add(k)
    return harmed


def asked(machine, part, mode):
    return mending(machine, finding_of(checked(machine), part, mode))


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
        assert harmed_by(machine, applied(machine, change), found.finding) == set(), change.what


@pytest.fixture(scope="module")
def slope(light):
    return asked(light, "stages.lens mitre", "slope")


def test_slope_of_the_lens_mitre_is_mended_by_a_bearing_nearer_to_it(light, slope):
    found = slope
    hold_when_checked_again(light, found)
    at = next(c for c in found.values if c.what == "shafts.lens far.seats.right bearing.at")
    value = float(at.steps[0].then.removesuffix(" mm"))
    assert value == int(value) > 715  # whole mm, towards the mitre: a shorter overhang bends less (statics of a beam)
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


def test_an_option_that_takes_room_from_the_hand_is_not_offered(light):
    """A wider chain stands nearer to the handle, where the hand has too little room already; a longer handle mends both."""
    first = named_option(light, "as first drawn")
    found = asked(first, "stages.winding chain", "static strength")
    assert found.options == []
    refused = next(c for c in found.refused if c.what == "option stout winding chain")
    harm = refused.harms[0]
    assert (harm.now.part, harm.now.mode) == ("drives.crank", "room for the hand")
    assert harm.now.margin < harm.was.margin < harm.was.required
    assert found.pairs and all("drives.crank.handle overhang" in c.what for c in found.pairs)
    hold_when_checked_again(first, found)


@pytest.fixture(scope="module")
def jump(light):
    return asked(light, "drives.weight.winding wheel", "tooth jump")


def test_a_weaker_chain_over_people_is_never_offered(light, jump):
    """08A-1 brings tooth jump nearer, and takes the chain that holds the weight from 17.8 to 13.9 kN (ISO 606)."""
    offered = [*jump.changes, *jump.spare.values(), *jump.but, *jump.opens, jump.nearest, jump.in_the_way]
    assert not [c for c in offered if c is not None and "08A-1" in [step.then for step in c.steps]]
    refused = next(c for c in jump.refused if [step.then for step in c.steps] == ["08A-1"])
    arrested = "drives.weight", "arrested strength of the suspension"
    was, now = figures(light)[arrested], figures(applied(light, refused))[arrested]
    assert (was.rating, now.rating) == (pytest.approx(17.8e3), pytest.approx(13.9e3))
    assert was.verdict == now.verdict == "fails" and now.margin < 0.99 * was.margin
    harm = refused.harms[0]
    assert (harm.now.margin, harm.was.margin) == (pytest.approx(now.margin), pytest.approx(was.margin))
    text = " ".join(mending_text(jump).split())
    assert "Not offered, because of people" in text
    assert (f"fails already and falls from {was.margin_text} to {now.margin_text} where 10 is required "
            "(at risk: whoever stands under or beside weight)") in text


def test_a_heavier_counterweight_mends_tooth_jump_at_a_cost(light, jump):
    """Statics: the slack strand carries its share of the counterweight, so the margin goes with the counterweight."""
    assert jump.changes == []
    heavier = next(c for c in jump.but if c.what == "drives.weight.counterweight")
    mass = float(heavier.steps[0].then.removesuffix(" kg"))
    assert heavier.found.margin == pytest.approx(jump.finding.margin * mass / 8)
    after = worst(applied(light, heavier))
    assert after["drives.weight.winding wheel", "tooth jump"] == "holds"
    assert ("wants.lens speed", "mean speed of spindle, error") in {(h.now.part, h.now.mode) for h in heavier.harms}
    for change in jump.but:
        harmed = {(h.now.part, h.now.mode) for h in change.harms}
        assert harmed == harmed_by(light, applied(light, change), jump.finding)
        assert not [h for h in change.harms if h.now.hurts and h.now.verdict == "fails"]
    assert "where 1.5 is required" in mending_text(jump)


def test_that_two_together_were_tried_and_how_the_best_came_out_is_told(jump):
    assert jump.paired and jump.best_pair is not None
    best = jump.best_pair
    assert len(best.steps) == 2 and best.share > jump.finding.margin / jump.finding.required
    text = " ".join(mending_text(jump).split())
    assert f"Two together were tried as well, {jump.paired} times. The best of them" in text
    assert all(step_words(step).casefold() in text.casefold() for step in best.steps)


def test_what_comes_nearest_without_harm_is_told(light):
    """What is told of it is what `check` says of it."""
    found = asked(light, "shafts.wind.seats.loop sprocket.key", "flank pressure")
    near = [c for c in (found.nearest, found.in_the_way) if c is not None]
    for change in near:
        now = finding_of(checked(applied(light, change)), found.finding.part, found.finding.mode)
        assert now.margin == pytest.approx(change.found.margin)
    for change in [*found.changes, *([found.nearest] if found.nearest else [])]:
        assert harmed_by(light, applied(light, change), found.finding) == set()


def test_what_holds_with_nothing_to_spare_is_told_with_a_value_that_has_some(light, slope):
    part = "shafts.lens far.seats.right bearing.at"
    spare, least = slope.spare[part], next(c for c in slope.values if c.what == part)
    assert least.share < 1.1 <= spare.share
    after = checked(apply(light, spare.option))
    now = next(f for f in after.findings if (f.part, f.mode) == (slope.finding.part, slope.finding.mode))
    assert now.margin == pytest.approx(spare.found.margin)
    assert f"With something to spare: {spare.steps[0].then} holds with" in " ".join(mending_text(slope).split())


def test_what_leaves_it_unknown_is_told_apart():
    text = (LIGHT / "machine.yaml").read_text(encoding="utf-8")
    opened = ("options:\n  key left open:\n    set: {shafts.crank.seats.winding sprocket.key: open}\n"
              "  bearing left open:\n    set: {shafts.wind.seats.right bearing.bearing: open}\n")
    machine = named_option(read_text(text.replace("options:\n", opened, 1)), "as first drawn")
    part = "shafts.wind.seats.right bearing.bearing"
    found = asked(machine, part, "static load")
    assert [c.what for c in found.opens] == ["option bearing left open"]
    assert worst(named_option(machine, "bearing left open"))[part, "static load"] == "unknown"
    assert "With these it no longer fails, but is not known either" in mending_text(found)
    part = "shafts.crank.seats.winding sprocket.key"  # its shear holds, and people rely on it: that must not be lost
    found = asked(machine, part, "flank pressure")
    assert found.opens == []
    harm = next(c for c in found.refused if c.what == "option key left open").harms[0]
    assert (harm.now.part, harm.now.mode) == (part, "key shear")
    assert (harm.was.verdict, harm.now.verdict) == ("holds", "unknown")


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
    finding = finding_of(checked(light), "stages.lens mitre", "slope")
    moved = {way.path for way in ways(checked(light), finding)}
    assert "stages.lens mitre.face" in moved
    hoist = checked(read(ROOT / "examples" / "sack-hoist"))
    moved |= {way.path for way in ways(hoist, finding_of(hoist, "drives.sack", "drum width"))}
    assert "drives.sack.drum width" in moved
    for word in ("drop", "dead wraps", "efficiency", "reliability", "wind up", "runout", "break away", "drag"):
        assert not [path for path in moved if path.rpartition(".")[2].startswith(word)]


def test_stopping_keeps_what_is_found(light):
    finding = finding_of(checked(light), "stages.lens mitre", "slope")

    def told(done, _whole):
        if done >= 20:
            raise KeyboardInterrupt

    found = mending(light, finding, told)
    assert found.stopped
    assert 0 < found.tried < 100


def test_nothing_to_mend_and_an_unknown_mode_are_said_in_a_sentence(light):
    verdict = checked(light)
    with pytest.raises(BadInput, match="has no finding named 'no such'"):
        finding_of(verdict, "stages.lens mitre", "no such")
    holding = next(p for p in {f.part for f in verdict.findings} if all(f.verdict == "holds" for f in verdict.of(p)))
    with pytest.raises(BadInput, match="nothing to mend"):
        finding_of(verdict, holding)
