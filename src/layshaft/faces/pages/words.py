"""Words that all pages share: parts by name instead of by path, verdict marks, mean of samples."""

from __future__ import annotations

import re
from html import escape
from typing import Any

import numpy as np

from layshaft.trace.findings import Finding, Word
from layshaft.trace.units import Dimension, shown

NUMERIC = ' class="num"'
SOLE = {"wants": "wanted: ", "modules": "module "}


def part_words(path: str) -> str:
    """`shafts.wind.seats.ratchet.key` as `wind, ratchet: key`; a name is printed as the builder wrote it."""
    words = path.split(".")
    if words[0] == "shafts" and len(words) >= 4 and words[2] == "seats":
        tail = f": {' '.join(words[4:])}" if len(words) > 4 else ""
        return f"{words[1]}, {words[3]}{tail}"
    if words[0] in SOLE and len(words) > 1:
        return SOLE[words[0]] + ", ".join(words[1:])
    if words[0] in ("shafts", "stages", "drives", "loads") and len(words) > 1:
        head = "shaft " if words[0] == "shafts" else ""
        return head + ", ".join(words[1:])
    return path


def name_words(found: Finding) -> str:
    """The part of a finding, with its place within the part."""
    return part_words(found.part) + (f", at {found.place}" if found.place else "")


def anchor(prefix: str, path: str) -> str:
    """An id for a path: letters, digits and hyphens."""
    return f"{prefix}-{re.sub(r'[^A-Za-z0-9]+', '-', path).strip('-').lower() or 'x'}"


SURE = 0.95


def odds_words(share: float) -> str:
    """A probability from guesses: two figures at most, and nothing is sure."""
    return "> 95 %" if share > SURE else "< 5 %" if share < 1 - SURE else f"{100 * share:.0f} %"


def mean(value: Any) -> float:
    """One number for a value that may be samples."""
    return float(np.mean(value))


MARKS: dict[Word, str] = {
    "holds": '<rect x="1" y="4" width="24" height="6"/>',
    "thin": '<rect x="1" y="6" width="24" height="2"/>',
    "fails": '<path d="M1 2h10l3 6H1zM25 12H15.5l-3-6H25z"/>',
    "unknown": '<rect class="m-open" x="1.5" y="4.5" width="23" height="5"/>',
}
"""A bar that is whole, thin, broken in two, or drawn in dashes: told apart without colour."""


def mark(verdict: Word) -> str:
    """The mark of a verdict; the word always stands beside it."""
    return (f'<svg class="mark mark-{verdict}" viewBox="0 0 26 14" aria-hidden="true" focusable="false">'
            f"{MARKS[verdict]}</svg>")


def short(value: float, dimension: Dimension, digits: int = 4, unit: str | None = None) -> str:
    """A size as a builder would write it: no zeros that say nothing."""
    number, _, sign = shown(value, dimension, unit, digits).partition(" ")
    if "." in number and "e" not in number:
        number = number.rstrip("0").rstrip(".")
    return f"{number} {sign}".rstrip()


def verdict_words(verdict: Word) -> str:
    """Mark and word of a verdict."""
    return f'<span class="word word-{verdict}">{mark(verdict)}{escape(verdict)}</span>'


def table(css: str, caption: str, heads: tuple[str, ...], bodies: str, numeric: tuple[int, ...] = ()) -> str:
    """A table with a caption and a row of heads that repeats on every printed page."""
    head = "".join(f'<th scope="col"{NUMERIC if i in numeric else ""}>{escape(h)}</th>'
                   for i, h in enumerate(heads))
    return (f'<div class="scroll"><table class="{css}"><caption>{escape(caption)}</caption><thead><tr>{head}</tr>'
            f"</thead>{bodies}</table></div>")


def cell(label: str, inside: str, css: str = "") -> str:
    """A cell that carries the name of its column, for screens too narrow for columns. `inside` is markup."""
    classes = f' class="{css}"' if css else ""
    return f'<td data-label="{escape(label)}"{classes}>{inside}</td>'
