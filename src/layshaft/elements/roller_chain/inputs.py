"""What one roller chain in one case is described by."""

from __future__ import annotations

from dataclasses import dataclass

from layshaft.trace.inputs import Inputs, quantity
from layshaft.trace.units import (
    ACCELERATION,
    ANGLE,
    AREA,
    COUNT,
    FORCE,
    LENGTH,
    MASS_PER_LENGTH,
    RATIO,
    SPEED,
    TIME,
    TORQUE,
    Acceleration,
    Angle,
    Area,
    Count,
    Force,
    Length,
    MassPerLength,
    Ratio,
    Speed,
    Time,
    Torque,
)


@dataclass(frozen=True, kw_only=True)
class ChainInputs(Inputs):
    """One chain on two sprockets in one case. Index 1 is the small sprocket."""

    p: Length = quantity("chain pitch", LENGTH, above=0)
    z_1: Count = quantity("teeth, small sprocket", COUNT, at_least=6)
    z_2: Count = quantity("teeth, large sprocket", COUNT, at_least=6)
    strands: Count = quantity("strands of the chain", COUNT, at_least=1)
    omega_1: Speed = quantity("turning speed, small sprocket", SPEED, at_least=0)
    T_1: Torque = quantity("torque at the small sprocket", TORQUE, at_least=0)
    light: Count = quantity("1 for the light chain of half an inch (085, ASME 41), 0 for the standard series", COUNT,
                            at_least=0, at_most=1)
    F_u: Force = quantity("breaking load of the whole chain", FORCE, above=0)
    A: Area = quantity("bearing area of a joint, all strands", AREA, above=0)
    q: MassPerLength = quantity("mass per length of the whole chain", MASS_PER_LENGTH, above=0)
    g: Acceleration = quantity("acceleration of free fall", ACCELERATION, above=0)
    X: Count = quantity("links", COUNT, above=0)
    a: Length = quantity("centre distance", LENGTH, above=0)
    delta: Angle = quantity("angle of the line of centres to the level", ANGLE)
    s: Ratio = quantity("sag of the slack strand over its span", RATIO, above=0, at_most=0.25)
    F_2: Force = quantity("pull laid on the slack strand by a counterweight or tensioner", FORCE, at_least=0)
    f_1: Ratio = quantity("application factor", RATIO, at_least=1)
    S_B_required: Ratio = quantity("required static safety", RATIO, above=0)
    S_D_required: Ratio = quantity("required dynamic safety", RATIO, above=0)
    S_required: Ratio = quantity("required margin where the method has its own limit", RATIO, above=0)
    t_life: Time = quantity("running time wanted", TIME, above=0)
    running: Count = quantity("1 if the case runs on and on, 0 if once in a while", COUNT,
                              at_least=0, at_most=1)
    hoisting: Count = quantity("1 in the load path of a hanging weight, else 0", COUNT, at_least=0, at_most=1)
    press_fit: Count = quantity("1 if all links are press fit, 0 with a slip-fit or offset link", COUNT,
                                at_least=0, at_most=1)
    fixed: Count = quantity("1 for fixed centres or parallel chains, else 0", COUNT, at_least=0, at_most=1)
    take_up: Length = quantity("centre adjustment the drive offers", LENGTH, at_least=0)
    offset: Count = quantity("1 with an offset (cranked) link, else 0", COUNT, at_least=0, at_most=1)
    lub: Count = quantity("lubrication (0 none, 1 by hand, 2 drip, 3 bath or disc, 4 oil stream)", COUNT,
                          at_least=0, at_most=4)
    gamma: Angle = quantity("wrap that idlers add to the small sprocket", ANGLE)
    s_i: Ratio = quantity("sum of 1/teeth over the idlers", RATIO, at_least=0)
    L_t: Length = quantity("chain length a tensioner takes up over its travel", LENGTH, at_least=0)
    L_0: Length = quantity("length of the new chain beyond its way round wheels and idlers", LENGTH, at_least=0)
