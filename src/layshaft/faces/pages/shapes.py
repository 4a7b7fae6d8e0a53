"""Bars, wheels, chains and weights as SVG on a sheet of paper, each with its depth for what covers what."""

from __future__ import annotations

from collections.abc import Iterator
from html import escape
from itertools import pairwise

import numpy as np

from layshaft.faces.pages.frames import Frame, Part
from layshaft.faces.pages.hanging import Block, Hanging
from layshaft.faces.pages.outline import Bar, Run, Wheel
from layshaft.faces.pages.svg import Point, arrow_head, circle, group, line, number, path, polygon, polyline
from layshaft.faces.pages.view import Paper
from layshaft.train.stages import Vector

FACING = 0.999
TOOTHED = ("sprocket", "gear", "pulley", "ratchet")
SMALLEST = 3.0
"""Radius, in drawing units, below which teeth would be a blur."""

Deep = tuple[float, str]
"""How far towards the one who looks, and the markup."""


def depth(on: Paper, point: Vector) -> float:
    """Distance towards the one who looks."""
    return float(point @ on.plane.towards)


def bar(on: Paper, shown: Bar) -> Iterator[Deep]:
    """A shaft: a disc seen from its end, else its steps."""
    if on.plane.facing(shown.axis) > FACING:
        radius = max((d for *_, d in shown.steps if np.isfinite(d)), default=0.02) / 2
        yield depth(on, shown.start) + 1e-4, circle(on.at(shown.start), max(radius * on.scale, 1.5), "d-shaft")
        return
    parts = []
    for first, last, diameter in shown.steps:
        css = "d-shaft" if np.isfinite(diameter) else "d-shaft d-open"
        half = (diameter if np.isfinite(diameter) else 0.02) / 2
        parts.append(polygon(_box(on, shown.point(first), shown.point(last), half, half), css))
    yield depth(on, shown.start), group(parts, "d-bar")


HUB, BEYOND = 1.15, 0.008
"""Half the height of a coupling over the diameter of its shafts, and how far it reaches beyond its seats, in m: drawn
so where its size is not in the file."""


def coupling(on: Paper, ends: tuple[Vector, Vector], diameter: float, told: tuple[float, float]) -> Iterator[Deep]:
    """What joins two shafts in line, of told diameter and length; else in dashes from seat to seat.

    Nothing where it is seen from its end.
    """
    a, b = ends
    size = float(np.linalg.norm(b - a))
    if not size > 0 or on.plane.facing((b - a) / size) > 1 - FACING:
        return
    middle, known = (a + b) / 2, bool(np.isfinite(told).all())
    half = told[0] / 2 if known else diameter * HUB
    out = (b - a) / size * (told[1] / 2 if known else size / 2 + BEYOND)
    halves = [_box(on, middle - out, middle, half, half), _box(on, middle, middle + out, half, half)]
    css = "d-joint d-told" if known else "d-joint"
    yield depth(on, middle) + 3e-4, group([polygon(h, css) for h in halves], "d-coupling")


def housing(on: Paper, at: Vector, size: Vector) -> Iterator[Deep]:
    """A bearing's housing: a block seen from outside, its bearing and shaft show through."""
    x, y = on.at(at)
    w, h = (float(np.abs(way) @ size) * on.scale / 2 for way in (on.plane.right, on.plane.up))
    yield depth(on, at) + 1e-4, polygon([(x - w, y - h), (x + w, y - h), (x + w, y + h), (x - w, y + h)], "d-housing")


def seat(on: Paper, at: Vector, axis: Vector, diameter: float) -> Iterator[Deep]:
    """A place where something sits: a thin line across the shaft."""
    if on.plane.facing(axis) < 1 - FACING:
        (x, y), (u, v) = on.at(at), on.plane.flat(axis)
        half = diameter / 2 * on.scale
        yield depth(on, at) + 1e-5, line((x + v * half, y + u * half), (x - v * half, y - u * half), "d-seat")


def wheel(on: Paper, shown: Wheel) -> Iterator[Deep]:
    """A wheel: its pitch circle seen from the front, its width seen edge-on."""
    css = f"d-wheel d-{shown.kind}"
    facing = on.plane.facing(shown.axis)
    if facing > FACING:
        yield depth(on, shown.centre), _round(on, shown, css)
    elif facing > 1 - FACING:
        yield depth(on, shown.centre), polygon([on.at(p) for p in _rim(shown)], css)
    elif shown.kind == "bevel":
        toward = shown.centre + shown.axis * shown.width
        yield depth(on, shown.centre), polygon(_box(on, shown.centre, toward, shown.radius, shown.small), css)
    else:
        half = shown.axis * shown.width / 2
        yield (depth(on, shown.centre) - 2e-5,
               polygon(_box(on, shown.centre - half, shown.centre + half, shown.radius, shown.radius), css))


def _round(on: Paper, shown: Wheel, css: str) -> str:
    """A wheel from the front: its pitch circle, as many teeth as it has, and a mark that shows it turning."""
    at, r = on.at(shown.centre), shown.radius * on.scale
    found = circle(at, r, css)
    if shown.kind in TOOTHED and np.isfinite(shown.teeth) and r > SMALLEST:
        found += (f'<circle class="d-teeth" cx="{number(at[0])}" cy="{number(at[1])}" r="{number(r)}" '
                  f'pathLength="{shown.teeth:.0f}"/>')
    found += line((at[0] + r * 0.55, at[1]), (at[0] + r * 0.85, at[1]), "d-spoke")
    return turns(found, at, shown.shaft, on, shown.axis)


def turns(inside: str, at: Point, shaft: str, on: Paper, axis: Vector) -> str:
    """A group that a script may turn about a point: 1 where a turn about the axis is seen anticlockwise."""
    sense = 1 if float(axis @ on.plane.towards) > 0 else -1
    return (f'<g class="d-turns" data-shaft="{escape(shaft)}" data-sense="{sense}" '
            f'data-at="{number(at[0])} {number(at[1])}">{inside}</g>')


def bearing(on: Paper, shown: Wheel) -> Iterator[Deep]:
    """A bearing: a box with crossed diagonals, the trade's short form; nothing where its size is not known."""
    if not np.isfinite(shown.radius * shown.width) or on.plane.facing(shown.axis) > 1 - FACING:
        return
    half = shown.axis * shown.width / 2
    box = _box(on, shown.centre - half, shown.centre + half, shown.radius, shown.radius)
    parts = [polygon(box, "d-bearing"), line(box[0], box[2], "d-cross"), line(box[1], box[3], "d-cross")]
    yield depth(on, shown.centre) + 2e-4, group(parts, "d-bearing-box")


def _box(on: Paper, a: Vector, b: Vector, half_a: float, half_b: float) -> list[Point]:
    """Outline of a round body from a to b, seen from the side."""
    (ax, ay), (bx, by) = on.at(a), on.at(b)
    length = float(np.hypot(bx - ax, by - ay)) or 1.0
    nx, ny = -(by - ay) / length * on.scale, (bx - ax) / length * on.scale
    return [(ax + nx * half_a, ay + ny * half_a), (bx + nx * half_b, by + ny * half_b),
            (bx - nx * half_b, by - ny * half_b), (ax - nx * half_a, ay - ny * half_a)]


def _rim(shown: Wheel) -> list[Vector]:
    first = np.cross(shown.axis, [0.0, 0.0, 1.0])
    first = np.array([1.0, 0, 0]) if np.linalg.norm(first) < 1e-9 else first / np.linalg.norm(first)
    second = np.cross(shown.axis, first)
    return [shown.centre + shown.radius * (first * np.cos(t) + second * np.sin(t))
            for t in np.linspace(0, 2 * np.pi, 48, endpoint=False)]


def chain(on: Paper, shown: Run) -> Iterator[Deep]:
    """A chain as it wraps; the strand that carries the pull is drawn heavy."""
    facing = on.plane.facing(shown.way.axis) > FACING
    parts = []
    for i, pieces in enumerate(shown.way.strands):
        css = "d-strand d-tight" if i == shown.tight else "d-strand"
        parts.append(path(_along(on, pieces, shown), css, _runs(on, shown, 2 * i - 1)))
    if facing:
        parts += [path(wrap, "d-strand", _runs(on, shown, way)) for wrap, way in zip(_wraps(on, shown), (1, -1),
                                                                                    strict=True)]
        parts += [circle(on.at(i.centre), i.radius * on.scale, "d-wheel d-sprocket") for i in shown.way.idlers]
    a, b = shown.strands[0]
    yield depth(on, (a + b) / 2) + 1e-5, group(parts, "d-chain")


def _runs(on: Paper, shown: Run, way: int) -> str:
    """How a player moves the links: shaft, which way along the path for a turn about its axis, and the radius."""
    return f' data-run="{escape(shown.shaft)}|{way}|{number(shown.wheels[0][1] * on.scale)}"'


def _along(on: Paper, pieces: tuple[tuple[Vector, Vector], ...], shown: Run) -> str:
    """Straight pieces, and arcs round the idlers between them."""
    commands = f"M{_xy(on, pieces[0][0])}L{_xy(on, pieces[0][1])}"
    for before, after in pairwise(pieces):
        idler = min(shown.way.idlers, key=lambda i: float(np.linalg.norm(i.centre - after[0])))
        commands += _arc(on, idler.centre, before[1], after[0], before[1] - before[0]) + f"L{_xy(on, after[1])}"
    return commands


def _wraps(on: Paper, shown: Run) -> Iterator[str]:
    """Round the first and the second wheel, from one strand to the other."""
    first, second = shown.way.strands
    a, b = first[0][0], second[0][0]
    yield f"M{_xy(on, a)}" + _arc(on, shown.wheels[0][0], a, b, a - first[0][1])
    a, b = first[-1][1], second[-1][1]
    yield f"M{_xy(on, a)}" + _arc(on, shown.wheels[1][0], a, b, a - first[-1][0])


def _arc(on: Paper, centre: Vector, a: Vector, b: Vector, runs: Vector) -> str:
    """An arc from a to b about a centre that sets out the way `runs` points."""
    u, v, w = (np.array(on.plane.flat(p)) for p in (a - centre, b - centre, runs))
    turn = float(np.sign(u[0] * w[1] - u[1] * w[0])) or 1.0
    angle = turn * float(np.arctan2(u[0] * v[1] - u[1] * v[0], u @ v)) % (2 * np.pi)
    radius = number(float(np.hypot(*u)) * on.scale)
    return f"A{radius} {radius} 0 {int(angle > np.pi)} {int(turn < 0)} {_xy(on, b)}"


def _xy(on: Paper, point: Vector) -> str:
    x, y = on.at(point)
    return f"{number(x)} {number(y)}"


def weight(on: Paper, shown: Hanging) -> Iterator[Deep]:
    """Strands, pulleys and blocks of one hanging weight, and how far it may fall."""
    parts = [line(on.at(a), on.at(b), "d-strand d-tight" if i < 2 else "d-strand", _hangs(on, shown, i, (a, b)))
             for i, (a, b) in enumerate(shown.strands)]
    parts += [_pulley(on, shown, *w) for w in shown.wheels]
    for i, pulley in enumerate(shown.pulleys):  # that of the weight, that of the counterweight, the idler
        parts.append(_moves(on, shown, _pulley(on, shown, *pulley), (1, -1, 0)[i]))
    for i, b in enumerate(shown.blocks):
        parts.append(_moves(on, shown, _block(on, b), 0 if b.after else (1 if i == 0 else -1)))
    yield depth(on, shown.wheels[0][0]), group([*parts, _drop(on, shown)], "d-weight")


def _pulley(on: Paper, shown: Hanging, centre: Vector, radius: float) -> str:
    if on.plane.facing(shown.line) > FACING:
        return circle(on.at(centre), radius * on.scale, "d-wheel d-sprocket")
    half = shown.line * 0.004
    return polygon(_box(on, centre - half, centre + half, radius, radius), "d-wheel d-sprocket")


def _fall(on: Paper, shown: Hanging) -> float:
    """The drop, in drawing units."""
    return on.at(shown.drop[1])[1] - on.at(shown.drop[0])[1]


def _moves(on: Paper, shown: Hanging, inside: str, way: int) -> str:
    """What a player moves with the weight: 1 for what sinks with it, -1 for what rises."""
    if not way:
        return inside
    return f'<g data-falls="{escape(shown.name)}|{number(way * _fall(on, shown))}">{inside}</g>'


ENDS = {0: (1, "y2"), 1: (1, "y1"), 3: (-1, "y2"), 4: (-1, "y1")}
"""Of a loop: strands of which one end goes with the weight (1) or with the counterweight (-1)."""


def _hangs(on: Paper, shown: Hanging, i: int, strand: tuple[Vector, Vector]) -> str:
    """Which end of a strand goes with what hangs on it, and where it is drawn."""
    if i not in ENDS:
        return ""
    way, end = ENDS[i]
    y = on.at(strand[0 if end == "y1" else 1])[1]
    return f' data-hangs="{escape(shown.name)}|{number(way * _fall(on, shown))}|{end}|{number(y)}"'


def hammer(at: Point, radius: float, name: str) -> str:
    """A sign for what a cam lifts, to no scale: a lever on its pin beside the shaft, its head over the cam."""
    x, y = at[0] + radius + 26, at[1] + 4
    parts = [line((x, y), (at[0] + radius + 5, y - 7), "d-lever"), circle((x, y), 1.6, "d-dot"),
             polygon([(at[0] + radius + 1, y - 11), (at[0] + radius + 8, y - 11), (at[0] + radius + 8, y - 4),
                      (at[0] + radius + 1, y - 4)], "d-hammer")]
    return f'<g data-strikes="{escape(name)}" data-at="{number(x)} {number(y)}">{"".join(parts)}</g>'


def _block(on: Paper, shown: Block) -> str:
    x, y = on.at(shown.top)
    w, h = shown.across(on.plane.right) * on.scale / 2, shown.height * on.scale
    return polygon([(x - w, y), (x + w, y), (x + w, y + h), (x - w, y + h)],
                   "d-block d-after" if shown.after else "d-block")


def _drop(on: Paper, shown: Hanging) -> str:
    """A dimension line from the upper to the lower place, at the side of the block."""
    out = shown.blocks[0].across(on.plane.right) * on.scale / 2 + 7
    (x, high), (_, low) = on.at(shown.drop[0]), on.at(shown.drop[1])
    x += out
    return group([line((x - 5, high), (x + 5, high), "d-measure"), line((x - 5, low), (x + 5, low), "d-measure"),
                  line((x, high), (x, low), "d-measure"), arrow_head((x, low), (0, 1), "d-head")], "d-drop")


def drop_point(on: Paper, shown: Hanging) -> Point:
    """Where the dimension of the drop is named: a third of the way down."""
    (x, high), (_, low) = on.at(shown.drop[0]), on.at(shown.drop[1])
    return x + shown.blocks[0].across(on.plane.right) * on.scale / 2 + 7, high + (low - high) * 0.45


def frame(on: Paper, shown: Frame) -> str:
    """The outline of a module, in dashes."""
    a, b = on.at(shown.low), on.at(shown.high)
    return polygon([a, (b[0], a[1]), b, (a[0], b[1])], "d-frame")


def parting(on: Paper, shown: Part, high: float, low: float) -> str:
    """The plane in which two modules part, where it is seen edge-on."""
    if on.plane.facing(shown.axis) > 1 - FACING:
        return ""
    x, _ = on.at(shown.point)
    return line((x, high), (x, low), "d-parting")


def turning(at: Point, radius: float, anticlockwise: bool) -> str:
    """Three quarters of a circle with a head: which way a shaft turns."""
    def rim(turns: float) -> Point:
        angle = 2 * np.pi * (turns if anticlockwise else 0.5 - turns)
        return at[0] + radius * float(np.cos(angle)), at[1] - radius * float(np.sin(angle))

    start, before, tip = rim(0.05), rim(0.70), rim(0.75)
    sweep = 0 if anticlockwise else 1
    arc = (f"M{number(start[0])} {number(start[1])}A{number(radius)} {number(radius)} 0 1 {sweep} "
           f"{number(before[0])} {number(before[1])}")
    return path(arc, "d-turn") + arrow_head(tip, (tip[0] - before[0], tip[1] - before[1]), "d-head", 4.5)


def axes(at: Point, right: str, up: str) -> tuple[str, list[tuple[Point, str]]]:
    """A small cross of axes and where its names go."""
    x, y = at
    drawn = group([
        polyline([(x, y - 24), (x, y), (x + 24, y)], "d-axis"),
        arrow_head((x + 27, y), (1, 0), "d-head"), arrow_head((x, y - 27), (0, -1), "d-head"),
    ], "d-axes")
    return drawn, [((x + 31, y + 3.5), right), ((x - 2.5, y - 32), up)]
