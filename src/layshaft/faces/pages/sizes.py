"""The sizes next to the one a part has, each with what it would do; a table that reads as a chart."""

from __future__ import annotations

import math
from collections.abc import Callable
from html import escape

from layshaft.faces.comparing import sentences
from layshaft.faces.pages.svg import line, number, rect
from layshaft.faces.pages.words import cell, table
from layshaft.study.compare import Comparison
from layshaft.trace.findings import margin_text
from layshaft.trace.units import figure
from layshaft.verdict.ladder import Ladder
from layshaft.verdict.search import Answer, Tried

LONG, LEAST, MOST = 200.0, 0.1, 10.0
"""Length of the scale, and its two ends as margin over required."""

NAMED = 3
HEADS = ("Size", "Least margin over required", "What decides it", "Also near", "")
CAPTION = ("Margin against size: every size rated by the same methods, with the loads as solved. The post is what is "
           "required; the scale runs from a tenth to ten times that.")

Choose = Callable[[Tried], str]
"""Markup of what chooses a size; blank for none."""


def sizes(found: Ladder, choose: Choose = lambda _: "") -> str:
    """One row a size, from small to large, the one there is marked. An HTML fragment."""
    if not found.tried:
        return f'<p class="note">No sizes to compare: {escape(found.cannot)}.</p>'
    rows = "".join(_row(t, now=i == found.now, choose=choose) for i, t in enumerate(found.tried))
    unjudged = found.tried[0].unjudged
    left = "".join(f"<li>{escape(mode)}: {escape(why)}</li>" for mode, why in unjudged.items())
    notes = f'<p class="note">{escape(found.note)}</p>' if found.note else ""
    notes += '<p class="note">The size it has is none of this series.</p>' if found.now < 0 else ""
    notes += f'<div class="note">Not judged for any size:<ul>{left}</ul></div>' if left else ""
    return table("ledger sizes", CAPTION, HEADS, f"<tbody>{rows}</tbody>") + notes


def _row(t: Tried, *, now: bool, choose: Choose) -> str:
    near = sorted(t.answers, key=lambda a: a.share)
    worst = near[0] if near else None
    css = ' class="is-now" aria-current="true"' if now else ""
    name = escape(t.candidate.name) + (' <span class="of">as it is</span>' if now else "")
    word = "holds" if t.holds else "does not hold"
    decides = f"<span><b>{word}</b>: {escape(_said(worst))}</span>" if worst else "nothing can be judged"
    also = ", ".join(escape(_said(a)) for a in near[1:NAMED])
    return (f'<tr{css}><th scope="row">{name}</th>{cell("Least margin over required", _bar(worst))}'
            f'{cell("What decides it", decides)}{cell("Also near", also)}'
            f'{cell("Choose", "" if now else choose(t))}</tr>')


def _known(answer: Answer) -> bool:
    """The search ranks what is unknown with no margin at all."""
    return math.isfinite(answer.share) and answer.share > 0


def _said(answer: Answer) -> str:
    if not _known(answer):
        return f"{answer.mode} not known"
    return f"{answer.mode} {margin_text(answer.margin)} of {figure(answer.required, 3)}"


def _bar(worst: Answer | None) -> str:
    """A bar from the left end of a logarithmic scale to the margin, with the post at what is required."""
    if worst is None or not _known(worst):
        return '<span class="openly">not known</span>'
    reach = _along(worst.share)
    post = _along(1.0)
    inside = (line((0, 8), (LONG, 8), "r-base") + rect(0, 5, reach, 6, "r-bar") + line((post, 1), (post, 15), "r-post"))
    share = ">10" if worst.share > MOST else figure(worst.share, 3)
    return (f'<span class="share">{share}</span><svg class="reach scale" viewBox="0 0 {number(LONG + 2)} 16" '
            f'aria-hidden="true" focusable="false">{inside}</svg>')


def _along(share: float) -> float:
    inside = min(max(share, LEAST), MOST)
    return LONG * math.log10(inside / LEAST) / math.log10(MOST / LEAST)


def would(found: Comparison) -> str:
    """What other sizes would do to the whole machine, each as one sentence. An HTML fragment."""
    items = "".join(f"<li><b>{escape(label)}</b>: {escape('; '.join(sentences(found, i)))}.</li>"
                    for i, label in enumerate(found.labels[1:], 1))
    return f'<ul class="would">{items}</ul>' if items else ""
