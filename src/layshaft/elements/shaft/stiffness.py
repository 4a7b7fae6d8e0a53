"""How a shaft bends at a part and winds up along its length, against what the part bears.

Strength seldom sets the diameter of a slow shaft: slope at bearings and meshes, and twist of long
lines, do.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import reduce
from typing import Any, Literal

import numpy as np

from layshaft.mechanics import round_bar
from layshaft.mechanics.margin import margin
from layshaft.trace.checks import Check
from layshaft.trace.formula import formula, group, named, total
from layshaft.trace.inputs import Inputs, quantity
from layshaft.trace.source import MECHANICS_OF_MATERIALS, Source
from layshaft.trace.units import (
    ANGLE,
    LENGTH,
    RATIO,
    SLOPE,
    TWIST_RATE,
    Angle,
    Length,
    Ratio,
    Slope,
    TwistRate,
)

BENT = Source("beam of Euler and Bernoulli on rigid bearings", obtained="derived")
LIMITS = Source("Shigley's Mechanical Engineering Design, 9th ed.", "Table 7-2, p. 379", "read")
LINE_SHAFT = Source("old rule for line shafts", "0.25 degrees per metre where timing counts",
                    "common practice")


@dataclass(frozen=True, kw_only=True)
class SlopeInputs(Inputs):
    """Slope of the shaft at one bearing or mesh, in two planes."""

    theta_y: Slope = quantity("slope in the first plane", SLOPE)
    theta_z: Slope = quantity("slope in the second plane", SLOPE)
    theta_limit: Slope = quantity("slope the part bears", SLOPE, above=0)
    S_required: Ratio = quantity("required margin", RATIO, above=0)


@dataclass(frozen=True, slots=True)
class SlopeRating:
    """Slope of both planes together and its margin."""

    theta: Slope
    S: Ratio
    checks: tuple[Check, ...]


@formula("theta", "slope of the shaft", BENT)
def slope(theta_y: Slope, theta_z: Slope) -> Slope:
    """Two planes at right angles add as vectors."""
    return np.hypot(theta_y, theta_z)


def rate_slope(s: SlopeInputs, at: Literal["bearing", "mesh", "coupling"] = "bearing") -> SlopeRating:
    """Rate the slope at one place, or at many at once. At a mesh or coupling give the slopes of one shaft."""
    with group(f"Slope at {at}"):
        s = s.record()
        theta = slope(s.theta_y, s.theta_z)
        S = named("S_slope", margin(s.theta_limit, theta), "margin on slope")
    return SlopeRating(theta, S, (
        Check(f"slope at {at}", SLOPE, theta, s.theta_limit, S, s.S_required, BENT, LIMITS,
              "Bearings and frame taken as rigid."),
    ))


@dataclass(frozen=True, kw_only=True)
class DeflectionInputs(Inputs):
    """Deflection of the shaft under one wheel or coupling half, in two planes."""

    y_y: Length = quantity("deflection in the first plane", LENGTH)
    y_z: Length = quantity("deflection in the second plane", LENGTH)
    y_limit: Length = quantity("deflection the part bears", LENGTH, above=0)
    S_required: Ratio = quantity("required margin", RATIO, above=0)


@dataclass(frozen=True, slots=True)
class DeflectionRating:
    """Deflection of both planes together and its margin."""

    y: Length
    S: Ratio
    checks: tuple[Check, ...]


@formula("y", "deflection of the shaft", BENT)
def deflection(y_y: Length, y_z: Length) -> Length:
    """Two planes at right angles add as vectors."""
    return np.hypot(y_y, y_z)


def rate_deflection(s: DeflectionInputs, at: Literal["mesh", "coupling"] = "mesh") -> DeflectionRating:
    """Rate the deflection at one place, or at many at once."""
    with group(f"Deflection at {at}"):
        s = s.record()
        y = deflection(s.y_y, s.y_z)
        S = named("S_y", margin(s.y_limit, y), "margin on deflection")
    return DeflectionRating(y, S, (
        Check(f"deflection at {at}", LENGTH, y, s.y_limit, S, s.S_required, BENT, LIMITS,
              "Bearings and frame taken as rigid; what the bearings give comes on top."),
    ))


@dataclass(frozen=True, kw_only=True)
class WindUpInputs(Inputs):
    """Twist between two places on a shaft."""

    phi: Angle = quantity("twist between the two places", ANGLE)
    L: Length = quantity("distance of the two places", LENGTH, above=0)
    twist_limit: TwistRate = quantity("allowed twist per length", TWIST_RATE, above=0)
    S_required: Ratio = quantity("required margin", RATIO, above=0)


@dataclass(frozen=True, slots=True)
class WindUpRating:
    """Twist per length and its margin."""

    twist_rate: TwistRate
    S: Ratio
    checks: tuple[Check, ...]


@formula("phi_L", "twist per length", MECHANICS_OF_MATERIALS)
def twist_rate(phi: Angle, L: Length) -> TwistRate:
    """Mean over the length; direction does not count."""
    return np.abs(phi) / L


def rate_wind_up(w: WindUpInputs) -> WindUpRating:
    """Rate the twist of one length of shaft, or of many at once."""
    with group("Twist"):
        w = w.record()
        rate_ = twist_rate(w.phi, w.L)
        S = named("S_twist", margin(w.twist_limit, rate_), "margin on twist")
    return WindUpRating(rate_, S, (
        Check("twist", TWIST_RATE, rate_, w.twist_limit, S, w.S_required, MECHANICS_OF_MATERIALS,
              LINE_SHAFT, "Elastic twist alone; play of keys and couplings comes on top."),
    ))


def wind_up_of(lengths: Mapping[str, tuple[Any, Any, Any, Any]], G: Any) -> Any:
    """Twist of a shaft as the sum over its lengths, each (torque, length, diameter, bore)."""
    twists = {
        name: round_bar.twist(T, round_bar.torsional_stiffness(G, round_bar.polar_moment(d, d_i), L))
        for name, (T, L, d, d_i) in lengths.items()
    }
    return total("phi", "twist between the two places", ANGLE, twists, MECHANICS_OF_MATERIALS)


def stiffness_of(lengths: Mapping[str, tuple[Any, Any, Any]], G: Any) -> Any:
    """Torsional stiffness of several lengths in series, each (length, diameter, bore)."""
    return reduce(round_bar.in_series, (
        round_bar.torsional_stiffness(G, round_bar.polar_moment(d, d_i), L) for L, d, d_i in lengths.values()
    ))
