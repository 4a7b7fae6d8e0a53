"""Fillet welds, by the stress on the throat.

Lines along and across, or once round a tube, take force, twist and bending together; all parts of the
stress are added as vectors at the corner where they meet, whatever their direction, and held against
what a throat may bear in shear. Left out: fatigue, the end craters, residual stress, and the plate
beside the weld, which is often what tears.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np

from layshaft.mechanics.margin import margin
from layshaft.trace.checks import Check
from layshaft.trace.formula import formula, governs, group, named
from layshaft.trace.inputs import Inputs, quantity
from layshaft.trace.source import Source
from layshaft.trace.units import (
    COUNT,
    FORCE,
    LENGTH,
    RATIO,
    STRESS,
    TORQUE,
    Count,
    Force,
    Length,
    Ratio,
    Stress,
    Torque,
    Volume,
)

THROAT = Source("Shigley's Mechanical Engineering Design, 9th ed.", "fillet welds, Tables 9-1 and 9-2, p. 480 to 484",
                "second text")
ALLOWED = Source("Shigley's Mechanical Engineering Design, 9th ed.", "stresses permitted by the AISC code, Table 9-4",
                 "from memory")
MARGIN = Source("required margin on the permitted stress of a weld", "the permitted stress is the requirement",
                "common practice")
BY_WELDERS = ("Steady load; fatigue is not in it: as welded, a fillet bears only 40 to 80 MPa of swing whatever the "
              "steel. Welds that hold weights or people are for certified welders and an inspector.")


@dataclass(frozen=True, kw_only=True)
class WeldInputs(Inputs):
    """A group of equal legs; lines of length d at b apart, lines of length b at d apart, or a ring.

    A single line of the one kind stands in the middle between those of the other.
    A ring is held at the corner of the square round it, which is on the safe side by up to 41 %.
    """

    N: Force = quantity("pull or push square to the face", FORCE, at_least=0)
    V_a: Force = quantity("force along the lines of length d", FORCE, at_least=0)
    V_c: Force = quantity("force across, along the lines of length b", FORCE, at_least=0)
    M_a: Torque = quantity("moment that bends over the length d", TORQUE, at_least=0)
    M_c: Torque = quantity("moment that bends over the length b", TORQUE, at_least=0)
    T: Torque = quantity("twist about the normal of the face", TORQUE, at_least=0)
    h: Length = quantity("leg of the fillet", LENGTH, above=0)
    n_d: Count = quantity("lines of length d", COUNT, at_least=0, at_most=2)
    n_b: Count = quantity("lines of length b", COUNT, at_least=0, at_most=2)
    n_r: Count = quantity("rings of diameter d", COUNT, at_least=0, at_most=1)
    d: Length = quantity("length along, or diameter of the ring", LENGTH, above=0)
    b: Length = quantity("length across, 0 for a single line, the diameter for a ring", LENGTH, at_least=0)
    R_w: Stress = quantity("tensile strength of the weld metal", STRESS, above=0)
    R_e: Stress = quantity("yield strength of the plates", STRESS, above=0)
    S_required: Ratio = quantity("required margin", RATIO, above=0)


@dataclass(frozen=True, slots=True)
class WeldRating:
    """Stress on the throat and its margin."""

    tau: Stress
    S: Ratio
    checks: tuple[Check, ...]


@formula("t", "throat", THROAT)
def throat(h: Length) -> Length:
    """Of a fillet with equal legs."""
    return h / 2**0.5


@formula("L", "length of weld", THROAT, outside="no line and no ring")
def weld_length(n_d: Count, d: Length, n_b: Count, b: Length, n_r: Count) -> Length:
    """Lines and ring."""
    return np.where(n_d + n_b + n_r > 0, n_d * d + n_b * b + n_r * math.pi * d, np.nan)


@formula("I_a", "second moment of the lines over the length d", THROAT)
def moment_along(n_d: Count, d: Length, n_b: Count, b: Length, n_r: Count) -> Volume:
    """Of lines of no width; two lines across stand at both ends, one in the middle."""
    return n_d * d**3 / 12 + np.where(n_b > 1, n_b * b * d**2 / 4, 0) + n_r * math.pi * d**3 / 8


@formula("I_c", "second moment of the lines over the length b", THROAT)
def moment_across(n_d: Count, d: Length, n_b: Count, b: Length, n_r: Count) -> Volume:
    """Of lines of no width; two lines along stand at both sides, one in the middle."""
    return n_b * b**3 / 12 + np.where(n_d > 1, n_d * d * b**2 / 4, 0) + n_r * math.pi * d**3 / 8


@formula("J", "polar second moment of the lines", THROAT)
def polar(I_a: Volume, I_c: Volume) -> Volume:
    """Both add."""
    return I_a + I_c


@formula("tau_a", "shear stress along at the corner", THROAT)
def stress_along(V_a: Force, t: Length, L: Length, T: Torque, b: Length, J: Volume) -> Stress:
    """Even share of the force, and the twist at half the breadth."""
    return V_a / (t * L) + T * b / (2 * t * J)


@formula("tau_c", "shear stress across at the corner", THROAT)
def stress_across(V_c: Force, t: Length, L: Length, T: Torque, d: Length, J: Volume) -> Stress:
    """Even share of the force, and the twist at half the length."""
    return V_c / (t * L) + T * d / (2 * t * J)


@formula("sigma", "stress square to the face at the corner", THROAT,
         outside="a single line bears no bending across itself")
def stress_out(N: Force, t: Length, L: Length, M_a: Torque, d: Length, I_a: Volume, M_c: Torque, b: Length,
               I_c: Volume) -> Stress:
    """Even share of the pull, and both moments at the far ends."""
    return N / (t * L) + np.where(M_a == 0, 0, M_a * d / (2 * t * np.where(I_a > 0, I_a, np.nan))) + np.where(
        M_c == 0, 0, M_c * b / (2 * t * np.where(I_c > 0, I_c, np.nan)))


@formula("tau", "stress on the throat", THROAT)
def throat_stress(tau_a: Stress, tau_c: Stress, sigma: Stress) -> Stress:
    """Added as vectors; the whole counts as shear of the throat."""
    return (tau_a**2 + tau_c**2 + sigma**2) ** 0.5


@formula("tau_w", "permitted stress of the weld metal", ALLOWED)
def permitted_in_weld(R_w: Stress) -> Stress:
    """Three tenths of its tensile strength."""
    return 0.30 * R_w


@formula("tau_p", "permitted shear stress of the plates", ALLOWED)
def permitted_in_plate(R_e: Stress) -> Stress:
    """Four tenths of the yield strength."""
    return 0.40 * R_e


def rate(w: WeldInputs) -> WeldRating:
    """Rate one group of welds, or many at once when the inputs are arrays."""
    with group("Fillet weld"):
        w = w.record()
        t, L = throat(w.h), weld_length(w.n_d, w.d, w.n_b, w.b, w.n_r)
        I_a = moment_along(w.n_d, w.d, w.n_b, w.b, w.n_r)
        I_c = moment_across(w.n_d, w.d, w.n_b, w.b, w.n_r)
        J = polar(I_a, I_c)
        tau = throat_stress(stress_along(w.V_a, t, L, w.T, w.b, J), stress_across(w.V_c, t, L, w.T, w.d, J),
                            stress_out(w.N, t, L, w.M_a, w.d, I_a, w.M_c, w.b, I_c))
        allowed = governs("tau_zul", "permitted stress", STRESS, {
            "weld metal": permitted_in_weld(w.R_w), "plates": permitted_in_plate(w.R_e)}, ALLOWED, pick="smallest")
        S = named("S_w", margin(allowed, tau), "margin on the permitted stress")
    return WeldRating(tau, S, (
        Check("throat stress", STRESS, tau, allowed, S, w.S_required, THROAT, MARGIN, BY_WELDERS),
    ))
