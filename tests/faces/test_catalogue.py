"""The commands about lists, as they are typed: what is printed, and how they end."""

import json

import pytest
from typer.testing import CliRunner

from layshaft.faces.cli import app
from layshaft.trace.errors import BadInput

LIST = "Part no;Name;Bore [mm];Price [EUR];CAD\nK1;Ball bearing 6205;25;5.50;k1.step\nK2;Ball bearing;30;6;\n"


@pytest.fixture
def shop(tmp_path, monkeypatch):
    """A runner of commands on lists of its own, with one list imported."""
    monkeypatch.setenv("XDG_DATA_HOME", str(tmp_path / "home"))
    (tmp_path / "list.csv").write_text(LIST, encoding="utf-8")

    def run(*words):
        done = CliRunner().invoke(app, ["catalogue", *map(str, words)])
        if done.exception and not isinstance(done.exception, SystemExit):
            raise done.exception
        return done.exit_code, done.stdout

    run.folder = tmp_path
    assert run("import", tmp_path / "list.csv", "--supplier", "Muster")[0] == 0
    return run


def test_import_shows_the_map_and_what_was_taken(shop):
    code, text = shop("import", shop.folder / "list.csv", "--supplier", "Muster")
    assert code == 0 and "nothing changed" in text and "2 offers" in text
    assert ["C", "Bore [mm]", "25, 30", "bore", "mm", "remembered"] in [
        [c.strip() for c in line.split("  ") if c.strip()] for line in text.splitlines()]


def test_refused_rows_end_with_one_and_can_be_written(shop):
    (shop.folder / "bad.csv").write_text(LIST.replace("30;6", "x;6"), encoding="utf-8")
    code, text = shop("import", shop.folder / "bad.csv", "--supplier", "Muster", "--rejected", shop.folder / "no.csv")
    assert code == 1 and "row 3: bore: 'x' is not a number" in text and "NOTHING was imported" in text
    assert "3,bore: 'x' is not a number" in (shop.folder / "no.csv").read_text(encoding="utf-8")


def test_search_narrows_standard_and_imported(shop):
    code, text = shop("search", "bearing", "--where", "bore=25 mm", "--order", "price")
    assert code == 0 and text.splitlines()[2].split()[0] == "K1" and "6205" in text and "6206" not in text
    assert "5.50 EUR" in text and "typical or remembered" in text
    data = json.loads(shop("search", "bearing", "--require", "cad", "--json")[1])
    assert [o["name"] for o in data["offers"]] == ["K1"] and data["count"] == 1
    assert data["offers"][0]["values"]["bore"] == pytest.approx(0.025)


def test_show_lists_and_forget(shop):
    assert "bearing" in shop("show")[1]
    assert "k1.step" in shop("show", "bearing", "K1")[1]
    assert "Muster" in shop("show", "bearing", "6205")[1]
    assert "Muster" in shop("lists")[1]
    assert "2 offers of muster" in shop("forget", "muster")[1]
    assert "No list was imported yet" in shop("lists")[1]


@pytest.mark.parametrize(("words", "said"), [
    (("search", "bering"), "no kind of part"), (("search", "bearing", "--where", "bore"), "asks for nothing"),
    (("search", "bearing", "--where", "colour=1 mm"), "nothing a list says"),
    (("search", "bearing", "--where", "bore=30 mm..20 mm"), "smaller end comes first"),
    (("search", "bearing", "--where", "bore=30"), "no unit"), (("search", "bearing", "--order", "name"), "no order"),
    (("search", "bearing", "--require", "luck"), "cannot be required"),
    (("show", "bearing", "nothing"), "There is no bearing"), (("forget", "nobody"), "No list of"),
    (("import", "nowhere.csv"), "no file"), (("import", "x", "--map", "d"), "COLUMN=FIELD"),
    (("import", "x", "--decimal", "dot"), "no decimal sign"), (("import", "x", "--currency", "euro"), "no currency"),
])
def test_what_cannot_be_done_is_said(shop, words, said):
    with pytest.raises(BadInput, match=said):
        shop(*words)
