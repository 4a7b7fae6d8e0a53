"""What every element of a machine says of the room it takes, put where its seat is."""

from __future__ import annotations

from collections.abc import Callable, Container, Iterator, Sequence
from math import isfinite
from typing import Any

import numpy as np

from layshaft.elements import ball_bearing
from layshaft.machine.kinds import BearingPart, EndlessLoop, Joining, Motor, Suspended
from layshaft.machine.model import Seat, Shaft
from layshaft.mechanics.nearness import ALIKE
from layshaft.mechanics.outlines import NONE, Round
from layshaft.train import ways
from layshaft.train.hung import hung
from layshaft.train.place import seat_point
from layshaft.train.placed import BAR, LOOSE, Missing, Placed, block, body, point
from layshaft.train.room import band as strand
from layshaft.train.room import drive_round, load_round, stage_rounds, thickest
from layshaft.train.sizes import own_part
from layshaft.train.solve import Solved
from layshaft.train.stages import axis

NAN = float("nan")
LONGEST = 4.0
"""Diameters of the shaft that a bearing or bush of no told width is long at most; usual are up to 2. Common practice,
no single source."""

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


def _on_shaft(solved: Solved, shaft: Shaft) -> Told:
    """Its steps and its bearings. Written out in plain numbers: a recheck asks it for every shaft."""
    (x, y, z), (a, b, c), at = point(solved.place[shaft.name]), shaft.axis, 0.0
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
            yield Placed(shaft.path, f"shaft {shaft.name}", BAR, shaft.name, shaft.path, middle, middle, line, half,
                         d / 2)
    for name, seat in shaft.seats.items():
        if seat.carries_shaft and seat.at.known:
            m, size = seat.at.nominal, _bearing(solved, seat)
            middle = x + a * m, y + b * m, z + c * m
            words = seat.path, f"{name} of {shaft.name}", "bearing", shaft.name, seat.path
            if isfinite(size.radius) and not _inside(size, seat, shaft):
                told = isfinite(size.width)
                yield Placed(*words, middle, middle, line, size.width / 2 if told else 0.0, size.radius,
                             most_half=NONE if told else LONGEST * thickest(shaft) / 2)
            elif not seat.rubs and not isfinite(size.radius):
                yield Missing(seat.path)
            yield from _housing(seat, middle, shaft)
        elif seat.at.known:
            yield from _hub(solved, shaft, seat)


def _housing(seat: Seat, middle: tuple[float, float, float], shaft: Shaft) -> Told:
    """A housing of told size; of none, it may be a wall of the frame, and nothing bounds it."""
    if seat.housing_size and all(s.known for s in seat.housing_size):
        words = seat.path, f"housing of {seat.name} of {shaft.name}", "housing", shaft.name, seat.path
        yield block(np.array([s.nominal for s in seat.housing_size]), np.array(middle), axis(shaft), words)


def _inside(bearing: Round, seat: Seat, shaft: Shaft) -> bool:
    """True where a housing of told size covers the bearing: then there is one body, not two."""
    size, along = [s.nominal for s in seat.housing_size], [abs(a) for a in shaft.axis]
    if not size or max(along) < 1.0 - ALIKE:
        return False
    k = along.index(max(along))
    across = min(side for i, side in enumerate(size) if i != k)
    return size[k] >= bearing.width and across >= 2 * bearing.radius


def _hub(solved: Solved, shaft: Shaft, seat: Seat) -> Told:
    """A hub of told size: as its seat says, else as the way it is held does."""
    d, b = (own if own.known else getattr(seat.hub, held, own) for own, held in (
        (seat.hub_diameter, "hub_diameter"), (seat.hub_length, "length")))
    if d.known and b.known:
        at = seat_point(solved.machine, solved.place[shaft.name], shaft.name, seat.name)
        words = seat.path, f"hub of {seat.name} on {shaft.name}", "hub", shaft.name, seat.path
        yield body(Round(d.nominal / 2, b.nominal), at, axis(shaft), words, (shaft.name, seat.name))


def _bearing(solved: Solved, seat: Seat) -> Round:
    """Of a rolling bearing its rings, of a bush its outside."""
    if seat.bearing.state == "missing":
        return Round(seat.bush.outside_diameter.nominal / 2, seat.bush.length.nominal)
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
        yield body(round_, np.mean(points, axis=0), lines[0], words, *ends)
        return
    apart = float(np.linalg.norm(np.cross(points[1] - points[0], lines[0]))) if len(points) > 1 else NAN
    wheels = []
    for rounds, (shaft, seat), at, line in zip(stage_rounds(solved.machine, stage, apart), ends, points, lines,
                                               strict=False):
        for each in rounds:
            words = stage.path, f"{stage.name} on {shaft}", "wheel", shaft, stage.path
            wheels.append(body(each, at, line, words, (shaft, seat)))
    yield from wheels
    yield from _strands(solved, stage, [w.greatest[0] for w in wheels if isinstance(w, Placed)])


def _strands(solved: Solved, stage: Any, wheels: Sequence[float]) -> Told:
    """Strands and idlers. A belt of no told width is no wider than the narrower of its `wheels`, in halves."""
    band = strand(solved.machine, stage)
    way = ways.way(solved, stage.name) if band is not None else None
    if way is None or band is None:
        return
    half, most = (band.width / 2, NONE) if isfinite(band.width) else (0.0, min(wheels))
    for pieces in way.strands:
        for a, b in pieces:
            yield Placed(stage.path, f"strand of {stage.name}", "strand", stage.from_, stage.path, point(a),
                         point(b), point(way.axis), half, band.half_height, most_half=most)
    for idler in way.idlers:
        middle = point(idler.centre)
        yield Placed(stage.path, f"{idler.name} of {stage.name}", "idler", stage.from_, stage.path, middle, middle,
                     point(way.axis), half, idler.radius + band.half_height, most_half=most)


def _load(solved: Solved, load: Any) -> Told:
    """A wheel, drum, disc or cam; of a fan the way of its vanes."""
    at = seat_point(solved.machine, solved.place[load.shaft], load.shaft, load.seat)
    round_ = load_round(solved.machine, load)
    words = load.path, load.name, "wheel" if isfinite(round_.radius) else LOOSE, load.shaft, load.path
    if round_.radius != 0:  # some act on what another thing turns, without a body of their own
        yield body(round_, at, axis(solved.machine.shafts[load.shaft]), words,
                   (load.shaft, load.seat))


def _drive(solved: Solved, drive: Any) -> Told:
    """What a drive has on its shaft: wheel and strands of a weight, the arm of a crank, a motor."""
    if isinstance(drive, Suspended):
        yield from hung(solved, drive)
        return
    round_ = drive_round(solved.machine, drive)
    if round_ is not None:
        at = seat_point(solved.machine, solved.place[drive.shaft], drive.shaft, drive.seat)
        stands = isinstance(drive, Motor)
        words = drive.path, drive.name if stands else f"arm of {drive.name}", "motor" if stands else "wheel"
        yield body(round_, at, axis(solved.machine.shafts[drive.shaft]), (*words, drive.shaft, drive.path),
                   (drive.shaft, drive.seat))
