"""The slip: what moved against the file as it stands, like compared with like; where a part went; keep, undo, make again."""

import re
from html import unescape

import pytest

from layshaft.faces.desk.drafting.moved import moves
from layshaft.project.runs import keep_run
from layshaft.train.motion.figures import figures_of
from layshaft.train.motion.results import motion_of
from layshaft.train.solve import solve

CHAIN = "stages.lens chain"


def text(page):
    return " ".join(unescape(re.sub(r"<[^>]*>", " ", page.text)).split())


def test_a_run_of_the_draft_alone_moves_nothing(desk):
    """The outside is the rating itself without any run: what it says moved is what moved."""
    state = desk.draft.edit({"set": {"venue.warmest": "36 degC"}})
    without = moves(state)
    keep_run(state.machine, figures_of(motion_of(solve(state.machine))))
    state = desk.draft.edit({"set": {"venue.warmest": "36.0 degC"}})
    state = desk.draft.edit({"set": {"venue.warmest": "36 degC"}})
    assert state.verdict.run.figures is not None and state.before.run.figures is None
    with_run = moves(state)
    assert with_run.figures == without.figures
    assert [f.part for f in with_run.came] == [f.part for f in without.came]
    assert len(state.verdict.findings) - len(state.before.findings) != 0 or with_run.turned == without.turned


def test_a_rename_moves_no_figure(desk):
    state = desk.draft.edit({"rename": {CHAIN: "long chain", "shafts.lens lay": "lay"}})
    found = moves(state)
    assert found.figures == 0 and found.came == [] and found.went == []


def test_every_figure_that_moved_is_on_one_page(desk, caller):
    caller.post("/edit", data={"path": "stages.lens chain.teeth[1]", "value": "44"})
    found = moves(desk.draft.look())
    page = caller.get("/moved-figures").text
    assert found.figures > 20
    assert page.count("<td data-label=\"Verdict\">") == found.figures
    assert f'href="/moved-figures">{found.figures} figures moved' in caller.get("/").text


def test_a_renamed_part_is_followed_and_the_drop_leads_back(desk, caller):
    caller.post("/shape/rename", data={"path": CHAIN, "name": "long chain"})
    followed = caller.get("/part", params={"path": CHAIN}, follow_redirects=True)
    assert followed.status_code == 200 and "In the machine file: <code>stages.long chain</code>" in followed.text
    caller.post("/drop")
    back = caller.get("/part", params={"path": "stages.long chain"}, follow_redirects=True)
    assert back.status_code == 200 and f"<code>{CHAIN}</code>" in back.text
    caller.post("/shape/rename", data={"path": CHAIN, "name": "long chain"})
    caller.post("/keep")
    kept = caller.get("/part", params={"path": CHAIN}, follow_redirects=True)
    assert "<code>stages.long chain</code>" in kept.text
    caller.post("/undo")
    undone = caller.get("/part", params={"path": "stages.long chain"}, follow_redirects=True)
    assert f"<code>{CHAIN}</code>" in undone.text


def test_a_part_taken_out_says_so_and_comes_back(desk, caller):
    caller.post("/shape/remove", data={"path": "stages.fan coupling"})
    page = caller.get("/part", params={"path": "stages.fan coupling"})
    assert page.status_code == 404
    assert "fan coupling is not in the machine" in text(page) and "took it out" in text(page)
    number = re.search(r'name="number" value="(\d+)"><button>Drop that change', page.text)[1]
    caller.post("/drop", data={"number": number})
    assert caller.get("/part", params={"path": "stages.fan coupling"}).status_code == 200


def test_a_part_that_came_with_a_dropped_change_says_so(desk, caller):
    caller.post("/shape/copy", data={"path": "loads.fan", "name": "second fan"})
    assert caller.get("/part", params={"path": "loads.second fan"}).status_code == 200
    caller.post("/drop")
    page = caller.get("/part", params={"path": "loads.second fan"})
    assert page.status_code == 404 and "a change that was dropped" in text(page)
    nothing = caller.get("/part", params={"path": "loads.flywheels"})
    assert "no part of this name" in text(nothing) and ">flywheel</a>" in nothing.text


def test_keep_and_undo_say_what_they_did_and_it_can_be_made_again(desk, caller):
    caller.post("/edit", data={"path": "stages.lens chain.teeth[1]", "value": "44"})
    caller.post("/keep")
    said = text(caller.get("/"))
    assert re.search(r"Kept in the file \d\d:\d\d: lens chain, teeth 2: 44 instead of 38\. Undo", said)
    caller.post("/undo")
    said = text(caller.get("/"))
    assert "Taken back out of the file: lens chain, teeth 2: 44 instead of 38. Make it again" in said
    assert "[19, 38]" in desk.place.read_text()
    caller.post("/redo")
    assert "[19, 44]" in desk.place.read_text()
    nothing = caller.post("/redo", follow_redirects=True)
    assert "Nothing to make again" in text(nothing)


def test_the_line_at_the_foot_goes_with_the_next_thing_or_when_it_is_closed(desk, caller):
    taken_back = "Taken back out of the file"
    caller.post("/edit", data={"path": "stages.lens chain.teeth[1]", "value": "44"})
    caller.post("/keep")
    caller.post("/undo")
    desk.draft.look(again=True)  # a file that is only looked at again, as after a run, is nothing that happened
    assert taken_back in text(caller.get("/"))
    caller.post("/close")
    assert taken_back not in text(caller.get("/"))
    caller.post("/redo")
    assert "Kept in the file" in text(caller.get("/"))
    caller.post("/close")
    assert "Kept in the file" not in text(caller.get("/doubt"))
    caller.post("/undo")
    assert taken_back in text(caller.get("/"))
    caller.post("/edit", data={"path": "stages.lens chain.teeth[1]", "value": "45"})
    caller.post("/drop")
    assert taken_back not in text(caller.get("/"))


@pytest.mark.parametrize(("width", "most"), [(1280, 60), (390, 64)])
def test_the_line_at_the_foot_is_two_lines_at_most(page, desk, width, most):
    for teeth, note in (("44", "counted"), ("45", "counted again by somebody else, " * 6)):
        desk.draft.edit({"set": {"stages.lens chain.teeth[1]": teeth, "drives.weight.mass": f"2{teeth} kg"}}, note)
        desk.draft.keep(f"lens chain, teeth 2: {teeth} instead of 38; weight, mass: 2{teeth} kg; {note}")
    page.set_viewport_size({"width": width, "height": 800})
    page.goto(desk.link)
    page.get_by_role("button", name="Undo what was kept last").click()
    page.get_by_text("Taken back out of the file").wait_for()
    slip = page.get_by_role("complementary", name="Draft")
    assert slip.bounding_box()["height"] <= most
    assert slip.evaluate("e => e.scrollWidth <= e.clientWidth")
    slip.get_by_role("button", name="Close this line").click()
    slip.wait_for(state="hidden")


def test_what_the_file_says_already_is_told_and_stays_typed(caller):
    page = caller.post("/edit", data={"path": "lens chain, teeth 2", "value": "38"}, follow_redirects=True)
    assert "Lens chain, teeth 2 is 38 already" in text(page)
    assert 'value="lens chain, teeth 2"' in page.text
    caller.post("/edit", data={"path": "lens chain, teeth 2", "value": "44"})
    again = caller.post("/edit", data={"path": "lens chain, teeth 2", "value": "44"}, follow_redirects=True)
    assert "is 44 already" in text(again)


def test_a_value_said_with_spread_or_taken_out_reads_as_one_would_say_it(caller):
    caller.post("/edit", data={"path": "drives.crank.worst push", "value": "500 N", "low": "400 N", "high": "700 N",
                               "source": "measured", "note": "by scale"})
    caller.post("/edit", data={"path": "stages.lens chain.lubrication", "value": ""})
    said = text(caller.get("/needs"))
    assert "crank, worst push was 600 N now 500 N, 400 N to 700 N, measured, by scale" in said
    assert "lens chain, lubrication was manual now nothing" in said
