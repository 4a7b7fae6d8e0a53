"""Whether the teeth of a straight bevel pair fit: overlap of contacts, undercut, and a face no wider than it bears."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from layshaft.elements.bevel_pair import geometry
from layshaft.elements.bevel_pair.rate import Cones, cones
from layshaft.mechanics.margin import margin
from layshaft.trace.checks import Check
from layshaft.trace.formula import chosen, governs, group, named
from layshaft.trace.inputs import Inputs, quantity
from layshaft.trace.source import Source
from layshaft.trace.units import ANGLE, COUNT, LENGTH, RATIO, Angle, Count, Length, Ratio

PRACTICE = Source("gear handbooks", "contact ratio at least 1.2", "common practice")
LIMIT = Source("the method's own limit", obtained="common practice")


@dataclass(frozen=True, kw_only=True)
class BevelFitInputs(Inputs):
    """The teeth of one pair as cut."""

    m: Length = quantity("module at the large end", LENGTH, above=0)
    z_1: Count = quantity("teeth of the pinion", COUNT, at_least=5)
    z_2: Count = quantity("teeth of the wheel", COUNT, at_least=5)
    b: Length = quantity("face width", LENGTH, above=0)
    alpha: Angle = quantity("pressure angle", ANGLE, above=0, at_most=np.pi / 4)
    sigma: Angle = quantity("angle between the shafts", ANGLE, above=0, at_most=np.pi)
    S_fit: Ratio = quantity("required margin of fit", RATIO, above=0)


@dataclass(frozen=True, slots=True)
class BevelFitRating:
    """Cones and checks of one pair."""

    cones: Cones
    checks: tuple[Check, ...]


def _undercut(g: BevelFitInputs, c: Cones) -> Check:
    z_min = named("z_min1", geometry.least_teeth(c.delta_1, g.alpha), "least teeth of the pinion without undercut")
    S_u = named("S_u", margin(g.z_1, z_min), "margin against undercut")
    return Check("undercut", COUNT, z_min, g.z_1, S_u, g.S_fit, geometry.NO_UNDERCUT, LIMIT)


def _face(g: BevelFitInputs, c: Cones) -> Check:
    widest = governs("b_max", "widest face", LENGTH, {"third of the cone distance": geometry.widest_by_cone(c.A_0),
                                                      "ten modules": geometry.widest_by_module(g.m)},
                     geometry.FACE, pick="smallest")
    S_b = named("S_b", margin(widest, g.b), "margin on the width of the face")
    return Check("face width", LENGTH, g.b, widest, S_b, g.S_fit, geometry.FACE, LIMIT)


def rate_fit(g: BevelFitInputs) -> BevelFitRating:
    """Say whether the teeth of one pair fit, or of many at once when the inputs are arrays.

    The pinion has the fewer virtual teeth of the two: it is the one that a cutter would undercut first.
    """
    with group("Fit of the bevel teeth"):
        g = g.record()
        c = cones(g.m, g.z_1, g.z_2, g.sigma)
        d_2 = named("d_2", geometry.large_diameter(g.z_2, g.m), "reference diameter of the wheel at the large end")
        eps_v = geometry.virtual_contact_ratio(
            named("d_v1", geometry.virtual_diameter(c.d_1, c.delta_1), "virtual diameter of the pinion"),
            named("d_v2", geometry.virtual_diameter(d_2, c.delta_2), "virtual diameter of the wheel"), g.m, g.alpha)
        least = chosen("eps_min", "contact ratio at which the next pair takes over", RATIO, 1.0,
                       why="the margin stands on it", source=LIMIT)
        return BevelFitRating(c, (
            Check("contact ratio", RATIO, least, eps_v, eps_v, g.S_fit, geometry.ISO_21771, PRACTICE),
            _undercut(g, c), _face(g, c),
        ))
