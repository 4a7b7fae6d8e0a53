"""The answer of a choice as text, as plain data and drawn."""

from __future__ import annotations

import math
import re
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import numpy as np

from layshaft.faces.plain import number
from layshaft.faces.text import wrapped
from layshaft.study.choosing.choose import Candidate, Choice, Refused, Smaller
from layshaft.study.choosing.joining import Killed
from layshaft.study.choosing.wishes import Weighed
from layshaft.trace.findings import margin_text
from layshaft.trace.units import TIME, figure, shown
from layshaft.verdict.cautions import DEFER
from layshaft.verdict.search import Answer

COLUMN = 13
DAYS = "days"
HEADS = {"one part number": "new numbers", "preferred numbers": "unusual", "even links": "odd links",
         "hunting": "divisor", "across": "across", "ratio": "off ratio", "swing": "swing"}
NEAREST = 2
MOST_BREAKS = 2
MOST_REASONS = 8
MANY_WORDS = 4
WHERE = re.compile(r" (?:shafts|stages|drives|loads|springs|fixings|frames)\.")


def choice_text(choice: Choice, most: int) -> str:
    """The whole answer of `layshaft choose`."""
    machine = choice.space.machine
    lines = [wrapped(f"{machine.title}: choosing {', '.join(choice.space.parts)}", "  ", ""),
             wrapped(tally(choice), "  ")]
    if choice.candidates:
        lines += ["", *_table(choice, most)]
    else:
        lines += ["", "NOTHING RATED SO FAR HOLDS" if choice.ended else "NOTHING HOLDS", *_nearest(choice)]
    lines += [*_refused(choice), *_left_out(choice), *_notes(choice)]
    if choice.candidates:
        lines += ["", wrapped("Take one with --take and its number; --show prints what would change in the file and "
                              "writes nothing. Each was rated by the methods of `layshaft check`, in this machine, "
                              f"whole. {DEFER}")]
    return "\n".join(lines)


def tally(choice: Choice) -> str:
    """How many combinations there are, fit, were rated and are worth a look."""
    sizes = len(choice.space.grid.axes)
    there = len(choice.candidates)
    worth = "none holds" if not there else "1 is the best in every wish" if there == 1 else (
        f"{there} hold and are the best trade-offs")
    return (f"{many(choice.size)} combination{'' if choice.size == 1 else 's'} of {sizes} "
            f"size{'' if sizes == 1 else 's'}: {many(choice.fitting)} fit their neighbours, {many(choice.rated)} "
            f"were rated, {worth}.{_ended(choice)}")


def _ended(choice: Choice) -> str:
    """Where a search stopped before its end, what is left of it."""
    left = (f"{many(choice.unrated)} that fit were neither rated nor ruled out. What is shown holds, but one of them "
            "may be better")
    if choice.ended:
        rest = "what one size smaller would break is not told" if choice.complete else left
        return f" Stopped early ({choice.ended}): {rest}."
    return "" if choice.complete else f" The search ended there: {left}; narrow the parts, the ratio or the wishes."


def many(count: int) -> str:
    """A number of things with its thousands apart."""
    return f"{count:,}".replace(",", " ")


# Trade-offs -------------------------------------------------------------------------------------


def _table(choice: Choice, most: int) -> Iterator[str]:
    counted = [w for w in choice.weighed if w.counts]
    by = " and ".join(f"{w.kind.name}{'' if w.weight == 1 else f' times {w.weight:g}'}" for w in counted)
    yield f"WORTH A LOOK{f', weighed by {by}' if by else ''}"
    if counted:
        yield f"  {'':>3} {'':<32}" + "".join(f"{HEADS.get(w.kind.name, w.kind.name):>{COLUMN}}" for w in counted)
    for n, c in enumerate(choice.candidates[:most], 1):
        yield (f"  {n:>3} {c.why[:31]:<32}" + "".join(f"{worth(choice, w, c):>{COLUMN}}" for w in counted)).rstrip()
        yield wrapped(sizes_text(choice, c.sizes), " " * 8, " " * 6)
        yield from _margins(c)
        yield from (line for s in c.smaller for line in _smaller(choice, s))
        yield from _mended(c)
    if len(choice.candidates) > most:
        yield f"  and {len(choice.candidates) - most} more: --most {len(choice.candidates)} shows all."


def worth(choice: Choice, w: Weighed, c: Candidate) -> str:
    """What an answer is worth in one wish, with its unit."""
    value = c.values[w.kind.name]
    if w.kind.name == "price" and np.isfinite(value):
        return f"{value:.2f} {choice.space.currency}".rstrip()
    if w.kind.dimension is TIME and np.isfinite(value):
        days = math.ceil(value / w.kind.dimension.units[DAYS] - 1e-9)
        return f"{days} day{'' if days == 1 else 's'}"
    return shown(value, w.kind.dimension, digits=3)


def sizes_text(choice: Choice, sizes: dict[str, str]) -> str:
    """The sizes of an answer, part by part."""
    alone = len(choice.space.parts) == 1
    return "; ".join(words if alone else f"{_short(path)} {words}" for path, words in part_sizes(choice, sizes))


def part_sizes(choice: Choice, sizes: dict[str, str]) -> Iterator[tuple[str, str]]:
    """Path of each part chosen, and its size in words."""
    for path, part in choice.space.parts.items():
        teeth = [sizes[name] for name in part.axes if name in choice.space.teeth]
        rest = [sizes[name] for name in part.axes if name not in choice.space.teeth]
        yield path, ", ".join([*rest[:1], *([f"{' and '.join(teeth)} teeth"] if teeth else []), *rest[1:]])


def _short(path: str) -> str:
    """`left bearing of main` for the bearing of a seat; else the last name."""
    words = path.split(".")
    return f"{words[3]} of {words[1]}:" if len(words) > 3 else f"{words[1].split('[')[0]}:"


def _margins(c: Candidate) -> Iterator[str]:
    nearest = "; ".join(f"{a.mode} {_margin(a)}{f', {a.title}' if a.title != 'any case' else ''}"
                        for _, a in c.answers[:NEAREST])
    if nearest:
        yield wrapped(f"least margins: {nearest}", " " * 8, " " * 6)
    unknown = list(dict.fromkeys(mode for modes in c.unknown.values() for mode in modes))
    if unknown:
        more = f" and {len(unknown) - MANY_WORDS} more" if len(unknown) > MANY_WORDS else ""
        yield wrapped(f"not proven, as `layshaft check` says why: {', '.join(unknown[:MANY_WORDS])}{more}", " " * 8,
                      " " * 6)


def _margin(a: Answer) -> str:
    return f"{margin_text(a.margin)} of {figure(a.required, 3)}"


def _smaller(choice: Choice, s: Smaller) -> Iterator[str]:
    """One line a size: what the next smaller one breaks."""
    several = len(choice.space.grid.axes) - len(choice.space.teeth) > 1
    what = f"{_short(s.axis).rstrip(':')} " if several else ""
    if s.breaks:
        broken = "; ".join(f"{'' if p in choice.space.parts else f'{p}: '}{a.mode} {_margin(a)}"
                           for p, a in s.breaks[:MOST_BREAKS])
        more = f" and {len(s.breaks) - MOST_BREAKS} more" if len(s.breaks) > MOST_BREAKS else ""
        beside = f" with {', '.join(dict.fromkeys(s.moved))}" if s.moved else ""
        yield wrapped(f"one smaller, {what}{s.option}{beside}, breaks: {broken}{more}", " " * 8, " " * 6)
    elif s.words and not several:
        yield wrapped(f"nothing smaller fits: {s.words}", " " * 8, " " * 6)
    elif s.holding and not several:
        yield wrapped(f"smaller ones hold too ({', '.join(s.holding)}), and others beat them in what is wished for",
                      " " * 8, " " * 6)


def _mended(c: Candidate) -> Iterator[str]:
    mended = c.whole.mended if c.whole is not None else []
    if mended:
        more = f" and {len(mended) - MOST_BREAKS} more" if len(mended) > MOST_BREAKS else ""
        yield wrapped("it mends: " + "; ".join(f"{f.part}: {f.mode}" for f in mended[:MOST_BREAKS]) + more, " " * 8,
                      " " * 6)


# What stood in the way --------------------------------------------------------------------------


def _refused(choice: Choice) -> Iterator[str]:
    """Requirements by how many they took, each combination counted once."""
    if not choice.killed and not choice.refused:
        return
    rows: list[Killed | Refused] = [*sorted(choice.killed, key=lambda k: -k.count), *choice.refused]
    yield from ("", "WHAT THE OTHERS DO NOT MEET (each counted once, with the first that refused it)")
    for told in rows[:MOST_REASONS]:
        yield wrapped(f"{many(told.count):>16}  {told.words}", " " * 20, "  ")
    if len(rows) > MOST_REASONS:
        rest = rows[MOST_REASONS:]
        yield f"  {many(sum(told.count for told in rest)):>16}  {len(rest)} other requirements"


def _nearest(choice: Choice) -> Iterator[str]:
    """The nearest miss: which margin is how short, of what was rated or, where nothing fits, of what was tried."""
    rated = [r for r in choice.refused if r.nearest is not None]
    if rated:
        best = max(rated, key=lambda r: r.nearest.share if r.nearest is not None else 0.0)
        assert best.nearest is not None
        a = best.nearest
        yield wrapped(f"The nearest miss: {sizes_text(choice, best.sizes)}. {best.words}, {a.title}: margin "
                      f"{margin_text(a.margin)}, required {figure(a.required, 3)}: "
                      f"{short_by(a)}.", "  ")
    elif choice.killed:
        k = max(choice.killed, key=lambda k: k.nearest)
        sizes = ", ".join(choice.space.axis(name).options[i] for name, i in k.row.items())
        yield wrapped(f"Nothing fits. The nearest miss: {sizes}, {k.nearest:.0%} of what this asks: {k.words}.", "  ")


def short_by(a: Answer) -> str:
    """How far a margin is from what is required."""
    return f"{(1 - a.share):.0%} short" if np.isfinite(a.share) else "not known"


def _left_out(choice: Choice) -> Iterator[str]:
    left = [w for w in choice.weighed if not w.counts]
    part = [w for w in choice.weighed if w.counts and w.unknown_of]
    if not choice.fitting:
        return
    if left or part:
        yield from ("", "NOT WEIGHED")
    for w in left:
        yield wrapped(f"{w.kind.name}: {w.left_out}", "    ", "  ")
    for w in part:
        yield wrapped(f"{w.kind.name}: without {', '.join(map(plainly, w.unknown_of))}: no list says it", "    ", "  ")


def plainly(part: str) -> str:
    """`bearing shafts.main.seats.left bearing.bearing` as `bearing (left bearing of main)`."""
    found = WHERE.search(part)
    if found is None:
        return part
    return f"{part[:found.start()]} ({_short(f'x.{part[found.end():]}').rstrip(':')})"


def _notes(choice: Choice) -> Iterator[str]:
    if choice.space.notes:
        yield ""
    for note in choice.space.notes:
        yield wrapped(f"{note[0].upper()}{note[1:]}.", "  ")


# Plain data -------------------------------------------------------------------------------------


def choice_dict(choice: Choice) -> dict[str, Any]:
    """Plain data, numbers in SI."""
    return {
        "parts": list(choice.space.parts), "combinations": choice.size, "fitting": choice.fitting,
        "rated": choice.rated, "complete": choice.complete, "stopped": choice.ended, "not rated": choice.unrated,
        "wishes": [{"wish": w.kind.name, "weight": w.weight, "unit": choice.space.currency if w.kind.name == "price"
                    else w.kind.dimension.si, "left out": w.left_out, "unknown of": list(w.unknown_of)}
                   for w in choice.weighed],
        "candidates": [{
            "sizes": c.sizes, "why": c.why, "values": {k: number(v) for k, v in c.values.items()}, "option": c.option,
            "margins": [{"part": p, **_answer(a)} for p, a in c.answers], "not proven": c.unknown,
            "one smaller": [{"axis": s.axis, "option": s.option, "with": s.moved, "does not fit": s.words,
                             "holding": s.holding,
                             "breaks": [{"part": p, **_answer(a)} for p, a in s.breaks]} for s in c.smaller],
            "mends": [{"part": f.part, "checked": f.mode} for f in (c.whole.mended if c.whole else [])],
        } for c in choice.candidates],
        "refused": [*({"requirement": k.words, "count": k.count, "nearest": number(k.nearest)} for k in choice.killed),
                    *({"requirement": r.words, "count": r.count, "nearest": number(r.nearest.share) if r.nearest
                       else None} for r in choice.refused)],
        "notes": choice.space.notes,
    }


def _answer(a: Answer) -> dict[str, Any]:
    return {"checked": a.mode, "place": a.place, "title": a.title, "margin": number(a.margin), "required": a.required}


# Drawn ------------------------------------------------------------------------------------------


def write_plot(choice: Choice, place: Path, most: int) -> None:
    """Every trade-off over the first two wishes that tell them apart, with its number; a third wish sizes the mark."""
    from matplotlib.figure import Figure

    counted = [w for w in choice.weighed if w.counts]
    sheet = Figure(figsize=(8, 5.5), layout="constrained")
    axes = sheet.add_subplot()
    x = along(choice, counted, 0)
    y = along(choice, counted, 1)
    axes.plot(x, y, "o", color="0.25", markerfacecolor="0.85", markersize=7)
    for n, (a, b) in enumerate(zip(x[:most], y[:most], strict=True), 1):
        axes.annotate(f"{n}", (a, b), textcoords="offset points", xytext=(7, 4), fontsize=9)
    for label, i, name in ((axes.set_xlabel, 0, "x"), (axes.set_ylabel, 1, "y")):
        other = "number" if name == "x" else "least margin over what is required"
        label(label_of(choice, counted[i]) if i < len(counted) else other)
    axes.set_title(f"{choice.space.machine.title}: {', '.join(choice.space.parts)}", fontsize=10)
    axes.grid(color="0.9")
    sheet.savefig(place)


def along(choice: Choice, counted: list[Weighed], i: int) -> list[float]:
    """Values of one wish in its printed unit; its number, or its least margin, where there is no such wish."""
    if i < len(counted):
        kind = counted[i].kind
        unit = kind.dimension.units[_unit(choice, counted[i])]
        return [c.values[kind.name] / unit for c in choice.candidates]
    if i == 0:
        return [float(n) for n in range(1, len(choice.candidates) + 1)]
    return [c.answers[0][1].share if c.answers else np.nan for c in choice.candidates]


def _unit(choice: Choice, w: Weighed) -> str:
    known = [v for c in choice.candidates if np.isfinite(v := c.values[w.kind.name])]
    return w.kind.dimension.best_unit(max(known, default=1.0))


def label_of(choice: Choice, w: Weighed) -> str:
    """What a scale of a drawing says."""
    unit = choice.space.currency if w.kind.name == "price" else _unit(choice, w)
    return f"{w.kind.words}{f' [{unit}]' if unit else ''}"
