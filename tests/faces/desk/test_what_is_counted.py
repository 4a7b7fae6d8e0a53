"""Rooms that count alike things say which each of them counts: wants, swing, windings, guesses, draws."""

import re
from html import unescape

from faces.pages_help import until
from layshaft.machine.sampling import doubts
from layshaft.verdict.guesses import guesses


def told_first(page):
    """The sentences above the charts."""
    return re.sub(r"<[^>]+>", "", re.search(r'<p class="about run-sum">.*?</p>', page)[0])


def test_run_and_verdict_say_what_each_counts(caller):
    """A winding: 387.3 s of even running in the verdict, 375.6 s as the mean of a run in which the bell rests a while."""
    page = until(lambda: (text := caller.get("/run").text) and "data-charts" in text and text)
    said = told_first(page)
    assert re.search(r"What only a run can answer holds, (\d) of \1; the other wants", said) and "Everything" not in said
    assert re.search(r"lasts 6 min 16 s.*Those 6 min 16 s are the mean of this run.*without pulses: 6 min 27 s \(387.3 s\)", said)
    assert "adds links, teeth and runout, each in its worst phase" in page
    room = caller.get("/", params={"named": "lens speed", "show": "fails"}).text
    assert "pulses 3.55 % (all that a run over time shows of it)" in room
    part = unescape(caller.get("/part", params={"path": "wants.winding"}).text)
    assert "Even running with everything engaged, without pulses; the mean of the run" in part


def test_what_was_asked_of_the_draws_stays_chosen(caller):
    assert "<option selected>512</option>" in caller.get("/doubt").text
    caller.post("/doubt/start", data={"draws": "128", "apart": "1", "back": "/doubt"}, follow_redirects=True)
    page = until(lambda: (text := caller.get("/doubt").text) and "Draw again" in text and text)
    assert "<option selected>128</option>" in page and '<option value="1" selected>' in page


def test_machine_room_and_doubt_say_which_guesses_they_count(desk, caller):
    state = desk.draft.look()
    found = guesses(state.verdict)
    givens = [g for g in found if g.path in state.machine.givens]
    room = caller.get("/").text
    assert f"It rests on {len(found)}: {len(givens)} assumed givens, {len(found) - len(givens)} ratings by" in room
    assert f"{len(doubts(state.machine))} givens say how far they can be off" in room
