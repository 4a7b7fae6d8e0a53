"""Which way a set of shafts turns, and which weights go up with it."""

from __future__ import annotations

import numpy as np

from layshaft.machine.model import Machine
from layshaft.train import sources
from layshaft.train.cases import Plan
from layshaft.train.roles import Role


def motion(machine: Machine, role: Role) -> float:
    """Sense in which the root turns: down with the weights, up where a crank or motor lifts them."""
    s, push = role.set, 0.0
    if role.free:
        drive = machine.drives[role.free]
        return float(np.sign(sources.turning_sense(machine, drive, drive.shaft) * s.ratio[drive.shaft])) or 1.0
    for name in (*role.weights, *((role.winds,) if role.winds else ())):
        for p in sources.weight_pushes(machine, machine.drives[name]):
            if p.shaft in s.ratio:
                push += float(np.nan_to_num(np.mean(p.torque))) * np.sign(s.ratio[p.shaft])
    if role.led_by:
        forward = float(np.sign(s.ratio[machine.drives[role.led_by].shaft])) or 1.0
        return -float(np.sign(push)) if push else forward
    return float(np.sign(push)) or 1.0


def lifted(machine: Machine, role: Role, sense: float, plan: Plan, name: str) -> bool:
    """True where a weight of the set goes up, or is about to, while the root turns in `sense`.

    Held still, with losses left out, the pulleys' loss counts on neither side.
    """
    shaft = machine.drives[name].shaft
    if shaft not in role.set.ratio or (plan.at_rest and not plan.losses):
        return False
    down = sources.turning_sense(machine, machine.drives[name], shaft)
    return bool(down * np.sign(role.set.ratio[shaft]) * sense < 0)
