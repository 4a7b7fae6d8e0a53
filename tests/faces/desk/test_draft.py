"""One draft for all windows: edits laid over, marked, kept, undone; edits elsewhere and broken files lose nothing."""

import threading

import pytest

from layshaft.faces.desk.drafting import draft as drafts
from layshaft.faces.desk.drafting.draft import RefusedError, opened
from layshaft.faces.desk.drafting.moved import moves
from layshaft.machine import apply, read
from layshaft.trace.errors import BadInput
from layshaft.train.solve import solve
from layshaft.verdict.rate import rate

TEETH = "stages.lens chain.teeth[1]"


@pytest.fixture
def place(copy):
    return copy("harbour-light") / "machine.yaml"


@pytest.fixture
def draft(place):
    return opened(place)


def set_(path, value):
    return {"set": {path: value}}


def said(verdict):
    return {(f.part, f.place, f.mode): (f.verdict, f.margin_text) for f in verdict.findings}


def test_a_draft_says_what_a_check_of_the_changed_machine_says(draft, place):
    state = draft.edit(set_(TEETH, "44"))
    assert said(state.verdict) == said(rate(solve(apply(read(place), set_(TEETH, "44")))))
    assert said(state.before) == said(rate(solve(read(place))))


def test_what_moved_is_what_differs_between_the_two(draft):
    state = draft.edit(set_(TEETH, "44"))
    before, now = said(state.before), said(state.verdict)
    turned = {k for k in now if k in before and now[k][0] != before[k][0]}
    assert {(f.part, f.place, f.mode) for _, f in moves(state).turned} == turned
    assert moves(state).figures > 0


def test_the_file_is_touched_by_keep_alone_and_undo_brings_it_back(draft, place):
    original = place.read_bytes()
    draft.edit(set_(TEETH, "44"))
    assert place.read_bytes() == original
    state = draft.keep()
    changed = place.read_text()
    assert not state.open and state.can_undo and "44]" in changed
    assert len(changed.splitlines()) == len(original.decode().splitlines())
    assert not draft.undo().can_undo
    assert place.read_bytes() == original


def test_the_newest_edit_of_a_path_counts_and_the_files_own_value_ends_it(draft):
    for teeth in ("40", "42", "44"):
        state = draft.edit(set_(TEETH, teeth))
    assert [e.text for e in state.edits] == [f"{TEETH}: 44"]
    state = draft.edit(set_(TEETH, "38"))
    assert not state.open and state.verdict is state.before


def test_one_edit_can_be_dropped_and_the_rest_stays(draft):
    draft.edit(set_(TEETH, "44"))
    state = draft.edit(set_("drives.weight.mass", "90 kg"))
    state = draft.drop(state.edits[0].number)
    assert [e.text for e in state.edits] == ["drives.weight.mass: 90 kg"]
    assert not draft.drop().open


def test_what_cannot_be_is_refused_and_the_draft_stays(draft):
    state = draft.edit(set_(TEETH, "44"))
    for path, value in ((TEETH, "many"), ("stages.nobody.teeth[1]", "3"), ("drives.weight.mass", "3 m")):
        with pytest.raises(RefusedError):
            draft.edit(set_(path, value))
    assert draft.state is state


def test_an_edit_elsewhere_keeps_what_applies_and_lists_what_does_not(draft, place):
    draft.edit(set_(TEETH, "44"))
    draft.edit(set_("drives.weight.mass", "90 kg"))
    text = place.read_text()
    place.write_text(text.replace("mass: 96 kg", "mass: 97 kg", 1).replace("  lens chain:", "  tower chain:", 1)
                     .replace("stages.lens chain.", "stages.tower chain."))
    state = draft.look()
    assert not state.trouble
    assert [e.text for e in state.edits] == ["drives.weight.mass: 90 kg"]
    assert [one.edit.text for one in state.lost] == [f"{TEETH}: 44"]
    assert "lens chain" in state.lost[0].why
    assert draft.dismiss().lost == ()
    draft.keep()
    assert "tower chain" in place.read_text() and "90 kg" in place.read_text()


def test_a_broken_file_is_said_and_the_last_good_state_stays(draft, place):
    good = draft.edit(set_(TEETH, "44"))
    text = place.read_text()
    place.write_text(text.replace("shafts:", "shfts:", 1))
    state = draft.look()
    assert "shfts" in state.trouble and state.verdict is good.verdict and state.edits == good.edits
    with pytest.raises(BadInput):
        draft.keep()
    assert place.read_text() == text.replace("shafts:", "shfts:", 1)
    place.write_text(text)
    state = draft.look()
    assert not state.trouble and [e.text for e in state.edits] == [f"{TEETH}: 44"]


def test_a_file_broken_from_the_start_opens_and_is_mended(place):
    text = place.read_text()
    place.write_text("layshaft: 1\n")
    draft = opened(place)
    assert draft.state.verdict is None and draft.state.trouble
    with pytest.raises(BadInput):
        draft.edit(set_(TEETH, "44"))
    place.write_text(text)
    assert draft.look().verdict is not None


def test_edits_from_many_windows_are_all_made_with_at_most_one_solve_at_a_time(draft, monkeypatch):
    """Whatever comes while a solve is under way is made by the next one: far fewer solves than edits."""
    under_way, most, solves = [0], [0], [0]
    plain, gate = drafts.rated, threading.Lock()

    def watched(machine):
        with gate:
            under_way[0] += 1
            solves[0] += 1
            most[0] = max(most[0], under_way[0])
        try:
            return plain(machine)
        finally:
            with gate:
                under_way[0] -= 1

    monkeypatch.setattr(drafts, "rated", watched)
    numbers = []
    threads = [threading.Thread(target=lambda kg=kg, path=path: numbers.append(draft.edit(set_(path, f"{kg} kg")).number))
               for kg in range(100, 120) for path in ("drives.weight.mass", "modules.winder.mass")]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    assert most[0] == 1
    assert solves[0] < len(threads) / 2
    assert sorted(e.text.partition(":")[0] for e in draft.state.edits) == ["drives.weight.mass", "modules.winder.mass"]
    assert max(numbers) == draft.state.number


def test_a_bad_edit_among_good_ones_takes_none_with_it(draft):
    draft._work.acquire()
    refused, threads = [], []

    def ask(path, value):
        try:
            draft.edit(set_(path, value))
        except RefusedError as why:
            refused.append(str(why))

    for path, value in ((TEETH, "44"), (TEETH + ".x", "1"), ("drives.weight.mass", "90 kg")):
        threads.append(threading.Thread(target=ask, args=(path, value)))
        threads[-1].start()
    while len(draft._asks) < 3:
        pass
    draft._work.release()
    for thread in threads:
        thread.join()
    assert len(refused) == 1
    assert len(draft.state.edits) == 2


def test_numbers_of_edits_are_never_used_again(draft):
    """Two windows: one still shows a change that the other has kept or dropped, and its button means that one alone."""
    first = draft.edit(set_(TEETH, "44")).edits[0].number
    draft.keep()
    draft.edit(set_("drives.weight.mass", "90 kg"))
    assert draft.drop(first).open
    draft.drop()
    assert draft.edit(set_(TEETH, "40")).edits[0].number > first + 1


def test_a_fault_of_the_house_is_told_to_everybody_whose_edit_it_stopped(draft, monkeypatch):
    """None of those whose edits are made together is left to think that his was."""
    def fails(machine):
        if machine.drives["weight"].mass.nominal == 90.0:
            raise ZeroDivisionError
        return rate(solve(machine))

    monkeypatch.setattr(drafts, "rated", fails)
    draft._work.acquire()
    faults, threads = [], []

    def ask(path, value):
        try:
            draft.edit(set_(path, value))
        except ZeroDivisionError:
            faults.append(path)

    for path, value in ((TEETH, "44"), ("drives.weight.mass", "90 kg"), ("modules.winder.mass", "12 kg")):
        threads.append(threading.Thread(target=ask, args=(path, value)))
        threads[-1].start()
        while len(draft._asks) < len(threads):
            pass
    draft._work.release()
    for thread in threads:
        thread.join()
    assert faults == ["drives.weight.mass"] and len(draft.state.edits) == 2 and not draft.busy


def test_a_fault_of_the_house_is_said_on_the_page(desk, monkeypatch):
    monkeypatch.setattr(drafts, "rated", lambda machine: 1 / 0)
    with desk.caller() as caller:
        answer = caller.post("/edit", data={"path": TEETH, "value": "44", "back": "/"})
    assert answer.status_code == 500 and "could not work this out (ZeroDivisionError)" in answer.text
    assert not desk.draft.state.open


def test_without_a_machine_there_is_nothing_to_drop(place):
    place.write_text("layshaft: 1\n")
    with pytest.raises(BadInput):
        opened(place).drop()


def test_a_reader_changes_nothing(place):
    draft = opened(place, "The desk is open already.")
    for act in (lambda: draft.edit(set_(TEETH, "44")), draft.keep, draft.drop, draft.undo):
        with pytest.raises(BadInput, match="open already"):
            act()


def test_a_list_in_brackets_is_read_as_the_file_reads_it_and_kept(desk):
    with desk.caller() as caller:
        caller.post("/edit", data={"path": "stages.lens chain.teeth", "value": "[20, 40]", "back": "/"})
        assert "lens chain, teeth: [20, 40]" in caller.get("/").text
        assert "Nothing was changed" in caller.post("/edit", data={
            "path": "stages.lens chain.teeth", "value": "[20, ", "back": "/"}, follow_redirects=True).text
        caller.post("/keep", data={"back": "/"})
    assert "teeth: [20, 40]" in desk.place.read_text()


@pytest.mark.parametrize(("path", "value"), [
    ("", "1"), ("a..b", "1"), ("stages", "1"), ("layshaft", "2"), ("name", "x" * 100_000), ("options", "{"),
    ("drives.weight.mass", "1e999 kg"), ("drives.weight.mass", "nan kg"), ("drives.weight.mass", "\x00"),
    ("stages.lens chain.teeth[999999]", "3"), ("id", "a\nshafts: {}"), ("about", "<script>alert(1)</script>"),
])
def test_whatever_is_typed_is_made_or_refused_and_the_file_stays_whole(desk, path, value):
    with desk.caller() as caller:
        page = caller.post("/edit", data={"path": path, "value": value, "back": "/"}, follow_redirects=True)
        assert page.status_code in (200, 422) and "<script>alert" not in page.text
        caller.post("/keep", data={"back": "/"})
    now = read(desk.place)
    assert set(now.shafts) == set(desk.draft.state.machine.shafts) != set()


def test_an_edit_that_another_window_keeps_at_once_is_not_told_as_nothing(desk, monkeypatch):
    edit = desk.draft.edit

    def and_kept(option, words=""):
        edit(option, words)
        return desk.draft.keep()

    monkeypatch.setattr(desk.draft, "edit", and_kept)
    with desk.caller() as caller:
        for value, told in (("22", False), ("22", True)):
            answer = caller.post("/edit", data={"path": "stages.lens chain.teeth[0]", "value": value, "back": "/part"})
            assert ("said" in answer.headers["location"]) is told
    assert "teeth: [22, " in desk.place.read_text()
