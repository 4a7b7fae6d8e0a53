"""Forces on every seat in space, the torque along every shaft, and what its bearings carry.

Each shaft has two transverse planes, 0 = (along, side) and 1 = (along, other), right-handed with its
axis. The shaft's own weight sits at the middle of each step.
"""

from __future__ import annotations

from dataclasses import dataclass, fields, replace
from typing import TYPE_CHECKING, Any

import numpy as np
import numpy.typing as npt

from layshaft.machine.kinds import Crank, Pull, Suspended
from layshaft.machine.model import Shaft
from layshaft.machine.schema import Given
from layshaft.mechanics.beam import Beam, BeamResult
from layshaft.train import sources
from layshaft.train.cases import TRANSIT
from layshaft.train.place import length, seat_point
from layshaft.train.sense import lifted, motion
from layshaft.train.stages import UP, SeatLoad, Vector, axis, seat_loads

if TYPE_CHECKING:
    from layshaft.train.solve import Solved

Array = npt.NDArray[np.float64]
STEEL_DENSITY = 7850.0
"""kg/m3, common value of handbooks."""

YOUNG = 206e9
"""Young's modulus of steel, Pa: the value the deflection checks of this house were read with."""

STAND_IN = 0.03
"""Diameter, m, that stands in for an open one where the answer does not depend on it."""


@dataclass(slots=True)
class ShaftLoads:
    """Loads and answers of one shaft. Forces (stations, 3, cases, samples); planes first where named.

    `stations` are places along the shaft, `names` the seat at each (blank between seats). `force` is
    what acts on the shaft at each station besides its bearings; `reaction` what each bearing gives.
    `torque_left` and `torque_right` are the torque in the shaft just before and after each station.
    """

    shaft: str
    stations: list[float]
    names: list[str]
    supports: list[str]
    frame: tuple[Vector, Vector, Vector]
    force: Array
    couple: Array
    torque_left: Array
    torque_right: Array
    reaction: Array
    thrust: Array
    moment_left: Array
    moment_right: Array
    slope: Array
    deflection: Array

    def at(self, seat: str) -> int:
        """Station of a seat."""
        return self.names.index(seat)


def frame(shaft: Shaft) -> tuple[Vector, Vector, Vector]:
    """Axis, and two directions across it; the second points up where the shaft is not upright."""
    a = axis(shaft)
    rise = UP - (UP @ a) * a
    other = np.array([0.0, 1.0, 0.0]) if np.linalg.norm(rise) < 1e-9 else rise / np.linalg.norm(rise)
    return a, np.cross(other, a), other


def shaft_loads(solved: Solved, name: str) -> ShaftLoads:
    """Collect what acts on one shaft and solve it as a beam on its bearings."""
    shaft = solved.machine.shafts[name]
    shape = (len(solved.columns), solved.samples)
    supports = [n for n, s in shaft.seats.items() if s.bearing.state != "missing"]
    stations, names = _stations(shaft)
    force = np.zeros((len(stations), 3, *shape))
    couple = np.zeros_like(force)
    for load in _seat_loads(solved, name, shape):
        at = names.index(load.seat)
        force[at] += load.force
        couple[at] += load.couple
    _add_weights(solved, shaft, stations, names, force)
    torque = np.zeros((len(stations), *shape))
    for seat, value in solved.seat_torque[name].items():
        torque[names.index(seat)] += value
    before = -np.cumsum(torque, axis=0)
    found = _bend(shaft, stations, supports, force, couple)
    a = axis(shaft)
    thrust = -np.tensordot(a, force.sum(axis=0), axes=1)
    return ShaftLoads(
        name, stations, names, supports, frame(shaft), force, couple,
        np.concatenate([np.zeros((1, *shape)), before[:-1]]), before,
        *_shaped(found, shape, thrust, len(supports), len(stations)),
    )


def _stations(shaft: Shaft) -> tuple[list[float], list[str]]:
    """Seats, shoulders and middles of steps, in order along the shaft; seats alone while a length is open."""
    marks = [(seat.at.nominal, name) for name, seat in shaft.seats.items()]
    at = 0.0
    for i, (_, step) in enumerate(_steps(shaft)):
        marks.append((at + step.nominal / 2, ""))
        at += step.nominal
        if i < len(shaft.sections) - 1:
            marks.append((at, f"{SHOULDER}{i + 1}"))
    marks.sort(key=lambda m: m[0])
    return [m[0] for m in marks], [m[1] for m in marks]


def _steps(shaft: Shaft) -> tuple[tuple[Given, ...], ...]:
    """The steps of a shaft, none while one of their lengths is open: nothing behind it has a place."""
    return shaft.sections if np.isfinite(length(shaft)) else ()


SHOULDER = "shoulder "


def _seat_loads(solved: Solved, name: str, shape: tuple[int, int]) -> list[SeatLoad]:
    machine, found = solved.machine, []
    for stage_name, stage in machine.stages.items():
        if name not in (stage.from_, stage.to) or stage_name not in solved.stage_torque:
            continue
        between = (seat_point(machine, solved.place[stage.to], stage.to, stage.seats[1])
                   - seat_point(machine, solved.place[stage.from_], stage.from_, stage.seats[0]))
        pair = seat_loads(machine, stage, between, *solved.stage_torque[stage_name])
        found += [load for load in pair if load.shaft == name]
    found += _weight_loads(solved, name, shape)
    found += _handle_loads(solved, name, shape)
    found += _pulls(solved, name, shape)
    return found


def _pulls(solved: Solved, name: str, shape: tuple[int, int]) -> list[SeatLoad]:
    """Forces stated outright; on the road nothing pulls."""
    here = np.array([[0.0 if column.case == TRANSIT else 1.0] for column in solved.columns])
    found = []
    for load in solved.machine.loads.values():
        if isinstance(load, Pull) and load.shaft == name:
            force = np.stack([np.broadcast_to(part.value * here, shape) for part in load.force])
            found.append(SeatLoad(name, load.seat, force, np.zeros_like(force)))
    return found


def _weight_loads(solved: Solved, name: str, shape: tuple[int, int]) -> list[SeatLoad]:
    machine, found = solved.machine, []
    for drive_name, drive in machine.drives.items():
        if not isinstance(drive, Suspended):
            continue
        rises = rising(solved, drive_name)
        sinking = sources.weight_pushes(machine, drive)
        for down, up in zip(sinking, sources.weight_pushes(machine, drive, lifted=True), strict=True):
            if down.shaft != name:
                continue
            factor = np.ones(shape)
            for i, column in enumerate(solved.columns):
                factor[i] = column.pull.get(drive_name, 1.0)
                if down.shaft != drive.shaft:
                    factor[i] = factor[i] * column.winding_pull.get(drive_name, 1.0)
            force = np.stack([np.where(rises, b, a) * factor
                              for a, b in zip(down.force, up.force, strict=True)])
            found.append(SeatLoad(name, down.seat, force, np.zeros_like(force)))
    return found


def rising(solved: Solved, drive: str) -> npt.NDArray[np.bool_]:
    """Cases in which a hanging weight goes up, shape (cases, 1)."""
    root = solved.set_of(solved.machine.drives[drive].shaft).root
    role = solved.roles[root]
    sense = motion(solved.machine, role)
    return np.array([[lifted(solved.machine, role, sense, c.plans[root], drive)] for c in solved.columns])


def _handle_loads(solved: Solved, name: str, shape: tuple[int, int]) -> list[SeatLoad]:
    """The push on a handle: across the crank, taken straight down, with the couple of its overhang."""
    machine, found = solved.machine, []
    for drive in machine.drives.values():
        if drive.shaft != name or not isinstance(drive, Crank):
            continue
        torque = solved.seat_torque[name].get(drive.seat, np.zeros(shape))
        force = sources.vertical(np.abs(torque) / drive.radius.value)
        arm = axis(machine.shafts[name])[:, None, None] * drive.handle_overhang.value
        found.append(SeatLoad(name, drive.seat, force, _cross(np.broadcast_to(arm, force.shape), force)))
    return found


def _cross(a: Array, b: Array) -> Array:
    return np.cross(a, b, axis=0)


def _add_weights(solved: Solved, shaft: Shaft, stations: list[float], names: list[str], force: Array) -> None:
    """Own weight of the steps and of what sits on the seats, at free fall or at the shock of transit."""
    machine = solved.machine
    shape = force.shape[2:]
    g = np.empty(shape)
    for i, column in enumerate(solved.columns):
        g[i] = machine.gravity.value if column.shock is None else column.shock
    at = 0.0
    for diameter, step in _steps(shaft):
        mass = STEEL_DENSITY * np.pi / 4 * diameter.nominal**2 * step.nominal
        force[_station(stations, names, at + step.nominal / 2)] += sources.vertical(mass * g)
        at += step.nominal
    for name, seat in shaft.seats.items():
        if seat.mass.known:
            force[names.index(name)] += sources.vertical(seat.mass.value * g)
    for load in machine.loads.values():
        if load.shaft == shaft.name and not _is_number(sources.load_mass(load), 0.0):
            force[names.index(load.seat)] += sources.vertical(sources.load_mass(load) * g)


def _is_number(value: Any, number: float) -> bool:
    return np.ndim(value) == 0 and float(value) == number


def _station(stations: list[float], names: list[str], place: float) -> int:
    return next(i for i, (x, n) in enumerate(zip(stations, names, strict=True)) if n == "" and x == place)


def _bend(shaft: Shaft, stations: list[float], supports: list[str], force: Array, couple: Array) -> BeamResult | None:
    if not np.isfinite(length(shaft)) or len(supports) < 2:
        return None
    ends, at = [0.0], 0.0
    for _, step in shaft.sections:
        at += step.nominal
        ends.append(at)
    diameters = np.array([d.nominal for d, _ in shaft.sections])
    open_ = np.isnan(diameters)
    beam = Beam(ends, list(np.where(open_, STAND_IN, diameters)), YOUNG,
                [shaft.seats[n].at.nominal for n in supports], stations)
    a, side, other = frame(shaft)
    columns = force.shape[2] * force.shape[3]
    across = np.stack([np.tensordot(force, side, axes=([1], [0])), np.tensordot(force, other, axes=([1], [0]))],
                      axis=1)
    # A couple that turns the axis towards `side` acts about a x side = other; towards `other`, about -side.
    bending = np.stack([np.tensordot(couple, np.cross(a, side), axes=([1], [0])),
                        np.tensordot(couple, np.cross(a, other), axes=([1], [0]))], axis=1)
    size = (len(stations), 2, columns)
    found = beam.solve(across.reshape(size), bending.reshape(size))
    return _stiffness_unknown(found, len(supports)) if open_.any() else found


def _stiffness_unknown(found: BeamResult, supports: int) -> BeamResult:
    """Two bearings share by statics alone; slope, deflection and a third bearing ask for the diameter."""
    bent = replace(found, slope=np.nan * found.slope, deflection=np.nan * found.deflection)
    if supports == 2:
        return bent
    return replace(bent, **{f.name: np.nan * getattr(found, f.name) for f in fields(found)})


def _shaped(found: BeamResult | None, shape: tuple[int, int], thrust: Array, supports: int,
            stations: int) -> tuple[Array, ...]:
    if found is None:
        reaction, unknown = (np.full((n, 2, *shape), np.nan) for n in (supports, stations))
        return reaction, thrust, unknown, unknown, unknown, unknown
    parts = (found.reactions, found.moment_left, found.moment_right, found.slope, found.deflection)
    r, m_left, m_right, slope, deflection = (p.reshape(p.shape[0], 2, *shape) for p in parts)
    return r, thrust, m_left, m_right, slope, deflection


