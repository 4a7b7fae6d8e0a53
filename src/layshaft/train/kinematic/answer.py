"""How unevenly a shaft turns by the errors of the train's own shape, order by order.

Far below all natural frequencies the train is rigid: an error moves what is light on one side of its
stage against what is heavy on the other. From half of the lowest natural frequency on the answer is
that of the elastic train to the same error across its stage, with the damping of torsion.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field
from typing import TYPE_CHECKING, Any

import numpy as np
import numpy.typing as npt

from layshaft.machine.kinds import Pulses
from layshaft.machine.model import Machine
from layshaft.mechanics import transmission_error as error
from layshaft.train.graph import ShaftSet
from layshaft.train.kinematic.errors import KinematicError, Lacking, errors_of
from layshaft.train.torsion.answer import STANDS, turning_case
from layshaft.train.torsion.damping import Damping, damping
from layshaft.train.torsion.modes import Array, Modes
from layshaft.train.torsion.network import Network, Spring, network

if TYPE_CHECKING:
    from layshaft.train.solve import Solved

NEAR = 2.0
"""From a natural frequency over this on, an order is answered by the elastic train."""

STIFF = 1e4
"""How much stiffer than all else a stage counts that torsion takes as rigid, where an error acts across it."""

ALIKE = 1e-6
SLIGHT = 0.01
"""Share of an error below which a shaft hardly feels it: what is not stated there is not told."""


@dataclass(frozen=True, slots=True)
class Order:
    """What one error does to a shaft: swing of its speed over the mean, and how far ahead or behind in time.

    `gain` is how much of the error the shaft follows, `share` what it would follow if nothing twisted.
    """

    error: KinematicError
    order: float
    """Times it comes in a turn of the shaft that is asked."""

    omega: float
    share: float
    gain: float
    elastic: bool
    swing: Any
    time: Any

    def meets_alike(self, per_turn: float) -> bool:
        """True where all events, so many in a turn, see the same of it."""
        return bool(abs((self.order / per_turn + 0.5) % 1.0 - 0.5) < ALIKE)


@dataclass(slots=True)
class Uneven:
    """A shaft's uneven turning by the shape of the train. `twisting` says why the rigid answer had to do."""

    shaft: str
    orders: list[Order] = field(default_factory=list)
    lacking: list[Lacking] = field(default_factory=list)
    twisting: list[str] = field(default_factory=list)

    def swing(self, kind: str = "") -> Any:
        """Swing with all phases at their worst: the sum over the orders, of one kind or of all."""
        return sum((o.swing for o in self.orders if kind in ("", o.error.kind)), 0.0)

    def time(self, kind: str = "", per_turn: float = np.nan) -> Any:
        """Furthest off in time, summed likewise; with `per_turn` only what events so often in a turn show.

        An order that comes a whole number of times from event to event meets each of them alike.
        """
        return sum((o.time for o in self.orders if kind in ("", o.error.kind) and not o.meets_alike(per_turn)), 0.0)

    def scatter(self, per_turn: float) -> Any:
        """Root mean square of what events so often in a turn are off, each order through all its phases."""
        off = sum((o.time**2 for o in self.orders if not o.meets_alike(per_turn)), 0.0)
        return np.sqrt(np.mean(off) / 2)

    def usual(self) -> Any:
        """Swing as it usually falls: root of the sum of squares."""
        return np.sqrt(sum((o.swing**2 for o in self.orders), 0.0))

    @property
    def elastic(self) -> bool:
        """Whether any order was answered by the elastic train."""
        return any(o.elastic for o in self.orders)


def uneven(solved: Solved, shafts: Sequence[str]) -> list[Uneven]:
    """Each of some shafts, in the case its set turns in; of what turns in none nothing is said."""
    with np.errstate(all="ignore"):
        found: dict[str, Uneven] = {}
        for root, s in solved.sets.items():
            ours = [shaft for shaft in shafts if shaft in s.ratio]
            if ours:
                found |= _of_set(solved, root, ours)
        return [found[shaft] for shaft in shafts]


def events_per_turn(machine: Machine, shaft: str) -> float:
    """How many events of a shaft a run looks at in a turn: its lifts, else its turns."""
    lifts = [x.per_turn.nominal for x in machine.loads.values() if isinstance(x, Pulses) and x.shaft == shaft]
    return float(lifts[0]) if lifts else 1.0


def _of_set(solved: Solved, root: str, shafts: Sequence[str]) -> dict[str, Uneven]:
    case, s = turning_case(solved, root), solved.sets[root]
    if case == STANDS:
        return {shaft: Uneven(shaft) for shaft in shafts}
    found, lacking = errors_of(solved.machine, s.ratio)
    net = network(solved, root)
    twisting = _Twisting.of(solved, net, case, {f"stages.{e.stage}" for e in found})
    weighed = _Weighed(solved, net, s)
    answers = {}
    for shaft in shafts:
        one = Uneven(shaft, twisting=list(net.lacking))
        for e in found:
            order = _order(solved, s, case, e, shaft, weighed.share(e.stage, shaft), twisting)
            if order is None:
                one.lacking.append(Lacking(e.stage, f"its {e.kind}: in a loop only the elastic train can tell"))
            else:
                one.orders.append(order)
        one.lacking += [x for x in lacking if not weighed.share(x.stage, shaft) < SLIGHT]
        one.lacking = list(dict.fromkeys(one.lacking))
        answers[shaft] = one
    return answers


def _order(solved: Solved, s: ShaftSet, case: int, e: KinematicError, shaft: str, share: float,
           twisting: _Twisting | None) -> Order | None:
    first = solved.machine.stages[e.stage].from_
    each: Array = e.order * np.abs(solved.speed[e.shaft][case])
    gain: Any = share
    near = np.isnan(share) | (NEAR * each >= twisting.lowest) if twisting is not None else np.zeros(len(each), bool)
    if twisting is not None and near.any():
        gain = np.where(near, twisting.gain(f"stages.{e.stage}", shaft, each), share)
    if not np.isfinite(gain).any():
        return None
    theta = e.theta * gain * abs(s.ratio[shaft] / s.ratio[first])
    own = np.abs(solved.speed[shaft][case])
    n = e.order * abs(s.ratio[e.shaft] / s.ratio[shaft])
    return Order(e, n, _middle(each), share, _middle(gain), bool(near.any()),
                 error.order_swing(theta, n), error.order_time(theta, own))


def _middle(value: Any) -> float:
    """Mean of what is known in many draws; one draw stands for itself."""
    return float(np.nanmean(value) if np.size(value) > 1 else np.ravel(value)[0])


class _Weighed:
    """What lies on either side of a stage."""

    def __init__(self, solved: Solved, net: Network, s: ShaftSet) -> None:
        self.set = s
        role = solved.roles[s.root]
        wheel = {f"drives.{name}": solved.machine.drives[name].shaft for name in role.weights}
        self.inertia = dict.fromkeys(s.shafts, 0.0)
        for (name, _), J in zip(net.nodes, net.mass, strict=True):
            self.inertia[wheel.get(name, name)] += J
        self.held = solved.machine.drives[role.led_by].shaft if role.led_by else ""
        self.beyond = {stage: _beyond(s, link.child) for link in s.links for stage in link.stages}

    def share(self, stage: str, shaft: str) -> float:
        """Share of an error in a stage that a shaft follows; 1 where inertias are not known, NaN in a loop."""
        if stage not in self.beyond:
            return float("nan")
        far = self.beyond[stage]
        same = {name for name in self.set.shafts if (name in far) == (shaft in far)}
        if self.held:
            return 0.0 if self.held in same else 1.0
        ours = sum(J for name, J in self.inertia.items() if name in same)
        share = float(error.inertia_share(ours, sum(self.inertia.values()) - ours))
        return share if np.isfinite(share) else 1.0


def _beyond(s: ShaftSet, shaft: str) -> set[str]:
    """A shaft and all that hang on it, seen from the root."""
    found = {shaft}
    for link in s.links:  # from the root outwards
        if link.parent in found:
            found.add(link.child)
    return found


@dataclass(slots=True)
class _Twisting:
    """The elastic train, asked for its answer to an error across a stage."""

    net: Network
    modes: Modes
    damped: Damping
    parts: dict[str, int]

    @classmethod
    def of(cls, solved: Solved, net: Network, case: int, stages: set[str]) -> _Twisting | None:
        """None where its stiffness is not known, or nothing in it twists."""
        if net.lacking:
            return None
        most = max((spring.stiffness for spring in net.springs), default=0.0)
        for path in [p for p in net.rigid if p in stages and most > 0]:
            net.springs.append(Spring(path, net.rigid.pop(path), STIFF * most, 1.0, 0.0, "taken as rigid"))
        modes = net.modes()
        if len(modes.omega) == modes.rigid:
            return None
        parts = {spring.part: i for i, spring in enumerate(net.springs)}
        return cls(net, modes, damping(solved, net, modes, case), parts)

    @property
    def lowest(self) -> float:
        """Lowest natural frequency."""
        return float(self.modes.omega[self.modes.rigid])

    def gain(self, stage: str, shaft: str, omega: Array) -> Array:
        """How much the heaviest place of a shaft follows an error across a stage, as if at one shaft, in every draw."""
        ours = [i for i, (name, _) in enumerate(self.net.nodes) if name == shaft]
        node = max(ours, key=lambda i: self.net.mass[i])
        return np.abs(follows(self.modes, self.damped.rate, self.parts[stage], omega)[..., node])


def follows(modes: Modes, rate: Array, spring: int, omega: Array | float) -> npt.NDArray[np.complex128]:
    """Answer of every node, last in shape, to a swing of one radian between the ends of a spring, at omega."""
    push, often = modes.stiffness[spring] * modes.twists[spring], np.asarray(omega)[..., None]
    return np.asarray((push / (modes.omega**2 - often**2 + 1j * often * rate)) @ modes.shapes.T)
