"""What a page says where there is no machine yet, an empty one, a broken one, or one with unknowns; and the tour."""

import pytest

from layshaft import rate, read_text, solve
from layshaft.faces.desk.drafting.moved import moves
from layshaft.verdict.next_step import next_step

EMPTY = "layshaft: 1\nname: Nothing yet\ngravity: 9.81 m/s2\nmodules: {}\nshafts: {}\ndrives: {}\n"
ANSWERS = {"what": "mill", "speed": "2 rpm", "torque": "2 N m", "run": "10 min", "driver": "crank", "room": "2 m high"}


def page_of(desk, path="/"):
    with desk.caller() as caller:
        return caller.get(path).text


def begin(desk, **answers):
    with desk.caller() as caller:
        return caller.post("/begin", data=ANSWERS | answers, follow_redirects=True).text


def test_an_empty_folder_is_asked_the_questions_and_gets_its_first_machine(serve, tmp_path):
    desk = serve(tmp_path)
    page = page_of(desk)
    assert "There is no" in page and page.count("<li><label") == 6
    assert "is not a turning speed" in begin(desk, speed="fast") and not desk.place.exists()
    page = begin(desk)
    assert desk.place.name == "machine.yaml" and "What is missing for a verdict" in page
    assert "describes a machine already" in begin(desk)


def test_a_refused_answer_leaves_the_others_in_their_fields(serve, tmp_path):
    page = begin(serve(tmp_path), speed="fast", what="apple press")
    assert 'value="fast"' in page and 'value="apple press"' in page


def test_an_empty_file_is_filled_and_can_be_brought_back(serve, tmp_path):
    (tmp_path / "machine.yaml").write_text(EMPTY)
    desk = serve(tmp_path)
    assert "holds no shaft" in page_of(desk)
    begin(desk)
    assert desk.draft.state.machine.shafts
    desk.draft.undo()
    assert desk.place.read_text() == EMPTY


def test_an_empty_machine_is_not_said_to_hold():
    assert next_step(rate(solve(read_text(EMPTY)))).startswith("Describe it first")


def test_a_broken_file_is_shown_with_its_line_in_every_room(serve, copy):
    folder = copy("hand-grinder")
    place = folder / "machine.yaml"
    text = place.read_text()
    line = text.splitlines().index("shafts:") + 1
    place.write_text(text.replace("\nshafts:", "\nshfts: # <b>", 1))
    desk = serve(folder)
    page = page_of(desk)
    assert f"machine.yaml, line {line}." in page and "<mark>shfts: # &lt;b&gt;</mark>" in page
    place.write_text(text)
    assert "The verdict, worst first" in page_of(desk)


def test_a_file_that_goes_away_leaves_the_last_good_state(desk):
    text = desk.place.read_text()
    desk.place.unlink()
    page = page_of(desk)
    assert "cannot be used as it stands" in page and "The verdict, worst first" in page
    desk.place.write_text(text)
    assert "cannot be used as it stands" not in page_of(desk)


def test_what_holds_is_listed_on_request_and_by_name(desk):
    assert page_of(desk, "/?show=holds&named=spindle").count('<li class="entry entry-holds"') > 3
    assert 'class="entry entry-holds"' not in page_of(desk)
    assert "Nothing is like that" in page_of(desk, "/?named=no+such+part")


@pytest.mark.parametrize("odd", ["/?show=everything", "/?named=%22%3E%3Cscript%3E", "/?said=999", "/moved?seen=-1"])
def test_odd_addresses_do_no_harm(desk, odd):
    with desk.caller() as caller:
        answer = caller.get(odd)
    assert answer.status_code in (200, 204) and "<script>" not in answer.text


def test_the_tour_is_walked_once_and_can_be_skipped(desk):
    with desk.caller() as caller:
        assert "1 of 4" in caller.get("/").text
        assert "2 of 4" in caller.post("/tour", data={"step": 2, "back": "/"}, follow_redirects=True).text
        assert "of 4" not in caller.post("/tour", data={"step": 0, "back": "/"}, follow_redirects=True).text
        assert "of 4" not in caller.get("/").text


def test_the_slip_tells_old_beside_new_and_which_verdicts_turned(desk):
    with desk.caller() as caller:
        caller.post("/edit", data={"path": "stages.winding chain.chain", "value": "12B-1", "back": "/"})
        page = caller.get("/").text
    slip = page[page.index('<aside class="slip'):]
    assert "<b>winding chain, chain</b>" in slip and "<s>08B-1</s>" in slip and "<ins>12B-1</ins>" in slip
    turned = [(was.verdict, f.verdict) for was, f in moves(desk.draft.state).turned]
    assert turned and f"{len(turned)} verdict" in slip and "Verdicts that turned" in slip
