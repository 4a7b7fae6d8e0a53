"""Machines side by side, as text, as plain data and drawn."""

from __future__ import annotations

import textwrap
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import numpy as np

from layshaft.faces.comparing_losses import losses_dict, losses_lines, trade_lines
from layshaft.faces.pages.words import name_words, part_words
from layshaft.faces.plain import number
from layshaft.faces.text import wrapped
from layshaft.study.compare import Comparison, Fact, Moved
from layshaft.study.harms import Harm
from layshaft.trace.findings import Finding, margin_text
from layshaft.trace.units import MONEY, figure, shown

MARKS = {"fails": "x", "unknown": "?", "thin": "~", "holds": " "}
SHAPES = "oDs^vP*X"
APART = 0.5
"""Of the height of a line: how far apart marks of different machines stand in it, so that none hides another."""
PLURAL = {"now holds": "now hold", "no longer holds": "no longer hold",
          "is new and does not hold": "are new and do not hold", "changes its word": "change their word"}
MOST_NAMED = 4
COLUMN = 18
AMPLE = 10.0


def compare_text(found: Comparison) -> str:
    """The whole answer of `layshaft compare`."""
    title = found.verdicts[0].solved.machine.title
    return "\n".join([title, *_columns(found), "", "IN WORDS", *_words(found), *trade_lines(found), *_facts(found),
                      *losses_lines(found), *_moves(found), *_end()])


def _columns(found: Comparison) -> Iterator[str]:
    for i, label in enumerate(found.labels):
        yield f"  {chr(ord('A') + i)}  {label}"


def _heads(found: Comparison) -> str:
    return "".join(f"{chr(ord('A') + i):>{COLUMN}}" for i in range(len(found.labels)))


def _words(found: Comparison) -> Iterator[str]:
    """One paragraph for each option, built from the numbers."""
    for i, label in enumerate(found.labels[1:], 1):
        yield wrapped(f"{label}: {'; '.join(sentences(found, i))}.", "    ", "  ")


def sentences(found: Comparison, i: int) -> Iterator[str]:
    """What machine `i` does otherwise than the first, clause by clause."""
    changes = found.changes(i)
    better = [f for (was, now), fs in changes.items() for f in fs if now == "holds" and was != "not there"]
    worse = [f for (was, now), fs in changes.items() for f in fs if was == "holds"]
    new = [f for (was, now), fs in changes.items() for f in fs if was == "not there" and now != "holds"]
    other = [f for (was, now), fs in changes.items() for f in fs if f not in (*better, *worse) and was != "not there"]
    some = False
    for words, findings in (("now holds", better), ("no longer holds", worse), ("is new and does not hold", new),
                            ("changes its word", other)):
        if count := len(findings):
            some = True
            named = "; ".join(f"{name_words(f)}: {f.mode}" for f in findings[:MOST_NAMED])
            more = f" and {count - MOST_NAMED} more" if count > MOST_NAMED else ""
            hurts = ", where people can be hurt" if any(f.hurts for f in findings) and findings is not better else ""
            yield f"{count} {words if count == 1 else PLURAL[words]} ({named}{more}){hurts}"
    if not some:
        yield "no verdict changes its word"
    if weaker := found.weaker(i):
        named = "; ".join(f"{part_words(h.now.part)}: {h.now.mode}{_at(h)} {_fallen(h)}" for h in weaker[:MOST_NAMED])
        more = f" and {len(weaker) - MOST_NAMED} more" if len(weaker) > MOST_NAMED else ""
        hurts = ", where people can be hurt" if any(h.people for h in weaker) else ""
        does = "that fails or is thin gets" if len(weaker) == 1 else "that fail or are thin get"
        yield f"{len(weaker)} {does} worse ({named}{more}){hurts}"
    for fact in found.facts:
        if fact.moves and not fact.name.startswith("verdicts"):
            a, b = fact.values[0], fact.values[i]
            if np.isfinite(a) and np.isfinite(b) and abs(b - a) > 1e-9 * max(abs(a), abs(b)):
                yield f"{fact.name} {told_value(a, fact)} becomes {told_value(b, fact)}"


def _fallen(harm: Harm) -> str:
    """Old and new margin of what is required."""
    before = f"{harm.was.margin_text} to " if harm.was is not None else "with "
    return f"{before}{harm.now.margin_text} of {figure(harm.now.required, 3)}"


def _at(harm: Harm) -> str:
    """The place of a part that has several."""
    return f" at {harm.now.place}" if harm.now.place and harm.now.part.startswith("shafts.") else ""


def _facts(found: Comparison) -> Iterator[str]:
    yield from ("", f"{'THE WHOLE MACHINE':<46}{_heads(found)}")
    for fact in found.facts:
        cells = "".join(f"{told_value(v, fact):>{COLUMN}}" for v in fact.values)
        yield from _line(f"{fact.name}" + (f" ({fact.note})" if fact.note else ""), cells)
    if any("price" in fact.name or "lead time" in fact.name for fact in found.facts):
        yield wrapped("Prices and lead times are those of the file's own parts and, for standard sizes, of the "
                      "cheapest in the imported lists; what is made in the shop has none.", "  ")
    else:
        yield wrapped("No part has a price or lead time yet: `layshaft catalogue import` reads suppliers' lists.", "  ")


def told_value(value: float, fact: Fact) -> str:
    """A number of the whole machine as it is printed."""
    if fact.dimension is MONEY and np.isfinite(value):
        return f"{value:.2f}"
    return shown(value, fact.dimension, None if np.isnan(value) else fact.unit)


def _line(name: str, cells: str) -> Iterator[str]:
    lines = textwrap.wrap(name, 44, initial_indent="  ", subsequent_indent="      ", break_long_words=False)
    yield from lines[:-1]
    yield f"{lines[-1]:<46}{cells}"


def _moves(found: Comparison) -> Iterator[str]:
    yield from ("", f"{'MARGINS THAT MOVE, of what is required':<46}{_heads(found)}")
    if not found.moved:
        yield "  None moves by one per cent or more."
    listed = [m for m in found.moved if not ample(m)]
    for m in listed:
        cells = "".join(f"{_cell(f):>{COLUMN}}" for f in m.found)
        yield from _line(f"{part_words(m.key[0])}: {m.key[1]}", cells)
    if len(listed) < len(found.moved):
        yield f"  and {len(found.moved) - len(listed)} more that hold more than ten times over everywhere"
    yield wrapped("x fails, ~ thin (carries its load, with less to spare than required), ? unknown, - no such finding; "
                  "margin / required.", "  ")


def ample(m: Moved) -> bool:
    """Holds in every machine that has it, by more than ten times what is required."""
    return all(f is None or (f.verdict == "holds" and f.margin > AMPLE * f.required) for f in m.found)


def _cell(f: Finding | None) -> str:
    if f is None:
        return "-"
    text = "unknown" if not np.isfinite(f.margin) else f"{margin_text(f.margin)} / {figure(f.required, 3)}"
    return f"{MARKS[f.verdict]} {text}"


def _end() -> Iterator[str]:
    yield ""
    yield wrapped("Every machine here is solved and rated by itself, with the same methods as `layshaft check`. What "
                  "can hurt people is for local codes and licensed practice to decide, whichever option is taken.")


def compare_dict(found: Comparison) -> dict[str, Any]:
    """Plain data, numbers in SI."""
    return {
        "machines": found.labels,
        "facts": [{"name": f.name, "unit": f.dimension.si, "values": [number(v) for v in f.values], "note": f.note}
                  for f in found.facts],
        "losses": losses_dict(found),
        "moved": [{"part": m.key[0], "mode": m.key[1], "findings": [
            None if f is None else {"verdict": f.verdict, "margin": number(f.margin), "required": number(f.required),
                                    "case": f.title} for f in m.found]} for m in found.moved],
    }


def write_plot(found: Comparison, place: Path) -> None:
    """Share of the required margin of everything that moves, one line a finding, on a logarithmic scale."""
    from matplotlib.figure import Figure

    rows = [m for m in found.moved if not ample(m) and any(_drawn(f) for f in m.found)]
    sheet = Figure(figsize=(10, 1.9 + 0.34 * max(len(rows), 3)), layout="constrained")
    axes = sheet.add_subplot()
    for i, label in enumerate(found.labels):
        beside = APART * (0.5 - (i + 0.5) / len(found.labels))
        points = [(f.margin / f.required, len(rows) - r + beside) for r, m in enumerate(rows)
                  if (f := m.found[i]) is not None and _drawn(f)]
        axes.scatter([x for x, _ in points], [y for _, y in points], marker=SHAPES[i % len(SHAPES)], s=34,
                     label=f"{chr(ord('A') + i)}  {label}", zorder=3, facecolors="none", edgecolors=f"C{i}",
                     linewidths=1.4)
    axes.set_xscale("log")
    _ruled(axes, len(rows))
    axes.set_yticks(range(len(rows), 0, -1), [f"{part_words(m.key[0])}: {m.key[1]}" for m in rows], fontsize=8)
    axes.set_xlabel("margin over required margin. No mark: unknown, nothing left of it, or no such part", fontsize=9)
    axes.set_title(f"{found.verdicts[0].solved.machine.title}: margins that move", fontsize=11, pad=18)
    sheet.legend(loc="outside lower left", ncols=min(len(found.labels), 3), fontsize=8, frameon=False)
    sheet.savefig(place)


def _drawn(f: Finding | None) -> bool:
    """Whether a finding has a place on a logarithmic scale."""
    return f is not None and bool(np.isfinite(f.margin)) and f.margin > 0


def _ruled(axes: Any, rows: int) -> None:
    """What does not hold is shaded; a line parts every two findings; numbers as one writes them."""
    from matplotlib.ticker import LogLocator, NullFormatter

    low, high = axes.get_xlim()
    low, high = min(low, 0.8), max(high, 1.5)
    axes.set_xlim(low, high)
    axes.set_ylim(0.5, max(rows, 1) + 0.5)
    axes.axvspan(low, 1, color="0.93", zorder=0)
    axes.axvline(1, color="0.2", linewidth=1)
    for x, where, words in ((0.985, "right", "does not hold"), (1.015, "left", "holds")):
        axes.annotate(words, (x, 1.0), xycoords=axes.get_xaxis_transform(), xytext=(0, 4), textcoords="offset points",
                      ha=where, fontsize=8, color="0.3")
    axes.hlines(np.arange(rows - 1) + 1.5, low, high, color="0.9", linewidth=0.8)
    axes.xaxis.set_major_locator(LogLocator(subs=(1, 2, 5)))
    axes.xaxis.set_major_formatter("{x:g}")
    axes.xaxis.set_minor_formatter(NullFormatter())
    axes.tick_params(axis="y", length=0)
