"""What leaves the house as a file, read back by general libraries: a workbook by openpyxl, CSV by the standard library."""

import csv
import io
import re
from datetime import date

import openpyxl
import pytest
from typer.testing import CliRunner

from faces.pages_help import ROOT, parsed, rated
from layshaft.faces.cli import app
from layshaft.faces.pages.drawing import drawings
from layshaft.faces.pages.words import part_words
from layshaft.faces.printed.alone import alone, pictures, title_of
from layshaft.faces.printed.content import book_data, sheet_data
from layshaft.faces.printed.paper import PaperError, pages_png, pdf, png
from layshaft.faces.printed.tables import TABLES, Sheet, as_csv, as_workbook, table_of
from layshaft.faces.report import sheet_html
from layshaft.trace.errors import BadInput
from layshaft.trace.registry import load_all
from layshaft.trace.typst_math import formula_typst, quoted, symbol_typst
from layshaft.verdict.next_step import next_step

HARBOUR = ROOT / "examples" / "harbour-light"


def set_formulas(formulas):
    """Set formulas one by one where all together do not: which of them the typesetter refuses."""
    def page(those):
        rows = [{"number": "1", "symbol": {"m": "a"}, "meaning": "", "how": [{"m": m} for m in those], "value": "",
                 "source": "", "weak": False}]
        return {"title": "t", "blocks": [{"kind": "steps", "caption": "c", "rows": rows}]}

    try:
        pages_png(page(list(formulas.values())), 20)
    except Exception:
        refused = []
        for name, m in formulas.items():
            try:
                pages_png(page([m]), 20)
            except Exception as why:
                refused.append((name, m, str(why)))
        return refused
    return []


def test_every_formula_of_the_house_can_be_set():
    assert set_formulas({name: formula_typst(info) for name, info in load_all().items()}) == []


@pytest.mark.parametrize(("symbol", "written"), [
    ("F_t", 'F_"t"'), ("sigma_b", 'σ_"b"'), ("d_f_1", 'd_"f,1"'), ("Re", '"Re"'), ("x", "x"),
    ('a"b\\c', '"a\\"b\\\\c"')])
def test_symbols(symbol, written):
    assert symbol_typst(symbol) == written


def test_no_text_becomes_source():
    """A name that looks like typst's own code is shown as text: in data, in symbols and in a title."""
    evil = '#read("/etc/hostname") $x$ #panic() "); #panic("'
    rows = [{"number": "1", "symbol": {"m": symbol_typst(evil)}, "meaning": evil, "how": [evil, {"m": quoted(evil)}],
             "value": evil, "source": evil, "weak": True}]
    blocks = [{"kind": "title", "text": evil, "about": [evil]}, {"kind": "steps", "caption": evil, "rows": rows},
              {"kind": "text", "role": "caution", "text": evil}, {"kind": "list", "items": [evil]}]
    assert pdf({"title": evil, "blocks": blocks}).startswith(b"%PDF-")


def test_a_sheet_is_the_same_file_every_time():
    data = sheet_data(rated("harbour-light"), "stages.winding chain")
    first = pdf(data)
    assert first.startswith(b"%PDF-1.")
    assert first == pdf(data)
    assert b"/CreationDate" not in first or b"D:1970" in first


def test_a_sheet_holds_every_step_of_its_findings():
    verdict = rated("harbour-light")
    data = sheet_data(verdict, "shafts.wind.seats.ratchet.key")
    words = repr(data)
    assert "flank pressure" in words
    assert "At risk" in words or "at risk" in words
    assert any(b["kind"] == "steps" for b in data["blocks"])
    assert any(b.get("role") == "caution" for b in data["blocks"])


@pytest.mark.parametrize("name", ["harbour-light", "cider-mill"])
def test_the_book_has_every_finding_and_every_caution(name):
    verdict = rated(name)
    data = book_data(verdict, every_sheet=False)
    tables = [b for b in data["blocks"] if b["kind"] == "table" and b["heads"][:1] == ["Part"]]
    assert sum(len(t["rows"]) for t in tables) == len(verdict.findings)
    assert [b["text"] for b in data["blocks"] if b.get("role") == "next"] == [next_step(verdict, part_words)]
    pages = pages_png(data, 30)
    assert len(pages) > 10
    assert all(page.startswith(b"\x89PNG") for page in pages)


def test_drawings_stand_alone():
    """No rule is left that names a colour only the page knows, and the picture is not blank."""
    found = pictures(drawings(rated("harbour-light").solved))
    assert len(found) > 5
    for svg in found[:3]:
        own = alone(svg, "Libertinus Serif")
        assert "var(" not in own
        assert re.match(r'<svg[^>]* width="[0-9.]+" height="[0-9.]+"', own)
        parsed(own)
    assert title_of(found[0]) == "Seen against x"
    drawn = png({"svg": alone(found[0], "Libertinus Serif"), "width": 180, "alt": "x"})
    empty = png({"svg": '<svg xmlns="http://www.w3.org/2000/svg" width="720" height="800"></svg>', "width": 180, "alt": ""})
    assert drawn.startswith(b"\x89PNG")
    assert len(drawn) > 5 * len(empty)


@pytest.mark.parametrize("name", TABLES)
def test_a_table_is_read_back_as_it_was_written(name):
    table = table_of(rated("harbour-light"), name)
    assert table.rows or name == "needs"  # nothing is open in the demo machine
    rows = list(csv.reader(io.StringIO(as_csv(table), newline="")))
    assert tuple(rows[0]) == table.heads
    leaf = openpyxl.load_workbook(io.BytesIO(as_workbook([table]))).active
    back = list(leaf.iter_rows(values_only=True))
    assert leaf.title == table.title
    assert len(rows) == len(back) == len(table.rows) + 1
    for ours, line, cells in zip(table.rows, rows[1:], back[1:], strict=True):
        for mine, text, cell in zip(ours, line, cells, strict=True):
            if isinstance(mine, str):
                assert text.lstrip("'") == mine.lstrip("'")
                assert (cell or "") == mine
            else:
                assert float(text) == cell == mine


def test_a_text_like_a_formula_stays_a_text():
    table = Sheet("T", ("a", "b"), [("=1+1", 2.5), ("@x", ""), ("plain", 3)], (1, 1))
    assert as_csv(table).splitlines()[1] == "'=1+1,2.5"
    leaf = openpyxl.load_workbook(io.BytesIO(as_workbook([table]))).active
    assert leaf["A2"].data_type == "s"
    assert leaf["A2"].value == "=1+1"
    assert leaf["B3"].value is None


def test_numbers_of_the_findings_are_those_of_the_verdict():
    verdict = rated("harbour-light")
    table = table_of(verdict, "findings")
    assert len(table.rows) == len(verdict.findings)
    at = {head: i for i, head in enumerate(table.heads)}
    for row, f in zip(table.rows, verdict.findings, strict=True):
        if row[at["Demand"]] != "":
            size = f.dimension.units[row[at["Unit"]]]
            assert row[at["Demand"]] * size == pytest.approx(f.demand, rel=1e-5)


@pytest.mark.parametrize(("arguments", "begins"), [
    (["sheet", str(HARBOUR), "winding chain", "--pdf"], b"%PDF"), (["sheet", str(HARBOUR), "winding chain", "--html"], b"<!doc"),
    (["table", str(HARBOUR), "findings"], b"PK"), (["book", str(HARBOUR)], b"<!doc")])
def test_commands_write_files(tmp_path, arguments, begins):
    kinds = {"sheet": arguments[-1].removeprefix("--"), "table": "xlsx", "book": "html"}
    place = tmp_path / f"out.{kinds[arguments[0]]}"
    answer = CliRunner().invoke(app, [*arguments, str(place)])
    assert answer.exit_code == 0, answer.output
    assert place.read_bytes().startswith(begins)
    assert str(place) in answer.output
    assert [p.name for p in tmp_path.iterdir()] == [place.name]


@pytest.mark.parametrize("arguments", [
    ["book", str(HARBOUR), "book.doc"], ["table", str(HARBOUR), "findings", "no such folder/x.csv"],
    ["table", str(HARBOUR), "colours", "x.csv"], ["sheet", str(HARBOUR), "winding chain", "--pdf", "x.html"]])
def test_places_that_cannot_be_written_are_refused_in_words(tmp_path, monkeypatch, arguments):
    monkeypatch.chdir(tmp_path)
    answer = CliRunner().invoke(app, arguments)
    assert isinstance(answer.exception, BadInput)
    assert list(tmp_path.iterdir()) == []


def test_the_typesetter_does_not_live_on_in_the_process_that_asks():
    """What it has set would stay in memory for as long as a desk is open."""
    import subprocess
    import sys

    run = ("import sys; from layshaft.faces.printed.paper import pdf; "
           "pdf({'title': 't', 'blocks': [{'kind': 'text', 'role': '', 'text': 'x'}]}); print('typst' in sys.modules)")
    done = subprocess.run([sys.executable, "-c", run], capture_output=True, text=True, check=True)
    assert done.stdout.strip() == "False"


def test_a_document_that_cannot_be_set_says_so():
    with pytest.raises(PaperError):
        pdf({"title": "t", "blocks": [{"kind": "picture", "svg": "no svg", "width": 10, "alt": "", "words": ""}]})


def test_a_formula_wider_than_its_column_has_a_line_of_its_own_on_a_page():
    """Long formulas ran over the results beside them; a line of their own goes under the step it belongs to."""
    html = sheet_html(rated("harbour-light"), "stages.fan gears 1")
    steps = re.findall(r'<tr class="step-(?!wide)[^"]*">.*?</tr>(?:<tr class="step-wide">.*?</tr>)?', html, re.DOTALL)
    wide = [s for s in steps if 'class="wide"' in s]
    assert wide and all('<td colspan="5">' in s for s in wide)
    assert all('class="wide"' not in s.split('<tr class="step-wide">')[0] for s in wide)


def test_a_printed_sheet_says_the_day_and_has_room_for_who_countersigns_it():
    data = sheet_data(rated("harbour-light"), "shafts.crank.seats.hub.key", date(2026, 2, 3))
    assert data["day"] == "3 February 2026"
    assert [b["text"] for b in data["blocks"] if b["kind"] == "countersign"]
    guesses = [b for b in data["blocks"] if b["kind"] == "list"]
    assert any(isinstance(part, dict) and "m" in part for block in guesses for item in block["items"] for part in item)


def test_work_that_waits_for_the_typesetter_can_end_it():
    def stop(_seconds):
        raise KeyboardInterrupt

    with pytest.raises(KeyboardInterrupt):
        pdf(sheet_data(rated("harbour-light"), "stages.fan gears 1"), stop)
