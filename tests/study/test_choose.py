"""Choices against brute force with the reader and `check`; what is returned never fails, what is better is not lost."""

from pathlib import Path

import numpy as np
import pytest
from hypothesis import HealthCheck, assume, given, settings

import layshaft
from layshaft.elements.roller_chain import series
from layshaft.listings.tables import table
from layshaft.machine.reader import read_text
from layshaft.study.choosing.asked import space_of
from layshaft.study.choosing.choose import choose
from layshaft.study.choosing.fronts import rounded
from layshaft.study.choosing.space import Wish, series_only
from layshaft.study.choosing.wishes import weights_of
from layshaft.trace.errors import BadInput
from layshaft.train.stages import centre_distance
from layshaft.verdict.coverage import WHOLE
from layshaft.verdict.search import as_option
from study.brute import check, trade_offs, worth
from study.small_machines import few, questions, text

EXAMPLES = Path(__file__).parents[2] / "examples"
LIGHT = layshaft.read(EXAMPLES / "harbour-light")
SLOW = settings(max_examples=20, deadline=None, derandomize=True, suppress_health_check=list(HealthCheck))
WISHES = weights_of("mass,width,across,one part number")


def own(space, verdict):
    return [f for f in verdict.findings if f.mode not in WHOLE
            and any(part.judges(f.part) for part in space.parts.values())]


@SLOW
@given(questions())
def test_nothing_returned_fails_in_check(question):
    source, parts = question
    machine = read_text(source)
    found = choose(machine, parts, Wish(prefer=WISHES), few)
    before = {(f.part, f.mode): f.verdict for f in layshaft.rate(layshaft.solve(machine)).findings[::-1]}
    for c in found.candidates:
        verdict = check(machine, c.option)
        assert verdict is not None
        assert not [f for f in own(found.space, verdict) if f.verdict in ("fails", "thin")]
        for f in verdict.findings:  # and no other part that held is lost
            assert not (f.verdict == "fails" and before.get((f.part, f.mode)) == "holds")


@SLOW
@given(questions())
def test_trade_offs_are_those_of_brute_force(question):
    source, parts = question
    machine = read_text(source)
    space = space_of(machine, parts, Wish(prefer=WISHES), few)
    assume(space.grid.size <= 300)
    found = choose(machine, parts, Wish(prefer=WISHES), few)
    best = trade_offs(machine, space, parts, fits)
    assert best == worth(space, [c.row for c in found.candidates])


def fits(machine, parts):
    """What `check` does not judge and a choice must still meet, worked out on the machine itself."""
    room = machine.modules["frame"].size[1].nominal
    stage = machine.stages["link"]
    bars = [machine.shafts[name].sections[0][0].nominal for name in "ab"]
    if "stages.link" in parts or "shafts.b" in parts or "shafts.a" in parts:
        teeth = [t.nominal for t in stage.teeth]
        if hasattr(stage, "chain"):
            size = series(stage.chain.name)
            d = [size.pitch / np.sin(np.pi / z) for z in teeth]
            tips, roots = [w + size.roller_diameter for w in d], [w - size.roller_diameter for w in d]
            apart, wanted = centre_distance(machine, stage), stage.centres.nominal
            if sum(d) / 2 + size.roller_diameter > wanted or abs(apart / wanted - 1) > 0.05:
                return False
        else:
            m = stage.normal_module.nominal
            tips, roots = [m * (z + 2) for z in teeth], [m * (z - 2.5) for z in teeth]
        if "stages.link" in parts and max(tips) > room:
            return False
        if "stages.link" in parts and any(root < bar for root, bar in zip(roots, bars, strict=True)):
            return False
    for path in parts:
        words = path.split(".")
        if words[-1] == "bearing":
            name = machine.shafts[words[1]].seats[words[3]].bearing.name
            if table("bearings_deep_groove")[name].number("outside_mm", 1e-3) > room:
                return False
        if words[-1] == "key":
            name = machine.shafts[words[1]].seats[words[3]].key_size.name
            row = table("keys_metric")[name.rpartition("x")[0]]
            if not row.number("shaft_over_mm", 1e-3) < bars["ab".index(words[1])] <= row.number("shaft_to_mm", 1e-3):
                return False
    return True


def test_a_weak_chain_is_refused_with_the_words_of_what_it_lacks():
    machine = read_text(text(200, 40, 30, [17, 38], "about 400 mm", "6006"))
    found = choose(machine, ["stages.link"], Wish(), few)
    assert any("static strength" in k.words for k in found.killed) or found.refused


def test_what_is_unknown_is_named_and_never_counts_as_nothing():
    found = choose(LIGHT, ["shafts.main.seats.left bearing.bearing"], Wish(prefer=weights_of("mass,price,width")),
                   series_only)
    told = {w.kind.name: w for w in found.weighed}
    assert not told["mass"].counts and "mass" in told["mass"].left_out
    assert not told["price"].counts and told["width"].counts
    assert np.isnan(told["price"].values).all()


def test_the_next_size_down_really_breaks_what_is_said():
    found = choose(LIGHT, ["stages.lens chain"], Wish(), series_only)
    told = [(c, s) for c in found.candidates for s in c.smaller if s.breaks]
    assert told
    for c, s in told:
        row = c.row | {s.axis: list(found.space.axis(s.axis).options).index(s.option)}
        verdict = check(LIGHT, as_option(LIGHT, found.space.sets_of(row)))
        for part, answer in s.breaks:
            worst = next(f for f in verdict.findings if f.part == part and f.mode == answer.mode)
            assert worst.verdict != "holds" and worst.margin == pytest.approx(answer.margin)


def test_nothing_that_holds_tells_the_nearest_miss():
    machine = read_text(text(200, 1400, 17, [25, 25], "about 400 mm", "6003"))
    found = choose(machine, ["shafts.b.seats.wheel.key"], Wish(), few)
    assert not found.candidates and sum(r.count for r in found.refused) == found.fitting
    nearest = max((r.nearest for r in found.refused if r.nearest), key=lambda a: a.share)
    assert 0 < nearest.share < 1


@pytest.mark.parametrize(("parts", "wish", "words"), [
    (["loads.fan"], Wish(), "No sizes of 'loads.fan'"),
    (["springs.none"], Wish(), "no part that can be chosen"),
    (["shafts.main.seats.loop sprocket.hub"], Wish(), "no part that can be chosen"),
    (["stages.lens chan"], Wish(), "no part that can be chosen"),
    (["shafts.main"], Wish(), "has 3 steps"),
    (["shafts.main.sections[7]"], Wish(), "there is no step 7"),
    (["shafts.fan"], Wish(ratio=2.0), "belongs to stages with teeth"),
    (["stages.lens chain", "stages.fan gears 1", "stages.winding chain"], Wish(ratio=2.0), "do not lie in a row"),
])
def test_what_cannot_be_chosen_is_said_in_a_sentence(parts, wish, words):
    with pytest.raises(BadInput, match=words):
        choose(LIGHT, parts, wish, series_only)


@pytest.mark.parametrize("text_", ["beauty", "mass=0", "price=-1", "mass=much", "mass=nan"])
def test_a_wish_that_is_none_is_refused(text_):
    with pytest.raises(BadInput):
        weights_of(text_)


def test_rounding_keeps_nine_digits():
    assert (rounded(np.array([[1.0], [1.0 + 1e-6]]))[0] != rounded(np.array([[1.0], [1.0 + 1e-6]]))[1]).all()


def test_two_stages_in_a_row_give_one_ratio_and_what_that_harms_is_said():
    """Other fan gears let the demo's lens turn at another speed: every answer is refused for what is wanted of it."""
    wish = Wish(ratio=0.025, within=0.0005, prefer=weights_of("ratio,mass"))
    found = choose(LIGHT, ["stages.fan gears 1", "stages.fan gears 2"], wish, series_only)
    table = found.space.grid.axes
    assert [len(axis) for axis in table].count(5) == 2 and not found.candidates
    assert found.fitting and {r.words for r in found.refused} == {"wants.lens speed: mean speed of spindle, error"}
    for r in found.refused:
        z = [float(r.sizes[f"stages.fan gears {n}.teeth[{i}]"]) for n in (1, 2) for i in (0, 1)]
        assert z[1] / z[0] * z[3] / z[2] == pytest.approx(0.025, rel=0.0005)


def test_a_shaft_that_waits_for_others_says_so_and_nothing_is_claimed():
    machine = layshaft.read(EXAMPLES / "published" / "motor-chain-drive")
    parts = ["shafts.driven", "shafts.driven.seats.left bearing.bearing", "shafts.driven.seats.right bearing.bearing"]
    found = choose(machine, parts, Wish(), series_only)
    assert found.candidates
    assert all(c.unknown["shafts.driven"] for c in found.candidates)
    assert any("plain bar" in note for note in found.space.notes)


def test_small_wheels_are_those_asked_for():
    """Two stages in a row: 15 to 18 teeth on both small wheels, and nothing else about the question changes."""
    parts, wish = ["stages.fan gears 1", "stages.fan gears 2"], Wish(ratio=0.025, within=0.0005, small=(15, 18))
    axes = {a.name: list(a.options) for a in space_of(LIGHT, parts, wish, series_only).grid.axes}
    assert [axes[f"{p}.teeth[1]"] for p in parts] == [["15", "16", "17", "18"]] * 2
