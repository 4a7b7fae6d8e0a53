"""The desk runs the machine by itself: after every change, of what is newest, and figures are compared like with like."""

import time

import pytest

from layshaft.faces.desk.drafting.draft import opened
from layshaft.faces.desk.drafting.moved import moves
from layshaft.project import runs as records

NOTE, TEETH = "about", "stages.lens chain.teeth[0]"


def settled(desk, wait=20.0):
    """The state once nothing is being run any more."""
    end = time.monotonic() + wait
    while time.monotonic() < end:
        state = desk.draft.look()
        if state.verdict.run.figures is not None and state.before.run.figures is not None:
            return state
        time.sleep(0.02)
    raise AssertionError("no run came")


def words(verdict):
    return {(f.part, f.place, f.mode): (f.verdict, f.margin_text) for f in verdict.findings}


def test_a_desk_runs_a_machine_that_was_never_run(desk):
    assert settled(desk).verdict.run.figures.lasted > 0


def test_a_change_is_run_by_itself_and_says_what_a_check_after_a_run_says(desk):
    settled(desk)
    desk.draft.edit({"set": {TEETH: "21"}})
    state = settled(desk)
    desk.draft.keep()
    assert words(opened(desk.place).state.verdict) == words(state.verdict)


def test_until_it_is_run_no_figure_moves_for_want_of_the_run(copy):
    place = copy("harbour-light")
    draft = opened(place)
    assert draft.state.verdict.run.figures is None
    one = {"set": {"units": "inch"}}
    assert moves(draft.edit(one)).turned == []
    draft.drop()


def test_a_file_that_was_run_is_seen_without_its_run_beside_a_draft_that_was_not(desk):
    run = settled(desk).before
    desk.draft.told = lambda state: None  # nobody runs it now
    state = desk.draft.edit({"set": {TEETH: "21"}})
    assert state.before is not run and state.before.run.figures is None
    assert not any("earlier state" in (f.reason or "") for _, f in moves(state).turned)
    assert desk.draft.drop().before is run


def test_trials_do_not_push_out_the_run_of_the_file(desk, monkeypatch):
    monkeypatch.setattr(records, "MOST_RECORDS", 2)
    settled(desk)
    for teeth in (20, 21, 22, 23):
        desk.draft.edit({"set": {TEETH: str(teeth)}})
        settled(desk)
    desk.draft.drop()
    assert desk.draft.state.before.run.figures is not None


def test_a_machine_whose_speed_a_person_decides_is_asked_once_and_left_alone(serve, copy, monkeypatch):
    asked = []
    real = __import__("layshaft.faces.desk.drafting.runs", fromlist=["programme_of"]).programme_of
    monkeypatch.setattr("layshaft.faces.desk.drafting.runs.programme_of", lambda solved: asked.append(1) or real(solved))
    desk = serve(copy("corn-sheller"))
    for _ in range(3):
        desk.draft.look(again=True)
        time.sleep(0.05)
    assert asked == [1]


def test_a_desk_that_only_reads_runs_nothing(serve, copy):
    desk = serve(copy("harbour-light"), "another desk is open")
    time.sleep(0.5)
    assert desk.draft.state.verdict.run.figures is None
    assert not list(desk.place.parent.glob(".layshaft/*.run.*"))


@pytest.mark.parametrize("room", ["/", "/run", f"/part?path={'stages.lens chain'.replace(' ', '+')}"])
def test_the_slip_says_that_a_run_is_to_come(desk, monkeypatch, room):
    settled(desk)
    monkeypatch.setattr("layshaft.faces.desk.drafting.runs.REST", 5.0)
    desk.draft.edit({"set": {TEETH: "21"}})
    with desk.caller() as caller:
        assert "is being run again" in caller.get(room).text
