"""The kinds of drive, stage, load and own listing a machine file may name."""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar

from layshaft.machine.own_listings import PARTS as PARTS
from layshaft.machine.own_listings import BearingPart as BearingPart
from layshaft.machine.own_listings import ChainPart as ChainPart
from layshaft.machine.own_listings import CouplingPart as CouplingPart
from layshaft.machine.own_listings import Part as Part
from layshaft.machine.own_listings import SteelPart as SteelPart
from layshaft.machine.own_listings import SuspensionPart as SuspensionPart
from layshaft.machine.schema import (
    STATES,
    Choice,
    Given,
    Listing,
    ListOf,
    Quantity,
    Ref,
    SeatOn,
    Text,
    Thing,
    Word,
    YesNo,
    key,
)
from layshaft.trace.units import (
    ANGLE,
    COUNT,
    DAMPING,
    DENSITY,
    ENERGY,
    FORCE,
    INERTIA,
    LENGTH,
    MASS,
    RATIO,
    SPEED,
    STIFFNESS,
    STRESS,
    TIME,
    TORQUE,
    TORQUE_PER_SPEED_SQUARED,
)

TEETH = Quantity(COUNT, at_least=6, whole=True)
SIDES = ("+x", "-x", "+y", "-y")


@dataclass(frozen=True, kw_only=True)
class Drive(Thing):
    """What puts power in."""

    shaft: str = key(Ref("shafts"), "shaft it drives", "main", required=True)
    seat: str = key(SeatOn(("shaft",)), "seat on that shaft", "loop sprocket")
    engaged: Given = key(
        Quantity(RATIO, above=0, at_most=1),
        "share of the run it is engaged; where another weight goes on driving, the rest is a case of its own",
        "100 %")
    state: str = key(STATES, "how far the part is")
    note: str = key(Text(), "anything worth saying")


@dataclass(frozen=True, kw_only=True)
class Suspended(Drive):
    """What every hanging weight says."""

    mass: Given = key(Quantity(MASS, above=0), "mass that hangs, hanger included", "96 kg", may_be_open=True)
    drop: Given = key(Quantity(LENGTH, above=0), "height it may fall", "1.40 m")
    hangs_on: str = key(Word(SIDES), "side of the shaft the weight hangs on", "+y", required=True)
    over_people: bool = key(YesNo(), "people can stand under or beside it", "yes", required=True)
    pulley_loss: Given = key(Quantity(RATIO, at_least=0), "tight over slack tension of one pulley, less 1", "0.04")
    slack: Given = key(
        Quantity(LENGTH, at_least=0), "free fall before it is caught, besides the ratchet's step", "0 mm")
    strand_length: Given = key(
        Quantity(LENGTH, above=0), "length of chain or rope between wheel and weight when it is caught", "0.8 m")
    frame_stiffness: Given = key(
        Quantity(STIFFNESS, above=0), "stiffness of the frame under the weight; a frame not stated counts as rigid",
        "400 N/mm")
    winding_speed: Given = key(
        Quantity(SPEED, above=0), "turning speed of the shaft it is wound from", "23 rpm", idle=True)


@dataclass(frozen=True, kw_only=True)
class FallingWeight(Suspended):
    """A weight on a drum or sprocket, over a purchase of pulleys if `falls` is more than one."""

    diameter: Given = key(
        Quantity(LENGTH, above=0), "drum diameter to the centre of the rope", "200 mm", may_be_open=True)
    chain: Choice = key(Listing("chain"), "roller chain it hangs on, instead of a rope", "08B-1", may_be_open=True)
    teeth: Given = key(TEETH, "teeth of the sprocket, instead of a diameter", "17", may_be_open=True)
    suspension: Choice = key(Listing("suspension"), "rope it hangs on", "rope 6 mm", may_be_open=True)
    falls: Given = key(Quantity(COUNT, at_least=1, whole=True), "parts of rope that carry the weight", "1")
    wound_by: str = key(Ref("drives"), "crank that winds it", "crank", idle=True)


@dataclass(frozen=True, kw_only=True)
class EndlessLoop(Suspended):
    """A weight in the bight of an endless chain, rewound while it drives."""

    counterweight: Given = key(
        Quantity(MASS, at_least=0), "mass in the other bight, hanger included", "8 kg", may_be_open=True)
    chain: Choice = key(Listing("chain"), "loop chain", "08B-1", may_be_open=True)
    teeth: Given = key(TEETH, "teeth of drive and winding sprocket", "17", may_be_open=True)
    pulley_teeth: Given = key(TEETH, "teeth of pulleys and idler", "17")
    rewound_from: str = key(Ref("shafts"), "shaft of the winding sprocket", "wind", required=True)
    winding_seat: str = key(SeatOn(("rewound_from",)), "seat of the winding sprocket", "loop sprocket")
    idler_over: Given = key(Quantity(LENGTH), "height of the idler above the drive sprocket", "60 mm")


@dataclass(frozen=True, kw_only=True)
class Crank(Drive):
    """A hand crank."""

    radius: Given = key(Quantity(LENGTH, above=0), "radius of the handle", "300 mm")
    people: Given = key(Quantity(COUNT, at_least=1, whole=True), "people on it", "1")
    speed: Given = key(Quantity(SPEED, above=0), "turning speed", "30 rpm")
    bout: Given = key(Quantity(TIME, above=0), "how long one person turns without a rest", "2 min")
    ripple: Given = key(Quantity(RATIO, at_least=1), "largest push in a turn over the mean", "1.5")
    run_up: Given = key(Quantity(TIME, above=0), "time to bring the weight up to winding speed", "1 s")
    worst_push: Given = key(Quantity(FORCE, above=0), "largest push on the handle, someone leaning on it", "600 N")
    handle_overhang: Given = key(Quantity(LENGTH, at_least=0), "from the hub to the middle of the handle", "120 mm")
    arms_factor: Given = key(Quantity(RATIO, above=0, at_most=1), "sustained power of arms over that of legs", "0.6")


@dataclass(frozen=True, kw_only=True)
class Pedals(Crank):
    """Pedals driven by legs."""


@dataclass(frozen=True, kw_only=True)
class Motor(Drive):
    """A motor or gear motor from a listing."""

    torque: Given = key(Quantity(TORQUE, above=0), "rated torque at its shaft", "2 N m", idle=True)
    peak_torque: Given = key(Quantity(TORQUE, above=0), "largest torque when held", "5 N m")
    speed: Given = key(Quantity(SPEED, above=0), "rated speed", "60 rpm")


@dataclass(frozen=True, kw_only=True)
class Load(Thing):
    """What takes power out."""

    shaft: str = key(Ref("shafts"), "shaft it sits on", "spindle", required=True)
    seat: str = key(SeatOn(("shaft",)), "seat on that shaft", "lens table")
    engaged: Given = key(
        Quantity(RATIO, above=0, at_most=1), "share of the run it is engaged; the rest is a case of its own", "100 %")
    state: str = key(STATES, "how far the part is")
    note: str = key(Text(), "anything worth saying")


@dataclass(frozen=True, kw_only=True)
class Steady(Load):
    """A torque that does not depend on speed."""

    torque: Given = key(Quantity(TORQUE, at_least=0), "resisting torque", "2 N m")
    break_away: Given = key(Quantity(RATIO, at_least=1), "torque at rest over torque when running", "1.5")
    inertia: Given = key(Quantity(INERTIA, at_least=0), "moment of inertia", "0.5 kg m2")


@dataclass(frozen=True, kw_only=True)
class Turntable(Load):
    """A heavy body that rolls on a track or on wheels."""

    mass: Given = key(Quantity(MASS, above=0), "turning mass", "110 kg", may_be_open=True)
    radius_of_gyration: Given = key(Quantity(LENGTH, above=0), "radius of gyration", "0.42 m")
    rolling_coefficient: Given = key(Quantity(RATIO, above=0), "force over weight at the track", "0.015")
    track_radius: Given = key(Quantity(LENGTH, above=0), "radius of the track", "0.40 m")
    break_away: Given = key(Quantity(RATIO, at_least=1), "rolling resistance at rest over running", "2.0")


@dataclass(frozen=True, kw_only=True)
class Pulses(Load):
    """A hammer, cam or plunger that is lifted and let go."""

    per_turn: Given = key(Quantity(COUNT, at_least=1, whole=True), "lifts a turn", "4")
    energy: Given = key(Quantity(ENERGY, above=0), "energy of a lift at the cam", "6 J")
    over: Given = key(Quantity(ANGLE, above=0), "angle of a lift", "80 deg")
    break_away: Given = key(Quantity(RATIO, at_least=1), "torque at rest over torque when running", "1")


@dataclass(frozen=True, kw_only=True)
class FanBrake(Load):
    """Flat vanes turning in air: torque grows with the square of the speed."""

    vanes: Given = key(Quantity(COUNT, at_least=1, whole=True), "number of vanes", "2")
    area: tuple[Given, ...] = key(
        ListOf(Quantity(LENGTH, above=0), 2), "height and width of a vane", "[150 mm, 170 mm]")
    at_radius: Given = key(Quantity(LENGTH, above=0), "radius of the middle of a vane", "260 mm")
    drag_coefficient: Given = key(Quantity(RATIO, above=0), "drag coefficient", "1.20")
    air_density: Given = key(Quantity(DENSITY, above=0), "density of the air, if not that of the venue", "1.20 kg/m3")
    constant: Given = key(
        Quantity(TORQUE_PER_SPEED_SQUARED, above=0), "torque over speed squared, instead of vanes", "0.0006 N m s2")
    trim: Given = key(Quantity(RATIO, above=0), "share of the vane left uncovered", "100 %")
    governs: str = key(Ref("shafts"), "shaft whose speed the builder trims for, once, if no trim is stated", "spindle")
    governed_speed: Given = key(Quantity(SPEED, above=0), "speed it is trimmed for", "1 rpm")
    inertia: Given = key(Quantity(INERTIA, at_least=0), "moment of inertia", "0.025 kg m2")


@dataclass(frozen=True, kw_only=True)
class EddyBrake(Load):
    """A disc between magnets: torque grows with speed up to a critical speed."""

    constant: Given = key(
        Quantity(DAMPING, above=0), "torque over speed, well below the critical speed", "0.05 N m s/rad")
    critical_speed: Given = key(Quantity(SPEED, above=0), "speed of the largest torque", "600 rpm")
    inertia: Given = key(Quantity(INERTIA, at_least=0), "moment of inertia", "0.02 kg m2")


@dataclass(frozen=True, kw_only=True)
class Flywheel(Load):
    """A wheel that stores energy of motion."""

    inertia: Given = key(Quantity(INERTIA, above=0), "moment of inertia", "0.087 kg m2")
    mass: Given = key(Quantity(MASS, above=0), "mass", "7.8 kg")
    diameter: Given = key(Quantity(LENGTH, above=0), "outside diameter", "300 mm", may_be_open=True)
    bore: Given = key(Quantity(LENGTH, at_least=0), "bore", "15 mm")
    density: Given = key(Quantity(DENSITY, above=0), "density of its material", "7850 kg/m3")
    yield_strength: Given = key(Quantity(STRESS, above=0), "yield strength of its material", "235 MPa")


@dataclass(frozen=True, kw_only=True)
class Pull(Load):
    """A force stated outright on a seat, such as that of a belt, with the torque it resists with."""

    force: tuple[Given, ...] = key(ListOf(Quantity(FORCE), 3), "force on the shaft, x, y, z", "[0 N, 400 N, -900 N]")
    torque: Given = key(Quantity(TORQUE), "torque it resists with; below zero it drives", "12 N m")
    inertia: Given = key(Quantity(INERTIA, at_least=0), "moment of inertia", "0.1 kg m2")


@dataclass(frozen=True, kw_only=True)
class Allowance(Load):
    """Stands in for a module not designed yet."""

    torque: Given = key(Quantity(TORQUE, at_least=0), "mean torque set aside", "3 N m")
    peak_torque: Given = key(Quantity(TORQUE, at_least=0), "peak torque set aside", "6 N m")
    speed: Given = key(Quantity(SPEED, above=0), "speed it will want", "12 rpm")
    mass: Given = key(Quantity(MASS, at_least=0), "mass set aside", "20 kg")
    place: str = key(Text(), "where it will stand")


@dataclass(frozen=True, kw_only=True)
class Stage(Thing):
    """What lets one shaft turn another."""
    axes: ClassVar[str] = ""
    from_: str = key(Ref("shafts"), "shaft the power comes from", "main", required=True, name="from")
    to: str = key(Ref("shafts", also=("frame",)), "shaft it goes to", "lens lay", required=True)
    seats: tuple[str, ...] = key(SeatOn(("from_", "to")), "its seats on the two shafts", "[lens sprocket, sprocket]")
    ratio: Given = key(
        Quantity(RATIO, above=0), "turns of the first shaft for one of the second, while the teeth are open", "2.5")
    efficiency: Given = key(Quantity(RATIO, above=0, at_most=1), "share of the power that gets through", "0.95")
    drag: Given = key(Quantity(TORQUE, at_least=0), "constant friction torque at the first shaft", "0.1 N m")
    break_away: Given = key(Quantity(RATIO, at_least=1), "losses at rest over losses when running", "1.5")
    line: Given = key(
        Quantity(ANGLE), "direction from the first to the second axis: 0 deg is +y, 90 deg is up (seen against +x)",
        "-90 deg")
    state: str = key(STATES, "how far the part is")
    note: str = key(Text(), "anything worth saying")


@dataclass(frozen=True, kw_only=True)
class RollerChain(Stage):
    """A roller chain between two sprockets."""
    axes = "parallel"
    chain: Choice = key(Listing("chain"), "chain", "08B-1", may_be_open=True)
    teeth: tuple[Given, ...] = key(ListOf(TEETH, 2), "teeth of the two sprockets", "[19, 38]", may_be_open=True)
    centres: Given = key(Quantity(LENGTH, above=0), "wanted distance of the two axes", "about 700 mm")
    links: Given = key(Quantity(COUNT, at_least=8, whole=True), "links, instead of a wanted distance", "140")
    take_up: Given = key(
        Quantity(LENGTH, at_least=0), "how far the axes can be moved apart as the chain wears", "15 mm")
    slack_force: Given = key(Quantity(FORCE, at_least=0), "tension left in the slack strand", "20 N")
    connecting_link: str = key(Word(("press fit", "slip fit")), "connecting link", "press fit")
    length_tolerance: Given = key(Quantity(RATIO, at_least=0), "difference in length of side-by-side chains", "0.15 %")
    index_error: Given = key(Quantity(ANGLE, at_least=0), "angle between side-by-side sprockets", "0.1 deg")
    stiffness: Given = key(Quantity(STIFFNESS, above=0), "stiffness of one strand", "1500 N/mm")


@dataclass(frozen=True, kw_only=True)
class GearPair(Stage):
    """Two spur or helical gears on parallel shafts."""
    axes = "parallel"
    normal_module: Given = key(Quantity(LENGTH, above=0), "normal module", "2 mm", may_be_open=True)
    teeth: tuple[Given, ...] = key(
        ListOf(Quantity(COUNT, at_least=5, whole=True), 2), "teeth of the two gears", "[120, 16]", may_be_open=True)
    face: Given = key(Quantity(LENGTH, above=0), "face width", "20 mm", may_be_open=True)
    shift: tuple[Given, ...] = key(ListOf(Quantity(RATIO), 2), "profile shift coefficients", "[-0.25, 0.25]")
    helix: Given = key(Quantity(ANGLE), "helix angle, 0 deg for spur", "0 deg")
    pressure_angle: Given = key(Quantity(ANGLE, above=0), "normal pressure angle", "20 deg")
    materials: tuple[Choice, ...] = key(
        ListOf(Listing("steel"), 2), "steels of the two gears", "[C45+N, C45+N]", may_be_open=True)
    hardness: tuple[Given, ...] = key(
        ListOf(Quantity(COUNT, above=0), 2), "Brinell hardness of the two gears", "[190, 210]")


@dataclass(frozen=True, kw_only=True)
class BevelPair(Stage):
    """Two straight bevel gears on crossing shafts."""
    axes = "crossing"
    normal_module: Given = key(Quantity(LENGTH, above=0), "module at the large end", "3 mm", may_be_open=True)
    teeth: tuple[Given, ...] = key(
        ListOf(Quantity(COUNT, at_least=5, whole=True), 2), "teeth of the two gears", "[25, 25]", may_be_open=True)
    face: Given = key(Quantity(LENGTH, above=0), "face width", "20 mm", may_be_open=True)
    pressure_angle: Given = key(Quantity(ANGLE, above=0), "pressure angle", "20 deg")
    apex: tuple[str, ...] = key(
        ListOf(Word(("beyond", "before")), 2), "where the axes cross, seen along each axis from its gear",
        "[beyond, before]", required=True)


@dataclass(frozen=True, kw_only=True)
class Worm(Stage):
    """A worm and its wheel on crossing shafts."""
    axes = "crossing"
    starts: Given = key(Quantity(COUNT, at_least=1, whole=True), "starts of the worm", "1", may_be_open=True)
    wheel_teeth: Given = key(Quantity(COUNT, at_least=12, whole=True), "teeth of the wheel", "40", may_be_open=True)
    normal_module: Given = key(Quantity(LENGTH, above=0), "module", "2 mm", may_be_open=True, idle=True)
    lead_angle: Given = key(Quantity(ANGLE, above=0), "lead angle", "5 deg", idle=True)
    pressure_angle: Given = key(Quantity(ANGLE, above=0), "pressure angle", "20 deg", idle=True)


@dataclass(frozen=True, kw_only=True)
class Coupling(Stage):
    """Joins two shafts in line."""
    axes = "parallel"
    listing: Choice = key(Listing("coupling"), "coupling", "jaw 35", may_be_open=True)
    offset: Given = key(Quantity(LENGTH, at_least=0), "offset of the two axes expected", "0.1 mm")
    angle: Given = key(Quantity(ANGLE, at_least=0), "angle of the two axes expected", "1 mrad")
    end_float: Given = key(Quantity(LENGTH, at_least=0), "change of the gap expected", "0.5 mm")
    temperature_factor: Given = key(Quantity(RATIO, at_least=1), "torque factor for temperature", "1.0")
    gap: Given = key(Quantity(LENGTH, at_least=0), "gap between the two shaft ends", "2 mm")


@dataclass(frozen=True, kw_only=True)
class Ratchet(Stage):
    """A toothed wheel and pawl: lets one direction turn, holds the other against shaft or frame."""
    axes = "parallel"
    teeth: Given = key(TEETH, "teeth", "24", may_be_open=True)
    pawls: Given = key(
        Quantity(COUNT, at_least=1, whole=True), "pawls, set off by equal shares of a tooth: one carries at a time",
        "1")
    diameter: Given = key(Quantity(LENGTH, above=0), "outside diameter", "120 mm", may_be_open=True)
    face: Given = key(Quantity(LENGTH, above=0), "face width", "12 mm")
    tooth_depth: Given = key(Quantity(LENGTH, above=0), "depth of a tooth", "6 mm")
    root_thickness: Given = key(Quantity(LENGTH, above=0), "thickness of a tooth at its root", "9 mm")
    pin_diameter: Given = key(Quantity(LENGTH, above=0), "diameter of the pawl's pin", "12 mm")
    pin_shears: Given = key(Quantity(COUNT, at_least=1, at_most=2, whole=True), "shear planes of the pin", "2")
    material: Choice = key(Listing("steel"), "steel of wheel and pawl", "C45+N")


@dataclass(frozen=True, kw_only=True)
class OneWayHub(Stage):
    """Drives in one direction only."""
    axes = "parallel"
    listing: Choice = key(Listing("one-way hub"), "listing", "open", may_be_open=True)


DRIVES: dict[str, type] = {
    "falling weight": FallingWeight, "endless loop": EndlessLoop, "crank": Crank, "pedals": Pedals,
    "motor": Motor,
}
LOADS: dict[str, type] = {
    "steady": Steady, "turntable": Turntable, "pulses": Pulses, "fan brake": FanBrake,
    "eddy brake": EddyBrake, "flywheel": Flywheel, "pull": Pull, "allowance": Allowance,
}
STAGES: dict[str, type] = {
    "roller chain": RollerChain, "gear pair": GearPair, "bevel pair": BevelPair, "worm": Worm,
    "coupling": Coupling, "ratchet": Ratchet, "one-way hub": OneWayHub,
}
