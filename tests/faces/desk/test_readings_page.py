"""Readings typed on the desk, asked as a browser asks: they say what the same readings from a file say."""

import re
from html import unescape

import layshaft
from layshaft.study.find_out.measured import contradicts
from layshaft.study.find_out.plan import given_at, plan
from layshaft.study.find_out.readings import read_readings, result_of
from layshaft.verdict.measured import AGAINST

GIVEN = "loads.lens table.rolling coefficient"
ROWS = [("31.0", "0.5", "200"), ("32.0", "0.5", "200"), ("33,0", "0.5", "200")]


def typed(columns, rows=ROWS):
    return {"given": GIVEN, "reading": [row[i] for row in rows for i in range(len(columns))], "who": "A. Builder",
            "when": "2026-11-27", "note": ""}


def test_readings_say_what_a_file_of_them_says_and_go_into_the_draft(desk, tmp_path):
    machine = layshaft.read(desk.place)
    planned = plan(machine, given_at(machine, GIVEN))
    columns = planned.test.columns
    assert [c.unit for c in columns] == ["N", "N", "mm"]
    file = tmp_path / "readings.csv"
    file.write_text("; ".join(f"{c.name} in {c.unit}" for c in columns) + "\n"
                    + "\n".join("; ".join(row) for row in ROWS) + "\n", encoding="utf-8")
    result = result_of(planned.test, read_readings(file, planned.test), planned.given.dimension)
    assert not contradicts(planned.given, result)
    with desk.caller() as caller:
        form = caller.get("/doubt/readings", params={"given": GIVEN})
        assert form.status_code == 200 and "What did it read?" in form.text and "Measured" not in form.text
        page = unescape(caller.get("/doubt/readings", params=typed(columns)).text)
        assert "They agree" in page and "Mean of 3" in page
        told = re.search(r"Measured: (\S+) ± (\S+?)<", page)
        taken = caller.post("/doubt/readings/take", data=typed(columns), follow_redirects=True)
        assert taken.status_code == 200
    now = desk.draft.state.machine.givens[GIVEN]
    assert now.written == told[1] and float(told[2]) > 0  # the same digits on both pages
    assert f'value="{told[1]}"' in unescape(taken.text)
    assert now.source == "measured" and now.who == "A. Builder"
    assert abs(now.nominal / result.value - 1) < 1e-3
    assert len(desk.draft.state.edits) == 1


def test_what_cannot_be_read_is_told_by_its_row_and_changes_nothing(desk):
    columns = range(3)
    with desk.caller() as caller:
        for rows, words in (([("31", "0.5", "200"), ("much", "0.5", "200")], "Row 2:"),
                            ([("31", "0.5", "200")], "Row 1:"),
                            ([("31", "0.5", "200"), ("nan", "0.5", "200")], "Row 2:"),
                            ([("31", "0.5", "200"), ("31", "0.5", "-1")], "Row 2:")):
            page = unescape(caller.get("/doubt/readings", params=typed(columns, rows)).text)
            assert "Not understood." in page and words in page, rows
            refused = caller.post("/doubt/readings/take", data=typed(columns, rows), follow_redirects=True)
            assert words in unescape(refused.text)
        assert "no given" in unescape(caller.get("/doubt/readings", params={"given": "loads.nothing"}).text)
    assert not desk.draft.state.edits


def test_lines_left_blank_do_not_count_and_a_reading_may_carry_its_unit(desk):
    given = "drives.crank.worst push"
    with desk.caller() as caller:
        def page(*readings):
            return unescape(caller.get("/doubt/readings", params={"given": given, "reading": readings}).text)

        said = page("0.55 kN", "", "560", "", "570 N", "", "", "")
        assert "Mean of 3" in said and "Measured: 560 N" in said
        assert "Row 3: 'much' under" in page("550", "", "much", "")
        assert "Row 3: '5 kg'" in page("550", "", "5 kg", "")
        assert "Row 2: 1 reading tells" in page("", "550", "")
        assert "Not understood" not in page("", "", "")
        wide = page("450", "1500", "1600")
        assert "they scatter too much to be kept" in wide and "Put it in as measured" not in wide


def test_an_old_guess_that_was_far_off_is_taken_out_on_the_page_of_what_was_measured(desk):
    rows = [("91.0", "0.5", "200"), ("92.0", "0.5", "200"), ("93.0", "0.5", "200")]
    with desk.caller() as caller:
        said = unescape(caller.get("/doubt/readings", params=typed(range(3), rows)).text)
        assert "THEY CONTRADICT EACH OTHER" in said and "the E_n score of ISO 13528" in said
        caller.post("/doubt/readings/take", data=typed(range(3), rows))
        page = unescape(caller.get("/part", params={"path": GIVEN}).text)
        assert "I know why: take the old guess out" in page and "--remove" not in page
        caller.post("/doubt/readings/known", data={"given": GIVEN, "back": "/part"})
        after = caller.get("/part", params={"path": GIVEN})
    assert after.status_code == 200 and "take the old guess out" not in after.text
    assert not any(f.mode == AGAINST for f in desk.draft.look().verdict.findings)
    now = desk.draft.look().machine.givens[GIVEN]
    assert now.source == "measured" and now.guessed is None
