"""Words that all pages share: parts by name instead of by path, verdict marks, mean of samples."""

from __future__ import annotations

import re
from html import escape
from typing import Any

import numpy as np

from layshaft.trace.findings import WORST_FIRST, Finding, Word
from layshaft.trace.units import Dimension, shown
from layshaft.verdict.clearances import AS_THEY_STAND

NUMERIC = ' class="num"'
HEADS = {"shafts": "shaft ", "wants": "wanted: ", "modules": "module ", "partings": "parting ", "parts": "listing ",
         "runs": "run ", "fixings": "fixing ", "springs": "spring ", "frames": "frame ", "margins": "margin of ",
         "stages": "", "drives": "", "loads": "", "options": "option "}
"""How a key begins in words, by what the file collects it under."""

INSIDE = {"idlers": "idler", "made of": "piece", "carries": "load"}
ACTS = {"acts": "act", "winding": "winding", "brakes": "braking"}
"""What goes into a thing, and into the run, and what one of them is called."""

AXES = ("x", "y", "z")
PLACES = {"at": AXES, "size": AXES, "force": AXES, "arm": AXES, "moment": AXES, "strip": ("width", "thickness"),
          "area": ("height", "width"), "roughness": ("shaft", "bore"), "rows": ("along", "across"),
          "lines": ("along", "across"), "lengths": ("along", "across"), "spread": ("along", "across")}
"""What the values of a list are called, where they are not counted."""

ROWS = {"sections": ("section", ("diameter", "length")), "cross holes": ("cross hole", ("place", "diameter")),
        "fillets": ("fillet", ()), "grooves": ("groove", ("place", "diameter", "radius"))}
"""Lists whose members are things of their own: what one is called, and its values."""


def part_words(path: str) -> str:
    """Any key of the machine file in words; a name is printed as the builder wrote it.

    `stages.lens chain.teeth[0]` is "lens chain, teeth 1"; `shafts.wind.seats.ratchet.at` is "wind, ratchet: at".
    """
    first, *words = path.split(".")
    if not words:
        return path
    if first == "shafts" and len(words) >= 3 and words[1] == "seats":
        return _of(f"{words[0]}, {words[2]}", words[3:])
    if len(words) >= 3 and words[1] in INSIDE:
        return _of(f"{words[0]}, {INSIDE[words[1]]} {words[2]}", words[3:])
    if first == "programme" and words[0] in ACTS and len(words) > 1:
        return _of(f"{ACTS[words[0]]} {words[1]}", words[2:])
    head = HEADS.get(first)
    return _and(first if head is None else f"{head}{words.pop(0)}", words)


def _of(whose: str, words: list[str]) -> str:
    """What belongs to a part of a part, after a colon."""
    return f"{whose}: {' '.join(map(_key_words, words))}" if words else whose


def _and(whose: str, words: list[str]) -> str:
    return ", ".join((whose, *map(_key_words, words)))


def _key_words(key: str) -> str:
    """One key, and which of its values; they are counted from 1."""
    name, *counted = re.split(r"\[(\d+)\]", key)[:1] + re.findall(r"\[(\d+)\]", key)
    at = [int(n) for n in counted]
    if not at:
        return name
    if name in ROWS:
        called, values = ROWS[name]
        return " ".join((f"{called} {at[0] + 1}", *(_one(values, n) for n in at[1:])))
    return " ".join((name, *(_one(PLACES.get(name, ()), n) for n in at)))


def _one(called: tuple[str, ...], n: int) -> str:
    return called[n] if n < len(called) else str(n + 1)


WHOLE, FROM_END_TO_END = "end to end", "from end to end"
"""Place of what a shaft does over its whole length, and how it is said."""


def name_words(found: Finding) -> str:
    """The part of a finding, with its place within the part."""
    return part_words(found.part) + at_place(found)


def at_place(found: Finding) -> str:
    """Where within its part a finding is, to stand behind a name."""
    return "" if not found.place else f", {FROM_END_TO_END}" if found.place == WHOLE else f", at {found.place}"


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


MEANS: dict[Word, str] = {
    "fails": "carries less than is asked of it; where people can be hurt, less than required",
    "unknown": "cannot be said yet; never counts as holding",
    "thin": "carries it, with less to spare than required",
    "holds": "carries it, with what is required to spare",
}
"""What each verdict says of a part; told where a reader first meets the words, and only there."""


def verdicts_mean() -> str:
    """All four verdicts in one paragraph, worst first."""
    return " ".join(f"{word[0].upper()}{word[1:]}: {MEANS[word]}." for word in WORST_FIRST)


def means_list() -> str:
    """The same as an HTML fragment, a line each."""
    return f'<dl class="means">{"".join(f"<dt>{w}</dt><dd>{MEANS[w]}</dd>" for w in WORST_FIRST)}</dl>'


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


def in_words(f: Finding) -> str:
    """Of a finding that only asks whether there is something: when it is asked, and what there is. Not markup."""
    when = f.title if f.title == AS_THEY_STAND else f"when {f.title}"
    texts = [text for text in (when, f.note) if text]
    return " ".join(text[:1].upper() + text[1:] + ("" if text.endswith(".") else ".") for text in texts)


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
