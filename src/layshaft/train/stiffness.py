"""How far the way between two seats twists: what a blow or a shared load needs to know."""

from __future__ import annotations

from typing import Any

import numpy as np

from layshaft.elements import roller_chain
from layshaft.elements.hanging_load import part_stiffness, parts_stiffness, stiffness_in_line
from layshaft.machine.kinds import (
    Coupling,
    CouplingPart,
    FallingWeight,
    RollerChain,
    Stage,
    Suspended,
)
from layshaft.machine.model import Machine, Shaft
from layshaft.machine.once import once
from layshaft.train.graph import Link, ShaftSet
from layshaft.train.sizes import chain_size, own_part, rope_size
from layshaft.train.sources import falls
from layshaft.train.stages import centre_distance

SHEAR_MODULUS = 80e9
"""Shear modulus of steel, Pa: common value of handbooks (79 to 84 GPa), from memory."""


@once
def shaft_flexibility(shaft: Shaft, start: float, end: float) -> float:
    """Twist per torque of a solid stepped shaft between two places on it, rad/(N m)."""
    low, high, at, total = min(start, end), max(start, end), 0.0, 0.0
    for diameter, step in shaft.sections:
        inside = max(0.0, min(high, at + step.nominal) - max(low, at))
        total += 32 * inside / (np.pi * SHEAR_MODULUS * diameter.nominal**4)
        at += step.nominal
    return total


@once
def strand_stiffness(machine: Machine, stage: RollerChain) -> Any:
    """Stiffness of the tight strand: given, or the usual stretch of a chain at an eighth of its strength."""
    if stage.stiffness.known:
        return stage.stiffness.value
    size = chain_size(machine, stage.chain)
    if size is None:
        return float("nan")
    return roller_chain.strand_stiffness(size.breaking_load, centre_distance(machine, stage))


def alike(machine: Machine, link: Link) -> bool:
    """True where all stages side by side are chains of one size on wheels of the same teeth, so of one stiffness."""
    stages = [machine.stages[name] for name in link.stages]
    return len({(s.chain.name, s.stiffness.nominal if s.stiffness.known else 0.0, *(t.nominal for t in s.teeth))
                if isinstance(s, RollerChain) else s.name for s in stages}) == 1


def suspension_stiffness(machine: Machine, drive: Suspended) -> Any:
    """Stiffness under a hanging weight: its strands, and the frame in line with them.

    A frame that is not stated counts as rigid, which makes the blow an upper bound.
    """
    strand: Any = float("nan")
    size = chain_size(machine, drive.chain)  # type: ignore[attr-defined]
    rope = rope_size(machine, drive.suspension) if isinstance(drive, FallingWeight) else None
    if size is not None:
        strand = roller_chain.strand_stiffness(size.breaking_load, drive.strand_length.value)
    elif rope is not None:
        strand = part_stiffness(rope.breaking_load, rope.stretch, drive.strand_length.value)
    hung = parts_stiffness(strand, falls(drive))
    return stiffness_in_line(hung, drive.frame_stiffness.value) if drive.frame_stiffness.known else hung


@once
def stage_flexibility(machine: Machine, stage: Stage) -> Any:
    """Twist per torque of a stage, seen at its first shaft. Gear teeth and belts count as rigid: an upper bound."""
    if isinstance(stage, RollerChain):
        size = chain_size(machine, stage.chain)
        if size is None:
            return float("nan")
        r = roller_chain.pitch_diameter(size.pitch, stage.teeth[0].nominal) / 2
        return 1 / (strand_stiffness(machine, stage) * r**2)
    if isinstance(stage, Coupling):
        part = own_part(machine, stage.listing)
        return 1 / part.stiffness.value if isinstance(part, CouplingPart) else float("nan")
    return 0.0


def twists_from(machine: Machine, s: ShaftSet, body: tuple[str, str]) -> dict[str, tuple[str, Any]]:
    """Of every shaft: the seat where the way from a body enters it, and twist per torque up to there.

    A part that turns i times as fast sees 1 / i of the torque, and its twist is 1 / i as large seen
    from the body: a slow shaft gives way i^-2 times as much.
    """
    found: dict[str, tuple[str, Any]] = {body[0]: (body[1], 0.0)}
    waiting = [body[0]]
    links: dict[str, list[Link]] = {shaft: [] for shaft in s.shafts}
    for link in s.links:
        links[link.parent].append(link)
        links[link.child].append(link)
    for shaft in waiting:
        for link in links[shaft]:
            if _across(link, shaft) not in found:
                stage = machine.stages[link.stages[0]]
                ours, theirs = stage.seats if stage.from_ == shaft else stage.seats[::-1]
                there = twist_to(machine, s, found, (shaft, ours))
                there = there + stage_flexibility(machine, stage) * (s.ratio[body[0]] / s.ratio[stage.from_]) ** 2
                found[_across(link, shaft)] = theirs, there
                waiting.append(_across(link, shaft))
    return found


def path_flexibility(machine: Machine, s: ShaftSet, body: tuple[str, str], held: tuple[str, str]) -> Any:
    """Twist per torque between two seats, seen at the first."""
    return twist_to(machine, s, twists_from(machine, s, body), held)


def twist_to(machine: Machine, s: ShaftSet, twists: dict[str, tuple[str, Any]], held: tuple[str, str]) -> Any:
    """Twist per torque from the body to a seat, seen at the body."""
    entry, twist = twists[held[0]]
    body = next(iter(twists))
    return twist + _along(machine, held[0], entry, held[1]) * (s.ratio[body] / s.ratio[held[0]]) ** 2


def _across(link: Link, shaft: str) -> str:
    return link.child if link.parent == shaft else link.parent


def _along(machine: Machine, shaft: str, first: str, second: str) -> float:
    seats = machine.shafts[shaft].seats
    return shaft_flexibility(machine.shafts[shaft], seats[first].at.nominal, seats[second].at.nominal)
