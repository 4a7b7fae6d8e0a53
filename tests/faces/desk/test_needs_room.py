"""The room of needs: what is open, what is too weak, what the lists offer and by when. Lists here are invented."""

import datetime
import re
import shutil
from html import unescape
from urllib.parse import unquote

import pytest

from faces.pages_help import ROOT
from layshaft.faces.desk.rendering import part_link
from layshaft.faces.desk.rooms import needs as room
from layshaft.faces.desk.shown.after_taking import AfterTaking
from layshaft.faces.desk.shown.room_list import entries
from layshaft.faces.pages.words import MEANS
from layshaft.listings.imports.importing import Asked
from layshaft.project import catalogue
from layshaft.study.with_run import rated_with_run
from layshaft.trace.findings import WORST_FIRST
from layshaft.verdict.needs import needs
from layshaft.verdict.next_step import NOT_CHOSEN
from layshaft.verdict.search import Candidate, Tried
from layshaft.verdict.too_weak import too_weak

LISTS = ROOT / "examples" / "harbour-light" / "lists"
BEARING = "shafts.pedal.seats.right bearing.bearing"
KEY = "shafts.drum.seats.mill chain.key"


def opened(folder):
    """The cider mill with a bearing, a key and its chain still to be found, and two invented lists imported."""
    shutil.copytree(ROOT / "examples" / "cider-mill", folder, ignore=shutil.ignore_patterns(".layshaft"))
    place = folder / "machine.yaml"
    text = place.read_text(encoding="utf-8")
    for was, now in (('right bearing: {at: 220 mm, bearing: "6205"', "right bearing: {at: 220 mm, bearing: open"),
                     ("chain: 08B-1", "chain: open"), ("mill chain: {at: 80 mm, key: 8x7x25", "mill chain: {at: 80 mm, key: open")):
        assert was in text
        text = text.replace(was, now, 1)
    place.write_text(text, encoding="utf-8")
    for name, supplier in (("lagerhaus-erfunden.csv", "Lagerhaus Erfunden"), ("made-up-chain.csv", "Made-up Chain")):
        catalogue.import_file(LISTS / name, folder, Asked(supplier=supplier))
    return folder


@pytest.fixture
def mill(serve, tmp_path):
    return serve(opened(tmp_path / "mill"))


def looked(desk, **asked):
    with desk.caller() as caller:
        return re.sub(r"\s+", " ", unescape(re.sub(r"<[^>]+>", " ", caller.get("/needs", params=asked).text)))


def test_imported_lists_are_offered_with_price_and_the_day_they_come(mill):
    comes = datetime.date.today() + datetime.timedelta(weeks=2)
    said = looked(mill)
    assert "LE-6205 Lagerhaus Erfunden, not tried Rillenkugellager 6205-2Z" in said
    assert f"4.60 EUR {comes.day} {comes:%B} {comes.year}" in said
    assert "No supplier's list is here yet of: parallel key" in said


def test_here_by_a_day_tells_what_comes_too_late(mill):
    soon = datetime.date.today() + datetime.timedelta(days=10)
    said = looked(mill, part=BEARING, bore="25 mm", **{"lead time": soon.isoformat()})
    assert "3 offers fit and hold, 0 in time, 3 of which no list says when" in said
    assert "2 come too late: Lagerhaus Erfunden LE-6205 on" in said and "4 days late" in said
    later = looked(mill, part=BEARING, bore="25 mm", **{"lead time": "6 weeks"})
    assert "5 are of that kind, 3 hold, 2 not tried, 2 in time" in later and "too late" not in later.partition("drum")[0]


def test_a_past_day_is_refused_in_a_sentence(mill):
    assert "'1 May 2020' is past: today is" in looked(mill, part=BEARING, bore="25 mm", **{"lead time": "1 May 2020"})


def test_what_to_order_is_told_by_the_day_it_must_be_ordered(mill):
    today = datetime.date.today()
    said = looked(mill, by=(today + datetime.timedelta(days=10)).isoformat())
    lead = catalogue.one("roller chain", "MC-08B1", mill.place.parent)[0].lead_time / 86400
    last = today + datetime.timedelta(days=10 - round(lead))
    assert f"mill chain 08B-1 Made-up Chain MC-08B1 11.80 EUR order by {last.day} {last:%B} {last.year}" in said
    assert "drum, mill chain: key 8x7x18 no supplier yet, take in a list" in said
    soon = (today + datetime.timedelta(days=2)).isoformat()
    assert re.search(r"MC-08B1 11.80 EUR \d days? too late, even if ordered today", looked(mill, by=soon))
    assert "is past: today is" in looked(mill, by="1 May 2020").partition("Find a")[0]
    assert "if ordered today" in looked(mill)


def test_keys_of_the_standard_are_offered_and_taken(mill):
    """DIN 6885-1: a shaft of 22 to 30 mm takes 8 x 7, made from 18 to 90 mm (values from memory)."""
    said = looked(mill)
    assert "Find a parallel key that is wide , is high , is at least long" in said
    with mill.caller() as caller:
        page = caller.get("/needs", params={"part": KEY, "width": "8 mm", "height": "7 mm", "length": "20 mm"}).text
        page = page.partition(f'whose-need"><a href="{part_link(KEY)}')[2].partition("</section>")[0]
        names = re.findall(r'name="wanted" value="(8x7x\d+)"', page)
        assert names[0] == "8x7x20" and names[-1] == "8x7x90"
        caller.post("/needs/take", data={"path": KEY, "wanted": "8x7x20", "back": "/needs"})
    assert mill.draft.state.machine.shafts["drum"].seats["mill chain"].key_size.name == "8x7x20"


def test_what_is_chosen_but_too_weak_is_a_need(desk):
    with desk.caller() as caller:
        page = unescape(caller.get("/needs").text)
        count = int(re.search(r"Every part is chosen, (\d+) are too weak", page)[1])
        assert count == page.count('id="weak-') > 5
        said = re.sub(r"\s+", " ", re.sub(r"<[^>]+>", " ", page))
        assert "It has 8x7x25. Not enough: flank pressure 0.901 of 1.5, key shear 1.73 of 2." in said
        assert "At risk: whoever stands under or beside weight." in said
        path = "shafts.wind.seats.ratchet.key"
        caller.post("/needs/size", data={"path": path, "back": "/needs"})
        after = unescape(caller.get("/needs").text)
    state = desk.draft.state
    assert {f.verdict for f in state.verdict.findings if f.part == path} == {"holds"}
    assert f"chosen, {count - 1} are too weak" in after


def test_a_thicker_bar_that_does_not_fit_is_chosen_with_what_sits_on_it(desk):
    with desk.caller() as caller:
        page = unescape(caller.get("/needs").text)
    there = re.search(r'<b>28 mm bar</b>.*?href="(/options\?[^"]+)"', page, re.DOTALL)
    assert there and "chosen=shafts.crank&" in there[1].replace("%20", " ")


def test_a_size_that_harms_others_says_whom(serve, tmp_path):
    folder = tmp_path / "open"
    shutil.copytree(ROOT / "examples" / "harbour-light", folder, ignore=shutil.ignore_patterns(".layshaft"))
    place = folder / "machine.yaml"
    text = place.read_text(encoding="utf-8")
    place.write_text(re.sub(r"(lens chain:.*?chain: )08B-1", r"\1open", text, count=1, flags=re.DOTALL), encoding="utf-8")
    desk = serve(folder)
    desk.run_no_more()
    said = looked(desk, after="stages.lens chain")
    told = re.search(r"With it (\d+) verdicts? gets? worse", said)
    assert told and "Search for one that harms nothing" in said
    worse = re.findall(r"(?:was not known and fails|begins to fail|already and falls)",
                       said[told.end():].partition("Find a")[0])
    before = {(f.part, f.mode) for f in desk.draft.state.verdict.findings if f.verdict == "fails"}
    with desk.caller() as caller:
        caller.post("/needs/size", data={"path": "stages.lens chain", "back": "/needs"})
    after = {(f.part, f.mode) for f in rated_with_run(desk.draft.state.machine).findings if f.verdict == "fails"}
    assert len(after - before) == int(told[1]) == len(worse)


def test_a_size_that_makes_worse_what_can_hurt_people_says_so_first(serve, tmp_path):
    """ISO 606: 08B-1 breaks at 17.8 kN, 08A-1 at 13.9 kN (values from memory): whoever stands below is worse off."""
    folder = tmp_path / "machine"
    shutil.copytree(ROOT / "examples" / "harbour-light", folder, ignore=shutil.ignore_patterns(".layshaft"))
    desk = serve(folder)
    desk.run_no_more()
    verdict = desk.draft.look().verdict
    weaker = Candidate("08A-1", {"drives.weight.chain": "08A-1"})
    need = next(n for n in too_weak(verdict) if n.path == "drives.weight")
    need.smallest = Tried(weaker, option={"set": dict(weaker.sets)})
    room._last["needs"] = AfterTaking(verdict), [], [need]  # as if the size were offered
    said = looked(desk, after="drives.weight")
    assert room._last["needs"][0].known["drives.weight"].ran  # a run over time among it, as the one beside it
    was = next(f for f in verdict.of("drives.weight") if f.mode.startswith("arrested strength"))
    assert re.search(r"With it \d+ verdicts? gets? worse , also where people can be hurt :", said)
    assert f"fails already and falls from {was.margin_text} to" in said
    assert "Take it all the same" in said and "(at risk: whoever stands under or beside weight)" in said


def test_what_is_not_run_over_time_yet_says_so_and_is_run_where_it_is_asked(desk, monkeypatch):
    desk.run_no_more()
    monkeypatch.setattr("layshaft.faces.desk.shown.after_taking.PATIENCE", 0.0)
    room._last.clear()
    need = next(n for n in too_weak(desk.draft.look().verdict) if n.smallest is not None and n.what != "shaft")
    assert "Run it over time" not in looked(desk)
    said = looked(desk, after=need.path)
    assert room._last["needs"][0].known[need.path].ran and "Run it over time too" not in said
    monkeypatch.setattr(AfterTaking, "look", lambda self, found, asked="": self.known.update(
        {need.path: self._of(need.path, need.smallest.option, self._plain())}))
    room._last.clear()
    assert "Run it over time too" in looked(desk)


def test_a_run_away_is_no_need_of_another_size(desk):
    """No size of a gear keeps a weight whose gear is lost: such findings belong to the verdict."""
    assert "run-away" not in looked(desk)


def test_a_pair_of_gears_asks_for_both_wheels(serve, tmp_path):
    folder = tmp_path / "open"
    shutil.copytree(ROOT / "examples" / "harbour-light", folder, ignore=shutil.ignore_patterns(".layshaft"))
    place = folder / "machine.yaml"
    text = place.read_text(encoding="utf-8")
    place.write_text(re.sub(r"(fan gears 2:.*?face: )[^\n,}]+", r"\1open", text, count=1, flags=re.DOTALL), encoding="utf-8")
    said = looked(serve(folder))
    assert "Find a spur gear for fan lay that has a module of" in said
    assert "Find a spur gear for fan pinion that has a module of" in said


@pytest.mark.browser
def test_a_size_is_taken_shown_in_the_slip_kept_and_taken_back(page, desk):
    original = desk.place.read_bytes()
    page.goto(desk.link)
    page.goto(desk.origin + "/needs")
    page.get_by_role("button", name="Take it: 8x7x40 for wind, ratchet: key").click()
    slip = page.get_by_role("complementary", name="Draft")
    slip.get_by_text("figures moved").wait_for()
    assert "8x7x40" in slip.inner_text() and "turned" in slip.inner_text()
    slip.get_by_role("button", name="Keep", exact=True).click()
    page.get_by_role("button", name="Undo what was kept last").wait_for()
    assert "key: 8x7x40" in desk.place.read_text()
    page.get_by_role("button", name="Undo what was kept last").click()
    page.get_by_role("button", name="Undo what was kept last").wait_for(state="detached")
    assert desk.place.read_bytes() == original


@pytest.mark.browser
def test_words_of_a_sentence_are_edited_by_hand(page, mill):
    page.goto(mill.link)
    page.goto(mill.origin + "/needs")
    need = page.locator("section.need", has_text="pedal, right bearing")
    need.locator("summary", has_text="What the lists offer").click()
    words = need.locator("form.sentence").first
    words.get_by_label("is here by").fill("10 days")
    words.get_by_role("button", name="Look").click()
    page.get_by_text("come too late").wait_for()
    need.get_by_label("is here by").fill("1 May 2020")
    need.get_by_role("button", name="Look").click()
    page.get_by_role("alert").filter(has_text="is past").wait_for()


def test_needs_stand_in_the_order_of_the_machine_room(desk):
    verdict = desk.draft.look().verdict
    listed = [e.path for e in entries(verdict, ["fails", "unknown", "thin"], "")]
    with desk.caller() as caller:
        found = re.findall(r'whose-need"><a href="/part\?path=([^"]+)">', caller.get("/needs").text)
    both = [path for path in map(unquote, found) if path in listed]
    assert len(both) > 5
    assert both == sorted(both, key=listed.index)


def test_open_parts_stand_in_the_order_of_the_machine_room(mill):
    verdict = mill.draft.look().verdict
    listed = [e.path for e in entries(verdict, ["unknown"], "") if e.worst.reason == NOT_CHOSEN]
    assert [need.path for need in needs(verdict)] == listed != []


def test_a_reader_is_told_what_the_verdicts_mean_where_they_first_stand(desk):
    with desk.caller() as caller:
        page = caller.get("/").text
        elsewhere = [caller.get(room).text for room in ("/needs", "/options", "/part")]
    assert all(page.count(f"<dt>{word}</dt><dd>{MEANS[word]}</dd>") == 1 for word in WORST_FIRST)
    assert not any(MEANS["thin"] in page for page in elsewhere)
