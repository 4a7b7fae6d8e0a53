"""What runs on behind a one-way stage: wheels that go on turning, and cases in which the two halves part."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np

from layshaft.machine.kinds import OneWayHub, Ratchet
from layshaft.mechanics.drives import turning_energy
from layshaft.trace.formula import Remark
from layshaft.trace.source import Source
from layshaft.train.cases import FAILED, PEAK
from layshaft.train.limits import one_way, runs_on
from layshaft.train.solve import Solved
from layshaft.train.sources import inertia
from layshaft.verdict.kinds.ratchets import torques
from layshaft.verdict.rate import Verdict

AHEAD = Source("a case solved with both halves joined", obtained="derived")


@dataclass(frozen=True, slots=True)
class RunOn:
    """A load that goes on turning when what drives its set stops: its name, the stage between, its energy in J."""

    load: str
    behind: str
    energy: float


def run_on(solved: Solved) -> list[RunOn]:
    """Every turning mass behind a one-way stage, seen from what drives its set."""
    found = []
    machine = solved.machine
    if not any(one_way(stage) for stage in machine.stages.values()):
        return []
    for role in solved.roles.values():
        name = role.led_by or next(iter(role.weights), "")
        behind = runs_on(machine, role.set, machine.drives[name].shaft) if name else {}
        for load in machine.loads.values():
            if load.shaft in behind and np.any(inertia(load) != 0):
                omega = np.abs(solved.speed[load.shaft][0])
                found.append(RunOn(load.name, behind[load.shaft], float(np.mean(turning_energy(inertia(load), omega)))))
    return found


def running_ahead(verdict: Verdict) -> Iterator[tuple[str, Remark]]:
    """Peaks in which a one-way stage would have to pull back: it lets go there, and the case counts it as joined."""
    solved = verdict.solved
    for stage in solved.machine.stages.values():
        if not isinstance(stage, (Ratchet, OneWayHub)) or stage.name not in solved.carried:
            continue
        _, forward = torques(verdict.context, stage)
        for i, column in enumerate(solved.columns):
            if column.case in (PEAK, FAILED) and np.mean(forward[i]) < 0:
                yield stage.path, Remark(
                    f"In '{column.title}' what it drives runs ahead and the two halves part: that case counts them as "
                    "joined, which is too hard on what lies in front of it and too kind to what must be driven again.",
                    AHEAD, True)
                break
