"""Torque that follows the angle of a shaft: points joined by straight lines, and cams by virtual work.

What is pushed back counts as driving. A follower's own acceleration and the friction of cam and guide are left
out: they belong to the efficiency of the stage before, or to a drag.
"""

from __future__ import annotations

import numpy as np

from layshaft.trace.formula import formula
from layshaft.trace.source import STATICS, Source
from layshaft.trace.units import (
    Acceleration,
    Angle,
    AngularAcceleration,
    Energy,
    Force,
    Length,
    Mass,
    Ratio,
    Speed,
    Stiffness,
    Torque,
)

VIRTUAL_WORK = Source("principle of virtual work", "force times lift over angle", "derived")
FLUCTUATION = Source("Khurmi & Gupta, Theory of Machines", "ch. 16, fluctuation of energy", "second text")

MEANING = {
    "T_a": "torque at the first of two points", "T_b": "torque at the second of two points",
    "phi_a": "angle of the first of two points", "phi_b": "angle of the second of two points",
    "h_a": "lift at the first of two points", "h_b": "lift at the second of two points",
    "h": "lift", "m": "mass that is lifted", "g": "acceleration of free fall", "F_0": "force at no lift",
    "c": "force of the spring over lift", "F": "force on the follower", "T_m": "mean torque",
    "W": "largest less smallest energy within a turn", "T": "torque left over", "omega": "turning speed",
    "alpha": "angular acceleration by that torque",
}


@formula("W", "work between two points", STATICS, where=MEANING)
def work_between(T_a: Torque, T_b: Torque, phi_a: Angle, phi_b: Angle) -> Energy:
    """The torque is straight from the one to the other."""
    return (T_a + T_b) / 2 * (phi_b - phi_a)


@formula("F", "force on a follower", STATICS, where=MEANING)
def follower_force(m: Mass, g: Acceleration, F_0: Force, c: Stiffness, h: Length) -> Force:
    """Weight, stated force and spring together."""
    return m * g + F_0 + c * h


@formula("T", "torque of a cam", VIRTUAL_WORK, where=MEANING)
def cam_torque(F: Force, h_a: Length, h_b: Length, phi_a: Angle, phi_b: Angle) -> Torque:
    """What the shaft turns is what the follower rises."""
    return F * (h_b - h_a) / (phi_b - phi_a)


@formula("W_x", "work above the mean up to where the torque passes it", STATICS, where=MEANING,
         outside="the torque does not pass its mean between these points")
def work_to_the_mean(T_a: Torque, T_b: Torque, T_m: Torque, phi_a: Angle, phi_b: Angle) -> Energy:
    """A triangle: energy has its largest and smallest where the torque passes the mean."""
    return np.where((T_a - T_m) * (T_b - T_m) < 0,
                    (T_a - T_m) ** 2 * (phi_b - phi_a) / (2 * np.where(T_a == T_b, np.nan, T_a - T_b)), np.nan)


@formula("C_s", "swing of speed within a turn", FLUCTUATION, where=MEANING, outside="no torque is left over")
def swing_of_surplus(W: Energy, T: Torque, alpha: AngularAcceleration, omega: Speed) -> Ratio:
    """Fluctuation of energy over J omega^2, the moment of inertia told by what a surplus of torque speeds up."""
    return W * np.abs(alpha) / (np.where(T > 0, T, np.nan) * omega**2)
