"""Block brake: shoes pressed on a drum by levers. Friction draws them on one way and pushes them off the other way."""

from __future__ import annotations

from dataclasses import dataclass

from layshaft.elements.brake.common import BrakeInputs, BrakeRating, rated
from layshaft.mechanics import brakes, friction
from layshaft.trace.formula import group, named
from layshaft.trace.inputs import quantity
from layshaft.trace.units import ANGLE, COUNT, FORCE, LENGTH, Angle, Count, Force, Length


@dataclass(frozen=True, kw_only=True)
class BlockBrakeInputs(BrakeInputs):
    """One drum with equal shoes on equal levers, all drawn on the same way."""

    F: Force = quantity("force on the end of the lever", FORCE, above=0)
    l: Length = quantity("lever, from its pivot to that force", LENGTH, above=0)
    b: Length = quantity("from the pivot to the line of the force square to the drum", LENGTH, above=0)
    e: Length = quantity("from the pivot to the line of the friction force", LENGTH, at_least=0)
    i_s: Count = quantity("shoes alike", COUNT, at_least=1)
    d: Length = quantity("diameter of the drum", LENGTH, above=0)
    theta: Angle = quantity("angle of drum or disc that the lining covers", ANGLE, above=0, at_most=3.0)
    w: Length = quantity("width of the lining", LENGTH, above=0)


def rate(c: BlockBrakeInputs) -> BrakeRating:
    """Rate one block brake, or many at once when the inputs are arrays."""
    with group("Block brake"):
        c = c.record()
        mu_e = brakes.long_shoe(c.mu, c.theta)
        N_1 = brakes.block_strong(c.F, c.l, c.b, c.e, mu_e)
        N_2 = brakes.block_weak(c.F, c.l, c.b, c.e, mu_e)
        T_1 = named("T_1", brakes.shoe_torque(mu_e, N_1, c.d, c.i_s), "torque the strong way")
        T_2 = named("T_2", brakes.shoe_torque(mu_e, N_2, c.d, c.i_s), "torque the other way")
        p = friction.mean_pressure(N_1, brakes.shoe_area(c.d, c.theta, c.w))
        return rated(c, T_1, T_2, p, friction.rubbing_speed(c.omega, c.d))
