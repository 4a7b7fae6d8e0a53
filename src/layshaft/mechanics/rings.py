"""Two thick rings pressed together, and what friction between them holds.

Lame: the pressure between a shaft and a hub that is too small for it, and the stress this leaves in both.
Elastic, ends free, hub and shaft of one length; the edges of the hub see more.
"""

from __future__ import annotations

import math

import numpy as np

from layshaft.trace.formula import formula
from layshaft.trace.source import MECHANICS_OF_MATERIALS, STATICS, Source
from layshaft.trace.units import Density, Force, Length, Ratio, Speed, Stress, Torque

LAME = Source("Norton, Machine Design, 4th ed.", "eq. 10.14 and example 10-5", "read")
DISC = Source("Ugural and Fenster, Advanced Strength and Applied Elasticity", "rotating discs", "from memory")
NO_HUB = "the hub is not larger than the shaft"
NO_SHAFT = "the bore of the shaft is not smaller than the shaft"
RING = {
    "D": "outside diameter of the hub", "d": "diameter of the joint", "d_i": "bore of the shaft, 0 where it is solid",
    "nu": "Poisson's ratio", "U": "interference that acts", "p": "pressure in the joint", "L": "length of the joint",
    "C_h": "how the hub gives way, times E", "C_s": "how the shaft gives way, times E", "mu": "coefficient of friction",
    "E_h": "Young's modulus, hub", "E_s": "Young's modulus, shaft", "sigma_t": "hoop stress at the bore of the hub",
    "rho": "density", "omega": "turning speed", "T": "torque on the joint", "F_a": "force along the shaft",
}


@formula("C_h", "how the hub gives way, times E", LAME, outside=NO_HUB, where=RING)
def hub_flexibility(D: Length, d: Length, nu: Ratio) -> Ratio:
    """A thin hub opens easily, a thick one hardly."""
    return (D**2 + d**2) / np.where(D > d, D**2 - d**2, np.nan) + nu


@formula("C_s", "how the shaft gives way, times E", LAME, outside=NO_SHAFT, where=RING)
def shaft_flexibility(d: Length, d_i: Length, nu: Ratio) -> Ratio:
    """A hollow shaft is squeezed more easily than a solid one."""
    return (d**2 + d_i**2) / np.where(d > d_i, d**2 - d_i**2, np.nan) - nu


@formula("p", "pressure in the joint", LAME, where=RING)
def joint_pressure(U: Length, d: Length, C_h: Ratio, E_h: Stress, C_s: Ratio, E_s: Stress) -> Stress:
    """Hub and shaft give way until together they have taken up the interference; none, where there is a gap."""
    return np.maximum(U, 0) / (d * (C_h / E_h + C_s / E_s))


@formula("sigma_t", "hoop stress at the bore of the hub", LAME, outside=NO_HUB, where=RING)
def bore_hoop(p: Stress, D: Length, d: Length) -> Stress:
    """The hub is stretched most at its bore."""
    return p * (D**2 + d**2) / np.where(D > d, D**2 - d**2, np.nan)


@formula("sigma_v", "equivalent stress at the bore of the hub", MECHANICS_OF_MATERIALS, where=RING)
def bore_equivalent(sigma_t: Stress, p: Stress) -> Stress:
    """Distortion energy of stretch along the bore and pressure on it."""
    return np.sqrt(sigma_t**2 + sigma_t * p + p**2)


@formula("sigma_s", "equivalent stress in the shaft", LAME, outside=NO_SHAFT, where=RING)
def shaft_equivalent(p: Stress, d: Length, d_i: Length) -> Stress:
    """A solid shaft is squeezed evenly from all sides; at any bore the squeeze is at least doubled."""
    return np.where(d_i == 0, p, 2 * p * d**2 / np.where(d > d_i, d**2 - d_i**2, np.nan))


@formula("sigma_w", "hoop stress from turning at the bore of the hub", DISC, where=RING)
def turning_hoop(rho: Density, omega: Speed, D: Length, d: Length, nu: Ratio) -> Stress:
    """A disc that turns stretches itself, most at its bore."""
    return rho * omega**2 / 16 * ((3 + nu) * D**2 + (1 - nu) * d**2)


@formula("T_v", "torque and axial force together", STATICS, where=RING)
def joint_demand(T: Torque, F_a: Force, d: Length) -> Torque:
    """Friction has one direction: what pulls along the shaft is lost round it."""
    return np.hypot(T, F_a * d / 2)


@formula("T_f", "torque that friction holds", STATICS, where=RING)
def friction_torque(mu: Ratio, p: Stress, d: Length, L: Length) -> Torque:
    """Pressure on the whole surface of the joint, times friction and radius."""
    return math.pi / 2 * mu * p * d**2 * L


@formula("F_p", "force to press it on", STATICS, where=RING)
def press_force(mu: Ratio, p: Stress, d: Length, L: Length) -> Force:
    """Friction over the whole surface, at the end of the stroke."""
    return math.pi * mu * p * d * L
