"""The room a part takes: round bodies about its shaft and bands between shafts, as elements tell them. SI."""

from __future__ import annotations

from dataclasses import dataclass

NONE = float("-inf")
NAN = float("nan")
SLICES = 4


@dataclass(frozen=True, slots=True)
class Round:
    """A disc, ring or cylinder about a shaft. NaN where a size is not known.

    `shift` is from the seat to its middle, along the axis; `hole` the radius of a bore in which other things may
    stand, minus infinity where there is none. `most` is the greatest radius and width it is taken for where a size is
    not told, and `least` the radius it has in any case.
    """

    radius: float
    width: float
    shift: float = 0.0
    hole: float = NONE
    most: tuple[float, float] = (NAN, NAN)
    least: float = 0.0


@dataclass(frozen=True, slots=True)
class Band:
    """A strand of chain, belt or rope: half its height across the strand, and its width along the shafts."""

    half_height: float
    width: float


def cone(large: float, small: float, width: float, towards: float) -> tuple[Round, ...]:
    """A cone from its large end at the seat, in slices that lie inside it; `towards` is 1 or -1 along the axis."""
    step = width / SLICES
    radii = [large + (small - large) * (k + 1) / SLICES for k in range(SLICES)]
    return tuple(Round(r, step, towards * (k + 0.5) * step) for k, r in enumerate(radii))
