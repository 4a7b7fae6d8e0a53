"""The drum: turns it takes, friction of those that stay on, width, fleet angle, wall, rope to buy."""

from __future__ import annotations

import numpy as np

from layshaft.trace.formula import formula
from layshaft.trace.source import KINEMATICS, MECHANICS_OF_MATERIALS, STATICS, Source
from layshaft.trace.units import Angle, Count, Force, Length, Ratio, Stress

TURNS = Source("a textbook on materials handling, hoisting equipment", "turns of rope on a drum, p. 137", "read")
CAPSTAN = Source("friction of a rope round a post", "exp(mu theta)", "derived")


@formula("z_w", "working turns", TURNS)
def working_turns(H: Length, k: Count, D: Length) -> Count:
    """Drop times falls over the circumference, one layer of rope."""
    return H * k / (np.pi * D)


@formula("Z", "turns on the drum", TURNS)
def turns_on_drum(z_w: Count, n_d: Count) -> Count:
    """Working turns, and the dead ones that never leave the drum."""
    return z_w + n_d


@formula("b_needed", "drum width the turns need", TURNS)
def drum_width(Z: Count, s: Length) -> Length:
    """One layer, with one turn more for the anchor. A second layer would change diameter and torque."""
    return (Z + 1) * s


@formula("F_A", "pull left at the rope's anchor on the drum", CAPSTAN)
def anchor_force(F: Force, mu: Ratio, n_d: Count) -> Force:
    """Each dead wrap takes its share by friction, and the anchor the rest."""
    return F * np.exp(-2 * np.pi * mu * n_d)


@formula("alpha", "fleet angle", KINEMATICS, where={"a": "from the drum to the first pulley"})
def fleet_angle(z_w: Count, s: Length, a: Length) -> Angle:
    """Half the way the rope travels along the drum, seen from a pulley opposite its middle."""
    return np.arctan2(z_w * s / 2, a)


@formula("sigma_w", "hoop stress in the drum's wall", MECHANICS_OF_MATERIALS,
         where={"t": "thickness of the wall under the rope"})
def wall_stress(F: Force, s: Length, t: Length) -> Stress:
    """Each turn squeezes a ring of the drum as wide as the pitch; a wall that is thin beside the diameter."""
    return F / (s * t)


@formula("l_r", "length of the rope", STATICS, where={"l_f": "rope between drum and weight or anchor, weight up"})
def rope_length(Z: Count, D: Length, l_f: Length) -> Length:
    """All that lies on the drum with the weight up, and what hangs then."""
    return Z * np.pi * D + l_f
