"""What a demand waits for: the givens a set of shafts needs for its torques, and for its forces, that are not there."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from layshaft.machine.kinds import (
    Allowance,
    BandBrake,
    BevelPair,
    BlockBrake,
    Cam,
    Coupling,
    CouplingPart,
    Crank,
    DiscBrake,
    EddyBrake,
    EndlessLoop,
    FallingWeight,
    FanBrake,
    Flywheel,
    GearPair,
    Motor,
    Pulses,
    Ratchet,
    RollerChain,
    Stage,
    Steady,
    SynchronousBelt,
    TorqueByAngle,
    Turntable,
    VBelt,
    Worm,
)
from layshaft.machine.model import Machine
from layshaft.machine.schema import Choice, Given
from layshaft.train.arrest import arrest_drop
from layshaft.train.bodies import pieces
from layshaft.train.sizes import own_part
from layshaft.train.solve import Solved
from layshaft.train.worms import told

FOR_TORQUE: dict[type, tuple[str, ...]] = {
    FallingWeight: ("mass", "hung_on"), EndlessLoop: ("mass", "counterweight", "pulley_loss", "chain", "teeth"),
    Crank: ("radius", "speed", "worst_push", "ripple"), Motor: ("speed", "peak_torque"),
    Steady: ("torque", "break_away", "inertia"),
    Turntable: ("mass", "rolling_coefficient", "track_radius", "radius_of_gyration", "break_away"),
    Pulses: ("per_turn", "energy", "over", "break_away"), FanBrake: ("brake", "inertia"),
    TorqueByAngle: ("points", "break_away"), Cam: ("lift", "follower", "break_away"),
    EddyBrake: ("constant", "critical_speed", "inertia"), Flywheel: ("inertia",),
    Allowance: ("torque", "peak_torque"),
    DiscBrake: ("friction", "force", "scatter", "pads", "outer_diameter", "inner_diameter",
                "inertia"),
    BlockBrake: ("friction", "force", "scatter", "covers", "drum_diameter", "lever", "shoe_arm", "pivot_offset",
                 "shoes", "inertia"),
    BandBrake: ("friction", "force", "scatter", "covers", "drum_diameter", "lever", "slack_arm", "tight_arm",
                "inertia"),
}
FOR_FORCES: dict[type, tuple[str, ...]] = {
    RollerChain: ("chain", "teeth", "centres", "line"), GearPair: ("normal_module", "teeth", "pressure_angle", "line"),
    SynchronousBelt: ("belt", "teeth", "pretension", "line"), VBelt: ("diameters", "belts", "pretension", "line"),
    BevelPair: ("normal_module", "teeth", "face", "pressure_angle"), Crank: ("radius", "handle_overhang"),
    Worm: ("axial_module", "wheel_teeth", "worm_diameter", "pressure_angle", "line"),
    Flywheel: ("mass",), EndlessLoop: ("idler_over",),
}
VANES = ("vanes", "area", "at_radius", "drag_coefficient")


def lacking(solved: Solved, root: str, *, forces: bool) -> list[str]:
    """Paths that are open or not given and that the set rooted at `root` needs, drives first."""
    machine, inside = solved.machine, solved.sets[root].ratio
    found = list(_absent(machine.gravity))
    for drive in machine.drives.values():
        if drive.shaft in inside or getattr(drive, "rewound_from", "") in inside:
            found += _of(machine, drive, forces)
    for stage in machine.stages.values():
        if stage.from_ in inside and not (isinstance(stage, Ratchet) and stage.to == "frame"):
            found += [*_of_stage(stage), *_of(machine, stage, forces)]
        if forces and isinstance(stage, Coupling) and stage.from_ in inside:
            found += _of_reaction(machine, stage)
    for load in machine.loads.values():
        if load.shaft in inside:
            found += _of(machine, load, forces)
    for name in inside:
        shaft = machine.shafts[name]
        for seat in shaft.seats.values():
            if seat.carries_shaft:
                found += [*_absent(seat.drag), *_absent(seat.break_away)]
            if seat.rubs:
                found += _absent(seat.bush.material)
        if forces:
            found += [path for step in shaft.sections for part in step for path in _absent(part)]
    return list(dict.fromkeys(found))


def lacking_in_a_blow(solved: Solved, root: str) -> list[str]:
    """What the blow of a weight that is caught waits for: what it hangs on, and how long that is."""
    machine, inside = solved.machine, solved.sets[root].ratio
    found: list[str] = []
    for drive in machine.drives.values():
        mine = drive.shaft in inside or getattr(drive, "rewound_from", "") in inside
        if mine and isinstance(drive, FallingWeight | EndlessLoop) and arrest_drop(machine, drive) is not None:
            found += _absent(drive.strand_length)
            on_chain = isinstance(drive, EndlessLoop) or drive.chain.known or drive.chain.state == "open"
            found += _absent(drive.chain if on_chain or isinstance(drive, EndlessLoop) else drive.suspension)
    return list(dict.fromkeys(found))


def _of(machine: Machine, thing: Any, forces: bool) -> Iterator[str]:
    for table in (FOR_TORQUE, FOR_FORCES) if forces else (FOR_TORQUE,):
        for kind, names in table.items():
            if isinstance(thing, kind):
                for name in names:
                    yield from _named(machine, thing, name)


def _named(machine: Machine, thing: Any, name: str) -> Iterator[str]:
    """A field of the thing, or one of two ways to say the same."""
    if name == "hung_on":
        if thing.diameter.state == "missing" and (thing.chain.known or thing.chain.state == "open"):
            yield from (*_absent(thing.chain), *_absent(thing.teeth))
        else:
            yield from _absent(thing.diameter)
    elif name == "brake":
        if not thing.constant.known:
            air = thing.air_density if thing.air_density.known else machine.venue.air_density
            yield from (path for n in VANES for path in _absent(getattr(thing, n)))
            yield from _absent(air)
    elif name in ("points", "lift"):
        yield from [f"{thing.path}.{name}"] if list(_absent(getattr(thing, name))) else []
    elif name == "follower":
        if not (thing.force.known or thing.spring_rate.known):
            yield from _absent(thing.mass)
    elif (name == "centres" and thing.links.known) or (name == "worm_diameter" and told(thing)):
        return
    elif name in ("inertia", "mass") and getattr(thing, "made_of", None) and not getattr(thing, name).known:
        for _, givens in pieces(thing).values():
            yield from (path for given in givens.values() for path in _absent(given))
    else:
        yield from _absent(getattr(thing, name))


def _of_stage(stage: Stage) -> Iterator[str]:
    yield from _absent(stage.efficiency)
    yield from _absent(stage.break_away)
    teeth = getattr(stage, "teeth", ())
    if isinstance(teeth, tuple) and not stage.ratio.known:
        yield from _absent(teeth)


def _of_reaction(machine: Machine, stage: Coupling) -> Iterator[str]:
    """A misalignment that a listed stiffness would turn into a push."""
    part = own_part(machine, stage.listing)
    if isinstance(part, CouplingPart):
        for stiffness, way in ((part.radial_stiffness, stage.offset), (part.angular_stiffness, stage.angle),
                               (part.axial_stiffness, stage.end_float)):
            yield from _absent(way) if stiffness.known else ()


def _absent(value: Any) -> Iterator[str]:
    if isinstance(value, tuple):
        for item in value:
            yield from _absent(item)
    elif isinstance(value, (Given, Choice)) and not value.known:
        yield value.path
