"""What is left of machines side by side when something is missing, and the trade-off between them, in words."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import groupby
from typing import Any

import numpy as np

from layshaft.faces.pages.words import name_words
from layshaft.faces.text import wrapped
from layshaft.study.compare import Comparison, Fact
from layshaft.study.without import Without
from layshaft.trace.units import shown

MORE_IS_BETTER = ("one drop of", "start of")
ASIDE = ("pieces without", "verdicts: thin", "verdicts: unknown", "verdicts: holds")
MOST_NAMED = 3
FELT = 0.005
"""A fact that moves by less than this share of itself is no reason for anything."""


def losses_lines(found: Comparison) -> Iterator[str]:
    """One paragraph for each thing that is missing; machines in which the same follows share a line."""
    if not found.losses:
        return
    yield from ("", "IF SOMETHING IS MISSING")
    for loss in found.losses:
        yield f"  {loss.what}"
        words = [(told(w), chr(ord("A") + i)) for i, w in enumerate(loss.found)]
        for text, group in groupby(sorted(words, key=lambda x: ([t for t, _ in words].index(x[0]), x[1])),
                                   key=lambda x: x[0]):
            yield wrapped(f"{' '.join(letter for _, letter in group)}  {text}", "         ", "    ")


def told(w: Without | None) -> str:
    """What follows, in words."""
    if w is None:
        return "there is no such part, or nothing runs without it."
    words = []
    if w.goes_on:
        words.append(f"{' and '.join(w.goes_on)} {'go' if len(w.goes_on) > 1 else 'goes'} on")
    if w.stands:
        words.append(f"{' and '.join(w.stands)} {'stand' if len(w.stands) > 1 else 'stands'}")
    elif not w.goes_on:
        words.append("no load stands that ran before")
    if w.short:
        named = "; ".join(f"{name_words(f)}: {f.mode}" for f in w.short[:MOST_NAMED])
        more = f" and {len(w.short) - MOST_NAMED} more" if len(w.short) > MOST_NAMED else ""
        words.append(f"of {w.asked} verdicts {len(w.short)} no longer {'hold' if len(w.short) > 1 else 'holds'} "
                     f"({named}{more})")
    elif w.asked:
        words.append(f"none of {w.asked} verdicts is lost by it")
    if w.runs_away is not None:
        state = {"holds": "the weight does not run away", "fails": "the weight runs away"}.get(
            w.runs_away.verdict, "whether the weight runs away is not known")
        hurts = f", at risk: {w.runs_away.hurts}" if w.runs_away.verdict != "holds" and w.runs_away.hurts else ""
        words.append(f"{state}{hurts}")
    return "; ".join(words) + "."


def trade_lines(found: Comparison) -> Iterator[str]:
    """For each option what it gives and what it takes, from the facts that move most."""
    yield from ("", "THE TRADE-OFF")
    for i, label in enumerate(found.labels[1:], 1):
        gives, takes = _moves(found, i, better=True), _moves(found, i, better=False)
        if gives and takes:
            text = f"{label} gives {_named(gives)}, and takes {_named(takes)}."
        elif gives or takes:
            text = (f"{label} only gives: {_named(gives)}." if gives else f"{label} only takes: {_named(takes)}.")
        else:
            text = f"{label}: no fact of the whole machine moves by {FELT:.1%} or more.".replace("%", " %")
        yield wrapped(text, "    ", "  ")


def _moves(found: Comparison, i: int, *, better: bool) -> list[str]:
    """Facts that get better, or worse, in words, largest change first; a verdict more or less goes before all."""
    moves: list[tuple[bool, float, str]] = []
    for fact in found.facts:
        a, b = fact.values[0], fact.values[i]
        if fact.name.startswith(ASIDE) or not np.isfinite(a - b):
            continue
        size = (b - a) / max(abs(a), abs(b), 1e-300)
        rises = fact.name.startswith(MORE_IS_BETTER)
        if abs(size) >= FELT and ((size > 0) == rises) == better:
            moves.append((not fact.name.startswith("verdicts"), -abs(size), _change(fact, a, b)))
    return [words for _, _, words in sorted(moves)]


def _named(moves: list[str]) -> str:
    more = f"; and {len(moves) - MOST_NAMED} more below" if len(moves) > MOST_NAMED else ""
    return "; ".join(moves[:MOST_NAMED]) + more


def _change(fact: Fact, a: float, b: float) -> str:
    if fact.name.startswith("verdicts"):
        count = abs(b - a)
        return f"{count:.0f} {'more' if b > a else 'fewer'} that {'fails' if count == 1 else 'fail'}"
    return f"{fact.name}: from {shown(a, fact.dimension, fact.unit)} to {shown(b, fact.dimension, fact.unit)}"


def losses_dict(found: Comparison) -> list[dict[str, Any]]:
    """Plain data."""
    return [{"missing": loss.what, "machines": [None if w is None else {
        "stands": list(w.stands), "goes on": list(w.goes_on), "asked": w.asked,
        "no longer holds": [{"part": f.part, "mode": f.mode, "verdict": f.verdict} for f in w.short],
        "run-away": None if w.runs_away is None else w.runs_away.verdict} for w in loss.found]}
        for loss in found.losses]
