"""Cross pin: a pin through hub and shaft, at right angles to the axis.

It is sheared where it leaves the shaft, on both sides, and presses on the walls of both holes. Its hole weakens
the shaft more than a keyway: the shaft is rated there as a notched section of its own.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np

from layshaft.mechanics.margin import margin
from layshaft.trace.checks import Check
from layshaft.trace.formula import formula, group, named, remark_if
from layshaft.trace.inputs import Inputs, quantity
from layshaft.trace.source import MECHANICS_OF_MATERIALS, Source
from layshaft.trace.units import (
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

PIN = Source("cross pins under torque, an open course text on machine elements",
             "pressure in hub and shaft, shear of the pin", "read")
SIZES = Source("cross pins, a school's open collection after Roloff/Matek",
               "pin 0.2 to 0.3 of the shaft, hub 1.5 to 2 times the shaft", "read")
SHEAR = Source("required margin on shear of a cross pin", "jerky or reversing hand drive", "common practice")
PRESSURE = Source("required margin on pressure of a cross pin", "design factor on yield", "common practice")


@dataclass(frozen=True, kw_only=True)
class CrossPinInputs(Inputs):
    """One pin through one hub."""

    T: Torque = quantity("torque through the pin", TORQUE, at_least=0)
    F_a: Force = quantity("force along the shaft", FORCE, at_least=0)
    d: Length = quantity("shaft diameter", LENGTH, above=0)
    d_p: Length = quantity("pin diameter", LENGTH, above=0)
    D: Length = quantity("outside diameter of the hub", LENGTH, above=0)
    R_e_pin: Stress = quantity("yield strength, pin", STRESS, above=0)
    R_e_shaft: Stress = quantity("yield strength, shaft", STRESS, above=0)
    R_e_hub: Stress = quantity("yield strength, hub", STRESS, above=0)
    S_shear: Ratio = quantity("required margin on shear", RATIO, above=0)
    S_crush: Ratio = quantity("required margin on pressure", RATIO, above=0)


@dataclass(frozen=True, slots=True)
class CrossPinRating:
    """Shear of the pin and pressure in both holes."""

    tau: Stress
    p_hub: Stress
    p_shaft: Stress
    checks: tuple[Check, ...]


@formula("Q", "force on each shear plane", MECHANICS_OF_MATERIALS)
def plane_force(T: Torque, d: Length, F_a: Force) -> Force:
    """The torque pulls both planes round the shaft, the axial force pulls both along it."""
    return np.hypot(T / d, F_a / 2)


@formula("tau", "shear stress in the pin", PIN, where={"Q": "force on each shear plane"})
def pin_shear(Q: Force, d_p: Length) -> Stress:
    """Force over the section of the pin."""
    return 4 * Q / (math.pi * d_p**2)


@formula("tau_y", "shear yield strength of the pin", MECHANICS_OF_MATERIALS)
def shear_yield(R_e_pin: Stress) -> Stress:
    """Distortion energy: yield in pure shear."""
    return R_e_pin / np.sqrt(3)


@formula("p_hub", "mean pressure in the hub", PIN, outside="the hub is not larger than the shaft", version=2)
def hub_pressure(T: Torque, d_p: Length, D: Length, d: Length, F_a: Force) -> Stress:
    """The two walls share the torque at their mean radius; a pull along the shaft presses at right angles to it."""
    return np.hypot(4 * T / (d_p * np.where(D > d, D**2 - d**2, np.nan)), F_a / (d_p * np.where(D > d, D - d, np.nan)))


@formula("p_shaft", "largest pressure in the shaft", PIN, version=2)
def shaft_pressure(T: Torque, d_p: Length, d: Length, F_a: Force) -> Stress:
    """From the torque it grows from the axis to the surface, as bending stress does; a pull spreads evenly."""
    return np.hypot(6 * T / (d_p * d**2), F_a / (d_p * d))


@formula("off", "pin or hub outside the usual sizes", SIZES)
def unusual(d_p: Length, d: Length, D: Length) -> Count:
    """1 where the remark applies, else 0."""
    return np.where((d_p < 0.2 * d) | (d_p > 0.3 * d) | (D < 1.5 * d), 1.0, 0.0)


def rate(k: CrossPinInputs) -> CrossPinRating:
    """Rate one cross pin, or many at once when the inputs are arrays."""
    with group("Cross pin"):
        k = k.record()
        tau = pin_shear(plane_force(k.T, k.d, k.F_a), k.d_p)
        tau_y = shear_yield(k.R_e_pin)
        S_tau = named("S_tau", margin(tau_y, tau), "margin on shear")
        p_hub = hub_pressure(k.T, k.d_p, k.D, k.d, k.F_a)
        S_hub = named("S_hub", margin(k.R_e_hub, p_hub), "margin on pressure in the hub")
        p_shaft = shaft_pressure(k.T, k.d_p, k.d, k.F_a)
        S_shaft = named("S_shaft", margin(k.R_e_shaft, p_shaft), "margin on pressure in the shaft")
        remark_if(unusual(k.d_p, k.d, k.D), "Usual are a pin of 0.2 to 0.3 of the shaft's diameter and a hub of at "
                  "least 1.5 times the shaft: thicker pins weaken the shaft, thin hubs tear.", SIZES)
    return CrossPinRating(tau, p_hub, p_shaft, (
        Check("cross pin shear", STRESS, tau, tau_y, S_tau, k.S_shear, PIN, SHEAR),
        Check("cross pin in hub", STRESS, p_hub, k.R_e_hub, S_hub, k.S_crush, PIN, PRESSURE),
        Check("cross pin in shaft", STRESS, p_shaft, k.R_e_shaft, S_shaft, k.S_crush, PIN, PRESSURE),
    ))
