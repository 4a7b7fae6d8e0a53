"""What a desk does when the file breaks, goes away or cannot be written, and when it is killed in the middle of it."""

import errno
import os
import signal
import subprocess
import sys
from html import unescape

import pytest

from layshaft.machine.reader import read
from layshaft.project import keeping

TEETH = "stages.lens chain.teeth[0]"
BREAKS = {
    "a tab": (lambda t: t.replace("\nshafts:", "\nshafts:\n\tx: 1", 1).encode(), "A tab stands where blanks belong"),
    "an open bracket": (lambda t: t.replace("9.81 m/s2", "[9.81", 1).encode(), "is opened here and not closed"),
    "an unknown key": (lambda t: t.replace("\ngravity", "\ngravty", 1).encode(), "Did you mean 'gravity'?"),
    "too large": (lambda t: (t + "# " + "x" * 2_100_000).encode(), "a machine file may have 2 MB"),
    "no text": (lambda _: bytes(range(256)) * 9, "not UTF-8 text"),
    "empty": (lambda _: b"", "The file is empty"),
    "brackets without end": (lambda _: b"a: " + b"[" * 5000, "brackets"),
}


def page_of(desk, path="/"):
    desk.draft.look(again=True)  # a page waits for no solve that is under way; this does
    with desk.caller() as caller:
        answer = caller.get(path)
        assert answer.status_code == 200
        return unescape(answer.text)


def post(desk, where, **data):
    with desk.caller() as caller:
        answer = caller.post(where, data=data, follow_redirects=True)
        assert answer.status_code == 200
        return unescape(answer.text)


@pytest.mark.parametrize("breaks", BREAKS)
def test_a_file_that_breaks_under_a_draft_loses_nothing(desk, breaks):
    """The page says what and where, the draft goes on, nothing is kept over it, and the good text can be put back."""
    change, said = BREAKS[breaks]
    good = desk.place.read_text()
    desk.draft.edit({"set": {TEETH: "21"}})
    desk.place.write_bytes(change(good))
    page = page_of(desk)
    assert said in page and "with your draft" in page and str(desk.place.parent) not in page
    assert "Mend it, then keep; the draft waits" in post(desk, "/keep") and desk.place.read_bytes() == change(good)
    post(desk, "/edit", path=TEETH, value="23")
    page = post(desk, "/put-back")
    assert desk.place.read_text() == good and "cannot be used as it stands" not in page
    assert [e.text for e in desk.draft.state.edits] == [f"{TEETH}: 23"]
    aside = desk.place.parent / keeping.FOLDER / f"{desk.place.name}.set-aside-1"
    assert aside.read_bytes() == change(good)
    post(desk, "/keep")
    assert read(desk.place).stages["lens chain"].teeth[0].nominal == 23
    assert "nothing to put back" in post(desk, "/put-back")


def test_a_file_that_was_deleted_is_written_again_on_request(desk):
    good = desk.place.read_text()
    desk.place.unlink()
    assert "The file is not there any more" in page_of(desk)
    post(desk, "/put-back")
    assert desk.place.read_text() == good


def test_an_empty_file_is_asked_the_questions(serve, tmp_path):
    (tmp_path / "machine.yaml").write_bytes(b" \n\n")
    desk = serve(tmp_path)
    page = page_of(desk, "/shape")
    assert "is empty" in page and "What must turn?" in page
    post(desk, "/begin", what="mill", driver="crank")
    assert read(desk.place).shafts


@pytest.mark.parametrize("number", [errno.ENOSPC, errno.EROFS, errno.EACCES])
def test_what_cannot_be_written_is_said_and_the_draft_stands(desk, monkeypatch, number):
    before = desk.place.read_text()
    desk.draft.edit({"set": {TEETH: "21"}})
    desk.draft.keep()
    kept = desk.place.read_text()
    desk.draft.edit({"set": {TEETH: "23"}})

    def full(*_, **__):
        raise OSError(number, os.strerror(number))

    for where in ("layshaft.project.keeping.write_whole", "layshaft.faces.desk.drafting.places.write_whole"):
        monkeypatch.setattr(where, full)
    for act in ("/keep", "/shape/options/keep"):
        page = post(desk, act, name="more teeth")
        assert f"cannot be written ({os.strerror(number).lower()})" in page and "nothing is lost" in page
        assert desk.place.read_text() == kept and [e.text for e in desk.draft.state.edits] == [f"{TEETH}: 23"]
    assert "cannot be written" in post(desk, "/undo") and desk.place.read_text() == kept
    desk.place.write_bytes(b"")
    assert "cannot be written" in post(desk, "/put-back") and desk.draft.state.open
    monkeypatch.undo()
    desk.place.write_text(kept)
    post(desk, "/keep")
    post(desk, "/undo")
    post(desk, "/undo")
    assert desk.place.read_text() == before


KILLED = """
import os, signal, sys
from pathlib import Path
from layshaft.faces.desk.drafting.draft import opened
replace, at = os.replace, int(sys.argv[2])
count = 0
def stops(source, target):
    global count
    if not str(target).endswith("unkept.json"):
        count += 1
        if count == at:
            os.kill(os.getpid(), signal.SIGKILL)
    replace(source, target)
draft = opened(Path(sys.argv[1]))
draft.edit({"set": {"stages.lens chain.teeth[0]": "21"}})
os.replace = stops
draft.keep()
"""


@pytest.mark.parametrize("at", [1, 2])
def test_a_desk_killed_while_it_keeps_leaves_a_whole_file_and_the_draft(serve, copy, at):
    """Killed before the earlier text is laid by, and before the new one takes its place: both begin again as they were."""
    folder = copy("harbour-light")
    before = (folder / "machine.yaml").read_text()
    done = subprocess.run([sys.executable, "-c", KILLED, str(folder), str(at)], check=False, timeout=60)
    assert done.returncode == -signal.SIGKILL
    assert (folder / "machine.yaml").read_text() == before
    desk = serve(folder)
    assert [e.text for e in desk.draft.state.edits] == [f"{TEETH}: 21"] and not desk.draft.state.lost
    post(desk, "/keep")
    assert read(desk.place).stages["lens chain"].teeth[0].nominal == 21
    post(desk, "/undo")
    assert desk.place.read_text() == before


def test_what_no_longer_applies_after_an_edit_elsewhere_is_listed_and_the_rest_stays(desk):
    desk.draft.edit({"set": {TEETH: "21"}})
    desk.draft.edit({"set": {"loads.hammer cam.energy": "7 J"}})
    desk.draft.edit({"rename": {"shafts.main": "trunk"}}, "shaft main renamed trunk")
    elsewhere = keeping.changed(keeping.opened(desk.place), {"rename": {"loads.hammer cam": "striker"}})
    desk.place.write_text(elsewhere.text)
    page = page_of(desk)
    assert "was edited elsewhere" in page and "striker" in page
    assert [e.text for e in desk.draft.state.edits] == [f"{TEETH}: 21", "shaft main renamed trunk"]
