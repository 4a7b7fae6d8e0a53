"""Rope on drum and pulleys: sizes, bending, ends, wraps, pressure, drum. SI throughout."""

from layshaft.elements.rope.drum import (
    anchor_force,
    drum_width,
    fleet_angle,
    rope_length,
    turns_on_drum,
    wall_stress,
    working_turns,
)
from layshaft.elements.rope.rate import INSPECT, RopeInputs, RopeRating, rate
from layshaft.elements.rope.sizes import (
    PRESSURES,
    RopeSize,
    bending_data,
    fibre_rope,
    least_ratio,
    mass_per_length,
    metal_area,
    minimum_breaking_force,
    permitted_pressure,
    practice,
    stretch_at_an_eighth,
    termination,
    wire_rope,
    wire_ropes,
)
from layshaft.elements.rope.strength import (
    bending_load,
    bending_ratio,
    bending_stress,
    end_strength,
    groove_pressure,
)

__all__ = [
    "INSPECT", "PRESSURES", "RopeInputs", "RopeRating", "RopeSize", "anchor_force", "bending_data", "bending_load",
    "bending_ratio", "bending_stress", "drum_width", "end_strength", "fibre_rope", "fleet_angle", "groove_pressure",
    "least_ratio", "mass_per_length", "metal_area", "minimum_breaking_force", "permitted_pressure", "practice",
    "rate", "rope_length", "stretch_at_an_eighth", "termination", "turns_on_drum", "wall_stress", "wire_rope",
    "wire_ropes", "working_turns",
]
