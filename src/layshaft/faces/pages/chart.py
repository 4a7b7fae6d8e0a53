"""A chart of a few lines as SVG: logarithmic scales, lines told apart by dash and name, no colour needed."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise

import numpy as np
import numpy.typing as npt

from layshaft.faces.pages.svg import circle, figure, line, number, path, text

Values = npt.NDArray[np.float64]
WIDTH, HEIGHT = 620.0, 300.0
LEFT, RIGHT, TOP, BOTTOM = 76.0, 150.0, 14.0, 44.0
STEPS = (1, 2, 5)
FEW, CLOSE = 3, 13.0
"""Ticks below which twos and fives are marked too; least distance of two names at the right edge."""


@dataclass(frozen=True, slots=True)
class Axis:
    """What runs along one side, in the unit it is printed in."""

    title: str
    values: Values


@dataclass(frozen=True, slots=True)
class Drawn:
    """One line over the values of the x axis, and the point where the part stands now."""

    name: str
    y: Values
    now: tuple[float, float] | None = None


def line_chart(name: str, title: str, description: str, x: Axis, y_title: str, lines: Sequence[Drawn],
               post: tuple[float, str] | None = None) -> str:
    """The chart as one `svg`; `post` is a level that is wanted, with its name. Blank where nothing can be drawn."""
    levels = [v for drawn in lines for v in drawn.y if np.isfinite(v) and v > 0]
    if not levels:
        return ""
    scale = _Scale(x.values, [*levels, *([post[0]] if post and post[0] > 0 else [])])
    parts = [*_frame(scale), *_titles(x.title, y_title)]
    if post and post[0] > 0:
        at = scale.y(post[0])
        parts += [line((LEFT, at), (WIDTH - RIGHT, at), "c-post"), text((LEFT + 4, at - 4), post[1], "c-said")]
    for i, drawn in enumerate(lines):
        parts.append(path(_way(scale, x.values, drawn.y), f"c-line c-line-{i % 4}"))
        if drawn.now and np.isfinite(drawn.now[1]) and drawn.now[1] > 0:
            parts.append(circle((scale.x(drawn.now[0]), scale.y(drawn.now[1])), 3.6, "c-now"))
    parts += _names(scale, lines)
    return figure(name, title, description, (WIDTH, HEIGHT), parts, "chart")


class _Scale:
    """Places of values on the paper, both ways logarithmic."""

    def __init__(self, x: Values, levels: Sequence[float]) -> None:
        self.x0, self.x1 = math.log10(float(x[0])), math.log10(float(x[-1]))
        low, high = math.log10(min(levels)), math.log10(max(levels))
        room = max(0.06 * (high - low), 0.05)
        self.y0, self.y1 = low - room, high + room

    def x(self, value: float) -> float:
        return LEFT + (math.log10(value) - self.x0) / (self.x1 - self.x0) * (WIDTH - LEFT - RIGHT)

    def y(self, value: float) -> float:
        return HEIGHT - BOTTOM - (math.log10(value) - self.y0) / (self.y1 - self.y0) * (HEIGHT - TOP - BOTTOM)


def _ticks(low: float, high: float) -> list[float]:
    """Powers of ten between two logarithms; with twos and fives where there are few, thinned where there are many."""
    tens = range(math.ceil(low - 1e-9), math.floor(high + 1e-9) + 1)
    if len(tens) >= FEW:
        apart = math.ceil(len(tens) / 7)
        return [10.0**k for k in tens if (k - tens[0]) % apart == 0]
    between = [s * 10.0**k for k in range(math.floor(low), math.ceil(high) + 1) for s in STEPS]
    return [v for v in between if low - 1e-9 <= math.log10(v) <= high + 1e-9]


def _frame(scale: _Scale) -> list[str]:
    base, end = HEIGHT - BOTTOM, WIDTH - RIGHT
    parts = []
    for v in _ticks(scale.x0, scale.x1):
        at = scale.x(v)
        parts += [line((at, TOP), (at, base), "c-grid"), text((at, base + 15), _said(v), "c-tick", "middle")]
    for v in _ticks(scale.y0, scale.y1):
        at = scale.y(v)
        parts += [line((LEFT, at), (end, at), "c-grid"), text((LEFT - 6, at + 3.5), _said(v), "c-tick", "end")]
    return [*parts, line((LEFT, base), (end, base), "c-axis"), line((LEFT, TOP), (LEFT, base), "c-axis")]


def _said(value: float) -> str:
    """A tick in few letters."""
    return f"{value:,.0f}".replace(",", " ") if 1 <= value < 1e7 else f"{value:g}"


def _titles(x: str, y: str) -> list[str]:
    middle = LEFT + (WIDTH - LEFT - RIGHT) / 2
    return [text((middle, HEIGHT - 8), x, "c-title", "middle"),
            f'<g transform="translate(14 {number(TOP + (HEIGHT - TOP - BOTTOM) / 2)}) rotate(-90)">'
            f'{text((0, 0), y, "c-title", "middle")}</g>']


def _way(scale: _Scale, x: Values, y: Values) -> str:
    """The line, broken where a value is not known."""
    commands, up = [], True
    for a, b in zip(x, y, strict=True):
        if not (np.isfinite(b) and b > 0):
            up = True
            continue
        commands.append(f"{'M' if up else 'L'}{number(scale.x(float(a)))} {number(scale.y(float(b)))}")
        up = False
    return "".join(commands)


def _names(scale: _Scale, lines: Sequence[Drawn]) -> list[str]:
    """The name of each line at its right end, moved apart where they would touch."""
    ends = []
    for i, drawn in enumerate(lines):
        known = [float(v) for v in drawn.y if np.isfinite(v) and v > 0]
        if known:
            ends.append((scale.y(known[-1]), i, drawn.name))
    ends.sort()
    at = [max(y, TOP + 8) for y, _, _ in ends]
    for i, (above, below) in enumerate(pairwise(at), 1):
        at[i] = max(below, max(above, at[i - 1]) + CLOSE)
    over = max((at[-1] - (HEIGHT - BOTTOM)) if at else 0.0, 0.0)
    right = WIDTH - RIGHT
    return [f'{line((right + 4, y - over - 3.5), (right + 20, y - over - 3.5), f"c-line c-line-{i % 4}")}'
            f'{text((right + 24, y - over), name, "c-said")}' for y, (_, i, name) in zip(at, ends, strict=True)]
