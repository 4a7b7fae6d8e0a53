"""Trade-offs over two things that are weighed, as SVG: less is better both ways, so the best lie towards the corner."""

from __future__ import annotations

import math
from collections.abc import Sequence

from layshaft.faces.pages.svg import circle, figure, line, number, text

WIDTH, HEIGHT = 620.0, 300.0
LEFT, RIGHT, TOP, BOTTOM = 76.0, 24.0, 14.0, 44.0
ROOM = 0.08
"""Of the span of the values, left free at either end."""

TICKS = 5
STEPS = (1.0, 2.0, 5.0, 10.0)
APART = 14.0
"""Least distance of two numbers on the paper."""

Mark = tuple[float, float, int]


def front_chart(name: str, title: str, marks: Sequence[Mark], labels: tuple[str, str]) -> str:
    """Numbered marks over two scales that need not begin at nothing."""
    x, y = (_Scale([m[i] for m in marks], *ends) for i, ends in (
        (0, (LEFT, WIDTH - RIGHT)), (1, (HEIGHT - BOTTOM, TOP))))
    base, end = HEIGHT - BOTTOM, WIDTH - RIGHT
    parts = []
    for v in x.ticks():
        parts += [line((x.at(v), TOP), (x.at(v), base), "c-grid"),
                  text((x.at(v), base + 15), f"{v:g}", "c-tick", "middle")]
    for v in y.ticks():
        parts += [line((LEFT, y.at(v)), (end, y.at(v)), "c-grid"),
                  text((LEFT - 6, y.at(v) + 3.5), f"{v:g}", "c-tick", "end")]
    parts += [line((LEFT, base), (end, base), "c-axis"), line((LEFT, TOP), (LEFT, base), "c-axis")]
    parts += [text(((LEFT + end) / 2, HEIGHT - 8), labels[0], "c-title", "middle"),
              f'<g transform="translate(14 {number((TOP + base) / 2)}) rotate(-90)">'
              f'{text((0, 0), labels[1], "c-title", "middle")}</g>']
    parts += [circle((x.at(a), y.at(b)), 3.6, "c-now") for a, b, _ in marks]
    parts += [text(at, words, "c-said") for at, words in _numbers([(x.at(a), y.at(b), n) for a, b, n in marks])]
    described = "; ".join(f"{n}: {a:.4g} and {b:.4g}" for a, b, n in marks)
    return figure(name, title, f"{labels[0]} and {labels[1]}. {described}.", (WIDTH, HEIGHT), parts, "chart")


def _numbers(marks: Sequence[Mark]) -> list[tuple[tuple[float, float], str]]:
    """Where the number of each mark stands; those of marks that lie on one another share a place."""
    found: list[tuple[tuple[float, float], list[int]]] = []
    for x, y, n in marks:
        near = next((one for one in found if math.hypot(one[0][0] - x - 6, one[0][1] - y + 5) < APART), None)
        if near is None:
            found.append(((x + 6, y - 5), [n]))
        else:
            near[1].append(n)
    return [(at, ", ".join(map(str, names))) for at, names in found]


class _Scale:
    """Places of values on the paper, in proportion."""

    def __init__(self, values: Sequence[float], start: float, end: float) -> None:
        low, high = min(values), max(values)
        room = ROOM * (high - low) or 0.1 * abs(high) or 1.0
        self.low, self.high, self.start, self.end = low - room, high + room, start, end

    def at(self, value: float) -> float:
        """A value's place."""
        return self.start + (value - self.low) / (self.high - self.low) * (self.end - self.start)

    def ticks(self) -> list[float]:
        """Round values between the ends."""
        raw = (self.high - self.low) / TICKS
        ten = 10.0 ** math.floor(math.log10(raw))
        step = next(s * ten for s in STEPS if s * ten >= raw * (1 - 1e-9))
        first, last = math.ceil(self.low / step), math.floor(self.high / step)
        return [round(k * step, 12) for k in range(first, last + 1)]
