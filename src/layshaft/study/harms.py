"""What a change of the file does to findings other than the one it is made for, and what of that is harm.

Harm is what begins to fail or is no longer known, and also what failed or was thin before and gets worse: a finding
that fails already can be made more dangerous without its word changing.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from layshaft.trace.findings import WORST_FIRST, Finding

MUCH = 0.01
"""By how much of itself the margin of what fails or is thin may fall where nobody is at risk: less is no harm."""

ROUNDING = 1e-3
"""The same where people are at risk: no more than the rounding of the figures that are shown."""

Key = tuple[str, str]
EVERY: Key = ("", "")
"""No finding's key: every finding counts as another."""


@dataclass(frozen=True, slots=True)
class Harm:
    """One finding that a change makes worse, before and after."""

    now: Finding
    was: Finding | None
    """None where the change brings the part in."""

    @property
    def people(self) -> bool:
        """Whether somebody can be hurt by it, and it fails then or is no longer known to hold."""
        lost = self.now.verdict == "unknown" and (self.was is None or self.was.verdict == "holds")
        return bool(self.now.hurts) and (self.now.verdict == "fails" or lost)


def by_key(findings: Sequence[Finding]) -> dict[Key, Finding]:
    """The worst finding of every part and failure mode."""
    found: dict[Key, Finding] = {}
    for f in sorted(findings, key=lambda f: f.rank):
        found.setdefault((f.part, f.mode), f)
    return found


def moved_by(before: Mapping[Key, Finding], after: Mapping[Key, Finding], key: Key
             ) -> tuple[tuple[Finding, ...], tuple[Finding, ...], tuple[Finding, ...]]:
    """The other findings whose verdict gets better, whose verdict gets worse, and those of these that are lost."""
    better, worse, breaks = [], [], []
    for k, f in after.items():
        if k == key:
            continue
        was = before[k].verdict if k in before else "holds"
        step = WORST_FIRST.index(f.verdict) - WORST_FIRST.index(was)
        if step > 0:
            better.append(f)
        elif step < 0:
            worse.append(f)
            if f.verdict == "fails" or (f.verdict == "unknown" and was == "holds"):
                breaks.append(f)
    return tuple(better), tuple(worse), tuple(breaks)


def harms_of(before: Mapping[Key, Finding], after: Mapping[Key, Finding], key: Key) -> tuple[Harm, ...]:
    """All that a change makes worse beside the finding it is made for, what can hurt people first."""
    broken = {(f.part, f.mode) for f in moved_by(before, after, key)[2]}
    found = [Harm(f, before.get(k)) for k, f in after.items()
             if k in broken or (k != key and k in before and _weaker(before[k], f))]
    return tuple(sorted(found, key=lambda h: (not h.people, not h.now.hurts, h.now.rank)))


def _weaker(was: Finding, now: Finding) -> bool:
    """Whether what failed or was thin gets worse, or can no longer be told."""
    if was.verdict not in ("fails", "thin") or now.verdict == "holds":
        return False
    if now.verdict == "unknown":
        return True
    share = share_of(was)
    return share_of(now) < share - (ROUNDING if now.hurts else MUCH) * abs(share)


def share_of(f: Finding) -> float:
    """Margin over what is required; nothing where it is not known."""
    return f.margin / f.required if math.isfinite(f.margin) else 0.0
