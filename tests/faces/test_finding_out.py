"""`layshaft find-out`: the sheet as text, data and one page, the empty table, readings told and kept."""

import json
import shutil
from pathlib import Path

import pytest
from typer.testing import CliRunner

from layshaft.faces.cli import app

EXAMPLES = Path(__file__).parents[2] / "examples"
RUN = CliRunner()
PULLS = "pull running in N,arm in mm\n1.2,200\n1.4,200\n1.3,200\n1.1,200\n1.5,200\n"


@pytest.fixture
def light(tmp_path):
    return Path(shutil.copytree(EXAMPLES / "harbour-light", tmp_path / "light"))


def ask(*words):
    return RUN.invoke(app, ["find-out", *map(str, words)])


def test_the_sheet_has_all_a_bench_needs(light):
    done = ask(light, "lens table.rolling coefficient")
    assert done.exit_code == 0
    for title in ("TEST SHEET: lens table, rolling coefficient",
                  "in the machine file: loads.lens table.rolling coefficient", "WHAT IT WOULD SETTLE", "TEST: ",
                  "HOW OFTEN", "WRITE DOWN", "CAUTIONS", "Rig:", "Instruments:", "Expect about", "holds below"):
        assert title in done.stdout
    assert max(map(len, done.stdout.splitlines())) <= 120
    data = json.loads(ask(light, "lens table.rolling coefficient", "--json").stdout)
    assert data["take"] >= 3 and f"Take {data['take']} repeats" in done.stdout
    assert data["cautions"]


def test_the_list_names_what_owns_the_doubt(light):
    done = ask(light)
    assert done.exit_code == 0
    assert "drives.crank.worst push" in done.stdout
    assert "by a person's effort at the crank" in done.stdout


def test_the_empty_table_is_refused_until_filled_in_and_never_overwritten(light, tmp_path):
    table = tmp_path / "table.csv"
    assert ask(light, "main.seats.left bearing.drag", "--template", table).exit_code == 0
    empty = ask(light, "main.seats.left bearing.drag", "--readings", table)
    assert "no lines of numbers" in str(empty.exception)
    table.write_text(table.read_text() + "1.2,200\n1.4,200\n1.3,200\n")
    told = ask(light, "main.seats.left bearing.drag", "--readings", table)
    assert "MEASURED: shafts.main.seats.left bearing.drag" in told.stdout
    again = ask(light, "main.seats.left bearing.drag", "--template", table)
    assert "is there already" in str(again.exception)


def test_readings_are_shown_and_kept_only_on_request(light, tmp_path):
    table, file = tmp_path / "pulls.csv", light / "machine.yaml"
    table.write_text(PULLS)
    before = file.read_text()
    shown = ask(light, "main.seats.left bearing.drag", "--readings", table)
    assert shown.exit_code == 1
    assert "THEY CONTRADICT EACH OTHER" in shown.stdout
    assert file.read_text() == before
    kept = ask(light, "main.seats.left bearing.drag", "--readings", table, "--keep")
    assert kept.exit_code == 1
    assert "source: measured" in file.read_text()
    changed = [line for line in file.read_text().splitlines() if line not in before.splitlines()]
    assert len(changed) == 1
    check = RUN.invoke(app, ["check", str(light)])
    assert "measured against guessed" in check.stdout
    assert RUN.invoke(app, ["undo", str(light)]).exit_code == 0
    assert file.read_text() == before


def test_what_does_not_go_together_is_said(light, tmp_path):
    table = tmp_path / "pulls.csv"
    table.write_text(PULLS)
    assert "--keep writes what was measured" in str(ask(light, "main.seats.left bearing.drag", "--keep").exception)
    here = ask(light, "main.seats.left bearing.drag", "--readings", table, "--keep", "--here")
    assert "take their value from" in str(here.exception)
    sets = ask(light, "drag", "--readings", table, "--keep", "--set", "gravity=9.8 m/s2")
    assert "leave --set and --option out" in str(sets.exception)


def test_the_page_holds_everything_in_itself(light, tmp_path):
    page = tmp_path / "sheet.html"
    assert ask(light, "crank.worst push", "--html", page).exit_code == 0
    text = page.read_text()
    assert "<script" not in text
    assert "http" not in text.replace("http-equiv", "")
    for heading in ("What it would settle", "How often", "Write down", "Cautions"):
        assert f"<h2>{heading}</h2>" in text


def test_a_rig_is_foretold_first_and_read_beside_it(light, tmp_path):
    rig = tmp_path / "rig"
    done = ask(light, "--rig", rig, "--part", "spindle", "--as", "break-away")
    assert done.exit_code == 0
    assert "PREDICTED" in done.stdout
    assert "CAUTIONS" in done.stdout
    assert sorted(p.name for p in rig.iterdir()) == ["machine.yaml", "prediction.csv", "readings.csv"]
    check = RUN.invoke(app, ["check", str(rig)])
    assert "spindle on the bench" in check.stdout
    assert "no even speed" in check.stdout
    table = rig / "readings.csv"
    assert "no lines of numbers" in str(ask(rig, "--readings", table).exception)
    table.write_text(table.read_text() + "6.5,3.3\n6.8,3.4\n6.6,3.2\n")
    told = ask(rig, "--readings", table)
    assert told.exit_code == 0
    assert "foretells this rig" in told.stdout
    table.write_text(table.read_text().replace("6.", "16."))
    off = ask(rig, "--readings", table)
    assert off.exit_code == 1
    assert "does not foretell mass that starts it" in off.stdout
    (rig / "machine.yaml").write_text((rig / "machine.yaml").read_text().replace("drop: 1 m", "drop: 2 m"))
    assert "IS NO LONGER the one" in ask(rig, "--readings", table).stdout
    assert "stays as it is" in str(ask(light, "--rig", rig, "--part", "spindle").exception)


def test_a_changed_rig_is_foretold_again_until_something_was_read(light, tmp_path):
    rig = tmp_path / "rig"
    assert "too short for a stop watch" in ask(light, "--rig", rig, "--part", "main").stdout
    before = (rig / "prediction.csv").read_text()
    file = rig / "machine.yaml"
    file.write_text(file.read_text().replace("drop: 1 m", "drop: 2 m"))
    assert ask(rig, "--rig", rig).exit_code == 0
    after = (rig / "prediction.csv").read_text()
    assert [line.split(",")[0] for line in before.splitlines()[3:]] == [
        line.split(",")[0] for line in after.splitlines()[3:]]
    assert before != after
    with (rig / "readings.csv").open("a") as table:
        table.write("1,6,1,5\n1,6,1,5\n")
    assert "comes before the readings" in str(ask(rig, "--rig", rig).exception)
    assert (rig / "prediction.csv").read_text() == after


def test_readings_without_a_given_need_a_rig(light, tmp_path):
    table = tmp_path / "pulls.csv"
    table.write_text(PULLS)
    assert "name it, as in" in str(ask(light, "--readings", table).exception)


@pytest.mark.browser
@pytest.mark.parametrize("given", ["crank.worst push", "lens table.rolling coefficient", "modules.lantern.mass",
                                   "hammer cam.energy", "lens table.radius of gyration"])
def test_the_page_is_one_page_a4(light, tmp_path, page, given):
    sheet = tmp_path / "sheet.html"
    assert ask(light, given, "--html", sheet).exit_code == 0
    page.goto(sheet.as_uri())
    printed = page.pdf(prefer_css_page_size=True)
    assert printed.count(b"/Type /Page\n") == 1
