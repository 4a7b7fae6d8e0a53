"""The printed report: complete, well formed, self-contained, escaped, quick and small."""

import re
import xml.etree.ElementTree as ET
from html import escape

import pytest

from faces.pages_help import EXAMPLES, ROOT, parsed, rated
from layshaft.faces.pages.keys import text_in_words
from layshaft.faces.pages.opening import doubtful
from layshaft.faces.pages.sheets import bound_sheets
from layshaft.faces.pages.words import name_words, part_words
from layshaft.faces.report import CHAPTERS, report_html, write_report
from layshaft.machine import read
from layshaft.machine.sampling import sample
from layshaft.train.solve import solve
from layshaft.verdict.cautions import cautions
from layshaft.verdict.guesses import guesses
from layshaft.verdict.jam import stops
from layshaft.verdict.next_step import next_step
from layshaft.verdict.rate import rate
from layshaft.verdict.remarks import by_text

PLAIN = re.compile(r"<svg class=\"drawing.*?</svg>", re.DOTALL)


@pytest.fixture(scope="module", params=EXAMPLES)
def name(request):
    return request.param


@pytest.fixture(scope="module")
def html(name):
    return report_html(rated(name))


def test_chapters_stand_in_order_and_the_contents_lead_to_them(html):
    reader = parsed(html)
    ids = [a["id"] for _, a in reader.tags if "id" in a]
    assert len(ids) == len(set(ids))
    assert [i for i in ids if i in dict(CHAPTERS)] == [c for c, _ in CHAPTERS]
    targets = [a["href"] for tag, a in reader.tags if tag == "a"]
    assert [t for t in targets if t[1:] not in ids] == []


def test_every_finding_is_in_the_verdict_with_its_numbers(name, html):
    chapter = html.split('id="verdict"')[1].split('id="energy"')[0]
    for f in rated(name).findings:
        assert escape(name_words(f)) in chapter, f
        assert escape(f.mode) in chapter, f
        if f.verdict != "unknown":
            assert all(escape(t) in chapter for t in (f.demand_text, f.rating_text, f.margin_text)), f
        elif f.reason:
            assert escape(text_in_words(f.reason, rated(name).solved.machine))[1:] in chapter, f
        if f.hurts and f.verdict != "holds":
            assert escape(f.hurts) in chapter, f


def test_what_a_sudden_stop_breaks_and_all_remarks_stand_beside_the_verdict(name, html):
    chapter = html.split('id="verdict"')[1].split('id="energy"')[0]
    for jam in stops(rated(name)):
        if jam.goes:
            rows = [r for r in chapter.split("<tr>") if f'<th scope="row">{escape(jam.shaft)}</th>' in r]
            assert any(escape(name_words(jam.first_to_go)) in r and jam.first_to_go.margin_text in r for r in rows), jam
    for text in by_text(rated(name)):
        assert escape(text) in chapter


def test_findings_stand_worst_first(html):
    chapter = html.split('id="verdict"')[1].split('id="energy"')[0]
    order = re.findall(r'<section class="verdict verdict-(\w+)"', chapter)
    assert order == [w for w in ("fails", "unknown", "thin", "holds") if w in order]


def test_every_rated_finding_has_a_sheet_with_path_and_fingerprint(name, html):
    bound = bound_sheets(rated(name))
    carried = {(s.finding.part, s.finding.place, s.finding.mode) for b in bound for s in b.sheets}
    wanted = {(f.part, f.place, f.mode) for f in rated(name).findings if f.fingerprint}
    assert wanted <= carried
    for b in bound:
        page = html.split(f'<article class="leaf" id="{b.id}">')[1].split("</article>")[0]
        assert escape(b.sheets[0].came_from) in page
        assert b.sheets[0].fingerprint in page
        assert "<math" in page
        assert all(escape(s.finding.mode) in page for s in b.sheets)


def test_next_step_guesses_givens_and_cautions_are_said(name, html):
    verdict = rated(name)
    assert escape(next_step(verdict, part_words)) in html
    assert all(escape(c.text) in html for c in cautions(verdict))
    doubtful = html.split('id="doubtful"')[1].split('id="machine"')[0]
    for g in guesses(verdict):
        assert escape(g.why if g.path in verdict.solved.machine.givens else g.value) in doubtful, g
    listed = html.split('id="givens"')[1].split('id="cautions"')[0]
    known = [g for g in verdict.solved.machine.givens.values() if g.known]
    assert listed.count("<tr") > len(known)
    assert listed.count('class="guess"') == sum(g.is_guess for g in known)


def test_nothing_comes_from_outside_and_nothing_runs(html):
    reader = parsed(html)
    tags = {tag for tag, _ in reader.tags}
    assert tags.isdisjoint({"script", "link", "img", "iframe", "object", "embed", "form", "use", "foreignobject"})
    names = {name for _, attributes in reader.tags for name in attributes}
    assert not [n for n in names if n.startswith("on") or n in ("src", "srcset", "style", "xlink:href")]
    style = html.split("<style>")[1].split("</style>")[0]
    assert "@import" not in style
    assert re.findall(r"url\((?!#)", style) == []
    links = set(re.findall(r'https?://[^"<\s]+', html))
    assert links <= {"http://www.w3.org/2000/svg"}  # the name of the language, never fetched
    assert "default-src 'none'" in html


def test_every_drawing_is_xml_with_title_and_description(html):
    drawings = PLAIN.findall(html)
    assert len(drawings) >= 4
    for svg in drawings:
        root = ET.fromstring(svg)
        space = "{http://www.w3.org/2000/svg}"
        assert root.get("role") == "img"
        ids = root.get("aria-labelledby").split()
        assert [root.find(f"{space}{t}").get("id") for t in ("title", "desc")] == ids
        assert len(root.find(f"{space}desc").text) > 10
        assert "nan" not in svg.lower().replace("nan" + "o", "")


HOSTILE = """layshaft: 1
name: "<script>alert(1)</script> \\" & '\\\\2f </style>"
about: "</p><img src=x onerror=alert(2)>"
gravity: 9.81 m/s2
modules: {frame: {mass: {value: 46 kg, source: assumed, note: "<b onclick=x>bold</b>"}}}
shafts:
  main:
    module: frame
    axis: x
    at: [0 mm, 0 mm, 420 mm]
    material: C45+N
    sections: [[25 mm, 260 mm]]
    note: "]]></svg>"
    seats:
      left: {at: 40 mm, bearing: "6205", drag: {value: 0.03 N m, source: assumed, note: "</table><script>"}}
      right: {at: 220 mm, bearing: "6205", drag: 0.03 N m}
      hub: {at: 130 mm}
      stone: {at: 160 mm}
drives: {hand: {kind: crank, shaft: main, seat: hub, radius: 300 mm, people: 1, speed: 30 rpm, bout: 2 min}}
loads: {stone: {kind: steady, shaft: main, seat: stone, torque: 2 N m}}
"""


def test_hostile_texts_are_text(tmp_path):
    (tmp_path / "machine.yaml").write_text(HOSTILE, encoding="utf-8")
    html = report_html(rate(solve(read(tmp_path))))
    reader = parsed(html)
    assert {tag for tag, _ in reader.tags}.isdisjoint({"script", "img", "b onclick"})
    assert not [a for _, a in reader.tags if any(k.startswith("on") for k in a)]
    words = "".join(reader.words)
    for said in ("<script>alert(1)</script>", "</p><img src=x onerror=alert(2)>", "<b onclick=x>bold</b>",
                 "</table><script>"):
        assert said in words
    assert html.count("<style>") == html.count("</style>") == 1


def test_a_machine_that_is_mostly_open_still_prints(tmp_path):
    text = (ROOT / "examples" / "harbour-light" / "machine.yaml").read_text(encoding="utf-8")
    text = text.replace("chain: 08B-1", "chain: open").replace("at: [0 mm, 0 mm, 2000 mm]", "note: nowhere yet")
    text = text.replace("sections: [[20 mm, 600 mm]]", "sections: open")
    (tmp_path / "machine.yaml").write_text(text, encoding="utf-8")
    html = report_html(rate(solve(read(tmp_path))))
    parsed(html)
    assert "its place is not known yet" in html
    assert "not chosen" in html
    assert re.findall(r"\bnan\b", html.split('id="sheets"')[0]) == []


def test_a_sampled_machine_prints_its_shares():
    html = report_html(rate(solve(sample(read(ROOT / "examples" / "cider-mill"), 50, 1))))
    parsed(html)
    assert "Of the draws" in html


def test_the_report_is_small(name, html):
    assert len(html.encode()) < 4_000_000


def test_the_same_machine_prints_the_same_report(name, html):
    assert report_html(rate(solve(read(ROOT / "examples" / name)))) == html


def test_sheets_of_what_holds_can_be_left_out():
    verdict = rated("harbour-light")
    short = report_html(verdict, every_sheet=False)
    parsed(short)
    assert len(short) < len(report_html(verdict)) / 2
    assert "left out of this print" in short


def test_writing_leaves_the_old_file_or_the_new_one(tmp_path, monkeypatch):
    target = tmp_path / "report.html"
    target.write_text("old", encoding="utf-8")
    monkeypatch.setattr("layshaft.project.files.os.replace", lambda *_: (_ for _ in ()).throw(OSError("disk full")))
    with pytest.raises(OSError, match="disk full"):
        write_report(rated("cider-mill"), target)
    assert [p.name for p in tmp_path.iterdir()] == ["report.html"]
    assert target.read_text(encoding="utf-8") == "old"
    monkeypatch.undo()
    assert write_report(rated("cider-mill"), target) == target
    assert target.read_text(encoding="utf-8").startswith("<!doctype html>")


def test_a_spread_is_told_in_the_unit_of_its_value():
    """Harbour Light writes 1 mrad between 0.3 and 3, and 3 g between 2 and 5; not in degrees and m/s2 beside them."""
    html = doubtful(rate(solve(read(ROOT / "examples" / "harbour-light"))))
    assert ">1 mrad, 0.3 to 3 mrad<" in html and ">3 g, 2 to 5 g<" in html
