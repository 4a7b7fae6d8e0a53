"""A spread of margins as a line on a logarithmic scale: from 5 % to 95 % of the draws, the middle one marked."""

from __future__ import annotations

import math

from layshaft.faces.pages.svg import circle, line, number, polyline, text

LONG, HIGH, REACH = 160.0, 16.0, 4.0
"""Length and height of the picture; its ends are a quarter and four times what is required."""

RULES = {0.25: "¼", 0.5: "½", 1.0: "1", 2.0: "2", 4.0: "4"}
SIDE = 6.0


def spread_bar(share: tuple[float, float, float]) -> str:
    """Margin over required margin at 5, 50 and 95 %, on the scale of `spread_scale`; beyond its ends an arrow."""
    low, middle, high = (_along(v) for v in share)
    y = HIGH / 2
    rules = "".join(line((_along(v), y - 3), (_along(v), y + 3), "r-rule") for v in RULES if v != 1.0)
    inside = (line((0, y), (LONG, y), "r-base") + rules + line((low, y), (high, y), "r-span")
              + _beyond(share[0] < 1 / REACH, 0.0, -1) + _beyond(share[2] > REACH, LONG, 1)
              + circle((middle, y), 3, "c-dot") + line((LONG / 2, 1), (LONG / 2, HIGH - 1), "r-post"))
    return _framed(inside, HIGH)


def spread_scale() -> str:
    """The numbers of the scale, to stand above a column of spreads."""
    inside = "".join(text((_along(v), 11), word, "r-number", "middle") for v, word in RULES.items())
    return _framed(inside, HIGH)


def _beyond(is_so: bool, x: float, way: int) -> str:
    return polyline([(x - 3 * way, 4), (x + 2 * way, HIGH / 2), (x - 3 * way, HIGH - 4)], "r-beyond") if is_so else ""


def _framed(inside: str, high: float) -> str:
    return (f'<svg class="spread-bar" viewBox="{number(-SIDE)} 0 {number(LONG + 2 * SIDE)} {number(high)}" '
            f'aria-hidden="true" focusable="false">{inside}</svg>')


def _along(value: float) -> float:
    place = 0.5 + math.log(max(value, 1e-9)) / (2 * math.log(REACH))
    return LONG * min(max(place, 0.0), 1.0)
