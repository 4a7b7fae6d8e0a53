"""How far the lift of a pulse must be spread for the swing that is wanted: often worth more than any flywheel."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace

import numpy as np
from scipy.optimize import brentq

from layshaft.machine.kinds import Pulses
from layshaft.mechanics import drives, inertia, sizing
from layshaft.study.trial import (
    Option,
    Train,
    bodies,
    in_full,
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
from layshaft.trace.formula import Trace, given, named, tracing
from layshaft.trace.units import ANGLE, COUNT, DEGREE, ENERGY, RATIO, SPEED, shown

SHORTEST = 1e-3
"""Share of the pitch below which no lift is looked for."""

WHOLE = 1 - 1e-9
"""Share of the pitch that counts as all of it: a lift and the next one have an edge between them."""


@dataclass(frozen=True, slots=True)
class Spread:
    """One pulsed load. Angles of its own shaft, in rad; `start` is the start ratio of the drive."""

    load: str
    energy: float
    over: float
    pitch: float
    swing: float
    whole: float
    """Swing with the lift spread over the whole pitch."""

    angle: float
    """Smallest angle that gives the wanted swing; NaN where none does or none is wanted, 0 where any does."""

    swing_then: float
    start: float
    start_then: float
    short: str
    option: Option
    sheet: Trace


def spread(train: Train, load: Pulses) -> Spread:
    """Size the lift of one load, all others as they are."""
    return in_full(train, lambda aimed: _spread(aimed, load))


def _spread(train: Train, load: Pulses) -> tuple[Spread, Train | None]:
    pitch = 2 * math.pi / load.per_turn.nominal
    now, whole = swing_of(train), _swing_at(train, load, pitch * WHOLE)
    angle = _angle(train, load, pitch)
    option: Option = {}
    if angle > 0:
        degrees = rounded_up(angle / DEGREE)
        option = {"set": {f"loads.{load.name}.over": written(min(degrees, pitch * WHOLE / DEGREE), "deg", 12)}}
    then = tried(train, option) if option else train
    found = Spread(load.name, load.energy.nominal, load.over.nominal, pitch, now, whole, angle, swing_of(then),
                  _start(train), _start(then), _short(train, load, pitch, whole), option, _sheet(train, load))
    return found, then if option else None


def _swing_at(train: Train, load: Pulses, over: float) -> float:
    changed = replace(load, over=replace(load.over, value=over))
    return swing_in_search(train, replace(train.machine, loads=train.machine.loads | {load.name: changed}))


def _angle(train: Train, load: Pulses, pitch: float) -> float:
    """Where the swing passes what is wanted."""
    if not train.swing > 0:
        return math.nan
    low, high = pitch * SHORTEST, pitch * WHOLE

    def beyond(over: float) -> float:
        return min(_swing_at(train, load, over), 1e3) - train.swing

    if not beyond(high) <= 0:
        return math.nan
    return float(brentq(beyond, low, high, xtol=1e-12, rtol=1e-12)) if beyond(low) > 0 else 0.0


def _start(train: Train) -> float:
    books = train.solved.budget
    ratios = [books.start_ratio[n] for n in train.role.weights if n in books.start_ratio] if books else []
    return float(np.mean(ratios[0])) if ratios else math.nan


def _short(train: Train, load: Pulses, pitch: float, whole: float) -> str:
    if not train.swing > 0 or whole <= train.swing:
        return ""
    reason = "the other lifts alone make that much" if len(train.pulses) > 1 else "the lift is not known well enough"
    return (f"Spread over its whole pitch of {shown(pitch, ANGLE)}, {load.name} still leaves a swing of "
            f"{100 * whole:.3g} % where {100 * train.swing:.3g} % is wanted: {reason}.")


def _sheet(train: Train, load: Pulses) -> Trace:
    """The closed form, seen from the shaft of the load."""
    moving, shape = bodies(train), shape_of(train)
    with np.errstate(all="ignore"), tracing() as trace:
        E = given("E", "energy of one lift", ENERGY, load.energy.nominal, load.energy.origin)
        n = given("n", "lifts a turn", COUNT, load.per_turn.nominal, load.per_turn.origin)
        phi = given("phi", "angle of one lift", ANGLE, load.over.nominal, load.over.origin)
        omega = reckoned("omega", f"mean speed of {load.shaft}", SPEED, train.speed * train.ratio(load.shaft))
        i = reckoned("i", f"speed of {train.root} over that of {load.shaft}", RATIO, 1 / train.ratio(load.shaft))
        J = named("J_l", inertia.reflected(total_inertia(train, moving), i), f"seen from {load.shaft}")
        dE = sizing.lift_surplus(E, n, phi)
        named("C_s", drives.speed_fluctuation(dE, J, omega), "swing of this lift alone")
        if train.swing > 0:
            sizing.lift_angle(E, n, J, target(train, shape), omega)
    return trace
