"""The parts still to be found: what each must carry, and the smallest shipped size that would hold.

The demand comes from the solved train, the size from the same `rate()` that rates a chosen part.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass, field, replace

import numpy as np

from layshaft.machine.kinds import (
    Coupling,
    FallingWeight,
    GearPair,
    OneWayHub,
    RollerChain,
    Suspended,
    SynchronousBelt,
    VBelt,
)
from layshaft.machine.model import Machine
from layshaft.trace.findings import Finding
from layshaft.trace.units import Dimension
from layshaft.verdict import asked, demands, stock
from layshaft.verdict.candidates import (
    LOW_SHEAR_KEYED,
    LOW_STRESS,
    WEAKEST,
    Search,
    bearing_search,
    belt_search,
    chain_search,
    first_pass,
    gear_search,
    hub_search,
    key_search,
    ratio_error,
    shaft_search,
    weight_search,
)
from layshaft.verdict.context import Context
from layshaft.verdict.demands import Demand
from layshaft.verdict.ladder import NO_SERIES, is_there, series
from layshaft.verdict.next_step import seen_to_first
from layshaft.verdict.open import open_owners, owner, set_root, taken_weights
from layshaft.verdict.rate import Verdict
from layshaft.verdict.search import Tried, put, smallest, tried, with_sizes, with_stages


@dataclass(slots=True)
class Need:
    """One part to be found, weighed or decided."""

    path: str
    what: str
    state: str
    opens: list[str]
    """Paths of the machine file that say `open`."""

    sentence: str = ""
    demands: list[Demand] = field(default_factory=list)
    smallest: Tried | None = None
    next_smaller: Tried | None = None
    nearest: Tried | None = None
    """Where no shipped size holds: the one that comes nearest."""

    tried: list[Tried] = field(default_factory=list)
    """Every size that was tried, from small to large."""

    unjudged: dict[str, str] = field(default_factory=dict)
    """Failure modes that no size could be judged on, with the reason."""

    ask_for: list[tuple[str, float, Dimension]] = field(default_factory=list)
    """Ratings to ask a supplier for, where no list ships with the house."""

    notes: list[str] = field(default_factory=list)
    size: str = ""
    """Of a part that is chosen: the size it has."""

    short: list[Finding] = field(default_factory=list)
    """Of a part that is chosen: what does not hold with it, or cannot be said."""


@dataclass(frozen=True, slots=True)
class Waiting:
    """A part that is chosen or ordered but not here yet."""

    path: str
    state: str
    size: str


def needs(verdict: Verdict) -> list[Need]:
    """Every part of which something is open, in the order of the next step; last those nothing is rated of.

    Stages are sized first, then shafts with the forces of those sizes, then bearings and keys on the bars.
    """
    owners = open_owners(verdict.solved)
    found: dict[str, Need] = {}
    sizes = Sizes(verdict, verdict.context)
    with np.errstate(all="ignore"):
        for path in (p for p in owners if not p.startswith("shafts.")):
            found[path] = _need(sizes, path, owners[path])
        sizes.stages = {path: dict(best.candidate.sets) for path, n in found.items()
                        if path.startswith("stages.") and (best := n.smallest or n.nearest)}
        sizes.c = with_stages(sizes.c, {k: v for sets in sizes.stages.values() for k, v in sets.items()})
        for path in sorted((p for p in owners if p.startswith("shafts.")), key=lambda p: p.count(".")):
            found[path] = _need(sizes, path, owners[path])
    return [found[path] for path in _in_order(verdict, owners)]


def _in_order(verdict: Verdict, owners: Iterable[str]) -> list[str]:
    """Open parts by the finding to see to first that each waits with; the others in file order."""
    first: dict[str, int] = {}
    for i, f in enumerate(seen_to_first(verdict.findings)):
        first.setdefault(owner(f.part), i)
    return sorted(owners, key=lambda path: first.get(path, len(verdict.findings)))


@dataclass(slots=True)
class Sizes:
    """What has been found so far: the context with the sizes of stages in it, and the bar of each shaft."""

    verdict: Verdict
    c: Context
    stages: dict[str, dict[str, float | str]] = field(default_factory=dict)
    bars: dict[str, dict[str, float | str]] = field(default_factory=dict)

    def beside(self, shaft: str) -> list[str]:
        """Stages on a shaft whose sizes were found here: the smallest that hold, else the nearest."""
        stages = self.c.machine.stages
        return [name for name in stages if f"stages.{name}" in self.stages
                and shaft in (stages[name].from_, stages[name].to)]


def waiting(machine: Machine) -> list[Waiting]:
    """Parts that are chosen or ordered and not here yet, as the file says."""
    return [Waiting(path, state, size) for path, state, size in asked.states(machine) if state in ("chosen", "ordered")]


def _need(sizes: Sizes, path: str, opens: list[str]) -> Need:
    verdict, machine = sizes.verdict, sizes.verdict.solved.machine
    need = Need(path, asked.what_of(machine, path), asked.state_of(machine, path), opens)
    words = path.split(".")
    seen = sizes.c
    if words[0] == "shafts":
        if len(words) == 2:
            _shaft(sizes, need, words[1])
        seen = with_sizes(sizes.c, sizes.bars.get(words[1], {}))
    need.demands = demands.of(seen, path)
    need.sentence = demands.sentence(seen, path, need.demands)
    if words[0] == "shafts":
        _on_shaft(sizes, need, words)
    elif words[0] == "stages":
        _stage(verdict, need, words[1])
    elif words[0] == "drives":
        _drive(verdict, need, words[1])
    elif not _in_series(verdict.context, need):
        need.notes.append(asked.ADVICE.get(need.what, "Weigh it, or write what you set aside for it."))
    rests = taken_weights(verdict.solved).get(set_root(verdict.solved, path))
    if rests:
        need.notes.append(rests[0].upper() + rests[1:] + ".")
    return need


def look(c: Context, need: Need, search: Search) -> None:
    """Try every candidate and keep the smallest that holds."""
    if search.cannot or not search.candidates:
        need.notes += [f"No size tried: {search.cannot}."] if search.cannot else []
        return
    found = need.tried = tried(c, search.candidates, search.gather, search.keep, search.inside)
    need.smallest, need.next_smaller = smallest(found)
    need.unjudged = found[0].unjudged
    answered = [t for t in found if t.answers]
    if need.smallest is None and answered:
        need.nearest = max(answered, key=_nearness)
    if search.note and need.smallest:
        need.notes.append(f"{need.smallest.candidate.name} {search.note}.")


def _in_series(c: Context, need: Need) -> bool:
    """Look among the sizes its kind goes by; False where there are none, with the reason where it is its own."""
    search = series(c, need.path)
    if search.cannot and search.cannot != NO_SERIES:
        need.notes.append(f"No size tried: {search.cannot}.")
    if search.cannot or not search.candidates:
        return False
    _look_in_steps(c, need, search)
    return True


def wheels_of(c: Context, need: Need) -> None:
    """What the rope found asks of the wheels it runs on."""
    best = need.smallest or need.nearest
    machine = put(c.machine, best.candidate.sets) if best is not None else c.machine
    drive = machine.drives[need.path.split(".")[1]]
    if best is not None and isinstance(drive, FallingWeight) and drive.suspension.path in best.candidate.sets:
        said = stock.wheels_for(machine, drive)
        need.notes += [said] if said else []


def look_wider(c: Context, need: Need) -> None:
    """Where no size like the one there is holds: those of other kinds of wire, rope, section or bush too."""
    wide = series(c, need.path, wide=True)
    if need.smallest is None and not wide.cannot and len(wide.candidates) > len(need.tried):
        look(c, need, replace(wide, candidates=[k for k in wide.candidates if not is_there(c, k)], note=""))


def _look_in_steps(c: Context, need: Need, search: Search) -> None:
    """The same, of a series whose note is a sentence of its own."""
    look(c, need, replace(search, note=""))
    look_wider(c, need)
    if search.note and need.tried:
        need.notes.append(search.note)


def _nearness(t: Tried) -> list[float]:
    """Shares from the worst up: of sizes that are all short by the same mode, the one that does best in the others.

    What holds, holds: of those that do in all others, the smallest.
    """
    return sorted(min(float(f"{a.share:.6g}"), 1.0) for a in t.answers)


def _shaft(sizes: Sizes, need: Need, name: str) -> None:
    c = sizes.c
    shaft = c.machine.shafts[name]
    least, how = first_pass(c, shaft)
    look(c, need, shaft_search(c, shaft))
    bars_open = any(not d.known for d, _ in shaft.sections)
    if np.isfinite(least) and bars_open:
        need.notes.append(f"First pass {how}, with {LOW_SHEAR_KEYED / 1e6:.0f} MPa of shear ({LOW_STRESS}): "
                          f"{least * 1e3:g} mm bar.")
    if need.smallest:
        sizes.bars[name] = dict(need.smallest.candidate.sets)
    elif np.isfinite(least):
        sizes.bars[name] = {d.path: least for d, _ in shaft.sections if not d.known}


def _on_shaft(sizes: Sizes, need: Need, words: list[str]) -> None:
    """Bearings and keys sized on the bar of their shaft; for all, what the sizes rest on in words."""
    shaft, bar = sizes.c.machine.shafts[words[1]], sizes.bars.get(words[1], {})
    if len(words) > 2:
        search: Callable[..., Search] = {"bearing": bearing_search, "key": key_search, "hub": hub_search}[words[4]]
        look(sizes.c, need, search(shaft, words[3], bar))
        found = [v for path, v in bar.items() if isinstance(v, float) and path.endswith("[0]")]
        if found and need.smallest:
            need.notes.append(f"On the {found[0] * 1e3:g} mm bar found for the shaft.")
    own = need.smallest.candidate.sets if need.smallest else {}
    if WEAKEST in [v for path, v in own.items() if len(words) == 2 or path not in bar]:
        need.notes.append(f"Steel that is not chosen counts as {WEAKEST}, the weakest of the table.")
    beside = sizes.beside(words[1])
    if beside and need.what not in ("key", "hub"):
        need.notes.append(f"With the sizes found for {', '.join(beside)}.")


def _stage(verdict: Verdict, need: Need, name: str) -> None:
    c = verdict.context
    stage = c.machine.stages[name]
    if isinstance(stage, RollerChain):
        look(c, need, chain_search(c, stage))
    elif isinstance(stage, GearPair):
        look(c, need, gear_search(c, stage))
    elif isinstance(stage, (SynchronousBelt, VBelt)):
        look(c, need, belt_search(stage))
    else:
        sized = _in_series(c, need)
        listed = isinstance(stage, (Coupling, OneWayHub))
        need.ask_for = asked.ratings(verdict, need.path) if listed or not need.smallest else []
        if not need.ask_for and not sized:
            need.notes.append(f"No list of {need.what}s ships with Layshaft and no method sizes one yet: the demand "
                              "above is what to ask for.")
    best = need.smallest
    if best and isinstance(stage, (RollerChain, GearPair)):
        z = [best.candidate.sets.get(t.path, t.nominal) for t in stage.teeth]
        off = ratio_error(c.machine, stage, (int(z[0]), int(z[1])))
        if abs(off) > 1e-6:
            need.notes.append(f"Whole teeth miss the ratio by {off:+.2%}.")
    taken = verdict.solved.taken.get(stage.ratio.path)
    if taken:
        need.notes.append(f"{taken}.")


def _drive(verdict: Verdict, need: Need, name: str) -> None:
    drive = verdict.solved.machine.drives[name]
    if not isinstance(drive, Suspended):
        return
    need.notes += asked.weight_notes(verdict, drive)
    if drive.chain.state == "open":  # type: ignore[attr-defined]
        look(verdict.context, need, weight_search(drive))
    if isinstance(drive, FallingWeight) and drive.suspension.state == "open":
        _look_in_steps(verdict.context, need, stock.of_rope(verdict.context, drive))
        need.ask_for = asked.ratings(verdict, need.path)
    wheels_of(verdict.context, need)
