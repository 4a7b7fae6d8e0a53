"""The machine to scale: seen against its main axis, and along it."""

from __future__ import annotations

from collections.abc import Iterator
from html import escape

import numpy as np

from layshaft.faces.pages import labels, onto, shapes
from layshaft.faces.pages.called import FULL, MOST_CLASHES, NAMES, WORST, called, in_line
from layshaft.faces.pages.format import Format
from layshaft.faces.pages.frames import frames, partings
from layshaft.faces.pages.hanging import hanging
from layshaft.faces.pages.ink import MEANS, Ink, ink
from layshaft.faces.pages.look import Look, carries
from layshaft.faces.pages.lying import shaft_figures
from layshaft.faces.pages.outline import Outline, Wheel, outline
from layshaft.faces.pages.parts import Scene, bodies
from layshaft.faces.pages.svg import figure, group, line, text
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
from layshaft.faces.pages.words import name_words, short
from layshaft.machine.kinds import Cam, Pulses
from layshaft.trace.findings import margin_text
from layshaft.trace.units import LENGTH
from layshaft.train.solve import Solved
from layshaft.verdict.clearances import narrow, worst

TOP, FOOT = 14.0, 54.0
PER_MM = Format().width / 180
"""Drawing units per millimetre of paper where the drawing is printed 180 mm wide."""

MOST = {"end": FULL, "side": WORST}
"""How much the labels of a view say, where there is room."""

ROUND_LENGTHS = {"mm": (5, 10, 20, 50, 100, 200, 500, 1000, 2000, 5000),
                 "in": (0.2, 0.5, 1, 2, 5, 10, 20, 50, 100, 200)}
"""Lengths of the scale bar: round in the unit it is told in."""

BAR = 130
"""Drawing units it may be long."""

VIEWS = ("end", "side")
ALONE = "shafts"
"""Each shaft by itself: what is wanted where neither view is."""

SIGN_WORDS = " A lever beside a shaft stands for what its cam lifts; where it stands is not in the file."

END_WORDS = ("Wheels are drawn by their pitch circles, with as many teeth as they have. The heavy strand of a chain or "
             "belt is the one that pulls. ")
RUNNING_WORDS = "Arrows show which way the machine turns; what stands while it runs shows the way it is wound."
WEIGHT_WORDS = (" A weight's lowest place stands in dashes. One whose place and size are not given is drawn close "
                "under its wheel, as steel of its mass.")
SIDE_WORDS = ("The same places from the side; what lies in front covers what lies behind. Lines across a shaft are its "
              "seats; a coupling stands in dashes where its size is not given.")
FRAME_WORDS = (" Modules stand in dashes; the heavy dashes are where they part. The file gives a module's size and not "
               "its place: its box stands on the floor, against its parting or centred on its shafts.")
TALLY_WORDS = (" The bar beside a part is its margin, the post is what is required: a bar that falls short does not "
               "hold.")


def scene_of(solved: Solved, look: Look | None = None) -> Scene:
    """Gather what there is to draw."""
    look = look or Look()
    seen = outline(solved, look.case)
    return Scene(solved, seen, list(hanging(solved)), frames(solved, seen), partings(solved, seen), look)


def drawings(solved: Solved, look: Look | None = None) -> str:
    """Both views, each shaft by itself, and in words what has no place yet. An HTML fragment."""
    scene = scene_of(solved, look)
    only = scene.look.only
    blocks = [_figure(scene, name) for name in VIEWS if only in ("", name)] if scene.shown.bars else []
    return "".join(blocks) + (shaft_figures(solved) if only in ("", ALONE) else "") + _nowhere(scene.shown)


def plane_of(scene: Scene, name: str) -> tuple[Plane, str]:
    """A view by name, with its title."""
    main = main_axis(scene.solved.machine)
    if name == "end":
        return end_plane(main), f"Seen against {axis_name(main)}"
    side = side_plane(main)
    return side, f"Seen along {axis_name(-side.towards)}"


def _figure(scene: Scene, name: str) -> str:
    plane, title = plane_of(scene, name)
    markup, ratio = view(scene, name, plane, title)
    first, words = caption(scene, name)
    if scene.look.format.printed:
        told = (f'{escape(first)} {escape(words)} <span class="ratio">1 : {ratio:g} when printed 180 mm wide; the bar '
                "holds at any size.</span>")
    else:
        told = f"{escape(first)}<details><summary>How to read it</summary><p>{escape(words)}</p></details>"
    return (f'<figure class="plate" data-view="{name}"><div class="scroll">{markup}</div><figcaption><b>'
            f"{escape(title)}{_case(scene)}.</b> {told}</figcaption></figure>")


def _case(scene: Scene) -> str:
    case = scene.look.case
    return "" if case is None else f", {escape(scene.solved.columns[case].title)}"


def caption(scene: Scene, name: str) -> tuple[str, str]:
    """What the drawing shows in words: what was asked of it, and how it is read."""
    of = scene.look
    words = SIDE_WORDS + (FRAME_WORDS if scene.frames else "") if name == "side" else END_WORDS + (
        RUNNING_WORDS if of.case is None else "") + (WEIGHT_WORDS if scene.weights else "") + (
        SIGN_WORDS if _lifts(scene) else "")
    first = f"Drawn on it: {MEANS[of.quantity]}. " if of.quantity else ""
    if of.jam is not None:
        goes = of.jam.first_to_go
        nearest = (f"; nearest to letting go is {name_words(goes)}, {goes.mode}, margin {margin_text(goes.margin)}, "
                   f"needed {goes.required:g}" if goes else "")
        first += f"Held fast at {of.held} by the pull of its drive{nearest}. What passes it on is drawn heavy. "
    return first, words + (TALLY_WORDS if of.verdict is not None else "")


def _lifts(scene: Scene) -> bool:
    return any(isinstance(load, (Pulses, Cam)) for load in scene.solved.machine.loads.values())


def view(scene: Scene, name: str, plane: Plane, title: str) -> tuple[str, float]:
    """One view as SVG, and its scale when printed."""
    form = scene.look.format
    column, width = form.column(name), form.width
    scene.met.clear()
    holds = _extent(scene, plane)
    room = width - 2 * column - 12, form.tallest - (0 if form.printed else TOP + FOOT)
    on = paper(plane, holds, room, width / 2, TOP, PER_MM, usual=form.printed)
    bottom = TOP + holds.height * on.scale
    placed = _placed(scene, on, name, bottom)
    lowest = max([bottom, *(p.top + p.height for p in placed)])
    drawn = ink(scene.solved, scene.look)
    parts = [*_back(scene, on, holds, bottom), *bodies(scene, on), *_heavy(scene, on),
             *_arrows(scene, on), *_marks(scene, on),  # numbers stand over the marks
             *(onto.ink_drawn(on, scene.solved, scene.shown, drawn) if drawn else ()),
             labels.draw(placed, column - 6, width - column + 6, scene.opened),
             *_foot(on, plane, form, column, lowest, drawn)]
    role = "group" if scene.look.link else "img"
    return figure(f"view-{name}", title, _description(scene, title), (width, lowest + FOOT), parts,
                  role=role), on.ratio


def _placed(scene: Scene, on: Paper, name: str, bottom: float) -> list[labels.Placed]:
    """As much as there is room for: with many parts fewer words on each."""
    form = scene.look.format
    middle, column = form.width / 2, form.column(name)
    room = max(bottom - TOP, 420.0 if form.printed else form.tallest - FOOT)
    most = NAMES if form.names_only else MOST[name] if form.printed else FULL
    for detail in range(most, NAMES - 1, -1):
        found = called(scene, on, middle, detail)
        placed = labels.place(found, middle, column - 10, TOP, max(bottom - TOP, 60.0))
        if labels.taken(placed) <= room * (1.15 if form.printed else 1.0):
            break
    return placed


def _heavy(scene: Scene, on: Paper) -> Iterator[str]:
    """The clamp on a shaft held fast, and the stages that pass the jam on."""
    of = scene.look
    if of.jam is None or of.held not in scene.shown.bars:
        return
    for name in scene.solved.machine.stages:
        if carries(of, scene.solved, name):
            found = onto.stage_line(on, scene.solved, scene.shown, name, 3.0, "d-carries")
            yield found[0] if found else ""
    bar = scene.shown.bars[of.held]
    radius = max((d for *_, d in bar.steps if np.isfinite(d)), default=0.02) / 2 * on.scale
    yield onto.held_fast(on.at(bar.point(bar.length / 2)), radius)


def _marks(scene: Scene, on: Paper) -> Iterator[str]:
    """Where parts run into one another, and where a finger gets in."""
    if scene.look.verdict is None:
        return
    context = scene.look.verdict.context
    met = sorted((n for n in worst(context.space) if n.meet), key=lambda n: n.gap)
    found = [onto.clash(on, n, small=i >= MOST_CLASHES) for i, n in enumerate(met)]
    found += [onto.pinch(on, n) for n in narrow(context)]
    yield group(found, "d-marks")


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
            half = block.across(plane.right) / 2
            flat += [(x - half, y), (x + half, y - block.height)]
    for w in scene.shown.wheels:
        flat += _reach(plane, w)
    for centre, radius in around[len(scene.shown.wheels):]:
        x, y = plane.flat(centre)
        flat += [(x, y - radius), (x, y + radius)]
    for f in scene.frames:
        flat += [plane.flat(f.low), plane.flat(f.high)]
    return extent(flat)


def _reach(plane: Plane, w: Wheel) -> Iterator[tuple[float, float]]:
    """Ends of a wheel on the plane: its radius across its axis, half its width along it."""
    x, y = plane.flat(w.centre)
    across, upward = (w.radius * float(np.sqrt(max(0.0, 1 - lean**2))) + w.width / 2 * abs(lean)
                      for lean in (float(w.axis @ plane.right), float(w.axis @ plane.up)))
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


def _arrows(scene: Scene, on: Paper) -> Iterator[str]:
    """One for each line of shafts seen from its end."""
    for bars in in_line(scene, on).values():
        first = bars[0]
        sense = first.speed * float(first.axis @ on.plane.towards)
        if on.plane.facing(first.axis) > shapes.FACING and np.isfinite(sense) and abs(sense) > 1e-9:
            radius = max((d for b in bars for *_, d in b.steps if np.isfinite(d)), default=0.02) / 2 * on.scale
            yield shapes.turning(on.at(first.start), radius + 5, sense > 0)


def bar_length(scale: float) -> float:
    """The longest round length that goes into the bar, in m; `scale` is in drawing units per m."""
    unit = LENGTH.printed[0]
    lengths = [n * LENGTH.units[unit] for n in ROUND_LENGTHS[unit]]
    return max((x for x in lengths if x * scale <= BAR), default=lengths[0])


def _foot(on: Paper, plane: Plane, form: Format, column: float, lowest: float, drawn: Ink | None) -> Iterator[str]:
    """Axes at the left, a scale bar in the middle, the scale of the ink at the right."""
    cross, names = shapes.axes((max(column - 60, 12), lowest + 44), axis_name(plane.right), axis_name(plane.up))
    yield cross
    for at, name in names:
        yield text(at, name, "d-text")
    length = bar_length(on.scale)
    x, y = form.width / 2 - length * on.scale / 2, lowest + 30
    end = x + length * on.scale
    yield line((x, y), (end, y), "d-scale")
    for place in (x, (x + end) / 2, end):
        yield line((place, y - 4), (place, y + 4), "d-scale")
    yield text((end + 8, y + 3.5), short(length, LENGTH), "d-text")
    if drawn and drawn.largest > 0:
        x = form.width - column + 12
        yield line((x, lowest + 6), (x, lowest + 6 + onto.TALL), "d-ink-scale")
        y = lowest + 6 + onto.TALL / 2
        for row, words in zip((-3, 9), drawn.legend, strict=True):
            yield text((x + 8, y + row), words, "d-text")


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
