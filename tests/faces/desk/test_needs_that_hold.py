"""What is offered for a need is counted and ordered by whether it holds. Lists here are invented.

DIN 6885-1: keys for a shaft of 22 to 30 mm are 8 x 7, made from 18 to 90 mm; ISO 606: 08B has a breaking load of 17.8 kN
in one strand, 08A of 13.9 kN (values from memory).
"""

import datetime
import re
from html import unescape
from pathlib import Path

import pytest

from faces.pages_help import rated
from layshaft.faces.pages.asked import asked_for, offered, state_of, tallied
from layshaft.faces.pages.holding import holds, tally
from layshaft.listings.offers import Offer, standard_offers
from layshaft.verdict.needs import _nearness
from layshaft.verdict.search import Answer, Tried
from layshaft.verdict.too_weak import too_weak

EXAMPLES = Path(__file__).parents[3] / "examples"
KEY = "shafts.wind.seats.ratchet.key"
WEIGHT = "drives.weight"


def asked_of(path, folder, most=60, **words):
    verdict = rated("harbour-light")
    need = next(n for n in too_weak(verdict) if n.path == path)
    [found] = asked_for(verdict.solved.machine, need)
    found.edited(words)
    offered(found, folder, most, datetime.date(2026, 11, 27))
    return need, found


def test_where_no_size_holds_the_words_ask_for_no_less_than_there_is(tmp_path):
    need, found = asked_of(WEIGHT, tmp_path)
    assert need.smallest is None and need.nearest is not None and "08B-1" in need.size
    assert {w.key: w.text for w in found.words}["breaking load"] == "17.8 kN"
    assert found.holding == 0 and found.failing >= 1
    assert tallied(found) == f"{found.count} are of that kind, none holds"  # of two and three strands neither
    assert {"08B-1", "08B-2", "08B-3"} <= {o.name for o in found.offers}
    assert {state_of(found, o) for o in found.offers} == {"does not hold"}


def test_keys_that_hold_come_before_shorter_ones_that_do_not(tmp_path):
    need, found = asked_of(KEY, tmp_path, length="18 mm")
    names, states = [o.name for o in found.offers], [state_of(found, o) for o in found.offers]
    assert need.smallest.candidate.name == "8x7x40" and names[0] == "8x7x40"
    assert states == sorted(states, key=["holds", "not tried", "does not hold"].index)
    assert {"8x7x25", "8x7x18"} <= {n for n, s in zip(names, states, strict=True) if s == "does not hold"}
    assert found.holding == states.count("holds") and tallied(found) == (
        f"{found.count} are of that kind, {found.holding} hold")
    few = asked_of(KEY, tmp_path, most=3, length="18 mm")[1]
    assert [o.name for o in few.offers] == names[:3] and tallied(few) == tallied(found)


def test_nothing_is_said_to_hold_plainly_where_a_way_to_fail_could_not_be_judged(tmp_path):
    need, found = asked_of("stages.winding chain", tmp_path)
    states = {state_of(found, o) for o in found.offers}
    assert need.unjudged and found.holding
    assert "holds, as far as it can be judged" in states and "holds" not in states
    assert tallied(found) == f"{found.count} offers fit and hold, as far as it can be judged"
    assert not asked_of(KEY, tmp_path)[0].unjudged


@pytest.mark.parametrize("place", sorted(p.parent.name for p in EXAMPLES.glob("*/machine.yaml")))
def test_of_every_example_what_is_too_weak_is_told_where_its_size_decides(place):
    verdict = rated(place)
    for need in too_weak(verdict):
        for f in need.short:
            shares = [a.share for t in need.tried for a in t.answers if a.mode == f.mode]
            assert len(shares) <= 1 or max(shares) >= 1 or len({round(s, 9) for s in shares}) > 1, (need.path, f.mode)


@pytest.mark.parametrize(("count", "holding", "failing", "hopeless", "said"), [
    (7, 0, 7, True, "7 are of that kind, none holds"),
    (7, 0, 3, True, "7 are of that kind, none is known to hold"),
    (7, 2, 5, False, "7 are of that kind, 2 hold"),
    (7, 1, 2, False, "7 are of that kind, 1 holds, 4 not tried"),
    (1, 0, 1, True, "1 is of that kind, and it does not hold"),
    (1, 1, 0, False, "1 offer fits and holds"),
    (3, 3, 0, False, "3 offers fit and hold"),
    (4, 0, 0, False, "4 offers fit"),
    (4, 0, 0, True, "4 offers fit these words, but no size that was tried holds"),
    (0, 0, 0, True, "0 offers fit"),
])
def test_how_many_hold_in_words(count, holding, failing, hopeless, said):
    assert tally(count, holding, failing, hopeless=hopeless) == said


def test_a_lists_part_is_judged_as_its_standard_only_with_the_figures_of_its_standard():
    size = next(o for o in standard_offers("roller chain") if o.name == "08B-1")
    same = Offer("roller chain", "MC-1", "Made-up Chain", dict(size.values), "08B-1")
    strong = Offer("roller chain", "MC-2", "Made-up Chain", dict(size.values) | {"breaking load": 22e3}, "08B-1")
    silent = Offer("roller chain", "MC-3", "Made-up Chain", {}, "08B-1")
    other = Offer("roller chain", "MC-4", "Made-up Chain", {}, "")
    held = {"08B-1": False}
    assert [holds(held, o) for o in (size, same, strong, silent, other)] == [False, False, None, False, None]


def test_of_sizes_short_by_the_same_mode_the_nearest_does_best_in_the_others():
    def of(*shares):
        return Tried(None, False, [Answer(f"mode {i}", "", "", s, 1.0) for i, s in enumerate(shares)])
    weak, strong = of(0.41, 0.4060001), of(0.9, 0.406)
    assert max([weak, strong], key=_nearness) is max([strong, weak], key=_nearness)
    assert max([of(0.41, 0.406), strong], key=_nearness) is strong


def test_no_button_takes_what_does_not_hold_without_saying_so(desk):
    with desk.caller() as caller:
        page = unescape(caller.get("/needs", params={"part": KEY, "length": "18 mm"}).text)
    rows = [r for r in re.findall(r"<tr>.*?</tr>", page, re.DOTALL) if 'name="wanted"' in r]
    weak = [r for r in rows if "does not hold</span>" in r]
    assert weak and all(">Take it all the same<" in r and "which does not hold" in r for r in weak)
    assert all(">Take<" in r for r in rows if r not in weak) and len(rows) > len(weak)
    assert "are of that kind, none holds" in page and "No other shipped size holds" in page
