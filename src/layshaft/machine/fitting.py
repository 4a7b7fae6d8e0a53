"""What must fit once every name is known: seats on shafts, bores, keys, axes, one user a seat."""

from __future__ import annotations

import math
import re
from itertools import pairwise

from layshaft.machine import angle_fitting, bearing_pairs, hub_fitting, listings, paths, programme_fitting
from layshaft.machine.errors import Problem
from layshaft.machine.kinds import (
    Crank,
    Drive,
    EndlessLoop,
    FallingWeight,
    Fixing,
    Flywheel,
    GearPair,
    Load,
    Member,
    Motor,
    OneWayHub,
    Ratchet,
    RollerChain,
    Stage,
)
from layshaft.machine.model import Machine, Seat, Shaft
from layshaft.machine.pairs import wrong_way_about
from layshaft.machine.schema import Mark, Thing
from layshaft.machine.sentences import references as say
from layshaft.trace.units import LENGTH, shown

FRAME = "frame"
ALIGNED = 1e-3
SAME_SIZE = 5e-5
LEAST_BEARINGS = 2
SAME_PLACE = 1e-5
"""Metres: nearer than a hair's tenth two bearings are one."""
SMALLEST_HOLE = 0.1e-3
"""m; nobody drills a shaft with less, and notch factors say nothing of it."""

OF_THE_SHAFT = re.compile(r"(?:shoulder|groove|cross hole) \d+")
"""Names of sections that are no seats."""


def check(machine: Machine, passed: set[int], problems: list[Problem]) -> None:
    """Everything that does not fit, added to `problems`; shafts among `passed` (by `id`) fit."""
    used: dict[tuple[str, str], str] = {}
    for drive in machine.drives.values():
        _drive(machine, drive, used, problems)
    for stage in machine.stages.values():
        _stage(machine, stage, used, problems)
    for load in machine.loads.values():
        _use(machine, load, load.shaft, load.seat, used, problems)
        if isinstance(load, Flywheel) and id(load) not in passed:
            _pieces(load, problems)
        angle_fitting.check(load, problems)
    for thing in (*machine.stages.values(), *machine.loads.values(), *machine.springs.values()):
        wrong_way_about(thing, problems)
    for shaft in machine.shafts.values():
        if id(shaft) not in passed:
            _shaft(machine, shaft, problems)
    for fixing in machine.fixings.values():
        _fixing(machine, fixing, problems)
    for member in machine.frames.values():
        _member(machine, member, problems)
    for parting in machine.partings.values():
        if parting.between[0] == parting.between[1]:
            problems.append(Problem(parting.mark, say.same_module(parting.path, parting.between[0])))
    for want in machine.wants.values():
        if want.crank and not isinstance(machine.drives[want.crank], Crank):
            problems.append(Problem(_at(machine, f"{want.path}.crank", want),
                                    say.not_a_crank(f"{want.path}.crank", want.crank)))
    programme_fitting.check(machine, problems)


def _pieces(wheel: Flywheel, problems: list[Problem]) -> None:
    """Pieces of a drawing that cannot be: the one end beyond the other."""
    for piece in wheel.made_of.values():
        for low, high in (("inside", "outside"), ("begin", "end")):
            small, large = getattr(piece, low, None), getattr(piece, high, None)
            if small is not None and large is not None and small.nominal >= large.nominal:
                problems.append(Problem(small.mark, say.not_smaller(
                    small.path, shown(small.nominal, LENGTH), large.path, shown(large.nominal, LENGTH))))


def _fixing(machine: Machine, fixing: Fixing, problems: list[Problem]) -> None:
    """A fixing carries one bearing, or a force that is stated; its two directions stand square to each other."""
    stated = any(part.state != "missing" for part in fixing.force)
    if bool(fixing.shaft) == stated:
        problems.append(Problem(fixing.mark, say.one_load(fixing.path)))
    elif fixing.shaft and not machine.shafts[fixing.shaft].seats[fixing.seat].carries_shaft:
        problems.append(Problem(fixing.mark, say.no_bearing(fixing.path, fixing.seat, fixing.shaft)))
    if abs(sum(a * b for a, b in zip(fixing.normal, fixing.along, strict=True))) > ALIGNED:
        problems.append(Problem(_at(machine, f"{fixing.path}.along", fixing), say.not_square(fixing.path)))


def _member(machine: Machine, member: Member, problems: list[Problem]) -> None:
    """What a member carries is one load each, and stands on it."""
    span = getattr(member, "span", None)
    for item in member.carries.values():
        if bool(item.shaft) == (item.force.state != "missing"):
            problems.append(Problem(item.mark, say.one_load(item.path)))
        elif item.shaft and not machine.shafts[item.shaft].seats[item.seat].carries_shaft:
            problems.append(Problem(item.mark, say.no_bearing(item.path, item.seat, item.shaft)))
        if span is not None and item.at.nominal > span.nominal:
            problems.append(Problem(item.at.mark, say.beyond(item.at.path, shown(item.at.nominal, LENGTH), span.path,
                                                             shown(span.nominal, LENGTH))))
    if span is not None and member.lift_in.nominal * 2 >= span.nominal:  # type: ignore[attr-defined]
        lift = member.lift_in  # type: ignore[attr-defined]
        problems.append(Problem(lift.mark, say.beyond(lift.path, shown(lift.nominal, LENGTH), f"half of {span.path}",
                                                      shown(span.nominal / 2, LENGTH))))


def misfits(machine: Machine, shaft: Shaft) -> list[Problem]:
    """What does not fit on one shaft of a machine that is not read from a file."""
    problems: list[Problem] = []
    _shaft(machine, shaft, problems)
    return problems


def _at(machine: Machine, path: str, thing: Thing) -> Mark:
    node = paths.in_tree(machine.document, paths.split(path) or ())
    return thing.mark if node is None else node.mark


def _use(machine: Machine, thing: Drive | Load | Stage, shaft: str, seat: str,
         used: dict[tuple[str, str], str], problems: list[Problem]) -> None:
    first = used.setdefault((shaft, seat), thing.path)
    if first != thing.path:
        problems.append(Problem(thing.mark, say.seat_taken(thing.path, seat, shaft, first)))
    elif machine.shafts[shaft].seats[seat].carries_shaft:
        what = "bush" if machine.shafts[shaft].seats[seat].rubs else "bearing"
        problems.append(Problem(thing.mark, say.seat_has_bearing(thing.path, seat, shaft, what)))


def _drive(machine: Machine, drive: Drive, used: dict[tuple[str, str], str], problems: list[Problem]) -> None:
    _use(machine, drive, drive.shaft, drive.seat, used, problems)
    if isinstance(drive, EndlessLoop):
        if (drive.rewound_from, drive.winding_seat) == (drive.shaft, drive.seat):
            problems.append(Problem(drive.mark, say.rewound_on_itself(drive.path, drive.seat, drive.shaft)))
        else:
            _use(machine, drive, drive.rewound_from, drive.winding_seat, used, problems)
    if isinstance(drive, FallingWeight) and drive.wound_by:
        winder = machine.drives[drive.wound_by]
        if not isinstance(winder, Crank | Motor):
            path = f"{drive.path}.wound by"
            problems.append(Problem(_at(machine, path, drive), say.cannot_wind(path, drive.wound_by)))
    if isinstance(drive, FallingWeight) and drive.suspension.known:
        _rope(machine, drive, problems)


def _rope(machine: Machine, drive: FallingWeight, problems: list[Problem]) -> None:
    """A rope needs a drum and pulleys thicker than itself, grooves as wide as itself, a wall that leaves a hole."""
    size = listings.resolve(machine, "suspension", drive.suspension.name)
    rope = math.nan if size is None else size.part.diameter.nominal if size.part is not None else size.diameter
    clashes = (
        (drive.diameter, "diameter", drive.diameter.nominal <= rope, "thicker than the rope"),
        (drive.pulley_diameter, "pulley diameter", drive.pulley_diameter.nominal <= rope, "thicker than the rope"),
        (drive.groove_pitch, "groove pitch", drive.groove_pitch.nominal < rope, "at least the rope's diameter"),
    )
    for given, key, clash, wanted in clashes:
        if clash:
            problems.append(Problem(given.mark, say.no_room_for_rope(
                f"{drive.path}.{key}", shown(given.nominal, LENGTH), wanted, shown(rope, LENGTH))))
    if 2 * drive.drum_wall.nominal > drive.diameter.nominal - rope > 0:
        problems.append(Problem(drive.drum_wall.mark, say.wall_too_thick(
            f"{drive.path}.drum wall", shown(drive.drum_wall.nominal, LENGTH),
            shown(drive.diameter.nominal - rope, LENGTH))))


def _stage(machine: Machine, stage: Stage, used: dict[tuple[str, str], str], problems: list[Problem]) -> None:
    _use(machine, stage, stage.from_, stage.seats[0], used, problems)
    to = _at(machine, f"{stage.path}.to", stage) if stage.to in (FRAME, stage.from_) else stage.mark
    if isinstance(stage, OneWayHub):
        _hub(machine, stage, problems)
    if stage.to == FRAME:
        if not isinstance(stage, Ratchet | OneWayHub):
            problems.append(Problem(to, say.frame_turns_nothing(stage.path)))
        return
    if stage.from_ == stage.to:
        problems.append(Problem(to, say.stage_to_itself(stage.path, stage.to)))
        return
    _use(machine, stage, stage.to, stage.seats[1], used, problems)
    if isinstance(stage, GearPair):
        _gears(machine, stage, problems)
    if isinstance(stage, RollerChain):
        _idlers(stage, problems)
    parallel = _parallel(machine.shafts[stage.from_], machine.shafts[stage.to])
    if stage.axes == "parallel" and not parallel:
        problems.append(Problem(stage.mark, say.not_parallel(stage.path, stage.from_, stage.to)))
    elif stage.axes == "crossing" and parallel:
        problems.append(Problem(stage.mark, say.not_crossing(stage.path, stage.from_, stage.to)))


def _gears(machine: Machine, stage: GearPair, problems: list[Problem]) -> None:
    """What no gear pair can be, whatever its involutes."""
    teeth = [t.nominal for t in stage.teeth]
    if stage.internal and teeth[0] == teeth[1]:
        problems.append(Problem(stage.mark, say.ring_without_difference(stage.path, f"{teeth[0]:g}")))
    if stage.double and stage.helix.known and stage.helix.nominal == 0:
        problems.append(Problem(_at(machine, f"{stage.path}.double", stage), say.double_without_helix(stage.path)))


def _hub(machine: Machine, stage: OneWayHub, problems: list[Problem]) -> None:
    """The bore of a listed hub is that of its first shaft."""
    size = listings.resolve(machine, "one-way hub", stage.listing.name) if stage.listing.known else None
    bore = listings.bore(size) if size is not None else math.nan
    shaft = machine.shafts[stage.from_]
    ends = _ends(shaft)
    found = _diameters(shaft, ends, shaft.seats[stage.seats[0]].at.nominal)
    if found and not math.isnan(bore) and all(abs(bore - d) > SAME_SIZE for d in found):
        problems.append(Problem(stage.listing.mark, say.bore_differs(
            stage.path, stage.listing.name, shown(bore, LENGTH), shown(found[0], LENGTH), "hub")))


def _ends(shaft: Shaft) -> list[float]:
    """Places of the ends of its steps from its start; unknown from the first open length on."""
    ends = [0.0]
    for _, length in shaft.sections:
        ends.append(ends[-1] + (length.nominal if length.known else math.nan))
    return ends


def _idlers(stage: RollerChain, problems: list[Problem]) -> None:
    """One idler a strand at most, and each on a strand."""
    taken: dict[bool, str] = {}
    for idler in stage.idlers.values() if stage.idlers else ():
        if idler.off.nominal == 0:
            problems.append(Problem(idler.off.mark, say.idler_on_no_strand(idler.off.path)))
        first = taken.setdefault(idler.off.nominal > 0, idler.path)
        if first != idler.path and idler.off.known:
            problems.append(Problem(idler.mark, say.idlers_on_one_strand(idler.path, first)))


def _parallel(one: Shaft, other: Shaft) -> bool:
    a, b = one.axis, other.axis
    cross = (a[1] * b[2] - a[2] * b[1], a[2] * b[0] - a[0] * b[2], a[0] * b[1] - a[1] * b[0])
    return math.hypot(*cross) < ALIGNED


def _bearings_apart(shaft: Shaft, bearings: list[Seat], problems: list[Problem]) -> None:
    """No beam stands on one place twice: what one bearing takes and what the other cannot be told."""
    there = sorted((s for s in bearings if s.at.known), key=lambda s: s.at.nominal)
    for one, other in pairwise(there):
        if other.at.nominal - one.at.nominal <= SAME_PLACE * max(1.0, abs(other.at.nominal)):
            problems.append(Problem(other.mark, say.two_in_one_place(shaft.path, one.name, other.name,
                                                                     other.at.written)))


def _shaft(machine: Machine, shaft: Shaft, problems: list[Problem]) -> None:
    bearings = [seat for seat in shaft.seats.values() if seat.carries_shaft]
    if len(bearings) < LEAST_BEARINGS:
        problems.append(Problem(shaft.mark, say.too_few_bearings(shaft.path, [s.name for s in bearings])))
    elif len({seat.at.nominal for seat in bearings if seat.at.known}) == 1:
        problems.append(Problem(shaft.mark, say.bearings_in_one_place(shaft.path, bearings[0].at.written)))
    else:
        _bearings_apart(shaft, bearings, problems)
    ends = [0.0]
    for _, length in shaft.sections:
        ends.append(ends[-1] + (length.nominal if length.known else math.nan))
    _cuts(shaft, ends, problems)
    ends = _ends(shaft)
    _faces(machine, shaft, problems)
    for seat in shaft.seats.values():
        if OF_THE_SHAFT.fullmatch(seat.name):
            problems.append(Problem(seat.mark, say.named_like_a_notch(seat.path, seat.name)))
        at = seat.at.nominal
        if at < 0 or at > ends[-1] + SAME_SIZE:
            problems.append(Problem(seat.at.mark, say.off_the_shaft(
                seat.path, shown(at, LENGTH), shown(ends[-1], LENGTH))))
        else:
            _seat(machine, seat, _diameters(shaft, ends, at), problems)


def _faces(machine: Machine, shaft: Shaft, problems: list[Problem]) -> None:
    """A facing belongs to a bearing of a pair, both say the same, and their load centres stay apart."""
    facing = [seat for seat in shaft.seats.values() if seat.facing]
    for seat in facing:
        if bearing_pairs.part_on(machine, seat) is None:
            problems.append(Problem(_at(machine, f"{seat.path}.facing", seat), say.faces_nothing(seat.path)))
    if len({seat.facing for seat in facing}) > 1:
        problems.append(Problem(_at(machine, f"{facing[1].path}.facing", facing[1]),
                                say.faces_differ(shaft.path, [(s.name, s.facing) for s in facing])))
    moved = dict(bearing_pairs.shifts(machine, shaft))
    carried = sorted((s.at.nominal, s.name) for s in shaft.seats.values() if s.carries_shaft) if moved else []
    for (x, one), (y, other) in pairwise(carried):
        if x + moved.get(one, 0.0) > y + moved.get(other, 0.0) - SAME_SIZE:
            seat = shaft.seats[one if one in moved else other]
            problems.append(Problem(seat.mark, say.centres_meet(shaft.path, one, other)))


def _cuts(shaft: Shaft, ends: list[float], problems: list[Problem]) -> None:
    """Grooves and cross holes lie on the shaft and leave something of it."""
    for kind, cuts in (("groove", shaft.grooves), ("hole", shaft.cross_holes)):
        for at, size, *_ in cuts:
            path = at.path.removesuffix("[0]")
            here = _diameters(shaft, ends, at.nominal)
            if at.nominal > ends[-1] + SAME_SIZE:
                problems.append(Problem(at.mark, say.cut_off_the_shaft(
                    path, kind, shown(at.nominal, LENGTH), shown(ends[-1], LENGTH))))
            elif kind == "hole" and size.nominal < SMALLEST_HOLE:
                problems.append(Problem(size.mark, say.no_drilled_hole(
                    path, shown(size.nominal, LENGTH), shown(SMALLEST_HOLE, LENGTH))))
            elif here and size.nominal >= min(here):
                sentence = say.groove_leaves_more if kind == "groove" else say.hole_as_wide
                words = sentence(path, shown(size.nominal, LENGTH), shown(min(here), LENGTH))
                problems.append(Problem(size.mark, words))


def _diameters(shaft: Shaft, ends: list[float], at: float) -> list[float]:
    """Known diameters at a place: two at a shoulder, none where a section is open."""
    found = []
    for (diameter, _), start, end in zip(shaft.sections, ends, ends[1:], strict=False):
        if start - SAME_SIZE <= at <= end + SAME_SIZE and diameter.known:
            found.append(diameter.nominal)
    return found


def _seat(machine: Machine, seat: Seat, diameters: list[float], problems: list[Problem]) -> None:
    if seat.rubs and seat.bearing.state != "missing":
        problems.append(Problem(seat.bush.mark, say.bush_and_bearing(seat.path)))
    if seat.hub.stated or seat.fit or seat.housing:
        marks = {key: _at(machine, f"{seat.path}.{key}", seat) for key in ("fit", "housing")}
        hub_fitting.check(machine, seat, diameters, marks, problems)
    if not diameters:
        return
    if seat.bearing.known:
        size = listings.resolve(machine, "bearing", seat.bearing.name)
        bore = listings.bore(size) if size is not None else math.nan
        if not math.isnan(bore) and all(abs(bore - d) > SAME_SIZE for d in diameters):
            problems.append(Problem(seat.bearing.mark, say.bore_differs(
                seat.path, seat.bearing.name, shown(bore, LENGTH), shown(diameters[0], LENGTH))))
    if seat.key_size.known:
        size = listings.resolve(machine, "key", seat.key_size.name)
        if size is not None and size.row is not None:
            over = size.row.number("shaft_over_mm", listings.MILLI)
            if max(diameters) <= over - SAME_SIZE:
                problems.append(Problem(seat.key_size.mark, say.key_too_wide(
                    seat.path, seat.key_size.name, shown(over, LENGTH), shown(max(diameters), LENGTH))))
