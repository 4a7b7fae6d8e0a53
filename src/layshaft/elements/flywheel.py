"""Flywheel: what it stores, and whether its rim holds together.

A turning wheel pulls itself apart with density times rim speed squared. The stored energy is also
a hazard: the wheel goes on turning when the drive stops.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np

from layshaft.mechanics import inertia
from layshaft.mechanics.margin import margin
from layshaft.trace.checks import Check
from layshaft.trace.formula import chosen, formula, group, named, remark_if
from layshaft.trace.inputs import Inputs, quantity
from layshaft.trace.source import KINEMATICS, Source
from layshaft.trace.units import (
    DENSITY,
    ENERGY,
    LENGTH,
    RATIO,
    SPEED,
    STRESS,
    VELOCITY,
    Count,
    Density,
    Energy,
    Inertia,
    Length,
    Mass,
    Ratio,
    Speed,
    Stress,
    Velocity,
)

ROTATING = Source("rotating ring of Lamé, as in Shigley and Mischke, Mechanical Engineering Design, 5th ed.",
                  "rotating rings", "second text")
MARGIN = Source("required margin on the strength of a rim", "6 to 10 for cast rims, 3 for steel",
                "common practice")
CAUTION = Source("guarding of turning masses", "local machine safety rules go first", "common practice")
KEEPS_TURNING = (
    "The wheel stores more than 100 J and goes on turning when the drive stops: fence it so that nobody can "
    "reach in, and bring it to rest with a brake before a cover is opened. Local rules go first."
)
FAST_RIM = (
    "The rim runs faster than 25 m/s: cast or glued rims are no longer usual there. Have a competent person "
    "look at it, balance it and keep people out of its plane."
)


@dataclass(frozen=True, kw_only=True)
class FlywheelInputs(Inputs):
    """A flat disc, or a rim reckoned as a free ring; arms and hub are left out."""

    d_o: Length = quantity("outside diameter", LENGTH, above=0)
    d_i: Length = quantity("bore of the disc or inside diameter of the rim, 0 if solid", LENGTH, at_least=0)
    b: Length = quantity("width", LENGTH, above=0)
    rho: Density = quantity("density", DENSITY, above=0)
    nu: Ratio = quantity("Poisson's ratio", RATIO, at_least=0, at_most=0.5)
    omega: Speed = quantity("greatest turning speed", SPEED)
    R_lim: Stress = quantity("yield strength, or tensile strength of a brittle rim", STRESS, above=0)
    S_required: Ratio = quantity("required margin", RATIO, above=0)


@dataclass(frozen=True, slots=True)
class FlywheelRating:
    """What the wheel weighs, stores and bears."""

    m: Mass
    J: Inertia
    W: Energy
    v: Velocity
    sigma: Stress
    S: Ratio
    checks: tuple[Check, ...]


@formula("W", "stored energy", KINEMATICS, where={"J": "moment of inertia"})
def stored_energy(J: Inertia, omega: Speed) -> Energy:
    """Half the inertia times speed squared."""
    return J * omega**2 / 2


@formula("v", "rim speed", KINEMATICS)
def rim_speed(d_o: Length, omega: Speed) -> Velocity:
    """Speed of the outer edge."""
    return np.abs(omega) * d_o / 2


@formula("sigma_o", "hoop stress of a thin free ring", ROTATING)
def thin_ring_stress(rho: Density, v: Velocity) -> Stress:
    """Each piece of the ring is held in by its neighbours; the size of the ring does not count."""
    return rho * v**2


@formula("sigma_s", "stress at the centre of a solid disc", ROTATING)
def solid_disc_stress(nu: Ratio, rho: Density, v: Velocity) -> Stress:
    """Greatest at the centre, equal in all directions."""
    return (3 + nu) / 8 * rho * v**2


@formula("sigma_b", "stress at the bore of a disc or ring", ROTATING)
def bored_disc_stress(nu: Ratio, rho: Density, v: Velocity, d_i: Length, d_o: Length) -> Stress:
    """Even a pinhole doubles the stress of the solid disc; a thin ring comes to density times v squared."""
    return (3 + nu) / 4 * rho * v**2 * (1 + (1 - nu) / (3 + nu) * (d_i / d_o) ** 2)


@formula("sigma", "greatest stress of the wheel", ROTATING, outside="the bore is not smaller than the wheel")
def greatest_stress(sigma_s: Stress, sigma_b: Stress, d_i: Length, d_o: Length) -> Stress:
    """At the bore where there is one; NaN where the bore is not smaller than the wheel."""
    return np.where(d_i < d_o, np.where(d_i > 0, sigma_b, sigma_s), np.nan)


@formula("J_n", "moment of inertia needed", KINEMATICS, where={
    "dW": "energy to be taken up and given back in one cycle",
    "C_s": "allowed swing of speed, greatest less smallest over mean", "omega_m": "mean turning speed",
})
def needed_inertia(dW: Energy, C_s: Ratio, omega_m: Speed) -> Inertia:
    """Energy swing over the allowed share of mean speed squared."""
    return dW / (C_s * omega_m**2)


@formula("d_o", "diameter of a solid disc with this inertia", KINEMATICS, where={"J": "moment of inertia"})
def disc_diameter(J: Inertia, rho: Density, b: Length) -> Length:
    """Inertia of a disc goes with the fourth power of its diameter."""
    return (32 * J / (math.pi * rho * b)) ** 0.25


@formula("stores_much", "energy above the value to be fenced", CAUTION,
         where={"W_fence": "stored energy from which a wheel is fenced"})
def stores_much(W: Energy, W_fence: Energy) -> Count:
    """1 where the remark applies, else 0."""
    return np.where(W > W_fence, 1.0, 0.0)


@formula("runs_fast", "rim speed above what cast rims usually run", CAUTION,
         where={"v_usual": "rim speed up to which cast rims are usual"})
def runs_fast(v: Velocity, v_usual: Velocity) -> Count:
    """1 where the remark applies, else 0."""
    return np.where(v > v_usual, 1.0, 0.0)


def rate(f: FlywheelInputs) -> FlywheelRating:
    """Rate one wheel, or many at once when the inputs are arrays."""
    with group("Flywheel"):
        f = f.record()
        m = inertia.mass(f.rho, inertia.ring_volume(f.d_o, f.d_i, f.b))
        J = inertia.ring(m, f.d_o, f.d_i)
        W = stored_energy(J, f.omega)
        v = rim_speed(f.d_o, f.omega)
        sigma = greatest_stress(solid_disc_stress(f.nu, f.rho, v),
                                bored_disc_stress(f.nu, f.rho, v, f.d_i, f.d_o), f.d_i, f.d_o)
        S = named("S_rim", margin(f.R_lim, sigma), "margin on the strength of the rim")
        W_fence = chosen("W_fence", "stored energy from which a wheel is fenced", ENERGY, 100.0,
                         why="several times the energy of a hammer blow", source=CAUTION)
        v_usual = chosen("v_usual", "rim speed up to which cast rims are usual", VELOCITY, 25.0,
                         why="old practice for cast rims", source=CAUTION)
        remark_if(stores_much(W, W_fence), KEEPS_TURNING, CAUTION)
        remark_if(runs_fast(v, v_usual), FAST_RIM, CAUTION)
    return FlywheelRating(m, J, W, v, sigma, S, (
        Check("rim stress", STRESS, sigma, f.R_lim, S, f.S_required, ROTATING, MARGIN,
              "Rim as a free ring: arms, joints and glue are not in it."),
    ))
