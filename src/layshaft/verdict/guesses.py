"""The guesses a verdict rests on: assumed givens, and ratings nobody has seen on a page."""

from __future__ import annotations

from dataclasses import dataclass

from layshaft.machine.schema import Given
from layshaft.verdict.rate import Verdict


@dataclass(frozen=True, slots=True)
class Guess:
    """One guess: a path of the machine file, or a part whose rating rests on a weak source."""

    path: str
    value: str
    why: str
    shared_by: int = 1


def guesses(verdict: Verdict) -> list[Guess]:
    """Assumed givens, one a cause, then parts that hold on a typical or remembered value."""
    by_cause: dict[str, list[Given]] = {}
    for path, given in verdict.solved.machine.givens.items():
        if given.is_guess:
            by_cause.setdefault(given.cause or path, []).append(given)
    found = [Guess(cause, str(same[0]), same[0].note or "assumed", len(same)) for cause, same in by_cause.items()]
    return found + [Guess(f.part, f.mode, f.trust) for f in verdict.findings if f.verdict == "holds" and f.trust]
