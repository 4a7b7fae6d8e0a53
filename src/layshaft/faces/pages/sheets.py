"""All calculation sheets: one for each part, place and case, with the findings it carries."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field
from html import escape

from layshaft.faces.pages.verdict_table import key
from layshaft.faces.pages.words import name_words, part_words, verdict_words
from layshaft.trace.findings import Finding
from layshaft.trace.formula import Step, Trace
from layshaft.trace.rests import together
from layshaft.trace.sheet import as_html
from layshaft.trace.units import figure
from layshaft.verdict.rate import Verdict
from layshaft.verdict.sheets import Sheet, has_sheet, sheet_of

COUNTERSIGN = ('<p class="countersign" aria-hidden="true"><span>checked by</span><span>on</span>'
               "<span>signature</span></p>")
"""Room for a second person, on paper and in a file; the desk, where nobody signs, leaves it out."""


@dataclass(slots=True)
class Bound:
    """Sheets of one part, place and case bound into one: their steps overlap."""

    number: int
    sheets: list[Sheet] = field(default_factory=list)

    @property
    def id(self) -> str:
        """Its anchor."""
        return f"sheet-{self.number}"

    @property
    def name(self) -> str:
        """The part and its place, in words."""
        return name_words(self.sheets[0].finding)

    @property
    def modes(self) -> str:
        """What it checks."""
        return ", ".join(s.finding.mode for s in self.sheets)


def bound_sheets(verdict: Verdict, *, every: bool = True) -> list[Bound]:
    """Every sheet, or only those of what does not hold; parts in the order of their worst finding."""
    return _bound(verdict, [f for f in verdict.findings if every or f.verdict != "holds"])


def bound_of(verdict: Verdict, path: str, most: int = 0, *, guesses: bool = True) -> list[Bound]:
    """The sheets of one part and of what sits on it; of the worst `most` places only, where that is told."""
    found = verdict.of(path)
    if most:
        places = list(dict.fromkeys((f.part, f.place, f.title) for f in found if has_sheet(verdict, f)))
        found = [f for f in found if (f.part, f.place, f.title) in places[:most]]
    return _bound(verdict, found, guesses=guesses)


def _bound(verdict: Verdict, findings: Sequence[Finding], *, guesses: bool = True) -> list[Bound]:
    by_place: dict[tuple[str, str, str], list[Sheet]] = {}
    parts = {part: i for i, part in enumerate(dict.fromkeys(f.part for f in findings))}
    for found in findings:
        sheet = sheet_of(verdict, found, guesses=guesses)
        if sheet is not None:
            by_place.setdefault((found.part, found.place, found.title), []).append(sheet)
    ordered = sorted(by_place.values(), key=lambda s: parts[s[0].finding.part])
    return [Bound(i, sheets) for i, sheets in enumerate(ordered, 1)]


def links(bound: list[Bound]) -> dict[tuple[str, str, str], str]:
    """Anchor of the sheet of each finding."""
    return {key(s.finding): b.id for b in bound for s in b.sheets}


def index(bound: list[Bound]) -> str:
    """A list of all sheets by part, with their numbers."""
    by_part: dict[str, list[Bound]] = {}
    for b in bound:
        by_part.setdefault(part_words(b.sheets[0].finding.part), []).append(b)
    items = "".join(
        f'<li>{escape(part)} <span class="numbers">'
        + ", ".join(f'<a href="#{b.id}">{b.number}</a>' for b in ours) + "</span></li>"
        for part, ours in by_part.items())
    return f'<ul class="index">{items}</ul>'


def sheet_pages(bound: list[Bound]) -> str:
    """All sheets as HTML fragments."""
    return "".join(sheet_page(b) for b in bound)


def sheet_page(b: Bound) -> str:
    """One sheet: heading, findings, where the demand comes from, steps, fingerprint."""
    first = b.sheets[0]
    lines = "".join(f"<li>{_line(s.finding)}</li>" for s in b.sheets)
    return (
        f'<article class="leaf" id="{b.id}"><h3><span class="nr">Sheet {b.number}</span> {escape(b.name)} '
        f'<span class="modes">{escape(b.modes)}</span></h3><dl class="head"><div><dt>In the machine file</dt><dd><code>'
        f"{escape(first.finding.part)}</code></dd></div><div><dt>Case</dt><dd>{escape(first.finding.title)}</dd></div>"
        f"<div><dt>Where the demand comes from</dt><dd>{escape(first.came_from)}</dd></div></dl>"
        f'<ul class="answers">{lines}</ul>{_steps(joined(b.sheets))}'
        f'<p class="fingerprint">Fingerprint <code>{escape(first.fingerprint)}</code></p>{COUNTERSIGN}</article>')


def _steps(trace: Trace) -> str:
    """The room's own headings stand one level below that of the sheet."""
    return as_html(trace).replace("<h3>", "<h4>").replace("</h3>", "</h4>")


def _line(f: Finding) -> str:
    why = f": {escape(f.reason)}" if f.verdict == "unknown" and f.reason else ""
    risk = f'; <span class="risk">at risk: {escape(f.hurts)}</span>' if f.hurts and f.verdict != "holds" else ""
    return (f"{verdict_words(f.verdict)} {escape(f.mode)}{why}: demand {escape(f.demand_text)}, rating "
            f"{escape(f.rating_text)}, margin {escape(f.margin_text)}, required {escape(figure(f.required, 3))}{risk}")


def joined(sheets: list[Sheet]) -> Trace:
    """The steps of several sheets of one run, each once, in the order they were taken."""
    if len(sheets) == 1:
        return sheets[0].trace
    seen: dict[tuple[str, str, str, str, str], Step] = {}
    for sheet in sheets:
        for step in sheet.trace.steps:
            seen.setdefault((step.kind, step.group, step.symbol, repr(step.value), step.meaning), step)
    remarks = {r.text: r for s in sheets for r in s.trace.remarks}
    return Trace(list(seen.values()), list(remarks.values()), rests=together(r for s in sheets for r in s.trace.rests))
