"""Parts that are chosen and do not hold, or of which it cannot be said for want of a rating: what would hold there.

A part is told here only where its own size decides: a mode that no size of its series answers is left to the verdict.
"""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import numpy as np

from layshaft.machine import paths
from layshaft.machine.kinds import Coupling, OneWayHub, Suspended
from layshaft.machine.model import Machine
from layshaft.machine.schema import Choice, Given
from layshaft.trace.findings import Finding
from layshaft.verdict import asked, demands
from layshaft.verdict.candidates import WEAKEST, Search
from layshaft.verdict.context import Context
from layshaft.verdict.ladder import NO_SERIES, is_there, series
from layshaft.verdict.needs import Need, look, look_wider, wheels_of
from layshaft.verdict.next_step import place_in_list, seen_to_first
from layshaft.verdict.open import ON_SEATS, open_owners
from layshaft.verdict.rate import Verdict

OWN_PART = "(parts."
"""In a reason: the file's own part does not say something."""

ALIKE = 1e-6
"""Shares nearer than this are one: the size does not move them."""

LONGER = "The hub must be as long as its key."


def too_weak(verdict: Verdict) -> list[Need]:
    """Chosen parts to be found anew, in the order of the next step."""
    with np.errstate(all="ignore"):
        found = (_need(verdict, path, short) for path, short in _short(verdict).items())
        return sorted((need for need in found if need is not None), key=lambda need: place_in_list(need.short[0]))


def _short(verdict: Verdict) -> dict[str, list[Finding]]:
    """What does not hold, or what a listing leaves unsaid, by the part whose size is chosen; none that is open."""
    open_ = open_owners(verdict.solved)
    found: dict[str, list[Finding]] = {}
    for f in seen_to_first(verdict.findings):
        if f.verdict in ("fails", "thin") or (f.verdict == "unknown" and OWN_PART in f.reason):
            path = _chosen(f.part)
            if path not in open_:
                found.setdefault(path, []).append(f)
    return found


def _chosen(part: str) -> str:
    """The part whose size is chosen: a bare seat belongs to its shaft, a wheel to its drive."""
    words = part.split(".")
    on_seat = words[0] == "shafts" and len(words) > 4 and words[4] in ON_SEATS
    return ".".join(words[:5] if on_seat else words[:2])


def _need(verdict: Verdict, path: str, short: list[Finding]) -> Need | None:
    c = verdict.context
    search = series(c, path)
    if search.cannot == NO_SERIES:
        return None
    need = Need(path, asked.what_of(c.machine, path), "chosen", _choices(c.machine, path))
    look(c, need, replace(search, candidates=[k for k in search.candidates if not is_there(c, k)], note=""))
    look_wider(c, need)
    need.short = [f for f in short if f.mode in _decided(verdict, need, path)]
    if not need.short:
        return None
    need.next_smaller = None  # what the part has is left out of the series: the next of the rest is not one smaller
    need.size = _size(c, search, need)
    need.demands = demands.of(c, path)
    need.sentence = demands.sentence(c, path, need.demands)
    if path.startswith("stages.") and isinstance(c.machine.stages[path.split(".")[1]], Coupling | OneWayHub):
        need.ask_for = asked.ratings(verdict, path)
    need.notes += [*_notes(need), *([search.note] if search.note and need.smallest else [])]
    if path.startswith("drives."):
        wheels_of(c, need)
    return need


def _decided(verdict: Verdict, need: Need, path: str) -> set[str]:
    """Modes the size decides: those its other sizes were judged by, unless all of them fall short alike; with none to
    try, those it is rated by.
    """
    best = need.smallest or need.nearest
    if best is not None:
        shares: dict[str, list[float]] = {a.mode: [] for a in best.answers}
        for a in (a for t in need.tried for a in t.answers if a.mode in shares):
            shares[a.mode].append(a.share)
        return {mode for mode, s in shares.items() if len(s) == 1 or max(s) >= 1 or max(s) - min(s) > ALIKE * abs(s[0])}
    return {r.mode for r in verdict.rated if any(part.path == path for part in r.block.parts)}


def _choices(machine: Machine, path: str) -> list[str]:
    """Paths of the file that take a size by its name; none for a shaft's bar, for gears and for brakes."""
    words = path.split(".")
    if words[0] == "shafts":
        return [path] if len(words) > 2 else []
    things: Any = {"stages": machine.stages, "drives": machine.drives}.get(words[0], {})
    thing = things.get(words[1])
    names = ("chain", "suspension") if isinstance(thing, Suspended) else ("chain", "belt", "listing")
    leaves = [getattr(thing, name, None) for name in names]
    return [leaf.path for leaf in leaves if isinstance(leaf, Choice) and leaf.known][:1]


def _size(c: Context, search: Search, need: Need) -> str:
    """The size it has: by its name in the series, else by what the series would change."""
    there = next((k.name for k in search.candidates if is_there(c, k)), "")
    sets = search.candidates[0].sets if search.candidates else dict.fromkeys(need.opens, "")
    found = []
    for path in sets:
        steps = paths.split(path)
        value = paths.in_model(c.machine, steps) if steps is not None else None
        found += [value.name if isinstance(value, Choice) else str(value)] if isinstance(value, Choice | Given) else []
    return there or ", ".join(found)


def _notes(need: Need) -> list[str]:
    """What the size tried rests on."""
    notes = []
    if need.smallest is not None and need.what == "key":
        notes.append(LONGER)
    if need.smallest is not None and WEAKEST in need.smallest.candidate.sets.values():
        notes.append(f"Steel that is not chosen counts as {WEAKEST}, the weakest of the table.")
    return notes
