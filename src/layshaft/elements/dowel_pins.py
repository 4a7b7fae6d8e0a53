"""Dowel pins that hold two plates in place and carry force across the joint.

Rated for shear by the listed load and for the pressure on the softer plate. Only pins that carry at the
same time are counted: of a round and a relieved pin each holds alone in one direction. Left out: the
pull that draws a pin from its hole, and what a loose fit lets move first.
"""

from __future__ import annotations

from dataclasses import dataclass

from layshaft.mechanics.margin import margin
from layshaft.mechanics.pins import hole_pressure, pin_force
from layshaft.trace.checks import Check
from layshaft.trace.formula import group, named
from layshaft.trace.inputs import Inputs, quantity
from layshaft.trace.source import MECHANICS_OF_MATERIALS, Source
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
)

MARGIN = Source("required margin on the shear load and on the yield of the plates", "", "common practice")
LOOSE = "Pins place, bolts hold: a pin does not keep plates together. Have it checked where people depend on it."


@dataclass(frozen=True, kw_only=True)
class DowelInputs(Inputs):
    """Equal pins across one joint."""

    V: Force = quantity("force across the pins", FORCE, at_least=0)
    T: Torque = quantity("twist about the normal of the joint", TORQUE, at_least=0)
    n: Count = quantity("number of pins that carry at the same time", COUNT, at_least=1)
    a: Length = quantity("distance of the two outermost pins", LENGTH, above=0)
    d: Length = quantity("diameter of a pin", LENGTH, above=0)
    F_s: Force = quantity("listed shear load of one pin, one section", FORCE, above=0)
    t: Length = quantity("depth of a pin in the weaker plate", LENGTH, above=0)
    R_e: Stress = quantity("yield strength of the weaker plate", STRESS, above=0)
    S_s_required: Ratio = quantity("required margin on shear", RATIO, above=0)
    S_p_required: Ratio = quantity("required margin on the plates", RATIO, above=0)


@dataclass(frozen=True, slots=True)
class DowelRating:
    """Force on the hardest loaded pin and its margins."""

    F: Force
    checks: tuple[Check, ...]


def rate(w: DowelInputs) -> DowelRating:
    """Rate one joint, or many at once when the inputs are arrays."""
    with group("Dowel pins"):
        w = w.record()
        F = pin_force(w.V, w.T, w.n, w.a)
        S_s = named("S_s", margin(w.F_s, F), "margin on shear")
        p = hole_pressure(F, w.d, w.t)
        S_p = named("S_p", margin(w.R_e, p), "margin on pressure")
    return DowelRating(F, (
        Check("pin shear", FORCE, F, w.F_s, S_s, w.S_s_required, MECHANICS_OF_MATERIALS, MARGIN, LOOSE),
        Check("pin pressure", STRESS, p, w.R_e, S_p, w.S_p_required, MECHANICS_OF_MATERIALS, MARGIN),
    ))
