"""A beam of a frame: a standard section under a module's weight and what its bearings press on it.

Simply supported or held at one end, bent in one plane. Left out, since no method here rates them: the
joints at its ends, sway and twist of the whole frame, bending over the width of the section by pushes
from the side, and buckling of its flange.
"""

from __future__ import annotations

from dataclasses import dataclass

from layshaft.mechanics.margin import margin
from layshaft.mechanics.sections import section_modulus
from layshaft.trace.checks import Check
from layshaft.trace.formula import formula, group, named
from layshaft.trace.inputs import Inputs, quantity
from layshaft.trace.source import MECHANICS_OF_MATERIALS, Source
from layshaft.trace.units import (
    LENGTH,
    RATIO,
    SECOND_MOMENT,
    SLOPE,
    STRESS,
    TORQUE,
    Length,
    Ratio,
    SecondMoment,
    SectionModulus,
    Slope,
    Stress,
    Torque,
)

MARGIN = Source("required margin of a frame", "", "common practice")
NOT_IN = ("Joints, sway and twist of the frame are not in it; give the frame a brace or a plate in every plane. Pushes "
          "from the side count as if they bent it over its height: a section laid upright is weaker that way.")
RIGGERS = ("Lifting is for competent people: rated slings, a trial lift a hand above the floor, nobody under it. Local "
           "rules and licensed riggers go first. The lifting eyes and their welds are not in it.")


@dataclass(frozen=True, kw_only=True)
class BeamInputs(Inputs):
    """One beam; moments, sag and slope are the greatest along it."""

    M: Torque = quantity("greatest bending moment", TORQUE, at_least=0)
    w: Length = quantity("greatest sag", LENGTH, at_least=0)
    theta: Slope = quantity("greatest slope at a bearing it carries", SLOPE, at_least=0)
    M_L: Torque = quantity("greatest bending moment while it is lifted", TORQUE, at_least=0)
    I: SecondMoment = quantity("second moment of area", SECOND_MOMENT, above=0)
    h: Length = quantity("height of the section", LENGTH, above=0)
    R_e: Stress = quantity("yield strength, or permitted bending stress of timber", STRESS, above=0)
    w_zul: Length = quantity("allowed sag", LENGTH, above=0)
    theta_zul: Slope = quantity("allowed slope at its bearings", SLOPE, above=0)
    S_required: Ratio = quantity("required margin on bending", RATIO, above=0)
    S_w_required: Ratio = quantity("required margin on sag", RATIO, above=0)
    S_t_required: Ratio = quantity("required margin on slope", RATIO, above=0)
    S_L_required: Ratio = quantity("required margin while lifted", RATIO, above=0)


@dataclass(frozen=True, slots=True)
class BeamRating:
    """Stress of the beam and its margins."""

    sigma: Stress
    checks: tuple[Check, ...]


@formula("c", "distance of the outer fibre", MECHANICS_OF_MATERIALS)
def outer_fibre(h: Length) -> Length:
    """Half the height of a section that is alike above and below."""
    return h / 2


@formula("sigma", "bending stress", MECHANICS_OF_MATERIALS, where={"W": "section modulus"})
def bending_stress(M: Torque, W: SectionModulus) -> Stress:
    """Moment over section modulus."""
    return M / W


def rate(b: BeamInputs) -> BeamRating:
    """Rate one beam, or many at once when the inputs are arrays."""
    with group("Beam of a frame"):
        b = b.record()
        W = section_modulus(b.I, outer_fibre(b.h))
        sigma = bending_stress(b.M, W)
        S = named("S_M", margin(b.R_e, sigma), "margin on bending")
        S_w = named("S_w", margin(b.w_zul, b.w), "margin on sag")
        S_t = named("S_t", margin(b.theta_zul, b.theta), "margin on slope")
        sigma_L = named("sigma_L", bending_stress(b.M_L, W), "bending stress while lifted")
        S_L = named("S_L", margin(b.R_e, sigma_L), "margin while lifted")
    return BeamRating(sigma, (
        Check("frame bending", STRESS, sigma, b.R_e, S, b.S_required, MECHANICS_OF_MATERIALS, MARGIN, NOT_IN),
        Check("frame sag", LENGTH, b.w, b.w_zul, S_w, b.S_w_required, MECHANICS_OF_MATERIALS, MARGIN),
        Check("frame slope", SLOPE, b.theta, b.theta_zul, S_t, b.S_t_required, MECHANICS_OF_MATERIALS, MARGIN),
        Check("lifting", STRESS, sigma_L, b.R_e, S_L, b.S_L_required, MECHANICS_OF_MATERIALS, MARGIN, RIGGERS),
    ))
