"""Disc brake: pads or rings pressed on a disc along the shaft. It holds both ways alike, worn in the least."""

from __future__ import annotations

from dataclasses import dataclass

from layshaft.elements.brake.common import BrakeInputs, BrakeRating, rated
from layshaft.mechanics import brakes, friction
from layshaft.trace.formula import group
from layshaft.trace.inputs import quantity
from layshaft.trace.units import ANGLE, COUNT, FORCE, LENGTH, Angle, Count, Force, Length


@dataclass(frozen=True, kw_only=True)
class DiscBrakeInputs(BrakeInputs):
    """One disc brake. A ring all round covers 360 degrees."""

    F: Force = quantity("force on each pad", FORCE, above=0)
    i: Count = quantity("pads, or rubbing faces of rings", COUNT, at_least=1)
    d_o: Length = quantity("outer diameter of the pads", LENGTH, above=0)
    d_i: Length = quantity("inner diameter of the pads", LENGTH, at_least=0)
    theta: Angle = quantity("angle of drum or disc that the lining covers", ANGLE, above=0)


def rate(c: DiscBrakeInputs) -> BrakeRating:
    """Rate one disc brake, or many at once when the inputs are arrays."""
    with group("Disc brake"):
        c = c.record()
        T = friction.friction_torque(c.mu, c.F, friction.wear_radius(c.d_o, c.d_i), c.i)
        p = friction.mean_pressure(c.F, brakes.pad_area(c.d_o, c.d_i, c.theta))
        return rated(c, T, T, p, friction.rubbing_speed(c.omega, c.d_o))
