"""One wheel of an endless loop: how far the chain wraps it, and whether the slack side holds it down."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from layshaft.elements.roller_chain.geometry import engaged_teeth
from layshaft.elements.roller_chain.sizes import practice
from layshaft.elements.roller_chain.strength import JUMP, back_pull, tooth_angle
from layshaft.mechanics.margin import margin
from layshaft.trace.checks import Check
from layshaft.trace.formula import group, looked_up, named
from layshaft.trace.inputs import Inputs, quantity
from layshaft.trace.source import Source
from layshaft.trace.units import ANGLE, COUNT, DEGREE, FORCE, RATIO, Angle, Count, Force, Ratio

JUMP_NOTE = ("for a new chain on new teeth, and wear takes from it; more pull on the slack side, less on the tight "
             "side, or another tooth in the wrap (more teeth, more wrap) raises the margin")
"""What the back tension formula has in it, and nothing else."""

OWN_LIMIT = Source("the method's own limit", "nothing is added to it here", "common practice")


@dataclass(frozen=True, kw_only=True)
class WheelInputs(Inputs):
    """A sprocket that a loop runs over, with the tension on both sides."""

    z: Count = quantity("teeth", COUNT, at_least=6)
    theta: Angle = quantity("wrap of the chain", ANGLE, above=0, at_most=2 * np.pi)
    F_1: Force = quantity("tension of the tight side", FORCE, at_least=0)
    F_2: Force = quantity("tension of the slack side", FORCE, at_least=0)
    hoisting: Count = quantity("1 in the load path of a hanging weight, else 0", COUNT, at_least=0, at_most=1)
    S_required: Ratio = quantity("required margin", RATIO, above=0)


@dataclass(frozen=True, slots=True)
class WheelRating:
    """Wrap and back tension of one wheel."""

    checks: tuple[Check, ...]


def rate(w: WheelInputs) -> WheelRating:
    """Rate one wheel of a loop, or many at once."""
    with group("Wheel of the loop"):
        w = w.record()
        row = practice("wrap")
        least = looked_up("theta_min", "least wrap", ANGLE, row.number("value", DEGREE), table=row.table,
                          row=row.name, source=row.source)
        S_w = named("S_w", margin(w.theta, least), "margin on wrap")
        K = engaged_teeth(w.z, w.theta)
        F_k = back_pull(w.F_1, tooth_angle(w.z), w.z, K, w.hoisting)
        S_k = named("S_k", margin(w.F_2, F_k), "margin against tooth jump")
    return WheelRating((
        Check("wrap", ANGLE, least, w.theta, S_w, w.S_required, row.source, OWN_LIMIT),
        Check("tooth jump", FORCE, F_k, w.F_2, S_k, w.S_required, JUMP, OWN_LIMIT,
              JUMP_NOTE),
    ))
