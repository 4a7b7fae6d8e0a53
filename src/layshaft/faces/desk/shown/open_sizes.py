"""Sizes that would hold, for what is still open: worked out once for a state, whoever asks."""

from __future__ import annotations

from collections.abc import Collection, Mapping
from typing import NamedTuple

from layshaft.listings.tables import table
from layshaft.machine.errors import MachineErrors
from layshaft.machine.model import Machine
from layshaft.machine.options import apply
from layshaft.trace.findings import margin_text
from layshaft.verdict.needs import Need, needs
from layshaft.verdict.open import owner
from layshaft.verdict.rate import Verdict
from layshaft.verdict.search import Tried

SHAFT_STEPS = 2
SAME_BORE, MILLIMETRE = 1e-9, 1e-3
_last: list[tuple[Verdict, list[Need]]] = []


class Size(NamedTuple):
    """The smallest shipped size that holds for one open part, or what comes nearest; no name where none is offered."""

    path: str
    name: str
    sets: Mapping[str, str]
    judged: bool
    """False where some way to fail could not be judged."""

    also: tuple[tuple[str, str], ...] = ()
    """What it writes besides, so that nothing is taken silently."""

    waits: str = ""
    """The shaft that comes first, because its diameter decides."""

    short: str = ""
    """Of a size that does not hold, by what it is short."""


def open_needs(verdict: Verdict) -> list[Need]:
    """Every part to be found."""
    if not _last or _last[0][0] is not verdict:
        _last[:] = [(verdict, needs(verdict))]
    return _last[0][1]


def sizes_for(verdict: Verdict, lines: Collection[str]) -> list[Size]:
    """What is offered for parts of which one of these lines is open."""
    return [_size(verdict, n) for n in open_needs(verdict) if n.tried and not set(lines).isdisjoint(n.opens)]


def size_of(verdict: Verdict, path: str) -> Size | None:
    """What is offered for one part."""
    return next((_size(verdict, n) for n in open_needs(verdict) if n.path == path and n.tried), None)


def _size(verdict: Verdict, need: Need) -> Size:
    machine = verdict.solved.machine
    shaft = ".".join(need.path.split(".")[:SHAFT_STEPS])
    if shaft != need.path and any(owner(p) == shaft for p in machine.open_paths) and shaft.startswith("shafts."):
        return Size(need.path, "", {}, judged=True, waits=shaft)
    best = next((t for t in need.tried if t.holds and t.answers and _goes_in(machine, need, t)), None)
    if best is None and need.nearest is not None and _goes_in(machine, need, need.nearest):
        best = need.nearest
    if best is None:
        return Size(need.path, "", {}, judged=True)
    sets, worst = best.option["set"], best.worst
    also = tuple((p, v) for p, v in sets.items() if p not in need.opens)
    short = ""
    if worst is not None and not best.holds:
        short = f"{worst.mode} {margin_text(worst.margin)} where {worst.required:.3g} is required"
    return Size(need.path, best.candidate.name, sets, not best.unjudged, also, short=short)


def _goes_in(machine: Machine, need: Need, tried: Tried) -> bool:
    """Whether a size fits the machine as it stands; a bar also whether bearings that are open come in its diameter."""
    try:
        after = apply(machine, tried.option)
    except MachineErrors:
        return False
    words = need.path.split(".")
    if words[0] != "shafts" or len(words) > SHAFT_STEPS:
        return True
    shaft = after.shafts[words[1]]
    if not any(seat.bearing.state == "open" for seat in shaft.seats.values()) or len(shaft.sections) != 1:
        return True
    bores = [row.number("bore_mm", MILLIMETRE) for row in table("bearings_deep_groove").rows]
    return any(abs(bore - shaft.sections[0][0].nominal) < SAME_BORE for bore in bores)
