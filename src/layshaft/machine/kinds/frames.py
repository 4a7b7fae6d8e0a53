"""Kinds of frame member: beams and posts of standard sections."""

from __future__ import annotations

from dataclasses import dataclass

from layshaft.machine.schema import (
    STATES,
    Choice,
    Given,
    Listing,
    MapOf,
    Quantity,
    Ref,
    SeatOn,
    Text,
    Thing,
    Word,
    YesNo,
    key,
)
from layshaft.trace.units import COUNT, DENSITY, FORCE, LENGTH, RATIO, SLOPE, STRESS


@dataclass(frozen=True, kw_only=True)
class Carried(Thing):
    """One thing a member carries: the load of a bearing, or a force that is stated."""

    shaft: str = key(Ref("shafts"), "shaft whose bearing stands on it", "main")
    seat: str = key(SeatOn(("shaft",)), "seat of that bearing", "left bearing")
    force: Given = key(Quantity(FORCE, at_least=0), "force, where it carries no bearing", "300 N")
    at: Given = key(
        Quantity(LENGTH, at_least=0), "distance from the left support, or from the end that is held", "250 mm")


@dataclass(frozen=True, kw_only=True)
class Member(Thing):
    """A beam or post; several equal ones share alike."""

    module: str = key(Ref("modules"), "module it belongs to", "winder", required=True)
    section: Choice = key(Listing("section"), "rolled section by its name, as a list or `parts` has it", "SHS 40x40x3")
    count: Given = key(Quantity(COUNT, at_least=1, whole=True), "number of equal members that share alike", "2")
    share: Given = key(
        Quantity(RATIO, at_least=0, at_most=1), "share of the module's mass that rests on all of them together", "60 %")
    carries: dict[str, Carried] = key(MapOf(Carried), "what it carries besides")
    yield_strength: Given = key(
        Quantity(STRESS, above=0), "yield strength; of timber the bending stress its rules permit", "235 MPa")
    modulus: Given = key(Quantity(STRESS, above=0), "how stiff the material is (Young's modulus)", "206 GPa")
    density: Given = key(Quantity(DENSITY, above=0), "mass of a volume of the material", "7850 kg/m3")
    can_hurt: bool = key(YesNo(), "whether someone can be hurt if it gives way", "yes", required=True)
    state: str = key(STATES, "how far the part is")
    note: str = key(Text(), "anything worth saying")


@dataclass(frozen=True, kw_only=True)
class BeamMember(Member):
    """A beam on two supports, or held at one end."""

    span: Given = key(Quantity(LENGTH, above=0), "distance of the supports, or length that stands out", "700 mm")
    held: str = key(Word(("on two supports", "at one end")), "how it is held", "on two supports", required=True)
    laid: str = key(Word(("upright", "flat")), "how the larger side of the section lies", "upright")
    allowed_sag: Given = key(Quantity(LENGTH, above=0), "how far its middle or end may bend down", "1 mm")
    allowed_slope: Given = key(Quantity(SLOPE, above=0), "slope that its bearings allow", "3 mrad")
    lift_in: Given = key(
        Quantity(LENGTH, at_least=0), "distance of the lifting points from its ends, if the module is lifted by it",
        "100 mm")
    lift_shock: Given = key(Quantity(RATIO, at_least=1), "shock of lifting, times the weight", "1.5")


@dataclass(frozen=True, kw_only=True)
class ColumnMember(Member):
    """A post."""

    length: Given = key(Quantity(LENGTH, above=0), "height from foot to head", "900 mm")
    buckling_factor: Given = key(
        Quantity(RATIO, above=0), "length that bows over length: 1 with both ends hinged, 2 with a free head", "2")


FRAMES: dict[str, type] = {"beam": BeamMember, "post": ColumnMember}
