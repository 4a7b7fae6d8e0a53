"""The printed report: one HTML file that holds everything, reads on a screen and prints on A4."""

from __future__ import annotations

from collections.abc import Sequence
from html import escape
from pathlib import Path

from layshaft.faces.pages.besides import remark_list, stopped_dead
from layshaft.faces.pages.cautions import caution_list
from layshaft.faces.pages.day import day_words
from layshaft.faces.pages.doubt_chapter import doubt_chapter
from layshaft.faces.pages.energy import energy
from layshaft.faces.pages.givens import givens
from layshaft.faces.pages.keys import page_in_words
from layshaft.faces.pages.machine_drawing import machine_drawing
from layshaft.faces.pages.opening import doubtful, needed, step_first
from layshaft.faces.pages.sheets import bound_of, bound_sheets, index, links, sheet_pages
from layshaft.faces.pages.style import style
from layshaft.faces.pages.verdict_table import counts, verdict_tables
from layshaft.faces.pages.words import means_list, part_words
from layshaft.project.files import write_whole
from layshaft.study.doubt import Doubt
from layshaft.trace.records import fingerprint_of
from layshaft.trace.units import printing_in
from layshaft.verdict.rate import Verdict

POLICY = "default-src 'none'; style-src 'unsafe-inline'; img-src data:"
CHAPTERS = (
    ("needed", "What is needed"), ("doubtful", "What is doubtful"), ("machine", "The machine to scale"),
    ("verdict", "The verdict"), ("energy", "Energy"), ("sheets", "Calculation sheets"),
    ("givens", "Givens and guesses"), ("cautions", "Cautions"),
)

LEFT_OUT = ("<p>The sheets of what holds are left out of this print; <code>layshaft sheet</code> gives each of them."
            "</p>")


DOUBT = ("odds", "How likely it holds")


def report_html(verdict: Verdict, *, every_sheet: bool = True, doubt: Doubt | None = None) -> str:
    """The whole report of a rated machine; without `every_sheet` only the sheets of what does not hold.

    With `doubt` it has a chapter on what becomes of the verdicts in all draws.
    """
    machine = verdict.solved.machine
    with printing_in(machine.units):
        bound = bound_sheets(verdict, every=every_sheet)
        bodies = {
            "needed": needed(verdict), "doubtful": doubtful(verdict), "machine": machine_drawing(verdict),
            "verdict": verdict_tables(verdict.findings, links(bound)) + stopped_dead(verdict) + remark_list(verdict),
            "energy": energy(verdict.solved),
            "sheets": ("" if every_sheet else LEFT_OUT) + index(bound) + sheet_pages(bound), "givens": givens(machine),
            "cautions": caution_list(verdict), "odds": doubt_chapter(doubt) if doubt else "",
        }
        chapters = "".join(f'<section class="chapter" id="{name}"><h2>{escape(title)}</h2>{bodies[name]}</section>'
                           for name, title in _chapters(doubt))
        cover = _cover(verdict)
    page = _page(_title(verdict), f"{cover}{_contents(_chapters(doubt))}<main>{chapters}</main>")
    return page_in_words(page, machine)


def sheet_html(verdict: Verdict, path: str) -> str:
    """The sheets of one part as a page that needs nothing else, with the cautions of the machine."""
    with printing_in(verdict.solved.machine.units):
        title = f"{_title(verdict)}: {part_words(path)}"
        body = (f'<main><header><h1>{escape(part_words(path))}</h1><p class="about">{escape(_title(verdict))}; in the '
                f"machine file <code>{escape(path)}</code>. Made on {day_words()}</p></header>"
                f"{sheet_pages(bound_of(verdict, path))}<section><h2>Cautions</h2>"
                f"{caution_list(verdict)}</section></main>")
    return page_in_words(_page(title, body), verdict.solved.machine)


def _page(title: str, body: str) -> str:
    """A page that holds everything it shows."""
    return (
        '<!doctype html>\n<html lang="en"><head><meta charset="utf-8">'
        f'<meta http-equiv="Content-Security-Policy" content="{POLICY}">'
        '<meta name="viewport" content="width=device-width, initial-scale=1">'
        f"<title>{escape(title)}</title><style>{style()}{_running_title(title)}</style></head>"
        f'<body class="report">{body}</body></html>\n')


def write_report(verdict: Verdict, path: Path | str, *, every_sheet: bool = True, doubt: Doubt | None = None) -> Path:
    """Write the report so that a reader sees the old file or the new one, never a half."""
    return write_whole(Path(path), report_html(verdict, every_sheet=every_sheet, doubt=doubt))


def _chapters(doubt: Doubt | None) -> list[tuple[str, str]]:
    at = [name for name, _ in CHAPTERS].index("energy")
    return [*CHAPTERS[:at], DOUBT, *CHAPTERS[at:]] if doubt else list(CHAPTERS)


def _title(verdict: Verdict) -> str:
    machine = verdict.solved.machine
    return machine.title + (f", with {machine.label}" if machine.label else "")


def _cover(verdict: Verdict) -> str:
    machine = verdict.solved.machine
    about = f'<p class="about">{escape(machine.about)}</p>' if machine.about else ""
    file = f" Computed from <code>{escape(machine.file.name)}</code>." if machine.file else ""
    whole = fingerprint_of(sorted({f.fingerprint for f in verdict.findings if f.fingerprint}))
    return (f'<header class="cover"><h1>{escape(_title(verdict))}</h1>{about}{step_first(verdict)}'
            f'{counts(verdict.findings)}{means_list()}<p class="note">Every number shows its formula, inputs, source '
            "and trust; what is missing gives “unknown”. This report computes; it does not permit: local codes and "
            f"licensed practice decide.{file} Made on {day_words()}. Fingerprint of all sheets <code>{escape(whole)}"
            "</code>.</p>"
            "</header>")


def _contents(chapters: Sequence[tuple[str, str]]) -> str:
    items = "".join(f'<li><a href="#{name}">{escape(title)}</a></li>' for name, title in chapters)
    return f'<nav class="contents" aria-label="Contents"><ol>{items}</ol></nav>'


def _running_title(title: str) -> str:
    """The title at the head of every printed page, as a string of the style sheet."""
    safe = "".join(c if c.isascii() and (c.isalnum() or c == " ") else f"\\{ord(c):x} " for c in title)
    return f'@page{{@top-left{{content:"{safe}"}}}}'
