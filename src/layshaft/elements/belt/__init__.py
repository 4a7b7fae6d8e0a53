"""Belts on two pulleys: layout and tensions, V belts by grip and life, synchronous belts by tooth pull. SI."""

from layshaft.elements.belt.geometry import (
    belt_length,
    belt_speed,
    centre_distance,
    centre_equation,
    centre_start,
    pulley_diameter,
    teeth_in_mesh,
    wrap_small,
)
from layshaft.elements.belt.sizes import (
    EFFECTIVE_FRICTION,
    SynchronousBeltSize,
    VBeltSize,
    synchronous_belt,
    v_belt,
)
from layshaft.elements.belt.synchronous import (
    SynchronousBeltInputs,
    mesh_factor,
    permitted_pull,
    permitted_tension,
    width_factor,
)
from layshaft.elements.belt.tension import (
    centrifugal_tension,
    effective_pull,
    groove_friction,
    pressing_tension,
    pulley_force,
    slack_tension,
    slip_pull,
    tension_ratio,
    tight_tension,
)
from layshaft.elements.belt.v import (
    VBeltInputs,
    bending_pull,
    life_passes,
    passes_wanted,
    peak_tension,
)

__all__ = [
    "EFFECTIVE_FRICTION", "SynchronousBeltInputs", "SynchronousBeltSize", "VBeltInputs", "VBeltSize",
    "belt_length", "belt_speed", "bending_pull", "centre_distance", "centre_equation", "centre_start",
    "centrifugal_tension", "effective_pull", "groove_friction", "life_passes", "mesh_factor", "passes_wanted",
    "peak_tension", "permitted_pull", "permitted_tension", "pressing_tension", "pulley_diameter", "pulley_force",
    "slack_tension", "slip_pull", "synchronous_belt", "teeth_in_mesh", "tension_ratio", "tight_tension", "v_belt",
    "width_factor", "wrap_small",
]
