"""Friction fitted to logs that a machine with known friction made, with noise: recovered within the stated error."""

import re
import shlex
from pathlib import Path

import numpy as np
import pytest
from pytest import approx
from typer.testing import CliRunner

import layshaft
from layshaft.faces.cli import app
from layshaft.machine.errors import MachineErrors
from layshaft.machine.reader import read_text
from layshaft.machine.sampling import scaled
from layshaft.study.friction_fit import fit, proposals
from layshaft.study.laid_over import laid_over
from layshaft.study.speed_log import SpeedLog, read_log
from layshaft.train.motion.course import follow
from layshaft.train.motion.programme import Programme

TEXT = """layshaft: 1
name: Logged
gravity: 10 m/s2
modules: {frame: {mass: 20 kg}}
shafts:
  drum: {module: frame, axis: x, material: C45+N, sections: [[30 mm, 300 mm]], at: [0 m, 0 m, 6 m], seats: {
    left: {at: 0 mm, bearing: open, drag: 0.2 N m, break away: 1}, drum: {at: 10 mm}, wheel: {at: 50 mm}, fan: {at: 90 mm},
    rub: {at: 120 mm}, right: {at: 200 mm, bearing: open, drag: 0 N m, break away: 1}}}
drives:
  weight: {kind: falling weight, shaft: drum, hangs on: +y, over people: no, mass: 8 kg, drop: 500 m, diameter: 200 mm,
           seat: drum}
loads:
  wheel: {kind: flywheel, shaft: drum, inertia: 3.42 kg m2}
  fan: {kind: fan brake, shaft: drum, constant: 0.04 N m s2, inertia: 0 kg m2}
  rub: {kind: steady, shaft: drum, torque: 1.5 N m, break away: 1, inertia: 0 kg m2}
"""
MACHINE = read_text(TEXT)
SOLVED = layshaft.solve(MACHINE)


def closed(t, fan, steady, J=3.5):
    """Turns of the drum from rest: omega = omega_e tanh(t / tau), and its integral."""
    level = np.sqrt((8 - steady) / fan)
    tau = J / (fan * level)
    return level * tau * np.log(np.cosh(np.clip(t, 0, None) / tau)) / (2 * np.pi)


def log_of(seed, fan=0.04, steady=1.7, late=1.3, per_turn=20, end=60.0, jitter=0.002):
    """Whole pulses seen at jittered times, the first anywhere within a pulse."""
    numbers = np.random.default_rng(seed)
    t = np.arange(0, end, 0.5)
    seen = closed(t - late + numbers.normal(0, jitter, len(t)), fan, steady) * per_turn
    count = np.floor(seen + numbers.uniform())
    return SpeedLog("log.csv", "drum", per_turn, t, count - count[0])


def factors(found):
    return {loss.name: (f, s) for loss, f, s in zip(found.losses, found.factors, found.spread, strict=True)}


def fitted(log, end=60.0):
    return fit(MACHINE, SOLVED, Programme("drum", time=end), log)


def test_one_loss_is_recovered_within_its_error():
    """Steady friction of 1.95 + 0.2 N m where the file has 1.5 + 0.2: ten logs, all within three deviations."""
    far = []
    for seed in range(10):
        found = fitted(log_of(seed, steady=0.2 + 1.5 * 1.3))
        every = [f for f in (found.best, *found.others) if [x.name for x in f.losses] == ["rub"]]
        (factor, spread), = (factors(f)["rub"] for f in every)
        far.append((factor - 1.3) / spread)
        assert spread < 2e-3 and found.late == approx(1.3, abs=0.1) and found.best.left < 0.4
        assert found.given.left > 10 * found.best.left
        assert ["all drags"] in [[x.name for x in f.losses] for f in (found.best, *found.others)]  # acts alike
    assert np.max(np.abs(far)) < 3 and 0.3 < np.std(far) < 2


def test_a_fan_is_told_from_steady_friction():
    """The fan at 0.8 of the file's: no steady loss explains the run-up as well."""
    found = fitted(log_of(3, fan=0.032))
    factor, spread = factors(found.best)["fan"]
    assert abs(factor - 0.8) < 3 * spread and spread < 1e-3
    assert all("fan" in [x.name for x in f.losses] for f in found.others)
    (given, value, low, high), = [p for p in proposals(found) if "fan" in p[0].path]
    assert given.cause == "loads.fan.constant" and low <= value <= high and value == approx(0.032, rel=2e-3)
    assert low < 0.032 < high


def test_two_losses_at_once():
    log = log_of(1, fan=0.032, steady=0.2 + 1.5 * 1.3, end=90.0, per_turn=60)
    found = fitted(log, 90.0)
    names = [x.name for x in found.best.losses]
    assert "fan" in names and len(names) == 2
    factor, spread = factors(found.best)["fan"]
    assert abs(factor - 0.8) < 3 * spread and spread < 0.05
    pairs = [factors(f) for f in (found.best, *found.others) if {"fan", "rub"} == {x.name for x in f.losses}]
    assert abs(pairs[0]["rub"][0] - 1.3) < 3 * pairs[0]["rub"][1]


def test_what_the_file_has_is_confirmed():
    found = fitted(log_of(5))
    assert all(low < 1 < high for low, high in map(found.ends, found.best.losses))


def test_scaling_shares_a_cause():
    twice = scaled(MACHINE, {"loads.fan.constant": 2.0})
    assert twice.loads["fan"].constant.nominal == approx(0.08) and twice.loads["rub"] is MACHINE.loads["rub"]


def test_laid_over_a_run_by_hand():
    """Fifty pulses a span: a log 2 % slow throughout is 2 % slow in every span."""
    motion = follow(SOLVED, Programme("drum", time=70.0)).motion
    t = np.arange(0.0, 61.0)
    turns = motion.at_time(t)[0] / (2 * np.pi)
    over = laid_over(SpeedLog("", "drum", 100.0, t, 0.98 * 100 * turns), motion, 1.0, 0.0)
    assert over.mean == approx(-0.02) and over.measured / over.predicted == approx(0.98)
    assert over.difference[over.worst] == approx(-0.02 * over.predicted.max() / over.predicted_mean)
    assert (over.begin[0], over.end[-1]) == (0, 60)


HEAD = "# shaft: drum\n# pulses per turn: 4\ntime in s;count\n"
LINES = [f"{i};{3 * i}" for i in range(12)]


def spoiled(**lines):
    return HEAD + "\n".join(lines.get(f"at_{i}", line) for i, line in enumerate(LINES))


@pytest.mark.parametrize(("text", "says"), [
    (spoiled(), ""),
    (spoiled().replace(";", ",").replace("time in s", "time (min)"), ""),
    ("", "log.csv:1:1: This table has no lines of numbers"),
    (HEAD, "log.csv:3:1: This table has no lines of numbers"),
    ("hello\n", "log.csv:1:1: The first line should name the columns, each with its unit: time in s, count."),
    (spoiled(at_5="5;many"), "log.csv:9:2: 'many' under 'count' is no number"),
    (spoiled(at_5="4,5;15", at_4="5;12"), "log.csv:9:1: The time here is 4.500 s, no later than 5.000 s"),
    (spoiled(at_5="5;2"), "log.csv:9:1: The count here is lower than on the line before"),
    (spoiled(at_11="30;40"), "log.csv:15:1: 20.00 s lie between this line and the one before, where lines are 1.000 s"),
    (HEAD + "0;0\n1;3\n", "log.csv:5:1: This table has 2 lines of numbers; it needs 8"),
    (HEAD + "\n".join(f"{i};7" for i in range(9)), "log.csv:12:1: This log counts no pulse at all"),
    (spoiled().replace("count", "pulses").replace("5;15", "5;-1"), "log.csv:9:1: There are fewer than no pulses"),
    (spoiled().replace("# shaft: drum\n", ""), "log.csv:1:1: The log does not say whose pulses it counts"),
    (spoiled().replace("drum", "moon"), "log.csv:1:1: The log counts pulses of 'moon'"),
    (spoiled().replace("# pulses per turn: 4\n", ""), "log.csv:1:1: The log does not say how many pulses a turn"),
    (spoiled().replace(": 4", ": few"), "log.csv:1:1: 'few' is no number of pulses a turn"),
    (spoiled().replace("in s", "in kg"), "log.csv:1:1: 'kg' is no unit of time"),
])
def test_bad_logs_in_one_sentence(tmp_path, text, says):
    place = tmp_path / "log.csv"
    place.write_text(text, encoding="utf-8")
    if not says:
        log = read_log(place, ["drum"])
        assert log.turns == approx(33 / 4) and log.time[-1] in (11, 660)
        return
    with pytest.raises(MachineErrors) as refused:
        read_log(place, ["drum"])
    assert says in str(refused.value) and "\n" not in str(refused.value)


def test_pulses_since_the_line_before_and_what_is_told(tmp_path):
    place = tmp_path / "log.csv"
    place.write_text("time in s,pulses\n" + "\n".join(f"{i},3" for i in range(12)), encoding="utf-8")
    log = read_log(place, ["drum"], "drum", 6.0)
    assert log.count[-1] == 33 and log.mean == approx(2 * np.pi * 33 / 6 / 11)


def test_on_the_command_line_it_proposes_and_changes_nothing(tmp_path):
    place, log = tmp_path / "machine.yaml", tmp_path / "log.csv"
    place.write_text(TEXT, encoding="utf-8")
    made = log_of(2, fan=0.032)
    log.write_text("time in s,count\n" + "\n".join(f"{t:.3f},{n:.0f}" for t, n in zip(made.time, made.count, strict=True)),
                   encoding="utf-8")
    asked = ["run", str(place), "--log", str(log), "--log-shaft", "drum", "--log-pulses", "20"]
    done = CliRunner().invoke(app, asked)
    assert done.exit_code == 0 and "MEASURED LOG" in done.output and "largest difference: +" in done.output
    assert place.read_text(encoding="utf-8") == TEXT
    line = re.search(r"layshaft (change .*)", done.output).group(1)
    assert "source: measured" in line
    changed = CliRunner().invoke(app, shlex.split(line))
    assert changed.exit_code == 0, changed.output
    fan = layshaft.read(place).loads["fan"].constant
    assert fan.source == "measured" and fan.nominal == approx(0.032, rel=2e-3) and fan.low < 0.032 < fan.high
    data = CliRunner().invoke(app, [*asked, "--json"])
    assert '"proposed"' in data.output


def test_the_drawing_shows_what_was_measured(tmp_path):
    pytest.importorskip("matplotlib")
    place, log, sheet = (tmp_path / name for name in ("machine.yaml", "log.csv", "run.svg"))
    place.write_text(TEXT, encoding="utf-8")
    made = log_of(2, end=20.0)
    log.write_text("time in s,count\n" + "\n".join(f"{t:.3f},{n:.0f}" for t, n in zip(made.time, made.count, strict=True)),
                   encoding="utf-8")
    done = CliRunner().invoke(app, ["run", str(place), "--log", str(log), "--log-shaft", "drum", "--log-pulses", "20",
                                    "--plot", str(sheet)])
    assert done.exit_code == 0 and "measured" in Path(sheet).read_text(encoding="utf-8")
