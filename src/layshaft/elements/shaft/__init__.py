"""Shaft: strength of a section, slope and deflection at a part, twist, critical speed, and sizes to begin with."""

from layshaft.elements.shaft.critical import CriticalInputs, CriticalRating, rate_critical
from layshaft.elements.shaft.section import SectionInputs, SectionRating, rate
from layshaft.elements.shaft.sizing import smallest_bar
from layshaft.elements.shaft.stiffness import (
    DeflectionInputs,
    DeflectionRating,
    SlopeInputs,
    SlopeRating,
    WindUpInputs,
    WindUpRating,
    rate_deflection,
    rate_slope,
    rate_wind_up,
    stiffness_of,
    wind_up_of,
)

__all__ = [
    "CriticalInputs", "CriticalRating", "DeflectionInputs", "DeflectionRating", "SectionInputs", "SectionRating",
    "SlopeInputs", "SlopeRating", "WindUpInputs", "WindUpRating",
    "rate", "rate_critical", "rate_deflection", "rate_slope", "rate_wind_up", "smallest_bar",
    "stiffness_of", "wind_up_of",
]
