"""What a rope bears: pull, bending round a wheel, pressure in the groove, the end it is held by."""

from __future__ import annotations

from layshaft.trace.formula import formula
from layshaft.trace.source import MECHANICS_OF_MATERIALS, Source
from layshaft.trace.units import Area, Force, Length, Ratio, Stress

BENDING = Source("Bhandari, Design of Machine Elements, ch. 23; Khurmi and Gupta, A Textbook of Machine Design, ch. 20",
                 "wires bent round the sheave", "read")
ENDS = Source("TM 5-3810-305-10", "table 4, terminal efficiencies", "read")
RATIO_RULE = Source("FEM 1.001, booklet 4; ISO 4308-1", "drum and pulley diameter by mechanism group", "second text")
PRESSURE = Source("Shigley's Mechanical Engineering Design, 9th ed.", "eq. 17-42, bearing pressure of a rope",
                  "from memory")
WHEEL = {"D": "diameter of drum or pulley, to the rope's centre"}


@formula("D_d", "diameter of the wheel over that of the rope", RATIO_RULE, where=WHEEL)
def bending_ratio(D: Length, d: Length) -> Ratio:
    """The smaller it is, the sooner the wires break from bending to and fro."""
    return D / d


@formula("sigma_b", "stress in the outer wires from bending", MECHANICS_OF_MATERIALS, where=WHEEL)
def bending_stress(E_r: Stress, d_w: Length, D: Length) -> Stress:
    """A wire bent to the wheel's curvature, with the modulus of the rope in place of that of steel."""
    return E_r * d_w / D


@formula("F_b", "pull that stresses the wires as the bending does", BENDING)
def bending_load(sigma_b: Stress, A: Area) -> Force:
    """Bending stress on the whole metal area: no force that anybody feels, but it uses up strength."""
    return sigma_b * A


@formula("F_end", "strength of the rope's end", ENDS)
def end_strength(F_u: Force, eta_e: Ratio) -> Force:
    """What is left of the breaking force where the rope is held."""
    return eta_e * F_u


@formula("p", "pressure of the rope on the drum", PRESSURE, where=WHEEL)
def groove_pressure(F: Force, d: Length, D: Length) -> Stress:
    """Pull on both sides of a half turn over the shadow of the rope."""
    return 2 * F / (d * D)
