"""A test sheet for print: one page A4 that is taken to the bench and filled in by hand."""

from __future__ import annotations

from collections.abc import Iterable
from html import escape

from layshaft.faces.pages.keys import page_in_words
from layshaft.faces.pages.style import style
from layshaft.faces.pages.words import part_words
from layshaft.faces.test_sheet import (
    expect_words,
    given_words,
    head,
    often_words,
    place,
    sentence,
    settle_lines,
    shared_words,
)
from layshaft.study.find_out.plan import Plan

POLICY = "default-src 'none'; style-src 'unsafe-inline'; img-src data:"
FEWEST_ROWS, MOST_ROWS, ROWS_BY_ANGLE = 5, 12, 14


def sheet_html(p: Plan) -> str:
    """The whole page, everything it needs inside."""
    name = part_words(p.given.path)
    page = (
        '<!doctype html>\n<html lang="en"><head><meta charset="utf-8">'
        f'<meta http-equiv="Content-Security-Policy" content="{POLICY}">'
        '<meta name="viewport" content="width=device-width, initial-scale=1">'
        f"<title>{escape(f'Test sheet: {name}')}</title><style>{style()}</style></head>"
        f'<body><main class="test">{_head(p, name)}{_settles(p)}{_how(p)}{_often(p)}{_write_down(p)}{_danger(p)}'
        "</main></body></html>\n")
    return page_in_words(page, p.machine)


def _head(p: Plan, name: str) -> str:
    shared = f'<p class="note">{escape(shared_words(p))}</p>' if len(p.shared) > 1 else ""
    return (f"<h1>Test sheet: {escape(name)}</h1><p>{escape(p.machine.title)}: now "
            f"{escape(given_words(p.given))}. In the machine file: <code>{escape(p.given.path)}</code>.</p>{shared}")


def _settles(p: Plan) -> str:
    return f"<h2>What it would settle</h2>{_list('ul', settle_lines(p))}"


def _how(p: Plan) -> str:
    test = p.test.procedure
    expect = f"<p>{escape(expect_words(p))}</p>" if expect_words(p) else ""
    note = f"<p><i>{escape(test.note)}</i></p>" if test.note else ""
    return (f"<h2>Test: {escape(test.name)}</h2><p><b>Rig.</b> {escape(test.rig)}</p>"
            f"<p><b>Instruments.</b> {escape(sentence('; '.join(test.instruments)))}</p>{expect}"
            f"{_list('ol', test.steps)}{note}")


def _often(p: Plan) -> str:
    return f"<h2>How often</h2><p>{escape(often_words(p))}</p>"


def _write_down(p: Plan) -> str:
    heads = "".join(f'<th scope="col">{escape(head(c))}</th>' for c in p.test.columns)
    rows = ROWS_BY_ANGLE if p.test.procedure.by else min(max(p.take, FEWEST_ROWS), MOST_ROWS)
    empty = "".join(f'<tr><th scope="row">{i}</th>{"<td></td>" * len(p.test.columns)}</tr>'
                    for i in range(1, rows + 1))
    blanks = "".join(f"<span>{word}</span>" for word in ("who", "when", "warmth", "which part, instrument, its step"))
    return (f'<h2>Write down</h2><div class="scroll"><table class="fill"><thead><tr><th scope="col">Nr.</th>{heads}'
            f'</tr></thead><tbody>{empty}</tbody></table></div><p class="who">{blanks}</p>'
            '<p class="note">Every reading that is thrown away stays on the sheet, with the reason. Type the others '
            "into the desk: Doubt, the guess, type in readings. Or from a file: "
            f"<code>layshaft find-out {escape(place(p))} '{escape(p.given.path)}' --readings FILE.csv</code></p>")


def _danger(p: Plan) -> str:
    return f'<h2>Cautions</h2>{_list("ul", p.test.procedure.cautions, "cautions")}'


def _list(tag: str, lines: Iterable[str], css: str = "") -> str:
    items = "".join(f"<li>{escape(line)}</li>" for line in lines)
    return f"<{tag}{_class(css)}>{items}</{tag}>"


def _class(css: str) -> str:
    return f' class="{css}"' if css else ""
