"""Kinds of drive: what puts power in."""

from __future__ import annotations

from dataclasses import dataclass

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
from layshaft.trace.units import COUNT, FORCE, LENGTH, MASS, RATIO, SPEED, STIFFNESS, TIME, TORQUE

TEETH = Quantity(COUNT, at_least=6, whole=True)
SIDES = ("+x", "-x", "+y", "-y")
DUTY = ("M1", "M2", "M3", "M4", "M5", "M6", "M7", "M8")
SIZE = ListOf(Quantity(LENGTH, above=0), 3)
ENDS = ("poured socket", "swaged socket", "ferrule", "hand splice", "wedge socket", "clips", "eye splice", "knot")


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
    connecting_link: str = key(
        Word(("press fit", "slip fit", "offset link")),
        "what closes the chain it hangs on: slip fit and offset link carry less", "press fit")
    strand_length: Given = key(
        Quantity(LENGTH, above=0), "length of chain or rope between wheel and weight where it can be caught highest: "
        "the shortest gives the hardest blow", "0.2 m")
    frame_stiffness: Given = key(
        Quantity(STIFFNESS, above=0), "stiffness of the frame under the weight; a frame not stated counts as rigid",
        "400 N/mm")
    winding_speed: Given = key(
        Quantity(SPEED, above=0), "turning speed of the shaft it is wound from", "23 rpm", idle=True)
    size: tuple[Given, ...] = key(
        SIZE, "outside size x, y, z of what hangs, for what it may run into", "[400 mm, 120 mm, 300 mm]")
    hangs_below: Given = key(
        Quantity(LENGTH, above=0), "from the axis of its wheel down to the top of what hangs, when it is wound up",
        "350 mm")


@dataclass(frozen=True, kw_only=True)
class FallingWeight(Suspended):
    """A weight on a drum or sprocket, over a purchase of pulleys if `falls` is more than one."""

    diameter: Given = key(
        Quantity(LENGTH, above=0), "drum diameter to the centre of the rope", "200 mm", may_be_open=True)
    chain: Choice = key(Listing("chain"), "roller chain it hangs on, instead of a rope", "08B-1", may_be_open=True)
    teeth: Given = key(TEETH, "teeth of the sprocket, instead of a diameter", "17", may_be_open=True)
    suspension: Choice = key(Listing("suspension"), "rope it hangs on", "rope 6 mm", may_be_open=True)
    duty_class: str = key(Word(DUTY), "mechanism class of the hoist, from M1 (seldom, light) to M8", "M3")
    termination: str = key(Word(ENDS), "how the rope is held at its end", "ferrule")
    drum_width: Given = key(Quantity(LENGTH, above=0), "width of the drum between its flanges", "160 mm")
    drum_surface: str = key(Word(("wood", "cast iron", "steel")), "what the rope lies on", "steel")
    drum_wall: Given = key(Quantity(LENGTH, above=0), "thickness of the drum's wall under the rope", "6 mm")
    drum_steel: Choice = key(Listing("steel"), "name of the steel of the drum's wall", "S235JR")
    groove_pitch: Given = key(
        Quantity(LENGTH, above=0), "pitch of the grooves; a drum without is plain, its turns side by side", "7 mm")
    dead_wraps: Given = key(Quantity(COUNT, at_least=0), "turns that stay on the drum with the weight down", "3")
    anchor_holds: Given = key(Quantity(FORCE, above=0), "pull that the rope's anchor on the drum holds", "2 kN")
    pulley_diameter: Given = key(
        Quantity(LENGTH, above=0), "smallest pulley the rope runs over, to the centre of the rope", "120 mm")
    fleet_distance: Given = key(
        Quantity(LENGTH, above=0), "from the drum to the first pulley, which stands opposite its middle", "1.2 m")
    falls: Given = key(Quantity(COUNT, at_least=1, whole=True), "parts of rope that carry the weight", "1")
    wound_by: str = key(Ref("drives"), "crank that winds it", "crank", idle=True)


@dataclass(frozen=True, kw_only=True)
class EndlessLoop(Suspended):
    """A weight in the bight of an endless chain, rewound while it drives."""

    counterweight: Given = key(
        Quantity(MASS, at_least=0), "mass in the other bight, hanger included", "8 kg", may_be_open=True)
    counterweight_size: tuple[Given, ...] = key(
        SIZE, "outside size x, y, z of the counterweight", "[100 mm, 80 mm, 130 mm]")
    chain: Choice = key(Listing("chain"), "size of the loop chain by its number in ISO 606", "08B-1", may_be_open=True)
    teeth: Given = key(TEETH, "teeth of drive and winding sprocket", "17", may_be_open=True)
    pulley_teeth: Given = key(TEETH, "teeth of pulleys and idler", "17")
    rewound_from: str = key(Ref("shafts"), "shaft of the winding sprocket", "wind", required=True)
    winding_seat: str = key(SeatOn(("rewound_from",)), "seat of the winding sprocket", "loop sprocket")
    idler_over: Given = key(Quantity(LENGTH), "height of the idler above the drive sprocket", "60 mm")


@dataclass(frozen=True, kw_only=True)
class Crank(Drive):
    """A hand crank."""

    radius: Given = key(Quantity(LENGTH, above=0), "radius of the handle", "300 mm")
    people: Given = key(Quantity(COUNT, at_least=1, whole=True), "how many turn or tread it at once", "1")
    speed: Given = key(Quantity(SPEED, above=0), "turning speed", "30 rpm")
    bout: Given = key(Quantity(TIME, above=0), "how long one person turns without a rest", "2 min")
    ripple: Given = key(Quantity(RATIO, at_least=1), "largest push in a turn over the mean", "1.5")
    run_up: Given = key(Quantity(TIME, above=0), "time to bring the weight up to winding speed", "1 s")
    worst_push: Given = key(Quantity(FORCE, above=0), "largest push on the handle, someone leaning on it", "600 N")
    handle_overhang: Given = key(Quantity(LENGTH, at_least=0), "from the hub to the middle of the handle", "120 mm")
    arm_thickness: Given = key(Quantity(LENGTH, above=0), "thickness of the arm, along the shaft", "16 mm")
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
    outside_diameter: Given = key(Quantity(LENGTH, above=0), "greatest size of its body across the shaft", "140 mm")
    length: Given = key(Quantity(LENGTH, above=0), "length of its body, along the shaft", "220 mm")
    middle: Given = key(
        Quantity(LENGTH), "from its seat to the middle of its body, along the axis; at the seat where absent", "120 mm")
