"""What is drawn over the bodies: one quantity as ink along shafts and stages, collisions, gaps, a shaft held fast."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field
from html import escape

import numpy as np

from layshaft.faces.pages import shapes
from layshaft.faces.pages.ink import Curve, Ink
from layshaft.faces.pages.outline import Bar, Outline
from layshaft.faces.pages.svg import Point, circle, group, line, number, polygon, polyline, text
from layshaft.faces.pages.view import Paper
from layshaft.machine.kinds import InLine
from layshaft.machine.model import Machine
from layshaft.trace.units import LENGTH, shown
from layshaft.train.place import seat_point
from layshaft.train.solve import Solved
from layshaft.train.space import Near
from layshaft.train.stages import Vector

TALL = 34.0
"""Height of the largest value, in drawing units."""

THICK = 9.0
LETTER, HIGH = 6.6, 12.0


@dataclass(slots=True)
class Numbers:
    """Numbers already printed, so that none stands on another."""

    boxes: list[tuple[float, float, float, float]] = field(default_factory=list)

    def printed(self, at: Point, words: str, css: str = "d-ink-number") -> str:
        """The words centred over a place, or nothing where they would stand on others."""
        at = at[0], max(at[1], HIGH)
        half = len(words) * LETTER / 2
        box = at[0] - half, at[1] - HIGH, at[0] + half, at[1] + 2
        if any(box[0] < b[2] and b[0] < box[2] and box[1] < b[3] and b[1] < box[3] for b in self.boxes):
            return ""
        self.boxes.append(box)
        return text(at, words, css, "middle")


def ink_drawn(on: Paper, solved: Solved, seen: Outline, drawn: Ink) -> Iterator[str]:
    """Curves along shafts, thickness along stages, and the numbers of their peaks, largest first."""
    if not drawn.largest > 0:
        return
    places: list[tuple[float, Point, str]] = []
    for c in drawn.curves:
        if c.shaft in seen.bars:
            markup, at, value = _curve(on, seen.bars[c.shaft], c, drawn.largest)
            yield markup
            places.append((value, at, drawn.words(value)))
    for name, value in drawn.stages.items():
        found = stage_line(on, solved, seen, name, THICK * min(value / drawn.largest, 1.0))
        if found:
            yield found[0]
            if not isinstance(solved.machine.stages[name], InLine):  # what joins two shafts has their torque
                places.append((value, found[1], drawn.words(value)))
    printed = Numbers()
    yield group([printed.printed(at, words) for _, at, words in sorted(places, key=lambda p: -p[0])], "d-ink-numbers")


def _curve(on: Paper, bar: Bar, c: Curve, largest: float) -> tuple[str, Point, float]:
    """One shaft's curve: seen from its end a ring as wide as its peak."""
    high = np.nan_to_num(np.abs(c.value)) / largest * TALL
    peak = float(np.abs(c.value[c.peak]))
    if on.plane.facing(bar.axis) > shapes.FACING:
        at, r = on.at(bar.start), max((d for *_, d in bar.steps if np.isfinite(d)), default=0.02) / 2 * on.scale
        wide = float(high[c.peak])
        ring = (f'<circle class="d-ink-ring" cx="{number(at[0])}" cy="{number(at[1])}" r="{number(r + wide / 2)}" '
                f'stroke-width="{number(wide)}"/>')
        return ring, (at[0], at[1] - r - wide - 3), peak
    feet = [on.at(bar.point(float(x))) for x in c.x]
    normal = _normal(on, bar.axis)
    tops = [(p[0] + normal[0] * h, p[1] + normal[1] * h) for p, h in zip(feet, high, strict=True)]
    if c.posts:
        markup = group([line(p, q, "d-ink-post") for p, q in zip(feet, tops, strict=True)], "d-ink-shaft")
    else:
        markup = group([polygon([*tops, *reversed(feet)], "d-ink"), polyline(tops, "d-ink-edge")], "d-ink-shaft")
    x, y = tops[c.peak]
    return markup, (x + normal[0] * 16, y - 3 + 5 * normal[0]), peak


def _normal(on: Paper, axis: Vector) -> Point:
    """Off the shaft: upwards, or to the right of one that stands."""
    x, y = on.plane.flat(axis)
    size = float(np.hypot(x, y)) or 1.0
    x, y = x / size, y / size
    return (abs(y), 0.0) if abs(y) > 0.7 else (-y if x > 0 else y, -abs(x))


def stage_line(on: Paper, solved: Solved, seen: Outline, name: str, wide: float,
               css: str = "d-ink-stage") -> tuple[str, Point] | None:
    """A line as thick as the value from seat to seat; None where the two lie behind one another."""
    stage = solved.machine.stages[name]
    if stage.to not in seen.bars or stage.from_ not in seen.bars:
        return None
    a, b = (on.at(_seat(solved.machine, solved, shaft, seat)) for shaft, seat in zip(
        (stage.from_, stage.to), stage.seats, strict=True))
    if np.hypot(a[0] - b[0], a[1] - b[1]) < 4:
        return None
    (x1, y1), (x2, y2) = a, b
    markup = (f'<line class="{css}" x1="{number(x1)}" y1="{number(y1)}" x2="{number(x2)}" y2="{number(y2)}" '
              f'stroke-width="{number(max(wide, 0.8))}"/>')
    return markup, ((x1 + x2) / 2, (y1 + y2) / 2 + 4)


def _seat(machine: Machine, solved: Solved, shaft: str, seat: str) -> Vector:
    return seat_point(machine, solved.place[shaft], shaft, seat)


def clash(on: Paper, near: Near, *, small: bool) -> str:
    """Two parts in one place: a ring with a cross; a cross alone where it is one of many."""
    x, y = on.at(np.array(near.where))
    r = 3.0 if small else 5.0
    cross = [line((x - r, y - r), (x + r, y + r), "d-clash"), line((x - r, y + r), (x + r, y - r), "d-clash")]
    words = f"{near.a.name} and {near.b.name} overlap by {shown(-near.gap, LENGTH, digits=3)}"
    return _marked([*([] if small else [circle((x, y), 9, "d-clash")]), *cross], words)


def pinch(on: Paper, near: Near) -> str:
    """A gap that lets a finger in: two small heads that meet."""
    x, y = on.at(np.array(near.where))
    heads = [polygon([(x - 6, y - 3), (x - 1, y), (x - 6, y + 3)], "d-pinch"),
             polygon([(x + 6, y - 3), (x + 1, y), (x + 6, y + 3)], "d-pinch")]
    words = f"A finger goes in: {near.a.name} and {near.b.name}, {shown(near.gap, LENGTH, digits=2)} apart"
    return _marked(heads, words)


def _marked(parts: list[str], words: str) -> str:
    return f'<g class="d-mark"><title>{escape(words)}</title>{"".join(parts)}</g>'


def held_fast(at: Point, radius: float) -> str:
    """A shaft in a clamp: two jaws and their hatching."""
    x, y = at
    r = max(radius, 3.0) + 3
    jaws = []
    for side in (-1, 1):
        jaws.append(line((x - r, y + side * r), (x + r, y + side * r), "d-jaw"))
        jaws += [line((x + k * r, y + side * r), (x + k * r + 3, y + side * (r + 5)), "d-hatch")
                 for k in (-1.0, -0.5, 0.0, 0.5, 1.0)]
    return group(jaws, "d-held")
