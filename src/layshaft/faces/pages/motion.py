"""A run as charts over one time and as tables: columns for a page that draws, fragments for one that is read."""

from __future__ import annotations

from collections.abc import Iterator
from html import escape
from typing import Any

import numpy as np
import numpy.typing as npt

from layshaft.faces.pages.words import cell, name_words, table, verdict_words
from layshaft.faces.run_wants import Answer
from layshaft.faces.running import MOST_MARKS, clock, event_words
from layshaft.trace.findings import Finding
from layshaft.trace.units import SPEED, TORQUE, figure, shown
from layshaft.train.motion.peaks import driving_torques, joints_of
from layshaft.train.motion.results import Results
from layshaft.train.motion.wound import heights

Values = npt.NDArray[np.float64]
PLACES, FINE = 900, 8
"""Places along a chart, and moments looked at for each: between two of them lies all that happened there."""

MOST_CURVES = 5
MINUTE = 60.0


def charts(r: Results) -> dict[str, Any]:
    """The charts of a run over one time, each line as least and most within each place where it swings."""
    m = r.course.motion
    edges = np.linspace(0.0, float(m.time[-1]), PLACES * FINE + 1)
    omega = m.at_time(edges)[1]
    time = edges[:-1].reshape(PLACES, FINE)[:, 0] / MINUTE
    unit = SPEED.printed[0]
    turns = {s.shaft: abs(r.course.ratio[s.shaft]) / SPEED.units[unit] for s in r.shafts}
    speeds = [line for shaft, over in turns.items() for line in _band(shaft, omega * over)]
    speeds += [{"name": f"{s.shaft}, wanted", "role": "wanted", "values": [s.wanted / SPEED.units[unit]] * PLACES}
               for s in r.shafts if np.isfinite(s.wanted)]
    found = [{"name": "speed", "title": f"speed, {unit}", "lines": speeds},
             {"name": "torque", "title": f"torque, {TORQUE.printed[0]}", "lines": list(_torques(r, edges))},
             {"name": "height", "title": "height, m", "lines": list(_heights(r, edges))},
             {"name": "energy", "title": "energy of motion, J", "lines": list(_energies(r, omega))}]
    marks = [{"time": k.time / MINUTE, "words": event_words(r, k)} for k in r.course.marks[:MOST_MARKS]]
    return {"time": {"title": "time, min", "values": _plain(time)}, "charts": [c for c in found if c["lines"]],
            "marks": marks}


def _band(name: str, values: Values) -> Iterator[dict[str, Any]]:
    """A line that swings within a place of the chart, as what lies between its least and its most."""
    cut = values[:-1].reshape(PLACES, FINE)
    low, high = cut.min(axis=1), cut.max(axis=1)
    if np.allclose(low, high, rtol=1e-4, atol=0.0):
        yield {"name": name, "role": "line", "values": _plain(cut.mean(axis=1))}
        return
    yield {"name": f"{name}, most", "role": "high", "values": _plain(high)}
    yield {"name": f"{name}, least", "role": "low", "values": _plain(low)}


def _torques(r: Results, edges: Values) -> Iterator[dict[str, Any]]:
    """The torques through the most loaded joints."""
    torques, joints = driving_torques(r.course), joints_of(r.course)
    chosen = sorted(range(len(joints)), key=lambda i: -float(np.abs(torques[:, :, i]).max()))[:MOST_CURVES]
    at = np.clip(np.searchsorted(r.course.motion.time, edges, side="right") - 1, 0, len(torques) - 1)
    for i in sorted(chosen):
        name = f"{' with '.join(joints[i].stages)}, on {joints[i].child}"
        yield from _band(name, torques[at, 0, i] / TORQUE.units[TORQUE.printed[0]])


def _heights(r: Results, edges: Values) -> Iterator[dict[str, Any]]:
    for name, height in heights(r.course).items():
        values = np.interp(edges[:-1], r.course.motion.time, np.asarray(height, float)).reshape(PLACES, FINE)[:, 0]
        yield {"name": name, "role": "line", "values": _plain(values)}


def _energies(r: Results, omega: Values) -> Iterator[dict[str, Any]]:
    for name, inertia in r.inertias.items():
        yield from _band(name, inertia * omega**2 / 2)


def _plain(values: Values) -> list[float | None]:
    return [float(f"{v:.6g}") if np.isfinite(v) else None for v in values]


# What is read --------------------------------------------------------------------------------------


def run_tables(r: Results, answer: Answer) -> str:
    """What the run says of what was wanted, of speeds, peaks and events. An HTML fragment."""
    return "".join([_stopped(r), _wanted(answer), _shafts(r), _peaks(r), _events(r)])


def _stopped(r: Results) -> str:
    return f'<p class="next"><b>It stopped.</b> {escape(r.stopped)}</p>' if r.stopped else ""


def _wanted(answer: Answer) -> str:
    rows = "".join(_finding(f) for f in answer.findings)
    heads = "Wanted of the run", "Verdict", "As it came out", "Wanted", "Why"
    words = f'<p class="note">{escape(answer.words)}</p>' if answer.words else ""
    body = table("ledger", "What is wanted of the run", heads, f"<tbody>{rows}</tbody>", (2, 3)) if rows else ""
    return body + words


def _finding(f: Finding) -> str:
    return (f'<tr><th scope="row">{escape(name_words(f))}: {escape(f.mode)}</th>'
            f'{cell("Verdict", verdict_words(f.verdict))}{cell("As it came out", escape(f.demand_text), "num")}'
            f'{cell("Wanted", escape(f.rating_text), "num")}{cell("Why", escape(f.reason or f.note))}</tr>')


def _shafts(r: Results) -> str:
    rows = "".join(
        f'<tr><th scope="row">{escape(s.shaft)}</th>{cell("Mean", escape(shown(s.mean, SPEED)), "num")}'
        f'{cell("Wanted", escape(shown(s.wanted, SPEED)) if np.isfinite(s.wanted) else "", "num")}'
        f'{cell("Off by", _share(s.error), "num")}{cell("Swing in a turn", _share(s.swing), "num")}</tr>'
        for s in r.shafts)
    heads = "Shaft", "Mean", "Wanted", "Off by", "Swing in a turn"
    settled = f"settled after {clock(r.settled)}" if np.isfinite(r.settled) else "it never settles"
    return table("ledger", f"Speeds, once it runs evenly ({settled})", heads, f"<tbody>{rows}</tbody>", (1, 2, 3, 4))


def _share(value: float) -> str:
    return f"{figure(100 * value, 3)} %" if np.isfinite(value) else ""


def _peaks(r: Results) -> str:
    rows = "".join(
        f'<tr><th scope="row">{escape(p.stage)}</th>{cell("At its first shaft", escape(shown(p.first, TORQUE)), "num")}'
        f'{cell("At its second", escape(shown(p.second, TORQUE)), "num")}'
        f'{cell("When", escape(clock(p.time)), "num")}</tr>'
        for p in sorted(r.peaks, key=lambda p: p.stage))
    heads = "Stage", "At its first shaft", "At its second", "When"
    return table("ledger", "Largest torque of each stage", heads, f"<tbody>{rows}</tbody>", (1, 2, 3)) if rows else ""


def _events(r: Results) -> str:
    marks = r.course.marks
    items = "".join(f"<li><b>{escape(clock(k.time))}</b> {escape(event_words(r, k))}</li>" for k in marks[:MOST_MARKS])
    more = f"<li>and {len(marks) - MOST_MARKS} more</li>" if len(marks) > MOST_MARKS else ""
    return f'<h3>What happened</h3><ol class="events">{items}{more}</ol>' if items else ""
