"""Suppliers' lists: heads, units and decimal signs as lists have them, and lists that are wrong.

Units against their definitions: an inch is 25.4 mm, a pound-force 4.4482216152605 N (exact, international
yard and pound agreement of 1959). Working weeks have five days (common practice, no single source).
"""

from pathlib import Path

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from layshaft.listings import imported
from layshaft.listings.imports import cells, heads
from layshaft.listings.imports.fields import list_fields, part_kinds
from layshaft.machine.kinds.listed import PARTS
from layshaft.machine.schema import Quantity, keys
from layshaft.trace.errors import BadInput
from layshaft.trace.units import DIMENSIONS
from listings.lists_help import TWO_HEADS, bearings, taken


def offers(folder, kind="bearing", **asked):
    return {o.name: o for o in imported.search([folder], kind, **asked).offers}


def test_two_heads_decimal_commas_blank_lines_and_units_in_cells(tmp_path):
    outcome = taken(tmp_path, TWO_HEADS)
    assert outcome.written and outcome.taken == 3 and not outcome.rejected
    found = offers(tmp_path)
    assert found["A-1"].values["bore"] == pytest.approx(0.025)
    assert found["A-1"].values["dynamic rating"] == pytest.approx(14e3)
    assert found["A-1"].price == pytest.approx(12.5) and found["A-1"].currency == "EUR"
    assert found["A-1"].standard == "6205"
    assert found["A-2"].values["width"] == pytest.approx(0.016)
    assert found["A-2"].price == pytest.approx(1250.0)
    assert found["A-3"].values["bore"] == pytest.approx(0.75 * 0.0254)
    assert np.isnan(found["A-3"].price)
    assert "static rating" not in found["A-3"].values or np.isnan(found["A-3"].values["static rating"])


def test_french_list_in_latin_letters_with_a_range_of_days(tmp_path):
    text = ("Référence\tDésignation\tAlésage (mm)\tPoids (g)\tPrix HT (€)\tDélai\n"
            "R1\tRoulement 6204\t20\t106\t4,20\t2 semaines\nR2\tRoulement 6205\t25\t128\t5,10\t10-15 jours ouvrés\n")
    outcome = taken(tmp_path, text, encoding="cp1252")
    assert outcome.taken == 2 and outcome.tables[0].kind == "bearing"
    found = offers(tmp_path)
    assert found["R1"].lead_time == 14 * 86400.0 and found["R2"].lead_time == pytest.approx(21 * 86400.0)
    assert found["R1"].mass == pytest.approx(0.106)


def test_inches_and_pounds_are_understood_by_their_definitions(tmp_path):
    taken(tmp_path, "Part No,Bore,OD,Dynamic load rating (lbf),Price\nX1,1 in,2 1/2 in,3150,$12.50\n"
                    "X2,25.4 mm,2.5 in,3150,£9\n", kind="bearing")
    found = offers(tmp_path)
    assert found["X1"].values["bore"] == pytest.approx(found["X2"].values["bore"], rel=1e-12)
    assert found["X1"].values["outside"] == pytest.approx(0.0635)
    assert found["X1"].values["dynamic rating"] == pytest.approx(3150 * 4.4482216152605)
    assert (found["X1"].currency, found["X2"].currency) == ("USD", "GBP")


def test_nothing_is_taken_where_one_row_is_refused(tmp_path):
    outcome = taken(tmp_path, bearings("K1;20;5", "K2;-3;5", "K3;25 kg;5", "K1;20;7", ";20;7", "K5;=B2*2;1"), kind="bearing")
    assert not outcome.written and not offers(tmp_path)
    reasons = {one.place: one.why for one in outcome.rejected}
    assert set(reasons) == {3, 4, 5, 6, 7}
    assert "more than 0" in reasons[3] and "'25 kg' is a mass" in reasons[4] and "row 2 already" in reasons[5]
    assert "no part number" in reasons[6] and "formula" in reasons[7]


def test_the_others_are_taken_where_that_is_asked_for(tmp_path):
    outcome = taken(tmp_path, bearings("K1;20;5", "K2;-3;5", "K3;25;6"), kind="bearing", skip_rejected=True)
    assert outcome.written and outcome.taken == 2 and outcome.rejected_count == 1
    assert set(offers(tmp_path)) == {"K1", "K3"}


def test_a_name_that_begins_like_a_formula_stays_text(tmp_path):
    taken(tmp_path, "Part no;Name;Bore [mm]\nK1;=1+1;20\n", kind="bearing")
    assert offers(tmp_path)["K1"].values["description"] == "=1+1"


def test_a_row_with_more_cells_than_the_head_is_refused(tmp_path):
    outcome = taken(tmp_path, bearings("K1;20;5", "K2;20;5;6;7", "K3;20;5;;"), kind="bearing")
    assert [(one.place, one.why) for one in outcome.rejected] == [(3, "it has 5 cells, and the head 3")]


def test_a_dry_run_writes_nothing(tmp_path):
    assert taken(tmp_path, bearings("K1;20;5"), kind="bearing", dry_run=True).taken == 1
    assert not offers(tmp_path)


@pytest.mark.parametrize(("text", "said"), [
    (b"", "is empty"), (b"a;b\n1\0;2\n", "NUL byte"), (b"hello\nworld\n", "not a list"),
    (b"%PDF-1.4 x", "a PDF"), (b"<html><table>", "a web page"), (b"part;foo\na;b\n", "no row that heads a list"),
    (b'Part no;Bore [mm]\nK1;"20\nK2;30\n', "a quote is not closed"),
    (b'Part no;Bore [mm]\nK1;"20\n' + b"x" * 70_000, "a quote is not closed"),
])
def test_what_is_no_list_is_refused_in_a_sentence(tmp_path, text, said):
    with pytest.raises(BadInput, match=said):
        taken(tmp_path, text, kind="bearing")


@pytest.mark.parametrize(("head", "said"), [
    ("Part no;Bore;Price [EUR]", "no unit of length in its head or cells"),
    ("Part no;Bore [mm];Price", "without a currency"),
    ("Colour;Bore [mm];Price [EUR]", "No column tells the part number"),
])
def test_what_a_list_lacks_is_asked_for(tmp_path, head, said):
    outcome = taken(tmp_path, bearings("7;20;5", "7;25;6", head=head), kind="bearing")
    assert not outcome.written and any(said in str(one) for one in outcome.lacking)


def test_kind_and_supplier_are_asked_for(tmp_path):
    outcome = taken(tmp_path, bearings("K1;20;5"), supplier="")
    assert len(outcome.lacking) == 2 and "--kind" in outcome.lacking[0].say and "--supplier" in outcome.lacking[1].say


def test_a_map_is_made_by_hand_and_remembered(tmp_path):
    text = "Ding;Maß 1;maß 1\nK1;20;9\n"
    with pytest.raises(BadInput, match="no row that heads"):
        taken(tmp_path, text, kind="bearing")
    text = bearings("K1;20;9;3", head="Part no;Ding;ding;Price [EUR]")
    taken(tmp_path, text, kind="bearing", columns={"Ding": "bore mm", "ding": "width cm"})
    again = taken(tmp_path, text.replace("20", "30"), kind="bearing")
    assert [c.how for c in again.tables[0].head.columns] == ["remembered"] * 4
    found = offers(tmp_path)["K1"]
    assert found.values["bore"] == pytest.approx(0.03) and found.values["width"] == pytest.approx(0.09)


@pytest.mark.parametrize(("said", "why"), [
    ({"Ding": "bore mm"}, "no column 'Ding'"), ({"Part no": "colour"}, "nothing a list can say"),
    ({"Bore [mm]": "bore kg"}, "not a unit of length"),
])
def test_a_wrong_map_is_refused(tmp_path, said, why):
    with pytest.raises(BadInput, match=why):
        taken(tmp_path, bearings("K1;20;5"), kind="bearing", columns=said)


def test_what_changed_is_told(tmp_path):
    taken(tmp_path, bearings("K1;20;5", "K2;25;6", "K3;30;7"), kind="bearing")
    change, = taken(tmp_path, bearings("K1;20;5.50", "K2;26;6", "K4;30;7"), kind="bearing").changes
    assert change.counts == {"price up": 1, "bore": 1, "new": 1, "gone": 1}
    assert change.new == ["K4"] and change.gone == ["K3"] and change.prices == [("K1", 5.0, 5.5)]
    assert set(offers(tmp_path)) == {"K1", "K2", "K4"}


def test_kinds_in_a_column(tmp_path):
    text = "Art.-Nr.;Warengruppe;Bohrung [mm];Teilung [mm]\nK1;Kugellager;20;\nC1;Rollenkette;;12,7\nZ1;Tapete;;\n"
    outcome = taken(tmp_path, text, skip_rejected=True)
    assert {c.kind for c in outcome.changes} == {"bearing", "roller chain"}
    assert "no kind of part" in outcome.rejected[0].why
    assert offers(tmp_path, "roller chain")["C1"].values["pitch"] == pytest.approx(0.0127)


def test_a_comma_that_may_part_thousands_is_asked_about(tmp_path):
    text = bearings("K1;20;1,250", "K2;25;2,500")
    outcome = taken(tmp_path, text, kind="bearing")
    assert outcome.rejected_count == 2 and "--decimal comma or --decimal point" in outcome.rejected[0].why
    taken(tmp_path, text, kind="bearing", decimal=".")
    assert offers(tmp_path)["K1"].price == 1250.0


def test_a_price_for_many_is_told_for_one(tmp_path):
    taken(tmp_path, bearings("K1;20;250", head="Part no;Bore [mm];Price [EUR/100]"), kind="bearing")
    assert offers(tmp_path)["K1"].price == pytest.approx(2.5)


def test_a_price_for_no_piece_is_none(tmp_path):
    outcome = taken(tmp_path, bearings("K1;20;5 EUR/0", "K2;25;6 EUR/100"), kind="bearing", skip_rejected=True)
    assert [one.why for one in outcome.rejected] == ["price: '5 EUR/0' is a price for no piece"]
    assert any("without a currency" in str(one) for one in
               taken(tmp_path, bearings("K1;20;5", head="Part no;Bore [mm];Price [EUR/0]"), kind="bearing").lacking)


def test_workbook_with_merged_cells_and_several_sheets(tmp_path):
    import openpyxl

    book = openpyxl.Workbook()
    sheet = book.active
    sheet.title = "Kugellager"
    sheet.append(["Preisliste"])
    sheet.merge_cells("A1:D1")
    for row in (["Artikel", "Bohrung [mm]", "Preis [EUR]", "CAD"], ["K1", 20, 5.5, "k1.step"], ["K2", None, 6, None]):
        sheet.append(row)
    sheet.merge_cells("B3:B4")
    other = book.create_sheet("Ketten")
    for row in (["Artikel", "Teilung [mm]", "Bruchkraft [kN]"], ["C1", 12.7, 17.8]):
        other.append(row)
    book.create_sheet("Notes").append(["call back on Monday"])
    book.save(tmp_path / "book.xlsx")
    outcome = taken(tmp_path, (tmp_path / "book.xlsx").read_bytes(), name="book.xlsx")
    assert outcome.written and [t.kind for t in outcome.tables] == ["bearing", "roller chain", ""]
    assert offers(tmp_path)["K2"].values["bore"] == pytest.approx(0.02)
    assert set(offers(tmp_path, require_cad=True)) == {"K1"}
    assert offers(tmp_path, "roller chain")["C1"].where == "book.xlsx, Ketten, row 2"


@given(st.lists(st.floats(0.001, 1e6, allow_nan=False).map(lambda x: f"{x:.6f}"), min_size=1, max_size=30))
def test_a_column_in_one_piece_equals_its_cells_one_by_one(texts):
    how = cells.Reading(list_fields()["bore"], "mm", ".")
    whole, wrong = cells.numbers(texts, how)
    single = [cells.numbers([f"{t} mm"], how)[0][0] for t in texts]
    assert not wrong and np.array_equal(whole, single)


@given(st.text(max_size=40))
def test_no_cell_is_an_accident(text):
    for name in ("bore", "price", "lead time", "pack", "distance", "static rating"):
        cells.numbers([text], cells.Reading(list_fields()[name], "", ""))


@given(st.lists(st.lists(st.text(alphabet="aBd0 [mC]k,.-", max_size=8), max_size=6), max_size=12))
def test_no_head_is_an_accident(rows):
    head = heads.find_head([*rows, ["Part no", "Bore [mm]"], ["K1", "5"]], "bearing")
    assert head is not None
    heads.map_columns(head, "bearing", {}, {})


def test_fields_have_dimensions_and_words_that_name_one_thing():
    for field in list_fields().values():
        assert field.unit_of in ("", "distance") or field.unit_of in DIMENSIONS
        assert all(word == word.casefold() for word in field.words)
    assert heads.field_of("Bohrungsdurchmesser (mm)", "").name == "bore"
    assert heads.field_of("d", "bearing").name == "bore" and heads.field_of("D", "bearing").name == "outside"
    assert heads.field_of("paid", "") is None


def test_fields_are_keys_of_the_files_own_parts_with_the_same_dimension():
    for kind in part_kinds().values():
        own = {name: k.reads for name, (_, k) in keys(PARTS[kind.part]).items()} if kind.part else {}
        for name, reads in own.items():
            if name in list_fields() and isinstance(reads, Quantity) and name != "lead time":
                assert list_fields()[name].unit_of == reads.dimension.name, name


def test_the_lists_of_the_example_are_read_whole_and_named_as_invented(tmp_path):
    lists = Path(__file__).parents[2] / "examples" / "harbour-light" / "lists"
    for place in sorted(lists.glob("*.csv")):
        outcome = taken(tmp_path, place.read_bytes(), name=place.name, supplier=place.stem)
        assert outcome.written and not outcome.rejected
        assert any(word in place.name for word in ("erfunden", "made-up"))
    assert offers(tmp_path)["LE-6305"].price == pytest.approx(10.075)
    assert offers(tmp_path)["LE-6206"].lead_time == 28 * 86400.0
    assert offers(tmp_path, "roller chain")["MC-12B1"].values["pitch"] == pytest.approx(0.75 * 0.0254)
