"""The picture of demand against rating under doubt, its file, and the chapter of the report."""

import re
from pathlib import Path
from xml.etree import ElementTree

import numpy as np
import pytest
from pytest import approx

import layshaft
from layshaft.faces.pages.doubt_bands import LEFT, MOST, RIGHT, WIDTH, doubt_bands, doubt_svg, shown_odds
from layshaft.faces.pages.doubt_chapter import doubt_chapter
from layshaft.faces.report import report_html
from layshaft.study.doubt import doubt
from machine.samples import SMALL

HARBOUR = Path(__file__).parents[2] / "examples" / "harbour-light"
TRIMMED = {"set": {"loads.fan.trim": {"value": "100 %", "trim": {"to": "lens speed", "between": ["30 %", "120 %"]}}}}
MACHINE = layshaft.apply(layshaft.read(HARBOUR), TRIMMED)
FOUND = doubt(MACHINE, 256)
SVG = "{http://www.w3.org/2000/svg}"


def marks(tree, css):
    return [e for e in tree.iter() if e.get("class") == css]


def test_middle_draw_and_line_stand_where_the_draws_put_them():
    """The axis doubles from rule to rule; the line between two rules that are named 50 % and 200 % is 100 %."""
    tree = ElementTree.fromstring(doubt_svg(FOUND))
    odds = shown_odds(FOUND)
    assert 5 < len(odds) <= MOST
    line = float(marks(tree, "b-line")[0].get("x1"))
    at = {t.text: float(t.get("x")) for t in tree.iter(f"{SVG}text") if t.text and re.fullmatch(r"[\d.]+ %", t.text)}
    assert at["100 %"] == approx(line) and at["200 %"] - line == approx(line - at["50.0 %"], abs=0.02)
    middles = [float(m.get("x1")) for m in marks(tree, "b-middle")][:-1]  # the last one is the legend's
    assert len(middles) == len(odds)
    for x, o in zip(middles, odds, strict=True):
        share = FOUND.outcomes.share[FOUND.outcomes.row((o.finding.part, o.finding.mode))]
        above = np.median(-np.log2(share[share > 0].astype(float)))
        place = line + above * (at["200 %"] - line)
        assert x == approx(min(max(place, LEFT), WIDTH - RIGHT), abs=0.05)


def test_it_is_told_in_words_and_by_shapes_and_no_colour_carries_a_meaning_alone():
    picture = doubt_bands(FOUND)
    words = " ".join(ElementTree.fromstring(picture).itertext())
    for o in shown_odds(FOUND):
        assert f"as it stands: {o.finding.verdict}" in words
    assert picture.count('class="mark mark-') == len(shown_odds(FOUND))
    assert "nan" not in picture and 'role="img"' in picture and "<desc" in picture
    assert not re.search(r"\b(red|green|amber|orange)\b", picture)


def test_nothing_is_drawn_where_nothing_is_doubtful(tmp_path):
    text = re.sub(r" ± 2 kg|, between: \[[^\]]*\]", "", SMALL)
    (tmp_path / "machine.yaml").write_text(text, encoding="utf-8")
    found = doubt(layshaft.read(tmp_path), 64)
    assert doubt_bands(found) == "" and "nothing to draw" in doubt_chapter(found)


@pytest.mark.parametrize("chapter", [True, False])
def test_the_report_has_the_chapter_where_it_is_asked_for(chapter):
    verdict = layshaft.rate(layshaft.solve(MACHINE))
    page = report_html(verdict, every_sheet=False, doubt=FOUND if chapter else None)
    assert ('id="odds"' in page) is chapter and page.count("How likely it holds") == 2 * chapter
    if chapter:
        assert "lens speed is reached in" in page and "Which guess owns the doubt" in page
        assert page.index('id="verdict"') < page.index('id="odds"') < page.index('id="energy"')
