"""What the room of doubt tells: guesses with their tests, verdicts in doubt and why, where one flips; in words."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass, field
from itertools import groupby

from markupsafe import Markup

from layshaft.faces.pages.spread import spread_bar
from layshaft.faces.pages.words import odds_words, part_words, short
from layshaft.faces.test_sheet import flip_words
from layshaft.machine.model import Machine
from layshaft.machine.sampling import doubts
from layshaft.machine.schema import Given
from layshaft.study.doubt import Doubt, Odds, Owner
from layshaft.study.draws import kinds_of
from layshaft.study.find_out.plan import worth
from layshaft.trace.units import figure

LEAST_OWNED = 0.005
MOST_VERDICTS = 60
TIE = "\N{NO-BREAK SPACE}"
NO_TEST = "No ready test: ask somebody who knows"
LOPSIDED = 2.0
"""A guess is put down near one end where the way to the other end is this many times as long."""


@dataclass(frozen=True, slots=True)
class Guess:
    """One doubtful given: what it is called, how it stands, what it owns of the doubt, and how it is found out."""

    path: str
    words: str
    stands: str
    source: str
    test: str
    owns: str = ""
    kind: str = ""


@dataclass(frozen=True, slots=True)
class Row:
    """One verdict in doubt."""

    odds: Odds
    holds: str
    unknown: str
    bar: Markup
    said: str
    """The spread in words."""

    worst: str
    why: tuple[tuple[str, str], ...] = ()
    """Guesses it is mostly in doubt by: path, and how it stands."""


@dataclass(frozen=True, slots=True)
class Flips:
    """Where verdicts flip as one given alone moves, nearest first."""

    path: str
    stands: str
    lines: list[tuple[str, str]] = field(default_factory=list)


def stands(g: Given) -> str:
    """`0.1 mm, guessed between 0.05 mm and 0.3 mm`."""
    value, d = short(g.nominal, g.dimension), g.dimension
    if g.low is None or g.high is None or not g.high > g.low:
        return value
    unit = d.best_unit(g.nominal)
    return _tied(value, "between", short(g.low, d, unit=unit), "and", short(g.high, d, unit=unit))


def _tied(value: str, *rest: str) -> str:
    """Words between which a line may break, but not between a number and its unit."""
    return ", ".join((value.replace(" ", TIE), " ".join(word.replace(" ", TIE) for word in rest)))


def guessed(machine: Machine) -> list[tuple[str, list[Guess]]]:
    """Every given that says how far it can be off, by the test that would find it out."""
    found = doubts(machine)
    kinds = kinds_of(machine, found)
    rows = [_guess(g, t.procedure.name if t is not None else "", kinds.get(g.cause, ""))
            for g, t in worth(machine, list(found))]
    rows.sort(key=lambda g: (not g.test, g.test))
    return [(test or NO_TEST, list(ours)) for test, ours in groupby(rows, lambda g: g.test)]


def owned(machine: Machine, found: Doubt) -> list[Guess]:
    """Guesses that own some of the doubt, most first; none whose share may as well be chance."""
    some = [w for w in found.owners if w.owns > LEAST_OWNED and w.clear]
    tests = {g.cause: t.procedure.name if t is not None else "" for g, t in worth(machine, [w.cause for w in some])}
    return [_guess(w.given, tests.get(w.cause, ""), w.kind, _share(w)) for w in some]


def _share(w: Owner) -> str:
    return f"{100 * w.owns:.0f} %" + ("" if math.isnan(w.error) else f" ± {100 * w.error:.0f}")


def what_shares_are_worth(found: Doubt, owners: list[Guess]) -> str:
    """That shares overlap, and how far they can be off at so many draws."""
    errors = [w.error for w in found.owners if w.owns > LEAST_OWNED and not math.isnan(w.error)]
    left = sum(w.owns > LEAST_OWNED for w in found.owners) - len(owners)
    said = ["Shares overlap: guesses of one kind are off together, and one verdict can hang on two guesses at once, so "
            "they may add up to more than 100 %." if found.alike else
            "Shares need not add up to 100 %: one verdict can hang on two guesses at once."]
    if errors:
        said.append(f"With {found.draws} draws a share is good to about ± {max(100 * max(errors), 1):.0f} %, "
                    "one standard error; four times the draws halve that.")
    if left:
        many = left > 1
        said.append(f"{left} more {'are' if many else 'is'} not named: what {'they own' if many else 'it owns'} is "
                    "within what chance makes of nothing.")
    return " ".join(said)


def _guess(g: Given, test: str, kind: str, owns: str = "") -> Guess:
    return Guess(g.cause, part_words(g.cause), stands(g), g.source, test, owns, kind)


# Verdicts -----------------------------------------------------------------------------------------


def rows(found: Doubt) -> list[Row]:
    """Verdicts in doubt: those by which somebody can be hurt first, then the least sure."""
    some = sorted((o for o in found.odds if o.in_doubt), key=lambda o: not o.finding.hurts)
    return [_row(o, found.owners) for o in some[:MOST_VERDICTS]]


def _row(o: Odds, owners: list[Owner]) -> Row:
    low, middle, high = (figure(v, 2) for v in o.share)
    worst = "holds" if o.holds_at_worst else "unknown" if o.unknown_at_worst else "does not hold"
    key = o.finding.part, o.finding.mode
    by = sorted(((share, w) for w in owners for k, share in w.verdicts if k == key), key=lambda t: -t[0])[:2]
    return Row(o, odds_words(o.holds), odds_words(o.unknown) if o.unknown else "", Markup(spread_bar(o.share)),
               f"{low} to {high}, middle {middle}", worst, tuple((w.cause, stands(w.given)) for _, w in by))


def summary(found: Doubt, verdicts: list[Row], owners: list[Guess]) -> str:
    """What it all comes to."""
    hurt = sum(bool(r.odds.finding.hurts) for r in verdicts)
    said = [f"{found.draws} draws of the {len(found.owners)} givens that say how far they can be off."]
    if not verdicts:
        return f"{said[0]} No verdict is in doubt: each is the same in nearly all draws."
    people = f", {hurt} of them where somebody can be hurt" if hurt else ""
    said.append(f"{len(verdicts)} verdict{'s are' if len(verdicts) > 1 else ' is'} in doubt{people}.")
    if owners:
        first = owners[0]
        by = f", which {first.test} would find out" if first.test else ""
        said.append(f"Most of the doubt, {first.owns}, is one guess: {first.words} ({first.stands}){by}.")
    return " ".join(said)


def lopsided(verdicts: list[Row], found: Doubt) -> str:
    """Why a verdict that holds as it stands may hold in few draws; blank where none does."""
    odd = [r for r in verdicts if r.odds.finding.verdict == "holds" and r.odds.holds < 0.5 and r.why]
    given = {w.cause: w.given for w in found.owners}
    for r in odd:
        g = given[r.why[0][0]]
        if g.low is not None and g.high is not None and _one_sided(g):
            return (f"Some verdicts hold as the machine stands and yet in less than half of the draws, for instance "
                    f"{part_words(r.odds.finding.part)}, {r.odds.finding.mode}: {part_words(g.cause)} is put down as "
                    f"{stands(g)}, so most draws are beyond the value in the file. Find it out, or put down its "
                    "middle.")
    return ""


def _one_sided(g: Given) -> bool:
    assert g.low is not None and g.high is not None
    below, above = g.nominal - g.low, g.high - g.nominal
    return max(below, above) >= LOPSIDED * min(below, above)


def flips(found: Doubt) -> list[Flips]:
    """Where a verdict changes as one given alone moves, by given: those that flip most verdicts first."""
    given = {w.cause: w.given for w in found.owners}
    by: dict[str, list[tuple[float, str, str]]] = {}
    for f in found.flips:
        if (g := given.get(f.cause)) is not None:
            words = f"{part_words(f.key[0])}, {f.key[1]}"
            by.setdefault(f.cause, []).append((abs(f.value - g.nominal), words, flip_words(f, g)))
    return [Flips(cause, stands(given[cause]), [(words, how) for _, words, how in sorted(lines)])
            for cause, lines in sorted(by.items(), key=lambda item: -len(item[1]))]


def adjusted(found: Doubt) -> Iterator[str]:
    """How often an adjustment set anew in every draw brings about what is wanted."""
    for a in found.adjustments:
        low, middle, high = (short(v, a.given.dimension) for v in a.value)
        unknown = f" and is not known in {odds_words(a.unknown)}" if a.unknown else ""
        yield (f"With {part_words(a.given.cause)} set anew in every draw, {a.want} is reached in "
               f"{odds_words(a.reached)} of them{unknown}; it ends at {middle}, from {low} to {high} in nine of ten.")
