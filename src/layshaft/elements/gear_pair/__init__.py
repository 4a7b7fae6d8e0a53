"""Gear pair: geometry and forces of spur, helical and bevel gears, strength of spur pairs."""
