"""What a change makes worse, told alike by every face. The outside is `check`: both machines are rated anew here.

ISO 606: 08B-1 breaks at 17.8 kN at least, 08A-1 at 13.9 kN (values from memory), so the strength goes as 13.9 to 17.8.
"""

from dataclasses import replace
from pathlib import Path

import pytest

from layshaft.faces.comparing import sentences
from layshaft.faces.mending_told import harm_words
from layshaft.machine import apply, read
from layshaft.study.compare import AS_IT_STANDS, beside
from layshaft.study.elsewhere import elsewhere, plainly
from layshaft.study.harms import by_key, moved
from layshaft.study.places import glances

LIGHT = read(Path(__file__).parents[2] / "examples" / "harbour-light")
WEAKER = {"set": {"drives.weight.chain": "08A-1"}}
ARRESTED = "drives.weight", "arrested strength of the suspension"


@pytest.fixture(scope="module")
def figures():
    return by_key(plainly(LIGHT).findings), by_key(plainly(apply(LIGHT, WEAKER)).findings)


@pytest.fixture(scope="module")
def found():
    return elsewhere(LIGHT, plainly(LIGHT), WEAKER, "drives.weight.winding wheel")


def test_what_fails_over_people_and_gets_worse_is_told(figures, found):
    was, now = (table[ARRESTED] for table in figures)
    assert was.verdict == now.verdict == "fails"
    assert now.rating / was.rating == pytest.approx(13.9 / 17.8) and now.margin < was.margin
    assert found.people and found.harms[0].people
    harm = next(h for h in found.harms if (h.now.part, h.now.mode) == ARRESTED)
    assert (harm.was.margin, harm.now.margin) == (pytest.approx(was.margin), pytest.approx(now.margin))
    assert [h.people for h in found.harms] == sorted((h.people for h in found.harms), reverse=True)


def test_the_change_itself_is_not_spared_where_it_fails(found):
    """Told of the part that the size is for, and of any other, alike."""
    own = elsewhere(LIGHT, plainly(LIGHT), WEAKER, "drives.weight")
    assert [(h.now.part, h.now.mode) for h in own.harms] == [(h.now.part, h.now.mode) for h in found.harms]


def test_side_by_side_says_it_too(figures):
    was, now = (table[ARRESTED] for table in figures)
    said = "; ".join(sentences(beside([AS_IT_STANDS, "weaker"], [LIGHT, apply(LIGHT, WEAKER)]), 1))
    assert f"arrested strength of the suspension {was.margin_text} to {now.margin_text} of 10" in said
    assert "worse (" in said and "where people can be hurt" in said


@pytest.mark.parametrize(("share", "then", "harm"), [(0.5, 0.5, False), (0.5, 0.4, True), (-0.5, -0.5, False),
                                                     (-0.5, -0.6, True), (-0.5, -0.4, False), (0.0, 0.0, False)])
def test_what_stays_as_it_was_is_no_harm_and_less_is(figures, share, then, harm):
    """Also where nothing is left of a rating and its margin is below nothing."""
    f = figures[0][ARRESTED]
    before, after = (replace(f, margin=x * f.required) for x in (share, then))
    assert bool(moved(dict(glances([before])), dict(glances([after]))).harms) is harm


def test_every_way_to_get_worse_has_its_words(figures):
    f = figures[0][ARRESTED]
    holds, lost = replace(f, verdict="holds", margin=12.0), replace(f, verdict="unknown", margin=float("nan"))

    def said(was, now):
        [harm] = moved(dict(glances([was] if was else [])), dict(glances([now]))).harms
        return harm_words(harm)

    assert "begins to fail, from >10 to" in said(holds, f) and "begins to fail, with" in said(None, f)
    assert "was not known and fails, with" in said(lost, f)
    assert "is not known any more, >10 before" in said(holds, lost)
    assert "is not known where" in said(None, lost)
    other = replace(f, required=20.0)
    assert f"fails already and falls from {f.margin_text} of 10 to {f.margin_text} where 20 is required" in said(f, other)
