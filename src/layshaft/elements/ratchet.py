"""Ratchet and pawl that hold a weight: tooth, flank, pin, and what falls back before they hold.

The pawl stands as a strut between tooth and pin, so the pin carries the tooth force. The tooth is a
cantilever loaded at its tip; notch and arrest belong to the torque and to the required margin.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import numpy as np

from layshaft.mechanics.margin import margin
from layshaft.mechanics.one_way import sense
from layshaft.mechanics.outlines import Round
from layshaft.trace.checks import Check
from layshaft.trace.formula import formula, given, governs, group, named, remark_if
from layshaft.trace.inputs import Inputs, quantity
from layshaft.trace.source import KINEMATICS, MECHANICS_OF_MATERIALS, STATICS, Source
from layshaft.trace.units import (
    ANGLE,
    COUNT,
    FORCE,
    LENGTH,
    RATIO,
    STRESS,
    TORQUE,
    Angle,
    Area,
    Count,
    Energy,
    Force,
    Length,
    Ratio,
    SectionModulus,
    Stress,
    Torque,
)

ONE_WAY = Source("a pawl holds one way and clicks the other", obtained="derived")
SEATING = Source("elementary statics", "a pawl stays in where the flank leans more than friction", "derived")
OWN_LIMIT = Source("the pawl seats itself or it does not", "nothing is added here", "common practice")
DANGER = Source("ratchets that hold a weight", "local codes and licensed practice decide", "common practice")

CAUTION = (
    "The ratchet is all that stands between a person and the weight. Keep fingers out of tooth and pawl, "
    "hold the pawl down by a spring and by its own weight, and have a second holder where people come "
    "near. Local codes and licensed practice have the last word."
)


def outline(diameter: float, face: float) -> Round:
    """The room its wheel takes; the pawl stands where the frame holds it, and that is not told."""
    return Round(diameter / 2, face)


@dataclass(frozen=True, kw_only=True)
class RatchetInputs(Inputs):
    """One ratchet wheel with its pawls, held against a torque. Unknown dimensions are NaN."""

    T: Torque = quantity("torque the ratchet holds", TORQUE, at_least=0)
    T_f: Torque = quantity("the same, negative where it would have to hold the way it clicks", TORQUE)
    D: Length = quantity("diameter at which the pawl presses", LENGTH, above=0)
    z: Count = quantity("ratchet teeth", COUNT, at_least=3)
    i: Count = quantity("pawls that carry at the same time", COUNT, at_least=1)
    i_s: Count = quantity("pawls staggered by equal shares of a tooth", COUNT, at_least=1)
    h_t: Length = quantity("tooth depth", LENGTH, above=0)
    s_t: Length = quantity("tooth thickness at the root", LENGTH, above=0)
    b: Length = quantity("face width in contact", LENGTH, above=0)
    h_c: Length = quantity("depth of flank the pawl bears on", LENGTH, above=0)
    d_pin: Length = quantity("pawl pin diameter", LENGTH, above=0)
    n_s: Count = quantity("sheared sections of the pin, 1 or 2", COUNT, at_least=1, at_most=2)
    l_pin: Length = quantity("arm of an overhung pin, or span of a pin held on both sides", LENGTH, above=0)
    alpha: Angle = quantity("angle by which the flank draws the pawl in", ANGLE)
    mu: Ratio = quantity("friction between pawl and flank", RATIO, above=0)
    R_e_tooth: Stress = quantity("yield strength, ratchet wheel", STRESS, above=0)
    R_e_pawl: Stress = quantity("yield strength, pawl", STRESS, above=0)
    R_e_pin: Stress = quantity("yield strength, pawl pin", STRESS, above=0)
    W: Force = quantity("weight force that falls back", FORCE, at_least=0)
    D_w: Length = quantity("diameter on which chain or rope of the weight runs, seen at the ratchet's shaft", LENGTH,
                           above=0)
    j: Count = quantity("chain or rope run per height of the weight", COUNT, at_least=1)
    S_required: Ratio = quantity("required margin on yield", RATIO, above=0)


@dataclass(frozen=True, slots=True)
class RatchetRating:
    """Forces, fall-back and checks of one ratchet."""

    F: Force
    phi_step: Angle
    h: Length
    E_h: Energy
    checks: tuple[Check, ...]


@formula("F", "force on one tooth", STATICS)
def tooth_force(T: Torque, D: Length, i: Count) -> Force:
    """Torque over the radius, shared by the pawls that carry together; count one unless they equalise."""
    return 2 * T / (D * i)


@formula("W_t", "section modulus of the tooth root", MECHANICS_OF_MATERIALS)
def root_modulus(b: Length, s_t: Length) -> SectionModulus:
    """Rectangle of face and root thickness."""
    return b * s_t**2 / 6


@formula("sigma_t", "bending stress at the tooth root", MECHANICS_OF_MATERIALS)
def root_stress(F: Force, h_t: Length, W_t: SectionModulus) -> Stress:
    """Cantilever of the tooth depth, the pawl at its tip: the worst place it can catch."""
    return F * h_t / W_t


@formula("p", "pressure on the flank", MECHANICS_OF_MATERIALS)
def flank_pressure(F: Force, b: Length, h_c: Length) -> Stress:
    """Force over the flank in contact."""
    return F / (b * h_c)


@formula("A_s", "sheared area of the pin", MECHANICS_OF_MATERIALS)
def sheared_area(d_pin: Length, n_s: Count) -> Area:
    """One round section for an overhung pin, two for a pin held on both sides of the pawl."""
    return n_s * np.pi * d_pin**2 / 4


@formula("tau", "mean shear stress in the pin", MECHANICS_OF_MATERIALS)
def pin_shear(F: Force, A_s: Area) -> Stress:
    """Force over area."""
    return F / A_s


@formula("tau_y", "shear yield strength of the pin", MECHANICS_OF_MATERIALS)
def shear_yield(R_e_pin: Stress) -> Stress:
    """Distortion energy: yield in pure shear."""
    return R_e_pin / np.sqrt(3)


@formula("M_pin", "bending moment in the pin", STATICS)
def pin_moment(F: Force, l_pin: Length, n_s: Count) -> Torque:
    """Overhung: force times arm. Held on both sides: force in the middle of the span, a quarter."""
    return F * l_pin * np.where(n_s > 1, 0.25, np.where(n_s <= 1, 1.0, np.nan))


@formula("sigma_pin", "bending stress in the pin", MECHANICS_OF_MATERIALS)
def pin_bending(M_pin: Torque, d_pin: Length) -> Stress:
    """Moment over the section modulus of a round bar."""
    return 32 * M_pin / (np.pi * d_pin**3)


@formula("phi_step", "angle between two holding positions", KINEMATICS)
def angle_step(z: Count, i_s: Count) -> Angle:
    """One tooth; staggered pawls divide it."""
    return 2 * np.pi / (z * i_s)


@formula("h", "height the weight falls back before it is held", KINEMATICS)
def fall_back(D_w: Length, phi_step: Angle, j: Count) -> Length:
    """Worst case: a pawl has barely missed its tooth."""
    return D_w / 2 * phi_step / j


@formula("E_h", "energy of the fall-back", STATICS)
def fall_back_energy(W: Force, h: Length) -> Energy:
    """What tooth, pawl and suspension must swallow when the pawl catches."""
    return W * h


@formula("rho", "friction angle", STATICS)
def friction_angle(mu: Ratio) -> Angle:
    """A flank that leans more than this draws the pawl in by itself."""
    return np.arctan(mu)


def rate(c: RatchetInputs) -> RatchetRating:
    """Rate one ratchet, or many at once when the inputs are arrays."""
    with group("Ratchet"):
        c = c.record()
        F = tooth_force(c.T, c.D, c.i)
        phi_step = angle_step(c.z, c.i_s)
        h = fall_back(c.D_w, phi_step, c.j)
        checks = (*_tooth(c, F), *_pin(c, F), _seating(c), _sense(c))
        remark_if(True, CAUTION, DANGER)
        return RatchetRating(F, phi_step, h, fall_back_energy(c.W, h), checks)


def _tooth(c: RatchetInputs, F: Any) -> tuple[Check, Check]:
    who = c.origins["S_required"]
    sigma = root_stress(F, c.h_t, root_modulus(c.b, c.s_t))
    S_t = named("S_t", margin(c.R_e_tooth, sigma), "margin on tooth bending")
    p = flank_pressure(F, c.b, c.h_c)
    weaker = governs("R_e_min", "yield strength, weaker of tooth and pawl", STRESS,
                     {"tooth": c.R_e_tooth, "pawl": c.R_e_pawl}, MECHANICS_OF_MATERIALS, pick="smallest")
    S_p = named("S_p", margin(weaker, p), "margin on tooth pressure")
    return (
        Check("tooth bending", STRESS, sigma, c.R_e_tooth, S_t, c.S_required, MECHANICS_OF_MATERIALS, who),
        Check("tooth pressure", STRESS, p, weaker, S_p, c.S_required, MECHANICS_OF_MATERIALS, who),
    )


def _pin(c: RatchetInputs, F: Any) -> tuple[Check, Check]:
    who = c.origins["S_required"]
    tau, tau_y = pin_shear(F, sheared_area(c.d_pin, c.n_s)), shear_yield(c.R_e_pin)
    S_s = named("S_s", margin(tau_y, tau), "margin on pin shear")
    sigma = pin_bending(pin_moment(F, c.l_pin, c.n_s), c.d_pin)
    S_b = named("S_b", margin(c.R_e_pin, sigma), "margin on pin bending")
    return (
        Check("pawl pin shear", STRESS, tau, tau_y, S_s, c.S_required, MECHANICS_OF_MATERIALS, who),
        Check("pawl pin bending", STRESS, sigma, c.R_e_pin, S_b, c.S_required, MECHANICS_OF_MATERIALS, who),
    )


def _seating(c: RatchetInputs) -> Check:
    rho = friction_angle(c.mu)
    required = given("S_r_required", "flank and friction angle may be equal, no less", RATIO, 1.0, OWN_LIMIT)
    S_r = named("S_r", margin(c.alpha, rho), "margin on seating of the pawl")
    return Check("pawl seating", ANGLE, rho, c.alpha, S_r, required, SEATING, OWN_LIMIT,
                 "a flank that leans less than friction can let a half-caught pawl slide out")


def _sense(c: RatchetInputs) -> Check:
    required = given("c_s_required", "it acts the way it can, or not at all", RATIO, 1.0, OWN_LIMIT)
    return Check("sense of drive", TORQUE, c.T, c.T_f, sense(c.T_f), required, ONE_WAY, OWN_LIMIT,
                 "below one the pawl clicks where it ought to drive: turn the wheel round, or swap from and to")
