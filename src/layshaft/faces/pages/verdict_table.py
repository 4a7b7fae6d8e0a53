"""Findings, worst first: what does not hold one by one, what holds as one compact table."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from html import escape

import numpy as np

from layshaft.faces.pages.svg import line, number, rect
from layshaft.faces.pages.words import cell, name_words, table, verdict_words
from layshaft.trace.findings import WORST_FIRST, Finding
from layshaft.trace.units import figure
from layshaft.verdict.next_step import seen_to_first

Links = Mapping[tuple[str, str, str], str]
"""Id of the sheet of a finding by part, place and mode; empty where sheets are not on the page."""

CAPTIONS = {"fails": "What fails", "thin": "What is thin"}
OPEN_HEADS = ("Part and what was checked", "Demand", "Rating", "Margin", "Required")
HELD_HEADS = ("Part", "Checked", "Case", "Demand", "Rating", "Margin", "Required", "Rests on")
BAR = "The bar is the margin, the post is what is required."
SAID = {"fails": BAR, "unknown": "Each reason once, with all that waits for it.", "thin": BAR}
REACH, GAUGE = 1.6, 84.0
"""Right end of the reach, as margin over required, and its length."""


def key(found: Finding) -> tuple[str, str, str]:
    """What tells findings apart."""
    return found.part, found.place, found.mode


def counts(findings: Sequence[Finding]) -> str:
    """How many there are of each verdict, as a row of marks and words."""
    items = "".join(f'<li>{verdict_words(word)} <b>{sum(f.verdict == word for f in findings)}</b></li>'
                    for word in WORST_FIRST)
    return f'<ul class="counts">{items}</ul>'


def verdict_tables(findings: Sequence[Finding], links: Links | None = None) -> str:
    """All findings as an HTML fragment."""
    links = links or {}
    blocks = [counts(findings)]
    for word in ("fails", "unknown", "thin"):
        chosen = [f for f in seen_to_first(findings) if f.verdict == word]
        if chosen:
            body = _unknown(chosen, links) if word == "unknown" else _open(word, chosen, links)
            blocks.append(f'<section class="verdict verdict-{word}"><h3>{verdict_words(word)} '
                          f'<span class="of">{len(chosen)}</span></h3><p class="meaning">{SAID[word]}</p>'
                          f"{body}</section>")
    held = [f for f in findings if f.verdict == "holds"]
    if held:
        blocks.append(f'<section class="verdict verdict-holds"><h3>{verdict_words("holds")} '
                      f'<span class="of">{len(held)}</span></h3>'
                      '<p class="meaning">Nearest to what is required first. What a verdict rests on stands '
                      f"beside it.</p>{_held(held, links)}</section>")
    return "".join(blocks)


def _open(word: str, chosen: Sequence[Finding], links: Links) -> str:
    bodies = "".join(_open_body(f, links) for f in chosen)
    return table("ledger open", CAPTIONS[word], OPEN_HEADS, bodies, (1, 2, 3, 4))


def _open_body(f: Finding, links: Links) -> str:
    """Two rows that stay together: the numbers, then case, who is at risk and the method."""
    risk = f'<span class="risk">At risk: {escape(f.hurts)}.</span> ' if f.hurts else ""
    note = f" {escape(_sentence(f.note))}" if f.note else ""
    rests = f' <span class="trust">Rests on {escape(f.trust)}.</span>' if f.trust else ""
    return (
        f'<tbody class="finding"><tr><th scope="row">{_linked(f, links)}<span class="mode">{escape(f.mode)}</span></th>'
        + cell("Demand", escape(f.demand_text), "num") + cell("Rating", escape(f.rating_text), "num")
        + cell("Margin", f"{escape(f.margin_text)}{reach(f)}", "num") + cell("Required", _required(f), "num")
        + f'</tr><tr class="about"><td colspan="5">{risk}<span class="case">Case: {escape(f.title)}.</span>'
        f'{rests}{_shares(f)} <span class="by">Method: {escape(str(f.source))}. Margin asked by: '
        f"{escape(str(f.required_source))}.</span>{note}</td></tr></tbody>")


def _sentence(text: str) -> str:
    text = text.strip()
    return (text[:1].upper() + text[1:] + ("" if text.endswith(".") else ".")) if text else ""


def _unknown(chosen: Sequence[Finding], links: Links) -> str:
    """Grouped by reason, so that one missing value is said once."""
    by_reason: dict[str, list[Finding]] = {}
    for f in chosen:
        by_reason.setdefault(f.reason or "no reason given", []).append(f)
    rows = []
    for reason, group in by_reason.items():
        parts = "; ".join(f"{_linked(f, links)} {escape(f.mode)}" for f in group)
        risk = sorted({f.hurts for f in group if f.hurts})
        at_risk = f'<span class="risk">{escape("; ".join(risk))}</span>' if risk else ""
        cases = ", ".join(dict.fromkeys(escape(f.title) for f in group))
        rows.append(f'<tr><th scope="row">{escape(_sentence(reason))}</th>{cell("What is unknown", parts)}'
                    f'{cell("Case", cases)}{cell("At risk", at_risk)}</tr>')
    return table("ledger reasons", "What is unknown, and why", ("Why", "What is unknown", "Case", "At risk"),
                 f"<tbody>{''.join(rows)}</tbody>")


def reasons(findings: Sequence[Finding]) -> str:
    """Why something is unknown, each reason once with how many verdicts wait for it; most wanted first."""
    by_reason: dict[str, list[Finding]] = {}
    for f in findings:
        if f.verdict == "unknown":
            by_reason.setdefault(f.reason or "no reason given", []).append(f)
    items = "".join(
        f"<li>{escape(_sentence(reason))} <span class=\"waits\">{len(group)} unknown: "
        f"{escape(', '.join(dict.fromkeys(f'{name_words(f)} {f.mode}' for f in group[:MOST])))}"
        f"{' and more' if len(group) > MOST else ''}.</span></li>"
        for reason, group in sorted(by_reason.items(), key=lambda item: -len(item[1])))
    return f'<ul class="reasons-first">{items}</ul>' if items else ""


MOST = 3
"""Verdicts named beside a reason; the rest are counted."""


def _held(held: Sequence[Finding], links: Links) -> str:
    rows = "".join(
        f'<tr><th scope="row">{_linked(f, links)}</th>'
        + cell("Checked", escape(f.mode)) + cell("Case", escape(f.title)) + cell("Demand", escape(f.demand_text), "num")
        + cell("Rating", escape(f.rating_text), "num") + cell("Margin", escape(f.margin_text), "num")
        + cell("Required", _required(f), "num") + cell("Rests on", _rests(f)) + "</tr>"
        for f in held)
    return table("ledger held", "What holds", HELD_HEADS, f"<tbody>{rows}</tbody>", (3, 4, 5, 6))


def _rests(f: Finding) -> str:
    method = escape(f.source.work)
    trust = f'<span class="trust">{escape(f.trust)}</span>. ' if f.trust else ""
    return f"{trust}{method}{_shares(f)}"


def _required(f: Finding) -> str:
    return escape(figure(f.required, 3))


def _shares(f: Finding) -> str:
    if f.shares is None:
        return ""
    s = f.shares
    return f" Of the draws {s.holds:.1%} hold, {s.does_not:.1%} do not, {s.unknown:.1%} are unknown."


def _linked(f: Finding, links: Links) -> str:
    name = escape(name_words(f))
    target = links.get(key(f))
    return f'<a class="part" href="#{escape(target)}">{name}</a>' if target else f'<span class="part">{name}</span>'


def reach(f: Finding) -> str:
    """How far the rating reaches towards what is required: a bar to the margin, a post at the requirement."""
    share = f.margin / f.required
    if not np.isfinite(share):
        return ""
    end = min(share, REACH) / REACH * GAUGE
    post = GAUGE / REACH
    inside = (line((0, 8), (GAUGE, 8), "r-base") + rect(0, 5, end, 6, "r-bar") + line((post, 1), (post, 15), "r-post"))
    return (f'<svg class="reach" viewBox="0 0 {number(GAUGE + 2)} 16" aria-hidden="true" '
            f'focusable="false">{inside}</svg>')
