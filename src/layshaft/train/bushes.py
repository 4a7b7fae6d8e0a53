"""Friction of plain bushes as drag: it grows with the load, and the load with the torque that turns it.

A bush whose drag is not stated rubs with its own coefficient. The machine is solved with no drag there,
the load of the running case gives a drag, and so on until it stays: each round is closer by the small
share the drag has in the torque.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING, Any

import numpy as np
import numpy.typing as npt

from layshaft.elements import plain_bush
from layshaft.machine.kinds import BushPart
from layshaft.machine.model import Machine, Seat
from layshaft.machine.once import once
from layshaft.machine.schema import Given
from layshaft.trace.source import Source
from layshaft.trace.units import RATIO, TORQUE
from layshaft.train.place import diameter_at
from layshaft.train.sizes import own_part

if TYPE_CHECKING:
    from layshaft.train.solve import Solved

NAN = float("nan")
SETTLED = 1e-10
MOST_ROUNDS = 40
NOTE = "friction of the bush under the running load"


@dataclass(frozen=True, slots=True)
class Rubbing:
    """What a bush may bear and how it rubs, SI; NaN where nobody says it."""

    p_lim: Any
    v_lim: Any
    pv_lim: Any
    k_w: Any
    mu: Any
    mu_rest: Any
    warmest: Any
    source: Source
    content: tuple[str, ...]


def rubbing(machine: Machine, seat: Seat) -> Rubbing:
    """The own listing a bush names, else the shipped material."""
    choice = seat.bush.material
    part = own_part(machine, choice)
    if isinstance(part, BushPart):
        own = (part.pressure, part.speed, part.pressure_speed, part.wear, part.friction, part.friction_at_rest,
               part.warmest)
        source = Source(f"{part.path}: {part.source}, {part.read_in}", obtained="given")
        return _rubbing([given.value for given in own], source, (f"{part.path}|{part.read_in}",))
    found = plain_bush.material(choice.name) if choice.known else None
    if found is None:
        return _rubbing([NAN] * len(FIGURES), Source(f"{choice.path}: not given", obtained="given"), ())
    return _rubbing([getattr(found, name) for name in FIGURES], found.source, (found.row_content,))


FIGURES = ("p_lim", "v_lim", "pv_lim", "k_w", "mu", "mu_rest", "warmest")


def _rubbing(values: list[Any], source: Source, content: tuple[str, ...]) -> Rubbing:
    return Rubbing(source=source, content=content, **dict(zip(FIGURES, values, strict=True)))


@once
def undecided(machine: Machine) -> tuple[tuple[str, str], ...]:
    """Shaft and seat of every bush that rubs by its own coefficient: no drag is stated."""
    return tuple((shaft.name, seat.name) for shaft in machine.shafts.values() for seat in shaft.seats.values()
                 if seat.drag.state == "missing" and seat.rubs)


def without_drag(machine: Machine) -> Machine:
    """The machine with nothing rubbing where no drag is stated; itself where all is stated."""
    seats = undecided(machine)
    return _with(machine, dict.fromkeys(seats, 0.0)) if seats else machine


def friction(solved: Solved, seats: tuple[tuple[str, str], ...]) -> dict[tuple[str, str], Any]:
    """Friction torque of each bush under its load in the running case, (samples,)."""
    found = {}
    for shaft, seat in seats:
        loads, s = solved.loads[shaft], solved.machine.shafts[shaft]
        i = loads.supports.index(seat)
        known = len(loads.reaction) == len(loads.supports)
        F = np.hypot(loads.reaction[i, 0, 0], loads.reaction[i, 1, 0]) if known else np.full(solved.samples, NAN)
        here = s.seats[seat]
        found[shaft, seat] = plain_bush.friction_torque(rubbing(solved.machine, here).mu, F,
                                                        diameter_at(s, here.at.nominal))
    return found


def settled(before: Mapping[Any, Any], now: Mapping[Any, Any]) -> bool:
    """True where nothing has moved any more, or none can be known."""
    return all(bool(np.all(~np.isfinite(T) | (np.abs(T - before[at]) <= SETTLED * np.abs(T)))) for at, T in now.items())


def with_friction(machine: Machine, drags: dict[tuple[str, str], Any]) -> Machine:
    """The machine with these drags, marked as assumed: the coefficient of a bush is a guess until measured."""
    return _with(machine, drags)


def _with(machine: Machine, drags: dict[tuple[str, str], Any]) -> Machine:
    shafts = dict(machine.shafts)
    for (shaft, name), torque in drags.items():
        seat = shafts[shaft].seats[name]
        values: npt.NDArray[np.float64] = np.asarray(torque, dtype=float)
        value: Any = values if values.size > 1 else float(values.reshape(-1)[0])
        rub = rubbing(machine, seat)
        at_rest = _given(seat.break_away, RATIO, rub.mu_rest / rub.mu) if seat.break_away.state == "missing" \
            else seat.break_away
        made = replace(seat, drag=_given(seat.drag, TORQUE, value), break_away=at_rest)
        shafts[shaft] = replace(shafts[shaft], seats=shafts[shaft].seats | {name: made})
    return replace(machine, shafts=shafts)


def _given(missing: Given, dimension: Any, value: Any) -> Given:
    return Given(missing.path, dimension, value, source="assumed", note=NOTE, cause=missing.path,
                 middle=float(np.mean(value)))

