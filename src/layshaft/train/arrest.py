"""A hanging weight that falls free a little and is caught: by its ratchet or one-way hub, or as slack runs out."""

from __future__ import annotations

from typing import Any

import numpy as np

from layshaft.elements.hanging_load import arrest_force
from layshaft.machine.kinds import OneWayHub, OneWayHubPart, Ratchet, Suspended
from layshaft.machine.model import Machine
from layshaft.machine.once import once
from layshaft.train.graph import shaft_sets
from layshaft.train.sizes import own_part
from layshaft.train.sources import weight_speed, wound_from
from layshaft.train.stiffness import suspension_stiffness


@once
def arrest_drop(machine: Machine, drive: Suspended) -> Any:
    """How far the weight falls free before its ratchet or slack stops it; None if nothing lets it."""
    step, held = _step(machine, drive, wound_from(drive))
    if not held and not drive.slack.known:
        return None
    return step + (drive.slack.value if drive.slack.known else 0.0)


def _step(machine: Machine, drive: Suspended, shaft: str) -> tuple[Any, bool]:
    """Fall within one step of what holds the weight."""
    first = holder(machine, shaft)
    if first is None:
        return 0.0, False
    return _turn_back(machine, shaft, first) * weight_speed(machine, drive, 1.0), True


def holder(machine: Machine, shaft: str) -> Ratchet | OneWayHub | None:
    """What keeps a weight wound from a shaft from sinking: against the frame, or else behind that shaft; None if none.

    Of several holders that with the longest step, or one not known yet: each is there for the loss of the others.
    """
    turns = shaft_sets(machine, [shaft])[0].ratio
    stages = [t for t in machine.stages.values() if isinstance(t, (Ratchet, OneWayHub))
              and _play(machine, t) is not None]
    held = [t for t in stages if t.to == "frame" and t.from_ in turns] or [t for t in stages if t.from_ == shaft]
    steps = {t.name: float(np.mean(_turn_back(machine, shaft, t))) for t in held}
    return max(held, key=lambda t: np.nan_to_num(steps[t.name], nan=np.inf), default=None)


def _turn_back(machine: Machine, shaft: str, holder: Ratchet | OneWayHub) -> Any:
    """Angle a shaft turns back before a holder grips."""
    return _play(machine, holder) / abs(shaft_sets(machine, [shaft])[0].ratio[holder.from_])


def _play(machine: Machine, holder: Ratchet | OneWayHub) -> Any:
    """Angle a holder turns back before it grips; None of a hub whose listing does not say."""
    if isinstance(holder, Ratchet):
        pawls = holder.pawls.nominal if holder.pawls.known else 1.0
        return 2 * np.pi / holder.teeth.nominal / pawls
    part = own_part(machine, holder.listing)
    return part.play.value if isinstance(part, OneWayHubPart) and part.play.known else None


def arrest_factor(machine: Machine, drive: Suspended) -> Any:
    """Pull when the weight is caught over its pull at rest."""
    drop = arrest_drop(machine, drive)
    if drop is None:
        return None
    weight = drive.mass.value * machine.gravity.value
    return arrest_force(weight, drop, suspension_stiffness(machine, drive)) / weight
