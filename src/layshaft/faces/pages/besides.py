"""What stands beside the verdict and has no margin: what a sudden stop breaks first, and advice."""

from __future__ import annotations

from html import escape

from layshaft.faces.pages.words import cell, name_words, part_words, table
from layshaft.verdict.jam import UPPER_BOUNDS, stops
from layshaft.verdict.rate import Verdict
from layshaft.verdict.remarks import by_text

HEADS = ("Stopped at", "Lets go first", "How", "Margin", "At risk")


def stopped_dead(verdict: Verdict) -> str:
    """Which part gives way where a jam stops the running machine dead. An HTML fragment, empty if none does."""
    rows = "".join(
        f'<tr><th scope="row">{escape(jam.shaft)}</th>{cell(HEADS[1], escape(name_words(first)))}'
        f'{cell(HEADS[2], escape(first.mode))}{cell(HEADS[3], escape(first.margin_text), "num")}'
        f"{cell(HEADS[4], escape(first.hurts))}</tr>"
        for jam in stops(verdict) if jam.goes and (first := jam.first_to_go) is not None)
    if not rows:
        return ""
    words = f"The turning masses run into the shaft that is held. {UPPER_BOUNDS} None of this counts in the verdict."
    return (f'<section class="besides"><h3>If a jam stops it dead while it runs</h3>'
            f'<p class="meaning">{escape(words)}</p>'
            f'{table("ledger stops", "What lets go first", HEADS, f"<tbody>{rows}</tbody>", (3,))}</section>')


def remark_list(verdict: Verdict) -> str:
    """Advice on parts, each once. An HTML fragment, empty if there is none."""
    items = "".join(
        f'<li>{escape(text)} <span class="waits">{escape("; ".join(part_words(p) for p in paths))}</span></li>'
        for text, paths in by_text(verdict).items())
    return f'<section class="besides"><h3>Remarks</h3><ul class="reasons-first">{items}</ul></section>' if items else ""
