"""A tally beside a part: its margin as a bar, a post at what is required, and its word."""

from __future__ import annotations

import math
from html import escape

from layshaft.faces.pages.svg import Point, group, line, number, rect
from layshaft.trace.findings import Finding, margin_text
from layshaft.verdict.runaways import MODE as RUN_AWAY

BAR, POST, TALL = 30.0, 20.0, 5.0
"""Length of the longest bar, and where what is required is reached: what falls short of the post does not hold."""

WORDS = 4.0
GAP = "\u00a0"
"""Before a word: some programs drop a plain blank at its place."""


def reached(f: Finding) -> float:
    """Margin over what is required; NaN where it is not known."""
    if f.verdict == "unknown" or math.isnan(f.margin) or not f.required > 0:
        return math.nan
    return f.margin / f.required


def used(f: Finding) -> float:
    """Share of the rating, less the required margin, that is asked; NaN where it is not known."""
    share = reached(f)
    return 1 / share if share > 0 else math.inf if share <= 0 else math.nan


def words(f: Finding) -> str:
    """Its word, with the margin where it has one, and what is needed where that is not 1."""
    if f.verdict == "unknown":
        return "unknown"
    if f.mode == RUN_AWAY:
        return f"{f.verdict} if lost" if f.verdict == "fails" else f.verdict
    return f"{f.verdict} {margin_text(f.margin)}" + (f" of {f.required:g}" if f.required != 1 else "")


def told(name: str, f: Finding | None) -> str:
    """One sentence for those who do not see the bar."""
    if f is None:
        return name
    where = f", {f.place}" if f.place else ""
    limit = f": {f.reason}" if f.verdict == "unknown" else " of 1" if f.required == 1 and f.mode != RUN_AWAY else ""
    return f"{name}. Tightest: {f.mode}{where}, {f.title}: {words(f)}{limit}"


def tally(at: Point, f: Finding) -> str:
    """The bar, its lower left corner at a base line of text."""
    x, y = at[0], at[1] - 1.5
    share = reached(f)
    if math.isnan(share):
        inside = [rect(x, y - TALL, POST, TALL, "t-open")]
    else:
        inside = [rect(x, y - TALL + 1, max(min(share * POST, BAR), 0.8), TALL - 2, f"t-bar t-{f.verdict}")]
    return group([*inside, line((x + POST, y - TALL - 1.5), (x + POST, y + 1.5), "t-post")], "t-tally")


def line_of(at: Point, name: str, f: Finding | None, css: str, *, left: bool, indent: bool,
            beside: str = "") -> str:
    """A line of a label with its tally at the side of the drawing and its word behind; `indent` leaves room for one."""
    x, y = at
    anchor = ' text-anchor="end"' if left else ""
    if f is None:
        away = (BAR + WORDS) * (-1 if left else 1) if indent else 0.0
        more = f'<tspan class="d-beside">{GAP}{GAP}{escape(beside)}</tspan>' if beside else ""
        return f'<text class="{css}" x="{number(x + away)}" y="{number(y)}"{anchor}>{escape(name)}{more}</text>'
    start, bar = (x - BAR - WORDS, x - BAR) if left else (x + BAR + WORDS, x)
    word = f'<tspan class="t-word t-word-{f.verdict}">{GAP if name else ""}{escape(words(f))}</tspan>'
    return (tally((bar, y), f)
            + f'<text class="{css}" x="{number(start)}" y="{number(y)}"{anchor}>{escape(name)}{word}</text>')
