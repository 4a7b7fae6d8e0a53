"""What is kept of a run: used for as long as the machine is the same, as good as none otherwise."""

import json
import random
import shutil
import signal
import subprocess
import sys
import time
from pathlib import Path

import pytest

from faces.test_cli import run
from layshaft.machine import apply, read
from layshaft.machine.reader import read_text
from layshaft.project import runs
from layshaft.project.keeping import FOLDER
from layshaft.train.moments import Moment
from layshaft.train.motion.figures import EARLIER_STATE, NOT_RUN, Asked, Figures, Timed

EXAMPLES = Path(__file__).parents[2] / "examples"
FIGURES = Figures(2700.0, float("inf"), float("nan"), 0.2, "a change", {"drum": Timed("turns of drum", 9, 0.1, 0.2, 0.3)},
                  {"weight": 360.0}, [Asked("first", "crank", 40.0, 60.0)],
                  [Moment("main", 12.0, 0.2, (("hammer cam", 4.3),), (), (), (("weight", 1.01),), "", {"lens chain": 7.5}, 1.02)])


@pytest.fixture
def place(tmp_path):
    return Path(shutil.copy(EXAMPLES / "harbour-light" / "machine.yaml", tmp_path / "machine.yaml"))


def same(found):
    return found is not None and repr(found) == repr(FIGURES)  # NaN is equal to nothing but its own words


def test_what_is_kept_is_read_again(place):
    assert runs.kept_run(read(place)).why == NOT_RUN
    runs.keep_run(read(place), FIGURES)
    assert same(runs.kept_run(read(place)).figures) and same(runs.kept_run(read(place.parent)).figures)


def test_an_edit_makes_it_that_of_an_earlier_state_and_back_again(place):
    text = place.read_text(encoding="utf-8")
    runs.keep_run(read(place), FIGURES)
    place.write_text(text.replace("mass: {value: 96 kg", "mass: {value: 97 kg"), encoding="utf-8")
    stale = runs.kept_run(read(place))
    assert stale.figures is None and stale.why == EARLIER_STATE
    place.write_text(text, encoding="utf-8")
    assert same(runs.kept_run(read(place)).figures)


@pytest.mark.parametrize(("old", "new"), [
    ("\nname: Harbour Light", "\n# a word more\nname: Harbour Light"), ("note: panels not cast yet}", "note: cast}"),
    ("set: {loads.hammer cam.energy: 20 J}", "set: {loads.hammer cam.energy: 30 J}"),
])
def test_words_about_the_machine_do_not_count(place, old, new):
    text = place.read_text(encoding="utf-8")
    runs.keep_run(read(place), FIGURES)
    assert old in text
    place.write_text(text.replace(old, new), encoding="utf-8")
    assert same(runs.kept_run(read(place)).figures)


def test_a_part_bought_and_a_what_if_are_states_of_their_own(place):
    machine = read(place)
    changed = apply(machine, {"set": {"loads.fan.trim": "90 %"}})
    runs.keep_run(machine, FIGURES)
    assert runs.kept_run(changed).why == EARLIER_STATE
    runs.keep_run(changed, FIGURES)
    assert same(runs.kept_run(machine).figures) and same(runs.kept_run(changed).figures)
    (place.parent / "parts.csv").write_text("name,kind,source,read in\nspare,steel,listed,a list\n", encoding="utf-8")
    assert runs.kept_run(read(place)).why == EARLIER_STATE


@pytest.mark.parametrize("harm", [
    lambda text: "", lambda text: text[: len(text) // 2], lambda text: "[]", lambda text: '{"form": 2, "figures": 3}',
    lambda text: text.replace('"form": 2', '"form": 99'), lambda text: text.replace("2700.0", '"2700"'),
    lambda text: text.replace('"events": 9', '"events": true'), lambda text: text.replace('"lasted"', '"last"'),
    lambda text: "[" * 100_000, lambda text: text.replace('"moments": [', '"moments": [7, '),
])
def test_a_torn_record_is_as_good_as_none(place, harm):
    record = runs.keep_run(read(place), FIGURES)
    record.write_text(harm(record.read_text()), encoding="utf-8")
    assert runs.kept_run(read(place)).figures is None and runs.kept_run(read(place)).why == NOT_RUN


def test_a_deleted_folder_is_as_good_as_none_and_is_made_again(place):
    runs.keep_run(read(place), FIGURES)
    shutil.rmtree(place.parent / FOLDER)
    assert runs.kept_run(read(place)).why == NOT_RUN
    runs.keep_run(read(place), FIGURES)
    assert same(runs.kept_run(read(place)).figures)


def test_only_the_last_states_are_kept(place):
    machine = read(place)
    for n in range(runs.MOST_RECORDS + 5):
        runs.keep_run(apply(machine, {"set": {"loads.fan.trim": f"{50 + n} %"}}), FIGURES)
    assert len(list((place.parent / FOLDER).glob("*.run.*.json"))) == runs.MOST_RECORDS
    assert runs.kept_run(machine).why == EARLIER_STATE


def test_a_machine_without_a_file_keeps_nothing(place):
    machine = read_text(place.read_text(encoding="utf-8"))
    assert runs.keep_run(machine, FIGURES) is None and runs.kept_run(machine).why == NOT_RUN


WRITER = """
import sys
from layshaft.machine import read
from layshaft.project import runs
sys.path.insert(0, sys.argv[2])
from project.test_runs import FIGURES
machine = read(sys.argv[1])
print("ready", flush=True)
while True:
    runs.keep_run(machine, FIGURES)
"""


def test_a_writer_killed_at_any_moment_leaves_a_whole_record_or_none(place):
    draw, machine = random.Random(7), read(place)
    for _ in range(5):
        process = subprocess.Popen([sys.executable, "-c", WRITER, str(place), str(Path(__file__).parents[1])],
                                   stdout=subprocess.PIPE, text=True)
        assert process.stdout.readline() == "ready\n"
        time.sleep(draw.uniform(0.005, 0.1))
        process.send_signal(signal.SIGKILL)
        process.wait()
        process.stdout.close()
        found = runs.kept_run(machine)
        assert same(found.figures) or found.why == NOT_RUN
    runs.keep_run(machine, FIGURES)
    assert same(runs.kept_run(machine).figures)


def wanted(place, *words):
    data = json.loads(run("check", place, "--json", *words, code=1).stdout)
    return {f["checked"]: f for f in data["findings"] if f["part"] == "wants.open day"}


def test_the_commands_hand_it_on(place):
    assert {f["reason"] for f in wanted(place).values()} == {NOT_RUN}
    told = run("run", place, "--time", "10 min", code=0).stdout
    assert "`layshaft check` does not use it" in " ".join(told.split()) and {f["reason"] for f in wanted(place).values()} == {NOT_RUN}
    data = json.loads(run("run", place, "--json", code=0).stdout)
    assert data["kept"] is True and {f["verdict"] for f in data["wanted"]} == {"holds"}
    told = {f["checked"]: f for f in data["wanted"] if f["part"] == "wants.open day"}
    assert wanted(place) == told
    assert {f["reason"] for f in wanted(place, "--option", "short cam").values()} == {EARLIER_STATE}


def test_a_want_that_fails_ends_the_run_with_1(place):
    done = run("run", place, "--set", "wants.open day.droop=15 %", code=1)
    section = done.stdout.split("WANTED OF THE RUN")[1].split("LARGEST TORQUE")[0]
    assert "fails" in section and "largest at 'clear weather'" in section


def test_a_folder_that_cannot_be_written_stops_no_run(place):
    (place.parent / FOLDER).write_text("in the way", encoding="utf-8")
    done = run("run", place, code=0)
    assert "Nothing of it is kept" in done.stdout and done.stderr == ""
