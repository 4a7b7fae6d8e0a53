"""The weights of a run: minutes a winding, rewinds, and what the person at the crank gives."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from layshaft.mechanics import drives, energy, steadiness
from layshaft.train import sources
from layshaft.train.motion.course import Course
from layshaft.train.motion.programme import Bout, handle_torque


@dataclass(frozen=True, slots=True)
class BoutDone:
    """One bout as it went: how long it lasted, how far the weight came up, what was asked of the person."""

    name: str
    crank: str
    time: float
    lasted: float
    lifted: float
    force: float
    peak_force: float
    power: float
    peak_power: float
    work: float


@dataclass(frozen=True, slots=True)
class Wound:
    """One weight: how long a full drop lasts at the mean speed of the run, and the bouts that wound it."""

    weight: str
    per_winding: float
    windings: float
    """Full drops that go into the run."""

    lowest: float
    lowest_at: float
    bouts: list[BoutDone]


def wound(c: Course, window: tuple[float, float]) -> list[Wound]:
    """Every weight of the train that was run."""
    found = []
    machine, ratio = c.solved.machine, c.ratio
    mean = c.mean(*window)
    for name in c.solved.roles[c.programme.root].weights:
        drive = machine.drives[name]
        speed = sources.weight_speed(machine, drive, mean * abs(ratio[drive.shaft]))
        lasts = float(np.mean(drives.running_time(drive.drop.value, speed)))
        height = heights(c)[name]
        at = int(np.argmin(height))
        run = c.programme.time if np.isfinite(c.programme.time) else float(c.motion.time[-1])
        bouts = [_done(c, b) for b in c.programme.bouts if b.weight == name]
        found.append(Wound(name, lasts, float(steadiness.windings(run, lasts)), float(height[at]),
                           float(c.motion.time[at]), [b for b in bouts if b is not None]))
    return found


def heights(c: Course) -> dict[str, np.ndarray]:
    """Height of every weight above the end of its drop, at every edge."""
    m = c.motion
    found = {name: np.zeros(len(m.time)) for name in c.solved.roles[c.programme.root].weights}
    firsts = [leg.first for leg in c.legs]
    for leg, end in zip(c.legs, [*firsts[1:], len(m.time)], strict=True):
        here = slice(leg.first, end)
        for hoist in leg.hoists:
            found[hoist.weight][here] = hoist.height(m.time[here], m.angle[here])
    return found


def _done(c: Course, bout: Bout) -> BoutDone | None:
    """A bout that was begun: at the handle force of the solved winding case, times what the run up and ripple add."""
    begun = next((m.time for m in c.marks if m.kind == "wind" and m.name == bout.name), None)
    if begun is None:
        return None
    last = float(c.motion.time[-1])
    lasted = next((m.time for m in c.marks if m.kind == "wound" and m.name == bout.name), last) - begun
    crank, g = c.solved.machine.drives[bout.crank], c.solved.machine.gravity.nominal
    torque, r = handle_torque(c.solved, bout.crank), crank.radius.nominal
    force, ripple = float(drives.handle_force(torque, r)), float(sources.ripple(crank))
    run_up = 1 + bout.rises / bout.ramp / g if bout.ramp else 1.0
    harder = max(ripple, run_up) if np.isfinite(ripple) else run_up
    turning = max(lasted - bout.ramp, 0.0)  # brought up and let come to rest evenly: half the speed in both
    power = float(drives.handle_power(torque, bout.speed))
    return BoutDone(bout.name, bout.crank, begun, lasted, bout.rises * turning, force, force * harder, power,
                    power * harder * (1 + bout.unevenness / 2), float(energy.energy_over(power, turning)))


