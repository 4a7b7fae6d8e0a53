"""Kinds of stage that let go: by slipping, by breaking, or because somebody opens them."""

from __future__ import annotations

from dataclasses import dataclass

from layshaft.machine.kinds.stages import InLine
from layshaft.machine.schema import Given, Quantity, key
from layshaft.trace.units import COUNT, FORCE, LENGTH, RATIO, STRESS, TORQUE

FACES = Quantity(COUNT, at_least=1, whole=True)
SCATTER = Quantity(RATIO, at_least=0, at_most=0.9)


@dataclass(frozen=True, kw_only=True)
class SlipClutch(InLine):
    """Two halves pressed together that slip beyond a torque: as listed, or as its springs and linings give it."""
    slip_torque: Given = key(Quantity(TORQUE, above=0), "torque at which it slips", "18 N m", may_be_open=True)
    scatter: Given = key(SCATTER, "share by which it may slip earlier or later", "20 %")
    spring_force: Given = key(
        Quantity(FORCE, above=0), "force that presses the linings, instead of a slip torque", "600 N")
    friction: Given = key(Quantity(RATIO, above=0), "friction of the linings", "0.35")
    faces: Given = key(FACES, "pairs of rubbing faces", "2")
    outer_diameter: Given = key(Quantity(LENGTH, above=0), "outer diameter of the linings", "100 mm")
    inner_diameter: Given = key(Quantity(LENGTH, above=0), "inner diameter of the linings", "60 mm")
    lining_pressure: Given = key(Quantity(STRESS, above=0), "pressure the linings may bear", "0.3 MPa")


@dataclass(frozen=True, kw_only=True)
class ShearPin(InLine):
    """Pins between two flanges or through shaft and hub that shear before anything else breaks."""
    diameter: Given = key(Quantity(LENGTH, above=0), "diameter of a pin where it shears", "4 mm", may_be_open=True)
    pins: Given = key(Quantity(COUNT, at_least=1, whole=True), "pins that carry together", "1")
    shear_planes: Given = key(
        Quantity(COUNT, at_least=1, at_most=2, whole=True), "sections sheared of each pin", "2")
    at_radius: Given = key(Quantity(LENGTH, above=0), "radius at which a section shears", "15 mm")
    shear_strength: Given = key(Quantity(STRESS, above=0), "ultimate shear strength of the pins", "180 MPa")
    scatter: Given = key(SCATTER, "share by which it may shear earlier or later", "20 %")
