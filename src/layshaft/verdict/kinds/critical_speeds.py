"""First bending critical speed of every shaft, with its own mass and what is known to sit on it."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import numpy as np
import numpy.typing as npt

from layshaft.elements import ball_bearing
from layshaft.elements import shaft as room
from layshaft.machine.bearing_pairs import shifts
from layshaft.machine.kinds import BearingPart
from layshaft.machine.model import Shaft
from layshaft.machine.once import once
from layshaft.mechanics.critical_speed import Whirl, first_critical
from layshaft.trace.source import Source
from layshaft.train.beams import YOUNG, Shape, beam_like, shape_of
from layshaft.train.forces import STEEL_DENSITY, Shifts, supports_of
from layshaft.train.place import length
from layshaft.train.sizes import own_part
from layshaft.train.sources import load_mass
from layshaft.verdict.context import NAN, Context, seats_in_use
from layshaft.verdict.kinds.shafts import STEADY
from layshaft.verdict.rows import Block, Part, with_required

Array = npt.NDArray[np.float64]
REQUIRED = {"critical speed": "S_required"}
DEMANDS = frozenset({"omega"})
LUMPS = 12
"""Masses a shaft of one diameter is lumped into: its critical speed then comes out within a thousandth."""

ALL_WEIGHED = Source("the mass of everything on its seats is stated", obtained="derived")


def block(c: Context) -> Block:
    """Every shaft."""
    found = Block("critical speed", room.rate_critical, room.CriticalInputs, {"critical speed": STEADY},
                  required=REQUIRED)
    for shaft in c.shafts:
        found.parts.append(_part(c, shaft))
    return found


def _part(c: Context, shaft: Shaft) -> Part:
    loads = c.solved.loads[shaft.name]
    known = np.isfinite(length(shaft)) and all(d.known for d, _ in shaft.sections) and len(loads.supports) > 1
    masses, unweighed = _on_seats(c, shaft)
    moved = shifts(c.machine, shaft)
    lumped = _lumped(shaft, moved) if known else None
    g = c.machine.gravity
    whirl = _whirl(shaft, moved, tuple(masses.items()), g.nominal) if lumped else Whirl(NAN, NAN, NAN)
    most, most_source = _most(c, shaft, unweighed)
    values: dict[str, Any] = {
        "omega": np.abs(c.solved.speed[shaft.name]), "omega_1": whirl.omega_1,
        "y_w": whirl.upper_sag, "y_s": whirl.lower_sag, "g": g.nominal, "m_u": most,
        "k_u": lumped.softest(unweighed) if lumped else NAN,
    }
    stated = ", ".join(masses) or "no mass is stated at a seat"
    solved = Source(f"the shaft's own steel in lumps, and {stated}", f"E = {YOUNG / 1e9:g} GPa", "derived")
    bent = Source(f"beam on its bearings{', at ' + ', '.join(unweighed) if unweighed else ''}", obtained="derived")
    origins = {"omega": c.from_train(shaft.name, "speed"), "omega_1": solved, "y_w": solved, "y_s": solved,
               "g": g.origin, "m_u": most_source, "k_u": bent}
    part = Part(shaft.path, "", values, origins, "", DEMANDS, not_chosen=not known, shaft=shaft.name)
    return with_required(part, c.machine.margins or {}, REQUIRED)


def _on_seats(c: Context, shaft: Shaft) -> tuple[dict[str, Any], list[str]]:
    """Masses stated for what sits between or beside the bearings, and seats in use without one."""
    used = {seat for on, seat in seats_in_use(c.machine) if on == shaft.name}
    masses: dict[str, Any] = {name: seat.mass.value for name, seat in shaft.seats.items() if seat.mass.known}
    for load in (c.machine.loads or {}).values():
        mass = load_mass(load)
        if load.shaft == shaft.name and np.any(np.asarray(mass) > 0.0):
            masses[load.seat] = masses.get(load.seat, 0.0) + mass
    unweighed = [name for name, seat in shaft.seats.items()
                 if name not in masses and not seat.carries_shaft
                 and (name in used or seat.key_size.state != "missing")]
    return masses, unweighed


def _most(c: Context, shaft: Shaft, unweighed: list[str]) -> tuple[float, Source]:
    """Most that can sit on seats without a stated mass: the whole module, or all that the bearings can hold up."""
    if not unweighed:
        return 0.0, ALL_WEIGHED
    module = c.machine.modules[shaft.module]
    if module.mass.known:
        words = f"no mass is stated at {', '.join(unweighed)}: it can be no more than the whole module {module.name}"
        most = module.mass.nominal if module.mass.high is None else module.mass.high
        return most, Source(words, module.mass.path, "derived")
    ratings = [_static_rating(c, seat) for seat in shaft.seats.values() if seat.carries_shaft]
    words = f"no mass is stated at {', '.join(unweighed)}: it can be no more than the bearings can hold up"
    return float(sum(ratings)) / c.machine.gravity.nominal, Source(words, obtained="derived")


def _static_rating(c: Context, seat: Any) -> float:
    own = own_part(c.machine, seat.bearing)
    if isinstance(own, BearingPart):
        return float(own.static_rating.nominal)
    size = ball_bearing.bearing(seat.bearing.name) if seat.bearing.known else None
    return float(size.C0) if size is not None else NAN


# The lumped shaft ------------------------------------------------------------------------------


@dataclass(frozen=True, slots=True)
class _Lumped:
    """Own masses of a shaft, and how it gives way at them and at its seats."""

    own: Array
    flexibility: Array
    seats: dict[str, int]

    def softest(self, names: list[str]) -> float:
        """Stiffness of the shaft at the softest of some seats, of all where none is named.

        Where all of them stand over bearings nothing gives way there: the softest place of the shaft itself stands in.
        """
        places = [self.seats[name] for name in names or self.seats]
        gives = max(float(self.flexibility[i, i]) for i in places)
        return 1 / (gives or max(float(self.flexibility[i, i]) for i in range(len(self.own))))


@once
def _lumped(shaft: Shaft, moved: Shifts) -> _Lumped:
    """The shaft cut into short pieces, the mass of each in its middle; seats behind them."""
    own = [STEEL_DENSITY * np.pi / 4 * d**2 * size for d, size, _ in _pieces(shaft)]
    seats = {name: len(own) + i for i, name in enumerate(shaft.seats)}
    return _Lumped(np.array(own), beam_like(whirling_shape(shaft, moved)).flexibility(), seats)


def whirling_shape(shaft: Shaft, moved: Shifts) -> Shape:
    """The same shaft with the middles of its pieces and its seats as stations."""
    seats = [seat.at.nominal for seat in shaft.seats.values()]
    return shape_of(shaft, supports_of(shaft), [*(middle for _, _, middle in _pieces(shaft)), *seats], moved)


def _pieces(shaft: Shaft) -> list[tuple[float, float, float]]:
    """Diameter, length and middle of every piece."""
    found, start, whole = [], 0.0, length(shaft)
    for diameter, step in shaft.sections:
        pieces = max(2, round(LUMPS * step.nominal / whole))
        size = step.nominal / pieces
        found += [(diameter.nominal, size, start + (k + 0.5) * size) for k in range(pieces)]
        start += step.nominal
    return found


def _whirl(shaft: Shaft, moved: Shifts, masses: tuple[tuple[str, Any], ...], g: float) -> Whirl:
    """The solved shaft; kept where every mass is a plain number."""
    if any(np.ndim(mass) for _, mass in masses):
        return _solved(shaft, moved, masses, g)
    return _kept(shaft, moved, frozenset((name, float(mass)) for name, mass in masses), g)


@once
def _kept(shaft: Shaft, moved: Shifts, masses: frozenset[tuple[str, float]], g: float) -> Whirl:
    return _solved(shaft, moved, tuple(masses), g)


def _solved(shaft: Shaft, moved: Shifts, masses: tuple[tuple[str, Any], ...], g: float) -> Whirl:
    """Own lumps and the masses at the seats; those with samples give (samples,) answers."""
    lumped = _lumped(shaft, moved)
    shape = np.broadcast_shapes(*(np.shape(mass) for _, mass in masses)) if masses else ()
    every = np.zeros((*shape, len(lumped.flexibility)))
    every[..., : len(lumped.own)] = lumped.own
    for name, mass in masses:
        every[..., lumped.seats[name]] += mass
    return first_critical(lumped.flexibility, every, g)
