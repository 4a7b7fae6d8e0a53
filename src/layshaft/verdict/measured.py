"""Measured givens held against what they were guessed to be: a contradiction is a finding until somebody knows why."""

from __future__ import annotations

import math
from collections.abc import Iterator

from layshaft.machine.model import Machine
from layshaft.machine.schema import Given
from layshaft.mechanics.uncertainty import SCORE, score
from layshaft.trace.findings import WORST_FIRST, Finding, verdicts
from layshaft.trace.source import Source
from layshaft.trace.units import RATIO, shown

AGAINST = "measured against guessed"
MOST_MARGIN = 1e9
"""Margin where both say the very same: a margin is a number."""
AGREE = Source("ISO 13528:2015", "an E_n score within 1 is satisfactory", "second text")


def against_guesses(machine: Machine) -> Iterator[Finding]:
    """One finding for each measurement that says what was guessed before it."""
    for given in machine.givens.values():
        if given.guessed is not None and given.known and given.cause == given.path:
            yield held_against(given)


def held_against(given: Given) -> Finding:
    """A measured given against its guess: their distance over both spreads may be 1 at most."""
    far = distance(given)
    margin = min(1 / far, MOST_MARGIN) if far > 0 else MOST_MARGIN if far == 0 else math.nan
    code = verdicts(far, 1.0, margin, 1.0, False)
    reason = "" if math.isfinite(far) else "neither the measurement nor the guess says how far it can be off"
    return Finding(given.path, "", AGAINST, "any", "any case", RATIO, far, 1.0, margin, 1.0, WORST_FIRST[int(code)],
                   SCORE, AGREE, reason=reason, note=told(given))


def distance(given: Given) -> float:
    """The E_n score: above 1 measurement and guess contradict each other; NaN where neither has a spread."""
    assert given.guessed is not None
    value, low, high = given.guessed
    size = abs(given.nominal) or abs(value) or 1.0
    up = given.nominal > value
    own_low, own_high = (given.nominal if end is None else end for end in (given.low, given.high))
    own = given.nominal - own_low if up else own_high - given.nominal
    theirs = high - value if up else value - low
    if not own + theirs > 0:
        return 0.0 if given.nominal == value else math.nan
    return float(score(abs(given.nominal - value) / size, own / size, theirs / size))


def told(given: Given) -> str:
    """Both, and what to do about it."""
    assert given.guessed is not None
    value, low, high = (shown(v, given.dimension) for v in given.guessed)
    spread = f" ({low} to {high})" if low != high else ""
    return (f"measured {given}, guessed {value}{spread}. What follows is reckoned with the measurement. Guesses of the "
            f"same kind may be as far off. Once you know why, take the old guess out of the file.")
