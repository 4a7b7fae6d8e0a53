"""How results print in a notebook and in a terminal: short, worst first."""

from __future__ import annotations

from html import escape
from typing import TYPE_CHECKING

from layshaft.trace.findings import WORST_FIRST, Finding
from layshaft.trace.units import figure

if TYPE_CHECKING:
    from layshaft.verdict.rate import Verdict

MOST_LINES = 40
COLUMNS = ("part", "checked", "case", "demand", "rating", "margin", "required", "verdict")


def verdict_text(verdict: Verdict) -> str:
    """Counts, then the findings that do not hold."""
    findings = verdict.findings
    counts = ", ".join(f"{sum(f.verdict == word for f in findings)} {word}" for word in WORST_FIRST)
    wanted = [f for f in findings if f.verdict != "holds"][:MOST_LINES]
    return "\n".join([f"{verdict.solved.machine.title}: {counts}", *(f"  {f}" for f in wanted)])


def verdict_html(verdict: Verdict) -> str:
    """All findings as one table."""
    head = "".join(f"<th scope='col'>{name}</th>" for name in COLUMNS)
    rows = "".join(f"<tr>{''.join(f'<td>{escape(cell)}</td>' for cell in _cells(f))}</tr>" for f in verdict.findings)
    title = escape(verdict.solved.machine.title)
    return f"<table><caption>{title}</caption><thead><tr>{head}</tr></thead><tbody>{rows}</tbody></table>"


def _cells(f: Finding) -> tuple[str, ...]:
    part = f"{f.part}, {f.place}" if f.place else f.part
    return (part, f.mode, f.title, f.demand_text, f.rating_text, f.margin_text, figure(f.required, 3), f.verdict_text)
