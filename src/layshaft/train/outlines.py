"""What every element of a machine says of the room it takes, put where its seat is."""

from __future__ import annotations

from collections.abc import Callable, Container, Iterator
from dataclasses import dataclass
from math import isfinite
from typing import Any

import numpy as np

from layshaft.elements import ball_bearing
from layshaft.elements.roller_chain import outline as chains
from layshaft.machine.kinds import BearingPart, EndlessLoop, FallingWeight, Joining, Motor, Suspended
from layshaft.machine.model import Seat, Shaft
from layshaft.mechanics.outlines import NONE, Band, Round
from layshaft.train import ways
from layshaft.train.place import seat_point
from layshaft.train.room import band as strand
from layshaft.train.room import drive_round, load_round, stage_rounds
from layshaft.train.sizes import chain_size, own_part, rope_size
from layshaft.train.solve import Solved
from layshaft.train.sources import SIDE, wheel_diameter
from layshaft.train.stages import UP, Vector, axis

NAN = float("nan")
LOOSE = "load"
"""Kind of a load of no told size. How wide it is between its bearings its builder sees: it is not held against what
sits on its own shaft."""

STANDING = ("bearing", "motor")
WIDEST = 0.5
"""Half the width of a wheel of unknown width over its radius, at most: a wheel is not wider than its radius. Common
practice, no single source."""

Point = tuple[float, float, float]


@dataclass(frozen=True, slots=True)
class Placed:
    """A body in space: a line with a rounded edge, drawn out along an axis. `owner` is the stage or thing it is of."""

    path: str
    name: str
    kind: str
    shaft: str
    owner: str
    first: Point
    last: Point
    axis: Point
    half: float
    radius: float
    hole: float = NONE
    seat: str = ""
    most_half: float = NONE
    most_radius: float = NONE
    """The most it is taken for, where half its width or its radius is not told: these are then the least it has."""

    @property
    def greatest(self) -> tuple[float, float]:
        """Half its width and its radius, as large as they may be."""
        return max(self.half, self.most_half), max(self.radius, self.most_radius)

    @property
    def told(self) -> bool:
        """True where the file tells its size."""
        return self.greatest == (self.half, self.radius)

    @property
    def stands(self) -> bool:
        """True for what does not move while the machine runs."""
        return self.kind in STANDING


@dataclass(frozen=True, slots=True)
class Missing:
    """A part whose room nothing bounds while a size of it is open."""

    path: str


Told = Iterator[Placed | Missing]


def placed(solved: Solved, nowhere: Container[str]) -> Told:
    """Every body whose shaft has a place, and what does not tell its size."""
    machine = solved.machine
    parts = list(machine.parts.values()) if machine.parts else []
    for name, shaft in machine.shafts.items():
        if name not in nowhere:
            yield from _kept(solved, shaft, (name,), parts, _on_shaft)
    for stage in machine.stages.values():
        if stage.from_ not in nowhere:
            yield from _kept(solved, stage, (stage.from_, stage.to), parts, _stage)
    for load in machine.loads.values():
        if load.shaft not in nowhere:
            yield from _kept(solved, load, (load.shaft,), parts, _load)
    for drive in machine.drives.values():
        if drive.shaft not in nowhere:
            other = (drive.rewound_from,) if isinstance(drive, EndlessLoop) else ()
            yield from _kept(solved, drive, (drive.shaft, *other), parts, _drive)


def _kept(solved: Solved, thing: Any, shafts: tuple[str, ...], parts: list[Any],
          make: Callable[[Solved, Any], Told]) -> tuple[Placed | Missing, ...]:
    """The bodies of one thing, kept beside it for its newest place: most edits move most things nowhere.

    They depend on the thing, on the shafts it sits on and their places, and on the file's own parts; these are kept
    too, so that nothing made in passing can be taken for one of them.
    """
    rests_on = [solved.machine.shafts[s] for s in shafts if s in solved.machine.shafts] + parts
    asked = (*map(id, rests_on), *(v for s in shafts if s in solved.place for v in solved.place[s].tolist()))
    kept = thing.worked_out.get(make)
    if kept is None or kept[0] != asked:
        kept = thing.worked_out[make] = asked, tuple(make(solved, thing)), rests_on
    found: tuple[Placed | Missing, ...] = kept[1]
    return found


def _point(v: Vector) -> Point:
    x, y, z = v.tolist()
    return x, y, z


def _body(round_: Round, at: Vector, line: Vector, words: tuple[str, str, str, str, str],
          seat: str = "") -> Placed | Missing:
    """A round body at its seat, if its radius is known or bounded. `words`: path, name, kind, shaft, owner."""
    told = isfinite(round_.radius)
    radius, most = (round_.radius, round_.radius) if told else (round_.least, round_.most[0])
    if not isfinite(most):
        return Missing(words[0])
    half = round_.width / 2
    widest = half if isfinite(half) else round_.most[1] / 2 if isfinite(round_.most[1]) else WIDEST * most
    middle = _point(at + line * round_.shift if round_.shift else at)
    return Placed(*words, middle, middle, _point(line), half if isfinite(half) else 0.0, radius,
                  round_.hole if told else NONE, seat, widest, most)


def _on_shaft(solved: Solved, shaft: Shaft) -> Told:
    """Its steps and its bearings. Written out in plain numbers: a recheck asks it for every shaft."""
    (x, y, z), (a, b, c), at = _point(solved.place[shaft.name]), shaft.axis, 0.0
    line = a, b, c
    if not shaft.sections:
        yield Missing(shaft.path)
    for diameter, length in shaft.sections or ():
        d, half = diameter.nominal, length.nominal / 2
        m = at + half
        at += length.nominal
        if not isfinite(at * d):
            yield Missing(shaft.path)
        else:
            middle = x + a * m, y + b * m, z + c * m
            yield Placed(shaft.path, f"shaft {shaft.name}", "shaft", shaft.name, shaft.path, middle, middle, line, half,
                         d / 2)
    for name, seat in shaft.seats.items():
        if seat.bearing.state != "missing" and seat.at.known:
            m, size = seat.at.nominal, _bearing(solved, seat)
            middle = x + a * m, y + b * m, z + c * m
            yield Placed(seat.path, f"{name} of {shaft.name}", "bearing", shaft.name, seat.path, middle, middle, line,
                         size.width / 2, size.radius) if isfinite(size.radius) else Missing(seat.path)


def _bearing(solved: Solved, seat: Seat) -> Round:
    part = own_part(solved.machine, seat.bearing)
    if isinstance(part, BearingPart):
        return Round(part.outside.nominal / 2, part.width.nominal)
    size = ball_bearing.bearing(seat.bearing.name) if seat.bearing.known else None
    return ball_bearing.outline(size) if size is not None else Round(NAN, NAN)


def _stage(solved: Solved, stage: Any) -> Told:
    ends = [(shaft, seat) for shaft, seat in zip((stage.from_, stage.to), stage.seats, strict=False)
            if shaft in solved.machine.shafts and np.isfinite(solved.place[shaft]).all()]
    points = [seat_point(solved.machine, solved.place[shaft], shaft, seat) for shaft, seat in ends]
    lines = [axis(solved.machine.shafts[shaft]) for shaft, _ in ends]
    if isinstance(stage, Joining):
        round_ = stage_rounds(solved.machine, stage, NAN)[0][0]
        words = stage.path, stage.name, "wheel", stage.from_, stage.path
        yield _body(round_, np.mean(points, axis=0), lines[0], words, stage.seats[0])
        return
    apart = float(np.linalg.norm(np.cross(points[1] - points[0], lines[0]))) if len(points) > 1 else NAN
    for rounds, (shaft, seat), at, line in zip(stage_rounds(solved.machine, stage, apart), ends, points, lines,
                                               strict=False):
        for each in rounds:
            yield _body(each, at, line, (stage.path, f"{stage.name} on {shaft}", "wheel", shaft, stage.path), seat)
    yield from _strands(solved, stage)


def _strands(solved: Solved, stage: Any) -> Told:
    band = strand(solved.machine, stage)
    way = ways.way(solved, stage.name) if band is not None else None
    if way is None or band is None:
        return
    for pieces in way.strands:
        for a, b in pieces:
            yield Placed(stage.path, f"strand of {stage.name}", "strand", stage.from_, stage.path, _point(a),
                         _point(b), _point(way.axis), band.width / 2, band.half_height)
    for idler in way.idlers:
        middle = _point(idler.centre)
        yield Placed(stage.path, f"{idler.name} of {stage.name}", "idler", stage.from_, stage.path, middle, middle,
                     _point(way.axis), band.width / 2, idler.radius + band.half_height)


def _load(solved: Solved, load: Any) -> Told:
    """A wheel, drum, disc or cam; of a fan the way of its vanes."""
    at = seat_point(solved.machine, solved.place[load.shaft], load.shaft, load.seat)
    round_ = load_round(solved.machine, load)
    words = load.path, load.name, "wheel" if isfinite(round_.radius) else LOOSE, load.shaft, load.path
    if round_.radius != 0:  # some act on what another thing turns, without a body of their own
        yield _body(round_, at, axis(solved.machine.shafts[load.shaft]), words, load.seat)


def _drive(solved: Solved, drive: Any) -> Told:
    """What a drive has on its shaft: wheel and strands of a weight, the arm of a crank, a motor."""
    if isinstance(drive, Suspended):
        yield from _weight(solved, drive)
        return
    round_ = drive_round(solved.machine, drive)
    if round_ is not None:
        at = seat_point(solved.machine, solved.place[drive.shaft], drive.shaft, drive.seat)
        stands = isinstance(drive, Motor)
        words = drive.path, drive.name if stands else f"arm of {drive.name}", "motor" if stands else "wheel"
        yield _body(round_, at, axis(solved.machine.shafts[drive.shaft]), (*words, drive.shaft, drive.path), drive.seat)


def _weight(solved: Solved, drive: Any) -> Told:
    """The wheel of a weight, and its strand down the height it falls for certain; blocks do not tell their size."""
    radius = wheel_diameter(solved.machine, drive) / 2
    band = _suspension(solved, drive)
    ends = [(drive.shaft, drive.seat, 1.0)]
    if isinstance(drive, EndlessLoop):
        ends.append((drive.rewound_from, drive.winding_seat, -1.0))
    for shaft, seat, sign in ends:
        if not np.isfinite(solved.place[shaft]).all():
            continue
        line = axis(solved.machine.shafts[shaft])
        at = seat_point(solved.machine, solved.place[shaft], shaft, seat)
        width = getattr(drive, "drum_width", None)
        wide = width.nominal if width is not None and width.known else band.width
        words = drive.path, f"wheel of {drive.name} on {shaft}", "wheel", shaft, drive.path
        yield _body(Round(radius + band.half_height, wide), at, line, words)
        if np.isfinite(radius * drive.drop.nominal * band.half_height):
            for side in (sign, -1.0) if isinstance(drive, EndlessLoop) and sign > 0 else (sign,):
                top = at + np.asarray(SIDE[drive.hangs_on]) * radius * side
                yield Placed(drive.path, f"strand of {drive.name}", "strand", shaft, drive.path, _point(top),
                             _point(top - UP * drive.drop.nominal), _point(line), band.width / 2, band.half_height)


def _suspension(solved: Solved, drive: Any) -> Band:
    """Chain or rope a weight hangs on."""
    size = chain_size(solved.machine, drive.chain)
    if size is not None:
        return chains.strand(size)
    rope = rope_size(solved.machine, drive.suspension) if isinstance(drive, FallingWeight) else None
    return Band(rope.diameter / 2, rope.diameter) if rope is not None else Band(NAN, NAN)
