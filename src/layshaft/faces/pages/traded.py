"""The answer of a choice as a page tells it: trade-offs with what each is worth, proves and breaks, and the rest."""

from __future__ import annotations

import math
from dataclasses import dataclass
from itertools import combinations

from layshaft.faces.choices import MOST_REASONS, along, label_of, many, part_sizes, plainly, short_by, worth
from layshaft.faces.pages.words import part_words
from layshaft.study.choosing.choose import Candidate, Choice, Smaller
from layshaft.trace.findings import Finding, margin_text
from layshaft.trace.units import figure
from layshaft.verdict.search import Answer

LEAST, BROKEN, MENDED = 4, 3, 4


@dataclass(frozen=True, slots=True)
class Least:
    """One of the margins nearest to what is required."""

    path: str
    mode: str
    margin: str
    when: str


@dataclass(frozen=True, slots=True)
class Down:
    """The next size down of one part: what it is, and what it breaks, or why there is none."""

    path: str
    what: str
    breaks: list[Least]
    more: int
    words: str


@dataclass(frozen=True, slots=True)
class Trade:
    """One trade-off."""

    number: int
    sizes: list[tuple[str, str]]
    why: str
    worth: list[tuple[str, str]]
    least: list[Least]
    unproven: list[tuple[str, str]]
    """Failure modes nobody can prove, with the reason."""

    down: list[Down]
    mends: list[Finding]

    @property
    def name(self) -> str:
        """All its sizes in one line."""
        return "; ".join(f"{part_words(path)}: {words}" for path, words in self.sizes)


def trades(choice: Choice, most: int) -> list[Trade]:
    """The trade-offs, the best by the weights first."""
    return [_trade(choice, n, c) for n, c in enumerate(choice.candidates[:most], 1)]


def heads(choice: Choice) -> list[str]:
    """What is weighed, in the order of `Trade.worth`."""
    return [w.kind.name if w.weight == 1 else f"{w.kind.name}, times {w.weight:g}" for w in choice.weighed if w.counts]


def _trade(choice: Choice, number: int, c: Candidate) -> Trade:
    told = [(w.kind.name, worth(choice, w, c)) for w in choice.weighed if w.counts]
    unproven = {mode: why for modes in c.unknown.values() for mode, why in modes.items()}
    mends = list(c.whole.mended) if c.whole is not None else []
    return Trade(number, list(part_sizes(choice, c.sizes)), c.why, told, [_least(p, a) for p, a in c.answers[:LEAST]],
                 list(unproven.items()), [d for s in c.smaller if (d := _down(choice, s)) is not None], mends)


def _least(path: str, a: Answer) -> Least:
    return Least(path, a.mode, margin_of(a), "" if a.title == "any case" else a.title)


def margin_of(a: Answer) -> str:
    """Margin and what is required; where both read alike and it falls short, that is said."""
    if not math.isfinite(a.margin):
        return "is not known"
    margin, required = margin_text(a.margin), figure(a.required, 3)
    return f"just short of {required}" if margin == required and a.share < 1 else f"{margin} of {required}"


def _down(choice: Choice, s: Smaller) -> Down | None:
    part = next((path for path, part in choice.space.parts.items() if s.axis in part.axes), s.axis)
    beside = f" with {', '.join(dict.fromkeys(s.moved))}" if s.moved else ""
    breaks = [_least(p, a) for p, a in s.breaks[:BROKEN]]
    words = ""
    if not breaks and s.words:
        words = f"nothing smaller fits: {s.words}"
    elif not breaks and s.holding:
        words = f"smaller ones hold too ({', '.join(s.holding)}), and others beat them in what is weighed"
    return Down(part, f"{s.option}{beside}", breaks, len(s.breaks) - len(breaks), words) if breaks or words else None


def refused(choice: Choice) -> tuple[list[tuple[str, str]], str]:
    """What the others do not meet, with how many that took, the most first; and what more there is."""
    rows = [(k.count, k.words) for k in sorted(choice.killed, key=lambda k: -k.count)]
    rows += [(r.count, in_words(r.words)) for r in choice.refused]
    rest = rows[MOST_REASONS:]
    more = f"{many(sum(count for count, _ in rest))} by {len(rest)} other requirements" if rest else ""
    return [(many(count), words) for count, words in rows[:MOST_REASONS]], more


def in_words(text: str) -> str:
    """A part and its failure mode, the part by its name."""
    path, colon, mode = text.partition(": ")
    return f"{part_words(path)}{colon}{mode}"


def nearest(choice: Choice) -> str:
    """Where nothing holds: the nearest miss, and by how much."""
    rated = [r for r in choice.refused if r.nearest is not None]
    if rated:
        best = max(rated, key=lambda r: r.nearest.share if r.nearest is not None else 0.0)
        a = best.nearest
        assert a is not None
        sizes = "; ".join(f"{part_words(path)} {words}" for path, words in part_sizes(choice, best.sizes))
        return f"{sizes}. {in_words(best.words)}, {a.title}: {margin_of(a)}, {short_by(a)}."
    if choice.killed:
        k = max(choice.killed, key=lambda k: k.nearest)
        sizes = ", ".join(choice.space.axis(name).options[i] for name, i in k.row.items())
        return f"{sizes}, {k.nearest:.0%} of what this asks: {k.words}."
    return ""


def left_out(choice: Choice) -> list[tuple[str, str]]:
    """What could not be weighed, and why; what is weighed without some parts."""
    if not choice.fitting:
        return []
    return [*((w.kind.name, w.left_out) for w in choice.weighed if w.left_out),
            *((w.kind.name, f"without {', '.join(map(plainly, w.unknown_of))}: no list says it")
              for w in choice.weighed if w.counts and w.unknown_of)]


def points(choice: Choice) -> tuple[list[tuple[float, float, int]], tuple[str, str]] | None:
    """Trade-offs over the first two things weighed that tell them apart, and what the two are; None for fewer."""
    counted = [w for w in choice.weighed if w.counts]
    for i, j in combinations(range(len(counted)), 2):
        pairs = zip(along(choice, counted, i), along(choice, counted, j), strict=True)
        known = [(a, b, n) for n, (a, b) in enumerate(pairs, 1) if math.isfinite(a) and math.isfinite(b)]
        if all(len({mark[k] for mark in known}) > 1 for k in (0, 1)):
            return known, (label_of(choice, counted[i]), label_of(choice, counted[j]))
    return None
