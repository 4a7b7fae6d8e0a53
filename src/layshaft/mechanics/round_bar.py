"""Section values of a round bar, solid or bored, and how it twists."""

from __future__ import annotations

import math

from layshaft.trace.formula import formula
from layshaft.trace.source import MECHANICS_OF_MATERIALS as MATERIALS
from layshaft.trace.units import (
    Angle,
    Length,
    SecondMoment,
    SectionModulus,
    Stress,
    Torque,
    TorsionalStiffness,
)

BAR = {"d": "outside diameter", "d_i": "bore, 0 for a solid bar"}


@formula("I", "second moment of area", MATERIALS, where=BAR)
def second_moment(d: Length, d_i: Length) -> SecondMoment:
    """Resists bending."""
    return math.pi * (d**4 - d_i**4) / 64


@formula("J_p", "polar second moment of area", MATERIALS, where=BAR)
def polar_moment(d: Length, d_i: Length) -> SecondMoment:
    """Resists twisting."""
    return math.pi * (d**4 - d_i**4) / 32


@formula("W", "section modulus", MATERIALS, where=BAR)
def section_modulus(d: Length, d_i: Length) -> SectionModulus:
    """Bending moment over this is the stress at the surface."""
    return math.pi * (d**4 - d_i**4) / (32 * d)


@formula("W_p", "polar section modulus", MATERIALS, where=BAR)
def polar_modulus(d: Length, d_i: Length) -> SectionModulus:
    """Torque over this is the shear stress at the surface."""
    return math.pi * (d**4 - d_i**4) / (16 * d)


@formula("tau", "shear stress at the surface", MATERIALS, where={"T": "torque"})
def torsion_stress(T: Torque, W_p: SectionModulus) -> Stress:
    """Torque over polar section modulus."""
    return T / W_p


@formula("tau_max", "greatest shear stress", MATERIALS, where={"sigma": "bending stress"})
def greatest_shear(sigma: Stress, tau: Stress) -> Stress:
    """Radius of Mohr's circle."""
    return ((sigma / 2) ** 2 + tau**2) ** 0.5


@formula("k_i", "torsional stiffness of one length", MATERIALS, where={
    "G": "shear modulus", "L": "length",
})
def torsional_stiffness(G: Stress, J_p: SecondMoment, L: Length) -> TorsionalStiffness:
    """Torque for one radian of twist."""
    return G * J_p / L


@formula("k", "torsional stiffness in series", MATERIALS, where={
    "k_1": "stiffness of the one length", "k_2": "stiffness of the next length",
})
def in_series(k_1: TorsionalStiffness, k_2: TorsionalStiffness) -> TorsionalStiffness:
    """Twists add, so the softer length governs."""
    return k_1 * k_2 / (k_1 + k_2)


@formula("theta_i", "twist of one length", MATERIALS, where={"T": "torque"})
def twist(T: Torque, k_i: TorsionalStiffness) -> Angle:
    """Torque over stiffness."""
    return T / k_i
