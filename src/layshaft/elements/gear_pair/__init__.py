"""Gear pair: geometry and forces of spur and helical gears, rings among them, and their strength."""
