"""What a draft moves: every verdict that turned and every margin that reads otherwise than before."""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass
from functools import lru_cache

from layshaft.faces.desk.draft import State, key
from layshaft.faces.desk.edits import Edit, plain, said_at
from layshaft.trace.findings import WORST_FIRST, Finding, Word


@dataclass(frozen=True)
class Moves:
    """How many figures moved, and how many verdicts there are of each word, before and now."""

    figures: int
    turned: list[tuple[Finding, Finding]]
    """Findings whose word changed: as it was, as it is."""

    came: list[Finding]
    went: list[Finding]
    counts: list[tuple[Word, int, int]]
    """Word, now, before."""

    parts: frozenset[str] = frozenset()
    """Parts of which something moved, or came."""


@lru_cache(4)
def moves(state: State) -> Moves:
    """Everything between the file as it stands and the draft. Looked for once a state: it never changes."""
    if state.verdict is None or state.before is None:
        return Moves(0, [], [], [], [])
    now, before = state.verdict.findings, state.before.findings
    words = Counter(f.verdict for f in now), Counter(f.verdict for f in before)
    counts = [(word, words[0][word], words[1][word]) for word in WORST_FIRST]
    if state.verdict is state.before:
        return Moves(0, [], [], [], counts)
    pairs = [(was, f) for f in now if (was := state.was(f)) is not None]
    there = {key(f) for f in now}
    moved = [f for was, f in pairs if texts(was) != texts(f)]
    came = [f for f in now if state.was(f) is None]
    return Moves(len(moved), [(was, f) for was, f in pairs if was.verdict != f.verdict], came,
                 [f for f in before if key(f) not in there], counts, frozenset(f.part for f in (*moved, *came)))


def told(state: State, edit: Edit) -> list[tuple[str, str, str]]:
    """An edit as what it is about, what is said now, and what the file says; blanks where it is not one value."""
    if edit.words or edit.sets is None or state.before is None:
        return [(edit.text, "", "")]
    base = state.before.solved.machine
    return [(path, plain(value), said_at(base, path)) for path, value in edit.sets.items()]


def texts(f: Finding) -> tuple[str, str, str, str]:
    """What a finding prints."""
    return f.verdict, f.demand_text, f.rating_text, f.margin_text
