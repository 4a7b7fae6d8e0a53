"""What a change of the file does to findings other than the one it is made for, and what of that is harm.

Harm is what begins to fail or is no longer known, and also what failed or was thin before and gets worse: a finding
that fails already can be made more dangerous without its word changing. Every place of a part is held against itself
(`places`): behind a place that fails already, and stays as it was, a second one can become dangerous.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field, replace

from layshaft.study.places import Glance, Place, Table, partners
from layshaft.trace.findings import FAILS, HOLDS, THIN, UNKNOWN, Finding

MUCH = 0.01
"""By how much of itself the margin of what fails or is thin may fall where nobody is at risk: less is no harm."""

ROUNDING = 1e-3
"""The same where people are at risk: no more than the rounding of the figures that are shown."""

Key = tuple[str, str]


@dataclass(frozen=True, slots=True)
class Harm:
    """One finding that a change makes worse, before and after."""

    now: Finding
    was: Finding | None
    """None where the change brings the part or the place in."""

    more: int = 0
    """Other places of the part that the change makes worse in the same way."""

    @property
    def people(self) -> bool:
        """Whether somebody can be hurt by it, and it fails then or is no longer known to hold."""
        lost = self.now.verdict == "unknown" and (self.was is None or self.was.verdict == "holds")
        return bool(self.now.hurts) and (self.now.verdict == "fails" or lost)


@dataclass(frozen=True, slots=True)
class Moved:
    """All that a change moves beside the finding it is made for."""

    better: tuple[Finding, ...] = ()
    """Those whose verdict gets better, at their worst place."""

    worse: tuple[Finding, ...] = ()
    """Those whose verdict gets worse, at any of their places: the worst of these."""

    breaks: tuple[Finding, ...] = ()
    """Of these, place by place, what fails then, or held and is unknown."""

    harms: tuple[Harm, ...] = ()
    """What breaks, and what failed or was thin before and gets worse, place by place; what can hurt people first."""


def by_key(findings: Sequence[Finding]) -> dict[Key, Finding]:
    """The worst finding of every part and failure mode."""
    found: dict[Key, Finding] = {}
    for f in sorted(findings, key=lambda f: f.rank):
        found.setdefault((f.part, f.mode), f)
    return found


def moved(before: Table, after: Table, spared: Place | None = None) -> Moved:
    """What a change moves of all but the finding that is `spared`, because the change is made for it."""
    found = _Split()
    for place, was_at in partners(before, after).items():
        if spared is not None and spared in (place, was_at):
            continue
        was = before[was_at] if was_at is not None else None
        found.take(was, after[place])
    return Moved(_better(before, after, spared), _worst_of_each(g.told() for g in found.worse),
                 tuple(g.told() for g in found.breaks), _in_order(
                     Harm(now.told(), was.told() if was is not None else None) for was, now in found.harms))


@dataclass(slots=True)
class _Split:
    worse: list[Glance] = field(default_factory=list)
    breaks: list[Glance] = field(default_factory=list)
    harms: list[tuple[Glance | None, Glance]] = field(default_factory=list)

    def take(self, was: Glance | None, now: Glance) -> None:
        """Sort one finding in."""
        word = was.word if was is not None else HOLDS
        breaks = now.word < word and (now.word == FAILS or (now.word == UNKNOWN and word == HOLDS))
        if now.word < word:
            self.worse.append(now)
        if breaks:
            self.breaks.append(now)
        if breaks or (was is not None and _weaker(was, now)):
            self.harms.append((was, now))


def told_once(harms: Iterable[Harm]) -> tuple[Harm, ...]:
    """Of every part and failure mode the place that is told, and how many more there are.

    It is one that can hurt people, and rather one that begins to fail than one that fails already and falls a little.
    """
    found: dict[Key, list[Harm]] = {}
    for harm in harms:
        found.setdefault((harm.now.part, harm.now.mode), []).append(harm)
    return tuple(replace(min(same, key=_telling), more=len(same) - 1) for same in found.values())


def _telling(harm: Harm) -> tuple[bool, bool]:
    return not harm.people, harm.was is not None and harm.was.verdict == harm.now.verdict


def _in_order(harms: Iterable[Harm]) -> tuple[Harm, ...]:
    return tuple(sorted(harms, key=lambda h: (not h.people, not h.now.hurts, h.now.rank,
                                              h.was.rank if h.was is not None else (HOLDS, math.inf))))


def _better(before: Table, after: Table, spared: Place | None) -> tuple[Finding, ...]:
    """Findings whose worst place has a better word."""
    was, now = worst_of_each(before), worst_of_each(after)
    own = (spared[0], spared[2]) if spared is not None else None
    return tuple(g.told() for key, g in now.items() if key != own and key in was and g.word > was[key].word)


def worst_of_each(table: Table) -> dict[Key, Glance]:
    """The worst place of every part and failure mode."""
    found: dict[Key, Glance] = {}
    for (part, _, mode), g in table.items():
        known = found.get((part, mode))
        if known is None or g.rank < known.rank:
            found[part, mode] = g
    return found


def _worst_of_each(findings: Iterable[Finding]) -> tuple[Finding, ...]:
    return tuple(by_key(list(findings)).values())


def _weaker(was: Glance, now: Glance) -> bool:
    """Whether what failed or was thin gets worse, or can no longer be told."""
    if was.word not in (FAILS, THIN) or now.word == HOLDS:
        return False
    if now.word == UNKNOWN:
        return True
    return now.share < was.share - (ROUNDING if now.hurts else MUCH) * abs(was.share)


def share_of(f: Finding) -> float:
    """Margin over what is required; nothing where it is not known."""
    return f.margin / f.required if math.isfinite(f.margin) else 0.0


def worst_at(table: Mapping[Place, Glance], key: Key) -> Glance | None:
    """The worst place of one part and failure mode; None where it has none."""
    return min((g for (part, _, mode), g in table.items() if (part, mode) == key), key=lambda g: g.rank, default=None)
