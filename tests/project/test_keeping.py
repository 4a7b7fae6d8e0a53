"""Changes kept in the file: one writer, whole files, earlier texts within reach; also when a process dies in between."""

import os
import random
import shutil
import signal
import subprocess
import sys
import time
from pathlib import Path

import pytest

from layshaft.faces.changing import change_file, undo_file
from layshaft.machine import MachineErrors
from layshaft.project import keeping
from layshaft.trace.errors import BadInput

EXAMPLE = Path(__file__).parents[2] / "examples" / "hand-grinder" / "machine.yaml"
RADIUS = "drives.pedals.radius"
KILLS = 200 if os.environ.get("HYPOTHESIS_PROFILE") == "soak" else 6


@pytest.fixture
def place(tmp_path):
    return Path(shutil.copy(EXAMPLE, tmp_path / "machine.yaml"))


def set_radius(place, text):
    before = keeping.opened(place)
    keeping.keep(before, keeping.changed(before, {"set": {RADIUS: text}}))


def radius(place):
    return keeping.opened(place).machine.givens[RADIUS].value


def test_changes_go_in_and_come_out_again_one_by_one(place):
    original = place.read_bytes()
    for mm in (160, 155, 150):
        set_radius(place, f"{mm} mm")
    for mm in (0.155, 0.160):
        keeping.undo(place)
        assert radius(place) == pytest.approx(mm)
    keeping.undo(place)
    assert place.read_bytes() == original
    with pytest.raises(MachineErrors, match="nothing to undo"):
        keeping.undo(place)


def test_an_edit_in_between_is_not_lost(place):
    before = keeping.opened(place)
    after = keeping.changed(before, {"set": {RADIUS: "150 mm"}})
    place.write_text(place.read_text() + "# by hand\n")
    with pytest.raises(MachineErrors, match="has been changed since it was read"):
        keeping.keep(before, after)
    assert place.read_text().endswith("# by hand\n") and "radius: 150 mm" not in place.read_text()


def test_an_undo_over_an_edit_is_refused(place):
    set_radius(place, "150 mm")
    place.write_text(place.read_text() + "# by hand\n")
    with pytest.raises(MachineErrors, match="what was edited would be lost"):
        keeping.undo(place)


def test_a_change_that_changes_nothing_writes_nothing(place):
    before = place.stat().st_mtime_ns
    set_radius(place, "170 mm")
    assert place.stat().st_mtime_ns == before and not (place.parent / keeping.FOLDER).exists()


def test_another_writer_is_named(place):
    before = keeping.opened(place)
    after = keeping.changed(before, {"set": {RADIUS: "150 mm"}})
    script = ("import sys, time; from pathlib import Path; from layshaft.project import keeping\n"
              "with keeping.locked(Path(sys.argv[1])):\n print('held', flush=True); time.sleep(60)")
    other = subprocess.Popen([sys.executable, "-c", script, str(place)], stdout=subprocess.PIPE, text=True)
    try:
        assert other.stdout.readline() == "held\n"
        with pytest.raises(MachineErrors, match=rf"is being changed by process {other.pid}, since 20\d\d-"):
            keeping.keep(before, after)
        assert place.read_bytes() == EXAMPLE.read_bytes()
    finally:
        other.kill()
        other.wait()
        other.stdout.close()
    keeping.keep(before, after)  # a writer that died holds nothing
    assert radius(place) == pytest.approx(0.150)


def test_rights_and_links_of_the_file_stay(place):
    place.chmod(0o640)
    link = place.parent / "link.yaml"
    link.symlink_to(place)
    set_radius(link, "150 mm")
    assert link.is_symlink() and radius(place) == pytest.approx(0.150)
    assert place.stat().st_mode & 0o777 == 0o640


WRITER = """
import sys
from layshaft.project import keeping
print("ready", flush=True)
n = 0
while True:
    n += 1
    before = keeping.opened(sys.argv[1])
    keeping.keep(before, keeping.changed(before, {"set": {"drives.pedals.radius": f"{150 + n % 20} mm"}}))
"""


def test_a_writer_killed_at_any_moment_leaves_a_whole_file_and_a_way_back(place):
    """Each time the file is the text from before or the one from after, and one undo leads one change back."""
    draw = random.Random(5)
    original = place.read_text()
    for _ in range(KILLS):
        process = subprocess.Popen([sys.executable, "-c", WRITER, str(place)], stdout=subprocess.PIPE, text=True)
        assert process.stdout.readline() == "ready\n"
        time.sleep(draw.uniform(0.01, 0.3))
        process.send_signal(signal.SIGKILL)
        process.wait()
        process.stdout.close()
        text = place.read_text()
        assert len(text) == len(original) and text.count("\n") == original.count("\n")
        value = radius(place)
        set_radius(place, "149 mm")
        keeping.undo(place)
        assert radius(place) == value
    left = [p.name for p in (place.parent / keeping.FOLDER).iterdir() if p.suffix == ".json"]
    assert 1 <= len(left) <= keeping.MOST_STATES


def test_two_writers_at_once_lose_no_change(place):
    """Each adds its own keys; whoever comes second is refused and tries again."""
    script = """
import sys
from layshaft.machine import MachineErrors
from layshaft.project import keeping
done = 0
while done < 8:
    before = keeping.opened(sys.argv[1])
    try:
        keeping.keep(before, keeping.changed(before, {"add": {f"modules.own {sys.argv[2]} {done}": {"mass": "1 kg"}}}))
        done += 1
    except MachineErrors as why:
        assert "Nothing was written" in str(why), why
"""
    both = [subprocess.Popen([sys.executable, "-c", script, str(place), name]) for name in ("a", "b")]
    assert [p.wait() for p in both] == [0, 0]
    text = place.read_text()
    assert all(f"own {name} {n}:" in text for name in "ab" for n in range(8))


def test_the_command_shows_the_lines_and_takes_them_back(place):
    shown = change_file(place, [], [f"{RADIUS}=150 mm"], [], [], write=False)
    assert "-    radius: 170 mm" in shown and "+    radius: 150 mm" in shown and "Nothing was written" in shown
    assert "170 mm" in place.read_text()
    change_file(place, ["strung tighter"], [], [], ["shafts.lay=lay shaft"], write=True)
    assert "lay shaft:" in place.read_text()
    assert "taken back" in undo_file(place)
    assert place.read_bytes() == EXAMPLE.read_bytes()


@pytest.mark.parametrize(("asked", "words"), [
    (([], [], [], []), "Nothing to change"), (([], [], [], ["shafts.lay"]), "has no PATH=NAME"),
    ((["no such"], [], [], []), "There is no option 'no such'"), (([], [f"{RADIUS}=-1 mm"], [], []), "radius"),
    (([], [], ["loads.nobody"], []), "leads nowhere"),
])
def test_what_cannot_be_changed_is_said_and_nothing_is_written(place, asked, words):
    with pytest.raises(BadInput, match=words):
        change_file(place, *asked, write=True)
    assert place.read_bytes() == EXAMPLE.read_bytes()


def test_what_was_undone_is_made_again_in_turn_and_a_new_change_ends_that(place):
    for radius_text in ("160 mm", "155 mm"):
        before = keeping.opened(place)
        keeping.keep(before, keeping.changed(before, {"set": {RADIUS: radius_text}}), f"to {radius_text}")
    assert keeping.kept_last(place).words == "to 155 mm" and keeping.undone_last(place) is None
    keeping.undo(place)
    assert keeping.undone_last(place).words == "to 155 mm" and keeping.kept_last(place).words == "to 160 mm"
    keeping.undo(place)
    assert keeping.undone_last(place).words == "to 160 mm" and keeping.kept_last(place) is None
    keeping.redo(place)
    assert radius(place) == pytest.approx(0.160)
    keeping.redo(place)
    assert radius(place) == pytest.approx(0.155) and keeping.kept_last(place).words == "to 155 mm"
    with pytest.raises(MachineErrors, match="Nothing to make again"):
        keeping.redo(place)
    keeping.undo(place)
    set_radius(place, "150 mm")
    assert keeping.undone_last(place) is None
    with pytest.raises(MachineErrors, match="Nothing to make again"):
        keeping.redo(place)


def test_nothing_is_made_again_over_an_edit(place):
    set_radius(place, "160 mm")
    keeping.undo(place)
    place.write_text(place.read_text() + "# edited\n")
    assert keeping.undone_last(place) is None
    with pytest.raises(MachineErrors, match="Nothing to make again"):
        keeping.redo(place)
    assert place.read_text().endswith("# edited\n")
