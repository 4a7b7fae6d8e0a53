"""A run as charts over one time: columns for a page that draws, each line as least and most where it swings."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import pairwise
from typing import Any

import numpy as np
import numpy.typing as npt

from layshaft.faces.running import MOST_MARKS, event_words
from layshaft.trace.units import ENERGY, LENGTH, SPEED, TORQUE
from layshaft.train.motion.peaks import driving_torques, joints_of
from layshaft.train.motion.results import Results
from layshaft.train.motion.wound import heights

Values = npt.NDArray[np.float64]
PLACES, FINE = 900, 8
"""Places along a chart, and moments looked at for each: between two of them lies all that happened there."""

MOST_CURVES = 4
ALIKE = 0.02
"""Torques nowhere further apart than this share of the largest are one line with both names."""

MANY_TURNS, CALM, LEAST_TURN = 60, 6, 0.004
"""Turns of a line that an eye cannot follow along a chart, and what a band of it may have left; a turn is one of at
least this share of its whole height."""

WIDTHS = (3, 5, 9, 17, 33)
"""Places over which least and most are taken together until the band is calm."""

LEAST_SEEN = 0.005
"""Share of the largest below which an energy lies upon the axis and is left out."""

MINUTE = 60.0


def charts(r: Results, begin: float = 0.0, end: float = np.inf) -> dict[str, Any]:
    """The charts of a run, or of the part of it from `begin` to `end` seconds, over one time."""
    m = r.course.motion
    whole = float(m.time[-1])
    begin, end = _within(begin, end, whole)
    edges = np.linspace(begin, end, PLACES * FINE + 1)
    omega = m.at_time(edges)[1]
    time = edges[:-1].reshape(PLACES, FINE)[:, 0] / MINUTE
    found = [("speed", f"speed, {SPEED.printed[0]}", [*_speeds(r, omega), *_wanted_speeds(r)]),
             ("torque", f"torque, {TORQUE.printed[0]}", list(_torques(r, edges))),
             ("height", f"height, {height_unit()}", list(_heights(r, edges))),
             ("energy", f"energy of motion, {ENERGY.printed[0]}", list(_energies(r, omega)))]
    return {"time": {"title": "time, min", "values": _plain(time)}, "whole": whole / MINUTE,
            "charts": [{"name": n, "title": t, "lines": lines} for n, t, lines in found if lines],
            "marks": [{"time": k.time / MINUTE, "kind": k.kind, "name": k.name, "words": event_words(r, k)}
                      for k in r.course.marks[:MOST_MARKS]],
            "windings": list(_windings(r))}


def height_unit() -> str:
    """What heights are drawn in: metres, for which millimetres are too fine, or inches."""
    return "m" if LENGTH.printed[0] == "mm" else LENGTH.printed[0]


def _within(begin: float, end: float, whole: float) -> tuple[float, float]:
    """A part of the run that is at least one place in a hundred thousand of it long."""
    least = whole / 1e5
    begin = min(max(begin, 0.0), whole - least) if np.isfinite(begin) else 0.0
    return begin, max(min(end, whole), begin + least) if np.isfinite(end) else whole


def _windings(r: Results) -> Iterator[dict[str, Any]]:
    """When somebody winds: strips behind the lines."""
    last = float(r.course.motion.time[-1])
    for mark in r.course.marks:
        if mark.kind == "wind":
            over = next((m.time for m in r.course.marks if m.kind == "wound" and m.name == mark.name
                         and m.time >= mark.time), last)
            yield {"begin": mark.time / MINUTE, "end": over / MINUTE, "words": mark.name}


# Lines --------------------------------------------------------------------------------------------


def _speeds(r: Results, omega: Values) -> Iterator[dict[str, Any]]:
    unit = SPEED.units[SPEED.printed[0]]
    for s in r.shafts:
        yield from _band(s.shaft, omega * (abs(r.course.ratio[s.shaft]) / unit))


def _wanted_speeds(r: Results) -> Iterator[dict[str, Any]]:
    unit = SPEED.units[SPEED.printed[0]]
    for s in r.shafts:
        if np.isfinite(s.wanted):
            yield {"name": f"{s.shaft}, wanted", "role": "wanted", "values": [s.wanted / unit] * PLACES}


def _torques(r: Results, edges: Values) -> Iterator[dict[str, Any]]:
    """The torques through the most loaded joints; joints that carry the same are one line."""
    torques, joints = driving_torques(r.course), joints_of(r.course)
    at = np.clip(np.searchsorted(r.course.motion.time, edges, side="right") - 1, 0, len(torques) - 1)
    lines: list[tuple[list[str], Values]] = []
    for i in sorted(range(len(joints)), key=lambda i: -float(np.abs(torques[:, :, i]).max())):
        name, values = " with ".join(joints[i].stages), torques[at, 0, i]
        largest = max((float(np.abs(v).max()) for _, v in lines), default=0.0)
        same = next((names for names, v in lines if float(np.abs(v - values).max()) <= ALIKE * largest), None)
        if same is not None:
            same.append(name)
        elif len(lines) < MOST_CURVES:
            lines.append(([name], values))
    for names, values in lines:
        yield from _band(", ".join(names), values / TORQUE.units[TORQUE.printed[0]])


def _heights(r: Results, edges: Values) -> Iterator[dict[str, Any]]:
    unit = LENGTH.units[height_unit()]
    for name, height in heights(r.course).items():
        values = np.interp(edges[:-1], r.course.motion.time, np.asarray(height, float)).reshape(PLACES, FINE)[:, 0]
        yield {"name": name, "role": "line", "values": _plain(values / unit)}


def _energies(r: Results, omega: Values) -> Iterator[dict[str, Any]]:
    most, unit = max(r.inertias.values(), default=0.0), ENERGY.units[ENERGY.printed[0]]
    for name, inertia in r.inertias.items():
        if inertia > LEAST_SEEN * most:
            yield from _band(name, inertia * omega**2 / 2 / unit)


def _band(name: str, values: Values) -> Iterator[dict[str, Any]]:
    """A line that swings within a place of the chart, as what lies between its least and its most."""
    cut = values[:-1].reshape(PLACES, FINE)
    low, high = cut.min(axis=1), cut.max(axis=1)
    if np.allclose(low, high, rtol=1e-4, atol=0.0):
        yield {"name": name, "role": "line", "values": _plain(cut.mean(axis=1))}
        return
    low, high = _calm(low, high)
    yield {"name": f"{name}, most", "role": "high", "values": _plain(high)}
    yield {"name": f"{name}, least", "role": "low", "values": _plain(low)}


def _calm(low: Values, high: Values) -> tuple[Values, Values]:
    """Least and most over so many places that pulses too close to be told apart are one band."""
    tall = float(np.nanmax(high) - np.nanmin(low))
    low_now, high_now = low, high
    if max(_turns(low, tall), _turns(high, tall)) <= MANY_TURNS:
        return low, high
    for width in WIDTHS:
        low_now, high_now = _over(low, width, np.min), _over(high, width, np.max)
        if max(_turns(low_now, tall), _turns(high_now, tall)) <= CALM:
            break
    return low_now, high_now


def _over(values: Values, width: int, which: Any) -> Values:
    """Least or most of the places around each."""
    padded = np.pad(values, width // 2, mode="edge")
    found: Values = which(np.lib.stride_tricks.sliding_window_view(padded, width), axis=1)
    return found


def _turns(values: Values, tall: float) -> int:
    """How often a line turns back by more than can be seen."""
    steps = [float(b - a) for a, b in pairwise(values) if abs(b - a) > LEAST_TURN * tall]
    return sum(a * b < 0 for a, b in pairwise(steps))


def _plain(values: Values) -> list[float | None]:
    return [float(f"{v:.6g}") if np.isfinite(v) else None for v in values]
