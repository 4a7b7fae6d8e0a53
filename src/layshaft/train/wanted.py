"""What is still open and follows from the speeds that are wanted: ratios of stages, masses of weights.

Nothing is chosen here. A value taken this way lets the solve go on, keeps its reason, and everything
that rests on a taken weight stays unknown in the verdict.
"""

from __future__ import annotations

import itertools
from collections.abc import Mapping
from dataclasses import dataclass, replace
from typing import Any

import numpy as np

from layshaft.machine.kinds import Allowance, EndlessLoop, FallingWeight, Suspended
from layshaft.machine.model import Machine
from layshaft.machine.schema import Given
from layshaft.mechanics import drives
from layshaft.trace.units import shown
from layshaft.train import sources
from layshaft.train.graph import Link, ShaftSet, shaft_sets


@dataclass(frozen=True, slots=True)
class Anchor:
    """A shaft whose speed is decided or wanted, and the path that says so."""

    speed: float
    path: str


@dataclass(frozen=True, slots=True)
class Taken:
    """A value the file leaves open, taken so that wanted speeds come out."""

    path: str
    given: Given
    words: str
    wants: tuple[str, ...]
    """Paths of the wants it was taken from: they say nothing about the machine any more."""

    shaft: str = ""
    """Shaft of the weight; blank for the ratio of a stage."""

    def __str__(self) -> str:
        return f"{self.path} is not stated: taken as {shown(self.given.nominal, self.given.dimension)} {self.words}"


def anchors(machine: Machine) -> dict[str, Anchor]:
    """Shafts with a decided or wanted speed; a led drive goes before a want, a want before an allowance."""
    found: dict[str, Anchor] = {}
    for drive in machine.drives.values():
        if sources.is_led(drive) and drive.speed.known:
            found.setdefault(drive.shaft, Anchor(drive.speed.nominal, drive.speed.path))
    for want in (machine.wants or {}).values():
        if want.shaft and want.speed.known:
            found.setdefault(want.shaft, Anchor(want.speed.nominal, want.path))
    for load in (machine.loads or {}).values():
        if isinstance(load, Allowance) and load.speed.known:
            found.setdefault(load.shaft, Anchor(load.speed.nominal, load.speed.path))
    return found


# Ratios ----------------------------------------------------------------------------------------


def with_ratios(machine: Machine) -> tuple[Machine, list[Taken]]:
    """The machine with the ratio of every stage that two known speeds decide."""
    taken: list[Taken] = []
    known = anchors(machine)
    while any(_undecided(stage) for stage in machine.stages.values()):
        found = _next_ratio(machine, known)
        if not found:
            break
        taken += found
        ratios = {t.path.split(".")[1]: t.given for t in found}
        stages = {n: replace(s, ratio=ratios[n]) if n in ratios else s for n, s in machine.stages.items()}
        machine = replace(machine, stages=stages)
    return machine, taken


def _undecided(stage: Any) -> bool:
    """Teeth open, and no ratio to go by."""
    teeth = getattr(stage, "teeth", ())
    counts = teeth if isinstance(teeth, tuple) else ()
    counts = counts or tuple(getattr(stage, name) for name in ("starts", "wheel_teeth") if hasattr(stage, name))
    return any(t.state == "open" for t in counts) and not stage.ratio.known


def _next_ratio(machine: Machine, known: Mapping[str, Anchor]) -> list[Taken]:
    for s in shaft_sets(machine, []):
        for a, b in itertools.combinations([shaft for shaft in s.shafts if shaft in known], 2):
            links = s.path(a, b)
            open_ = [link for link in links if not np.isfinite(link.ratio)]
            if len(open_) == 1 and all(_undecided(machine.stages[n]) for n in open_[0].stages):
                return _ratio(machine, s, (a, b), open_[0], known)
    return []


def _ratio(machine: Machine, s: ShaftSet, ends: tuple[str, str], open_: Link,
           known: Mapping[str, Anchor]) -> list[Taken]:
    """Speed over speed of the two ends is the product of all steps between: solved for the open one."""
    at, rest, near = ends[0], known[ends[1]].speed / known[ends[0]].speed, ""
    for link in s.path(*ends):
        outward = link.parent == at
        if link is open_:
            near = at
        else:
            rest /= abs(link.ratio) if outward else 1 / abs(link.ratio)
        at = link.child if outward else link.parent
    words = f"to join {ends[0]} ({known[ends[0]].path}) and {ends[1]} ({known[ends[1]].path})"
    found = []
    for name in open_.stages:
        stage = machine.stages[name]
        value = 1 / rest if stage.from_ == near else rest
        given = replace(stage.ratio, value=value, state="given", note=f"teeth are open: taken {words}")
        found.append(Taken(given.path, given, words, tuple(known[e].path for e in ends)))
    return found


# Weights ---------------------------------------------------------------------------------------


def wanted_speed(machine: Machine, s: ShaftSet) -> tuple[float, str, str]:
    """Speed of the root of a set that a want asks for, the want's path and its shaft; NaN without one."""
    for want in (machine.wants or {}).values():
        if want.shaft in s.ratio and want.speed.known:
            speed = want.speed.nominal / abs(s.ratio[want.shaft])
            if np.isfinite(speed):
                return speed, want.path, want.shaft
    return float("nan"), "", ""


def open_pull(drive: Suspended) -> list[Any]:
    """What is open of a weight's mass and wheel."""
    wheel = [drive.chain, drive.teeth]  # type: ignore[attr-defined]
    if isinstance(drive, FallingWeight):
        wheel = [drive.diameter] if drive.diameter.state != "missing" else wheel
    return [part for part in (drive.mass, *wheel) if part.state == "open"]


def settled_weight(machine: Machine, name: str, torque: float, shaft: str, want: str) -> Taken | None:
    """The mass, or the drum diameter, that gives `torque` at the wheel; None while more than that is open."""
    drive = machine.drives[name]
    assert isinstance(drive, Suspended)
    left = open_pull(drive)
    if len(left) != 1 or not torque > 0:
        return None
    if left[0] is drive.mass:
        value = mass_for(machine, drive, torque)
    elif isinstance(drive, FallingWeight) and left[0] is drive.diameter:
        value = diameter_for(machine, drive, torque)
    else:
        return None
    if not np.isfinite(value):
        return None
    words = f"so that {shaft} turns as wanted ({want})"
    given = replace(left[0], value=float(value), state="given", source="assumed", note=f"open: taken {words}")
    return Taken(given.path, given, words, (want,), drive.shaft)


def mass_for(machine: Machine, drive: Suspended, torque: float) -> float:
    """Mass that gives a torque at its wheel; the tension is in proportion to the mass."""
    g, e, d = machine.gravity.nominal, drive.pulley_loss.nominal, sources.wheel_diameter(machine, drive)
    pull = 2 * torque / d
    if isinstance(drive, EndlessLoop):
        back = float(np.mean(drives.counterweight_drive_strand(drive.counterweight.nominal, g, e)))
        return (pull + back) / float(drives.loop_drive_strand(1.0, g, e))
    falls = sources.falls(drive)
    return pull / float(drives.rope_force_running(1.0, g, falls, e if falls != 1 else 0.0))


def diameter_for(machine: Machine, drive: Suspended, torque: float) -> float:
    """Diameter of the wheel on which a known mass gives a torque."""
    s = sources.strands(machine, drive)
    return 2 * torque / float(np.mean(s.drive - s.drive_return))


def with_weight(machine: Machine, name: str, taken: Taken) -> Machine:
    """The machine with a weight's open mass or diameter filled in."""
    field = "diameter" if taken.path.endswith("diameter") else "mass"
    drive: Any = replace(machine.drives[name], **{field: taken.given})
    return replace(machine, drives=machine.drives | {name: drive})
