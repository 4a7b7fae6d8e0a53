"""What the labels of a drawing say: names, speeds, teeth, and a tally beside every part; less where there is much."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from layshaft.faces.pages import shapes
from layshaft.faces.pages.frames import Frame
from layshaft.faces.pages.labels import Label, Line
from layshaft.faces.pages.look import carries, seats_worst
from layshaft.faces.pages.outline import Bar, Wheel
from layshaft.faces.pages.parts import Scene, wheel_path
from layshaft.faces.pages.svg import Point
from layshaft.faces.pages.view import Paper
from layshaft.faces.pages.words import short
from layshaft.machine.kinds import InLine
from layshaft.trace.findings import Finding
from layshaft.trace.units import LENGTH, SPEED, TORQUE, shown
from layshaft.verdict.clearances import worst

RADIUS_WORDS = {"handle": "radius", "track": "track radius", "swept": "vanes reach", "disc": "radius", "body": "radius",
                "ratchet": "radius"}
NAMES, WORST, BRIEF, FULL = range(4)
"""Names alone; with the worst tally of each line of shafts; with all that does not hold; everything."""

STILL = 1e-9
MOST_CLASHES = 3
"""Collisions told by name: a machine that is not laid out yet has dozens."""

CROWDED = 20.0
"""How far a label goes out of its way, for each label that already stands in its column."""


def in_line(scene: Scene, on: Paper) -> dict[tuple[int, int, str], list[Bar]]:
    """Shafts by the spot where they are seen from the end; others each by itself."""
    found: dict[tuple[int, int, str], list[Bar]] = {}
    for b in scene.shown.bars.values():
        x, y = on.at(b.start)
        facing = on.plane.facing(b.axis) > shapes.FACING
        found.setdefault((round(x * 2), round(y * 2), "") if facing else (0, 0, b.shaft), []).append(b)
    return found


def called(scene: Scene, on: Paper, middle: float, detail: int) -> list[Label]:
    """Labels of one view, as full as `detail` says."""
    found = []
    taken: list[Point] = []
    for bars in in_line(scene, on).values():
        at = _spot(on, bars[0], taken, middle)
        taken.append(at)
        path = scene.solved.machine.shafts[bars[0].shaft].path
        name, lines = ", ".join(b.shaft for b in bars), tuple(_lines(scene, bars, detail))
        found.append(Label(at, name, lines, path, beside="" if detail < BRIEF else _turns(bars)))
    for h in scene.weights:
        path = scene.solved.machine.drives[h.name].path
        words: list[str | Line] = list(h.words if detail == FULL else h.words[:1] if detail else ())
        tally = _tally(scene, "weight", path, detail)
        found.append(Label(shapes.drop_point(on, h), h.name, (*words, *tally), path))
    if not scene.look.format.names_only:
        found += [Label(_corner(on, f, middle), f"module {f.module}") for f in scene.frames]
    return found + list(_clashes(scene, on, detail))


def _clashes(scene: Scene, on: Paper, detail: int) -> Iterator[Label]:
    """What stands in one place, the deepest by name; all are marked in the drawing."""
    if scene.look.verdict is None:
        return
    met = sorted((n for n in worst(scene.look.verdict.context.space) if n.meet), key=lambda n: n.gap)
    if detail == NAMES and met:
        yield Label(on.at(np.array(met[0].where)), "in one place", (), "", "d-name d-bad")
        return
    for n in met[:MOST_CLASHES]:
        words = n.a.name, f"and {n.b.name}", f"overlap by {together(shown(-n.gap, LENGTH, digits=3))}"
        yield Label(on.at(np.array(n.where)), "in one place", words, "", "d-name d-bad")
    if len(met) > MOST_CLASHES:
        at = on.at(np.array(met[MOST_CLASHES].where))
        yield Label(at, f"and {len(met) - MOST_CLASHES} more", ("in one place, as marked",), "", "d-name d-bad")


def _spot(on: Paper, b: Bar, taken: list[Point], middle: float) -> Point:
    """A point of a shaft away from the points that already have a label."""
    if on.plane.facing(b.axis) > shapes.FACING:
        return on.at(b.start)
    left = sum(q[0] < middle for q in taken)
    crowd = {True: left, False: len(taken) - left}
    tries = sorted((on.at(b.point(b.length * share)) for share in (0.93, 0.07, 0.5, 0.75, 0.25)),
                   key=lambda p: CROWDED * crowd[p[0] < middle] - abs(p[0] - middle))
    return max(tries, key=lambda p: min((min(np.hypot(p[0] - q[0], p[1] - q[1]), 24.0) for q in taken), default=24.0))


def _corner(on: Paper, f: Frame, middle: float) -> Point:
    (left, low), (right, high) = on.at(f.low), on.at(f.high)
    return (left if (left + right) / 2 < middle else right), high + (low - high) * 0.82


def _lines(scene: Scene, bars: list[Bar], detail: int) -> Iterator[Line]:
    if detail == NAMES:
        return
    if detail == WORST:
        yield from sorted((told for told in _told(scene, bars) if told.finding is not None), key=_tightest)[:1]
        return
    if scene.look.held in {b.shaft for b in bars}:
        yield Line("held fast", css="d-text d-bad")
    every = list(_told(scene, bars))
    rated = [told for told in every if told.finding is not None]
    bad = [told for told in rated if told.finding is not None and told.finding.verdict != "holds"]
    yield from every if detail == FULL else bad or sorted(rated, key=_tightest)[:1]


def _tightest(told: Line) -> tuple[int, float]:
    assert told.finding is not None
    return told.finding.rank


def _turns(bars: list[Bar]) -> str:
    """How fast shafts in one line turn."""
    return ", ".join(sorted({_speed(b) for b in bars})) + (", winding" if bars[0].winds else "")


def _speed(b: Bar) -> str:
    if not np.isfinite(b.speed):
        return "speed unknown"
    return together(shown(abs(b.speed), SPEED, digits=3)) if abs(b.speed) > STILL else "stands"


def _told(scene: Scene, bars: list[Bar]) -> Iterator[Line]:
    """Every part on shafts in one line, with its worst finding where it is told first."""
    machine, worst_of, seen = scene.solved.machine, scene.look.tightest, set()
    for b in bars:
        path = machine.shafts[b.shaft].path
        name = f"shaft {b.shaft}" if len(bars) > 1 else "shaft"
        if path in worst_of:
            yield Line(name, worst_of[path], path)
        seats = seats_worst(scene.look, path)
        if seats is not None:
            yield _seat(seats)
    ours = {b.shaft for b in bars}
    for w in scene.shown.wheels:
        if w.shaft in ours:
            path = wheel_path(machine, w)
            first = path not in seen
            seen.add(path)
            yield _wheel(scene, w, path, worst_of.get(path) if first and _first_end(scene, w.name, w.shaft) else None)
    for h in scene.weights:
        drive = machine.drives[h.name]
        z = getattr(drive, "teeth", None)
        if {drive.shaft, getattr(drive, "rewound_from", "")} & ours and z is not None and z.known:
            yield Line(f"z {z.nominal:.0f} {h.name}", None, drive.path)
    for name, load in machine.loads.items():
        if load.shaft in ours and load.path not in seen:
            yield Line(name, worst_of.get(load.path), load.path)
    for name, stage in machine.stages.items():
        if isinstance(stage, InLine) and stage.from_ in ours and stage.path not in seen:
            passed = _passed(scene, name)
            yield Line(name + passed, worst_of.get(stage.path), stage.path, apart=(name, passed.lstrip(", ")))


def _seat(f: Finding) -> Line:
    """The worst of what sits on a shaft: a key or hub by its seat, a bearing by its own name."""
    seat, *what = f.part.partition(".seats.")[2].split(".")
    if not what or what[0] in seat:
        return Line(seat, f, f.part)
    return Line(f"{what[0]} at {seat}", f, f.part, apart=(what[0], f"at {seat}"))


def _wheel(scene: Scene, w: Wheel, path: str, f: Finding | None) -> Line:
    """Teeth or size with the name; where that is too long the name first, since the verdict is about it."""
    size = RADIUS_WORDS.get(w.kind)
    radius = f"{size} {together(short(w.radius, LENGTH))}" if size else ""
    passed = _passed(scene, w.name)
    sizes = ", ".join(part for part in (w.tag.removesuffix(w.name).strip(), radius) if part)
    apart = w.name, sizes, passed.lstrip(", ")
    return Line(w.tag + (f", {radius}" if radius else "") + passed, f, path, apart=apart)


def _first_end(scene: Scene, name: str, shaft: str) -> bool:
    """A stage has its tally at its first shaft alone; everything else where it sits."""
    stage = scene.solved.machine.stages.get(name)
    return stage is None or stage.from_ == shaft


def _passed(scene: Scene, name: str) -> str:
    """What a stage passes on while a shaft is held fast."""
    if not carries(scene.look, scene.solved, name) or scene.look.jam is None:
        return ""
    torque = next(p.first for p in scene.look.jam.path if p.stage == name)
    return f", passes {together(shown(torque, TORQUE, digits=3))}"


def together(words: str) -> str:
    """A number and its unit that no line breaks apart."""
    return words.replace(" ", "\u00a0")


def _tally(scene: Scene, words: str, path: str, detail: int) -> Iterator[Line]:
    f = scene.look.tightest.get(path)
    if f is not None and (detail == FULL or (detail and f.verdict != "holds")):
        yield Line(words, f, path)
