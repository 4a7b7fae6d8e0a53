"""The machine to scale: seen against its main axis, and along it."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from html import escape

import numpy as np

from layshaft.faces.pages import labels, shapes
from layshaft.faces.pages.frames import Frame, Part, frames, partings
from layshaft.faces.pages.hanging import Hanging, hanging
from layshaft.faces.pages.lying import shaft_figures
from layshaft.faces.pages.outline import Bar, Outline, Wheel, outline
from layshaft.faces.pages.svg import Point, figure, line, text
from layshaft.faces.pages.view import (
    Extent,
    Paper,
    Plane,
    axis_name,
    end_plane,
    extent,
    main_axis,
    paper,
    side_plane,
)
from layshaft.faces.pages.words import short
from layshaft.trace.units import LENGTH, SPEED, shown
from layshaft.train.solve import Solved

WIDTH, TALLEST, TOP, FOOT = 720.0, 850.0, 14.0, 46.0
COLUMN = {"end": 150.0, "side": 118.0}
ROUND_LENGTHS = (0.005, 0.01, 0.02, 0.05, 0.1, 0.2, 0.5, 1.0, 2.0, 5.0)
RADIUS_WORDS = {"handle": "radius", "track": "track radius", "swept": "vanes reach", "disc": "radius",
                "ratchet": "radius"}
CROWDED = 20.0
"""How far a label goes out of its way, for each label that already stands in its column."""

END_WORDS = ("Wheels are drawn by their pitch circles. The heavy strand of a chain or belt is the one that pulls. "
             "Arrows show which way the machine turns; what stands while it runs shows the way it is wound.")
WEIGHT_WORDS = (" A weight is drawn close under its wheel, its lowest place in dashes; the size of its block is not "
                "given.")
SIDE_WORDS = "The same places from the side; what lies in front covers what lies behind."
FRAME_WORDS = (" Modules stand in dashes; the heavy dashes are where they part. The file gives a module's size and not "
               "its place: its box stands on the floor, against its parting or centred on its shafts.")


@dataclass(slots=True)
class Scene:
    """Everything to draw, gathered once for all views."""

    solved: Solved
    shown: Outline
    weights: list[Hanging]
    frames: list[Frame]
    partings: list[Part]


def drawings(solved: Solved) -> str:
    """Both views, each shaft by itself, and in words what has no place yet. An HTML fragment."""
    seen = outline(solved)
    scene = Scene(solved, seen, list(hanging(solved)), frames(solved, seen), partings(solved, seen))
    main = main_axis(solved.machine)
    end, side = end_plane(main), side_plane(main)
    blocks = []
    if seen.bars:
        blocks.append(_figure(scene, "end", end, f"Seen against {axis_name(main)}",
                              END_WORDS + (WEIGHT_WORDS if scene.weights else "")))
        blocks.append(_figure(scene, "side", side, f"Seen along {axis_name(-side.towards)}",
                              SIDE_WORDS + (FRAME_WORDS if scene.frames else "")))
    blocks.append(shaft_figures(solved))
    return "".join(blocks) + _nowhere(seen)


def _figure(scene: Scene, name: str, plane: Plane, title: str, words: str) -> str:
    markup, ratio = view(scene, name, plane, title)
    return (f'<figure class="plate"><div class="scroll">{markup}</div><figcaption><b>{escape(title)}.</b> '
            f'{escape(words)} <span class="ratio">1 : {ratio:g} when printed 180 mm wide; the bar '
            f"holds at any size.</span></figcaption></figure>")


def view(scene: Scene, name: str, plane: Plane, title: str) -> tuple[str, float]:
    """One view as SVG, and its scale when printed."""
    column = COLUMN[name]
    holds = _extent(scene, plane)
    on = paper(plane, holds, (WIDTH - 2 * column - 12, TALLEST), WIDTH / 2, TOP)
    bottom = TOP + holds.height * on.scale
    called = labels.place(_labels(scene, on), WIDTH / 2, column - 14, TOP, max(bottom, TOP + 60))
    lowest = max([bottom, *(p.top + p.height for p in called)])
    parts = [*_back(scene, on, holds, bottom), *_bodies(scene, on), *_arrows(scene, on),
             labels.draw(called, column - 6, WIDTH - column + 6), *_foot(on, plane, column, lowest)]
    return figure(f"view-{name}", title, _description(scene, title), (WIDTH, lowest + FOOT), parts), on.ratio


def _extent(scene: Scene, plane: Plane) -> Extent:
    """What bars, wheels, weights and frames cover, in metres on the plane."""
    flat = []
    for b in scene.shown.bars.values():
        flat += [plane.flat(b.start), plane.flat(b.point(b.length))]
    around = [(w.centre, w.radius) for w in scene.shown.wheels]
    for h in scene.weights:
        around += [*h.wheels, *h.pulleys]
        for block in h.blocks:
            x, y = plane.flat(block.top)
            flat += [(x - block.width / 2, y), (x + block.width / 2, y - block.height)]
    for w in scene.shown.wheels:
        flat += _reach(plane, w)
    for centre, radius in around[len(scene.shown.wheels):]:
        x, y = plane.flat(centre)
        flat += [(x, y - radius), (x, y + radius)]
    for f in scene.frames:
        flat += [plane.flat(f.low), plane.flat(f.high)]
    return extent(flat)


def _reach(plane: Plane, w: Wheel) -> Iterator[tuple[float, float]]:
    """Ends of a wheel on the plane: less wide where its axis lies along that direction."""
    x, y = plane.flat(w.centre)
    across = w.radius * float(np.sqrt(max(0.0, 1 - float(w.axis @ plane.right) ** 2)))
    upward = w.radius * float(np.sqrt(max(0.0, 1 - float(w.axis @ plane.up) ** 2)))
    yield x - across, y - upward
    yield x + across, y + upward


def _back(scene: Scene, on: Paper, holds: Extent, bottom: float) -> Iterator[str]:
    for f in scene.frames:
        yield shapes.frame(on, f)
    for p in scene.partings:
        yield shapes.parting(on, p, TOP, bottom)
    if scene.frames and abs(float(on.plane.up[2])) > 0.999:
        level = on.flat(0, 0)[1]
        yield line((on.flat(holds.left, 0)[0] - 8, level), (on.flat(holds.right, 0)[0] + 8, level), "d-floor")


def _bodies(scene: Scene, on: Paper) -> list[str]:
    """Everything solid, from the back to the front."""
    found = [d for b in scene.shown.bars.values() for d in shapes.bar(on, b)]
    found += [d for w in scene.shown.wheels for d in shapes.wheel(on, w)]
    found += [d for w in scene.shown.bearings for d in shapes.bearing(on, w)]
    found += [d for r in scene.shown.runs for d in shapes.chain(on, r)]
    found += [d for h in scene.weights for d in shapes.weight(on, h)]
    return [markup for _, markup in sorted(found, key=lambda d: d[0])]


def _arrows(scene: Scene, on: Paper) -> Iterator[str]:
    """One for each line of shafts seen from its end."""
    for bars in _in_line(scene, on).values():
        first = bars[0]
        sense = first.speed * float(first.axis @ on.plane.towards)
        if on.plane.facing(first.axis) > shapes.FACING and np.isfinite(sense) and abs(sense) > 1e-9:
            radius = max((d for b in bars for *_, d in b.steps if np.isfinite(d)), default=0.02) / 2 * on.scale
            yield shapes.turning(on.at(first.start), radius + 5, sense > 0)


def _in_line(scene: Scene, on: Paper) -> dict[tuple[int, int, str], list[Bar]]:
    """Shafts by the spot where they are seen from the end; others each by itself."""
    found: dict[tuple[int, int, str], list[Bar]] = {}
    for b in scene.shown.bars.values():
        x, y = on.at(b.start)
        facing = on.plane.facing(b.axis) > shapes.FACING
        found.setdefault((round(x * 2), round(y * 2), "") if facing else (0, 0, b.shaft), []).append(b)
    return found


def _labels(scene: Scene, on: Paper) -> list[labels.Label]:
    found = []
    taken: list[Point] = []
    detail = COLUMN["end"] if on.plane.facing(main_axis(scene.solved.machine)) > shapes.FACING else 0
    for bars in _in_line(scene, on).values():
        at = _spot(on, bars[0], taken)
        taken.append(at)
        found.append(labels.Label(at, ", ".join(b.shaft for b in bars), tuple(_lines(scene, bars, bool(detail)))))
    for h in scene.weights:
        found.append(labels.Label(shapes.drop_point(on, h), h.name, h.words if detail else h.words[:1]))
    found += [labels.Label(_corner(on, f), f"module {f.module}") for f in scene.frames]
    return found


def _spot(on: Paper, b: Bar, taken: list[Point]) -> Point:
    """A point of a shaft away from the points that already have a label."""
    if on.plane.facing(b.axis) > shapes.FACING:
        return on.at(b.start)
    left = sum(q[0] < WIDTH / 2 for q in taken)
    crowd = {True: left, False: len(taken) - left}
    tries = sorted((on.at(b.point(b.length * share)) for share in (0.93, 0.07, 0.5, 0.75, 0.25)),
                   key=lambda p: CROWDED * crowd[p[0] < WIDTH / 2] - abs(p[0] - WIDTH / 2))
    return max(tries, key=lambda p: min((min(np.hypot(p[0] - q[0], p[1] - q[1]), 24.0) for q in taken), default=24.0))


def _corner(on: Paper, f: Frame) -> Point:
    (left, low), (right, high) = on.at(f.low), on.at(f.high)
    return (left if (left + right) / 2 < WIDTH / 2 else right), high + (low - high) * 0.82


def _lines(scene: Scene, bars: list[Bar], detail: bool) -> Iterator[str]:
    speeds = {shown(abs(b.speed), SPEED, digits=3) if np.isfinite(b.speed) else "speed unknown" for b in bars}
    yield ", ".join(sorted(speeds)) + (" while winding" if bars[0].winds else "")
    if not detail:
        return
    ours = {b.shaft for b in bars}
    for w in scene.shown.wheels:
        if w.shaft in ours:
            size = RADIUS_WORDS.get(w.kind)
            yield w.tag + (f", {size} {short(w.radius, LENGTH)}" if size else "")
    for h in scene.weights:
        drive = scene.solved.machine.drives[h.name]
        z = getattr(drive, "teeth", None)
        if {drive.shaft, getattr(drive, "rewound_from", "")} & ours and z is not None and z.known:
            yield f"z {z.nominal:.0f} {h.name}"


def _foot(on: Paper, plane: Plane, column: float, lowest: float) -> Iterator[str]:
    """Axes at the left, a scale bar in the middle."""
    drawn, names = shapes.axes((column - 60, lowest + 36), axis_name(plane.right), axis_name(plane.up))
    yield drawn
    for at, name in names:
        yield text(at, name, "d-text")
    length = max((r for r in ROUND_LENGTHS if r * on.scale <= 130), default=ROUND_LENGTHS[0])
    x, y = WIDTH / 2 - length * on.scale / 2, lowest + 30
    end = x + length * on.scale
    yield line((x, y), (end, y), "d-scale")
    for place in (x, (x + end) / 2, end):
        yield line((place, y - 4), (place, y + 4), "d-scale")
    yield text((end + 8, y + 3.5), short(length, LENGTH), "d-text")


def _description(scene: Scene, title: str) -> str:
    shafts = ", ".join(scene.shown.bars)
    tight = [f"{r.name}" for r in scene.shown.runs if r.tight >= 0]
    words = f"{title}, to scale. Shafts: {shafts}."
    if tight:
        words += f" The strand that pulls is drawn heavy for: {', '.join(tight)}."
    for h in scene.weights:
        words += f" {h.name} hangs: {', '.join(h.words)}."
    return words


def _nowhere(seen: Outline) -> str:
    if not seen.nowhere:
        return ""
    names = ", ".join(escape(n) for n in seen.nowhere)
    return (f'<p class="nowhere">Not drawn, because its place is not known yet: {names}. Give <code>at</code> of one '
            "shaft in each group, and teeth, centres and <code>line</code> of the stages between them.</p>")
