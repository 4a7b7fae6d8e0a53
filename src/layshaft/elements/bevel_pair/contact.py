"""How far bent shafts turn and shift the two gears of a bevel pair against each other where they mesh.

The turn that counts is about the normal of the flanks' common edge: it lifts one end of the face. The shift that
counts is that of the middle of the face, in any direction: bevel teeth mind depth, offset and both mounting distances.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from layshaft.mechanics.margin import margin
from layshaft.trace.checks import Check
from layshaft.trace.formula import formula, group, named
from layshaft.trace.inputs import Inputs, quantity
from layshaft.trace.source import Source
from layshaft.trace.units import INCH, LENGTH, RATIO, SLOPE, Length, Ratio, Slope

BENT = Source("beam theory", "slopes and deflections of both shafts, added as vectors", "derived")
LIFT = Source("practice of bevel gears under full load", "0.003 in for gears of 6 to 15 in; here less in proportion "
              "for smaller ones", "from memory")
LIMITS = Source("the limit is the requirement", obtained="common practice")
RIGID = "Bearings and frame taken as rigid."


@dataclass(frozen=True, kw_only=True)
class ContactInputs(Inputs):
    """One bevel pair whose two shafts bend."""

    theta: Slope = quantity("lean of the two flanks against each other along the face", SLOPE, at_least=0)
    y: Length = quantity("bending shift of the two gears against each other at the middle of the face", LENGTH,
                         at_least=0)
    d_2: Length = quantity("reference diameter of the wheel at the large end", LENGTH, above=0)
    theta_limit: Slope = quantity("lean the teeth bear", SLOPE, above=0)
    S_required: Ratio = quantity("required margin on lean and shift", RATIO, above=0)


@dataclass(frozen=True, slots=True)
class ContactRating:
    """Limit of the shift, and checks."""

    y_limit: Length
    checks: tuple[Check, ...]


@formula("y_limit", "shift the teeth bear", LIFT)
def largest_shift(d_2: Length) -> Length:
    """Small gears have small teeth, and bear less."""
    return 0.003 * INCH * np.minimum(d_2 / (6 * INCH), 1.0)


def rate_contact(g: ContactInputs) -> ContactRating:
    """Rate one mesh, or many at once when the inputs are arrays."""
    with group("Mesh of a bevel pair"):
        g = g.record()
        y_limit = largest_shift(g.d_2)
        S_lean = named("S_lean", margin(g.theta_limit, g.theta), "margin on the lean at the mesh")
        S_shift = named("S_shift", margin(y_limit, g.y), "margin on the shift at the mesh")
        return ContactRating(y_limit, (
            Check("slope at mesh", SLOPE, g.theta, g.theta_limit, S_lean, g.S_required, BENT, LIMITS, RIGID),
            Check("deflection at mesh", LENGTH, g.y, y_limit, S_shift, g.S_required, BENT, LIMITS, RIGID),
        ))
