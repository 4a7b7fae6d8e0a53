"""Dog clutch: teeth that fall into gaps. It passes all there is, and forgives no difference of speed.

Teeth go in only while their gap passes, so the speeds may differ by little; and when they are in, the difference ends
at once, in a snatch that has only the twist of the shafts to go into.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import numpy as np

from layshaft.mechanics import stopping
from layshaft.mechanics.drives import locked_train_torque
from layshaft.mechanics.margin import margin
from layshaft.trace.checks import Check
from layshaft.trace.formula import formula, governs, group, named, remark_if
from layshaft.trace.inputs import Inputs, quantity
from layshaft.trace.source import KINEMATICS, MECHANICS_OF_MATERIALS, STATICS, Source
from layshaft.trace.units import (
    ANGLE,
    COUNT,
    FORCE,
    INERTIA,
    LENGTH,
    RATIO,
    SPEED,
    STRESS,
    TORQUE,
    TORSIONAL_STIFFNESS,
    VELOCITY,
    Angle,
    Area,
    Count,
    Force,
    Inertia,
    Length,
    Ratio,
    SectionModulus,
    Speed,
    Stress,
    Torque,
    TorsionalStiffness,
    Velocity,
)

SNATCH = Source("energy of two masses, and work of a load, into the twist between them",
                "T_w + sqrt(omega^2 J k + T_w^2)", "derived")
DANGER = Source("clutches engaged on a running machine", "local codes and licensed practice decide", "common practice")
CAUTION = (
    "Engage dogs at rest, or as near to one speed as can be. A tooth that just catches chips and flies: keep a cover "
    "over it, and hands off the sleeve while it turns. Pulled out under load the driven side is free at once. Local "
    "codes and licensed practice have the last word."
)


@dataclass(frozen=True, kw_only=True)
class DogClutchInputs(Inputs):
    """One dog clutch in one case: square teeth on the face of two sleeves."""

    T: Torque = quantity("torque it passes on", TORQUE, at_least=0)
    z_c: Count = quantity("teeth that carry", COUNT, at_least=1)
    d_o: Length = quantity("outer diameter of the teeth", LENGTH, above=0)
    d_i: Length = quantity("inner diameter of the teeth", LENGTH, at_least=0)
    h: Length = quantity("depth the teeth are in", LENGTH, above=0)
    s_t: Length = quantity("thickness of a tooth at its root, around the axis", LENGTH, above=0)
    R_e: Stress = quantity("yield strength of the teeth", STRESS, above=0)
    phi: Angle = quantity("play of a tooth in its gap, as an angle", ANGLE, at_least=0)
    v: Velocity = quantity("speed at which the sleeve is pushed in", VELOCITY, above=0)
    d_omega: Speed = quantity("difference of the two speeds when it is engaged", SPEED, at_least=0)
    T_w: Torque = quantity("torque of the load when it is engaged", TORQUE, at_least=0)
    J_1: Inertia = quantity("moment of inertia on the driving side, endless if its speed is kept", INERTIA, above=0)
    J_2: Inertia = quantity("moment of inertia on the driven side", INERTIA, above=0)
    k_t: TorsionalStiffness = quantity("torsional stiffness between the two", TORSIONAL_STIFFNESS, above=0)
    S_required: Ratio = quantity("required margin on yield", RATIO, above=0)
    S_v_required: Ratio = quantity("required margin on the difference of speeds", RATIO, above=0)


@dataclass(frozen=True, slots=True)
class DogClutchRating:
    """Force on a tooth, torque of the snatch, and the checks."""

    F: Force
    T_s: Torque
    checks: tuple[Check, ...]


@formula("r_m", "mean radius of the teeth", STATICS, outside="the inner diameter must be smaller than the outer one")
def mean_radius(d_o: Length, d_i: Length) -> Length:
    """Middle of the teeth."""
    return np.where(d_i < d_o, (d_o + d_i) / 4, np.nan)


@formula("b_t", "length of a tooth, across the axis", STATICS)
def tooth_length(d_o: Length, d_i: Length) -> Length:
    """From the inner to the outer diameter."""
    return (d_o - d_i) / 2


@formula("F", "force on one tooth", STATICS)
def tooth_force(T: Torque, r_m: Length, z_c: Count) -> Force:
    """Shared by the teeth that carry: count half of them, they are never cut alike."""
    return T / (r_m * z_c)


@formula("p", "pressure on the flank", MECHANICS_OF_MATERIALS)
def flank_pressure(F: Force, b_t: Length, h: Length) -> Stress:
    """Force over the flank that is in."""
    return F / (b_t * h)


@formula("A_t", "root of a tooth", MECHANICS_OF_MATERIALS)
def root_area(b_t: Length, s_t: Length) -> Area:
    """Length times thickness."""
    return b_t * s_t


@formula("tau", "shear at the root of a tooth", MECHANICS_OF_MATERIALS)
def root_shear(F: Force, A_t: Area) -> Stress:
    """Mean shear."""
    return F / A_t


@formula("tau_y", "shear yield strength", MECHANICS_OF_MATERIALS)
def shear_yield(R_e: Stress) -> Stress:
    """Distortion energy."""
    return R_e / np.sqrt(3)


@formula("W_t", "section modulus at the root of a tooth", MECHANICS_OF_MATERIALS)
def root_modulus(b_t: Length, s_t: Length) -> SectionModulus:
    """A rectangle, bent around the axis."""
    return b_t * s_t**2 / 6


@formula("sigma_t", "bending at the root of a tooth", MECHANICS_OF_MATERIALS)
def root_bending(F: Force, h: Length, W_t: SectionModulus) -> Stress:
    """Force at the tip: a tooth that has only just caught."""
    return F * h / W_t


@formula("F_p", "force at which a flank yields", MECHANICS_OF_MATERIALS)
def flank_strength(R_e: Stress, b_t: Length, h: Length) -> Force:
    """Yield strength on the flank that is in."""
    return R_e * b_t * h


@formula("F_s", "force at which a root shears off", MECHANICS_OF_MATERIALS)
def shear_strength(tau_y: Stress, A_t: Area) -> Force:
    """Shear yield strength on the root."""
    return tau_y * A_t


@formula("F_b", "force at which a root bends", MECHANICS_OF_MATERIALS)
def bending_strength(R_e: Stress, W_t: SectionModulus, h: Length) -> Force:
    """Yield strength times section modulus, over the depth."""
    return R_e * W_t / h


@formula("T_y", "torque at which the teeth yield", MECHANICS_OF_MATERIALS,
         where={"F_y": "force at which the weakest place of a tooth yields"})
def yield_torque(F_y: Force, r_m: Length, z_c: Count) -> Torque:
    """All the teeth that carry, at their mean radius."""
    return F_y * r_m * z_c


@formula("omega_in", "largest difference of speeds at which the teeth go in", KINEMATICS)
def engaging_speed(phi: Angle, v: Velocity, h: Length) -> Speed:
    """The sleeve must be home while the gap passes."""
    return phi * v / h


@formula("T_s", "torque of the snatch, with the load", SNATCH, where={
    "T_d": "torque of the snatch without a load"})
def snatch_torque(T_d: Torque, T_w: Torque) -> Torque:
    """The twist swings about what the load asks for; a load taken up at one speed already counts double."""
    return T_w + np.sqrt(T_d**2 + T_w**2)


def rate(c: DogClutchInputs) -> DogClutchRating:
    """Rate one dog clutch, or many at once when the inputs are arrays."""
    with group("Dog clutch"):
        c = c.record()
        r_m, b_t = mean_radius(c.d_o, c.d_i), tooth_length(c.d_o, c.d_i)
        F = tooth_force(c.T, r_m, c.z_c)
        A_t, W_t, tau_y = root_area(b_t, c.s_t), root_modulus(b_t, c.s_t), shear_yield(c.R_e)
        checks = _teeth(c, F, b_t, A_t, W_t, tau_y)
        F_y = governs("F_y", "force at which the weakest place of a tooth yields", FORCE, {
            "flank": flank_strength(c.R_e, b_t, c.h), "root in shear": shear_strength(tau_y, A_t),
            "root in bending": bending_strength(c.R_e, W_t, c.h),
        }, MECHANICS_OF_MATERIALS, pick="smallest")
        T_s, engaging = _engaging(c, yield_torque(F_y, r_m, c.z_c))
        remark_if(True, CAUTION, DANGER)
        return DogClutchRating(F, T_s, (*checks, *engaging))


def _teeth(c: DogClutchInputs, F: Any, b_t: Any, A_t: Any, W_t: Any, tau_y: Any) -> tuple[Check, ...]:
    who = c.origins["S_required"]
    p, tau, sigma = flank_pressure(F, b_t, c.h), root_shear(F, A_t), root_bending(F, c.h, W_t)
    return (
        Check("tooth pressure", STRESS, p, c.R_e, named("S_p", margin(c.R_e, p), "margin on tooth pressure"),
              c.S_required, MECHANICS_OF_MATERIALS, who),
        Check("tooth shear", STRESS, tau, tau_y, named("S_s", margin(tau_y, tau), "margin on tooth shear"),
              c.S_required, MECHANICS_OF_MATERIALS, who),
        Check("tooth bending", STRESS, sigma, c.R_e, named("S_b", margin(c.R_e, sigma), "margin on tooth bending"),
              c.S_required, MECHANICS_OF_MATERIALS, who),
    )


def _engaging(c: DogClutchInputs, T_y: Any) -> tuple[Any, tuple[Check, Check]]:
    """Whether the teeth go in, and what the rest of the difference of speeds does then."""
    omega_in = engaging_speed(c.phi, c.v, c.h)
    J_r = stopping.reduced_inertia(c.J_1, c.J_2)
    T_d = named("T_d", locked_train_torque(c.d_omega, J_r, c.k_t), "torque of the snatch without a load")
    T_s = snatch_torque(T_d, c.T_w)
    S_v = named("S_v", margin(omega_in, c.d_omega), "margin on the difference of speeds")
    S_t = named("S_t", margin(T_y, T_s), "margin of the teeth on the snatch")
    return T_s, (
        Check("engaging speed", SPEED, c.d_omega, omega_in, S_v, c.S_v_required, KINEMATICS, c.origins["S_v_required"],
              "faster, and the teeth grate over each other instead of going in"),
        Check("snatch on engaging", TORQUE, T_s, T_y, S_t, c.S_required, SNATCH, c.origins["S_required"],
              "the shafts on both sides feel this torque too"),
    )
