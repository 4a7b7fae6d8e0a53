"""What every element of a machine says of the room it takes, put where its seat is."""

from __future__ import annotations

from collections.abc import Callable, Container, Iterator
from dataclasses import dataclass
from math import isfinite
from typing import Any

import numpy as np

from layshaft.elements import ball_bearing, flywheel, ratchet
from layshaft.elements.belt import outline as belts
from layshaft.elements.bevel_pair import outline as bevels
from layshaft.elements.gear_pair import geometry
from layshaft.elements.gear_pair import outline as gears
from layshaft.elements.roller_chain import outline as chains
from layshaft.elements.worm_pair import outline as worms
from layshaft.machine.kinds import (
    BearingPart,
    BevelPair,
    EndlessLoop,
    FallingWeight,
    FanBrake,
    Flywheel,
    GearPair,
    Ratchet,
    RollerChain,
    Suspended,
    SynchronousBelt,
    VBelt,
    Worm,
)
from layshaft.machine.model import Seat, Shaft
from layshaft.machine.once import once
from layshaft.mechanics.outlines import NONE, Band, Round
from layshaft.train import ways
from layshaft.train.bodies import anatomy
from layshaft.train.place import seat_point
from layshaft.train.sizes import belt_diameters, chain_size, own_part, rope_size
from layshaft.train.solve import Solved
from layshaft.train.sources import SIDE, wheel_diameter
from layshaft.train.stages import UP, Vector, apex_sides, axis, gear_sizes
from layshaft.train.worms import worm_sizes

NAN = float("nan")
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

    @property
    def stands(self) -> bool:
        """True for what does not move while the machine runs."""
        return self.kind == "bearing"


@dataclass(frozen=True, slots=True)
class Missing:
    """A part of which nothing is known of the room it takes. `kind_tells`: its kind would say, once it is chosen."""

    path: str
    kind_tells: bool


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
        if isinstance(drive, Suspended) and drive.shaft not in nowhere:
            other = (drive.rewound_from,) if isinstance(drive, EndlessLoop) else ()
            yield from _kept(solved, drive, (drive.shaft, *other), parts, _weight)


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


def _body(round_: Round, at: Vector, line: Vector, words: tuple[str, str, str, str, str]) -> Placed | Missing:
    """A round body at its seat, if its radius is known. `words`: path, name, kind, shaft, owner."""
    if not np.isfinite(round_.radius):
        return Missing(words[0], True)
    middle = _point(at + line * round_.shift if round_.shift else at)
    return Placed(*words, middle, middle, _point(line), round_.width / 2, round_.radius, round_.hole)


def _on_shaft(solved: Solved, shaft: Shaft) -> Told:
    """Its steps and its bearings. Written out in plain numbers: a recheck asks it for every shaft."""
    (x, y, z), (a, b, c), at = _point(solved.place[shaft.name]), shaft.axis, 0.0
    line = a, b, c
    if not shaft.sections:
        yield Missing(shaft.path, True)
    for diameter, length in shaft.sections or ():
        d, half = diameter.nominal, length.nominal / 2
        m = at + half
        at += length.nominal
        if not isfinite(at * d):
            yield Missing(shaft.path, True)
        else:
            middle = x + a * m, y + b * m, z + c * m
            yield Placed(shaft.path, f"shaft {shaft.name}", "shaft", shaft.name, shaft.path, middle, middle, line, half,
                         d / 2)
    for name, seat in shaft.seats.items():
        if seat.bearing.state != "missing" and seat.at.known:
            m, size = seat.at.nominal, _bearing(solved, seat)
            middle = x + a * m, y + b * m, z + c * m
            yield Placed(seat.path, f"{name} of {shaft.name}", "bearing", shaft.name, seat.path, middle, middle, line,
                         size.width / 2, size.radius) if isfinite(size.radius) else Missing(seat.path, True)


def _bearing(solved: Solved, seat: Seat) -> Round:
    part = own_part(solved.machine, seat.bearing)
    if isinstance(part, BearingPart):
        return Round(part.outside.nominal / 2, part.width.nominal)
    size = ball_bearing.bearing(seat.bearing.name) if seat.bearing.known else None
    return ball_bearing.outline(size) if size is not None else Round(NAN, NAN)


def _stage(solved: Solved, stage: Any) -> Told:
    rounds = _rounds(solved, stage)
    if rounds is None:
        yield Missing(stage.path, False)
        return
    for i, shaft in enumerate((stage.from_, stage.to)):
        if i < len(rounds) and shaft in solved.machine.shafts and np.isfinite(solved.place[shaft]).all():
            at = seat_point(solved.machine, solved.place[shaft], shaft, stage.seats[i])
            line = axis(solved.machine.shafts[shaft])
            words = stage.path, f"{stage.name} on {shaft}", "wheel", shaft, stage.path
            for round_ in rounds[i]:
                yield _body(round_, at, line, words)
    yield from _strands(solved, stage)


def _strands(solved: Solved, stage: Any) -> Told:
    band = _band(solved, stage)
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


def _rounds(solved: Solved, stage: Any) -> tuple[tuple[Round, ...], ...] | None:
    """Bodies at the first and at the second seat; None where the kind does not tell the room it takes."""
    if isinstance(stage, RollerChain):
        size = chain_size(solved.machine, stage.chain)
        return tuple((chains.wheel(size, z.nominal) if size else Round(NAN, NAN),) for z in stage.teeth)
    if isinstance(stage, (SynchronousBelt, VBelt)):
        width = stage.width.nominal if isinstance(stage, SynchronousBelt) else NAN
        return tuple((belts.pulley(d, width),) for d in belt_diameters(solved.machine, stage))
    if isinstance(stage, GearPair):
        return _gears(stage)
    if isinstance(stage, BevelPair):
        return _bevels(stage)
    if isinstance(stage, Worm):
        sizes, m = worm_sizes(stage), stage.axial_module.nominal
        return ((worms.worm(sizes.d_1, m, stage.wheel_teeth.nominal),),
                (worms.wheel(sizes.d_2, m, sizes.x, stage.face.nominal),))
    if isinstance(stage, Ratchet):
        return ((ratchet.outline(stage.diameter.nominal, stage.face.nominal),),)
    return None


@once
def _bevels(stage: BevelPair) -> tuple[tuple[Round, ...], ...]:
    z, sides = [t.nominal for t in stage.teeth], apex_sides(stage)
    return tuple(bevels.gear(z[i], z[1 - i], stage.normal_module.nominal, stage.face.nominal, -sides[i])
                 for i in (0, 1))


@once
def _gears(stage: GearPair) -> tuple[tuple[Round, ...], ...]:
    """Both gears to their tips, shortened where the shifts ask for it."""
    s, m = gear_sizes(stage), stage.normal_module.nominal
    m_t = float(geometry.transverse_module(m, stage.helix.nominal if stage.helix.known else 0.0))
    d = [float(geometry.reference_diameter(z.nominal, m_t)) for z in stage.teeth]
    if stage.internal:
        larger = 0 if d[0] > d[1] else 1
        kinds = [gears.ring if i == larger else gears.gear for i in (0, 1)]
        return tuple((kinds[i](-d[i] if i == larger else d[i], m, s.x[i], 0.0, stage.face.nominal),) for i in (0, 1))
    y = geometry.centre_modification(s.a, (d[0] + d[1]) / 2, m)
    k = float(geometry.tip_shortening(s.x[0], s.x[1], y))
    return tuple((gears.gear(d[i], m, s.x[i], k, stage.face.nominal),) for i in (0, 1))


def _band(solved: Solved, stage: Any) -> Band | None:
    if isinstance(stage, RollerChain):
        size = chain_size(solved.machine, stage.chain)
        return chains.strand(size) if size else None
    if isinstance(stage, (SynchronousBelt, VBelt)):
        return belts.strand(stage.width.nominal if isinstance(stage, SynchronousBelt) else NAN)
    return None


def _load(solved: Solved, load: Any) -> Told:
    """Flywheels and the way of fan vanes; other loads do not tell the room they take."""
    if isinstance(load, Flywheel):
        round_ = flywheel.outline(*disc(load))
    elif isinstance(load, FanBrake) and any(size.known for size in (*load.area, load.at_radius)):
        # only the vanes: how thin their arms are is not told
        height, width = (side.nominal for side in load.area) if load.area else (NAN, NAN)
        round_ = Round(load.at_radius.nominal + width / 2, height, hole=load.at_radius.nominal - width / 2)
    else:
        yield Missing(load.path, False)
        return
    at = seat_point(solved.machine, solved.place[load.shaft], load.shaft, load.seat)
    words = load.path, load.name, "wheel", load.shaft, load.path
    yield _body(round_, at, axis(solved.machine.shafts[load.shaft]), words)


def disc(load: Flywheel) -> tuple[float, float]:
    """Diameter and width of a wheel: of the rim that is drawn, else of a full disc of its mass; NaN where not known."""
    rim = anatomy(load).rim
    if not load.diameter.known and rim is not None:
        return rim.outside.nominal, rim.width.nominal
    bore = load.bore.nominal if load.bore.known else 0.0
    ring = np.pi / 4 * (load.diameter.nominal**2 - bore**2)
    return load.diameter.nominal, load.mass.nominal / load.density.nominal / ring


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
