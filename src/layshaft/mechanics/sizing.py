"""How large what steadies or drives a machine must be: the inverse of what tells how steadily it turns.

Each is a first answer in closed form, the train rigid and its losses left out. What a whole machine
answers in its repeating cycle may differ by a few per cent, and goes first.
"""

from __future__ import annotations

import numpy as np

from layshaft.trace.formula import formula
from layshaft.trace.source import KINEMATICS, STATICS, Source
from layshaft.trace.units import (
    Angle,
    Area,
    Count,
    Damping,
    Density,
    Energy,
    Inertia,
    Length,
    Mass,
    Ratio,
    Speed,
    Time,
    Torque,
    TorquePerSpeedSquared,
    Velocity,
)

PRESS = Source("Khurmi and Gupta, Theory of Machines; Sarkar, Theory of Machines",
               "ch. 16 and ch. 6, flywheel of a punching press", "second text")
BALANCE = Source("balance of drive and brake at the speed that is wanted", obtained="derived")
DRAG = Source("drag of flat plates turning in still air", "solved for the vane", "derived")
WORK = Source("work and kinetic energy over one lift", obtained="derived")

MEANING = {
    "E": "energy of one lift", "n": "lifts a turn", "phi": "angle of one lift",
    "J": "moment of inertia that is there, seen from the same shaft", "C_s": "swing of speed that is wanted",
    "omega": "turning speed", "J_n": "moment of inertia needed",
    "i": "speed of the shaft over speed of the one it is seen from", "d": "outside diameter",
    "T_s": "torque left over for the governor at the speed that is wanted",
    "k": "torque over speed squared", "n_v": "vanes", "rho": "density of the air",
    "C_d": "drag coefficient of a vane", "r": "radius to the centre of a vane", "A": "area of one vane",
    "S": "start ratio that is wanted", "T_a": "torque that breaks everything away", "T": "torque needed at the wheel",
    "T_0": "torque of what hangs against it", "T_m": "torque a known mass gives at the wheel", "m": "that mass",
    "v": "speed of the weight",
    "t": "running time of one drop that is wanted", "T_d": "torque that drives over the lift",
    "E_k": "energy in the turning masses at the mean speed",
}


@formula("dE", "energy the turning masses give over one lift", PRESS, where=MEANING)
def lift_surplus(E: Energy, n: Count, phi: Angle) -> Energy:
    """The drive gives evenly over the whole turn: over the lift its share, the masses the rest."""
    return E * (1 - n * phi / (2 * np.pi))


@formula("C_p", "swing left for the pulses", KINEMATICS, where=MEANING | {
    "C_w": "swing that is wanted", "C_t": "swing that links, teeth and runout make with all phases at their worst"})
def left_for_pulses(C_w: Ratio, C_t: Ratio) -> Ratio:
    """What the shape of the train does not take already."""
    return C_w - C_t


@formula("phi_w", "angle of a lift at which the swing is as wanted", PRESS, where=MEANING)
def lift_angle(E: Energy, n: Count, J: Inertia, C_s: Ratio, omega: Speed) -> Angle:
    """All of the pitch, less the share of it for which the masses can pay; below zero any angle will do."""
    return 2 * np.pi / n * (1 - J * C_s * omega**2 / E)


@formula("J_x", "moment of inertia to add on a shaft", KINEMATICS, where=MEANING)
def extra_inertia(J_n: Inertia, J: Inertia, i: Ratio) -> Inertia:
    """What is lacking, over the square of the ratio; below zero that much may come off."""
    return (J_n - J) / i**2


@formula("m_d", "mass of a solid disc with this inertia", KINEMATICS, where=MEANING | {"J": "moment of inertia"})
def disc_mass(J: Inertia, d: Length) -> Mass:
    """Half the mass at the square of the radius."""
    return 8 * J / d**2


@formula("E_s", "energy that is short in one lift", WORK, where=MEANING)
def short_in_a_lift(E: Energy, T_d: Torque, phi: Angle, E_k: Energy) -> Energy:
    """What drive and turning masses together do not bring up; above zero it stops in the lift."""
    return E - T_d * phi - E_k


# Governors -------------------------------------------------------------------------------------


@formula("k_g", "fan constant that holds the speed", BALANCE, where=MEANING)
def fan_constant_for(T_s: Torque, omega: Speed) -> TorquePerSpeedSquared:
    """At the wanted speed the fan takes all that is left over."""
    return T_s / omega**2


@formula("c_g", "constant of an eddy brake that holds the speed", BALANCE, where=MEANING)
def eddy_constant_for(T_s: Torque, omega: Speed) -> Damping:
    """At the wanted speed the eddy brake takes all that is left over."""
    return T_s / omega


@formula("A_g", "area of one vane for a fan constant", DRAG, where=MEANING)
def vane_area_for(k: TorquePerSpeedSquared, n_v: Count, rho: Density, C_d: Ratio, r: Length) -> Area:
    """At the radius it has."""
    return 2 * k / (n_v * rho * C_d * r**3)


@formula("r_g", "radius of the vanes for a fan constant", DRAG, where=MEANING)
def vane_radius_for(k: TorquePerSpeedSquared, n_v: Count, rho: Density, C_d: Ratio, A: Area) -> Length:
    """With the area it has: torque goes with the third power of the radius."""
    return (2 * k / (n_v * rho * C_d * A)) ** (1 / 3)


# Weights ---------------------------------------------------------------------------------------


@formula("T_w", "torque the weight must give at rest", STATICS, where=MEANING)
def torque_to_start(S: Ratio, T_a: Torque) -> Torque:
    """The wanted ratio times what breaks everything away."""
    return S * T_a


@formula("m_w", "mass of a weight that gives a torque", STATICS, where=MEANING)
def mass_for_torque(T: Torque, T_0: Torque, T_m: Torque, m: Mass) -> Mass:
    """The pull grows evenly with the mass; what hangs against it is there before."""
    return m * (T + T_0) / (T_m + T_0)


@formula("h_w", "drop that lasts as long as is wanted", KINEMATICS, where=MEANING)
def drop_for(v: Velocity, t: Time) -> Length:
    """Speed of the weight times the time."""
    return v * t
