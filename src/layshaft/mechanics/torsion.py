"""Torsional vibration: stiffness of what joins two shafts, what shakes them, and how much more they feel of it.

Frequencies count in radians a second, as turning speeds do. Of a stage the stiffness is that seen at its
first shaft: torque there for one radian of it, the second shaft held.
"""

from __future__ import annotations

import math

import numpy as np

from layshaft.trace.formula import formula
from layshaft.trace.source import KINEMATICS, STATICS, Source
from layshaft.trace.units import (
    Count,
    Inertia,
    Length,
    Ratio,
    Speed,
    Stiffness,
    Stress,
    Torque,
    TorsionalStiffness,
)

ISO_6336 = Source("ISO 6336-1, load capacity of spur and helical gears", "mesh stiffness, method C", "from memory")
DIN_740 = Source("DIN 740-2, flexible shaft couplings", "relative damping and factor at resonance 2 pi / psi",
                 "second text")
SINGLE = Source("Wang, Feese and Pettinato, Torsional natural frequencies: measurement vs. prediction, 41st "
                "Turbomachinery Symposium 2012", "gain of a single mass on a damped spring", "read")
FOURIER = Source("Fourier series of a rectangular pulse", obtained="derived")
STICK_SLIP = Source("critical speed of stick-slip, Derjaguin, Push and Tolstoi 1957, as reviews of friction quote it",
                    "lightly damped, friction at rest above friction in motion", "from memory")
MEANING = {
    "k": "torsional stiffness on its own shaft", "i": "speed of that shaft over speed of the shaft it is seen from",
    "k_l": "stiffness along the strand, rope or line of action", "r": "radius it acts at, or travel for a radian",
    "c_gamma": "mesh stiffness for a width of tooth", "b": "face width", "r_b": "base radius of the first gear",
    "psi": "relative damping: work lost in a swing over the greatest stored in it",
    "zeta": "damping ratio", "eta": "shaking frequency over natural frequency",
    "omega": "turning speed", "o": "times it comes in a turn", "omega_n": "natural frequency",
    "T_l": "torque while it lifts", "D": "share of the time it lifts", "h": "number of the harmonic",
    "dT": "friction torque at rest less that in motion", "k_d": "torsional stiffness of the drive, seen at the mass",
    "J": "moment of inertia of the mass",
}


@formula("k_red", "torsional stiffness seen from another shaft", KINEMATICS, where=MEANING)
def reflected_stiffness(k: TorsionalStiffness, i: Ratio) -> TorsionalStiffness:
    """Equal strain energy: the speed ratio counts squared."""
    return k * i**2


@formula("k_w", "torsional stiffness of a strand on a wheel", STATICS, where=MEANING)
def strand_on_wheel(k_l: Stiffness, r: Length) -> TorsionalStiffness:
    """The radius makes a way of the angle, and a torque of the pull."""
    return k_l * r**2


@formula("k_m", "torsional stiffness of a mesh", ISO_6336, where=MEANING)
def mesh_stiffness(c_gamma: Stress, b: Length, r_b: Length) -> TorsionalStiffness:
    """The teeth give way along the line of action, which touches the base circle."""
    return c_gamma * b * r_b**2


@formula("zeta", "damping ratio of a flexible coupling", DIN_740, where=MEANING)
def damping_ratio(psi: Ratio) -> Ratio:
    """Of the greatest energy a share psi is lost in a full swing, 4 pi times the damping ratio."""
    return psi / (4 * math.pi)


@formula("V", "gain over a torque that does not swing", SINGLE, where=MEANING)
def gain(eta: Ratio, zeta: Ratio) -> Ratio:
    """Inertia takes from the spring's resistance; at resonance damping alone holds the swing."""
    return 1 / np.sqrt((1 - eta**2) ** 2 + (2 * zeta * eta) ** 2)


@formula("omega_e", "frequency of what comes several times in a turn", KINEMATICS, where=MEANING)
def order_frequency(omega: Speed, o: Count) -> Speed:
    """Once a turn is the turning speed itself."""
    return o * omega


@formula("omega_c", "critical turning speed", KINEMATICS, where=MEANING)
def critical_turning_speed(omega_n: Speed, o: Count) -> Speed:
    """What comes o times in a turn meets the natural frequency there."""
    return omega_n / o


@formula("T_h", "amplitude of a harmonic of evenly spaced lifts", FOURIER, where=MEANING)
def lift_harmonic(T_l: Torque, D: Ratio, h: Count) -> Torque:
    """Lifts that fill a whole number of its periods leave a harmonic out."""
    return 2 * T_l / (math.pi * h) * np.abs(np.sin(math.pi * h * D))


@formula("omega_s", "turning speed below which a mass sticks and slips", STICK_SLIP, where=MEANING,
         outside="without damping there is no such speed: it sticks and slips at any")
def stick_slip_speed(dT: Torque, zeta: Ratio, k_d: TorsionalStiffness, J: Inertia) -> Speed:
    """Slower, and what damping takes from a swing is too little to keep it from coming to rest again."""
    return dT / np.sqrt(4 * math.pi * np.where(zeta > 0, zeta, np.nan) * k_d * J)
