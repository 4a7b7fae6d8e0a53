"""The least weight that starts the train, keeps its speed and runs as long as is wanted, and the drop it needs.

Many masses are solved at once, each a sample of one machine; the smallest that meets all is closed in on.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from typing import Any

import numpy as np
import numpy.typing as npt

from layshaft.machine.kinds import Suspended
from layshaft.machine.model import Machine
from layshaft.machine.schema import Given
from layshaft.mechanics import sizing
from layshaft.study.governors import governors
from layshaft.study.trial import MM, SOLVED, Option, Train, merged, reckoned, rounded_up, tried, written
from layshaft.trace.formula import Trace, given, governs, named, tracing
from layshaft.trace.units import MASS, RATIO, SPEED, TIME, TORQUE, VELOCITY, shown
from layshaft.train import sources
from layshaft.train.assemble import left_over
from layshaft.train.energy import running_time
from layshaft.train.motion.reduced import at_rest
from layshaft.train.solve import Solved, solve

Array = npt.NDArray[np.float64]
CANDIDATES = 33
ROUNDS = 4
REACH = 64.0
"""Candidates lie between the present mass over this and times this."""

FAR = 1e4
"""The same where none of these will do."""

BARELY = 1e-3


@dataclass(frozen=True, slots=True)
class Asked:
    """One want that a heavier weight meets: the path of the want, in words, the least that is asked, and the most."""

    path: str
    words: str
    given: Given
    least: float
    most: float = math.inf
    shaft: str = ""


@dataclass(frozen=True, slots=True)
class LeastWeight:
    """The answer for one weight; NaN where nothing reaches what is wanted."""

    weight: str
    now: float
    mass: float
    decides: str
    drop_now: float
    drop: float
    """Drop that lasts as long as is wanted; NaN where no time is."""

    too_fast: str
    short: str
    option: Option
    sheet: Trace | None


def least_weight(train: Train) -> LeastWeight | None:
    """Size the first weight of a train, all others as they are; None where no want speaks of it."""
    asked = _asked(train)
    if not train.balanced or not asked:
        return None
    name = train.role.weights[0]
    drive: Any = train.machine.drives[name]
    empty = LeastWeight(name, drive.mass.nominal, math.nan, "", drive.drop.nominal, math.nan, "", "", {}, None)
    if not drive.mass.known:
        return replace(empty, short=f"The mass of {name} is not known yet.")
    mass = _least(train, name, asked)
    if not math.isfinite(mass):
        return replace(empty, short=_short(train, name, asked))
    return _answer(train, empty, rounded_up(mass), asked)


def _answer(train: Train, empty: LeastWeight, mass: float, asked: list[Asked]) -> LeastWeight:
    name, path = empty.weight, f"drives.{empty.weight}"
    option: Option = {"set": {f"{path}.mass": written(mass, "kg")}}
    then = tried(train, option)
    fast = _too_fast(then, asked)
    governor = next((g for g in governors(then) if g.option), None) if fast else None
    if governor:
        assert governor.option is not None
        option = merged(option, governor.option)
        then = tried(train, option)
        fast += f" The option sets {governor.load} so that it does not."
    drop = _drop(then, name)
    if drop > empty.drop_now:
        option = merged(option, {"set": {f"{path}.drop": written(rounded_up(drop) / MM, "mm")}})
    decides = _decides(train, name, mass * (1 - BARELY), asked)
    return replace(empty, mass=mass, decides=decides, drop=drop, too_fast=fast, option=option,
                   sheet=_sheet(train, then, name, mass, asked))


# What is wanted --------------------------------------------------------------------------------


def _asked(train: Train) -> list[Asked]:
    """Start ratio and speeds; a speed without an error is the least itself."""
    found = []
    for want in (train.machine.wants or {}).values():
        if want.start_ratio.known:
            found.append(Asked(want.path, "start ratio", want.start_ratio, want.start_ratio.nominal))
        if want.speed.known and want.shaft in train.role.set.ratio:
            error = want.error.nominal if want.error.known else 0.0
            most = want.speed.nominal * (1 + error) if want.error.known else math.inf
            found.append(Asked(want.path, f"speed of {want.shaft}", want.speed, want.speed.nominal * (1 - error),
                               most, want.shaft))
    return found


def _wanted_time(train: Train) -> Given | None:
    times = [w.time_per_winding for w in (train.machine.wants or {}).values() if w.time_per_winding.known]
    return max(times, key=lambda t: t.nominal, default=None)


def _reached(train: Train, solved: Solved, want: Asked) -> tuple[Array, Array]:
    """Smallest and largest of what is asked for, over the parts of a run, by candidate."""
    if not want.shaft:
        assert solved.budget is not None
        ratio = np.asarray(solved.budget.start_ratio[train.role.weights[0]], dtype=float)
        return ratio, ratio
    rows = [i for i, c in enumerate(solved.columns) if i == 0 or c.off]
    speed = np.abs(solved.speed[want.shaft][rows])
    return speed.min(axis=0), speed.max(axis=0)


# The search ------------------------------------------------------------------------------------


def _with_mass(machine: Machine, name: str, masses: Array) -> Machine:
    drive = machine.drives[name]
    sampled = replace(drive.mass, value=masses, middle=drive.mass.nominal)
    return replace(machine, drives=machine.drives | {name: replace(drive, mass=sampled)})


def _meets(train: Train, name: str, masses: Array, asked: list[Asked]) -> npt.NDArray[np.bool_]:
    solved = solve(_with_mass(train.machine, name, masses))
    met = np.ones(masses.shape, np.bool_)
    for want in asked:
        met &= _reached(train, solved, want)[0] >= want.least
    return met


def _least(train: Train, name: str, asked: list[Asked]) -> float:
    now: float = train.machine.drives[name].mass.nominal
    for reach in (REACH, FAR):
        low, high = now / reach, now * reach
        for _ in range(ROUNDS):
            masses = np.geomspace(low, high, CANDIDATES)
            met = _meets(train, name, masses, asked)
            if not met[-1]:
                break
            if met.all():
                return low
            first = int(np.flatnonzero(~met)[-1]) + 1
            low, high = float(masses[first - 1]), float(masses[first])
        else:
            return high
    return math.nan


def _decides(train: Train, name: str, mass: float, asked: list[Asked]) -> str:
    """What a little less would miss."""
    solved = solve(_with_mass(train.machine, name, np.array([mass])))
    return " and ".join(f"{w.words} ({w.path})" for w in asked
                        if not np.all(_reached(train, solved, w)[0] >= w.least))


def _short(train: Train, name: str, asked: list[Asked]) -> str:
    most = train.machine.drives[name].mass.nominal * FAR
    solved = solve(_with_mass(train.machine, name, np.array([most])))
    for want in asked:
        value = float(_reached(train, solved, want)[0].min())
        if not value >= want.least:
            dimension = SPEED if want.shaft else RATIO
            got = shown(value, dimension) if math.isfinite(value) else "an unknown figure"
            return (f"No weight meets {want.path}: even {shown(most, MASS)} give a {want.words} of {got} where "
                    f"{shown(want.least, dimension)} is the least.")
    return "No weight meets what is wanted."


def _too_fast(then: Train, asked: list[Asked]) -> str:
    for want in asked:
        speed = float(_reached(then, then.solved, want)[1].max())
        if speed > want.most:
            return (f"With it {want.shaft} turns at {shown(speed, SPEED)}, faster than the {shown(want.most, SPEED)} "
                    f"of {want.path}.")
    return ""


def _drop(then: Train, name: str) -> float:
    """Drop for the wanted time in the fastest part of the run."""
    wanted, drive = _wanted_time(then), then.machine.drives[name]
    if wanted is None:
        return math.nan
    rows = [i for i, c in enumerate(then.solved.columns) if (i == 0 or c.off) and name not in c.off]
    time = min(float(np.min(running_time(then.solved, name, i))) for i in rows)
    return float(sizing.drop_for(drive.drop.nominal / time, wanted.nominal))


# Sheet -----------------------------------------------------------------------------------------


def _torque(machine: Machine, drive: Suspended, mass: float) -> float:
    """Torque a mass gives at its wheel; it grows evenly with the mass."""
    push = sources.weight_pushes(machine, replace(drive, mass=replace(drive.mass, value=mass)))[0]
    return abs(float(np.mean(push.torque)))


def _sheet(train: Train, then: Train, name: str, mass: float, asked: list[Asked]) -> Trace:
    """The mass each want asks for in closed form; the largest goes, and its drop."""
    drive: Any = train.machine.drives[name]
    gives = _torque(train.machine, drive, mass)
    against = max(_torque(train.machine, drive, 2 * mass) - 2 * gives, 0.0)  # what does not double with the mass
    needs = [(w, _needs(train, name, mass, w)) for w in asked]
    time, speed = _wanted_time(train), _weight_speed(then, name)
    with np.errstate(all="ignore"), tracing() as trace:
        m = reckoned("m_0", "mass taken, by solving the whole machine", MASS, mass)
        T_m = reckoned("T_m", f"torque it gives at the wheel of {name}", TORQUE, gives)
        T_0 = reckoned("T_0", "torque of what hangs against it", TORQUE, against)
        masses = {}
        for k, (want, torque) in enumerate(needs, 1):
            if want.shaft:
                T = reckoned(f"T_{k}", f"torque needed for the least {want.words}", TORQUE, torque)
            else:
                S = given(f"S_{k}", f"wanted: {want.path}", RATIO, want.least, want.given.origin)
                T_a = reckoned(f"T_a{k}", "torque that breaks everything away", TORQUE, torque)
                T = named(f"T_{k}", sizing.torque_to_start(S, T_a))
            masses[want.words] = named(f"m_{k}", sizing.mass_for_torque(T, T_0, T_m, m), f"mass for {want.words}")
        governs("m_w", "least mass in closed form", MASS, masses, SOLVED, pick="largest")
        if time is not None:
            v = reckoned("v", "speed of the weight then", VELOCITY, speed)
            sizing.drop_for(v, given("t", "running time of one drop that is wanted", TIME, time.nominal, time.origin))
    return trace


def _needs(train: Train, name: str, mass: float, want: Asked) -> float:
    """Torque that breaks away, or that the drive wheel needs at the least speed, with this mass."""
    drive: Any = train.machine.drives[name]
    heavy = replace(drive, mass=replace(drive.mass, value=mass))
    machine = replace(train.machine, drives=train.machine.drives | {name: heavy})
    if not want.shaft:
        return at_rest(replace(train.solved, machine=machine), train.root)[1]
    speed = want.least / train.ratio(want.shaft)
    with np.errstate(all="ignore"):
        spare = float(np.mean(left_over(machine, train.role, (drive.shaft, drive.seat), speed)))
    return _torque(train.machine, drive, mass) - spare


def _weight_speed(then: Train, name: str) -> float:
    drive = then.machine.drives[name]
    return float(np.mean(sources.weight_speed(then.machine, drive, then.speed * then.ratio(drive.shaft))))
