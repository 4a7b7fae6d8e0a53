"""What a draft moves: every verdict that turned and every margin that reads otherwise than before.

Like is compared with like: where a run over time is known of the draft and not of the file, or the other way round,
what that run says counts for neither.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping
from dataclasses import dataclass, field
from functools import lru_cache
from typing import Any

from layshaft.faces.desk.drafting.edits import Edit, plain, said_at
from layshaft.faces.desk.drafting.gone import along, along_in_place, renames
from layshaft.faces.desk.drafting.state import State, key
from layshaft.faces.pages.words import part_words
from layshaft.trace.findings import WORST_FIRST, Finding, Word
from layshaft.train.solve import solve
from layshaft.verdict.rate import Verdict, rate

NOTHING = "nothing"
MOST_PLAIN = 2
"""Verdicts without their run that are kept: of the file, and of the draft."""

_PLAIN: list[tuple[Verdict, Verdict]] = []
Pair = tuple[Finding, Finding]


@dataclass(frozen=True)
class Moves:
    """What moved, and how many verdicts there are of each word, before and now."""

    moved: list[Pair]
    """Findings that read otherwise than before: as they were, as they are; those that turned first, then worst first.
    """

    came: list[Finding]
    went: list[Finding]
    counts: list[tuple[Word, int, int]]
    """Word, now, before."""

    parts: frozenset[str] = frozenset()
    """Parts of which something moved, or came."""

    old: Mapping[tuple[str, str, str], Finding] = field(default_factory=dict)
    """What moved, as it was, by what it is now."""

    @property
    def figures(self) -> int:
        """How many findings moved."""
        return len(self.moved)

    @property
    def turned(self) -> list[Pair]:
        """Those whose word changed."""
        return [(was, f) for was, f in self.moved if was.verdict != f.verdict]


@lru_cache(4)
def moves(state: State) -> Moves:
    """Everything between the file as it stands and the draft. Looked for once a state: it never changes."""
    if state.verdict is None or state.before is None:
        return Moves([], [], [], [])
    there = Counter(f.verdict for f in state.verdict.findings)
    if state.verdict is state.before:
        return Moves([], [], [], [(word, there[word], there[word]) for word in WORST_FIRST])
    before, now = (v.findings for v in alike(state.before, state.verdict))
    steps = renames(state.edits)
    was = {(along(f.part, steps), along_in_place(f.place, steps), f.mode): f for f in before}
    pairs = [(was[key(f)], f) for f in now if key(f) in was]
    moved = sorted(((w, f) for w, f in pairs if texts(w) != texts(f)), key=lambda p: p[0].verdict == p[1].verdict)
    came = [f for f in now if key(f) not in was]
    left = {key(f) for f in now}
    went = [f for k, f in was.items() if k not in left]
    more = Counter(f.verdict for f in now)
    more.subtract(Counter(f.verdict for f in before))
    return Moves(moved, came, went, [(word, there[word], there[word] - more[word]) for word in WORST_FIRST],
                 frozenset(f.part for f in (*(f for _, f in moved), *came)), {key(f): w for w, f in moved})


def alike(before: Verdict, now: Verdict) -> tuple[Verdict, Verdict]:
    """Both with what a run over time said of them, or both without."""
    if (before.run.figures is None) == (now.run.figures is None):
        return before, now
    return _without_run(before), _without_run(now)


def _without_run(verdict: Verdict) -> Verdict:
    """The same machine rated without its run; that of the file is kept, because every edit asks for it again."""
    if verdict.run.figures is None:
        return verdict
    plain = next((without for of, without in _PLAIN if of is verdict), None)
    if plain is None:
        plain = rate(solve(verdict.solved.machine))
        _PLAIN.insert(0, (verdict, plain))
        del _PLAIN[MOST_PLAIN:]
    return plain


def was_of(state: State, found: Finding) -> Finding:
    """What a finding was in the file; itself where the draft did not move it."""
    return moves(state).old.get(key(found), found)


def told(state: State, edit: Edit) -> list[tuple[str, str, str]]:
    """An edit as what it is about, what is said now, and what the file says; blanks where it is not one value."""
    if edit.words or state.before is None or not set(edit.option) <= {"set", "remove"}:
        return [(edit.text, "", "")]
    base = state.before.solved.machine
    sets = [(part_words(path), said(value), said_at(base, path)) for path, value in edit.option.get("set", {}).items()]
    return sets + [(part_words(path), NOTHING, said_at(base, path)) for path in edit.option.get("remove", ())]


def said(value: Any) -> str:
    """A value as one would say it: what it is, how far it may be off, where it comes from."""
    if not isinstance(value, Mapping) or "value" not in value:
        return plain(value)
    ends = value.get("between", ())
    spread = [f"{ends[0]} to {ends[1]}"] if len(ends) == 2 else []
    return ", ".join([plain(value["value"]), *spread, *(plain(value[k]) for k in ("source", "note") if k in value)])


def in_words(state: State) -> str:
    """All edits of a draft in one line, as the way back says them when they are kept."""
    parts = [f"{what}: {now} instead of {was or NOTHING}" if now else what
             for edit in state.edits for what, now, was in told(state, edit)]
    more = len(parts) - MOST_SAID
    return "; ".join(parts[:MOST_SAID]) + (f"; and {more} more" if more > 0 else "")


MOST_SAID = 4
"""Edits named where there is one line for all."""


def texts(f: Finding) -> tuple[str, str, str, str]:
    """What a finding prints."""
    return f.verdict, f.demand_text, f.rating_text, f.margin_text
