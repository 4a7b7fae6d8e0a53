"""Advice without a margin: what the rooms say of each part, and what the train says of its losses."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any

import numpy as np

from layshaft.machine.kinds import BevelPair, Coupling, CouplingPart, GearPair, RollerChain, SynchronousBelt, VBelt
from layshaft.machine.schema import Thing, keys
from layshaft.trace.formula import Remark, tracing
from layshaft.trace.source import Source
from layshaft.trace.units import FORCE, LENGTH, TORQUE, shown
from layshaft.train.cases import partly_engaged
from layshaft.train.place import seat_point
from layshaft.train.reactions import reaction
from layshaft.train.rigid import rigid_reaction
from layshaft.train.roles import goes_on_without
from layshaft.train.sizes import own_part
from layshaft.train.stages import axis, least_centres, turn_ratio
from layshaft.verdict import fit_advice, standing, trim_advice, twin_advice, uneven_turning, worm_advice
from layshaft.verdict.advice import bearing_advice, bush_advice
from layshaft.verdict.kinds.iso_gears import is_slow
from layshaft.verdict.one_way import running_ahead
from layshaft.verdict.protects import protected
from layshaft.verdict.rate import Verdict
from layshaft.verdict.rows import Block
from layshaft.verdict.run_peaks import not_run

LOSSES = Source("losses of lightly loaded stages and seals", obtained="common practice")
LIGHT = 0.10
WHEELS = (RollerChain, SynchronousBelt, VBelt, GearPair)
NOTABLE_DRAG = 0.05
LAYOUT = Source("layout of chains and gears", obtained="common practice")
PUSHES_BACK = Source("a bent coupling loads the bearings on both sides", obtained="common practice")
KEPT = Source("the machine file", obtained="given")
IDLE = Remark("Read and kept, but no reckoning uses it yet: no verdict rests on it.", KEPT, True)
ENGAGED = Remark("Counts as engaged all the time: without it nothing drives its shafts.", KEPT, True)
SLOW_TEETH = Source("practice of slow greased gears", obtained="common practice")
IN_LINE = 0.5e-3
"""m; wheels further out of line wear and climb: common practice, no single source."""


def remarks(verdict: Verdict) -> list[tuple[str, Remark]]:
    """Every remark with the path of its part."""
    return [*_of_rooms(verdict), *protected(verdict), *running_ahead(verdict), *_step_ups(verdict),
            *_light_stages(verdict), *_out_of_line(verdict),
            *_gears(verdict), *worm_advice.remarks(verdict.solved),
            *twin_advice.remarks(verdict.context), *_always_engaged(verdict), *standing.remarks(verdict.context),
            *_pushes_back(verdict), *uneven_turning.remarks(verdict.context), *bearing_advice(verdict.context),
            *bush_advice(verdict.context),
            *trim_advice.remarks(verdict.solved),
            *fit_advice.remarks(verdict.solved.machine),
            *fit_advice.joining({id(r.block): r.block for r in verdict.rated}.values()),
            *not_run(verdict.solved.machine.programme, verdict.run),
            *((path, IDLE) for path in _idle(verdict.solved.machine))]


def by_text(verdict: Verdict) -> dict[str, list[str]]:
    """Each remark once, with the paths of the parts it is made of."""
    found: dict[str, list[str]] = {}
    for path, remark in remarks(verdict):
        found.setdefault(remark.text, []).append(path)
    return found


def _of_rooms(verdict: Verdict) -> Iterator[tuple[str, Remark]]:
    """Each rated part run once in the running case, with the trace on."""
    seen: set[tuple[str, str]] = set()
    blocks: dict[int, Block] = {id(r.block): r.block for r in verdict.rated}
    for block in blocks.values():
        for part in block.parts:
            with np.errstate(all="ignore"), tracing() as trace:
                block.rate(block.single(part, 0))
            for remark in trace.remarks:
                if (part.path, remark.text) not in seen:
                    seen.add((part.path, remark.text))
                    yield part.path, remark


def _step_ups(verdict: Verdict) -> Iterator[tuple[str, Remark]]:
    for stage in verdict.solved.machine.stages.values():
        if isinstance(stage, WHEELS) and abs(turn_ratio(verdict.solved.machine, stage)) > 1:
            yield stage.path, Remark(
                "This stage steps up: friction behind it counts by its ratio, and what starts stiffly stands still. "
                "Keep everything behind it light and free.", LOSSES, True)


def _light_stages(verdict: Verdict) -> Iterator[tuple[str, Remark]]:
    """A pure share as loss is too kind where a stage runs far below what it could carry."""
    use: dict[str, float] = {}
    for mode in ("root fatigue", "dynamic strength", "root strength", "steady torque"):
        use |= {f.part: f.demand * f.required / f.rating for f in verdict.findings if f.mode == mode}
    for stage in verdict.solved.machine.stages.values():
        share = use.get(stage.path, np.nan)
        if isinstance(stage, (RollerChain, GearPair, BevelPair, Coupling)) and share < LIGHT and not stage.drag.known \
                and stage.efficiency.nominal < 1:
            yield stage.path, Remark(
                f"It runs at {share:.0%} of what it may carry, where constant friction leads and a share of the power "
                "says too little is lost. Measure it, and state a `drag`.", LOSSES, True)


def _out_of_line(verdict: Verdict) -> Iterator[tuple[str, Remark]]:
    """Wheels that meet must stand in one plane; the places of the file may say otherwise."""
    solved = verdict.solved
    for stage in solved.machine.stages.values():
        if isinstance(stage, WHEELS):
            ends = [seat_point(solved.machine, solved.place[shaft], shaft, seat)
                    for shaft, seat in ((stage.from_, stage.seats[0]), (stage.to, stage.seats[1]))]
            off = abs(float((ends[1] - ends[0]) @ axis(solved.machine.shafts[stage.from_])))
            if off > IN_LINE:
                yield stage.path, Remark(
                    f"Its two wheels stand {shown(off, LENGTH)} out of one plane, by the places of their shafts and "
                    "seats. Move a seat or a shaft: the forces here count as if they stood in line.", LAYOUT, True)


def _gears(verdict: Verdict) -> Iterator[tuple[str, Remark]]:
    """Teeth that cannot reach each other, and a key that another one overrules."""
    for stage in verdict.solved.machine.stages.values():
        if not isinstance(stage, GearPair):
            continue
        least, there = least_centres(stage), stage.centres
        if there.known and there.nominal < least:
            yield there.path, Remark(
                f"The axes stand {shown(there.nominal, LENGTH)} apart, and the base circles of these teeth ask for "
                f"more than {shown(least, LENGTH)}: no shift helps. Take fewer teeth, a smaller module, or more "
                "distance.",
                LAYOUT, True)
        if not stage.lubrication and is_slow(verdict.context, stage):
            yield stage.path, Remark(
                "It runs slower than 0.5 m/s, and nothing says what is between the teeth. Write `lubrication: grease`, "
                "and give the pinion 30 to 50 points more hardness than the wheel.", SLOW_TEETH, True)
        if stage.double and stage.floats in ("", "neither"):
            yield stage.path, Remark(
                "Double helical gears share the load only if one of the two shafts, and no more than one, is free to "
                "move along its axis. Say which by `floats`, and leave its bearings end play.", SLOW_TEETH, True)
        if stage.pinion_shift.known and any(x.known for x in stage.shift):
            yield stage.pinion_shift.path, Remark(
                "`shift` says the shift of both gears, and this is not used. Remove one of the two.", KEPT, True)


def _always_engaged(verdict: Verdict) -> Iterator[tuple[str, Remark]]:
    for name, drive in verdict.solved.machine.drives.items():
        r = verdict.solved.roles[verdict.solved.set_of(drive.shaft).root]
        if partly_engaged(drive) and not goes_on_without(r, name):
            yield drive.engaged.path, ENGAGED


def _pushes_back(verdict: Verdict) -> Iterator[tuple[str, Remark]]:
    """A coupling pushes back when it is bent; where its listing does not say how hard, nothing of it counts."""
    machine = verdict.solved.machine
    for stage in machine.stages.values():
        push = reaction(machine, stage) if isinstance(stage, Coupling) else None
        if push is not None:
            units = FORCE, TORQUE, FORCE
            across, couple, along = (shown(float(np.mean(p)), d) for p, d in zip(push, units, strict=True))
            yield stage.path, Remark(
                f"Bent as expected, it pushes both shafts with {across} across and {along} along, and bends them with "
                f"{couple}: counted on shafts and bearings, in whatever direction is hardest.", PUSHES_BACK, True)
        part = own_part(machine, stage.listing) if isinstance(stage, Coupling) else None
        if isinstance(stage, Coupling) and isinstance(part, CouplingPart) and not part.radial_stiffness.known:
            most = rigid_reaction(machine, stage)
            bound = (f" Were it rigid, offset and angle would put {shown(most, FORCE)} on both seats, no more."
                     if np.isfinite(most) else "")
            yield stage.path, Remark(
                "Its radial stiffness is not listed, so nothing of what its offset pushes back with is counted."
                f"{bound} Ask for the stiffness, and state it in the listing.", PUSHES_BACK, True)


def _idle(thing: Any) -> Iterator[str]:
    """Paths of what the file gives and nothing reckons with."""
    if isinstance(thing, dict):
        for item in thing.values():
            yield from _idle(item)
    elif isinstance(thing, Thing):
        for name, (field, k) in keys(type(thing)).items():
            value = getattr(thing, field)
            told = getattr(value, "state", "given" if value else "missing") != "missing"
            if k.idle and told:
                yield f"{thing.path}.{name}"
            elif not k.idle:
                yield from _idle(value)


@dataclass(frozen=True, slots=True)
class DragShare:
    """Drag of the bearings of one shaft over the torque that enters it."""

    shaft: str
    share: float


def drag_shares(verdict: Verdict) -> list[DragShare]:
    """Bearing drag in percent of the torque in its own shaft, largest first; only where it is notable.

    Small bearings on a fast shaft can lose more than all the chains.
    """
    found = []
    for name, shaft in verdict.solved.machine.shafts.items():
        if not np.abs(verdict.solved.speed[name][0]).mean() > 0:
            continue  # a shaft that stands drags nothing
        drag = sum(float(np.mean(s.drag.value)) for s in shaft.seats.values() if s.carries_shaft)
        torques = [float(np.abs(t[0]).mean()) for t in verdict.solved.seat_torque[name].values()]
        largest = max(torques, default=0.0)
        if largest > 0 and drag / largest >= NOTABLE_DRAG:
            found.append(DragShare(name, drag / largest))
    return sorted(found, key=lambda d: -d.share)

