"""`layshaft choose`: what is printed, written and refused."""

import json
import shutil
from pathlib import Path

import pytest
from typer.testing import CliRunner

import layshaft
from layshaft.faces.cli import app
from layshaft.faces.terminal import BAD_INPUT
from layshaft.trace.errors import BadInput

LIGHT = Path(__file__).parents[2] / "examples" / "harbour-light"


@pytest.fixture
def project(tmp_path):
    shutil.copytree(LIGHT, tmp_path / "light", ignore=shutil.ignore_patterns(".layshaft"))
    return tmp_path / "light"


def run(*words):
    return CliRunner().invoke(app, ["choose", *map(str, words)])


def test_a_page_says_why_what_is_nearest_and_what_a_smaller_one_breaks():
    done = run(LIGHT, "lens chain")
    assert done.exit_code == 0, done.output
    for words in ("54 combinations of 1 size", "WORTH A LOOK", "lightest", "least margins", "one smaller", "breaks:",
                  "NOT WEIGHED", "price: no list tells the price", "licensed person"):
        assert words in done.output, words
    assert max(map(len, done.output.splitlines())) <= 120


def test_most_says_how_many_more_there_are():
    words = ("shafts.lens lay", "shafts.lens lay.seats.left bearing.bearing", "shafts.lens lay.seats.right bearing.bearing",
             "shafts.lens lay.seats.sprocket.key", "shafts.lens lay.seats.coupling.key")
    done = run(LIGHT, *words, "--prefer", "mass,across,one part number", "--most", "1")
    assert done.exit_code == 0, done.output
    whole = json.loads(run(LIGHT, *words, "--prefer", "mass,across,one part number", "--json").output)
    more = len(whole["candidates"]) - 1
    assert (f"and {more} more" in done.output) == (more > 0)


def test_plain_data_carries_the_option_that_takes_each():
    data = json.loads(run(LIGHT, "stages.lens chain", "--json").output)
    assert data["combinations"] == 54 and data["complete"]
    machine = layshaft.read(LIGHT)
    for candidate in data["candidates"]:
        taken = layshaft.apply(machine, candidate["option"])
        assert taken.stages["lens chain"].chain.name == candidate["sizes"]["stages.lens chain.chain"]
        assert candidate["margins"] and candidate["why"]


def test_taking_one_changes_only_its_lines_and_can_be_undone(project):
    before = (project / "machine.yaml").read_text(encoding="utf-8")
    shown = run(project, "lens chain", "--take", 1, "--show")
    assert "Nothing was written" in shown.output
    assert (project / "machine.yaml").read_text(encoding="utf-8") == before
    done = run(project, "lens chain", "--take", 1)
    assert done.exit_code == 0 and "layshaft undo" in done.output
    after = (project / "machine.yaml").read_text(encoding="utf-8")
    differing = [(a, b) for a, b in zip(before.splitlines(), after.splitlines(), strict=True) if a != b]
    assert len(differing) == 1 and differing[0][0].replace("08B-1", "08A-1") == differing[0][1]
    verdict = layshaft.rate(layshaft.solve(layshaft.read(project)))
    assert not [f for f in verdict.of("stages.lens chain") if f.verdict in ("fails", "thin") and f.mode != "run-away"]
    CliRunner().invoke(app, ["undo", str(project)])
    assert (project / "machine.yaml").read_text(encoding="utf-8") == before


def test_nothing_that_holds_ends_with_one_and_the_nearest_miss():
    done = run(LIGHT, "lens coupling", "--set", "loads.lens table.mass=4000 kg", "--set", "drives.weight.mass=4000 kg")
    assert done.exit_code == 1, done.output
    assert "NOTHING HOLDS" in done.output and "nearest miss" in done.output and "required" in done.output


def test_a_cad_file_can_be_required_and_is_told_as_what_is_lacking():
    done = run(LIGHT, "lens chain", "--require", "cad")
    assert done.exit_code == 1
    assert "a CAD file is listed" in done.output


def test_a_drawing_is_written(tmp_path):
    pytest.importorskip("matplotlib")
    place = tmp_path / "front.svg"
    assert run(LIGHT, "lens chain", "--plot", place).exit_code == 0
    assert place.read_text(encoding="utf-8").startswith("<?xml")


@pytest.mark.parametrize(("words", "sentence"), [
    (("lens chian",), "no part that can be chosen"),
    (("lens chain", "--small", "30-20"), "no range of teeth"),
    (("lens chain", "--small", "few"), "no range of teeth"),
    (("lens chain", "--ratio", "0"), "not above 0"),
    (("lens chain", "--ratio", "2", "--within", "50%"), "20% at most"),
    (("lens chain", "--require", "gold"), "What can be required"),
    (("lens chain", "--prefer", "beauty"), "is no wish"),
    (("lens chain", "--take", "99"), "no trade-off 99"),
    (("lens chain", "--take", "1", "--set", "gravity=9.8 m/s2"), "leave out --set"),
    (("lens chain", "--plot", "front.txt"), "cannot be drawn"),
])
def test_mistakes_end_in_one_sentence(words, sentence):
    done = run(LIGHT, *words)
    assert isinstance(done.exception, BadInput) or done.exit_code == BAD_INPUT
    assert sentence in str(done.exception) + done.output

LIST = """Part no;Standard;Bore mm;Outside mm;Width mm;C (kN);C0 (kN);Mass kg;Price EUR;Lead time days;CAD
NB-1;6005;25;47;12;11.2;6.55;0.08;3.40;5;
NB-3;;25;52;11;14.9;8.1;0.07;9.90;2;nb3.step
NB-4;6305;25;62;17;22.5;11.6;0.23;;3;
"""


def test_offers_of_an_imported_list_are_weighed_and_taken_as_an_own_part(project, tmp_path):
    (tmp_path / "list.csv").write_text(LIST, encoding="utf-8")
    done = CliRunner().invoke(app, ["catalogue", "import", str(tmp_path / "list.csv"), "--project", str(project),
                                    "--supplier", "Invented North", "--kind", "bearing", "--map",
                                    "C (kN)=dynamic rating kN", "--map", "C0 (kN)=static rating kN"])
    assert done.exit_code == 0, done.output
    part = "shafts.main.seats.left bearing.bearing"
    data = json.loads(run(project, part, "--prefer", "price,mass,width,lead time", "--json").output)
    sizes = {c["sizes"][part]: c for c in data["candidates"]}
    assert sizes["NB-1 (Invented North)"]["values"]["price"] == pytest.approx(3.40)
    assert sizes["NB-3 (Invented North)"]["values"]["lead time"] == pytest.approx(2 * 24 * 3600)
    assert all(c["values"]["price"] is None or c["values"]["price"] > 0 for c in data["candidates"])
    assert next(w for w in data["wishes"] if w["wish"] == "price")["unit"] == "EUR"
    number = list(sizes).index("NB-3 (Invented North)") + 1
    done = run(project, part, "--prefer", "price,mass,width,lead time", "--take", number)
    assert done.exit_code == 0, done.output
    machine = layshaft.read(project)
    name = machine.shafts["main"].seats["left bearing"].bearing.name
    assert machine.parts[name].dynamic_rating.nominal == pytest.approx(14_900)
    findings = layshaft.rate(layshaft.solve(machine)).of(part)
    assert findings and not [f for f in findings if f.verdict in ("fails", "thin")]
