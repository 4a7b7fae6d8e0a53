"""Every shaft by itself, lying: its steps, its bearings and what sits on it, lengths and diameters to scale."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np

from layshaft.faces.pages.outline import bearing_size, speed_of
from layshaft.faces.pages.svg import figure, group, line, polygon, polyline, rect, text
from layshaft.faces.pages.view import PER_MM, SCALES, axis_name
from layshaft.faces.pages.words import anchor, short
from layshaft.machine.kinds import BevelPair, GearPair, InLine, Ratchet, RollerChain, Worm
from layshaft.machine.model import Seat, Shaft
from layshaft.trace.units import LENGTH, SPEED, shown
from layshaft.train.solve import Solved
from layshaft.train.stages import axis

WIDTH, EDGE, LINE, LETTER = 720.0, 26.0, 11.5, 5.5
RISE = 13.0
"""How far a wheel's stub stands out of the shaft; wheels are cut off here."""


@dataclass(frozen=True, slots=True)
class Sign:
    """The words of one seat: centre, width, lines, above or below the shaft."""

    seat: float
    centre: float
    width: float
    lines: tuple[str, ...]
    above: bool


def shaft_figures(solved: Solved) -> str:
    """One drawing a shaft, all at one scale. An HTML fragment."""
    longest = max((_length(s) for s in solved.machine.shafts.values()), default=0.0)
    if not longest > 0:
        return ""
    usual = next((r for r in SCALES if 1000 * PER_MM / r * longest <= WIDTH - 2 * EDGE), SCALES[-1])
    scale = 1000 * PER_MM / usual
    drawn = "".join(f'<div class="scroll lane">{shaft_figure(solved, name, scale)}</div>'
                    for name in solved.machine.shafts)
    return (f'<figure class="plate lanes">{drawn}<figcaption><b>Each shaft by itself.</b> Lengths and diameters of '
            "shafts and bearings to scale, places from the start of the shaft, in mm unless another unit stands "
            "there; wheels are cut off close to the shaft."
            f' <span class="ratio">1 : {usual:g} when printed 180 mm wide.</span></figcaption></figure>')


def _length(shaft: Shaft) -> float:
    """Length as far as it is given; where it is open, what the seats ask for."""
    steps = sum(s[1].nominal for s in shaft.sections or () if np.isfinite(s[1].nominal))
    seats = [s.at.nominal for s in shaft.seats.values() if s.at.known]
    return max([steps, *(a + 0.02 for a in seats)]) if seats else steps


def shaft_figure(solved: Solved, name: str, scale: float) -> str:
    """One shaft as SVG."""
    shaft = solved.machine.shafts[name]
    signs = _signs(solved, shaft, scale)
    tallest = max([*_half_heights(solved, shaft), 0.012]) * scale
    tallest = max(tallest, max(_diameters(shaft), default=0.02) / 2 * scale + RISE) + 4
    above = max((len(s.lines) for s in signs if s.above), default=0) * LINE
    below = max((len(s.lines) for s in signs if not s.above), default=0) * LINE
    middle = 20 + above + 5 + tallest
    height = middle + tallest + 5 + below + 8
    parts = [
        text((0, 10), name, "d-name"), text((len(name) * 7.2 + 12, 10), _facts(solved, shaft), "d-text"),
        _axis(shaft, scale, middle), *_steps(shaft, scale, middle),
        *(m for seat in shaft.seats.values() for m in _seat(solved, shaft, seat, scale, middle)),
        *(_sign(s, middle, tallest) for s in signs),
    ]
    return figure(anchor("shaft", name), f"Shaft {name}", _described(solved, shaft), (WIDTH, height), parts)


def _facts(solved: Solved, shaft: Shaft) -> str:
    """One line of facts: speed, steel, length, direction, module."""
    speed, winds = speed_of(solved, shaft.name)
    turns = f"{shown(abs(speed), SPEED, digits=3)}{' while winding' if winds else ''}" if np.isfinite(speed) \
        else "speed unknown"
    steps = sum(s[1].nominal for s in shaft.sections or ())
    length = f"{short(steps, LENGTH)} long" if shaft.sections and np.isfinite(steps) else "length not chosen"
    steel = shaft.material.name if shaft.material.known else "steel not chosen"
    return f"{turns},  {steel},  {length},  along {axis_name(axis(shaft))},  in {shaft.module}"


def _diameters(shaft: Shaft) -> list[float]:
    return [s[0].nominal for s in shaft.sections or () if np.isfinite(s[0].nominal)]


def _half_heights(solved: Solved, shaft: Shaft) -> Iterator[float]:
    for seat in shaft.seats.values():
        if seat.bearing.state != "missing":
            outside, _ = bearing_size(solved, seat)
            yield outside / 2 if np.isfinite(outside) else 0.02


def _axis(shaft: Shaft, scale: float, middle: float) -> str:
    return line((EDGE - 12, middle), (EDGE + _length(shaft) * scale + 12, middle), "d-centre")


def _steps(shaft: Shaft, scale: float, middle: float) -> Iterator[str]:
    at = EDGE
    for diameter, length in shaft.sections or ():
        if not np.isfinite(length.nominal):
            return
        known = np.isfinite(diameter.nominal)
        half = (diameter.nominal if known else 0.02) / 2 * scale
        yield rect(at, middle - half, length.nominal * scale, 2 * half, "d-shaft" if known else "d-shaft d-open")
        at += length.nominal * scale
    if not shaft.sections:
        yield rect(at, middle - 6, _length(shaft) * scale, 12, "d-shaft d-open")


def _diameter_at(shaft: Shaft, place: float) -> float:
    at = 0.0
    for diameter, length in shaft.sections or ():
        at += length.nominal
        if place <= at and np.isfinite(diameter.nominal):
            return diameter.nominal
    return 0.02


def _seat(solved: Solved, shaft: Shaft, seat: Seat, scale: float, middle: float) -> Iterator[str]:
    """What sits there: a bearing as a crossed box, a wheel as a stub with cut ends, a half coupling."""
    if not seat.at.known:
        return
    x, half = EDGE + seat.at.nominal * scale, _diameter_at(shaft, seat.at.nominal) / 2 * scale
    if seat.bearing.state != "missing":
        outside, width = bearing_size(solved, seat)
        open_ = not np.isfinite(outside * width)
        h, w = (18.0, 14.0) if open_ else (outside / 2 * scale, width * scale)
        css = "d-bearing d-open" if open_ else "d-bearing"
        for top, low in ((middle - h, middle - half), (middle + half, middle + h)):
            yield group([rect(x - w / 2, top, w, low - top, css),
                         line((x - w / 2, top), (x + w / 2, low), "d-cross"),
                         line((x - w / 2, low), (x + w / 2, top), "d-cross")], "d-bearing-box")
        return
    kind = _kind(solved, shaft.name, seat.name)
    if kind == "wheel":
        w = 4.0
        yield polygon([(x - w, middle - half - RISE), (x + w, middle - half - RISE + 3), (x + w, middle + half + RISE),
                       (x - w, middle + half + RISE - 3)], "d-hub")
    elif kind == "coupling":
        yield rect(x - 9, middle - half - 6, 18, 2 * half + 12, "d-hub")
    else:
        yield rect(x - 6, middle - half - 4, 12, 2 * half + 8, "d-hub")


def _kind(solved: Solved, shaft: str, seat: str) -> str:
    for stage in solved.machine.stages.values():
        if (shaft, seat) in ((stage.from_, stage.seats[0]), (stage.to, stage.seats[1])):
            return "coupling" if isinstance(stage, InLine) and not isinstance(stage, Ratchet) else "wheel"
    for drive in solved.machine.drives.values():
        ends = (drive.shaft, drive.seat), (getattr(drive, "rewound_from", ""), getattr(drive, "winding_seat", ""))
        if (shaft, seat) in ends and getattr(drive, "teeth", None) is not None:
            return "wheel"
    return "hub"


def _details(solved: Solved, shaft: Shaft, seat: Seat) -> str:
    """Where it sits, and its teeth or its bearing."""
    words = [short(seat.at.nominal, LENGTH).removesuffix(" mm") if seat.at.known else "no place"]
    if seat.rubs:
        words.append("bush")
    if seat.bearing.state != "missing":
        words.append(seat.bearing.name if seat.bearing.known else "not chosen")
    for stage in solved.machine.stages.values():
        for i, end in enumerate(((stage.from_, stage.seats[0]), (stage.to, stage.seats[1]))):
            if end == (shaft.name, seat.name) and isinstance(stage, (RollerChain, GearPair, BevelPair)):
                words.append(f"z {stage.teeth[i].nominal:.0f}" if stage.teeth and stage.teeth[i].known else "z open")
            elif end == (shaft.name, seat.name) and isinstance(stage, Worm):
                count = stage.wheel_teeth if i else stage.starts
                words.append(f"z {count.nominal:.0f}" if count.known else "z open")
    for drive in solved.machine.drives.values():
        ends = (drive.shaft, drive.seat), (getattr(drive, "rewound_from", ""), getattr(drive, "winding_seat", ""))
        z = getattr(drive, "teeth", None)
        if (shaft.name, seat.name) in ends and z is not None and z.known:
            words.append(f"z {z.nominal:.0f}")
    return ", ".join(words)


def _signs(solved: Solved, shaft: Shaft, scale: float) -> list[Sign]:
    """Seats in turn above and below, pushed apart where their words would meet."""
    seats = sorted((s for s in shaft.seats.values() if s.at.known), key=lambda s: s.at.nominal)
    found = []
    for above in (True, False):
        row = []
        for seat in seats[0 if above else 1::2]:
            lines = seat.name, _details(solved, shaft, seat)
            x = EDGE + seat.at.nominal * scale
            row.append(Sign(x, x, max(map(len, lines)) * LETTER + 8, lines, above))
        found += _apart(row)
    return found


def _apart(row: list[Sign]) -> list[Sign]:
    lefts, edge = [], 0.0
    for s in row:
        lefts.append(max(s.centre - s.width / 2, edge))
        edge = lefts[-1] + s.width
    edge = WIDTH
    for i in reversed(range(len(row))):
        lefts[i] = min(lefts[i], edge - row[i].width)
        edge = lefts[i]
    return [Sign(s.seat, left + s.width / 2, s.width, s.lines, s.above) for s, left in zip(row, lefts, strict=True)]


def _sign(s: Sign, middle: float, tallest: float) -> str:
    if s.above:
        base = middle - tallest - 5 - LINE * (len(s.lines) - 1) - 2
        lead = [(s.centre, middle - tallest - 3), (s.seat, middle - tallest + 4)]
    else:
        base = middle + tallest + 5 + 9
        lead = [(s.centre, middle + tallest + 4), (s.seat, middle + tallest - 4)]
    words = [text((s.centre, base + LINE * i), w, "d-text" if i else "d-text d-strong", "middle")
             for i, w in enumerate(s.lines)]
    return group([polyline(lead, "d-leader"), *words], "d-sign")


def _described(solved: Solved, shaft: Shaft) -> str:
    steps = "; ".join(f"{s[0]} over {s[1]}" for s in shaft.sections or ()) or "steps not chosen"
    seats = "; ".join(f"{s.name} at {_details(solved, shaft, s)}" for s in shaft.seats.values())
    return f"{_facts(solved, shaft)}. Steps: {steps}. Seats, in mm from the start: {seats}."
