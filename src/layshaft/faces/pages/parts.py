"""Every body of a drawing as the part it is: named by its path, told in a sentence, opened by a click or by a key."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field
from html import escape

import numpy as np

from layshaft.faces.pages import shapes
from layshaft.faces.pages.frames import Frame, Part
from layshaft.faces.pages.hanging import Hanging
from layshaft.faces.pages.look import Look
from layshaft.faces.pages.outline import Bar, Outline, Wheel
from layshaft.faces.pages.tallies import told
from layshaft.faces.pages.view import Paper
from layshaft.faces.pages.words import part_words
from layshaft.machine.kinds import Cam, InLine, Joining, Pulses
from layshaft.machine.model import Machine
from layshaft.train.place import seat_point
from layshaft.train.room import stage_rounds
from layshaft.train.solve import Solved
from layshaft.train.stages import Vector

ON_DRIVES, ON_LOADS = ("handle", "motor"), ("swept", "disc", "track", "body")


@dataclass(slots=True)
class Scene:
    """Everything to draw, gathered once for all views."""

    solved: Solved
    shown: Outline
    weights: list[Hanging]
    frames: list[Frame]
    partings: list[Part]
    look: Look = field(default_factory=Look)
    met: set[str] = field(default_factory=set)
    """Paths that already stand in the view as something the tab key reaches."""

    def part(self, path: str, inside: str) -> str:
        """A body as a part: a link where the page opens parts, reached by the tab key once for each part."""
        title = f"<title>{escape(told(part_words(path), self.look.tightest.get(path)))}</title>"
        moved = any(m == path or m.startswith(f"{path}.") for m in self.look.moved)
        css = "d-part d-moved" if moved else "d-part"
        if self.look.link is None:
            return f'<g class="{css}" data-path="{escape(path)}">{title}{inside}</g>'
        first = path not in self.met
        self.met.add(path)
        reached = "" if first else ' tabindex="-1"'
        return (f'<a class="{css}" href="{escape(self.look.link(path))}" data-path="{escape(path)}"{reached}>'
                f"{title}{inside}</a>")

    def opened(self, path: str, inside: str) -> str:
        """A line of a label that opens a part; the body is what the tab key reaches."""
        if self.look.link is None:
            return inside
        return (f'<a class="d-line" href="{escape(self.look.link(path))}" data-path="{escape(path)}" tabindex="-1">'
                f"{inside}</a>")


def wheel_path(machine: Machine, w: Wheel) -> str:
    """The part a wheel belongs to."""
    things = machine.drives if w.kind in ON_DRIVES else machine.loads if w.kind in ON_LOADS else machine.stages
    return str(things[w.name].path)


def bodies(scene: Scene, on: Paper) -> list[str]:
    """Everything solid, from the back to the front, each as its part."""
    machine = scene.solved.machine
    found: list[shapes.Deep] = []
    for b in scene.shown.bars.values():
        found += _as(scene, machine.shafts[b.shaft].path, shapes.bar(on, b))
        found += _seats(scene, on, b)
    for stage in machine.stages.values():
        if isinstance(stage, InLine) and stage.from_ in scene.shown.bars and stage.to in scene.shown.bars:
            found += _as(scene, stage.path, _coupling(scene, on, stage))
    for w in scene.shown.wheels:
        found += _as(scene, wheel_path(machine, w), shapes.wheel(on, w))
    for w in scene.shown.bearings:
        found += _housing(scene, on, w)
        found += _as(scene, machine.shafts[w.shaft].seats[w.seat].path, shapes.bearing(on, w))
    for r in scene.shown.runs:
        found += _as(scene, machine.stages[r.name].path, shapes.chain(on, r))
    for h in scene.weights:
        found += _as(scene, machine.drives[h.name].path, shapes.weight(on, h))
    found += _hammers(scene, on)
    return [markup for _, markup in sorted(found, key=lambda d: d[0])]


def _seats(scene: Scene, on: Paper, b: Bar) -> Iterator[shapes.Deep]:
    """Seats of one shaft, as lines across it."""
    shaft = scene.solved.machine.shafts[b.shaft]
    for seat in shaft.seats.values():
        if seat.at.known:
            x = seat.at.nominal
            d = next((d for first, last, d in b.steps if first <= x <= last and np.isfinite(d)), 0.02)
            yield from _as(scene, seat.path, shapes.seat(on, b.point(x), b.axis, d))


def _coupling(scene: Scene, on: Paper, stage: InLine) -> Iterator[shapes.Deep]:
    """As large as the file says; a ratchet between two shafts is drawn as the wheel it has."""
    told = np.nan, np.nan
    if isinstance(stage, Joining):
        room = stage_rounds(scene.solved.machine, stage, np.nan)[0][0]
        told = 2 * room.radius, room.width
    return shapes.coupling(on, _ends(scene, stage), _thickest(scene, stage.from_), told)


def _housing(scene: Scene, on: Paper, w: Wheel) -> Iterator[shapes.Deep]:
    seat = scene.solved.machine.shafts[w.shaft].seats[w.seat]
    if seat.housing_size and all(s.known for s in seat.housing_size):
        size = np.array([s.nominal for s in seat.housing_size])
        yield from _as(scene, seat.path, shapes.housing(on, w.centre, size))


def _ends(scene: Scene, stage: InLine) -> tuple[Vector, Vector]:
    machine, place = scene.solved.machine, scene.solved.place
    return (seat_point(machine, place[stage.from_], stage.from_, stage.seats[0]),
            seat_point(machine, place[stage.to], stage.to, stage.seats[1]))


def _thickest(scene: Scene, shaft: str) -> float:
    return max((d for *_, d in scene.shown.bars[shaft].steps if np.isfinite(d)), default=0.02)


def _hammers(scene: Scene, on: Paper) -> Iterator[shapes.Deep]:
    """A sign beside each cam that is seen from its end: what it lifts has no place in the file."""
    for name, load in scene.solved.machine.loads.items():
        bar = scene.shown.bars.get(load.shaft)
        if isinstance(load, (Pulses, Cam)) and bar is not None and on.plane.facing(bar.axis) > shapes.FACING:
            radius = _thickest(scene, load.shaft) / 2 * on.scale
            yield np.inf, scene.part(load.path, shapes.hammer(on.at(bar.start), radius + 8, name))


def _as(scene: Scene, path: str, drawn: Iterator[shapes.Deep]) -> Iterator[shapes.Deep]:
    for deep, markup in drawn:
        yield deep, scene.part(path, markup)
