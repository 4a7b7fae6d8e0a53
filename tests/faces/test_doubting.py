"""`layshaft doubt` of a few findings, with a picture and a report."""

import json
from pathlib import Path

import pytest
from typer.testing import CliRunner

from layshaft.faces.cli import app
from layshaft.trace.errors import BadInput

HARBOUR = str(Path(__file__).parents[2] / "examples" / "harbour-light")


def run(*words):
    return CliRunner().invoke(app, ["doubt", HARBOUR, "--draws", "64", *words])


def test_a_few_findings_alone_have_the_odds_they_have_among_all():
    every = json.loads(run("--json").stdout)["verdicts"]
    few = json.loads(run("--json", "--only", "stages.lens coupling: misalignment", "--only", "shafts.wind.seats").stdout)
    assert {(v["part"], v["mode"]) for v in few["verdicts"]} == {
        (v["part"], v["mode"]) for v in every if v["part"].startswith("shafts.wind.seats.")
        or (v["part"], v["mode"]) == ("stages.lens coupling", "misalignment")}
    among = {(v["part"], v["mode"]): v["holds"] for v in every}
    assert all(v["holds"] == among[v["part"], v["mode"]] for v in few["verdicts"])


@pytest.mark.parametrize(("words", "said"), [
    (("--only", "stages.lens couplin"), "Did you mean 'stages.lens coupling'?"),
    (("--only", "stages.lens coupling: misaligment"), "Did you mean 'misalignment'?"),
    (("--plot", "bands.png"), "ends in .svg"),
    (("--plot", "no such folder/bands.svg"), "There is no folder"),
    (("--report", "."), "is a folder"),
])
def test_what_cannot_be_done_is_said_before_the_work(words, said):
    done = run(*words)
    assert isinstance(done.exception, BadInput) and said in str(done.exception)


def test_picture_and_report_are_written_and_told(tmp_path):
    picture, report = tmp_path / "bands.svg", tmp_path / "report.html"
    done = run("--plot", str(picture), "--report", str(report), "--only", "stages.lens coupling")
    assert f"The picture is in {picture}." in done.stdout and f"The report is in {report}." in done.stdout
    assert "Only the " in done.stdout and "findings asked for." in done.stdout
    assert picture.read_text(encoding="utf-8").startswith("<svg") and 'id="odds"' in report.read_text(encoding="utf-8")
