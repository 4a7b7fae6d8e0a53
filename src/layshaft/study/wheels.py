"""The smallest flywheel for the swing that is wanted, shaft by shaft, and what it costs there.

The wheels the train has are taken off first, so that the answers compare places, not additions.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator
from dataclasses import dataclass, replace
from typing import Any

import numpy as np
from scipy.optimize import brentq

from layshaft.elements import flywheel
from layshaft.machine.kinds import Flywheel
from layshaft.mechanics import drives, inertia, motion, sizing
from layshaft.mechanics.rotating import rim_speed
from layshaft.study.trial import (
    ASKED,
    CLOSE,
    MM,
    SOLVED,
    Option,
    Train,
    bodies,
    free_name,
    merged,
    new_seat,
    reckoned,
    rounded_up,
    shape_of,
    swing_in_search,
    swing_of,
    target,
    total_inertia,
    tried,
    written,
)
from layshaft.trace.formula import Trace, given, named, total, tracing
from layshaft.trace.source import Source
from layshaft.trace.units import (
    DAMPING,
    DENSITY,
    ENERGY,
    INERTIA,
    LENGTH,
    RATIO,
    SPEED,
    TORQUE_PER_SPEED_SQUARED,
)
from layshaft.train import sources
from layshaft.train.by_angle import curve_of
from layshaft.train.cases import STOPPED
from layshaft.train.limits import runs_on

STEEL = Source("steel", "density, handbooks", "common practice")
STEEL_DENSITY = 7850.0
NEW = "swing wheel"

MOST = 1e12


@dataclass(frozen=True, slots=True)
class Blow:
    """The stage whose torque grows or falls most where a shaft is stopped dead, without and with the wheel."""

    stage: str
    jam: str
    without: float
    then: float


@dataclass(frozen=True, slots=True)
class Wheel:
    """One place. `ratio` is the speed of the shaft over that of the root; times in s, sizes of a steel disc."""

    shaft: str
    ratio: float
    inertia: float
    diameter: float
    thickness: float
    mass: float
    rim_speed: float
    energy: float
    settling: float
    swing_then: float
    half: float
    """Swing with a wheel half as large."""

    blow: Blow | None
    reverses: tuple[str, ...]
    """Stages in which the torque turns round between lift and drop."""

    option: Option
    sheet: Trace
    why_not: str = ""


@dataclass(frozen=True, slots=True)
class Wheels:
    """All places, the lightest disc first; `without` is the swing with no wheel, `settling` its settling time."""

    without: float
    settling: float
    removed: tuple[str, ...]
    found: tuple[Wheel, ...]
    needed: bool
    option: Option
    """What takes the wheels off, where none is needed."""


def wheels(train: Train, thickness: float, told: Callable[[], None] = lambda: None) -> Wheels:
    """Size one flywheel on each shaft in turn; `told` hears of each."""
    there = {n: load for n, load in train.machine.loads.items()
             if isinstance(load, Flywheel) and load.shaft in train.role.set.ratio}
    off: Option = {"remove": [f"loads.{n}" for n in there]} if there else {}
    bare = tried(train, off)
    without = swing_of(bare)
    if not train.swing > 0 or without <= train.swing or math.isnan(without):
        return Wheels(without, _settling(bare), tuple(there), (), False, off if train.swing > 0 else {})
    found = []
    for shaft in train.role.set.shafts:
        found.append(_on(bare, shaft, there, thickness))
        told()
    order = sorted(found, key=_rank)
    return Wheels(without, _settling(bare), tuple(there), tuple(order), True, {})


def _rank(wheel: Wheel) -> tuple[bool, float, bool]:
    """The lightest first; of equal ones that which needs no new seat."""
    return bool(wheel.why_not), float(f"{wheel.mass:.3g}") if wheel.mass > 0 else MOST, "add" in wheel.option


def _on(bare: Train, shaft: str, there: dict[str, Flywheel], thickness: float) -> Wheel:
    """One shaft, the train bare of wheels."""
    nothing = Wheel(shaft, bare.ratio(shaft), *(math.nan,) * 9, None, (), {}, Trace())
    behind = next((stage for load in bare.uneven
                   for far, stage in runs_on(bare.machine, bare.role.set, load.shaft).items() if far == shaft), "")
    if behind:
        return replace(nothing, why_not=f"it runs on behind {behind} and gives nothing back to the lift")
    if not bare.ratio(shaft) > 0:
        return replace(nothing, why_not="its speed is not known yet")
    place = _place(bare, shaft, there)
    J = _needed(tried(bare, _added(place, 1.0, 1.0)), place.load, counting=_fits(bare))
    if not math.isfinite(J):
        return replace(nothing, why_not="no wheel on it brings the swing down far enough")
    return _priced(bare, place, rounded_up(J), thickness)


def _fits(train: Train) -> bool:
    """True where the shape of the train leaves something of the swing for the pulses."""
    return shape_of(train) < train.wanted


@dataclass(frozen=True, slots=True)
class _Place:
    """Where a wheel goes: its seat, and of the wheels that were there the plain one it takes the place of."""

    shaft: str
    load: str
    seat: str
    new_seat: Option
    instead: str
    others: tuple[str, ...]


def _place(bare: Train, shaft: str, there: dict[str, Flywheel]) -> _Place:
    """The seat of a wheel that was there, or a new one in the widest gap between seats."""
    load = free_name(NEW, bare.machine.loads)
    for name, wheel in there.items():
        if wheel.shaft == shaft:
            plain = "" if wheel.made_of else name
            return _Place(shaft, load, wheel.seat, {}, plain, tuple(n for n in there if n != plain))
    seat, new = new_seat(bare.machine, shaft, NEW)
    return _Place(shaft, load, seat, new, "", tuple(there))


def _sizes(J: float, diameter: float) -> dict[str, str]:
    mass = float(sizing.disc_mass(J, diameter))
    return {"inertia": written(J, "kg m2"), "mass": written(mass, "kg"), "diameter": written(diameter / MM, "mm")}


def _added(place: _Place, J: float, diameter: float) -> Option:
    """An option that puts a steel disc on a train bare of wheels."""
    wheel = {"kind": "flywheel", "shaft": place.shaft, "seat": place.seat, **_sizes(J, diameter),
             "density": written(STEEL_DENSITY, "kg/m3")}
    return {"add": place.new_seat | {f"loads.{place.load}": wheel}}


def _option(place: _Place, J: float, diameter: float) -> Option:
    """The same for the machine as it was: the other wheels go."""
    others: Option = {"remove": [f"loads.{n}" for n in place.others]} if place.others else {}
    if not place.instead:
        return merged(others, _added(place, J, diameter))
    sizes = _sizes(J, diameter)
    return merged(others, {"set": {f"loads.{place.instead}.{key}": text for key, text in sizes.items()}})


def _needed(trial: Train, name: str, *, counting: bool) -> float:
    """Smallest inertia of a wheel that is on the train; its inverse swing grows nearly evenly with it.

    `counting`: with what links, teeth and runout make with that wheel, against all that is wanted.
    """
    load = trial.machine.loads[name]
    most = trial.wanted * (1 - CLOSE) if counting else trial.swing

    def lacking(J: float) -> float:
        wheel = replace(load, inertia=replace(load.inertia, value=J))
        machine = replace(trial.machine, loads=trial.machine.loads | {name: wheel})
        return 1 / (swing_in_search(trial, machine) + (shape_of(trial, machine) if counting else 0.0)) - 1 / most

    high = 1e-6
    while (lack := lacking(high)) < 0:
        high *= 8
        if high > MOST:
            return math.nan
    if math.isnan(lack) or lacking(0.0) >= 0:
        return math.nan
    return float(brentq(lacking, 0.0, high, xtol=1e-18, rtol=1e-10))


def _priced(bare: Train, place: _Place, J: float, thickness: float) -> Wheel:
    """The wheel with its sizes and its price, solved with it on the train."""
    then = tried(bare, _added(place, J, float(flywheel.disc_diameter(J, STEEL_DENSITY, thickness))))
    sheet = _sheet(bare, place.shaft, J, thickness, shape_of(then))
    d, m, E, v, t = (float(sheet[s].value) for s in ("d_o", "m_d", "E_k", "v", "t_J"))
    return Wheel(place.shaft, bare.ratio(place.shaft), J, d, thickness, m, v, E, t, swing_of(then),
                 _half(then, place.load), _blow(bare, then), _reverses(then), _option(place, J, d), sheet)


def _half(then: Train, name: str) -> float:
    load = then.machine.loads[name]
    smaller = replace(load, inertia=replace(load.inertia, value=load.inertia.nominal / 2))
    return swing_of(then, replace(then.machine, loads=then.machine.loads | {name: smaller}))


# Price -----------------------------------------------------------------------------------------


def _settling(train: Train) -> float:
    """Time in which a disturbance falls to 37 %; NaN where no brake governs."""
    moving, brakes = bodies(train), _brakes(train)
    with np.errstate(all="ignore"), tracing() as trace:
        _settling_steps(train, total_inertia(train, moving), brakes)
    return float(trace["t_J"].value)


def _brakes(train: Train) -> tuple[float, float]:
    """Torque over squared speed and over speed of all brakes, seen from the root; NaN where nothing governs."""
    k = c = 0.0
    for load in train.machine.loads.values():
        if load.shaft in train.role.set.ratio:
            square, linear, _ = sources.brake_constants(train.machine, load)
            k += float(np.mean(square)) * train.ratio(load.shaft) ** 3
            c += float(np.mean(linear)) * train.ratio(load.shaft) ** 2
    return (k, c) if train.balanced and k + c > 0 else (math.nan, math.nan)


def _settling_steps(train: Train, J: Any, brakes: tuple[float, float]) -> Any:
    omega = reckoned("omega_e", f"mean speed of {train.root}", SPEED, train.speed)
    return motion.settling_time(
        J, reckoned("k", f"fan constants seen from {train.root}", TORQUE_PER_SPEED_SQUARED, brakes[0]),
        reckoned("c", f"eddy brakes seen from {train.root}", DAMPING, brakes[1]), omega)


def _blow(bare: Train, then: Train) -> Blow | None:
    """Where stopping dead hurts most by the wheel, as the solve has it."""
    found = [b for b in _blows(bare, then) if math.isfinite(b.without) and math.isfinite(b.then)]
    return max(found, key=lambda b: abs(b.then - b.without) / max(b.then, b.without, 1e-9), default=None)


def _blows(bare: Train, then: Train) -> Iterator[Blow]:
    columns = {c.title: i for i, c in enumerate(bare.solved.columns) if c.case == STOPPED}
    after = {c.title: i for i, c in enumerate(then.solved.columns)}
    for stage, (first, _) in bare.solved.stage_torque.items():
        if bare.machine.stages[stage].from_ in bare.role.set.ratio:
            for title, i in columns.items():
                jam = title.split(" at ", 1)[1]
                yield Blow(stage, jam, abs(float(np.mean(first[i]))),
                           abs(float(np.mean(then.solved.stage_torque[stage][0][after[title]]))))


def _reverses(train: Train) -> tuple[str, ...]:
    """Where backlash is heard at every lift."""
    titles = [c.title for c in train.solved.columns]
    lifts, drops = (next((i for i, t in enumerate(titles) if t.endswith(f"all {state} together")), 0)
                    for state in ("lifts", "drops"))
    found = []
    for stage, (first, _) in train.solved.stage_torque.items():
        pair = [float(np.mean(first[i])) for i in (lifts, drops)]
        if train.machine.stages[stage].from_ in train.role.set.ratio and min(pair) < 0 < max(pair):
            found.append(stage)
    return tuple(found)


def _sheet(bare: Train, shaft: str, J: float, thickness: float, shape: float) -> Trace:
    """Closed form from the energy of the lifts, then the wheel that is taken, its disc and its price."""
    moving, brakes, swinging = bodies(bare), _brakes(bare), _swinging(bare)
    with np.errstate(all="ignore"), tracing() as trace:
        omega = reckoned("omega_m", f"mean speed of {bare.root}", SPEED, bare.speed)
        surplus = reckoned("dW", "energy that swings in and out over one cycle", ENERGY, swinging)
        J_n = flywheel.needed_inertia(surplus, target(bare, shape), omega)
        J_0 = total_inertia(bare, moving, "J_0")
        i = reckoned("i", f"speed of {shaft} over that of {bare.root}", RATIO, bare.ratio(shaft))
        sizing.extra_inertia(J_n, J_0, i)
        J_w = reckoned("J_w", "moment of inertia taken, by the repeating cycle of the whole machine", INERTIA, J)
        rho = given("rho", "density", DENSITY, STEEL_DENSITY, STEEL)
        b = given("b", "thickness of the disc", LENGTH, thickness, ASKED)
        d = flywheel.disc_diameter(J_w, rho, b)
        sizing.disc_mass(J_w, d)
        omega_w = reckoned("omega", f"mean speed of {shaft}", SPEED, bare.speed * bare.ratio(shaft))
        named("E_k", drives.turning_energy(J_w, omega_w), "energy in the wheel, to be guarded")
        named("v", rim_speed(d, omega_w), "rim speed")
        seen = named("J_red", inertia.reflected(J_w, i), f"moment of inertia of the wheel seen from {bare.root}")
        _settling_steps(bare, total("J", "moment of inertia with the wheel", INERTIA,
                                    {"what is there": J_0, "the wheel": seen}, SOLVED), brakes)
    return trace


def _swinging(bare: Train) -> float:
    """Energy that the uneven loads, all of them together, ask of the turning masses and give back."""
    return sum(float(np.mean(curve_of(bare.machine, load).fluctuation)) for load in bare.uneven)
