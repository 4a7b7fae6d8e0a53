"""Every place of a part held against itself. The outside is `check` with all its places and cases, gone through by hand,
and the beam of any textbook: the stress of a bent or twisted bar goes as one over its diameter cubed.
"""

import itertools
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest

from layshaft.faces.mending_told import harm_words
from layshaft.machine import apply, read
from layshaft.study.elsewhere import elsewhere, plainly
from layshaft.study.harms import by_key, moved, told_once
from layshaft.study.places import glances, partners, table_of

LIGHT = read(Path(__file__).parents[2] / "examples" / "harbour-light")
WIND = "shafts.wind"
SEVERITY = {"holds": 0, "thin": 1, "unknown": 2, "fails": 3}


def necked(first, second):
    """The winding shaft with a neck beside each bearing."""
    rows = [("25 mm", "40 mm"), (first, "15 mm"), ("30 mm", "270 mm"), (second, "15 mm"), ("25 mm", "40 mm")]
    return apply(LIGHT, {"set": {f"{WIND}.sections": [list(row) for row in rows]}})


@pytest.fixture(scope="module")
def verdicts():
    """One neck is too thin in both; the other is thick enough in the first alone."""
    return plainly(necked("13 mm", "18 mm")), plainly(necked("13 mm", "16 mm"))


def places(verdict):
    """The worst case of every place, through all of them one by one."""
    found = {}
    for f in verdict.every():
        key = f.part, f.place, f.mode
        known = found.get(key)
        if known is None or (SEVERITY[f.verdict], -f.margin) > (SEVERITY[known.verdict], -known.margin):
            found[key] = f
    return found


def test_a_second_place_that_gets_dangerous_is_told_where_the_worst_stays(verdicts):
    was, now = (by_key(v.findings)[WIND, "fatigue"] for v in verdicts)
    assert was.place == now.place == "shoulder 1" and was.verdict == now.verdict == "fails"
    assert now.margin == pytest.approx(was.margin, rel=1e-3)
    harms = {(h.now.part, h.now.place, h.now.mode): h for h in moved(*map(table_of, verdicts)).harms}
    harm = harms[WIND, "shoulder 3", "fatigue"]
    assert harm.people and harm.was.verdict == "holds" and harm.now.verdict == "fails"
    assert harm.was.margin > harm.was.required > harm.now.margin > now.margin
    thinner = harms[WIND, "step at 332 mm", "yield"]
    assert thinner.now.margin / thinner.was.margin == pytest.approx((16 / 18) ** 3, rel=0.01)
    change = {"set": {f"{WIND}.sections[3][0]": "16 mm"}}
    found = elsewhere(necked("13 mm", "18 mm"), verdicts[0], change, "shafts.crank")
    [told] = [h for h in found.harms if (h.now.part, h.now.mode) == (WIND, "fatigue")]
    assert found.people and told.people
    assert "shaft wind, fatigue at shoulder 3 begins to fail, from 2.6" in harm_words(told)


def test_every_place_is_held_against_itself_and_no_harm_is_missed(verdicts):
    before, after = map(places, verdicts)
    assert [p for p in after if p not in before] == []
    harmed = set()
    for key, f in after.items():
        was, much = before[key], 0.001 if f.hurts else 0.01
        begins = f.verdict == "fails" and was.verdict != "fails"
        lost = f.verdict == "unknown" and was.verdict != "unknown"
        less = f.margin / f.required < was.margin / was.required * (1 - much)
        if begins or lost or (was.verdict in ("fails", "thin") and f.verdict != "holds" and less):
            harmed.add(key)
    assert len(harmed) > 3
    assert {(h.now.part, h.now.place, h.now.mode) for h in moved(*map(table_of, verdicts)).harms} == harmed


def test_the_table_has_what_check_has_of_every_place(verdicts):
    table, by_hand = table_of(verdicts[0]), places(verdicts[0])
    assert table.keys() == by_hand.keys()
    for key, f in by_hand.items():
        told = table[key].told()
        assert told.verdict == f.verdict
        assert told.margin == pytest.approx(f.margin) or np.isnan([told.margin, f.margin]).all()


def test_of_many_places_one_is_told_and_the_rest_are_counted(verdicts):
    harms = moved(*map(table_of, verdicts)).harms
    once = told_once(harms)
    assert len(once) + sum(h.more for h in once) == len(harms)
    [told] = [h for h in once if (h.now.part, h.now.mode) == (WIND, "yield")]
    assert told.more and f"at {told.now.place} and {told.more} more place" in harm_words(told)


# Places that are counted or called by where they are -------------------------------------------------


@pytest.fixture(scope="module")
def one(verdicts):
    return by_key(verdicts[0].findings)[WIND, "fatigue"]


def shaft(one, margins):
    """A shaft whose places have these margins over what is required."""
    words = {True: "holds", False: "fails"}
    return dict(glances([replace(one, place=place, margin=m * one.required, verdict=words[m >= 1])
                         for place, m in margins.items()]))


def test_a_step_that_moved_is_the_same_step(one):
    before = shaft(one, {"step at 190 mm": 0.5, "shoulder 1": 2.0, "step at 300 mm": 3.0})
    after = shaft(one, {"step at 195 mm": 0.6, "shoulder 1": 2.0, "step at 310 mm": 3.0})
    assert {now[1]: was[1] for now, was in partners(before, after).items()} == {
        "step at 195 mm": "step at 190 mm", "shoulder 1": "shoulder 1", "step at 310 mm": "step at 300 mm"}
    assert moved(before, after).harms == ()
    worse = shaft(one, {"step at 195 mm": 0.6, "shoulder 1": 2.0, "step at 310 mm": 0.9})
    assert [h.now.place for h in moved(before, worse).harms] == ["step at 310 mm"]


def test_counted_anew_no_shoulder_is_taken_for_another_one(one):
    """A section cut in before the rest: the shoulder that fails is number 2 now, and that is nobody's harm."""
    before = shaft(one, {"shoulder 1": 0.5, "shoulder 2": 3.0})
    after = shaft(one, {"shoulder 1": 4.0, "shoulder 2": 0.5, "shoulder 3": 3.0})
    assert moved(before, after).harms == ()
    worse = shaft(one, {"shoulder 1": 0.9, "shoulder 2": 0.5, "shoulder 3": 3.0})
    [harm] = moved(before, worse).harms
    assert harm.now.margin == pytest.approx(0.9 * one.required)


def test_a_place_with_a_name_of_its_own_is_no_other(one):
    """What stands on one seat does not make up for what happens at another one."""
    [harm] = moved(shaft(one, {"wheel 1": 0.5}), shaft(one, {"wheel 2": 0.5})).harms
    assert harm.was is None and harm.now.place == "wheel 2"


def test_where_nothing_is_harmed_no_place_counted_from_the_worst_is_worse(one):
    """Whatever the places are called: the worst is no worse than the worst was, the second no worse than the second."""
    rng = np.random.default_rng(5)
    names = ["shoulder 1", "shoulder 2", "groove 1", "step at 20 mm", "step at 40 mm"]
    harmless = 0
    for _ in range(400):
        sides = [{str(n): float(rng.choice([0.3, 0.6, 0.9, 2.0])) for n in rng.permutation(names)[:rng.integers(1, 5)]}
                 for _ in range(2)]
        if moved(*(shaft(one, side) for side in sides)).harms:
            continue
        harmless += 1
        was, now = (sorted(side.values()) for side in sides)
        for w, n in itertools.zip_longest(was, now, fillvalue=2.0):
            assert n >= w or n >= 1
    assert harmless > 40
