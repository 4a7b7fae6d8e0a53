"""Parallel key between shaft and hub: pressure on the flanks, shear of the key.

Torque is carried by the side faces; the weakest of shaft, key and hub decides. Mean pressure
after DIN 6892 method C, which is a first check with the load spread evenly.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from layshaft.mechanics.margin import margin
from layshaft.trace.checks import Check
from layshaft.trace.formula import formula, governs, group, named, remark_if
from layshaft.trace.inputs import Inputs, quantity
from layshaft.trace.source import MECHANICS_OF_MATERIALS, Source
from layshaft.trace.units import (
    COUNT,
    LENGTH,
    RATIO,
    STRESS,
    TORQUE,
    Area,
    Count,
    Force,
    Length,
    Ratio,
    Stress,
    Torque,
)

METHOD_C = Source("DIN 6892:2012, parallel keys", "method C, mean flank pressure", "from memory")
LIMIT = Source("DIN 6892:2012, parallel keys", "method C, permissible pressure", "from memory")
MARGIN = Source("required margin on yield of a key", "reversing or jerky hand drive", "common practice")


@dataclass(frozen=True, kw_only=True)
class KeyInputs(Inputs):
    """One key (or `i` equal keys) in one seat."""

    T: Torque = quantity("torque through the key", TORQUE, at_least=0)
    d: Length = quantity("shaft diameter", LENGTH, above=0)
    b: Length = quantity("key width", LENGTH, above=0)
    h: Length = quantity("key height", LENGTH, above=0)
    t_1: Length = quantity("keyway depth in the shaft", LENGTH, above=0)
    l: Length = quantity("key length, round ends included", LENGTH, above=0)
    i: Count = quantity("number of keys", COUNT, at_least=1, at_most=2)
    R_e_shaft: Stress = quantity("yield strength, shaft", STRESS, above=0)
    R_e_key: Stress = quantity("yield strength, key", STRESS, above=0)
    R_e_hub: Stress = quantity("yield strength, hub", STRESS, above=0)
    S_required: Ratio = quantity("required margin", RATIO, above=0)


@dataclass(frozen=True, slots=True)
class KeyRating:
    """Flank pressure and shear of one key."""

    p: Stress
    S_p: Ratio
    S_tau: Ratio
    checks: tuple[Check, ...]


@formula("l_tr", "bearing length", METHOD_C, version=2,
         outside="the key is shorter than it is wide: its round ends leave no straight part")
def bearing_length(l: Length, b: Length, d: Length) -> Length:
    """Straight part of a round-ended key, counted up to 1.3 shaft diameters."""
    return np.minimum(np.where(l > b, l - b, np.nan), 1.3 * d)


@formula("phi", "share of the keys that carry", METHOD_C)
def carrying_share(i: Count) -> Ratio:
    """Two keys never share evenly: three quarters of both are counted."""
    return np.where(i > 1, 0.75, 1.0)


@formula("p", "mean flank pressure", METHOD_C, version=2,
         outside="the keyway is as deep as the key is high: no flank stands in the hub")
def flank_pressure(T: Torque, d: Length, h: Length, t_1: Length, l_tr: Length, i: Count,
                   phi: Ratio) -> Stress:
    """Tangential force at the shaft surface over the flank that stands in the hub."""
    return 2 * T / (d * np.where(h > t_1, h - t_1, np.nan) * l_tr * i * phi)


@formula("p_zul", "permissible flank pressure", LIMIT)
def permissible_pressure(R_e_min: Stress) -> Stress:
    """Nine tenths of the yield strength of the weakest of shaft, key and hub."""
    return 0.9 * R_e_min


@formula("F_t", "tangential force at the shaft surface", MECHANICS_OF_MATERIALS)
def tangential_force(T: Torque, d: Length) -> Force:
    """Torque over the radius."""
    return 2 * T / d


@formula("A_s", "sheared area", MECHANICS_OF_MATERIALS)
def sheared_area(b: Length, l_tr: Length, i: Count, phi: Ratio) -> Area:
    """Key width times bearing length; the round ends are left out."""
    return b * l_tr * i * phi


@formula("tau", "shear stress in the key", MECHANICS_OF_MATERIALS)
def shear_stress(F_t: Force, A_s: Area) -> Stress:
    """Force over area."""
    return F_t / A_s


@formula("tau_y", "shear yield strength of the key", MECHANICS_OF_MATERIALS)
def shear_yield(R_e_key: Stress) -> Stress:
    """Distortion energy: yield in pure shear."""
    return R_e_key / np.sqrt(3)


def rate(k: KeyInputs) -> KeyRating:
    """Rate one key, or many at once when the inputs are arrays."""
    with group("Parallel key"):
        k = k.record()
        l_tr = bearing_length(k.l, k.b, k.d)
        phi = carrying_share(k.i)
        p = flank_pressure(k.T, k.d, k.h, k.t_1, l_tr, k.i, phi)
        weakest = governs(
            "R_e_min", "yield strength, weakest of the three", STRESS,
            {"shaft": k.R_e_shaft, "key": k.R_e_key, "hub": k.R_e_hub}, METHOD_C, pick="smallest",
        )
        p_zul = permissible_pressure(weakest)
        S_p = named("S_p", margin(p_zul, p), "margin on flank pressure")
        tau = shear_stress(tangential_force(k.T, k.d), sheared_area(k.b, l_tr, k.i, phi))
        tau_y = shear_yield(k.R_e_key)
        S_tau = named("S_tau", margin(tau_y, tau), "margin on shear")
        remark_if(short(k.l, k.b), "The key is shorter than twice its width: almost no flank is left "
                  "between the round ends.", METHOD_C)
    return KeyRating(p, S_p, S_tau, (
        Check("flank pressure", STRESS, p, p_zul, S_p, k.S_required, METHOD_C, MARGIN),
        Check("key shear", STRESS, tau, tau_y, S_tau, k.S_required, MECHANICS_OF_MATERIALS, MARGIN),
    ))


@formula("short", "key shorter than twice its width", METHOD_C)
def short(l: Length, b: Length) -> Count:
    """1 where the remark applies, else 0."""
    return np.where(l < 2 * b, 1.0, 0.0)
