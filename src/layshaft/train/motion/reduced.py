"""A set of shafts seen from its root: acceleration by state of the lifts and by speed.

While power keeps its direction through every stage, the root's acceleration is a quadratic in its
speed, A0 + A1 omega + A2 omega^2, one for each combination of lifts that act, or of pieces of a torque by
angle. Only combinations that a run meets are worked out. At the speed at which
the torque through some stage passes zero, that stage begins to be driven backwards and the quadratic
changes. A *band* is a range of speeds with one quadratic; its ends are the zeros of those torques,
found without search. Speeds count along the motion, so all are positive.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING, Any

import numpy as np
import numpy.typing as npt

from layshaft.machine.kinds import PERIODIC, Pulses
from layshaft.machine.model import Machine
from layshaft.train import sources
from layshaft.train.assemble import problem_at
from layshaft.train.balance import ACCELERATION, TORQUE, solve, spelled
from layshaft.train.braking import torques
from layshaft.train.by_angle import pieces_of, repeats
from layshaft.train.cases import Column, Plan
from layshaft.train.known import Work
from layshaft.train.sense import motion
from layshaft.train.shares import link_shares

if TYPE_CHECKING:
    from layshaft.train.solve import Solved

Array = npt.NDArray[np.float64]
State = tuple[int, ...]
"""Which piece of every lift acts, by number: of pulses 1 in the lift and 0 after it."""

MOST_BANDS = 60
NEXT = 1e-9
"""Share of a speed by which the next end of a band must lie above it."""


@dataclass(frozen=True, slots=True)
class Setting:
    """What differs from act to act."""

    off: frozenset[str] = frozenset()
    """Loads that are not engaged."""

    landed: frozenset[str] = frozenset()
    """Weights that stand on the floor."""

    pull: tuple[tuple[str, float], ...] = ()
    """Factor on the strands of each weight that is brought up to speed."""

    brake: str = ""
    """Brake that is put on."""


ALL_ENGAGED = Setting()


@dataclass(frozen=True, slots=True)
class Joint:
    """A link of the set: its stages, its outer and inner shaft and their speeds for one of the root, along the motion.

    `inward` and `outward` are the shares of power that get through towards the root and away from it.
    """

    stages: tuple[str, ...]
    child: str
    parent: str
    child_turns: float
    parent_turns: float
    inward: float
    outward: float


@dataclass(frozen=True, slots=True)
class Lift:
    """One train of pulses: root angle from lift to lift and of one lift, torque on its shaft while it lifts.

    A torque by angle is one too, with more pieces: `starts` are root angles at which they begin, `numbers` which
    of the `torques` each is. `missed` is the energy its torque swings by within a piece, unseen.
    """

    load: str
    shaft: str
    seat: str
    pitch: float
    over: float
    torque: float
    starts: tuple[float, ...]
    numbers: tuple[int, ...]
    torques: tuple[float, ...]
    missed: float = 0.0

    @property
    def drops(self) -> bool:
        """Whether it is lifted and let go, so that its drops can be told."""
        return len(self.numbers) > 1 and self.torques[0] == 0 and self.numbers == (1, 0)

    @property
    def mean(self) -> float:
        """Mean torque on its shaft."""
        spans = np.diff([*self.starts, self.pitch])
        return float(np.dot(spans, [self.torques[n] for n in self.numbers]) / self.pitch)


@dataclass(frozen=True, slots=True)
class Band:
    """Acceleration A0 + A1 omega + A2 omega^2 of the root from one speed to another.

    `passed[i]` is the torque link i puts on its outer shaft, as the same three terms.
    """

    low: float
    high: float
    a: tuple[float, float, float]
    passed: tuple[tuple[float, float, float], ...]
    inward: tuple[bool, ...] = ()
    """Whether power comes towards the root through each link."""

    def at(self, omega: Any) -> Any:
        """Acceleration at a speed."""
        return self.a[0] + self.a[1] * omega + self.a[2] * omega**2


@dataclass(slots=True)
class Reduced:
    """One set: its lifts, its bands by state (one entry a lift, the first lift first), and its running speed.

    `bands` holds the states met so far, from the start those of the largest and of the smallest torque of all.
    """

    root: str
    lifts: tuple[Lift, ...]
    bands: dict[State, list[Band]]
    running: float
    at_rest: float
    """Acceleration with which it sets off from rest, losses at rest counted; not above 0: it stays."""

    machine: Machine
    """The machine of this setting: a weight that stands on the floor has no mass in it."""

    setting: Setting
    joints: tuple[Joint, ...]
    law: Callable[[State], list[Band]]

    def band(self, state: State, omega: float) -> Band:
        """The band of a state that holds a speed."""
        bands = self.bands.get(state)
        if bands is None:
            bands = self.bands[state] = self.law(state)
        return next((b for b in bands if omega <= b.high), bands[-1])


def reduce(solved: Solved, root: str, setting: Setting = ALL_ENGAGED) -> Reduced:
    """The running set seen from its root, at the nominal machine, in one setting.

    Raises `ValueError` for a set whose speed is decided (a crank or motor leads it) or that nothing drives.
    """
    role = solved.roles[root]
    if role.led_by or role.free or not role.weights:
        raise ValueError(f"the speed of {root} is decided, not balanced: nothing about it to simulate")
    return seen_from(solved, root, setting, motion(solved.machine, role))


def seen_from(solved: Solved, root: str, setting: Setting, sense: float) -> Reduced:
    """A set seen from its root, turning in a sense with nobody leading it: driven by what hangs on it, if anything."""
    role = solved.roles[root]
    lifts = tuple(_lift(solved, root, name) for name, load in solved.machine.loads.items()
                  if isinstance(load, PERIODIC) and load.shaft in role.set.ratio and name not in setting.off)
    machine = _with_landed(solved.machine, setting.landed)
    running = problem_of(solved, machine, root, setting, at_rest=False, sense=sense)
    resting = problem_of(solved, machine, root, setting, at_rest=True, sense=sense)
    c, links = spelled(running, 0)
    seen = [(list(role.set.shafts).index(lift.shaft), np.sign(role.set.ratio[lift.shaft]) * running.motion)
            for lift in lifts]

    def law(state: State) -> list[Band]:
        """Without anything that lifts, and then with what does."""
        net = c.copy()
        for lift, (k, sign), piece in zip(lifts, seen, state, strict=True):
            net[0, k] -= lift.torques[piece] * sign
        return _bands(net, links, running.motion)

    ends = [tuple(int(pick(lift.torques)) for lift in lifts) for pick in (np.argmin, np.argmax)]
    at_rest = _bands(*spelled(resting, 0), resting.motion)[0].a[0]
    bands = {state: law(state) for state in ends}
    return Reduced(root, lifts, bands, abs(float(solved.speed[root][0].mean())), at_rest, machine, setting,
                   _joints(machine, role, running.motion), law)


def _with_landed(machine: Machine, landed: frozenset[str]) -> Machine:
    """On the floor a weight neither pulls nor moves; what else hangs in its loop goes on doing both."""
    down: dict[str, Any] = {}
    for name in landed:
        drive = machine.drives[name]
        down[name] = replace(drive, mass=replace(drive.mass, value=0.0))
    return replace(machine, drives=machine.drives | down) if down else machine


def _joints(machine: Machine, role: Any, sense: float) -> tuple[Joint, ...]:
    found = []
    for link in role.set.links:
        outward, inward = link_shares(machine, link)
        child, parent = (role.set.ratio[shaft] * sense for shaft in (link.child, link.parent))
        found.append(Joint(link.stages, link.child, link.parent, child, parent, float(np.mean(inward)),
                           float(np.mean(outward))))
    return tuple(found)


def _lift(solved: Solved, root: str, name: str) -> Lift:
    load: Any = solved.machine.loads[name]
    ratio = abs(solved.sets[root].ratio[load.shaft])
    pitch = 2 * np.pi / repeats(load) / ratio
    torque = float(np.mean(sources.resisting_torque(solved.machine, load, "lifts")))
    if isinstance(load, Pulses):
        over = load.over.nominal / ratio
        return Lift(name, load.shaft, load.seat, pitch, over, torque, (0.0, over), (1, 0), (0.0, torque))
    pieces = pieces_of(solved.machine, load)
    return Lift(name, load.shaft, load.seat, pitch, pitch, torque, tuple(s / ratio for s in pieces.starts),
                tuple(range(len(pieces.torques))), pieces.torques, pieces.missed)


def problem_of(solved: Solved, machine: Machine, root: str, setting: Setting, *, at_rest: bool,
               sense: float = 0.0) -> Any:
    """The balance with nothing that lifts, at rest with every cam in its lift; its acceleration is unknown."""
    role = solved.roles[root]
    plan = Plan(ACCELERATION, loads="at rest" if at_rest else "still", off=setting.off, at_rest=at_rest)
    columns = [Column("motion", "motion", {root: plan}, pull=dict(setting.pull))]
    still = np.zeros(solved.samples)
    work = Work(machine, role, columns, solved.samples, sense or motion(solved.machine, role), still, still)

    def besides(w: Work) -> None:
        if setting.brake:
            load, torque = machine.loads[setting.brake], brake_torque(machine, setting.brake, w.sign)
            w.add(load.shaft, load.seat, -torque * w.sign(load.shaft))

    found = problem_at(work, columns, besides)
    if role.winds:  # what hangs in the loop moves with the winding wheel
        drive = machine.drives[role.winds]
        found.inertia[drive.rewound_from] = found.inertia.get(drive.rewound_from, 0.0) + sources.weight_inertia(
            machine, drive)
    return found


def at_rest(solved: Solved, root: str, setting: Setting = ALL_ENGAGED) -> tuple[float, float]:
    """Torque the first weight of a set gives at its wheel at rest, and what breaks everything away there."""
    role = solved.roles[root]
    drive = solved.machine.drives[role.weights[0]]
    plan = Plan(TORQUE, drive.shaft, drive.seat, loads="at rest", at_rest=True, turning=False, off=setting.off)
    column = Column("at rest", "at rest", {root: plan})
    still = np.zeros(solved.samples)
    work = Work(solved.machine, role, [column], solved.samples, motion(solved.machine, role), still, still)
    spare = float(np.mean(solve(problem_at(work, [column], lambda _: None)).unknown[0]))
    gives = abs(float(np.mean(sources.weight_pushes(solved.machine, drive)[0].torque)))
    return gives, gives - spare


def brake_torque(machine: Machine, name: str, sign: Any) -> float:
    """What a brake rubs with at its stated friction, in the sense its shaft turns."""
    load = machine.loads[name]
    return float(np.mean(torques(load)[0 if sign(load.shaft) > 0 else 1]))


# Bands -----------------------------------------------------------------------------------------


Links = list[tuple[int, int, float, float, float]]


def _bands(c: Array, links: Links, motion: float) -> list[Band]:
    """From rest upwards, band by band: each ends where the torque through some stage passes zero."""
    if not np.isfinite(c).all():
        return [Band(0.0, np.inf, (np.nan, np.nan, np.nan), ((np.nan, np.nan, np.nan),) * len(links))]
    found: list[Band] = []
    low = 0.0
    while len(found) < MOST_BANDS:
        a, passed, inward, through = _settled(c, links, motion, low * (1 + 2 * NEXT) + NEXT * (low == 0))
        above = low * (1 + 4 * NEXT) + 4 * NEXT
        high = min((root for t in through for root in _zeros(t) if root > above), default=np.inf)
        found.append(Band(low, high, a, passed, inward))
        if not np.isfinite(high):
            break
        low = high
    return found


def _settled(c: Array, links: Links, motion: float, omega: float) -> tuple[
        tuple[float, float, float], tuple[tuple[float, float, float], ...], tuple[bool, ...], list[Array]]:
    """The quadratic of the acceleration at a speed, what every link passes on, and the torque through it."""
    inward = [True] * len(links)
    for _ in range(2 * len(links) + 2):
        at_root, through = _eliminated(c, links, inward)
        a = -at_root[:3] * motion / (at_root[3] * motion)
        torques = [t[:3] + t[3] * a for t in through]
        now = [bool((t[0] + t[1] * omega + t[2] * omega**2) * sense > 0)
               for t, (_, _, sense, _, _) in zip(torques, links, strict=True)]
        if now == inward:
            break
        inward = now
    passed = tuple((-float(t[0]), -float(t[1]), -float(t[2])) for t in torques)
    return (float(a[0]), float(a[1]), float(a[2])), passed, tuple(inward), torques


def _eliminated(c: Array, links: Links, inward: list[bool]) -> tuple[Array, list[Array]]:
    """The four terms left over at the root, and those through every link, for one choice of directions."""
    net, through = c.copy(), [c[:, 0]] * len(links)
    for i in range(len(links) - 1, -1, -1):
        child, parent, _, into, out = links[i]
        through[i] = net[:, child].copy()
        net[:, parent] += through[i] * (into if inward[i] else out)
    return net[:, 0], through


def _zeros(t: Array) -> list[float]:
    """Real zeros of a torque as a function of the speed."""
    t0, t1, t2 = (float(x) for x in t)
    if t2 == 0:
        return [-t0 / t1] if t1 else []
    under = t1 * t1 - 4 * t2 * t0
    if under < 0:
        return []
    q = -(t1 + np.copysign(np.sqrt(under), t1)) / 2
    return [q / t2, *([t0 / q] if q else [])]
