"""The room a chain takes: on its wheels as it wraps them, and in its strands."""

from __future__ import annotations

from layshaft.elements.roller_chain.geometry import pitch_diameter
from layshaft.elements.roller_chain.sizes import ChainSize
from layshaft.mechanics.outlines import Band, Round


def strand(size: ChainSize) -> Band:
    """As high as its plates and as wide as its pins; a connecting link stands out a little further on one side."""
    across = size.pin_length + (size.strands - 1) * (size.transverse_pitch if size.strands > 1 else 0.0)
    return Band(float(size.plate_height) / 2, float(across))


def wheel(size: ChainSize, z: float) -> Round:
    """A sprocket with the chain on it: plates stand half their height beyond the pitch circle."""
    band = strand(size)
    return Round(float(pitch_diameter(size.pitch, z)) / 2 + band.half_height, band.width)
