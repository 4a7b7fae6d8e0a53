"""Labels in two columns beside a drawing, led to what they name, never over one another."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass, replace
from textwrap import wrap

from layshaft.faces.pages.svg import Point, circle, group, polyline
from layshaft.faces.pages.tallies import BAR, WORDS, line_of, words
from layshaft.trace.findings import Finding

LINE = 12.0
GAP = 7.0
TALLIED = int((BAR + WORDS) / 5.6)
"""Letters whose room a tally takes."""

BOLD = 1.15
"""Width of a letter of a name, over that of a usual one."""

SHARE = 5.6
"""Width of a usual letter at the size of labels: what a line of words needs, on the safe side."""


@dataclass(frozen=True, slots=True)
class Line:
    """One line of a label: words, the finding whose tally stands beside them, and the part it opens."""

    text: str
    finding: Finding | None = None
    path: str = ""
    css: str = "d-text"
    apart: tuple[str, ...] = ()
    """Lines to write instead where the words do not fit in one: the first is the name, which has the tally."""


@dataclass(frozen=True, slots=True)
class Label:
    """Words for one place of a drawing: the first line is its name."""

    at: Point
    name: str
    lines: tuple[str | Line, ...] = ()
    path: str = ""
    css: str = "d-name"
    beside: str = ""
    """Words behind the name, where there is room; else a line of their own."""


@dataclass(frozen=True, slots=True)
class Placed:
    """A label with its words broken into lines and the height of its first line."""

    label: Label
    left: bool
    top: float
    names: list[str]
    lines: list[Line]
    beside: str = ""

    @property
    def height(self) -> float:
        """Height of all lines."""
        return LINE * (len(self.names) + len(self.lines))


def place(labels: Sequence[Label], middle: float, width: float, top: float, room: float) -> list[Placed]:
    """Each label into the column it is nearer to, in order of height, pushed apart where they meet.

    They take the height of `room` below the top, and more only where they need more.
    """
    broken = _sides([_broken(label, left=True, width=width) for label in labels], middle, room)
    bottom = top + max(room, *(_load(side) for side in broken.values()))
    found = []
    for left, side in broken.items():
        ours = [replace(p, left=left) for p in side]
        ours.sort(key=lambda p: (p.label.at[1], p.label.at[0] if left else -p.label.at[0]))
        found += _pushed(ours, top, bottom)
    return found


def _sides(labels: Sequence[Placed], middle: float, room: float) -> dict[bool, list[Placed]]:
    """Left or right by place; what stands in the middle goes where there is more room.

    Where one column is too full for the `room`, what is nearest to the middle goes over to the other.
    """
    sides: dict[bool, list[Placed]] = {True: [], False: []}
    central = []
    for label in labels:
        if abs(label.label.at[0] - middle) < 12:
            central.append(label)
        else:
            sides[label.label.at[0] < middle].append(label)
    for label in central:
        sides[_load(sides[True]) <= _load(sides[False])].append(label)
    while True:
        full = _load(sides[True]) >= _load(sides[False])
        nearest = min(sides[full], key=lambda x: abs(x.label.at[0] - middle), default=None)
        if nearest is None or _load(sides[full]) <= room or _load([*sides[not full], nearest]) >= _load(sides[full]):
            return sides
        sides[full].remove(nearest)
        sides[not full].append(nearest)


def _load(labels: Iterable[Placed]) -> float:
    """Height that labels take below one another."""
    return sum(label.height + GAP for label in labels)


def _broken(label: Label, *, left: bool, width: float) -> Placed:
    most = max(int(width / SHARE), 8)
    names = wrap(label.name, max(int(most / BOLD), 8)) or [""]
    lines = [piece for line in label.lines for piece in _pieces(line, most)]
    fits = len(names[-1]) * BOLD + len(label.beside) + 2 <= most
    if label.beside and not fits:
        lines = [*_pieces(label.beside, most), *lines]
    return Placed(label, left, label.at[1], names, lines, label.beside if fits else "")


def _pieces(line: str | Line, most: int) -> list[Line]:
    """A line broken where it is too long: a name that its verdict does not fit behind stands whole above it."""
    line = Line(line) if isinstance(line, str) else line
    if line.finding is None:
        return [Line(piece, None, line.path, line.css) for piece in wrap(line.text, most - TALLIED) or [""]]
    room, word = most - TALLIED, len(words(line.finding)) + 1
    if len(line.text) + word <= room:
        return [line]
    name, *rest = line.apart or (line.text,)
    *before, last = wrap(name, room) or [""]
    named = [last] if len(last) + word <= room and not before else [*before, last, ""]
    return [*(Line(piece, None, line.path, line.css) for piece in named[:-1]),
            Line(named[-1], line.finding, line.path, line.css),
            *(Line(piece, None, line.path, line.css) for part in rest for piece in wrap(part, room))]


def _pushed(placed: list[Placed], top: float, bottom: float) -> list[Placed]:
    tops = [p.label.at[1] - LINE / 2 for p in placed]
    edge = top
    for i, p in enumerate(placed):
        tops[i] = max(tops[i], edge)
        edge = tops[i] + p.height + GAP
    edge = bottom + GAP
    for i in reversed(range(len(placed))):
        tops[i] = min(tops[i], edge - GAP - placed[i].height)
        edge = tops[i]
    return [replace(p, top=y) for p, y in zip(placed, tops, strict=True)]


def taken(placed: Iterable[Placed]) -> float:
    """Height of the fuller column."""
    placed = list(placed)
    return max(_load(p for p in placed if p.left is left) for left in (True, False))


def draw(placed: Iterable[Placed], left_edge: float, right_edge: float, opened: Callable[[str, str], str]) -> str:
    """The words and the lines that lead from them to what they name; `opened` makes of a path and markup a link."""
    parts = []
    placed = list(placed)
    tallied = any(line.finding is not None for p in placed for line in p.lines)
    for p in placed:
        edge, reach = (left_edge, 7.0) if p.left else (right_edge, -7.0)
        y = p.top + LINE / 2
        spot = p.label.at
        parts.append(polyline([(edge + reach * 0.3, y), (edge + reach * 1.6, y), spot], "d-leader"))
        parts.append(circle(spot, 1.6, "d-dot"))
        names = [Line(name, None, p.label.path, p.label.css) for name in p.names]
        for i, line in enumerate([*names, *p.lines]):
            indent = tallied and i >= len(names)
            at = edge, p.top + LINE * i + 9.5
            beside = p.beside if i == len(names) - 1 else ""
            drawn = line_of(at, line.text, line.finding, line.css, left=p.left, indent=indent, beside=beside)
            parts.append(opened(line.path, drawn) if line.path else drawn)
    return group(parts, "d-labels")
