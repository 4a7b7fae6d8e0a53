"""Belts of the trade: V belts by section, synchronous belts of inch pitch."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache
from typing import Any

from layshaft.listings.tables import table
from layshaft.trace.source import Source
from layshaft.trace.units import DEGREE, FOOT, INCH, POUND_FORCE

MM = 1e-3
PER_1000_FEET_A_MINUTE = POUND_FORCE / (1000 * FOOT / 60) ** 2
"""kg/m of a belt whose centrifugal tension is one pound at 1000 ft/min."""

EFFECTIVE_FRICTION = 0.5123
"""Friction as felt in the groove of a V belt: Shigley, 9th ed., sec. 17-3, a belt maker's value; from memory."""


@dataclass(frozen=True, slots=True)
class VBeltSize:
    """One section of V belt, SI."""

    name: str
    bending: float
    mass_per_metre: float
    strength: float
    exponent: float
    least_diameter: float
    groove: float
    source: Source
    row_content: str


@dataclass(frozen=True, slots=True)
class SynchronousBeltSize:
    """One profile of synchronous belt, SI: tension and mass are those of the base width."""

    name: str
    pitch: Any
    base_width: Any
    tension: Any
    mass_per_metre: Any
    least_teeth: Any
    source: Source
    row_content: str


@cache
def v_belt(name: str) -> VBeltSize:
    """The section of that name, such as `A` or `3V`. `KeyError` if there is none."""
    row = table("v_belts")[name]
    return VBeltSize(row.name, row.number("K_b", POUND_FORCE * INCH), row.number("K_c", PER_1000_FEET_A_MINUTE),
                     row.number("K", POUND_FORCE), row.number("b"), row.number("least_in", INCH),
                     row.number("groove_deg", DEGREE), row.source, row.content)


@cache
def synchronous_belt(name: str) -> SynchronousBeltSize:
    """The profile of that name, such as `XL`. `KeyError` if there is none."""
    row = table("synchronous_belts")[name]
    return SynchronousBeltSize(row.name, row.number("pitch_mm", MM), row.number("base_mm", MM), row.number("Ta_N"),
                               row.number("mass_kg_m"), row.number("least_teeth"), row.source, row.content)
