"""Sizes a builder writes into the file: bought, found or quoted parts with their ratings."""

from __future__ import annotations

from dataclasses import dataclass

from layshaft.machine.schema import Given, Money, Price, Quantity, Text, Thing, Word, key
from layshaft.trace.units import (
    ANGLE,
    AREA,
    COUNT,
    DEGREE,
    FORCE,
    LENGTH,
    MASS,
    MASS_PER_LENGTH,
    PRESSURE_VELOCITY,
    RATIO,
    SECOND_MOMENT,
    SLOPE,
    SPEED,
    STIFFNESS,
    STRESS,
    TEMPERATURE,
    TIME,
    TORQUE,
    TORSIONAL_STIFFNESS,
    VELOCITY,
    WEAR_RATE,
)


@dataclass(frozen=True, kw_only=True)
class Part(Thing):
    """A size bought or found, with its ratings and where they were read."""

    source: str = key(
        Word(("listed", "measured", "advised", "assumed")), "how the ratings were obtained", "listed", required=True)
    read_in: str = key(
        Text(), "list, page or person the ratings came from", "sheet of an invented maker, page 3", required=True)
    mass: Given = key(Quantity(MASS, at_least=0), "what one piece weighs", "0.4 kg")
    price: Price = key(Money(), "price of one piece", "12.50 EUR")
    lead_time: Given = key(Quantity(TIME, at_least=0), "time from the order until it is here", "3 weeks")
    supplier: str = key(Text(), "who sells it", "an invented maker")
    part_number: str = key(Text(), "what the supplier calls it", "K-4711")
    cad: str = key(Text(), "file or address of its CAD model", "lists/k-4711.step")
    note: str = key(Text(), "anything worth saying")


@dataclass(frozen=True, kw_only=True)
class CouplingPart(Part):
    """A coupling's ratings."""

    steady_torque: Given = key(Quantity(TORQUE, above=0), "torque it may carry all the time", "35 N m")
    peak_torque: Given = key(Quantity(TORQUE, above=0), "torque it may carry for a moment, again and again", "70 N m")
    alternating_torque: Given = key(
        Quantity(TORQUE, above=0), "amplitude of an alternating torque it may carry for ever", "9 N m")
    element: str = key(
        Word(("natural rubber", "nitrile rubber", "polyurethane", "steel")), "what gives way in it", "polyurethane")
    stiffness: Given = key(Quantity(TORSIONAL_STIFFNESS, above=0), "torsional stiffness", "1500 N m/rad")
    relative_damping: Given = key(
        Quantity(RATIO, at_least=0), "relative damping: work lost in a swing over the greatest stored in it", "0.8")
    radial_stiffness: Given = key(Quantity(STIFFNESS, above=0), "stiffness against an offset", "600 N/mm")
    angular_stiffness: Given = key(
        Quantity(TORSIONAL_STIFFNESS, above=0), "stiffness against an angle between the shafts", "3 N m/deg")
    axial_stiffness: Given = key(Quantity(STIFFNESS, above=0), "stiffness along the shafts", "200 N/mm")
    offset: Given = key(Quantity(LENGTH, above=0), "how far the two axes may lie beside one another", "0.2 mm")
    angle: Given = key(Quantity(SLOPE, above=0), "how far the two axes may lean to one another", "0.9 deg")
    end_float: Given = key(Quantity(LENGTH, above=0), "how far the gap between the shaft ends may change", "1.4 mm")
    outside: Given = key(Quantity(LENGTH, above=0), "outside diameter, the greatest", "56 mm")
    length: Given = key(Quantity(LENGTH, above=0), "length over all", "66 mm")


@dataclass(frozen=True, kw_only=True)
class OneWayHubPart(Part):
    """A one-way hub's ratings: rollers, sprags or pawls."""

    torque: Given = key(Quantity(TORQUE, above=0), "largest torque it holds or drives with", "80 N m")
    overrun_speed: Given = key(
        Quantity(SPEED, above=0), "largest speed at which one half may run ahead of the other", "900 rpm")
    bore: Given = key(Quantity(LENGTH, above=0), "hole: the diameter of the shaft it fits", "25 mm")
    play: Given = key(Quantity(ANGLE, at_least=0), "angle it turns back before it grips", "2 deg")
    outside: Given = key(Quantity(LENGTH, above=0), "outside diameter, the greatest", "56 mm")
    length: Given = key(Quantity(LENGTH, above=0), "length over all", "66 mm")


@dataclass(frozen=True, kw_only=True)
class BearingPart(Part):
    """A deep-groove ball bearing's ratings."""

    bore: Given = key(Quantity(LENGTH, above=0), "hole: the diameter of the shaft it fits", "25 mm")
    outside: Given = key(Quantity(LENGTH, above=0), "outside diameter", "52 mm")
    width: Given = key(Quantity(LENGTH, above=0), "thickness along the shaft", "15 mm")
    dynamic_rating: Given = key(
        Quantity(FORCE, above=0), "basic dynamic load rating C: what it carries for a million turns", "14 kN")
    static_rating: Given = key(
        Quantity(FORCE, above=0),
        "basic static load rating C0: what it bears at rest without a lasting dent", "7.85 kN")
    fatigue_limit: Given = key(
        Quantity(FORCE, above=0), "fatigue load limit C_u: below it clean bearings do not tire", "0.33 kN")


@dataclass(frozen=True, kw_only=True)
class AngularContactPart(BearingPart):
    """A single-row angular contact ball bearing's ratings; it is mounted against another one."""

    contact_angle: Given = key(
        Quantity(ANGLE, above=0, at_most=45 * DEGREE), "contact angle, for the factors that are not listed", "40 deg")
    limit: Given = key(
        Quantity(RATIO, above=0), "axial over radial load up to which the axial load costs nothing", "1.14", name="e")
    radial_factor: Given = key(
        Quantity(RATIO, above=0),
        "share of the radial load that counts once axial over radial load is above e", "0.35", name="X")
    axial_factor: Given = key(
        Quantity(RATIO, above=0),
        "share of the axial load that counts once axial over radial load is above e", "0.57", name="Y")
    static_axial_factor: Given = key(
        Quantity(RATIO, above=0), "share of the axial load that counts at rest", "0.26", name="Y0")
    induced_thrust: Given = key(
        Quantity(RATIO, at_least=0), "axial force that a radial load brings about, over that load; "
        "where absent, e of balls and 1/(2 Y) of rollers", "0.88")
    load_centre: Given = key(
        Quantity(LENGTH, above=0), "distance of the load centre from the back of the outer ring, a of the list",
        "26 mm")


@dataclass(frozen=True, kw_only=True)
class TaperedRollerPart(AngularContactPart):
    """A single-row tapered roller bearing's ratings; it is mounted against another one."""


@dataclass(frozen=True, kw_only=True)
class ChainPart(Part):
    """A roller chain's ratings."""

    pitch: Given = key(Quantity(LENGTH, above=0), "from pin to pin", "12.7 mm")
    strands: Given = key(Quantity(COUNT, at_least=1, whole=True), "rows of rollers side by side on the same pins", "1")
    breaking_load: Given = key(Quantity(FORCE, above=0), "minimum breaking load of all strands", "17.8 kN")
    bearing_area: Given = key(Quantity(AREA, above=0), "bearing area of the joints, all strands", "50 mm2")
    mass_per_metre: Given = key(Quantity(MASS_PER_LENGTH, above=0), "what one metre weighs", "0.69 kg/m")
    roller_diameter: Given = key(Quantity(LENGTH, above=0), "outside diameter of a roller", "8.51 mm", idle=True)


@dataclass(frozen=True, kw_only=True)
class PinPart(Part):
    """A pin's ratings."""

    diameter: Given = key(Quantity(LENGTH, above=0), "thickness of the pin", "8 mm")
    shear_load: Given = key(Quantity(FORCE, above=0), "load at which one section is sheared", "26 kN")


@dataclass(frozen=True, kw_only=True)
class SectionPart(Part):
    """A section's values, as it is laid."""

    height: Given = key(Quantity(LENGTH, above=0), "height in the plane it is bent in", "80 mm")
    area: Given = key(Quantity(AREA, above=0), "area of the section cut across", "764 mm2")
    second_moment: Given = key(
        Quantity(SECOND_MOMENT, above=0),
        "second moment of area in the plane it is bent in: how stiff its shape is", "80.1 cm4")
    least_second_moment: Given = key(
        Quantity(SECOND_MOMENT, above=0), "second moment of area about the axis it bows over first", "8.49 cm4")


@dataclass(frozen=True, kw_only=True)
class SteelPart(Part):
    """A steel's strengths."""

    tensile_strength: Given = key(Quantity(STRESS, above=0), "tensile strength Rm", "630 MPa")
    yield_strength: Given = key(Quantity(STRESS, above=0), "yield strength Re", "370 MPa")
    hardness: Given = key(Quantity(COUNT, above=0), "Brinell hardness", "190")


@dataclass(frozen=True, kw_only=True)
class SuspensionPart(Part):
    """A rope or load chain a weight hangs on."""

    breaking_load: Given = key(Quantity(FORCE, above=0), "minimum breaking load", "20 kN")
    stretch: Given = key(Quantity(RATIO, above=0), "stretch at an eighth of the breaking load", "0.4 %")
    diameter: Given = key(Quantity(LENGTH, above=0), "diameter of the rope", "6 mm")
    construction: str = key(
        Word(("6x7", "6x19", "6x37", "fibre", "load chain")), "what it is like: strands x wires, fibre or no rope",
        "6x19")
    mass_per_metre: Given = key(Quantity(MASS_PER_LENGTH, above=0), "what one metre weighs", "0.14 kg/m")


@dataclass(frozen=True, kw_only=True)
class SynchronousBeltPart(Part):
    """A synchronous belt's ratings, of the width its list gives them for."""

    pitch: Given = key(Quantity(LENGTH, above=0), "from tooth to tooth", "5 mm")
    base_width: Given = key(Quantity(LENGTH, above=0), "width the ratings hold for", "10 mm")
    working_tension: Given = key(Quantity(FORCE, above=0), "permitted working tension at that width", "170 N")
    mass_per_metre: Given = key(Quantity(MASS_PER_LENGTH, above=0), "mass per metre at that width", "0.024 kg/m")
    least_teeth: Given = key(Quantity(COUNT, at_least=6, whole=True), "least teeth of a pulley", "12")


@dataclass(frozen=True, kw_only=True)
class BushPart(Part):
    """What a plain bush may bear, and how it rubs."""

    pressure: Given = key(Quantity(STRESS, above=0), "largest pressure on length times diameter", "10 MPa")
    speed: Given = key(Quantity(VELOCITY, above=0), "largest rubbing speed", "2.5 m/s")
    pressure_speed: Given = key(Quantity(PRESSURE_VELOCITY, above=0), "largest pressure times speed", "1.75 MPa m/s")
    wear: Given = key(
        Quantity(WEAR_RATE, above=0), "volume worn off for each newton and metre", "0.000002 mm3/(N m)")
    friction: Given = key(Quantity(RATIO, above=0), "coefficient of friction when running", "0.12")
    friction_at_rest: Given = key(Quantity(RATIO, above=0), "coefficient of friction when breaking away", "0.16")
    warmest: Given = key(Quantity(TEMPERATURE), "highest temperature it may have", "80 degC")


@dataclass(frozen=True, kw_only=True)
class TaperClampPart(Part):
    """A taper clamp's ratings, at its listed tightening torque."""

    bore: Given = key(Quantity(LENGTH, above=0), "bore, the diameter of the shaft", "25 mm")
    outside: Given = key(Quantity(LENGTH, above=0), "outside diameter, the bore of the hub", "50 mm")
    torque: Given = key(Quantity(TORQUE, above=0), "torque it carries", "420 N m")
    axial_force: Given = key(Quantity(FORCE, above=0), "axial force it holds", "34 kN")
    hub_pressure: Given = key(Quantity(STRESS, above=0), "pressure on the bore of the hub", "105 MPa")


PARTS: dict[str, type] = {
    "coupling": CouplingPart,
    "one-way hub": OneWayHubPart,
    "bearing": BearingPart,
    "angular contact bearing": AngularContactPart,
    "tapered roller bearing": TaperedRollerPart,
    "bush": BushPart,
    "chain": ChainPart,
    "pin": PinPart,
    "section": SectionPart,
    "steel": SteelPart,
    "suspension": SuspensionPart,
    "synchronous belt": SynchronousBeltPart,
    "taper clamp": TaperClampPart,
}
