"""What a stage lets through at most: one way only, up to where it slips, or all there is.

Told apart by kind here and nowhere else. A limit is a pair of torques at the stage's first shaft: the most with
which the first drives the second the way the set turns, and the most with which the second drives the first.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import Any

import numpy as np

from layshaft.elements import shear_pin
from layshaft.machine.kinds import FrictionClutch, OneWayHub, Ratchet, ShearPin, SlipClutch, Stage
from layshaft.machine.model import Machine
from layshaft.mechanics import friction
from layshaft.train.graph import Link, ShaftSet

ALL = float("inf")


@dataclass(frozen=True, slots=True)
class Limited:
    """A stage with a limit: its first shaft, and the most with which that drives, and is driven by, the other."""

    first: str
    forward: Any
    back: Any


def one_way(stage: Stage) -> bool:
    """True for what lets the second shaft run ahead of the first."""
    return isinstance(stage, (Ratchet, OneWayHub)) and stage.to != "frame"


def beyond(s: ShaftSet, name: str, side: str) -> list[str]:
    """Shafts on one side of a stage, `side` among them; none where another way leads round it."""
    link = next((link for link in s.links if name in link.stages), None)
    if link is None or len(link.stages) > 1 or any(name in loop for loop in s.loops):
        return []
    other = link.parent if side == link.child else link.child
    far = {other}
    for there, near, _ in _away_from(s, side):
        if near in far and there != side:
            far.add(there)
    return [shaft for shaft in s.shafts if shaft not in far]


def runs_on(machine: Machine, s: ShaftSet, start: str) -> dict[str, str]:
    """Of every shaft that goes on turning when `start` stops: the one-way stage it runs on behind."""
    found: dict[str, str] = {}
    for far, near, child in _away_from(s, start):
        stage = machine.stages[s.inward[child].stages[0]]
        behind = stage.name if one_way(stage) and stage.from_ == near and len(s.inward[child].stages) == 1 else ""
        if behind or near in found:
            found[far] = behind or found[near]
    return found


def limit(stage: Stage) -> tuple[Any, Any] | None:
    """Most torque a stage passes either way; None where it passes all there is.

    A limit that is not known counts as none, which leaves a jam at its upper bound.
    """
    if one_way(stage):
        return ALL, 0.0
    if isinstance(stage, SlipClutch):
        slip = _latest_slip(stage)
    elif isinstance(stage, FrictionClutch):
        F_n = friction.cone_force(stage.closing_force.value, stage.cone_angle.value)
        r = friction.pressure_radius(stage.outer_diameter.value, stage.inner_diameter.value)
        slip = friction.friction_torque(stage.friction.value, F_n, r, stage.faces.value)
    elif isinstance(stage, ShearPin):
        area = shear_pin.sheared_area(stage.diameter.value, stage.pins.value, stage.shear_planes.value)
        slip = shear_pin.shearing_torque(stage.shear_strength.value, area, stage.at_radius.value)
    else:
        return None
    most = friction.latest(slip, stage.scatter.value)
    most = np.where(np.isnan(most), ALL, most)
    return most, most


def _latest_slip(stage: SlipClutch) -> Any:
    if stage.slip_torque.known or not stage.spring_force.known:
        return stage.slip_torque.value
    r = friction.pressure_radius(stage.outer_diameter.value, stage.inner_diameter.value)
    return friction.friction_torque(stage.friction.value, stage.spring_force.value, r, stage.faces.value)


def limits_of(machine: Machine, s: ShaftSet) -> dict[str, Limited]:
    """By the outer shaft of each link: its limit, where its one stage has one and lies in no loop."""
    looped = {name for loop in s.loops for name in loop}
    found = {}
    for link in s.links:
        stage = machine.stages[link.stages[0]]
        most = limit(stage) if len(link.stages) == 1 and stage.name not in looped else None
        if most is not None:
            found[link.child] = Limited(stage.from_, *most)
    return found


def passed(s: ShaftSet, limits: Mapping[str, Limited], held: str, net: dict[str, Any],
           sign: Callable[[str], float]) -> dict[str, Any]:
    """Share of its torques that each shaft still puts in while one shaft is held, without losses.

    `net` are the torques on each shaft, (samples,); `sign` the sense in which a shaft turns. From the far ends
    towards the held shaft: where more would go through a stage than it passes, all that lies beyond it pushes less in
    proportion, since it starts to move.
    """
    share: dict[str, Any] = dict.fromkeys(s.shafts, 1.0)
    beyond: dict[str, list[str]] = {shaft: [shaft] for shaft in s.shafts}
    for far, near, child in reversed(_away_from(s, held)):
        if child in limits:
            passes = _share(limits[child], far, net[far], s.ratio[far] / s.ratio[near], sign(far))
            for shaft in beyond[far]:
                share[shaft] = share[shaft] * passes
            net[far] = net[far] * passes
        net[near] = net[near] + net[far] * s.ratio[far] / s.ratio[near]
        beyond[near] += beyond[far]
    return share


def _share(most: Limited, far: str, torque: Any, turns: float, sign: float) -> Any:
    """Share of the torque of the far side that gets through."""
    along = torque * sign > 0
    forward = along if most.first == far else ~along
    limit_now = np.where(forward, most.forward, most.back)
    size = np.abs(torque if most.first == far else torque * turns)
    return np.where(size > limit_now, limit_now / np.where(size > 0, size, 1.0), 1.0)


def _away_from(s: ShaftSet, held: str) -> list[tuple[str, str, str]]:
    """Links as a walk from the held shaft meets them: far shaft, near shaft, outer shaft of the link."""
    joined: dict[str, list[Link]] = {shaft: [] for shaft in s.shafts}
    for link in s.links:
        joined[link.parent].append(link)
        joined[link.child].append(link)
    found, reached = [], [held]
    for near in reached:
        for link in joined[near]:
            far = link.child if link.parent == near else link.parent
            if far not in reached:
                reached.append(far)
                found.append((far, near, link.child))
    return found
