"""Kinds of fixing: what holds a housing, foot or plate to a frame."""

from __future__ import annotations

from dataclasses import dataclass

from layshaft.machine.schema import (
    STATES,
    Choice,
    Direction,
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
from layshaft.trace.units import COUNT, FORCE, LENGTH, RATIO, STRESS, TORQUE

ROWS = Quantity(COUNT, at_least=1, whole=True)
LINES = Quantity(COUNT, at_least=0, at_most=2, whole=True)


@dataclass(frozen=True, kw_only=True)
class Fixing(Thing):
    """What holds a part to a frame; it carries the load of a bearing, or a load that is stated."""

    shaft: str = key(Ref("shafts"), "shaft whose bearing it holds", "main")
    seat: str = key(SeatOn(("shaft",)), "seat of that bearing", "left bearing")
    force: tuple[Given, ...] = key(
        ListOf(Quantity(FORCE), 3), "force on the part it holds, x, y, z, where it holds no bearing",
        "[0 N, 200 N, -900 N]")
    arm: tuple[Given, ...] = key(
        ListOf(Quantity(LENGTH), 3), "from the middle of the fixing to where the load acts, x, y, z",
        "[0 mm, 0 mm, 40 mm]")
    moment: tuple[Given, ...] = key(
        ListOf(Quantity(TORQUE), 3), "moment besides, about x, y, z; none if not given", "[0 N m, 0 N m, 12 N m]")
    normal: tuple[float, float, float] = key(
        Direction(), "direction square to the face, out of the frame", "z", required=True)
    along: tuple[float, float, float] = key(
        Direction(), "direction of the first row or length, in the face", "x", required=True)
    can_hurt: bool = key(YesNo(), "whether someone can be hurt if it lets go", "no", required=True)
    state: str = key(STATES, "how far the part is")
    note: str = key(Text(), "anything worth saying")


@dataclass(frozen=True, kw_only=True)
class BoltedJoint(Fixing):
    """Equal bolts that clamp the part to the frame."""

    thread: Choice = key(Listing("thread"), "thread of the bolts", "M10")
    property_class: str = key(
        Word(("4.6", "4.8", "5.8", "8.8", "9.8", "10.9", "12.9")), "property class of the bolts", "8.8", name="class")
    rows: tuple[Given, ...] = key(ListOf(ROWS, 2), "number of bolts along and across", "[2, 1]")
    spread: tuple[Given, ...] = key(
        ListOf(Quantity(LENGTH, above=0), 2),
        "distance of the outermost bolts along and across; from the bolt to the edge where a row has only one",
        "[130 mm, 22 mm]")
    tightening: Given = key(Quantity(TORQUE, above=0), "tightening torque", "40 N m")
    nut_factor: Given = key(Quantity(RATIO, above=0), "nut factor: torque over preload and diameter", "0.2")
    scatter: Given = key(
        Quantity(RATIO, at_least=0, at_most=0.9), "scatter of the preload, up and down, as a share", "30 %")
    grip: Given = key(Quantity(LENGTH, above=0), "thickness of all that is clamped", "24 mm")
    modulus: Given = key(Quantity(STRESS, above=0), "Young's modulus of what is clamped", "206 GPa")
    friction: Given = key(Quantity(RATIO, at_least=0), "friction of the clamped faces", "0.15")


@dataclass(frozen=True, kw_only=True)
class DowelPins(Fixing):
    """Pins that place two plates and carry force across; they count for force across and twist alone."""

    pin: Choice = key(Listing("pin"), "size of the pins", "dowel 8")
    count: Given = key(ROWS, "number of pins that carry at the same time", "2")
    apart: Given = key(Quantity(LENGTH, above=0), "distance of the two outermost pins", "120 mm")
    depth: Given = key(Quantity(LENGTH, above=0), "depth of a pin in the weaker plate", "12 mm")
    plate_yield: Given = key(Quantity(STRESS, above=0), "yield strength of the weaker plate", "235 MPa")


@dataclass(frozen=True, kw_only=True)
class FilletWeld(Fixing):
    """Fillet welds along and across the face, or once round a tube."""

    leg: Given = key(Quantity(LENGTH, above=0), "leg of the fillet", "4 mm")
    lines: tuple[Given, ...] = key(ListOf(LINES, 2), "number of lines along and across; a single one in the middle",
                                     "[2, 0]")
    lengths: tuple[Given, ...] = key(
        ListOf(Quantity(LENGTH, above=0), 2), "length of a line along and across; lines of the one kind stand as far "
        "apart as those of the other are long", "[60 mm, 40 mm]")
    round: Given = key(Quantity(LENGTH, above=0), "diameter of a tube welded all round, instead of lines", "42.4 mm")
    weld_strength: Given = key(Quantity(STRESS, above=0), "tensile strength of the weld metal", "480 MPa")
    plate_yield: Given = key(Quantity(STRESS, above=0), "yield strength of the plates", "235 MPa")


FIXINGS: dict[str, type] = {
    "bolted joint": BoltedJoint,
    "dowel pins": DowelPins,
    "fillet weld": FilletWeld,
}
