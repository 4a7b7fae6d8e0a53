"""The programme of a run as the simulation takes it: numbers in SI at the nominal machine, names looked up."""

from __future__ import annotations

from dataclasses import dataclass, field
from itertools import pairwise
from typing import TYPE_CHECKING, Any

import numpy as np

from layshaft.machine.errors import MachineErrors, Problem
from layshaft.machine.kinds import Braking, EndlessLoop
from layshaft.machine.kinds import WindingBout as BoutInFile
from layshaft.machine.schema import Thing
from layshaft.machine.sentences import programme as say
from layshaft.trace.errors import BadInput
from layshaft.trace.units import FORCE, shown
from layshaft.train import sources
from layshaft.train.cases import MEAN_WINDING

if TYPE_CHECKING:
    from layshaft.train.solve import Solved


@dataclass(frozen=True, slots=True)
class Change:
    """From here on other loads are engaged: from a time, or from an angle of the root (the other is endless)."""

    name: str
    time: float
    angle: float
    off: frozenset[str]


@dataclass(frozen=True, slots=True)
class Bout:
    """Someone winds a weight in a loop: the handle is brought up to `speed` in `ramp`, and eased off as briskly."""

    name: str
    weight: str
    crank: str
    time: float
    lasts: float
    speed: float
    rises: float
    """Speed the weight is lifted with, apart from its sinking."""

    ramp: float
    unevenness: float


@dataclass(frozen=True, slots=True)
class Hold:
    """A brake is put on, and let go after `lasts`."""

    name: str
    brake: str
    time: float
    lasts: float


@dataclass(frozen=True, slots=True)
class Programme:
    """One run of the train with a root, from rest to a time (endless: until a weight is down and all is still)."""

    root: str
    time: float = np.inf
    height: float = np.nan
    """Height of the weights at the start; NaN: wound up."""

    changes: tuple[Change, ...] = ()
    bouts: tuple[Bout, ...] = ()
    holds: tuple[Hold, ...] = field(default=())


def programme_of(solved: Solved, time: float | None = None) -> Programme:
    """What the machine file asks for; `time` overrides its length. Raises `BadInput`."""
    asked = solved.machine.programme
    root = _root(solved, asked.shaft)
    problems: list[Problem] = []
    inside = solved.sets[root].ratio
    for act in asked.acts.values():
        _on_train(problems, act, "without", act.without, solved.machine.loads, root, inside)
        if act.turns_of and act.turns_of not in inside:
            problems.append(Problem(act.mark, say.not_on_the_train(f"{act.path}.turns of", act.turns_of, root)))
    for braking in asked.brakes.values():
        _on_train(problems, braking, "brake", (braking.brake,), solved.machine.loads, root, inside)
    _one_brake_at_a_time(problems, list(asked.brakes.values()))
    bouts = tuple(bout for b in asked.winding.values() for bout in _bout(solved, root, b, problems))
    if problems:
        raise MachineErrors(problems)
    changes = tuple(Change(a.name, a.at.nominal if a.at.known else np.inf,
                           a.after.nominal * 2 * np.pi / abs(inside[a.turns_of]) if a.after.known else np.inf,
                           frozenset(a.without)) for a in asked.acts.values())
    holds = tuple(Hold(b.name, b.brake, b.at.nominal, b.lasts.nominal if b.lasts.known else np.inf)
                  for b in asked.brakes.values())
    lasts = time if time is not None else asked.time.nominal if asked.time.known else np.inf
    return Programme(root, lasts, asked.height.nominal, changes, bouts, holds)


def _root(solved: Solved, shaft: str) -> str:
    """The train to run: the one named, else the only one that weights drive."""
    driven = [root for root, r in solved.roles.items() if r.weights and not r.led_by]
    if shaft and solved.set_of(shaft).root in driven:
        return solved.set_of(shaft).root
    if not driven or shaft:
        led = [r for r in solved.roles.values() if r.led_by]
        raise BadInput(say.nothing_to_run([r.led_by for r in led], [w for r in led for w in r.weights]))
    if len(driven) > 1:
        raise BadInput(say.which_train(driven))
    return driven[0]


def _on_train(problems: list[Problem], thing: Thing, key: str, names: tuple[str, ...], loads: Any, root: str,
              inside: Any) -> None:
    for name in names:
        if loads[name].shaft not in inside:
            problems.append(Problem(thing.mark, say.not_on_the_train(f"{thing.path}.{key}", name, root)))


def _one_brake_at_a_time(problems: list[Problem], brakes: list[Braking]) -> None:
    """Brakes that are on together would have to share the heat and the stop: none of that is reckoned."""
    for first, then in pairwise(sorted(brakes, key=lambda b: b.at.nominal)):
        if not first.lasts.known or first.at.nominal + first.lasts.nominal > then.at.nominal:
            problems.append(Problem(then.mark, say.brake_is_on(then.path, first.path)))


def _bout(solved: Solved, root: str, asked: BoutInFile, problems: list[Problem]) -> list[Bout]:
    """The bout, or a problem noted."""
    machine, crank = solved.machine, solved.machine.drives[asked.crank]
    s = solved.set_of(crank.shaft)
    name = solved.roles[s.root].winds
    if name not in solved.roles[root].weights or solved.roles[s.root].led_by != asked.crank:
        problems.append(Problem(asked.mark, say.no_loop(f"{asked.path}.crank", asked.crank)))
        return []
    loop = machine.drives[name]
    assert isinstance(loop, EndlessLoop)
    speed = (asked.speed if asked.speed.known else crank.speed).nominal
    rises = float(np.mean(sources.weight_speed(machine, loop, speed * s.ratio[loop.rewound_from]
                                               / s.ratio[crank.shaft])))
    lasts = (asked.lasts if asked.lasts.known else crank.bout).nominal
    ramp = crank.run_up.nominal if crank.run_up.known else 0.0
    if asked.force.known:
        needed = handle_force(solved, asked.crank)
        if not asked.force.nominal > needed:
            problems.append(Problem(asked.force.mark, say.push_too_weak(
                asked.force.path, shown(asked.force.nominal, FORCE), shown(needed, FORCE), asked.crank)))
            return []
        ramp = rises / ((asked.force.nominal / needed - 1) * machine.gravity.nominal)
    if not np.isfinite([speed, rises, lasts, ramp]).all():
        problems.append(Problem(asked.mark, say.not_known(f"speed, wheel or length of {asked.path}")))
        return []
    unevenness = asked.unevenness.nominal if asked.unevenness.known else 0.0
    return [Bout(asked.name, name, asked.crank, asked.at.nominal, lasts, speed, rises, min(ramp, lasts / 2),
                 unevenness)]


def handle_torque(solved: Solved, crank: str) -> float:
    """Torque at the handle that winds while the machine runs, from the solved winding case."""
    drive = solved.machine.drives[crank]
    column = next(i for i, c in enumerate(solved.columns) if c.title == MEAN_WINDING)
    return float(np.mean(np.abs(solved.seat_torque[drive.shaft][drive.seat][column])))


def handle_force(solved: Solved, crank: str) -> float:
    """The same as a push on the handle."""
    return handle_torque(solved, crank) / solved.machine.drives[crank].radius.nominal
