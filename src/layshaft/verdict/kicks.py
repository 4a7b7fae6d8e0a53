"""Whether a crank can kick back: what holds the weight when the hand lets go, and what reaches the handle if not.

A holder counts where it holds a shaft against the frame, a brake where a spring or its own weight puts it on; each only
on the weight's side of every parting, clutch and belt, and of all that runs free the way the weight falls. A worm that
locks by itself is named and does not count: vibration lets it go.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from typing import Any

import numpy as np

from layshaft.machine.kinds import (
    Brake,
    Crank,
    DogClutch,
    EndlessLoop,
    FrictionClutch,
    OneWayHub,
    Ratchet,
    ShearPin,
    SlipClutch,
    Suspended,
    SynchronousBelt,
    VBelt,
    Worm,
)
from layshaft.machine.model import Machine
from layshaft.mechanics.energy import net_drop_energy
from layshaft.trace.findings import WORST_FIRST, Finding, verdicts
from layshaft.trace.source import Source
from layshaft.trace.units import COUNT, ENERGY, FORCE, shown
from layshaft.train.graph import ShaftSet
from layshaft.train.limits import one_way
from layshaft.train.sources import wound_from
from layshaft.train.worms import locks
from layshaft.verdict.context import Context
from layshaft.verdict.driving import ToDrive, to_drive, ways_out, what_it_drives
from layshaft.verdict.open import taken_weights

MODE = "kick-back"
OPENS = (SlipClutch, ShearPin, FrictionClutch, DogClutch, VBelt, SynchronousBelt)
"""Stages that can let go, jump off, or be opened by hand: nothing beyond them holds a weight."""

HOLDERS = Source("what holds the weight when the hand lets go", obtained="derived")
ONE_AT_LEAST = Source("a crank under a weight", "one holder at least on the weight's side of every parting",
                      "common practice")


def under_a_weight(machine: Machine, s: ShaftSet, drive: Crank) -> list[Suspended]:
    """Weights whose torque reaches the shaft of a crank."""
    return [d for d in machine.drives.values() if isinstance(d, Suspended) and wound_from(d) in s.ratio
            and drive.shaft in s.ratio]


def falls_with(machine: Machine, weight: Suspended) -> float:
    """Energy of a weight on its whole way down, in J."""
    counter: Any = weight.counterweight.value if isinstance(weight, EndlessLoop) else 0.0
    return float(np.mean(net_drop_energy(weight.mass.value, counter, machine.gravity.value, weight.drop.value)))


def kicks(c: Context) -> Iterator[Finding]:
    """One finding for each crank under a weight; unknown while the weight itself is not chosen."""
    open_ = taken_weights(c.solved)
    for drive in c.machine.drives.values():
        if isinstance(drive, Crank):
            s = c.solved.set_of(drive.shaft)
            for weight in under_a_weight(c.machine, s, drive):
                found, why = _finding(c, drive, weight, holders_of(c.machine, s, weight)), open_.get(s.root, "")
                yield replace(found, verdict="unknown", reason=why) if why else found


def locking_worms(machine: Machine, s: ShaftSet, weight: Suspended) -> list[tuple[Worm, str]]:
    """Worms that a weight would drive through their wheels and cannot, running or at rest alone."""
    start, found = wound_from(weight), []
    for stage in machine.stages.values():
        if isinstance(stage, Worm) and start in s.ratio and stage.to in s.ratio:
            behind = {name for link in s.path(start, stage.to) for name in link.stages}
            how = locks(stage) if stage.name not in behind else ""
            found += [(stage, how)] if how else []
    return found


def holders_of(machine: Machine, s: ShaftSet, weight: Suspended) -> tuple[list[str], list[str]]:
    """Names of what holds the weight without a hand, on its own side of every parting, and beyond one."""
    start = wound_from(weight)
    good: list[str] = []
    parted: list[str] = []
    held: list[tuple[str, str]] = [(t.name, t.from_) for t in machine.stages.values()
                                   if isinstance(t, (Ratchet, OneWayHub)) and t.to == "frame"]
    held += [(b.name, b.shaft) for b in machine.loads.values()
             if isinstance(b, Brake) and b.put_on_by in ("spring", "weight")]
    for name, shaft in held:
        if shaft in s.ratio:
            (parted if _crosses(machine, s, start, shaft) else good).append(name)
    return good, parted


def _crosses(machine: Machine, s: ShaftSet, start: str, end: str) -> bool:
    """True where modules come apart between two shafts, or something slips, shears, is opened or runs free there.

    A crank winds the weight up by running forward, so the weight goes back: through a one-way stage it gets hold of the
    first shaft only from the second.
    """
    modules = [machine.shafts[start].module]
    at = start
    for link in s.path(start, end):
        stages = [machine.stages[name] for name in link.stages]
        if any(isinstance(stage, OPENS) or (one_way(stage) and stage.from_ == at) for stage in stages):
            return True
        at = link.child if link.parent == at else link.parent
        modules.append(machine.shafts[at].module)
    return len(set(modules)) > 1


def _finding(c: Context, drive: Crank, weight: Suspended, holders: tuple[list[str], list[str]]) -> Finding:
    good, parted = holders
    count = float(len(good))
    code = verdicts(1.0, count, count, 1.0, True)
    return Finding(drive.path, weight.name, MODE, "any", "the hand lets go", COUNT, 1.0, count, count, 1.0,
                   WORST_FIRST[int(code)], HOLDERS, ONE_AT_LEAST, hurts=f"whoever holds {drive.name}",
                   note=_note(c, drive, weight, good, parted))


def _note(c: Context, drive: Crank, weight: Suspended, good: list[str], parted: list[str]) -> str:
    one = to_drive(c.solved).get(weight.name)
    if good:
        kept = f", and keeps it from driving {what_it_drives(one)}" if one else ""
        return f"{' and '.join(good)} {'hold' if len(good) > 1 else 'holds'} {weight.name} when the hand lets go{kept}"
    energy = falls_with(c.machine, weight)
    case = next((i for i, col in enumerate(c.solved.columns) if col.title == f"kick-back of {drive.name}"), None)
    torque = np.nan if case is None else float(np.abs(c.solved.seat_torque[drive.shaft][drive.seat][case]).mean())
    apart = "modules come apart before it, or something lets go"
    away = f" {', '.join(parted)} cannot be counted: {apart}." if parted else ""
    push = shown(torque / drive.radius.nominal, FORCE)
    worms = [worm.name for worm, _ in locking_worms(c.machine, c.solved.set_of(drive.shaft), weight)]
    if worms:
        away += f" {', '.join(worms)} may lock by itself and does not count: vibration lets a worm go."
    return (f"nothing holds {weight.name} on its own side of every parting and clutch: {shown(energy, ENERGY)} can "
            f"reach the handle, which pushes with {push}.{away} {_cure(one)}")


def _cure(one: ToDrive | None) -> str:
    """A weight that is to drive must not be held against the frame: nothing would turn any more."""
    if one is None:
        return "Put a ratchet on the shaft the weight is wound on."
    return (f"{one.weight} is to drive {what_it_drives(one)}, and a ratchet to the frame would hold it in the run too: "
            f"{ways_out(one)}.")
