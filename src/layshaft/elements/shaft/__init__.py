"""Shaft: strength of a section, slope at a part, wind-up, and the sizes to begin with."""

from layshaft.elements.shaft.section import SectionInputs, SectionRating, rate
from layshaft.elements.shaft.sizing import smallest_bar
from layshaft.elements.shaft.stiffness import (
    SlopeInputs,
    SlopeRating,
    WindUpInputs,
    WindUpRating,
    rate_slope,
    rate_wind_up,
    stiffness_of,
    wind_up_of,
)

__all__ = [
    "SectionInputs", "SectionRating", "SlopeInputs", "SlopeRating", "WindUpInputs", "WindUpRating",
    "rate", "rate_slope", "rate_wind_up", "smallest_bar", "stiffness_of", "wind_up_of",
]
