"""What the drawings show, in the machine's own frame: bars, wheels, chains, hanging weights, frames.

Sizes and places come from the solved machine; what has no size or no place is left out and named.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field
from typing import Any

import numpy as np

from layshaft.elements.ball_bearing import bearing
from layshaft.elements.worm_pair import least_length
from layshaft.machine.kinds import (
    BearingPart,
    BevelPair,
    Crank,
    FanBrake,
    Flywheel,
    GearPair,
    Motor,
    Ratchet,
    RollerChain,
    SynchronousBelt,
    Turntable,
    VBelt,
    Worm,
)
from layshaft.machine.model import Seat
from layshaft.train.bodies import anatomy
from layshaft.train.cases import MEAN_WINDING
from layshaft.train.place import seat_point
from layshaft.train.room import drive_round, load_round
from layshaft.train.sizes import belt_diameters, chain_size, own_part
from layshaft.train.solve import Solved
from layshaft.train.sources import sprocket_radius
from layshaft.train.stages import Vector, apex_sides, axis, gear_sizes
from layshaft.train.ways import Way, way, wheel_radii
from layshaft.train.worms import worm_sizes

BROAD = 0.5
"""Width over radius from which a load is drawn as an outline through which the rest shows."""

THIN_WHEEL = 0.008
"""Width, m, of a wheel whose width is not given: a plate, so that it is seen edge-on."""


@dataclass(frozen=True, slots=True)
class Bar:
    """A shaft: its line in space and its steps as (from, to, diameter) along it."""

    shaft: str
    start: Vector
    axis: Vector
    steps: tuple[tuple[float, float, float], ...]
    speed: float
    """Turning speed about the axis; that of winding where it stands while the machine runs."""

    winds: bool

    def point(self, along: float) -> Vector:
        """A point of its axis."""
        return self.start + self.axis * along

    @property
    def length(self) -> float:
        """From end to end."""
        return self.steps[-1][1] if self.steps else 0.0


@dataclass(frozen=True, slots=True)
class Wheel:
    """Anything round on a shaft. `small` is the radius at its other end, for a bevel gear."""

    shaft: str
    seat: str
    name: str
    kind: str
    centre: Vector
    axis: Vector
    radius: float
    width: float = THIN_WHEEL
    teeth: float = np.nan
    small: float = np.nan

    @property
    def tag(self) -> str:
        """What stands at it: teeth and what it belongs to."""
        return f"z {self.teeth:.0f} {self.name}" if np.isfinite(self.teeth) else self.name


@dataclass(frozen=True, slots=True)
class Run:
    """A chain or belt on its wheels; `tight` says which strand pulls, -1 if neither or unknown."""

    name: str
    shaft: str
    way: Way
    tight: int
    while_winding: bool
    wheels: tuple[tuple[Vector, float], tuple[Vector, float]]
    """Centre and pitch radius of the first and second wheel."""

    @property
    def strands(self) -> tuple[tuple[Vector, Vector], tuple[Vector, Vector]]:
        """Both strands from where they leave the first wheel to where they meet the second."""
        first, second = ((pieces[0][0], pieces[-1][1]) for pieces in self.way.strands)
        return first, second


@dataclass(slots=True)
class Outline:
    """Everything the drawings show."""

    bars: dict[str, Bar] = field(default_factory=dict)
    wheels: list[Wheel] = field(default_factory=list)
    runs: list[Run] = field(default_factory=list)
    bearings: list[Wheel] = field(default_factory=list)
    nowhere: list[str] = field(default_factory=list)
    """Shafts whose place is not known."""


def outline(solved: Solved, case: int | None = None) -> Outline:
    """Collect what has a place and a size; speeds and tight strands are those of a case, where one is chosen."""
    found = Outline()
    for name in solved.machine.shafts:
        if np.all(np.isfinite(solved.place[name])):
            found.bars[name] = _bar(solved, name, case)
        else:
            found.nowhere.append(name)
    for wheel in (*_stage_wheels(solved), *_load_wheels(solved), *_cranks(solved), *_motors(solved)):
        if wheel.shaft in found.bars and np.isfinite(wheel.radius):
            found.wheels.append(wheel)
    found.bearings = [w for name in found.bars for w in _bearings(solved, name)]
    found.runs = [r for name in solved.machine.stages if (r := _run(solved, name, case)) is not None]
    return found


def winding_column(solved: Solved) -> int:
    """Column of winding while the machine runs; 0 where nothing winds."""
    return next((i for i, c in enumerate(solved.columns) if c.title == MEAN_WINDING), 0)


def speed_of(solved: Solved, shaft: str, case: int | None = None) -> tuple[float, bool]:
    """Speed in a case; where none is chosen in the running one, or while winding where the shaft stands till then."""
    speeds = solved.speed.get(shaft)
    if speeds is None:
        return float("nan"), False
    if case is not None:
        return float(np.mean(speeds[case])), False
    running = float(np.mean(speeds[0]))
    winding = float(np.mean(speeds[winding_column(solved)]))
    return (winding, True) if abs(running) < 1e-9 < abs(winding) else (running, False)


def _bar(solved: Solved, name: str, case: int | None) -> Bar:
    shaft = solved.machine.shafts[name]
    steps, at = [], 0.0
    for diameter, length in shaft.sections or ():
        if not np.isfinite(length.nominal):
            break
        steps.append((at, at + length.nominal, diameter.nominal))
        at += length.nominal
    if not steps:  # its length is open: as long as its seats ask for
        steps = [(0.0, max((s.at.nominal for s in shaft.seats.values() if s.at.known), default=0.0), np.nan)]
    speed, winds = speed_of(solved, name, case)
    return Bar(name, solved.place[name], axis(shaft), tuple(steps), speed, winds)


def _at(solved: Solved, shaft: str, seat: str) -> Vector:
    return seat_point(solved.machine, solved.place[shaft], shaft, seat)


def _stage_wheels(solved: Solved) -> Iterator[Wheel]:
    for name, stage in solved.machine.stages.items():
        for i, shaft in enumerate((stage.from_, stage.to)):
            if shaft not in solved.machine.shafts or np.any(np.isnan(solved.place[shaft])):
                continue
            line = axis(solved.machine.shafts[shaft])
            at = _at(solved, shaft, stage.seats[i])
            if isinstance(stage, RollerChain):
                size = chain_size(solved.machine, stage.chain)
                width = float(size.inner_width) * 0.93 if size is not None else np.nan
                yield Wheel(shaft, stage.seats[i], name, "sprocket", at, line,
                            sprocket_radius(solved.machine, stage, i), _or_thin(width), stage.teeth[i].nominal)
            elif isinstance(stage, (SynchronousBelt, VBelt)):
                width = stage.width.nominal if isinstance(stage, SynchronousBelt) else np.nan
                teeth = stage.teeth[i].nominal if isinstance(stage, SynchronousBelt) else np.nan
                yield Wheel(shaft, stage.seats[i], name, "pulley", at, line,
                            belt_diameters(solved.machine, stage)[i] / 2, _or_thin(width), teeth)
            elif isinstance(stage, GearPair):
                yield Wheel(shaft, stage.seats[i], name, "gear", at, line, abs(gear_sizes(stage).r[i]),
                            _or_thin(stage.face.nominal), stage.teeth[i].nominal)
            elif isinstance(stage, BevelPair):
                yield _bevel(stage, i, shaft, at, line)
            elif isinstance(stage, Worm):
                yield _worm(stage, i, shaft, at, line)
            elif isinstance(stage, Ratchet) and i == 0:
                yield Wheel(shaft, stage.seats[i], name, "ratchet", at, line, stage.diameter.nominal / 2,
                            _or_thin(stage.face.nominal), stage.teeth.nominal)


def _bevel(stage: BevelPair, i: int, shaft: str, at: Vector, line: Vector) -> Wheel:
    """Large end at the seat; the small end lies a face width along the cone nearer to the apex."""
    r, other = (stage.normal_module.nominal * stage.teeth[k].nominal / 2 for k in (i, 1 - i))
    cone = np.hypot(r, other)
    face = stage.face.nominal
    return Wheel(shaft, stage.seats[i], stage.name, "bevel", at, -line * apex_sides(stage)[i], r,
                 face * other / cone, stage.teeth[i].nominal, r - face * r / cone)


def _worm(stage: Worm, i: int, shaft: str, at: Vector, line: Vector) -> Wheel:
    """The worm as long as its wheel asks for, the wheel on its pitch circle."""
    sizes = worm_sizes(stage)
    if i == 0:
        length = float(least_length(stage.axial_module.nominal, stage.wheel_teeth.nominal))
        return Wheel(shaft, stage.seats[i], stage.name, "worm", at, line, sizes.d_1 / 2, _or_thin(length),
                     stage.starts.nominal)
    return Wheel(shaft, stage.seats[i], stage.name, "gear", at, line, sizes.d_2 / 2, _or_thin(stage.face.nominal),
                 stage.wheel_teeth.nominal)


def _or_thin(width: float) -> float:
    return width if np.isfinite(width) else THIN_WHEEL


def _load_wheels(solved: Solved) -> Iterator[Wheel]:
    for name, load in solved.machine.loads.items():
        if np.any(np.isnan(solved.place[load.shaft])):
            continue
        at, line = _at(solved, load.shaft, load.seat), axis(solved.machine.shafts[load.shaft])
        if isinstance(load, Flywheel):
            yield Wheel(load.shaft, load.seat, name, "disc", at, line, *_disc(load))
        elif isinstance(load, FanBrake) and load.area and not load.outside_diameter.known:
            reach = load.at_radius.nominal + load.area[1].nominal / 2
            yield Wheel(load.shaft, load.seat, name, "swept", at, line, reach, load.area[0].nominal)
        else:
            yield from _told(solved, load, at, line)


def _told(solved: Solved, load: Any, at: Vector, line: Vector) -> Iterator[Wheel]:
    """A load of told size, its outline alone where it would hide much; of a turntable of no told size the track."""
    room = load_round(solved.machine, load)
    if np.isfinite(room.radius) and room.radius > 0:
        kind = "body" if not np.isfinite(room.width) or room.width > BROAD * room.radius else "disc"
        yield Wheel(load.shaft, load.seat, load.name, kind, at + line * room.shift, line, room.radius,
                    _or_thin(room.width))
    elif isinstance(load, Turntable):
        yield Wheel(load.shaft, load.seat, load.name, "track", at, line, load.track_radius.nominal)


def _motors(solved: Solved) -> Iterator[Wheel]:
    for name, drive in solved.machine.drives.items():
        if isinstance(drive, Motor) and np.all(np.isfinite(solved.place[drive.shaft])):
            room, line = drive_round(solved.machine, drive), axis(solved.machine.shafts[drive.shaft])
            if room is not None:
                yield Wheel(drive.shaft, drive.seat, name, "motor", _at(solved, drive.shaft, drive.seat) + line
                            * room.shift, line, room.radius, _or_thin(room.width))


def _disc(load: Flywheel) -> tuple[float, float]:
    """Radius and width: of the rim that is drawn, else of a full disc of that mass."""
    rim = anatomy(load).rim
    if not load.diameter.known and rim is not None:
        return rim.outside.nominal / 2, _or_thin(rim.width.nominal)
    return load.diameter.nominal / 2, _disc_width(load)


def _disc_width(load: Flywheel) -> float:
    ring = np.pi / 4 * (load.diameter.nominal**2 - load.bore.nominal**2)
    return _or_thin(load.mass.nominal / load.density.nominal / ring)


def _cranks(solved: Solved) -> Iterator[Wheel]:
    for name, drive in solved.machine.drives.items():
        if isinstance(drive, Crank) and np.all(np.isfinite(solved.place[drive.shaft])):
            yield Wheel(drive.shaft, drive.seat, name, "handle", _at(solved, drive.shaft, drive.seat),
                        axis(solved.machine.shafts[drive.shaft]), drive.radius.nominal)


def bearing_size(solved: Solved, seat: Seat) -> tuple[float, float]:
    """Outside diameter and width of the bearing on a seat; NaN where not known."""
    part = own_part(solved.machine, seat.bearing)
    if isinstance(part, BearingPart):
        return part.outside.nominal, part.width.nominal
    size = bearing(seat.bearing.name) if seat.bearing.known else None
    return (size.outside, size.width) if size is not None else (np.nan, np.nan)


def _bearings(solved: Solved, name: str) -> Iterator[Wheel]:
    shaft = solved.machine.shafts[name]
    for seat_name, seat in shaft.seats.items():
        if seat.bearing.state != "missing" and seat.at.known:
            outside, width = bearing_size(solved, seat)
            yield Wheel(name, seat_name, seat.bearing.name or "bearing", "bearing", _at(solved, name, seat_name),
                        axis(shaft), outside / 2, width)


def _run(solved: Solved, name: str, case: int | None) -> Run | None:
    found = way(solved, name)
    if found is None:
        return None
    stage: Any = solved.machine.stages[name]
    radii = wheel_radii(solved, stage)
    tight, winding = _tight(solved, name, case)
    ends = _at(solved, stage.from_, stage.seats[0]), _at(solved, stage.to, stage.seats[1])
    return Run(name, stage.from_, found, tight, winding, ((ends[0], radii[0]), (ends[1], radii[1])))


def _tight(solved: Solved, name: str, case: int | None) -> tuple[int, bool]:
    """Which strand carries the pull: the one on the side of axis x line turns the first wheel backwards."""
    torque = solved.stage_torque.get(name)
    if torque is None:
        return -1, False
    winding = winding_column(solved)
    for column in (0, winding) if case is None else (case,):
        value = float(np.mean(torque[0][column]))
        if abs(value) > 1e-9:
            return (0 if value < 0 else 1), case is None and column == winding and winding != 0
    return -1, False
