"""A spread of margins as a line on a logarithmic scale: from 5 % to 95 % of the draws, the middle one marked."""

from __future__ import annotations

import math

from layshaft.faces.pages.svg import circle, line, number

LONG, HIGH, REACH = 160.0, 16.0, 4.0
"""Length and height of the picture; its ends are a quarter and four times what is required."""


def spread_bar(share: tuple[float, float, float]) -> str:
    """Margin over required margin at 5, 50 and 95 %, against the post of what is required."""
    low, middle, high = (_along(v) for v in share)
    y = HIGH / 2
    inside = (line((0, y), (LONG, y), "r-base") + line((low, y), (high, y), "r-span") + circle((middle, y), 3, "c-dot")
              + line((LONG / 2, 1), (LONG / 2, HIGH - 1), "r-post"))
    return (f'<svg class="reach spread-bar" viewBox="-4 0 {number(LONG + 8)} {number(HIGH)}" aria-hidden="true" '
            f'focusable="false">{inside}</svg>')


def _along(value: float) -> float:
    place = 0.5 + math.log(max(value, 1e-9)) / (2 * math.log(REACH))
    return LONG * min(max(place, 0.0), 1.0)
