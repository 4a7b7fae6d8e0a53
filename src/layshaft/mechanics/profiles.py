"""Standard sections: area and second moments from their nominal sizes."""

from __future__ import annotations

from dataclasses import dataclass

from layshaft.listings.tables import Row
from layshaft.mechanics import round_bar, sections

MILLI = 1e-3
CORNER = 2.0
"""Outside radius of the corners over the wall, up to 6 mm of wall: EN 10219-2."""


@dataclass(frozen=True, slots=True)
class Profile:
    """One section as it is laid: `h` is the height in the plane it is bent in."""

    h: float
    A: float
    I: float
    I_least: float


def profile(row: Row, *, upright: bool) -> Profile:
    """A row of the table of sections, the larger side upright or lying."""
    h, b, t = (row.number(f"{c}_mm", MILLI) for c in "hbt")
    if not upright:
        h, b = b, h
    shape = row.text("shape")
    if shape in ("round tube", "round bar"):
        bore = h - 2 * t if shape == "round tube" else 0.0
        moment = float(round_bar.second_moment(h, bore))
        return Profile(h, float(sections.circle_area(h, bore)), moment, moment)
    if shape == "bar":
        across, along = (float(sections.rectangle_moment(x, y, 0.0, 0.0)) for x, y in ((b, h), (h, b)))
        return Profile(h, float(sections.rectangle_area(b, h, 0.0, 0.0)), across, min(across, along))
    across, along = tube_moment(b, h, t), tube_moment(h, b, t)
    return Profile(h, tube_area(b, h, t), across, min(across, along))


def tube_area(b: float, h: float, t: float) -> float:
    """Area of a rectangular tube with the corners of cold formed ones."""
    corners = sections.corner_area(CORNER * t) - sections.corner_area((CORNER - 1) * t)
    return float(sections.rectangle_area(b, h, b - 2 * t, h - 2 * t) - 4 * corners)


def tube_moment(b: float, h: float, t: float) -> float:
    """Second moment of the same about the axis across its height."""
    r_o, r_i = CORNER * t, (CORNER - 1) * t
    sharp = sections.rectangle_moment(b, h, b - 2 * t, h - 2 * t)
    return float(sections.rounded_tube_moment(
        sharp, sections.corner_moment(r_o), sections.corner_area(r_o), h, sections.corner_centre(r_o),
        sections.corner_moment(r_i), sections.corner_area(r_i), h - 2 * t, sections.corner_centre(r_i)))
