"""Workbooks that hide something: each is refused in one sentence, and whoever asked lives on. The files are made here.

That a packed file may hold far more than it says is common knowledge of the trade, no single source; the largest sheet
(1,048,576 rows, 16,384 columns) is that of ECMA-376, value from memory.
"""

import io
import zipfile
import zlib

import openpyxl
import pytest

from layshaft.listings.imports import unpacking
from layshaft.listings.imports.importing import Asked, import_list
from layshaft.listings.imports.sheets import sheets
from layshaft.store import lists as store
from layshaft.trace.errors import BadInput

HEAD = ["Part no", "Bore [mm]", "Price [EUR]"]


def workbook(*rows, more=None):
    book = openpyxl.Workbook()
    sheet = book.active
    for row in rows:
        sheet.append(row)
    if more:
        more(sheet)
    out = io.BytesIO()
    book.save(out)
    return out.getvalue()


def refused(place, data):
    place.write_bytes(data)
    with pytest.raises(BadInput) as why:
        sheets(place, "their list.xlsx")
    said = str(why.value)
    assert said.startswith("their list.xlsx") and str(place.parent) not in said
    return said


def bomb():
    """A workbook with a member that says it is small and unpacks to more than may be."""
    packer = zlib.compressobj(9, zlib.DEFLATED, -zlib.MAX_WBITS)
    million = packer.compress(b" " * (1 << 20)) + packer.flush(zlib.Z_FULL_FLUSH)
    packed = million * (unpacking.MOST_UNPACKED // (1 << 20) + 1) + packer.flush()
    out = io.BytesIO(workbook(HEAD, ["A1", 20, 5]))
    with zipfile.ZipFile(out, "a") as archive:
        archive.writestr("xl/worksheets/more.xml", packed)  # as it stands; then both heads say it is packed
    data = bytearray(out.getvalue())
    name = b"xl/worksheets/more.xml"
    local, central = data.find(name) - 30, data.rfind(name) - 46
    data[local + 8], data[central + 10] = zipfile.ZIP_DEFLATED, zipfile.ZIP_DEFLATED
    return bytes(data)


def test_what_unpacks_to_far_too_much_is_refused(tmp_path, monkeypatch):
    assert len(bomb()) < 1 << 20 < unpacking.MOST_UNPACKED
    monkeypatch.setattr(unpacking, "MOST_UNPACKED", 20_000_000)
    data = bomb()
    assert "unpacks to more than 20 MB" in refused(tmp_path / "list.xlsx", data)


def test_a_cell_in_the_last_corner_is_refused(tmp_path):
    data = workbook(HEAD, ["A1", 20, 5], more=lambda sheet: sheet.cell(1_048_576, 16_384, "x"))
    assert "a cell far from all others" in refused(tmp_path / "list.xlsx", data)


@pytest.mark.parametrize("data", [b"PK\x03\x04" + bytes(range(256)) * 9, b"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1" + bytes(4096)])
def test_what_only_begins_like_a_workbook_is_refused(tmp_path, data):
    assert "cannot be read as a workbook" in refused(tmp_path / "list.xlsx", data)


def test_a_formula_is_read_by_its_value_and_refused_by_its_row_where_it_has_none(tmp_path):
    place = tmp_path / "list.xlsx"
    place.write_bytes(workbook(HEAD, ["A1", 20, "=B2*2"], ["A2", 25, 3.5]))
    with store.lists(tmp_path) as db:
        outcome = import_list(db, place, Asked("Muster", "bearing", skip_rejected=True), "2026-11-27")
    assert [(one.place, one.why) for one in outcome.rejected] == [(2, "price: '=B2*2' is a formula; write its value")]
    assert outcome.taken == 1
    inside = zipfile.ZipFile(place)
    page = inside.read("xl/worksheets/sheet1.xml").decode()
    assert "<f>B2*2</f><v />" in page or "<f>B2*2</f><v/>" in page or "<f>B2*2</f><v></v>" in page
    out = io.BytesIO()
    with zipfile.ZipFile(out, "w") as other:  # as a program leaves it that has worked the formula out
        for member in inside.infolist():
            text = inside.read(member).decode()
            other.writestr(member.filename, text.replace("<v />", "<v>40</v>").replace("<v/>", "<v>40</v>").replace(
                "<v></v>", "<v>40</v>"))
    place.write_bytes(out.getvalue())
    with store.lists(tmp_path) as db:
        again = import_list(db, place, Asked("Muster", "bearing"), "2026-11-27")
        assert not again.rejected and [h.numbers["price"] for h in store.named(db, "A1")] == [40.0]


def test_opening_one_can_be_stopped(tmp_path):
    place = tmp_path / "list.xlsx"
    place.write_bytes(bomb())

    def stop():
        raise KeyboardInterrupt

    with pytest.raises(KeyboardInterrupt):
        sheets(place, waited=stop)


def test_more_rows_than_are_allowed_are_refused_and_the_first_are_told_as_read(tmp_path):
    place = tmp_path / "list.csv"
    place.write_text("Part no;Bore [mm];Price [EUR]\n" + "".join(f"K{i};20;5\n" for i in range(30)), encoding="utf-8")
    asked = {"supplier": "Muster", "kind": "bearing", "dry_run": True, "called": "Muster.csv"}
    with store.lists(tmp_path) as db:
        with pytest.raises(BadInput, match=r"Muster\.csv has more than 30 rows"):
            import_list(db, place, Asked(**asked, most_rows=30), "2026-11-27")
        outcome = import_list(db, place, Asked(**asked, most_rows=31), "2026-11-27")
    first = outcome.tables[0].first[0]
    assert (first.place, first.texts["part"], first.numbers["bore"], first.currency) == ("2", "K0", 0.02, "EUR")
    assert outcome.file == "Muster.csv" and outcome.looked_at == 31
