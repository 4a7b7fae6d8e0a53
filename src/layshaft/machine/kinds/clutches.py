"""Kinds of stage that let go: by slipping, by breaking, or because somebody opens them."""

from __future__ import annotations

from dataclasses import dataclass

from layshaft.machine.kinds.stages import Joining
from layshaft.machine.schema import Choice, Given, Listing, Quantity, Word, key
from layshaft.trace.units import (
    ANGLE,
    COUNT,
    DEGREE,
    FORCE,
    LENGTH,
    MASS,
    RATIO,
    SPECIFIC_HEAT,
    SPEED,
    STRESS,
    TEMPERATURE,
    TORQUE,
    VELOCITY,
)

FACES = Quantity(COUNT, at_least=1, whole=True)
SCATTER = Quantity(RATIO, at_least=0, at_most=0.9)


@dataclass(frozen=True, kw_only=True)
class SlipClutch(Joining):
    """Two halves pressed together that slip beyond a torque: as listed, or as its springs and linings give it."""
    slip_torque: Given = key(
        Quantity(TORQUE, above=0), "torque it passes on at most, as it is set", "18 N m", may_be_open=True)
    scatter: Given = key(SCATTER, "share by which it may slip earlier or later", "20 %")
    spring_force: Given = key(
        Quantity(FORCE, above=0), "force that presses the linings, instead of a slip torque", "600 N")
    friction: Given = key(Quantity(RATIO, above=0), "friction of the linings", "0.35")
    faces: Given = key(FACES, "pairs of rubbing faces", "2")
    outer_diameter: Given = key(Quantity(LENGTH, above=0), "outer diameter of the linings", "100 mm")
    inner_diameter: Given = key(Quantity(LENGTH, above=0), "inner diameter of the linings", "60 mm")
    lining_pressure: Given = key(Quantity(STRESS, above=0), "pressure the linings may bear", "0.3 MPa")


@dataclass(frozen=True, kw_only=True)
class ShearPin(Joining):
    """Pins between two flanges or through shaft and hub that shear before anything else breaks."""
    diameter: Given = key(Quantity(LENGTH, above=0), "diameter of a pin where it shears", "4 mm", may_be_open=True)
    pins: Given = key(Quantity(COUNT, at_least=1, whole=True), "pins that carry together", "1")
    shear_planes: Given = key(
        Quantity(COUNT, at_least=1, at_most=2, whole=True), "sections sheared of each pin", "2")
    at_radius: Given = key(Quantity(LENGTH, above=0), "radius at which a section shears", "15 mm")
    shear_strength: Given = key(Quantity(STRESS, above=0), "ultimate shear strength of the pins", "180 MPa")
    scatter: Given = key(SCATTER, "share by which it may shear earlier or later", "20 %")


@dataclass(frozen=True, kw_only=True)
class FrictionClutch(Joining):
    """Flat discs, or a cone, pressed together: opened and closed by hand."""
    closed_while: str = key(
        Word(("standing", "running")), "whether it is closed at rest or on the running machine", "standing",
        required=True)
    closing_force: Given = key(
        Quantity(FORCE, above=0), "force along the shaft that closes it", "500 N", may_be_open=True)
    friction: Given = key(Quantity(RATIO, above=0), "friction of the linings", "0.35")
    scatter: Given = key(SCATTER, "share by which it may slip earlier or later", "20 %")
    faces: Given = key(FACES, "pairs of rubbing faces", "2")
    outer_diameter: Given = key(Quantity(LENGTH, above=0), "outer diameter of the linings", "160 mm")
    inner_diameter: Given = key(Quantity(LENGTH, above=0), "inner diameter of the linings", "100 mm")
    cone_angle: Given = key(
        Quantity(ANGLE, above=0, at_most=90 * DEGREE), "angle of the cone to the shaft, 90 deg for flat discs",
        "90 deg")
    lining_pressure: Given = key(Quantity(STRESS, above=0), "pressure the linings may bear", "0.3 MPa")
    heated_mass: Given = key(Quantity(MASS, above=0), "mass of the discs that take up the heat", "3 kg")
    specific_heat: Given = key(Quantity(SPECIFIC_HEAT, above=0), "specific heat of that mass", "460 J/(kg K)")
    temperature_rise: Given = key(
        Quantity(TEMPERATURE, above=0), "how much warmer it may get by slipping once", "60 degC")


@dataclass(frozen=True, kw_only=True)
class DogClutch(Joining):
    """Teeth on the faces of two sleeves that are pushed into each other."""
    closed_while: str = key(
        Word(("standing", "running")), "whether it is closed at rest or on the running machine", "standing",
        required=True)
    teeth_that_carry: Given = key(
        Quantity(COUNT, at_least=1, whole=True), "teeth that carry: half of those there are, as they are made", "2")
    outer_diameter: Given = key(
        Quantity(LENGTH, above=0), "outer diameter of the teeth", "70 mm", may_be_open=True)
    inner_diameter: Given = key(Quantity(LENGTH, at_least=0), "inner diameter of the teeth", "40 mm")
    depth: Given = key(Quantity(LENGTH, above=0), "depth the teeth are in", "10 mm")
    root_thickness: Given = key(Quantity(LENGTH, above=0), "thickness of a tooth at its root, round the axis", "18 mm")
    play: Given = key(Quantity(ANGLE, at_least=0), "play of a tooth in its gap", "6 deg")
    push_speed: Given = key(Quantity(VELOCITY, above=0), "speed at which the sleeve is pushed in", "100 mm/s")
    speed_difference: Given = key(
        Quantity(SPEED, at_least=0),
        "difference of the two speeds at which it may be closed, if less than running speed", "2 rpm")
    material: Choice = key(Listing("steel"), "steel of the teeth", "C45+N")
