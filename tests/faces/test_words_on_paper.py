"""What is handed over reads as words: report, book, tables and test sheets show a key only where they say it is one."""

import html
import re

import pytest

from faces.desk.test_words_for_keys import RAW, raw_in, read_of
from faces.pages_help import rated
from layshaft.faces.pages.tallies import POST, reached, tally
from layshaft.faces.pages.test_sheet import sheet_html as to_fill_in
from layshaft.faces.pages.words import MEANS, name_words, part_words, verdicts_mean
from layshaft.faces.printed.content import book_data, sheet_data
from layshaft.faces.printed.tables import KEY, TABLES, WRITTEN, table_of
from layshaft.faces.report import report_html, sheet_html
from layshaft.faces.test_sheet import sheet_text
from layshaft.faces.text import check_text
from layshaft.study.find_out.plan import plan
from layshaft.trace.findings import WORST_FIRST

EXAMPLES = ("hand-grinder", "herb-winder")


def texts_of(block):
    """Every text of a book but those that are for the typesetter."""
    if isinstance(block, str):
        yield block
    elif isinstance(block, dict):
        for name, inside in block.items():
            if name not in ("m", "svg", "kind", "role"):
                yield from texts_of(inside)
    elif isinstance(block, list):
        for inside in block:
            yield from texts_of(inside)


def raw_texts(blocks):
    """Texts with a key in them, but where it stands in backticks and is said to be one."""
    shown = (re.sub(r"[Ii]n the machine file:? `[^`]*`", "", text) for text in texts_of(blocks))
    return [text for text in shown if RAW.search(text)]


@pytest.mark.parametrize("example", EXAMPLES)
def test_the_report_says_keys_in_words(example):
    verdict = rated(example)
    page = report_html(verdict)
    assert raw_in(page) == []
    part = next(f.part for f in verdict.findings if f.fingerprint)
    assert f"<dt>In the machine file</dt><dd><code>{part}</code>" in page
    guess = next(g.path for g in verdict.solved.machine.givens.values() if g.is_guess)
    assert part_words(guess) in read_of(page)


@pytest.mark.parametrize("example", EXAMPLES)
def test_the_book_and_a_sheet_say_keys_in_words(example):
    verdict = rated(example)
    book = book_data(verdict)
    assert raw_texts(book["blocks"]) == []
    assert not any(RAW.search(html.unescape(re.sub("<[^>]*>", " ", b["svg"]))) for b in book["blocks"] if "svg" in b)
    part = next(f.part for f in verdict.findings if f.fingerprint)
    sheet = sheet_data(verdict, part)
    assert raw_texts(sheet["blocks"]) == []
    assert f"in the machine file `{part}`" in sheet["blocks"][0]["about"][0]
    assert raw_in(re.sub(r"in the machine file <code>[^<]*</code>", "", sheet_html(verdict, part))) == []


@pytest.mark.parametrize("example", EXAMPLES)
def test_tables_have_keys_in_one_column_that_says_so(example):
    for name in TABLES:
        table = table_of(rated(example), name)
        keys = [i for i, head in enumerate(table.heads) if head == KEY]
        kept = [i for i, head in enumerate(table.heads) if head in (KEY, WRITTEN)]
        assert [cell for row in table.rows for i, cell in enumerate(row)
                if i not in kept and isinstance(cell, str) and RAW.search(cell)] == [], name
        assert all(row[i] for row in table.rows for i in keys), name
        assert all(len(row) == len(table.heads) == len(table.widths) for row in table.rows), name


def test_test_sheets_say_keys_in_words():
    machine = rated("hand-grinder").solved.machine
    guesses = [g for g in machine.givens.values() if g.is_guess and not g.path.endswith("creep")]
    for given in (guesses[1], guesses[4]):
        found = plan(machine, given)
        page = re.sub(r"<code>layshaft find-out .*?</code>", "", to_fill_in(found))
        assert raw_in(re.sub(r"In the machine file: <code>[^<]*</code>", "", page)) == []
        text = re.sub(r"(?s)layshaft find-out .*?--readings|in the machine file: \S.*", "", sheet_text(found))
        assert not RAW.search(text)


def test_a_reason_that_names_a_key_is_said_in_words():
    verdict = rated("hand-grinder")
    assert any("(loads.wheel.run away speed: not given" in f.reason for f in verdict.findings)
    assert "(wheel, run away speed: not given" in read_of(report_html(verdict))
    assert any("(wheel, run away speed: not given" in text for text in texts_of(book_data(verdict)["blocks"]))
    assert any("(wheel, run away speed: not given" in str(cell) for row in table_of(verdict, "findings").rows
               for cell in row)


def test_what_the_verdicts_mean_is_told_once():
    verdict = rated("hand-grinder")
    page, book = report_html(verdict), list(texts_of(book_data(verdict)["blocks"]))
    said = " ".join(check_text(verdict).split())  # however wide the terminal
    assert book.count(verdicts_mean()) == 1
    for word in WORST_FIRST:
        assert page.count(MEANS[word]) == 1
        assert said.count(f" {word} {MEANS[word]}") == 1


def test_a_bar_is_the_margin_and_its_post_what_is_required_in_drawing_and_list():
    """Common practice of the house: what falls short of the post does not hold, on the drawing as in the tables."""
    for f in rated("hand-grinder").findings:
        share = reached(f)
        assert (f.verdict == "holds") == (share >= 1) if f.verdict != "unknown" else share != share
        length = re.search(r'<rect[^>]*width="([\d.]+)"', tally((0, 0), f))
        assert length is None or f.verdict == "unknown" or (float(length[1]) >= POST - 0.01) == (f.verdict == "holds")


def test_what_a_shaft_does_over_its_length_is_said_so():
    twist = next(f for f in rated("hand-grinder").findings if f.mode == "twist")
    assert name_words(twist).endswith(", from end to end") and ", at end" not in report_html(rated("hand-grinder"))
