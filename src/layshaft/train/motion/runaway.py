"""What follows when one element of a running train is lost, over time: every shaft of every part it falls into.

The part with a weight runs away until something holds it back or the weight is down, and then runs on until it
stands; every part without one runs down from the speed it had. Each is stepped exactly, like a run. A weight
that was going up with the part, or that somebody winds, begins to sink from rest.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING, Any

import numpy as np
import numpy.typing as npt

from layshaft.elements.hanging_load import fall_speed
from layshaft.machine.kinds import Brake, EndlessLoop
from layshaft.mechanics.drives import turning_energy
from layshaft.train import sources
from layshaft.train.graph import ShaftSet, shaft_sets
from layshaft.train.motion.reduced import Setting, seen_from
from layshaft.train.motion.run import STOPS, Log, Motion, Now, advance
from layshaft.train.motion.way import BOTTOM, Hoist, Way
from layshaft.train.roles import Role
from layshaft.train.runaway.freed import Freed, freed_by
from layshaft.train.runaway.losses import BY_ITSELF, Loss, hangs_on, start_of

if TYPE_CHECKING:
    from layshaft.train.solve import Solved

Array = npt.NDArray[np.float64]
LONGEST = 3600.0
"""s; what turns for longer after the loss than this is not followed to its end."""

LEAST = 1e-6
HELD, STAYS, DOWN, STANDS, ON, AT_ONCE, UP = (
    "it is held", "it does not move", "the weight is down", "all of it stands", "it still turns after an hour",
    "nothing with a moment of inertia turns in it: it stands at once", "a weight is wound up to its top")


@dataclass(slots=True)
class Part:
    """One part that a loss leaves: its shafts with their speed over that of its root, and how it goes on."""

    root: str
    ratio: dict[str, float]
    freed: Freed | None
    """The weight in it; None where it only runs down."""

    begins: float
    """Speed of its root at the loss, rad/s."""

    stores: dict[str, tuple[str, float]]
    """Everything in it with a moment of inertia: its shaft, and that moment."""

    motion: Motion | None = None
    ended: str = AT_ONCE
    landed: float = np.nan
    """Time after the loss at which the weight is down."""

    hits: float = np.nan
    """Speed of its root then."""

    turns_back: bool = False
    """Whether what still hangs in a loop turns it back once it stands."""

    @property
    def fastest(self) -> float:
        """Largest speed of its root."""
        return self.begins if self.motion is None else float(self.motion.omega.max())

    @property
    def fastest_at(self) -> float:
        """When that is."""
        return 0.0 if self.motion is None else float(self.motion.time[int(np.argmax(self.motion.omega))])

    @property
    def lasts(self) -> float:
        """Time until nothing of it turns, as far as it was followed."""
        return 0.0 if self.motion is None else float(self.motion.time[-1])

    def speed(self, time: Array) -> Array:
        """Speed of its root at times after the loss."""
        if self.motion is None:
            return np.where(np.asarray(time) > 0, 0.0, self.begins)
        rests = 0.0 if self.ended in (STANDS, STAYS, AT_ONCE) else float(self.motion.omega[-1])
        return np.where(time > self.motion.time[-1], rests, np.nan_to_num(
            self.motion.at_time(np.minimum(time, self.motion.time[-1]))[1]))

    def stored(self, omega: float) -> dict[str, float]:
        """Energy in every wheel at a speed of the root, J."""
        return {name: float(turning_energy(J, omega * self.ratio[shaft])) for name, (shaft, J) in self.stores.items()}


@dataclass(slots=True)
class RunAway:
    """All that follows when one element is lost."""

    solved: Solved
    loss: Loss
    parts: list[Part]
    lacking: str = ""
    """Why nothing can be told; blank if it can."""

    @property
    def falls(self) -> tuple[float, float]:
        """Speed and energy with which a weight lands that comes off what it hangs on; NaN for any other loss."""
        drive = self.solved.machine.drives.get(self.loss.weight)
        if drive is None:
            return np.nan, np.nan
        v = float(fall_speed(drive.drop.nominal, self.solved.machine.gravity.nominal))
        return v, float(drive.mass.nominal) * v**2 / 2


def run_away(solved: Solved, loss: Loss) -> RunAway:
    """Follow what is left of a set after a loss until all of it stands; the nominal machine."""
    found, before = freed_by(solved, loss), freed_by(solved, Loss("", "", loss.root))
    lacking = next((f.lacking for f in found if f.lacking), "")
    if not lacking and any(np.isnan(np.mean(f.begins)) for f in found):
        lacking = "the machine does not run, or it is not known how fast"
    with np.errstate(all="ignore"):
        return RunAway(solved, loss, [] if lacking else list(_parts(solved, loss, found, before)),
                       lacking)


def _parts(solved: Solved, loss: Loss, found: list[Freed], before: list[Freed]) -> Iterator[Part]:
    whole, role = solved.sets[loss.root], solved.roles[loss.root]
    cut = replace(solved.machine, stages={n: t for n, t in solved.machine.stages.items() if n not in loss.out})
    roots = [f.start for f in found]
    first = next((f for f in before if f.forward), None)
    for s in shaft_sets(cut, [*roots, *(n for n in whole.shafts if n not in roots)]):
        if s.root not in whole.ratio:
            continue
        here = next((f for f in found if f.start in s.ratio), None)
        begins = _before(whole, first, s.root) if here is None or here.forward else 0.0
        if here is None and not begins > 0:
            continue
        yield _followed(solved, cut, _Left(loss, role, s, here, begins))


def _before(whole: ShaftSet, first: Freed | None, root: str) -> float:
    """Speed at the loss, from that of the shaft whose weight drives the run."""
    return 0.0 if first is None else float(np.mean(first.begins)) * abs(whole.ratio[root] / whole.ratio[first.start])


@dataclass(slots=True)
class _Left:
    """One part before it is followed."""

    loss: Loss
    role: Role
    set: ShaftSet
    freed: Freed | None
    begins: float

    @property
    def weights(self) -> tuple[str, ...]:
        """Weights that hang on it."""
        return tuple(w for w in self.role.weights if w != self.loss.weight)

    def own_role(self, machine: Any) -> Role:
        """What drives it: its weights alone, nobody at a crank."""
        winds = self.role.winds if self.role.winds and machine.drives[
            self.role.winds].rewound_from in self.set.ratio and self.role.winds != self.loss.weight else ""
        on = tuple(w for w in self.weights if machine.drives[w].shaft in self.set.ratio)
        return replace(self.role, set=self.set, weights=on, led_by="", winds=winds, ratchet="", free="")


def _followed(solved: Solved, cut: Any, left: _Left) -> Part:
    from layshaft.train.solve import Solved as Whole

    s, f, role = left.set, left.freed, left.own_role(solved.machine)
    off = f.off if f is not None else left.loss.off
    stores = {n: (load.shaft, float(np.mean(sources.inertia(load)))) for n, load in solved.machine.loads.items()
              if load.shaft in s.ratio and n not in off and np.any(sources.inertia(load) != 0)}
    part = Part(s.root, {n: abs(r) for n, r in s.ratio.items()}, f, left.begins, stores)
    if f is not None and f.holders:
        part.ended = HELD
        return part
    if f is None and not stores:
        return part
    seen = Whole(cut, [], {s.root: s}, {s.root: role}, solved.samples, speed={s.root: np.full((1, 1), left.begins)})
    brake = _rubs(solved, left) if f is not None and not f.forward else ""
    _step(part, seen, Setting(off=off, brake=brake), _sense(solved, left), _hoists(solved, left, role))
    return part


def _rubs(solved: Solved, left: _Left) -> str:
    """A brake that is on by itself and does not hold, but rubs."""
    return next((n for n, load in solved.machine.loads.items() if isinstance(load, Brake) and load.shaft
                 in left.set.ratio and load.put_on_by in BY_ITSELF and n not in left.loss.off), "")


def _sense(solved: Solved, left: _Left) -> float:
    """Sense in which its root turns."""
    if left.freed is None or left.freed.forward:
        return float(np.sign(np.mean(solved.speed[left.set.root][0]))) or 1.0
    drive = solved.machine.drives[left.freed.weight]
    down = sources.turning_sense(solved.machine, drive, left.freed.start)
    return float(down if left.freed.start == drive.shaft else -down) or 1.0


def _hoists(solved: Solved, left: _Left, role: Role) -> dict[str, Hoist]:
    machine, found = solved.machine, {}
    root = _sense(solved, left)
    for name in hangs_on(role) if left.freed is not None else ():
        drive = machine.drives[name]
        shaft = start_of(role, drive)
        arm = float(np.mean(sources.weight_speed(machine, drive, abs(left.set.ratio[shaft]))))
        down = sources.turning_sense(machine, drive, shaft) * (1 if shaft == drive.shaft else -1)
        sinks = down * np.sign(left.set.ratio[shaft]) * root > 0
        top = drive.drop.nominal
        found[name] = Hoist(name, arm if sinks else -arm, top if sinks else 0.0, top)
    return found


def _step(part: Part, seen: Solved, setting: Setting, sense: float, hoists: dict[str, Hoist]) -> None:
    """Go on until all stands, landing one weight after the other."""
    log, now = Log(), Now(0.0, 0.0, part.begins**2)
    part.ended = ""
    while not part.ended:
        r = seen_from(seen, part.root, setting, sense)
        hanging = tuple(h for n, h in hoists.items() if n not in setting.landed)
        laws = [x for bands in r.bands.values() for band in bands for x in band.a]
        if not np.isfinite(laws).all():
            part.ended = STANDS if setting.landed else AT_ONCE
        elif now.y <= LEAST**2 and not r.at_rest > 0:
            part.ended = STANDS if part.begins > 0 or log.edges else STAYS
        else:
            why = advance(r, log, now, LONGEST, Way(np.inf, hanging))
            if why == BOTTOM:
                down = min(hanging, key=lambda h: h.height(now.time, now.angle)).weight
                setting = replace(setting, landed=setting.landed | {down})
                if np.isnan(part.landed):
                    part.landed, part.hits = now.time, float(np.sqrt(now.y))
            else:
                part.ended = STANDS if why == STOPS else ON if now.time >= LONGEST * (1 - 1e-9) else UP
                now.y = 0.0 if why == STOPS else now.y
    part.turns_back = part.ended == STANDS and bool(setting.landed) and seen_from(
        seen, part.root, setting, -sense).at_rest > 0
    if log.edges:
        part.motion = log.motion(now, part.root, (), [], part.ended)


# Landing ---------------------------------------------------------------------------------------


@dataclass(frozen=True, slots=True)
class Landing:
    """A weight that comes down on the floor, and what goes on above it. SI."""

    weight: str
    speed: float
    energy: float
    """Energy of its own motion that the floor must take."""

    falls: float
    """Height of a free fall that ends as fast."""

    lasts: float
    """Time for which what turns runs on."""

    slack: float
    """Chain or rope that runs off meanwhile and hangs slack."""

    counterweight: float
    """Mass that goes on hanging in its loop; 0 without one."""

    turns_back: bool
    """Whether that mass turns the train back once it stands."""


def landing(solved: Solved, part: Part) -> Landing | None:
    """What happens as the weight of a part comes down; None where it does not."""
    if part.freed is None or part.motion is None or not np.isfinite(part.landed):
        return None
    machine, f = solved.machine, part.freed
    drive = machine.drives[f.weight]
    v = float(np.mean(sources.weight_speed(machine, drive, part.hits * part.ratio[f.start])))
    angle = float(part.motion.angle[-1] - part.motion.at_time(np.array([part.landed]))[0][0])
    slack = float(np.mean(sources.weight_speed(machine, drive, angle * part.ratio[f.start]))) * sources.falls(drive)
    counter = float(drive.counterweight.nominal) if isinstance(drive, EndlessLoop) else 0.0
    return Landing(f.weight, v, float(drive.mass.nominal) * v**2 / 2, v**2 / 2 / machine.gravity.nominal,
                   part.lasts - part.landed, slack, counter, counter > 0 and part.turns_back)


@dataclass(frozen=True, slots=True)
class WoundTooFar:
    """A counterweight that comes down as its weight is wound too high."""

    weight: str
    crank: str
    speed: float
    energy: float


def wound_too_far(solved: Solved) -> Iterator[WoundTooFar]:
    """For every loop that somebody winds: how its counterweight comes down."""
    machine = solved.machine
    for role in solved.roles.values():
        if role.winds and role.led_by:
            loop, crank = machine.drives[role.winds], machine.drives[role.led_by]
            ratio = abs(role.set.ratio[loop.rewound_from] / role.set.ratio[crank.shaft])
            v = float(np.mean(sources.weight_speed(machine, loop, crank.speed.nominal * ratio)))
            yield WoundTooFar(role.winds, role.led_by, v, float(loop.counterweight.nominal) * v**2 / 2)
