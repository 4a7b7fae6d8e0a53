"""Worm and wheel: sizes, friction and locking, forces, strength, heat. SI throughout."""

from layshaft.elements.worm_pair.forces import radial_force, wheel_force, worm_force
from layshaft.elements.worm_pair.friction import (
    AT_REST,
    efficiency,
    implied_friction,
    locking_friction,
    losses_at_rest,
    mesh_friction,
    reverse_efficiency,
)
from layshaft.elements.worm_pair.geometry import (
    axial_pitch,
    carrying_face,
    centre_distance,
    diameter_by_centres,
    diameter_by_lead_angle,
    diameter_by_quotient,
    lead_angle,
    least_length,
    normal_pitch,
    rolling_diameter,
    shift_at,
    sliding_speed,
    wheel_diameter,
    wheel_speed,
)
from layshaft.elements.worm_pair.rate import NO_BRAKE, WormInputs, WormRating
from layshaft.elements.worm_pair.sizes import WheelMaterial, wheel_material

__all__ = [
    "AT_REST", "NO_BRAKE", "WheelMaterial", "WormInputs", "WormRating", "axial_pitch", "carrying_face",
    "centre_distance", "diameter_by_centres", "diameter_by_lead_angle", "diameter_by_quotient", "efficiency",
    "implied_friction", "lead_angle", "least_length", "locking_friction", "losses_at_rest", "mesh_friction",
    "normal_pitch", "radial_force", "reverse_efficiency", "rolling_diameter", "shift_at", "sliding_speed",
    "wheel_diameter", "wheel_force", "wheel_material", "wheel_speed", "worm_force",
]
