"""Kinds of brake: loads that are off while the machine runs, and hold or stop it when they are put on."""

from __future__ import annotations

from dataclasses import dataclass

from layshaft.machine.kinds.loads import Load
from layshaft.machine.schema import Given, Quantity, Word, key
from layshaft.trace.units import (
    ANGLE,
    COUNT,
    DEGREE,
    FORCE,
    INERTIA,
    LENGTH,
    MASS,
    PRESSURE_VELOCITY,
    RATIO,
    SPECIFIC_HEAT,
    STRESS,
    TEMPERATURE,
    TIME,
)

WAY = Word(("forward", "backward"))
FULL = 360 * DEGREE


@dataclass(frozen=True, kw_only=True)
class Brake(Load):
    """What every brake says. It acts against the frame."""

    put_on_by: str = key(
        Word(("spring", "weight", "hand", "foot")), "what presses it: a hand or foot that lets go frees what it held",
        "spring", required=True)
    force: Given = key(
        Quantity(FORCE, above=0), "force on each pad, or on the end of the lever", "150 N", may_be_open=True)
    friction: Given = key(Quantity(RATIO, above=0), "friction of the lining", "0.35")
    scatter: Given = key(
        Quantity(RATIO, at_least=0, at_most=0.9), "share by which it may hold less or more: oil, rain, wear", "30 %")
    covers: Given = key(
        Quantity(ANGLE, above=0, at_most=720 * DEGREE), "angle of drum or disc that a lining covers", "60 deg")
    lining_pressure: Given = key(Quantity(STRESS, above=0), "pressure the lining may bear", "0.5 MPa")
    rubbing_power: Given = key(
        Quantity(PRESSURE_VELOCITY, above=0), "friction x pressure x speed the lining may bear", "1 MPa m/s")
    heated_mass: Given = key(Quantity(MASS, above=0), "mass of drum or disc that takes up the heat", "4 kg")
    specific_heat: Given = key(Quantity(SPECIFIC_HEAT, above=0), "specific heat of that mass", "460 J/(kg K)")
    temperature_rise: Given = key(
        Quantity(TEMPERATURE, above=0), "rise of its temperature allowed in a stop", "60 degC")
    stop_within: Given = key(Quantity(TIME, above=0), "time it must stop in, where that matters", "3 s")
    inertia: Given = key(Quantity(INERTIA, at_least=0), "moment of inertia of its drum or disc", "0.02 kg m2")


@dataclass(frozen=True, kw_only=True)
class DiscBrake(Brake):
    """Pads or rings pressed on a disc along the shaft."""

    covers: Given = key(
        Quantity(ANGLE, above=0, at_most=FULL), "angle of the disc that each pad covers, 360 deg for a ring", "40 deg")
    pads: Given = key(Quantity(COUNT, at_least=1, whole=True), "pads, or rubbing faces of rings", "2")
    outer_diameter: Given = key(Quantity(LENGTH, above=0), "outer diameter of the pads", "200 mm")
    inner_diameter: Given = key(Quantity(LENGTH, at_least=0), "inner diameter of the pads", "140 mm")
    outside_diameter: Given = key(Quantity(LENGTH, above=0), "outside diameter of the disc", "220 mm")
    width: Given = key(Quantity(LENGTH, above=0), "thickness of the disc", "8 mm")


@dataclass(frozen=True, kw_only=True)
class DrumBrake(Brake):
    """What presses on the outside of a drum by a lever."""

    strong_way: str = key(WAY, "sense about the shaft's axis in which friction draws it on", "forward", required=True)
    drum_diameter: Given = key(Quantity(LENGTH, above=0), "diameter on which the lining rubs", "200 mm")
    lever: Given = key(Quantity(LENGTH, above=0), "lever, from its pivot to the force", "400 mm")
    width: Given = key(Quantity(LENGTH, above=0), "width of the lining", "40 mm")


@dataclass(frozen=True, kw_only=True)
class BlockBrake(DrumBrake):
    """Shoes on levers, pressed on a drum."""

    covers: Given = key(
        Quantity(ANGLE, above=0, at_most=170 * DEGREE), "angle of the drum that a shoe covers", "60 deg")
    shoes: Given = key(Quantity(COUNT, at_least=1, at_most=4, whole=True), "shoes alike, each on its lever", "1")
    shoe_arm: Given = key(
        Quantity(LENGTH, above=0), "from the pivot to the line of the force square to the drum", "150 mm")
    pivot_offset: Given = key(
        Quantity(LENGTH, at_least=0), "from the pivot to the line of the friction force", "30 mm")


@dataclass(frozen=True, kw_only=True)
class BandBrake(DrumBrake):
    """A lined band round a drum, its ends on a lever."""

    slack_arm: Given = key(
        Quantity(LENGTH, above=0), "arm of the end that is slack the strong way, about the lever's pivot", "80 mm")
    tight_arm: Given = key(
        Quantity(LENGTH, at_least=0), "arm of the end that is tight the strong way, 0 mm if it is fixed", "0 mm")
