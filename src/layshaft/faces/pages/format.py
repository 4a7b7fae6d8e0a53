"""What a drawing is made for: a printed page, or a window of the desk whose size the page tells."""

from __future__ import annotations

from dataclasses import dataclass

LETTERS = 1.17
"""Pixels of a window for one unit of a drawing: letters of 10.5 units are read at 12 pixels."""

NARROW = 560
"""Windows with less room than this, in pixels, have the names beside the drawing and nothing else."""

LEAST, MOST = (300, 360), (1500, 1100)
"""Bounds of what a window may ask for, in pixels: width and height."""


@dataclass(frozen=True, slots=True)
class Format:
    """Sizes in the drawing's own units. Letters have one size in them: a narrower drawing has larger letters."""

    width: float = 820.0
    tallest: float = 850.0
    """Room for the machine from top to bottom."""

    end: float = 206.0
    side: float = 180.0
    """Width of the labels at either side of the view from the end, and from the side."""

    printed: bool = True
    """True where the scale is a usual one and the page says which."""

    names_only: bool = False

    def column(self, view: str) -> float:
        """Width of the labels at either side."""
        return self.end if view == "end" else self.side


def for_window(width: int, height: int) -> Format:
    """A drawing that fits a part of a window so many pixels wide and high."""
    width, height = (min(max(asked, least), most) for asked, least, most in zip(
        (width, height), LEAST, MOST, strict=True))
    wide, high = width / LETTERS, height / LETTERS
    if width < NARROW:
        return Format(wide, high, 92.0, 92.0, printed=False, names_only=True)
    column = min(206.0, 0.3 * wide)
    return Format(wide, high, column, column, printed=False)


def asked_for(told: str) -> Format:
    """From `WIDTHxHEIGHT` as a window tells it; a usual window where it tells nothing that can be understood."""
    width, _, height = told.partition("x")
    if width.isdecimal() and height.isdecimal() and len(told) < 12:
        return for_window(int(width), int(height))
    return for_window(750, 600)
