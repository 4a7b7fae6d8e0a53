"""The failure modes each kind of part has, whether or not the house can rate them.

Written down from the machine alone, so that a missing method, a part left out of a block or a case
nobody asks shows up as `unknown`, by name.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from layshaft.machine.bearing_pairs import thrust_seats
from layshaft.machine.kinds import (
    BevelPair,
    Brake,
    Coupling,
    Crank,
    DogClutch,
    EndlessLoop,
    FallingWeight,
    Flywheel,
    FrictionClutch,
    GearPair,
    Motor,
    OneWayHub,
    Ratchet,
    RollerChain,
    ShearPin,
    SlipClutch,
    Stage,
    Suspended,
    SynchronousBelt,
    VBelt,
    Worm,
)
from layshaft.machine.model import Seat, Shaft
from layshaft.machine.once import once
from layshaft.train.arrest import arrest_drop
from layshaft.train.forces import CROSS_HOLE, GROOVE
from layshaft.train.place import length
from layshaft.verdict.clearances import HAND_MODE
from layshaft.verdict.clearances import MODE as COLLISION
from layshaft.verdict.context import Context, seats_in_use
from layshaft.verdict.hazards import frees_a_weight
from layshaft.verdict.kicks import MODE as KICK_BACK
from layshaft.verdict.kicks import under_a_weight
from layshaft.verdict.kinds import brakes, fixings, frames, springs, wheels, worms
from layshaft.verdict.kinds.bearing_duty import has_duty
from layshaft.verdict.kinds.bearings import life_is_asked
from layshaft.verdict.kinds.engaged import CLOSING, closed_running
from layshaft.verdict.kinds.engaged import TEETH as DOG_TEETH
from layshaft.verdict.kinds.gear_fit import is_spur, set_at_centres
from layshaft.verdict.kinds.hubs import modes_of as modes_of_hub
from layshaft.verdict.kinds.load_chains import hangs_on_chain
from layshaft.verdict.kinds.ropes import modes_of, on_rope
from layshaft.verdict.kinds.slip_clutches import by_springs
from layshaft.verdict.kinds.twins import pairs
from layshaft.verdict.runaways import MODE as RUN_AWAY

CHAIN = ("static strength", "dynamic strength", "joint pressure", "plate capacity", "roller capacity",
         "wear elongation", "wear life", "wrap")
HOISTING_CHAIN = ("slow hoisting duty", "no offset link", "tooth jump")
LOAD_CHAIN = ("slow hoisting duty", "no offset link")
TWIN = ("one chain alone", "twin parts", "tighter of two")
IDLER = ("idler engagement", "idler on the slack strand")
V_BELT = ("grip", "belt life", "pulley size")
SYNCHRONOUS_BELT = ("tooth pull", "tooth jump", "pulley size")
TEETH = ("root strength", "flank wear", "jam strength")
GEARS = ("root fatigue", "flank pitting", "flank wear", "jam strength")
BEVEL = (*TEETH, "contact ratio", "undercut", "face width")
FIT = ("contact ratio", "tip above base", "tooth interference", "undercut", "tip thickness")
COUPLING = ("steady torque", "alternating torque", "peak torque", "misalignment")
RATCHET = ("tooth bending", "tooth pressure", "pawl pin shear", "pawl pin bending", "pawl seating")
ONE_WAY = ("sense of drive",)
HUB = ("held torque", "overrun speed")
LETS_GO = ("grip in running",)
CAUGHT = ("grip when caught",)
SECTION = ("fatigue", "yield")
WHOLE_SHAFT = ("twist", "critical speed")
MESH = ("slope at mesh", "deflection at mesh")
AT_COUPLING = ("slope at coupling", "deflection at coupling")
LIFE = ("rating life",)
OVER_DUTY = ("rating life", "life over the duty")
BUSH = ("bush pressure", "rubbing speed", "pressure times speed", "wear of the bush", "edge load")
KEY = ("flank pressure", "key shear")
WEIGHT = ("static strength of the suspension", "arrested strength of the suspension")
LOOP_WHEEL = ("wrap", "tooth jump")
LOOP_WHEELS = ("drive wheel", "winding wheel")
CRANK = ("handle force", "power of one person")
NOT_ON_SEATS = "nothing on this seat says how the torque passes: no key and no hub given"
NO_OIL_IN_PAIRS = ("the life-modification factor is reckoned for deep groove bearings alone: leave the oil out, or "
                   "ask its maker")
EMPTY_SEAT = "what sits here is not in the file: no bearing, no key, no part"


@dataclass(frozen=True, slots=True)
class Expected:
    """One failure mode of one part; `place` where the part has several. `why` where no method can answer."""

    path: str
    place: str
    mode: str
    why: str = ""


def expected(c: Context) -> Iterator[Expected]:
    """Every failure mode of every part of the machine."""
    acted_on, over_duty = seats_in_use(c.machine), has_duty(c)
    for shaft in c.machine.shafts.values():
        here = frozenset(seat for on, seat in acted_on if on == shaft.name)
        yield from _of_shaft(shaft, here, _lives(c, shaft, over_duty), frozenset(thrust_seats(c.machine, shaft)))
    for stage in c.machine.stages.values():
        yield from (Expected(stage.path, "", mode) for mode in _of_stage(c, stage))
        if isinstance(stage, GearPair):
            yield from (Expected(stage.path, "", mode) for mode in _fit(stage))
        yield from _at_mesh(c, stage)
        yield from _of_idlers(stage)
    for stage, _ in pairs(c):
        yield from (Expected(stage.path, "", mode) for mode in TWIN)
    for drive in c.machine.drives.values():
        yield from _of_drive(c, drive)
    for load in (c.machine.loads or {}).values():
        if isinstance(load, Brake):
            yield from (Expected(load.path, "", mode) for mode in brakes.MODES
                        if mode != "stopping time" or load.stop_within.known)
        if isinstance(load, Flywheel):
            yield from (Expected(load.path, "", mode) for mode in wheels.kind_of(load).modes)
    for fixing in (c.machine.fixings or {}).values():
        yield from (Expected(fixing.path, "", mode) for mode in fixings.MODES[type(fixing)])
    for spring in (c.machine.springs or {}).values():
        yield from (Expected(spring.path, "", mode) for mode in springs.modes_of(spring))
    for member in (c.machine.frames or {}).values():
        yield from (Expected(member.path, "", mode) for mode in frames.modes_of(member))
    yield from (Expected(path, "", RUN_AWAY) for path in dict.fromkeys(f.loss.path for f in c.freed))
    for module in c.machine.modules.values():
        yield Expected(module.path, "", COLLISION)
        if not module.mass.known:
            yield Expected(module.path, "", "mass", f"mass of the module is not given ({module.mass.path})")


def _of_stage(c: Context, stage: Stage) -> tuple[str, ...]:
    if isinstance(stage, RollerChain):
        under = c.hurts(stage.path).startswith("whoever stands under")
        return CHAIN + HOISTING_CHAIN if under else CHAIN
    if isinstance(stage, GearPair):
        return (*GEARS, "root strength") if is_spur(stage) else GEARS
    if isinstance(stage, (SynchronousBelt, VBelt)):
        return V_BELT if isinstance(stage, VBelt) else SYNCHRONOUS_BELT
    if isinstance(stage, Coupling):
        return COUPLING
    if isinstance(stage, (Ratchet, OneWayHub)):
        own = RATCHET if isinstance(stage, Ratchet) else HUB
        return own if stage.to == "frame" else own + ONE_WAY
    if isinstance(stage, FrictionClutch):
        heat = ("heat of closing",) if closed_running(stage) else ()
        return LETS_GO + (CAUGHT if frees_a_weight(c.hurts(stage.path)) else ()) + ("lining pressure",) + heat
    if isinstance(stage, DogClutch):
        return DOG_TEETH + (CLOSING if closed_running(stage) else ())
    if isinstance(stage, (SlipClutch, ShearPin)):
        linings = ("lining pressure",) if isinstance(stage, SlipClutch) and by_springs(stage) else ()
        return LETS_GO + (CAUGHT if frees_a_weight(c.hurts(stage.path)) else ()) + linings
    if isinstance(stage, Worm):
        return worms.modes_of(stage)
    if isinstance(stage, BevelPair):
        return BEVEL
    return ("held torque",)


def _fit(stage: GearPair) -> Iterator[str]:
    yield from FIT
    if stage.internal:
        yield "tip clash in the ring"
    if set_at_centres(stage):
        yield "backlash"


def _of_idlers(stage: Stage) -> Iterator[Expected]:
    for idler in stage.idlers.values() if isinstance(stage, RollerChain) and stage.idlers else ():
        yield from (Expected(idler.path, "", mode) for mode in IDLER)
        if idler.travel.known and idler.travel.nominal > 0:
            yield Expected(idler.path, "", "tensioner travel")


def _at_mesh(c: Context, stage: Stage) -> Iterator[Expected]:
    modes = AT_COUPLING if isinstance(stage, Coupling) else MESH
    if isinstance(stage, (GearPair, RollerChain, Coupling)):
        for shaft, seat in zip((stage.from_, stage.to), stage.seats, strict=True):
            path = c.machine.shafts[shaft].seats[seat].path
            yield from (Expected(path, "", mode) for mode in modes)
    elif isinstance(stage, BevelPair):
        yield from (Expected(stage.path, "", mode) for mode in MESH)


def _lives(c: Context, shaft: Shaft, over_duty: bool) -> tuple[str, ...]:
    """Which lives are asked of the bearings of a shaft: none where they stand or only rock."""
    if not life_is_asked(c, shaft):
        return ()
    return OVER_DUTY if over_duty else LIFE


@once
def _of_shaft(shaft: Shaft, acted_on: frozenset[str], lives: tuple[str, ...],
              in_pairs: frozenset[str]) -> tuple[Expected, ...]:
    found = [Expected(shaft.path, place, mode) for place in _places(shaft) for mode in SECTION]
    found += [Expected(shaft.path, "", mode) for mode in WHOLE_SHAFT]
    for name, seat in shaft.seats.items():
        found += _of_seat(seat, lives, carries=name in acted_on, in_pair=name in in_pairs)
    return tuple(found)


def _places(shaft: Shaft) -> list[str]:
    """Seats, notches and the middles of steps; seats and cuts alone while a length is open."""
    cuts = ((GROOVE, shaft.grooves), (CROSS_HOLE, shaft.cross_holes))
    found, at = [*shaft.seats, *(f"{word}{i + 1}" for word, cut in cuts for i in range(len(cut)))], 0.0
    if length(shaft) == length(shaft):
        for i, (_, step) in enumerate(shaft.sections):
            found.append(f"step at {(at + step.nominal / 2) * 1e3:.0f} mm")
            at += step.nominal
            if i < len(shaft.sections) - 1:
                found.append(f"shoulder {i + 1}")
    return found


def _of_seat(seat: Seat, lives: tuple[str, ...], *, carries: bool, in_pair: bool) -> Iterator[Expected]:
    if seat.bearing.state != "missing":
        yield from (Expected(f"{seat.path}.bearing", "", mode) for mode in ("static load", *lives))
        if lives and seat.base_oil.known:
            yield Expected(f"{seat.path}.bearing", "", "modified life", NO_OIL_IN_PAIRS if in_pair else "")
        yield Expected(seat.path, "", "slope at bearing")
    if seat.rubs:
        yield from (Expected(f"{seat.path}.bush", "", mode) for mode in BUSH)
    if seat.hub.stated:
        yield from (Expected(seat.hub.path, "", mode) for mode in modes_of_hub(seat.hub))
    if seat.key_size.state != "missing":
        yield from (Expected(f"{seat.path}.key", "", mode) for mode in KEY)
    elif seat.hub.stated:
        return
    elif carries:
        yield from (Expected(f"{seat.path}.key", "", mode, NOT_ON_SEATS) for mode in KEY)
    elif not seat.carries_shaft:
        yield Expected(seat.path, "", "what sits here", EMPTY_SEAT)


def _of_drive(c: Context, drive: object) -> Iterator[Expected]:
    if isinstance(drive, Suspended):
        yield Expected(drive.path, "", WEIGHT[0])
        yield Expected(drive.path, "", WEIGHT[1], "neither a ratchet nor slack says how far it can fall free"
                       if arrest_drop(c.machine, drive) is None else "")
        if isinstance(drive, FallingWeight) and on_rope(c.machine, drive):
            yield from (Expected(drive.path, "", mode) for mode in modes_of(c.machine, drive))
        if hangs_on_chain(drive):
            yield from (Expected(drive.path, "", mode) for mode in LOAD_CHAIN)
        if isinstance(drive, EndlessLoop):
            yield from (Expected(f"{drive.path}.{wheel}", "", mode) for wheel in LOOP_WHEELS for mode in LOOP_WHEEL)
    elif isinstance(drive, Crank):
        yield from (Expected(drive.path, "", mode) for mode in (*CRANK, HAND_MODE))
        for weight in under_a_weight(c.machine, c.solved.set_of(drive.shaft), drive):
            yield Expected(drive.path, weight.name, KICK_BACK)
    elif isinstance(drive, Motor):
        yield Expected(drive.path, "", "rated torque", "no method for motors yet")

