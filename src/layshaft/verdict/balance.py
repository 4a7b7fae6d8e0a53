"""What a spring balance should read on each shaft turned by hand: the cheapest check of the whole model."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import numpy as np

from layshaft.machine.model import Machine
from layshaft.train import sources
from layshaft.train.graph import ShaftSet
from layshaft.train.shares import link_shares, share_at_rest
from layshaft.train.solve import Solved


@dataclass(frozen=True, slots=True)
class Reading:
    """Force at a radius to turn one shaft slowly, weights lowered: to start it, and to keep it going."""

    shaft: str
    radius: float
    break_away: Any
    running: Any


def readings(solved: Solved, radius: float) -> list[Reading]:
    """One reading for each shaft, all hanging weights taken off, speed so low that brakes do nothing."""
    with np.errstate(all="ignore"):
        return [
            Reading(shaft, radius, _torque(solved.machine, s, shaft, rest=True) / radius,
                    _torque(solved.machine, s, shaft, rest=False) / radius)
            for s in solved.sets.values() for shaft in s.shafts
        ]


def _torque(machine: Machine, s: ShaftSet, hand: str, *, rest: bool) -> Any:
    """Torque at the hand: resisting torques brought to it, losses on the way added. Pulses at mid-lift."""
    need: dict[str, Any] = {shaft: _resisting(machine, shaft, rest=rest) for shaft in s.shafts}
    order = _outwards(s, hand)
    for inner, outer, i, outward in reversed(order):
        link = s.links[i]
        out, back = link_shares(machine, link)
        share = out if outward else back
        share = share_at_rest(machine, link, share) if rest else share
        need[inner] = need[inner] + need[outer] * abs(s.ratio[outer] / s.ratio[inner]) / share
    return need[hand]


def _outwards(s: ShaftSet, hand: str) -> list[tuple[str, str, int, bool]]:
    """Links from the hand outwards: nearer shaft, further shaft, link, and whether that is parent to child."""
    found, reached = [], [hand]
    for shaft in reached:
        for i, link in enumerate(s.links):
            for near, far, outward in ((link.parent, link.child, True), (link.child, link.parent, False)):
                if near == shaft and far not in reached:
                    reached.append(far)
                    found.append((near, far, i, outward))
    return found


def _resisting(machine: Machine, shaft: str, *, rest: bool) -> Any:
    total: Any = 0.0
    for load in machine.loads.values():
        if load.shaft == shaft:
            total = total + sources.resisting_torque(machine, load, "at rest" if rest else "mean")
    for seat in machine.shafts[shaft].seats.values():
        if seat.carries_shaft:
            total = total + seat.drag.value * (seat.break_away.value if rest else 1.0)
    for stage in machine.stages.values():
        if stage.from_ == shaft and stage.drag.known:
            total = total + stage.drag.value * (stage.break_away.value if rest else 1.0)
    return total
