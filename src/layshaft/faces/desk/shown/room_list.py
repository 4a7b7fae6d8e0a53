"""The list in the Machine room: every part by the finding to see to first, in the order of the next step."""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass

from layshaft.faces.desk.drafting.state import State
from layshaft.faces.pages.words import part_words
from layshaft.trace.findings import WORST_FIRST, Finding, Word
from layshaft.verdict.next_step import seen_to_first
from layshaft.verdict.rate import Verdict

IN_FULL = 8
"""Parts that are told at once; each of the others is a line that unfolds."""

AT_ONCE = 40
"""Parts on a page, until all are asked for."""


@dataclass(frozen=True)
class Entry:
    """One part in the margin: the finding to see to first, and the others it has."""

    path: str
    name: str
    worst: Finding
    more: list[Finding]


def entries(verdict: Verdict, words: list[Word], named: str) -> list[Entry]:
    """Parts whose first finding has one of these verdicts and whose name holds what was asked; first what presses."""
    asked = named.casefold().split()
    return [Entry(path, part_words(path), found[0], found[1:]) for path, found in _by_part(verdict).items()
            if found[0].verdict in words and all(word in f"{path} {part_words(path)}".casefold() for word in asked)]


def counts(state: State) -> list[tuple[Word, int, int]]:
    """How many parts there are of each verdict: the word, now, and before the draft."""
    assert state.verdict is not None
    now = Counter(found[0].verdict for found in _by_part(state.verdict).values())
    before = now if state.before is None or state.before is state.verdict else Counter(
        found[0].verdict for found in _by_part(state.before).values())
    return [(word, now[word], before[word]) for word in WORST_FIRST]


def _by_part(verdict: Verdict) -> dict[str, list[Finding]]:
    found: dict[str, list[Finding]] = {}
    for f in seen_to_first(verdict.findings):
        found.setdefault(f.part, []).append(f)
    return found
