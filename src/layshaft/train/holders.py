"""What holds a shaft against the frame, and the cases in which each of several holders holds alone.

A second pawl is there for the loss of the first: nothing says that the two ever share, so each must hold all of it.
"""

from __future__ import annotations

from dataclasses import replace

from layshaft.machine.kinds import OneWayHub, Ratchet
from layshaft.machine.model import Machine
from layshaft.train.cases import ARRESTED, AT_REST, CRANK_LOADS, KICK_BACK, Column
from layshaft.train.roles import Role

HOLDING = (AT_REST, ARRESTED, CRANK_LOADS)
"""Cases in which a holder carries."""


def holders(machine: Machine, r: Role) -> list[Ratchet | OneWayHub]:
    """Ratchets and one-way hubs that hold a set of shafts against the frame, in the order of the file."""
    return [t for t in machine.stages.values()
            if isinstance(t, (Ratchet, OneWayHub)) and t.to == "frame" and t.from_ in r.set.ratio]


def holder_columns(machine: Machine, roles: dict[str, Role], found: list[Column]) -> list[Column]:
    """Every case in which the first holder of a set carries, once more for each other one."""
    more = []
    for root, r in roles.items():
        held = holders(machine, r)
        for other in held[1:]:
            more += [_alone(column, root, other) for column in found if _held_by(column, root, held[0])]
    return more


def _held_by(column: Column, root: str, first: Ratchet | OneWayHub) -> bool:
    plan = column.plans[root]
    kicks = column.title.startswith(KICK_BACK)
    return column.case in HOLDING and plan.loads == "none" and not plan.idle and not kicks and (
        plan.at, plan.seat) == (first.from_, first.seats[0])


def _alone(column: Column, root: str, holder: Ratchet | OneWayHub) -> Column:
    plan = replace(column.plans[root], at=holder.from_, seat=holder.seats[0])
    return replace(column, title=f"{column.title}, {holder.name} alone", plans=column.plans | {root: plan})
