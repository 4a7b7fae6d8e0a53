"""All that is said of a machine's torsional vibration, set by set."""

from __future__ import annotations

import difflib
from collections.abc import Callable, Sequence
from dataclasses import dataclass, field, replace
from typing import TYPE_CHECKING

import numpy as np

from layshaft.trace.errors import BadInput
from layshaft.train.torsion.damping import GUESS, Damping, damping
from layshaft.train.torsion.from_rest import FromRest, from_rest
from layshaft.train.torsion.modes import Modes
from layshaft.train.torsion.network import Network, network
from layshaft.train.torsion.orders import NEAR, NOTABLE, Meeting, Shaking, meetings, shakings
from layshaft.train.torsion.response import Swing, swings
from layshaft.train.torsion.stick_slip import Dragged, dragged

if TYPE_CHECKING:
    from layshaft.train.solve import Solved

STANDS = -1


@dataclass(frozen=True, slots=True)
class SetTorsion:
    """One set of shafts that turn together: its elastic machine, and its modes where all of it is known.

    `case` is the case it turns in: the running one, else winding; `STANDS` where it turns in neither.
    """

    root: str
    net: Network
    modes: Modes | None
    case: int
    damped: Damping | None = None
    shakings: list[Shaking] = field(default_factory=list)
    meetings: list[Meeting] = field(default_factory=list)
    dragged: list[Dragged] = field(default_factory=list)
    swings: list[Swing] = field(default_factory=list)
    from_rest: FromRest | None = None

    @property
    def near(self) -> list[Meeting]:
        """Near misses that reach the mode they meet."""
        return [m for m in self.meetings if m.reach >= NOTABLE]

    @property
    def quiet(self) -> bool:
        """True where all is known and nothing is near, sticks or lets backlash open."""
        return not (self.net.lacking or self.near or any(d.sticks or d.limit != d.limit for d in self.dragged)
                    or any(s.opens for s in self.swings))


def torsion(solved: Solved, rigid: Sequence[str] = (), guess: float = GUESS, near: float = NEAR,
            over: float = 0.0, told: Callable[[float], None] | None = None) -> list[SetTorsion]:
    """Every set of shafts. Raises `BadInput` for a name in `rigid` that is no stage and no hanging weight.

    `guess` is the damping ratio of what states none, `near` the share of a natural frequency that counts as near,
    `over` the time in seconds for which a run from rest is followed; 0 for none. `told` hears how far each has come.
    """
    _refuse(solved, rigid)
    with np.errstate(all="ignore"):
        found = [_of_set(solved, root, rigid, guess, near) for root in solved.sets]
        return [_run(solved, one, over, told) for one in found] if over > 0 else found


def _run(solved: Solved, one: SetTorsion, over: float, told: Callable[[float], None] | None) -> SetTorsion:
    if one.modes is None or one.damped is None:
        return one
    return replace(one, from_rest=from_rest(solved, one.net, one.modes, one.damped, over, told))


def _refuse(solved: Solved, rigid: Sequence[str]) -> None:
    hung = [name for role in solved.roles.values() for name in role.weights]
    names = [*solved.machine.stages, *hung]
    for name in rigid:
        if name not in names:
            near = difflib.get_close_matches(name, names, 2, 0.5)
            raise BadInput(f"'{name}' cannot be taken as rigid: it is no stage and no hanging weight of this machine. "
                           + (f"Did you mean {' or '.join(map(repr, near))}?" if near
                              else f"There are: {', '.join(names)}."))


def _of_set(solved: Solved, root: str, rigid: Sequence[str], guess: float, near: float) -> SetTorsion:
    net = network(solved, root, rigid)
    case = turning_case(solved, root)
    found = [] if case == STANDS else shakings(solved, net, case)
    if net.lacking:
        return SetTorsion(root, net, None, case, shakings=found)
    modes = net.modes()
    damped = damping(solved, net, modes, case, guess)
    if case == STANDS:
        return SetTorsion(root, net, modes, case, damped)
    return SetTorsion(root, net, modes, case, damped, found, meetings(solved, net, modes, damped, found, near),
                      dragged(solved, net, modes, damped, case), swings(solved, net, modes, damped, case))


def turning_case(solved: Solved, root: str) -> int:
    """The first case in which a set turns evenly, in any of many draws: running, else winding."""
    asked = [i for i, case in enumerate(solved.cases) if case.startswith(("running mean", "winding"))]
    return next((i for i in asked if (np.abs(solved.speed[root][i]) > 0).any()), STANDS)
