"""Helical springs that are pushed or pulled: rate, shear, solid length, buckling, surge, hooks, fatigue. SI."""

from layshaft.elements.helical_spring.coil import (
    bergstraesser_factor,
    deflection,
    halved_sum,
    halved_swing,
    shear_strength,
    shear_stress,
    spring_energy,
    spring_index,
    spring_rate,
    stress_share,
    wahl_factor,
)
from layshaft.elements.helical_spring.compression import (
    CompressionInputs,
    buckling_length,
    solid_force,
    solid_length,
    spring_mass,
    surge_speed,
)
from layshaft.elements.helical_spring.extension import (
    ExtensionInputs,
    active_turns,
    body_length,
    hook_bending_factor,
    hook_bending_stress,
    hook_torsion_factor,
    travel,
)

__all__ = [
    "CompressionInputs", "ExtensionInputs", "active_turns", "bergstraesser_factor", "body_length", "buckling_length",
    "deflection", "halved_sum", "halved_swing", "hook_bending_factor", "hook_bending_stress", "hook_torsion_factor",
    "shear_strength", "shear_stress", "solid_force", "solid_length", "spring_energy", "spring_index", "spring_mass",
    "spring_rate", "stress_share", "surge_speed", "travel", "wahl_factor",
]
