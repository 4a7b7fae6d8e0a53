"""Kinds of stage: what lets one shaft turn another."""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar

from layshaft.machine.schema import (
    STATES,
    Choice,
    Given,
    Listing,
    ListOf,
    MapOf,
    Quantity,
    QuantityMap,
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
    AREA,
    COUNT,
    DEGREE,
    FORCE,
    LENGTH,
    RATIO,
    STIFFNESS,
    TORQUE,
    TORSIONAL_STIFFNESS,
)

TEETH = Quantity(COUNT, at_least=6, whole=True)
TREATMENTS = ("normalised", "quenched carbon", "quenched alloy", "case-hardened", "induction-hardened", "nitrided")
"""Lines of ISO 6336-5 by heat treatment; quenched and tempered steels are plain carbon or alloyed."""
STEEPEST = 45 * DEGREE
"""Neither a helix nor a pressure angle beyond it is cut."""
WORM_WHEELS = ("sand-cast tin bronze", "chill-cast tin bronze", "centrifugally cast tin bronze")
LUBRICATION = ("none", "manual", "drip", "bath", "oil stream")
"""Classes 0 to 4 of what keeps a chain's joints oiled."""


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
    torsional_stiffness: Given = key(
        Quantity(TORSIONAL_STIFFNESS, above=0), "torsional stiffness at its first shaft, the second held, where it is "
        "known better than from its sizes", "1500 N m/rad")
    line: Given = key(
        Quantity(ANGLE), "direction from the first to the second axis: 0 deg is +y, 90 deg is up (seen against +x)",
        "-90 deg")
    state: str = key(STATES, "how far the part is")
    note: str = key(Text(), "anything worth saying")


@dataclass(frozen=True, kw_only=True)
class Wheels(Stage):
    """A stage with a wheel on each of its two shafts."""
    runout: tuple[Given, ...] = key(
        ListOf(Quantity(LENGTH, at_least=0), 2), "radial runout of the two wheels on their shafts, as a dial shows it; "
        "for gears without it their `accuracy` stands in", "[0.05 mm, 0.08 mm]")


@dataclass(frozen=True, kw_only=True)
class Idler(Thing):
    """An idler or tensioner wheel on one strand of a chain."""
    teeth: Given = key(TEETH, "number of teeth", "17", may_be_open=True)
    along: Given = key(Quantity(LENGTH), "place along the line of centres, from the first axis", "200 mm")
    off: Given = key(
        Quantity(LENGTH), "distance from the line of centres; above 0 on the side `line` plus 90 deg", "-80 mm")
    runs: str = key(
        Word(("inside", "outside")), "inside the loop of the chain, or on its back", "outside", required=True)
    travel: Given = key(
        Quantity(LENGTH, at_least=0), "how far it can be moved against its strand; none makes a fixed idler", "25 mm")
    state: str = key(STATES, "how far the part is")
    note: str = key(Text(), "anything worth saying")


@dataclass(frozen=True, kw_only=True)
class RollerChain(Wheels):
    """A roller chain between two sprockets."""
    axes = "parallel"
    chain: Choice = key(Listing("chain"), "size of the chain by its number in ISO 606", "08B-1", may_be_open=True)
    teeth: tuple[Given, ...] = key(ListOf(TEETH, 2), "teeth of the two sprockets", "[19, 38]", may_be_open=True)
    centres: Given = key(Quantity(LENGTH, above=0), "wanted distance of the two axes", "about 700 mm")
    links: Given = key(Quantity(COUNT, at_least=8, whole=True), "number of links, instead of a wanted distance", "140")
    take_up: Given = key(
        Quantity(LENGTH, at_least=0), "how far the axes can be moved apart as the chain wears", "15 mm")
    slack_force: Given = key(Quantity(FORCE, at_least=0), "tension left in the slack strand", "20 N")
    connecting_link: str = key(
        Word(("press fit", "slip fit", "offset link")),
        "what closes the chain to a loop: slip fit and offset link carry less", "press fit")
    lubrication: str = key(Word(LUBRICATION), "how the chain is oiled", "manual")
    idlers: dict[str, Idler] = key(
        MapOf(Idler), "idler and tensioner wheels, at most one on each strand; with them `centres` is exact",
        "tension wheel: {teeth: 17, along: 200 mm, off: -80 mm, runs: outside, travel: 25 mm}")
    length_tolerance: Given = key(Quantity(RATIO, at_least=0), "difference in length of side-by-side chains", "0.15 %")
    index_error: Given = key(Quantity(ANGLE, at_least=0), "angle between side-by-side sprockets", "0.1 deg")
    stiffness: Given = key(Quantity(STIFFNESS, above=0), "stiffness of one strand", "1500 N/mm")
    cut_to: str = key(
        Word(("ISO 606",)), "standard whose permitted runout counts for sprockets of no stated `runout`", "ISO 606")


@dataclass(frozen=True, kw_only=True)
class SynchronousBelt(Wheels):
    """A toothed belt on two toothed pulleys: the ratio is exact."""
    axes = "parallel"
    belt: Choice = key(Listing("synchronous belt"), "profile of the belt", "XL", may_be_open=True)
    teeth: tuple[Given, ...] = key(ListOf(TEETH, 2), "teeth of the two pulleys", "[20, 40]", may_be_open=True)
    width: Given = key(Quantity(LENGTH, above=0), "width of the belt", "9.5 mm", may_be_open=True)
    pretension: Given = key(Quantity(FORCE, at_least=0), "tension of one strand at rest", "60 N")
    centres: Given = key(Quantity(LENGTH, above=0), "distance of the two axes", "180 mm")
    belt_teeth: Given = key(
        Quantity(COUNT, at_least=12, whole=True), "teeth of the belt, instead of a distance", "100")


@dataclass(frozen=True, kw_only=True)
class VBelt(Wheels):
    """V belts side by side on two grooved pulleys: they creep a little and slip when overloaded."""
    axes = "parallel"
    belt: Choice = key(Listing("V belt"), "section of the belts", "A", may_be_open=True)
    diameters: tuple[Given, ...] = key(
        ListOf(Quantity(LENGTH, above=0), 2), "pitch diameters of the two pulleys", "[90 mm, 270 mm]",
        may_be_open=True)
    belts: Given = key(Quantity(COUNT, at_least=1, whole=True), "belts side by side", "1")
    pulley_width: Given = key(Quantity(LENGTH, above=0), "width of the pulleys over their rims", "20 mm")
    pretension: Given = key(Quantity(FORCE, at_least=0), "tension of one strand of one belt, at rest", "120 N")
    friction: Given = key(
        Quantity(RATIO, above=0), "friction of belt on flank; a published value stands in where it is not given",
        "0.17")
    creep: Given = key(
        Quantity(RATIO, at_least=0, at_most=0.1), "share of speed lost in the belt; none where it is not given",
        "1 %")
    centres: Given = key(Quantity(LENGTH, above=0), "distance of the two axes", "420 mm")
    belt_length: Given = key(
        Quantity(LENGTH, above=0), "length of the belt at its pitch line, instead of a distance", "1400 mm")


@dataclass(frozen=True, kw_only=True)
class GearPair(Wheels):
    """Two spur, helical or double helical gears on parallel shafts; or a gear inside a ring."""
    axes = "parallel"
    normal_module: Given = key(
        Quantity(LENGTH, above=0),
        "size of the teeth, cut square: times the teeth it is a spur gear's pitch circle", "2 mm", may_be_open=True)
    teeth: tuple[Given, ...] = key(
        ListOf(Quantity(COUNT, at_least=5, whole=True), 2), "teeth of the two gears", "[120, 16]", may_be_open=True)
    face: Given = key(Quantity(LENGTH, above=0), "face width", "20 mm", may_be_open=True)
    internal: bool = key(YesNo(), "the larger gear is a ring with teeth inside, and both turn alike", "yes")
    centres: Given = key(
        Quantity(LENGTH, above=0), "distance of the axes; without `shift` the teeth are shifted to fit it", "137 mm")
    pinion_shift: Given = key(
        Quantity(RATIO, at_least=-1, at_most=2), "share of the smaller gear in the shift that `centres` asks for",
        "0.3")
    shift: tuple[Given, ...] = key(
        ListOf(Quantity(RATIO, at_least=-1, at_most=2), 2), "profile shift coefficients, positive for thicker teeth",
        "[-0.25, 0.25]")
    helix: Given = key(
        Quantity(ANGLE, at_least=-STEEPEST, at_most=STEEPEST),
        "helix angle, 0 deg for spur; above 0 the first gear is right-handed", "15 deg")
    double: bool = key(YesNo(), "double helical: two halves of opposite hand on each gear", "yes")
    pressure_angle: Given = key(
        Quantity(ANGLE, above=0, at_most=STEEPEST),
        "slope of the flanks at the pitch circle, cut square; 20 deg is usual", "20 deg")
    materials: tuple[Choice, ...] = key(
        ListOf(Listing("steel"), 2), "steels of the two gears", "[C45+N, C45+N]", may_be_open=True)
    hardness: tuple[Given, ...] = key(
        ListOf(Quantity(COUNT, above=0), 2), "hardness of the two gears: Brinell, above 400 Vickers", "[190, 210]")
    treatment: tuple[str, ...] = key(
        ListOf(Word(TREATMENTS), 2), "heat treatment of the two gears, where their steels do not say it",
        "[quenched alloy, normalised]")
    grade: str = key(
        Word(("ML", "MQ", "ME")), "grade of material and treatment, ISO 6336-5; the lowest where none is stated", "ML")
    accuracy: Given = key(
        Quantity(COUNT, at_least=1, at_most=12, whole=True),
        "flank tolerance class of the less accurate gear, ISO 1328-1", "9")
    lubrication: str = key(Word(("grease", "oil", "dry")), "what is between the teeth", "grease")
    floats: str = key(
        Word(("from", "to", "neither")), "which shaft of double helical gears is free to move along its axis", "from")
    factors: dict[str, Given] = key(
        QuantityMap(RATIO), "factors of ISO 6336 given instead of reckoned, by name")


@dataclass(frozen=True, kw_only=True)
class BevelPair(Wheels):
    """Two straight bevel gears on shafts that cross at right angles. Spiral teeth are not covered."""
    axes = "crossing"
    normal_module: Given = key(Quantity(LENGTH, above=0), "module at the large end", "3 mm", may_be_open=True)
    teeth: tuple[Given, ...] = key(
        ListOf(Quantity(COUNT, at_least=5, whole=True), 2), "teeth of the two gears", "[25, 25]", may_be_open=True)
    face: Given = key(Quantity(LENGTH, above=0), "face width", "20 mm", may_be_open=True)
    pressure_angle: Given = key(
        Quantity(ANGLE, above=0, at_most=STEEPEST),
        "slope of the flanks at the pitch circle; 20 deg is usual", "20 deg")
    apex: tuple[str, ...] = key(
        ListOf(Word(("beyond", "before")), 2), "where the axes cross, seen along each axis from its gear",
        "[beyond, before]", required=True)
    materials: tuple[Choice, ...] = key(
        ListOf(Listing("steel"), 2), "steels of the two gears", "[C45+N, C45+N]", may_be_open=True)
    hardness: tuple[Given, ...] = key(
        ListOf(Quantity(COUNT, above=0), 2), "hardness of the two gears: Brinell, above 400 Vickers", "[190, 210]")


@dataclass(frozen=True, kw_only=True)
class Worm(Stage):
    """A worm (on the first shaft) and its wheel, the shafts at right angles; `line` says where the wheel lies."""
    axes = "crossing"
    starts: Given = key(Quantity(COUNT, at_least=1, whole=True), "starts of the worm", "1", may_be_open=True)
    wheel_teeth: Given = key(
        Quantity(COUNT, at_least=12, whole=True), "number of teeth of the worm wheel", "40", may_be_open=True)
    axial_module: Given = key(
        Quantity(LENGTH, above=0), "axial module of the worm, module of the wheel", "3 mm", may_be_open=True)
    worm_diameter: Given = key(
        Quantity(LENGTH, above=0), "reference diameter of the worm; or state one of the next three", "30 mm",
        may_be_open=True)
    quotient: Given = key(Quantity(RATIO, above=0), "reference diameter of the worm over the module", "10")
    lead_angle: Given = key(
        Quantity(ANGLE, above=0, at_most=STEEPEST), "lead angle at the reference diameter", "5.71 deg")
    centres: Given = key(
        Quantity(LENGTH, above=0), "distance of the axes; where the worm's diameter is known too, the wheel is shifted "
        "to fit", "75 mm")
    hand: str = key(Word(("right", "left")), "hand of the threads; right where it is not given", "right")
    pressure_angle: Given = key(
        Quantity(ANGLE, above=0, at_most=STEEPEST),
        "slope of the flanks at the pitch circle, cut square; 20 deg is usual", "20 deg")
    face: Given = key(Quantity(LENGTH, above=0), "face width of the wheel", "20 mm", may_be_open=True)
    friction: Given = key(
        Quantity(RATIO, above=0), "friction of the running mesh, where no efficiency is given; of neither, a published "
        "curve by sliding speed stands in", "0.06")
    wheel_material: str = key(Word(WORM_WHEELS), "material of the wheel's rim", WORM_WHEELS[0])
    worm_hardness: Given = key(
        Quantity(COUNT, above=0), "hardness of the worm's threads: Brinell, above 400 Vickers", "600")
    housing_area: Given = key(
        Quantity(AREA, above=0), "outside of the closed case it runs in; none where it runs open", "0.2 m2")


@dataclass(frozen=True, kw_only=True)
class InLine(Stage):
    """Joins two shafts whose axes are one: the second goes on where the first ends."""
    axes = "parallel"
    gap: Given = key(Quantity(LENGTH, at_least=0), "gap between the two shaft ends", "2 mm")


@dataclass(frozen=True, kw_only=True)
class Joining(InLine):
    """A body on both shaft ends, its middle half-way between its seats."""
    outside_diameter: Given = key(
        Quantity(LENGTH, above=0), "its greatest diameter, if not that of its listing", "56 mm")
    length: Given = key(Quantity(LENGTH, above=0), "its length over all, if not that of its listing", "66 mm")


@dataclass(frozen=True, kw_only=True)
class Coupling(Joining):
    """Joins two shafts in line."""
    listing: Choice = key(
        Listing("coupling"), "name of the coupling, as a list or `parts` has it", "jaw 35", may_be_open=True)
    offset: Given = key(Quantity(LENGTH, at_least=0), "offset of the two axes expected", "0.1 mm")
    angle: Given = key(Quantity(ANGLE, at_least=0), "angle of the two axes expected", "1 mrad")
    end_float: Given = key(Quantity(LENGTH, at_least=0), "change of the gap expected", "0.5 mm")
    temperature_factor: Given = key(
        Quantity(RATIO, at_least=1),
        "torque factor for temperature; where absent, that of its element at the warmest of the venue", "1.0")
    starts_per_hour: Given = key(
        Quantity(COUNT, at_least=0), "starts an hour; where absent, up to 120", "30")


@dataclass(frozen=True, kw_only=True)
class UniversalJoint(Joining):
    """A cross joint between two shafts that stand at an angle; for places and forces they count as in line."""
    angle: Given = key(
        Quantity(ANGLE, at_least=0, at_most=STEEPEST), "angle between the two shafts", "8 deg")
    double: bool = key(
        YesNo(), "two joints at equal angles, their yokes in line, so that the second undoes what the first does",
        "yes")


@dataclass(frozen=True, kw_only=True)
class Ratchet(InLine):
    """A toothed wheel and pawl: lets one direction turn, holds the other against shaft or frame."""
    teeth: Given = key(TEETH, "number of teeth", "24", may_be_open=True)
    pawls: Given = key(
        Quantity(COUNT, at_least=1, whole=True), "pawls, set off by equal shares of a tooth: one carries at a time",
        "1")
    diameter: Given = key(Quantity(LENGTH, above=0), "outside diameter", "120 mm", may_be_open=True)
    face: Given = key(Quantity(LENGTH, above=0), "face width", "12 mm")
    tooth_depth: Given = key(Quantity(LENGTH, above=0), "from the tip of a tooth to its root", "6 mm")
    root_thickness: Given = key(Quantity(LENGTH, above=0), "thickness of a tooth at its root", "9 mm")
    pin_diameter: Given = key(Quantity(LENGTH, above=0), "diameter of the pawl's pin", "12 mm")
    pin_shears: Given = key(Quantity(COUNT, at_least=1, at_most=2, whole=True), "shear planes of the pin", "2")
    pin_arm: Given = key(
        Quantity(LENGTH, above=0), "arm of an overhung pin, or the free span of a pin held on both sides", "18 mm")
    flank_angle: Given = key(
        Quantity(ANGLE), "angle by which the tooth's flank leans so that it draws the pawl in", "15 deg")
    friction: Given = key(Quantity(RATIO, above=0), "friction between pawl and flank", "0.15")
    material: Choice = key(Listing("steel"), "steel of wheel and pawl", "C45+N")


@dataclass(frozen=True, kw_only=True)
class OneWayHub(Joining):
    """Drives in one direction only, and lets what it drives run ahead; to the frame it holds one direction."""
    listing: Choice = key(
        Listing("one-way hub"), "name of the hub, as a list or `parts` has it", "open", may_be_open=True)
