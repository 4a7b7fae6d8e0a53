"""The command line as a user meets it: whole processes, exit codes, sentences."""

import json
import os
import subprocess
import sys

import pytest

LAYSHAFT = [sys.executable, "-m", "layshaft.faces.cli"]


def run(*arguments, stdin="", code=None):
    done = subprocess.run([*LAYSHAFT, *map(str, arguments)], capture_output=True, text=True, input=stdin, timeout=60)
    if code is not None:
        assert done.returncode == code, done.stdout[-500:] + done.stderr
    assert "Traceback" not in done.stderr
    return done


def test_check_of_the_example_says_everything_in_order():
    done = run("check", "examples/harbour-light", code=1)
    order = ["FAILS", "UNKNOWN", "THIN", "HOLDS", "WHAT GOVERNS EACH PART", "ENERGY", "RESTS ON THESE GUESSES",
             "CAUTIONS", "NEXT STEP"]
    places = [done.stdout.index(f"\n{head}") for head in order]
    assert places == sorted(places)


def test_check_as_data_holds_the_same_findings():
    data = json.loads(run("check", "examples/cider-mill", "--json", code=1).stdout)
    assert {f["verdict"] for f in data["findings"]} <= {"fails", "unknown", "thin", "holds"}
    assert all(f["source"] for f in data["findings"])
    incoming = sum(e["power"] for e in data["energy"]["entries"] if e["kind"] == "in")
    outgoing = sum(e["power"] for e in data["energy"]["entries"] if e["kind"] != "in")
    assert incoming == pytest.approx(outgoing, rel=1e-9)


def test_set_changes_one_given_and_is_named():
    done = run("check", "examples/cider-mill", "--set", "drives.pedals.radius=165 mm", code=1)
    assert done.stdout.startswith("Cider Mill, with what-if")


def test_option_of_the_file():
    done = run("check", "examples/harbour-light", "--option", "stout winding chain", code=1)
    assert "stages.winding chain: static strength" not in done.stdout.split("UNKNOWN")[0]


ALL_HOLD = """layshaft: 1
name: Winder
gravity: 9.81 m/s2
modules: {frame: {mass: 20 kg}}
shafts:
  reel:
    module: frame
    axis: x
    at: [0 m, 0 m, 1 m]
    material: C45+N
    finish: machined or cold-drawn
    reliability: 99 %
    wind up: 1 deg
    sections: [[30 mm, 260 mm]]
    seats:
      left bearing: {at: 20 mm, bearing: "6206", drag: 0.02 N m, break away: 2}
      yarn: {at: 90 mm, key: 8x7x50, keys: 1, key steel: C45+N, hub steel: C45+N}
      right bearing: {at: 160 mm, bearing: "6206", drag: 0.02 N m, break away: 2}
      handle: {at: 220 mm, key: 8x7x50, keys: 1, key steel: C45+N, hub steel: C45+N}
drives:
  handle: {kind: crank, shaft: reel, radius: 200 mm, people: 1, speed: 25 rpm, bout: 5 min, ripple: 1.4, run up: 1 s,
    worst push: 400 N, handle overhang: 80 mm, arms factor: 0.6}
loads:
  yarn: {kind: steady, shaft: reel, torque: 6 N m, break away: 1.5, inertia: 0.2 kg m2}
runs: {day: {time: 1 h, days per year: 20, years: 5}}
transit: {shock: 3 g}
"""


def test_a_machine_whose_parts_all_hold_ends_with_nought(tmp_path):
    (tmp_path / "machine.yaml").write_text(ALL_HOLD, encoding="utf-8")
    done = run("check", tmp_path, code=0)
    assert " 0 fail, 0 unknown, 0 thin" in done.stdout


@pytest.mark.parametrize(
    ("arguments", "words"),
    [
        (["check", "nowhere"], "There is no file"),
        (["check", "examples/cider-mill", "--set", "drives.pedals.radius=12 kg"], "is a mass"),
        (["check", "examples/cider-mill", "--set", "drives.pedal.radius=165 mm"], "pedals"),
        (["check", "examples/cider-mill", "--option", "nothing"], "smaller wheel"),
        (["sheet", "examples/cider-mill", "stages.mil chain"], "stages.mill chain"),
        (["balance", "examples/cider-mill", "--radius", "0 mm"], "no lever"),
        (["formulary", "roller_chain.geometry.pitch_diametre"], "pitch_diameter"),
        (["formulary", "roller_chain.geometry.pitch_diameter", "p=12.7", "z=19"], "unit"),
        (["new", "examples/cider-mill", "--yes"], "there already"),
        (["frobnicate"], "No such command"),
        (["check", "examples/cider-mill", "--report", "no such folder/mill.html"], "There is no folder no such folder"),
        (["check", "examples/cider-mill", "--report", "examples"], "examples is a folder"),
    ],
)
def test_bad_input_is_one_sentence_and_exit_code_2(arguments, words):
    done = run(*arguments, code=2)
    assert words in done.stderr


def test_sheet_of_a_part_ends_in_its_fingerprint():
    done = run("sheet", "examples/harbour-light", "lens chain", code=0)
    assert "stages.lens chain: static strength" in done.stdout
    assert "fingerprint " in done.stdout


def test_jam_names_what_lets_go_first():
    done = run("jam", "examples/harbour-light", code=0)
    assert "bell held fast by the drive's pull: 19.43 N m hold it" in done.stdout
    assert "lets go first: " in done.stdout


def test_balance_reads_the_cider_mill():
    """At 100 mm on the drum: 5.5 N m and two drags of 0.03, then through the chain the pedal's drags.

    Pedal drags 0.06 N m come in through the chain: 0.06 x 17/42 / 0.95 = 0.02556 N m.
    """
    data = json.loads(run("balance", "examples/cider-mill", "--json", code=0).stdout)
    drum = next(r for r in data if r["shaft"] == "drum")
    assert drum["running"] == pytest.approx((5.5 + 0.06 + 0.06 * 17 / 42 / 0.95) / 0.1, rel=1e-9)


def test_new_asks_and_the_answer_can_be_checked(tmp_path):
    done = run("new", tmp_path / "sign", stdin="a sign\n2 rpm\n5 N m\n\n\n\n", code=0)
    assert "machine.yaml" in done.stdout
    assert run("check", tmp_path / "sign", code=1).stdout.startswith("Sign\n")


def test_report_is_written_beside(tmp_path):
    run("check", "examples/cider-mill", "--report", tmp_path / "mill.html", code=1)
    assert (tmp_path / "mill.html").read_text(encoding="utf-8").startswith("<!doctype html>")


@pytest.mark.parametrize(("closed", "arguments", "code"), [
    ("0<&-", "new {folder}/sign", 0), ("1>&-", "check examples/cider-mill", 1), ("2>&-", "check nowhere", 2)])
def test_a_closed_stream_is_no_accident(tmp_path, closed, arguments, code):
    line = f"{sys.executable} -m layshaft.faces.cli {arguments.format(folder=tmp_path)} {closed}"
    done = subprocess.run(["sh", "-c", line], capture_output=True, text=True, timeout=60, check=False)
    assert (done.returncode, "Traceback" in done.stderr) == (code, False)


def test_a_terminal_without_umlauts_still_gets_the_check(tmp_path):
    (tmp_path / "machine.yaml").write_text(ALL_HOLD.replace("Winder", "Winde für Märchen"), encoding="utf-8")
    done = subprocess.run([*LAYSHAFT, "check", str(tmp_path)], capture_output=True, text=True, timeout=60, check=False,
                          env={**os.environ, "PYTHONIOENCODING": "ascii"})
    assert done.returncode == 0, done.stderr
    assert done.stdout.startswith("Winde f\\xfcr M\\xe4rchen")


def test_without_a_shock_the_road_is_unknown_by_name(tmp_path):
    text = ALL_HOLD.replace("transit: {shock: 3 g}\n", "")
    (tmp_path / "machine.yaml").write_text(text, encoding="utf-8")
    done = run("check", tmp_path, code=1)
    assert "follows from transit.shock, which is not given" in " ".join(done.stdout.split())


def test_torsion_of_the_example_names_what_swings():
    done = run("torsion", "examples/harbour-light", "--over", "20 s", code=1)  # backlash opens, the lens table may stick
    order = ["NATURAL FREQUENCIES", "WHAT SHAKES IT", "NEAR MISSES", "WHAT THE PULSES DO", "FROM REST", "STICK-SLIP",
             "SOUND", "TAKEN"]
    places = [done.stdout.index(f"\n  {head}") for head in order]
    assert places == sorted(places)
    assert "lens table 99%" in " ".join(done.stdout.split())
    assert max(map(len, done.stdout.splitlines())) <= 120
    data = json.loads(run("torsion", "examples/harbour-light", "--json", code=1).stdout)
    assert [one["seen at"] for one in data] == ["main", "crank"] and data[0]["modes"][0]["turns as one"]


def test_torsion_names_what_is_lacking_and_takes_it_as_rigid_on_request():
    grinder = "examples/hand-grinder"
    assert "unknown: stages.first belt.torsional stiffness" in run("torsion", grinder, code=1).stdout
    rigid = run("torsion", grinder, "--rigid", "first belt", "--rigid", "second belt")
    assert "NATURAL FREQUENCIES" in rigid.stdout
    assert "Did you mean 'first belt'" in run("torsion", grinder, "--rigid", "first", code=2).stderr
    assert "--damping '2' is out of range" in run("torsion", grinder, "--damping", "2", code=2).stderr
    assert "--over '3 h' is out of range" in run("torsion", grinder, "--over", "3 h", code=2).stderr
