"""What a set of shafts does over its life: the states of a run with their shares of the time.

A run is the running state, parted by what is engaged for a share of it only, and for a share of the
time somebody winds a loop back while it goes on. What the cases leave open (three things or more
engaged by chance together) counts with whatever state is hardest.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

import numpy as np

from layshaft.machine.kinds import EndlessLoop
from layshaft.train.cases import HARDEST_PUSH, MEAN_WINDING, RUNNING, WINDING
from layshaft.train.sources import weight_speed

if TYPE_CHECKING:
    from layshaft.train.solve import Solved


@dataclass(frozen=True, slots=True)
class State:
    """Cases of which the hardest stands for a state, and its share of the running time."""

    columns: tuple[int, ...]
    share: Any
    words: str


def duty(solved: Solved) -> list[State]:
    """Every state of the life; one alone where nothing is engaged in part and no loop is wound."""
    found = _engaged(solved)
    wound = _winding(solved)
    if wound is not None:
        rest = 1 - wound.share
        found = [*(State(s.columns, s.share * rest, s.words) for s in found), wound]
    return found


def _engaged(solved: Solved) -> list[State]:
    columns, machine = solved.columns, solved.machine
    running = [i for i, c in enumerate(columns) if c.case == RUNNING and (i == 0 or c.off)]
    parted = list(dict.fromkeys(name for i in running for name in columns[i].off))
    share = {name: (machine.loads.get(name) or machine.drives[name]).engaged.value for name in parted}
    found = [State((i,), _chance(share, columns[i].off), columns[i].title) for i in running]
    left = 1 - sum(state.share for state in found)
    if np.max(left) > 1e-9:
        found.append(State(tuple(running), left, "other states, as the hardest"))
    return found


def _chance(share: dict[str, Any], off: tuple[str, ...]) -> Any:
    """Share of the time in which just these are off, each engaged independently of the others."""
    found: Any = 1.0
    for name, engaged in share.items():
        found = found * (1 - engaged if name in off else engaged)
    return found


def _winding(solved: Solved) -> State | None:
    """The time winding takes: what sinks while running is wound up again, at the speed of the crank."""
    columns = tuple(i for i, c in enumerate(solved.columns)
                    if c.case == WINDING and (c.title == MEAN_WINDING or c.title.endswith(HARDEST_PUSH)))
    share: Any = 0.0
    for role in solved.roles.values():
        if role.winds and role.led_by:
            loop, crank = solved.machine.drives[role.winds], solved.machine.drives[role.led_by]
            assert isinstance(loop, EndlessLoop)
            ratio = role.set.ratio[loop.rewound_from] / role.set.ratio[crank.shaft]
            lifts = np.abs(weight_speed(solved.machine, loop, crank.speed.value * ratio))
            share = share + np.abs(weight_speed(solved.machine, loop, solved.speed[loop.shaft][0])) / lifts
    return State(columns, np.minimum(share, 1.0), WINDING) if columns else None
