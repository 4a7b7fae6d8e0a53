"""Machines side by side against each of them checked alone."""

import json
from pathlib import Path

import numpy as np
import pytest
from typer.testing import CliRunner

import layshaft
from layshaft.faces.cli import app
from layshaft.faces.comparing import compare_text, write_plot
from layshaft.machine.sampling import sample
from layshaft.study.compare import AS_IT_STANDS, compare
from layshaft.trace.errors import BadInput
from layshaft.train.motion.figures import RunSeen, figures_of
from layshaft.train.motion.results import motion_of
from layshaft.verdict.rate import finding, glance, rate

LIGHT = Path(__file__).parents[2] / "examples" / "harbour-light"
MACHINE = layshaft.read(LIGHT)
FOUND = compare(MACHINE, ["stout winding chain", "no flywheel", "no flywheel + great bell"])


def alone(*options):
    machine = MACHINE
    for name in options:
        machine = layshaft.named_option(machine, name)
    try:
        run = figures_of(motion_of(layshaft.solve(machine)))  # as `layshaft run` keeps it and `layshaft check` counts it
    except BadInput:
        assert "great bell" in options  # which does not start
        return layshaft.rate(layshaft.solve(machine))
    return rate(layshaft.solve(machine, run.moments), RunSeen(run))


CHECKED = [alone(), alone("stout winding chain"), alone("no flywheel"), alone("no flywheel", "great bell")]


def test_what_moves_is_what_differs_between_checks_of_each():
    assert FOUND.labels[0] == AS_IT_STANDS
    tables = []
    for verdict in CHECKED:
        table = {}
        for f in verdict.findings:
            table.setdefault((f.part, f.mode), f)
        tables.append(table)
    differing = set()
    for key in {k for t in tables for k in t}:
        found = [t.get(key) for t in tables]
        words = {None if f is None else f.verdict for f in found}
        margins = [f.margin for f in found if f is not None and np.isfinite(f.margin)]
        if len(words) > 1 or (margins and (max(margins) - min(margins)) > 0.01 * max(margins)):
            differing.add(key)
    assert {m.key for m in FOUND.moved} == differing
    for m in FOUND.moved:
        for f, table in zip(m.found, tables, strict=True):
            assert (f is None) == (m.key not in table)
            assert f is None or (f.verdict, f.demand_text) == (table[m.key].verdict, table[m.key].demand_text)


def test_facts_are_those_of_each_machine():
    facts = {f.name: f for f in FOUND.facts}
    for i, verdict in enumerate(CHECKED):
        assert facts["verdicts: fails"].values[i] == sum(f.verdict == "fails" for f in verdict.findings)
        assert facts["one drop of weight lasts"].values[i] == pytest.approx(verdict.solved.budget.windings[0].running_time[0], nan_ok=True)
        assert facts["power lost while it runs"].values[i] == pytest.approx(verdict.solved.budget.total("lost")[0], nan_ok=True)
    swing = facts["swing of spindle within a turn"].values
    assert swing[2] > 2 * swing[0] and np.isnan(swing[3])  # without its flywheel it swings; the great bell stops it
    assert facts["mass of all parts"].values[0] - facts["mass of all parts"].values[2] == pytest.approx(7.77)


def test_the_words_name_what_changes():
    text = compare_text(FOUND)
    assert "no longer hold" in text and "no flywheel + great bell" in text
    changed = FOUND.changes(2)
    assert all(f.verdict == to for (_, to), fs in changed.items() for f in fs)
    assert any(was == "holds" for was, _ in changed)


def test_the_command_draws_and_refuses(tmp_path):
    run = CliRunner().invoke(app, ["compare", str(LIGHT), "no flywheel", "--json"])
    assert json.loads(run.stdout)["machines"] == [AS_IT_STANDS, "no flywheel"]
    write_plot(FOUND, tmp_path / "moved.svg")
    assert "slope" in (tmp_path / "moved.svg").read_text() or (tmp_path / "moved.svg").stat().st_size > 10_000
    run = CliRunner().invoke(app, ["compare", str(LIGHT), "no such"])
    assert "There is no option 'no such'" in str(run.exception)


STRANDS = compare(MACHINE, ["lens duplex", "lens twin", "helical fan gears", "double helical fan gears"])


def test_width_thrust_and_timing_are_those_of_the_parts():
    facts = {f.name: f.values for f in STRANDS.facts}
    width = facts["width along main of what turns lens lay"]
    pitch = 13.92e-3  # ISO 606, 08B: transverse pitch of strands
    assert width[1] - width[0] == pytest.approx(pitch, abs=1e-5)
    assert width[2] - width[0] == pytest.approx(20e-3)  # the second chain sits 20 mm beside the first
    for shaft in ("main", "fan lay"):
        thrust = facts[f"thrust on the bearings of {shaft} while it runs"]
        assert thrust[0] == thrust[4] == pytest.approx(0, abs=1e-9) and thrust[3] > 10  # halves of opposite hand cancel
    solved = STRANDS.verdicts[3].solved
    torque = abs(solved.stage_torque["fan gears 1"][0][0]).max()
    pull = torque / (120 * 2e-3 / np.cos(np.radians(15)) / 2)  # on the pitch circle of the wheel
    assert facts["thrust on the bearings of main while it runs"][3] == pytest.approx(pull * np.tan(np.radians(15)), rel=1e-3)
    assert len(facts["timing error of bell by links, teeth and runout"]) == 5


def test_what_is_missing_is_told_for_each_machine():
    missing = {loss.what: loss.found for loss in STRANDS.losses}
    assert missing["lantern is not fitted"][0].stands == ("lens table",)
    assert missing["bell is not fitted"][0].stands == ("hammer cam",)
    lens = missing["one strand or stage between lens lay and main fails"]
    assert lens[0].stands == ("lens table",) and lens[0].runs_away.verdict == "holds"
    assert lens[2].stands == () and len(lens[2].goes_on) == 1 and lens[2].goes_on[0].startswith("lens chain")
    fan = missing["one strand or stage between fan lay and main fails"]
    assert fan[0].stands == ("fan", "flywheel") and fan[0].runs_away.verdict == "fails" and fan[4].goes_on
    text = compare_text(STRANDS)
    assert "THE TRADE-OFF" in text and "IF SOMETHING IS MISSING" in text and "the weight runs away, at risk" in text


@pytest.mark.parametrize("draws", [1, 3])
def test_a_glance_ranks_every_verdict_as_its_finding_does(draws):
    verdict = layshaft.rate(layshaft.solve(sample(MACHINE, draws, 1) if draws > 1 else MACHINE))
    seen = 0
    for r in verdict.rated:
        codes, share = glance(r)
        for p, c in np.argwhere(r.asked).tolist()[::7]:
            word, part = finding(verdict, r, p, c).rank
            assert (codes[p, c], share[p, c]) == (word, pytest.approx(part, rel=1e-12))
            seen += 1
    assert seen > 500
