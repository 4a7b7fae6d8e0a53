"""The trim of a fan brake: solved once, at the nominal machine, for the speed the builder adjusts it to.

Afterwards the brake's constant stays what it is, also when other givens change or are sampled: speed
is an answer of the torque balance, not a wish.
"""

from __future__ import annotations

import math
from dataclasses import replace

from layshaft.machine.kinds import FanBrake
from layshaft.machine.model import Machine
from layshaft.machine.sampling import at_nominal
from layshaft.trace.units import SPEED, shown
from layshaft.train import sources
from layshaft.train.assemble import left_over
from layshaft.train.graph import ShaftSet
from layshaft.train.roles import role
from layshaft.train.wanted import Taken


def with_trims(machine: Machine, sets: dict[str, ShaftSet]) -> tuple[Machine, list[Taken]]:
    """The machine with the trim of every fan brake that says what it governs and states no trim."""
    taken = []
    for name, load in machine.loads.items():
        if isinstance(load, FanBrake) and load.governs and not load.trim.known:
            found = _trim(at_nominal(machine), sets, name)
            taken.append(found)
            machine = replace(machine, loads=machine.loads | {name: replace(load, trim=found.given)})
    return machine, taken


def _trim(machine: Machine, sets: dict[str, ShaftSet], name: str) -> Taken:
    """Torque left over at the fan without it, over what the whole vanes take at that speed."""
    load = machine.loads[name]
    assert isinstance(load, FanBrake)
    s = next(found for found in sets.values() if load.shaft in found.ratio)
    speed = load.governed_speed.nominal / abs(s.ratio.get(load.governs, math.nan))
    spare = spare_at(machine, s, load)
    whole = float(sources.fan_constant(machine, load)) * (speed * s.ratio[load.shaft]) ** 2
    value = spare / whole if spare > 0 else math.nan
    words = (f"so that {load.governs} turns at {shown(load.governed_speed.nominal, SPEED)}, once, at the nominal "
             "machine; it stays so when other givens change")
    given = replace(load.trim, value=value, state="given", source="decided", note=f"trimmed {words}")
    return Taken(given.path, given, words, (), "")


def spare_at(machine: Machine, s: ShaftSet, load: FanBrake) -> float:
    """Torque left over at a fan, itself taken away, at the speed it is to hold; below zero it would have to drive."""
    others = replace(machine, loads={n: other for n, other in machine.loads.items() if n != load.name})
    speed = load.governed_speed.nominal / abs(s.ratio.get(load.governs, math.nan))
    return float(left_over(others, role(others, s), (load.shaft, load.seat), speed))
