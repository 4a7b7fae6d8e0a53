"""Universal (cardan) joint: what its angle does to the speed and to the shafts beside it.

A single joint at an angle turns the second shaft fast and slow twice a turn. Two joints at equal
angles with their yokes in line cancel that, and a sliding length must lie between them. The couple
that bends both shafts goes round with half a turn and is not cancelled.
"""

from __future__ import annotations

import numpy as np

from layshaft.trace.formula import formula
from layshaft.trace.source import KINEMATICS, STATICS
from layshaft.trace.units import Angle, Ratio, Speed, Torque

MEANING = {"beta": "angle between the two shafts", "omega_1": "speed of the first shaft",
           "T_1": "torque on the first shaft"}
RIGHT_ANGLE = np.pi / 2
"""Radians."""

STRAIGHT = "the joint is bent to a right angle or beyond"


@formula("U", "swing of the second shaft's speed over the speed of the first", KINEMATICS, where=MEANING,
         outside=STRAIGHT)
def speed_swing(beta: Angle) -> Ratio:
    """Largest less smallest speed: 1/cos of the angle less its cos, twice each in a turn."""
    return np.where(beta < RIGHT_ANGLE, np.tan(beta) * np.sin(beta), np.nan)


@formula("omega_max", "largest speed of the second shaft", KINEMATICS, where=MEANING, outside=STRAIGHT)
def largest_speed(omega_1: Speed, beta: Angle) -> Speed:
    """Reached when the first yoke lies in the plane of the two shafts."""
    return omega_1 / np.where(beta < RIGHT_ANGLE, np.cos(beta), np.nan)


@formula("phi_max", "how far the second shaft runs ahead and behind", KINEMATICS, where=MEANING, outside=STRAIGHT)
def largest_lead(beta: Angle) -> Angle:
    """From tan phi_2 = cos(beta) tan phi_1, a little before and after each eighth of a turn."""
    return np.arctan((1 - np.cos(beta)) / (2 * np.sqrt(np.where(beta < RIGHT_ANGLE, np.cos(beta), np.nan))))


@formula("theta_2", "amplitude of the lead that comes twice in a turn", KINEMATICS, where=MEANING, outside=STRAIGHT)
def second_order(beta: Angle) -> Angle:
    """First term of the Fourier series of the lead; the next comes four times and is far smaller."""
    return np.where(beta < RIGHT_ANGLE, np.tan(beta / 2) ** 2, np.nan)


@formula("M_2", "largest couple that bends the second shaft", STATICS, where=MEANING, outside=STRAIGHT)
def bending_couple(T_1: Torque, beta: Angle) -> Torque:
    """The cross can only pass a torque square to itself; the rest the bearings must hold, twice a turn."""
    return T_1 * np.where(beta < RIGHT_ANGLE, np.tan(beta), np.nan)
