"""The room of one part, asked as a browser asks, without scripts."""

import re
from html import unescape

import pytest

from layshaft.faces.desk.rendering import part_link, sentence

CHAIN = "stages.winding chain"


def test_every_rated_part_has_its_room(desk, caller):
    index = caller.get("/part").text
    paths = list(dict.fromkeys(f.part for f in desk.draft.state.verdict.findings))
    for path in paths:
        assert part_link(path).replace("&", "&amp;") in index
    for path in paths[::9]:
        page = caller.get(part_link(path))
        assert page.status_code == 200
        assert f"<code>{path}</code>" in page.text


def test_a_given_is_tried_in_any_unit_and_marked_until_it_is_dropped(desk, caller):
    there = part_link(CHAIN)
    answer = caller.post("/edit", data={"path": f"{CHAIN}.centres", "value": "35 1/2 in", "back": there},
                         follow_redirects=True)
    assert answer.status_code == 200
    assert desk.draft.state.machine.stages["winding chain"].centres.nominal == pytest.approx(0.9017, abs=1e-9)
    assert "<s>about 900 mm</s>" in answer.text
    assert re.search(r'value="35 1/2 in"', answer.text)
    caller.post("/drop", data={"back": there})
    assert "<s>about 900 mm</s>" not in caller.get(there).text


def test_what_is_refused_stands_at_its_field(desk, caller):
    answer = caller.post("/edit", data={"path": f"{CHAIN}.teeth[0]", "value": "4", "back": part_link(CHAIN)},
                         follow_redirects=True)
    assert 'aria-invalid="true"' in answer.text
    assert "it must be at least 6" in answer.text
    assert not desk.draft.state.edits


def test_the_next_size_is_taken_into_the_draft(desk, caller):
    there = part_link(CHAIN)
    names = [unescape(n) for n in re.findall(r'name="name" value="([^"]+)"', caller.get(there).text)]
    up = next(n for n in names if n.startswith("12B-1"))
    answer = caller.post("/part/size", data={"path": CHAIN, "name": up, "back": there}, follow_redirects=True)
    assert desk.draft.state.machine.stages["winding chain"].chain.name == "12B-1"
    assert re.search(r'aria-current="true"><th scope="row">12B-1', answer.text)
    assert [e.words for e in desk.draft.state.edits] == [f"winding chain: {up}"]
    gone = caller.post("/part/size", data={"path": CHAIN, "name": "no such size", "back": there}, follow_redirects=True)
    assert "is not among the next sizes" in gone.text


def test_what_the_next_sizes_would_do_is_asked_for(desk, caller):
    there = part_link("shafts.wind.seats.right bearing")
    assert "What would the next sizes do" in caller.get(there).text
    told = caller.get(f"{there}&would=1").text
    assert "What they would do to the whole machine" in told
    assert "<b>6305</b>" in told
    assert "<b>6005</b>" in told
    assert not desk.draft.state.edits


def test_a_part_that_is_not_there_is_told(caller):
    answer = caller.get(part_link("stages.no such stage"))
    assert answer.status_code == 404
    assert "The machine has no part of this name" in unescape(answer.text)


def test_names_with_signs_of_markup_are_only_text(desk, caller):
    answer = caller.get("/part", params={"path": "<script>alert(1)</script>"})
    assert "<script>alert" not in answer.text


def test_all_sheets_and_the_plain_words_come_on_asking(caller):
    there = part_link(CHAIN)
    first, every, words = caller.get(there).text, caller.get(f"{there}&sheets=1").text, caller.get(f"{there}&words=1").text
    assert first.count('<article class="leaf"') == 1
    assert every.count('<article class="leaf"') > 3
    assert "With a pencil" in words
    assert "With a pencil" not in first
    assert "&amp;words=1#plain" in first


def test_a_cleared_field_takes_its_line_out_and_what_must_be_there_stays(desk, caller):
    there = part_link(CHAIN)
    caller.post("/edit", data={"path": f"{CHAIN}.lubrication", "value": "", "back": there})
    assert desk.draft.state.machine.stages["winding chain"].lubrication == ""
    assert desk.draft.state.edits[-1].option == {"remove": [f"{CHAIN}.lubrication"]}
    refused = caller.post("/edit", data={"path": f"{CHAIN}.from", "value": "", "back": there}, follow_redirects=True)
    assert "needs the key" in unescape(refused.text)
    refused = caller.post("/edit", data={"path": f"{CHAIN}.teeth[0]", "value": "", "back": there}, follow_redirects=True)
    assert "Nothing was changed" in refused.text
    assert len(desk.draft.state.edits) == 1


def test_charts_are_taken_as_files(caller):
    page = caller.get(part_link(CHAIN)).text
    links = [unescape(a) for a in re.findall(r'href="(/take-away/chart/[^"]+)"', page)]
    assert len(links) >= 2
    for link in links:
        answer = caller.get(link)
        assert answer.content.startswith(b"<svg" if ".svg" in link else b"\x89PNG"), link
    assert caller.get(f"/take-away/chart/99.svg?path={CHAIN}").status_code == 404


@pytest.mark.parametrize("path", ["shafts.main.seats", "shafts.main[0]", "shafts.main.seats.nowhere", "stages.x", "drives",
                                  "shafts.main.sections[0]", "venue", "shafts.main.seats.gear wheel.key.x", "..", "a.b.c.d.e"])
def test_a_path_that_leads_beside_a_part_is_shown_or_told(caller, path):
    assert caller.get("/part", params={"path": path}).status_code in (200, 404)


def test_two_values_of_one_meaning_are_counted_and_not_called_by_its_pieces(caller):
    """Its meaning speaks of Brinell and Vickers: scales of hardness, not names of the two gears."""
    page = caller.get(part_link("stages.lens mitre")).text
    assert ">hardness 1</label>" in page and ">hardness 2</label>" in page
    assert "400 Vickers</label>" not in page


def test_a_chart_speaks_of_its_open_circle_only_where_it_has_one(caller):
    """Below 10 rev/min the capacity of a chain is unknown; a hand on a crank has one at its own speed."""
    slow, crank = (caller.get(part_link(p)).text for p in ("stages.lens chain", "drives.crank"))
    assert "c-now" not in slow and "open circle" not in slow and "nothing of this is known" in slow
    assert "c-now" in crank and "open circle" in crank


def test_a_sentence_leaves_a_path_as_the_file_writes_it():
    assert sentence("stages.winding chain.teeth[0]: 'x' is no unit") == "stages.winding chain.teeth[0]: 'x' is no unit."
    assert sentence("any case") == "Any case."
    assert sentence("below 1.5 it fails") == "Below 1.5 it fails."


def test_what_waits_for_a_run_leads_to_the_room_that_runs_it(caller):
    """Whoever reads a page has no command at hand."""
    for there in ("/", part_link("wants.bell strokes")):
        page = caller.get(there).text
        assert '<a href="/run">run it</a>' in page
        assert "`layshaft run`" not in page


def test_givens_stand_by_what_they_are_about_and_seldom_ones_are_folded(caller):
    page = caller.get(part_link("stages.lens chain")).text
    order = [page.index(words) for words in ("What decides it first</h3>", "Where it sits</h3>",
                                             "Losses, wear and what is seldom touched", "What else can be said of it")]
    assert order == sorted(order)
    first, placed, seldom, _ = order
    assert first < page.index('name="path" value="stages.lens chain.teeth[0]"') < placed
    assert placed < page.index('name="path" value="stages.lens chain.line"') < seldom
    assert seldom < page.index('name="path" value="stages.lens chain.efficiency"')
    assert "0.95 from winding chain, efficiency" in page
    refused = caller.post("/edit", data={"path": "stages.lens chain.efficiency", "value": "many",
                                         "back": part_link("stages.lens chain")}, follow_redirects=True).text
    assert re.search(r'<details class="more" open><summary>Losses', refused)


def test_a_source_on_a_sheet_leads_to_its_field(caller):
    page = caller.get(part_link("stages.lens chain")).text
    link = re.search(r'<td class="source"><a href="#([^"]+)">lens chain, teeth 1</a>, line \d+: decided', page)
    assert link and f'id="{link[1]}"' in page
    assert re.search(r'<a href="/part\?path=[^"]+#given-gravity">gravity</a>', page) or "#given-gravity" not in page


def test_what_has_no_sheet_says_what_is_asked_and_what_there_is(caller):
    page = unescape(caller.get(part_link("drives.crank")).text)
    assert "Seen on the machine as a whole" in page
    assert re.search(r"<b>room for the hand</b>[^<]*: 100\.0 mm is asked, 266\.5 mm is there", page)
    module = unescape(caller.get(part_link("modules.winder")).text)
    assert "On paper:" not in module and "Seen on the machine as a whole" in module
    assert "One size up or down" not in module and "What the numbers mean" not in module


def test_unknowns_of_one_reason_are_one_entry_and_said_once(caller):
    page = caller.get(part_link("stages.lens chain")).text
    verdicts = page[page.index('class="part-verdict"'):page.index('id="givens"')]
    assert "<b>plate capacity, roller capacity</b>" in verdicts
    assert verdicts.count("made for chains that run at 10 rev/min or faster") == 1
    assert "no bottom" not in page


def test_a_list_of_parts_is_worst_first_and_folds_what_holds(caller):
    page = caller.get("/part").text
    shafts = page[page.index("Shafts and what sits on them"):page.index("<h2>Stages</h2>")]
    words = re.findall(r'class="word word-(\w+)"', shafts)
    assert words == sorted(words, key=["fails", "unknown", "thin", "holds"].index)
    assert re.search(r"<summary>\d+ that hold, nearest to what is required first</summary>", shafts)
