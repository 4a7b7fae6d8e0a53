"""`layshaft run` as a user meets it: the printed tables, files, refusals and exit codes."""

import csv
import json
import os
import pty
import signal
import subprocess
import time
from pathlib import Path

import numpy as np
import pytest

from faces.test_cli import LAYSHAFT, run


def test_a_run_of_the_example_in_order():
    done = run("run", "examples/harbour-light", code=0)
    heads = ["WHAT HAPPENED", "SPEED, once settled", "TIMING, against even spacing", "SWING AND TIMING BY SOURCE", "CHANGES", "EVERY COMBINATION OF LOADS",
             "WINDING: weight", "LARGEST TORQUE OF EACH STAGE", "ENERGY OF THE RUN", "HOW IT WAS RECKONED", "CAUTIONS"]
    places = [done.stdout.index(f"\n{head}") for head in heads]
    assert places == sorted(places) and done.stderr == ""
    assert "clear weather" in done.stdout and "estimated error" in done.stdout


def test_energy_as_data_adds_up():
    data = json.loads(run("run", "examples/harbour-light", "--json", "--time", "10 min", code=0).stdout)
    energy = data["energy"]
    lines = {kind: sum(x["work"] for x in energy["lines"] if x["kind"] == kind) for kind in ("in", "used", "lost")}
    left = sum(energy["in motion at the end"].values()) + energy["taken by the floor"]
    assert lines["in"] == pytest.approx(lines["used"] + lines["lost"] + left, rel=1e-6)
    assert data["time"] == 600


def test_csv_and_drawing(tmp_path):
    table, drawing = tmp_path / "run.csv", tmp_path / "run.svg"
    run("run", "examples/harbour-light", "--time", "12 min", "--csv", table, "--plot", drawing, code=0)
    with table.open(encoding="utf-8") as file:
        rows = list(csv.DictReader(file))
    times = np.array([float(row["time in s"]) for row in rows])
    heights = np.array([float(row["height of weight in m"]) for row in rows])
    assert (np.diff(times) >= 0).all() and times[-1] == 720 and 0 <= heights.min() < heights.max() < 1.45
    assert any(name.startswith("torque on") for name in rows[0])
    assert drawing.read_text(encoding="utf-8").count("<path") > 20


@pytest.mark.parametrize(("words", "sentence"), [
    (("examples/cider-mill",), "is decided by pedals"),
    (("examples/harbour-light", "--set", "loads.hammer cam.energy=60 J"), "It will not start"),
    (("examples/harbour-light", "--plot", "run.txt"), "run.txt cannot be drawn"),
    (("examples/harbour-light", "--csv", "nowhere/run.csv"), "There is no folder nowhere"),
    (("examples/harbour-light", "--time", "0 s"), "is no time to run"),
    (("examples/harbour-light", "--time", "5 kg"), "kg"),
])
def test_bad_input_is_one_sentence_and_code_2(words, sentence):
    done = run("run", *words, code=2)
    assert sentence in done.stderr and done.stdout == ""


def test_a_bell_too_heavy_stops_it_with_code_1(tmp_path):
    text = Path("examples/harbour-light/machine.yaml").read_text(encoding="utf-8")
    text = text.replace("per turn: 4", "per turn: 1").replace("over: 80 deg", "over: 300 deg")
    place = tmp_path / "machine.yaml"
    place.write_text(text.replace("    clear weather: {at: 22 min, without: [hammer cam]}\n    mist again: {after: 30, turns of: spindle}",
                                  "    clear weather: {at: 0 s, without: [hammer cam]}\n    mist again: {at: 2 min}"), encoding="utf-8")
    done = run("run", place, "--set", "loads.hammer cam.energy=200 J", code=1)
    said = " ".join(done.stdout.split())
    assert "in a lift of hammer cam: the lift takes 200.0 J" in said


def test_progress_is_shown_to_who_watches_and_ctrl_c_keeps_what_is_done():
    watched, terminal = pty.openpty()
    sets = ["--set", "loads.hammer cam.over=79.9 deg", "--set", "programme.winding.first.unevenness=20 %",
            "--set", "programme.winding.first.at=10 s", "--set", "programme.winding.first.lasts=40000 s",
            "--set", "programme.winding.first.speed=1.35 rpm", "--set", "drives.weight.drop=40 m"]
    job = subprocess.Popen([*LAYSHAFT, "run", "examples/harbour-light", "--time", "11 h", *sets],
                           stdout=subprocess.PIPE, stderr=terminal, text=True)
    seen, until = b"", time.monotonic() + 120
    while b"Ctrl-C keeps" not in seen and time.monotonic() < until:
        seen += os.read(watched, 200)
    job.send_signal(signal.SIGINT)
    out, _ = job.communicate(timeout=120)
    os.close(terminal)
    os.close(watched)
    assert job.returncode == 130 and "it was broken off here" in out and "ENERGY OF THE RUN" in out


def test_the_table_of_losses_and_one_of_them(tmp_path):
    """What the table says of a loss is what `--lost` shows; a loss nothing ends is told by the exit code."""
    table = run("run", "examples/mill-hoist", code=0).stdout
    line = next(x for x in table.splitlines() if x.startswith("  vanes "))
    assert "the floor alone" in line and "fan, 483" in line
    assert "held by ratchet" in next(x for x in table.splitlines() if x.startswith("  hoist gears "))
    drawing, numbers = tmp_path / "lost.svg", tmp_path / "lost.csv"
    one = run("run", "examples/harbour-light", "--lost", "fan", "--plot", drawing, "--csv", numbers, code=1).stdout
    heads = ["WHAT HAPPENS", "SPEED OF EVERY SHAFT", "SPEED OVER TIME", "STORED IN WHAT TURNS", "WHEN WEIGHT LANDS", "CAUTIONS"]
    places = [one.index(f"\n{head}") for head in heads]
    assert places == sorted(places) and "whoever stands under or beside weight" in one
    assert drawing.read_text(encoding="utf-8").startswith("<?xml")
    with numbers.open(encoding="utf-8") as file:
        rows = [{k: float(v) for k, v in row.items()} for row in csv.DictReader(file)]
    data = json.loads(run("run", "examples/harbour-light", "--lost", "fan", "--json", code=1).stdout)
    top = data["parts"][0]["shafts"]["fan"]["largest"]
    assert max(row["speed of fan in rad/s"] for row in rows) == pytest.approx(top, rel=0.01)
    assert rows[-1]["speed of fan in rad/s"] == pytest.approx(0.0, abs=1e-3)


def test_a_loss_that_is_held_ends_well_and_one_that_is_not_there_is_said():
    assert "holds it at once" in run("run", "examples/mill-hoist", "--lost", "pin", code=0).stdout
    said = run("run", "examples/mill-hoist", "--lost", "pins", code=2).stderr
    assert "Did you mean" in said and said.count("'pin'") == 1
