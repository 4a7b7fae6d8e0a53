"""Kinds of hub: how a wheel, a lever or a drum is held on its seat, beside a key or instead of one."""

from __future__ import annotations

from dataclasses import dataclass

from layshaft.machine.schema import Choice, Given, Listing, ListOf, Quantity, Text, Thing, Word, key
from layshaft.trace.units import COUNT, FORCE, LENGTH, RATIO, STRESS, TEMPERATURE, TORQUE


@dataclass(frozen=True, kw_only=True)
class Hub(Thing):
    """How a hub is held on its seat; without a kind nothing is said."""

    @property
    def stated(self) -> bool:
        """False where the file says nothing of how the hub is held."""
        return type(self) is not Hub


@dataclass(frozen=True, kw_only=True)
class HeldHub(Hub):
    """What all of them share."""

    axial_force: Given = key(
        Quantity(FORCE, at_least=0), "force along the shaft that it must hold too, if not that of the train", "200 N")
    note: str = key(Text(), "anything worth saying")


@dataclass(frozen=True, kw_only=True)
class SetScrews(HeldHub):
    """Held by one or two set screws: for keeping a wheel in its place."""

    size: Choice = key(Listing("set screw"), "size of the screws", "M8", may_be_open=True)
    screws: Given = key(Quantity(COUNT, at_least=1, at_most=2, whole=True), "number of screws", "2")
    point: str = key(Word(("cup", "cone", "flat", "dog", "oval")), "point of the screws", "cup")
    seating_torque: Given = key(Quantity(TORQUE, above=0), "torque the screws are seated with", "18 N m")


@dataclass(frozen=True, kw_only=True)
class Clamp(HeldHub):
    """Two halves, or one slit ring, pulled together round the shaft by screws."""

    form: str = key(Word(("two halves", "slit")), "two halves, or one ring with a slit and a hinge", "two halves",
                    required=True)
    length: Given = key(Quantity(LENGTH, above=0), "length of the hub on the shaft", "40 mm")
    screw: Choice = key(Listing("thread"), "thread of the screws", "M8")
    property_class: str = key(Word(("4.6", "4.8", "5.8", "8.8", "9.8", "10.9", "12.9")), "class of the screws", "8.8")
    screws: Given = key(Quantity(COUNT, at_least=1, whole=True), "screws in all, on both sides", "4")
    tightening_torque: Given = key(Quantity(TORQUE, above=0), "torque each screw is tightened with", "20 N m")
    nut_factor: Given = key(Quantity(RATIO, above=0, at_most=1), "tightening torque over preload times diameter", "0.2")
    scatter: Given = key(Quantity(RATIO, at_least=0, at_most=0.99), "scatter of the preload at that torque", "30 %")
    friction: Given = key(Quantity(RATIO, above=0, at_most=1), "coefficient of friction in the bore", "0.12")
    pressure: str = key(Word(("on two lines", "even")), "how it presses: even only in a bore without play",
                        "on two lines")
    hinge_to_screws: Given = key(Quantity(LENGTH, above=0), "of a slit hub: from the end of the slit to the screws",
                                 "50 mm")
    hinge_to_shaft: Given = key(Quantity(LENGTH, above=0), "of a slit hub: from the end of the slit to the axis",
                                "25 mm")


@dataclass(frozen=True, kw_only=True)
class CrossPin(HeldHub):
    """Held by a pin through hub and shaft."""

    diameter: Given = key(Quantity(LENGTH, above=0), "diameter of the pin", "6 mm")
    hub_diameter: Given = key(Quantity(LENGTH, above=0), "outside diameter of the hub", "50 mm")
    pin_steel: Choice = key(Listing("steel"), "name of the steel the pin is made of", "C45+N")


@dataclass(frozen=True, kw_only=True)
class PressFit(HeldHub):
    """Pressed or shrunk on; `fit` of the seat, or a measured interference, says how tight."""

    hub_diameter: Given = key(Quantity(LENGTH, above=0), "outside diameter of the hub", "60 mm")
    length: Given = key(Quantity(LENGTH, above=0), "length of the joint", "30 mm")
    bore: Given = key(Quantity(LENGTH, at_least=0), "bore of the shaft, if it is hollow", "8 mm")
    interference: Given = key(Quantity(LENGTH), "measured: shaft less hole, instead of a fit", "0.035 mm ± 0.005 mm")
    hub_material: str = key(Word(("steel", "cast iron", "ductile iron", "aluminium", "bronze", "brass")),
                            "what the hub is made of", "steel")
    hub_yield_strength: Given = key(Quantity(STRESS, above=0), "yield strength of the hub, if it is no listed steel",
                                    "240 MPa")
    roughness: tuple[Given, ...] = key(ListOf(Quantity(LENGTH, at_least=0), 2), "roughness Rz of shaft and bore",
                                       "[6.3 um, 10 um]")
    friction: Given = key(Quantity(RATIO, above=0, at_most=1), "coefficient of friction in the joint", "0.12")
    warmest: Given = key(Quantity(TEMPERATURE), "warmest in service, if not that of the venue", "40 degC")
    coldest: Given = key(Quantity(TEMPERATURE), "coldest in service, if not that of the venue", "-5 degC")


@dataclass(frozen=True, kw_only=True)
class TaperClamp(HeldHub):
    """Two cone rings between shaft and hub, by listing."""

    listing: Choice = key(
        Listing("taper clamp"),
        "name of the clamping part, as a list or `parts` has it", "own taper clamp", may_be_open=True)
    hub_diameter: Given = key(Quantity(LENGTH, above=0), "outside diameter of the hub", "90 mm")


HUBS: dict[str, type] = {
    "set screws": SetScrews,
    "clamp": Clamp,
    "cross pin": CrossPin,
    "press fit": PressFit,
    "taper clamp": TaperClamp,
}
