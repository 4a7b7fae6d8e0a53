"""Taper clamp: two cone rings between shaft and hub that screws pull together.

Rated by its listing: torque and axial force use up the same friction, and the pressure it puts on the bore of
the hub must not stretch the hub beyond yield. The listed figures hold for the listed tightening torque, for
lightly oiled surfaces and for the listed tolerances of shaft and bore.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from layshaft.mechanics import rings
from layshaft.mechanics.margin import UNLOADED, margin
from layshaft.trace.checks import Check
from layshaft.trace.formula import formula, group, named
from layshaft.trace.inputs import Inputs, quantity
from layshaft.trace.source import Source
from layshaft.trace.units import (
    FORCE,
    LENGTH,
    RATIO,
    STRESS,
    TORQUE,
    Force,
    Length,
    Ratio,
    Stress,
    Torque,
)

LISTED = Source("listings of taper clamps", "torque and axial force combined as a vector", "common practice")
SLIP = Source("required margin on slip of a taper clamp", "1.5 to 2 on a listed torque, hand drives", "common practice")
YIELD = Source("required margin on yield of the hub", "design factor on yield", "common practice")


@dataclass(frozen=True, kw_only=True)
class TaperClampInputs(Inputs):
    """One taper clamp in one hub."""

    T: Torque = quantity("torque through the clamp", TORQUE, at_least=0)
    F_a: Force = quantity("force along the shaft", FORCE, at_least=0)
    T_l: Torque = quantity("listed torque", TORQUE, above=0)
    F_l: Force = quantity("listed axial force", FORCE, above=0)
    p: Stress = quantity("listed pressure on the bore of the hub", STRESS, above=0)
    D: Length = quantity("outside diameter of the hub", LENGTH, above=0)
    d_o: Length = quantity("bore of the hub, outside diameter of the clamp", LENGTH, above=0)
    R_e_hub: Stress = quantity("yield strength, hub", STRESS, above=0)
    S_slip: Ratio = quantity("required margin on slip", RATIO, above=0)
    S_yield: Ratio = quantity("required margin on yield", RATIO, above=0)


@dataclass(frozen=True, slots=True)
class TaperClampRating:
    """Share of the listing in use, and stress in the hub."""

    use: Ratio
    sigma_v: Stress
    checks: tuple[Check, ...]


@formula("u_T", "share of the listed torque in use", LISTED)
def torque_share(T: Torque, T_l: Torque) -> Ratio:
    """Torque over listed torque."""
    return T / T_l


@formula("u_F", "share of the listed axial force in use", LISTED)
def force_share(F_a: Force, F_l: Force) -> Ratio:
    """Axial force over the listed one; nothing where there is none, listed or not."""
    return np.where(F_a == 0, 0, F_a / F_l)


@formula("u", "share of the listing in use", LISTED,
         where={"u_T": "share of the listed torque in use", "u_F": "share of the listed axial force in use"})
def combined_share(u_T: Ratio, u_F: Ratio) -> Ratio:
    """Both use the same friction, at right angles."""
    return np.hypot(u_T, u_F)


@formula("S_f", "margin on slip", LISTED, where={"u": "share of the listing in use"})
def use_margin(u: Ratio) -> Ratio:
    """How often the load could be had; not above a million when nothing is asked."""
    return 1 / np.maximum(u, 1 / UNLOADED)


def rate(k: TaperClampInputs) -> TaperClampRating:
    """Rate one taper clamp, or many at once when the inputs are arrays."""
    with group("Taper clamp"):
        k = k.record()
        use = combined_share(torque_share(k.T, k.T_l), force_share(k.F_a, k.F_l))
        S_f = use_margin(use)
        sigma_v = rings.bore_equivalent(rings.bore_hoop(k.p, k.D, k.d_o), k.p)
        S_h = named("S_h", margin(k.R_e_hub, sigma_v), "margin on yield of the hub")
    return TaperClampRating(use, sigma_v, (
        Check("taper clamp slip", RATIO, use, 1.0, S_f, k.S_slip, LISTED, SLIP),
        Check("taper clamp hub yield", STRESS, sigma_v, k.R_e_hub, S_h, k.S_yield, rings.LAME, YIELD),
    ))
