"""Band brake: a lined band round a drum, its ends on a lever. Strong one way, weak the other."""

from __future__ import annotations

from dataclasses import dataclass

from layshaft.elements.brake.common import BrakeInputs, BrakeRating, rated
from layshaft.mechanics import brakes, friction
from layshaft.trace.formula import group, named
from layshaft.trace.inputs import quantity
from layshaft.trace.units import ANGLE, FORCE, LENGTH, Angle, Force, Length


@dataclass(frozen=True, kw_only=True)
class BandBrakeInputs(BrakeInputs):
    """One band brake. A plain one has its tight end fixed: its arm is 0."""

    F: Force = quantity("force on the end of the lever", FORCE, above=0)
    l: Length = quantity("lever, from its pivot to that force", LENGTH, above=0)
    a_s: Length = quantity("arm of the end that is slack the strong way", LENGTH, above=0)
    a_t: Length = quantity("arm of the end that is tight the strong way, 0 if fixed", LENGTH, at_least=0)
    d: Length = quantity("diameter of the drum", LENGTH, above=0)
    theta: Angle = quantity("angle of drum or disc that the lining covers", ANGLE, above=0)
    w: Length = quantity("width of the lining", LENGTH, above=0)


def rate(c: BandBrakeInputs) -> BrakeRating:
    """Rate one band brake, or many at once when the inputs are arrays."""
    with group("Band brake"):
        c = c.record()
        k_b = friction.tension_ratio(c.mu, c.theta)
        F_1 = brakes.band_strong(c.F, c.l, c.a_s, c.a_t, k_b)
        F_2 = brakes.band_weak(c.F, c.l, c.a_s, c.a_t, k_b)
        T_1 = named("T_1", brakes.band_torque(F_1, k_b, c.d), "torque the strong way")
        T_2 = named("T_2", brakes.band_torque(F_2, k_b, c.d), "torque the other way")
        p = brakes.band_pressure(brakes.tight_tension(F_1, k_b), c.d, c.w)
        return rated(c, T_1, T_2, p, friction.rubbing_speed(c.omega, c.d))
