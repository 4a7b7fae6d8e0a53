"""Flywheel, a flat disc or ring: what it stores, and whether it holds together.

A turning wheel pulls itself apart with density times rim speed squared. The stored energy is also
a hazard: the wheel goes on turning when the drive stops, and runs away when what brakes it is lost.
Rims on spokes or on a thinner web stand in `rim_wheel`.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np

from layshaft.mechanics.margin import margin
from layshaft.mechanics.outlines import Round
from layshaft.mechanics.rotating import (
    MARGIN,
    RINGS,
    beside_hole,
    cautioned,
    rim_speed,
    run_away,
    run_away_checks,
    stored_energy,
)
from layshaft.trace.checks import Check
from layshaft.trace.formula import formula, group, named
from layshaft.trace.inputs import Inputs, quantity
from layshaft.trace.source import KINEMATICS
from layshaft.trace.units import (
    DENSITY,
    ENERGY,
    INERTIA,
    LENGTH,
    RATIO,
    SPEED,
    STRESS,
    Density,
    Energy,
    Inertia,
    Length,
    Ratio,
    Speed,
    Stress,
    Velocity,
)

EDGE = {"v": "rim speed"}
NOTE = "Disc or ring by itself: arms, joints and glue are not in it."


def outline(d_o: float, width: float) -> Round:
    """The room it takes: a full disc, since nobody reaches through its spokes while it turns."""
    return Round(d_o / 2, width)


@dataclass(frozen=True, kw_only=True)
class FlywheelInputs(Inputs):
    """A flat disc, or a rim reckoned as a free ring; arms and hub are left out."""

    d_o: Length = quantity("outside diameter", LENGTH, above=0)
    d_i: Length = quantity("bore of the disc or inside diameter of the rim, 0 if solid", LENGTH, at_least=0)
    rho: Density = quantity("density", DENSITY, above=0)
    nu: Ratio = quantity("Poisson's ratio", RATIO, at_least=0, at_most=0.5)
    k_h: Ratio = quantity("how many times the stress rises beside holes, 1 without", RATIO, at_least=1)
    J: Inertia = quantity("moment of inertia", INERTIA, above=0)
    omega: Speed = quantity("turning speed", SPEED)
    omega_r: Speed = quantity("greatest turning speed when running", SPEED, at_least=0)
    E_w: Energy = quantity("energy of the weights that can run it away", ENERGY, at_least=0)
    omega_c: Speed = quantity("greatest speed after the loss of one element, or its bound", SPEED, at_least=0)
    omega_s: Speed = quantity("run-away speed that is stated, 0 where weights alone can run it away", SPEED, at_least=0)
    R_lim: Stress = quantity("yield strength, or tensile strength of a brittle rim", STRESS, above=0)
    R_m: Stress = quantity("tensile strength", STRESS, above=0)
    S_required: Ratio = quantity("required margin", RATIO, above=0)
    S_y_required: Ratio = quantity("required margin on yield at the run-away speed", RATIO, above=0)
    S_b_required: Ratio = quantity("required margin on bursting at the run-away speed", RATIO, above=0)


@dataclass(frozen=True, slots=True)
class FlywheelRating:
    """What the wheel stores and bears."""

    W: Energy
    v: Velocity
    sigma: Stress
    S: Ratio
    omega_away: Speed
    checks: tuple[Check, ...]


@formula("sigma_s", "stress at the centre of a solid disc", RINGS, where=EDGE)
def solid_disc_stress(nu: Ratio, rho: Density, v: Velocity) -> Stress:
    """Greatest at the centre, equal in all directions."""
    return (3 + nu) / 8 * rho * v**2


@formula("sigma_b", "stress at the bore of a disc or ring", RINGS, where=EDGE)
def bored_disc_stress(nu: Ratio, rho: Density, v: Velocity, d_i: Length, d_o: Length) -> Stress:
    """Even a pinhole doubles the stress of the solid disc; a thin ring comes to density times v squared."""
    return (3 + nu) / 4 * rho * v**2 * (1 + (1 - nu) / (3 + nu) * (d_i / d_o) ** 2)


@formula("sigma_g", "greatest smooth stress of the wheel", RINGS, outside="the bore is not smaller than the wheel")
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


@formula("d_o", "diameter of a solid disc with this inertia", KINEMATICS, where={
    "J": "moment of inertia", "b": "width"})
def disc_diameter(J: Inertia, rho: Density, b: Length) -> Length:
    """Inertia of a disc goes with the fourth power of its diameter."""
    return (32 * J / (math.pi * rho * b)) ** 0.25


def rate(f: FlywheelInputs) -> FlywheelRating:
    """Rate one wheel, or many at once when the inputs are arrays."""
    f = f.record()
    return judged(f, f.J)


def judged(f: FlywheelInputs, J: Inertia) -> FlywheelRating:
    """Rate inputs that are recorded already; `J` may come from a drawing instead of a given."""
    with group("Flywheel"):
        v, sigma = _at(f, f.omega)
        W = stored_energy(J, f.omega)
        S = named("S_rim", margin(f.R_lim, sigma), "margin on the strength of the rim")
        cautioned(W, v)
    with group("Run away"):
        omega_R = run_away(f, J)
        _, sigma_R = _at(f, omega_R)
        checks = run_away_checks(f, named("sigma_R", sigma_R, "stress at the run-away speed"), RINGS)
    return FlywheelRating(W, v, sigma, S, omega_R, (
        Check("rim stress", STRESS, sigma, f.R_lim, S, f.S_required, RINGS, MARGIN, NOTE), *checks,
    ))


def _at(f: FlywheelInputs, omega: Speed) -> tuple[Velocity, Stress]:
    """Rim speed and stress at one speed."""
    v = named("v", rim_speed(f.d_o, omega), "rim speed")
    smooth = greatest_stress(solid_disc_stress(f.nu, f.rho, v), bored_disc_stress(f.nu, f.rho, v, f.d_i, f.d_o),
                             f.d_i, f.d_o)
    return v, named("sigma", beside_hole(smooth, f.k_h), "greatest stress of the wheel")
