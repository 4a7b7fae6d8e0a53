"""A run as it is read: what it comes to in a few sentences, and tables of what was wanted, speeds, peaks and events."""

from __future__ import annotations

from collections.abc import Iterator
from html import escape

import numpy as np

from layshaft.faces.pages.words import cell, part_words, table, verdict_words
from layshaft.faces.run_wants import Answer
from layshaft.faces.running import MOST_MARKS, caution_words, clock, event_words
from layshaft.trace.findings import WORST_FIRST, Finding
from layshaft.trace.units import FORCE, POWER, SPEED, TIME, TORQUE, figure, shown
from layshaft.train.energy import running_time
from layshaft.train.motion.results import Results, ShaftRun
from layshaft.train.motion.wound import Wound
from layshaft.verdict.run_wants import came_out

WANTED = "wanted: "
REST = "; the other wants (speed, swing in a turn, time of a winding, start) are judged in the verdict."
SWING = ('<p class="note">The swing here is that of the run itself, by the pulses of what it lifts and strikes. '
         "The verdict adds links, teeth and runout, each in its worst phase, so it counts more.</p>")
LEAST_OFF = 0.0005
"""A speed nearer than this share to what is wanted is called as wanted."""


def told_first(r: Results, answer: Answer) -> str:
    """What the run comes to, before any chart. An HTML fragment."""
    told = [*_lasts(r), *(w for s in r.shafts for w in _turned(r, s)), *_asked(answer)]
    return f'<p class="about run-sum">{" ".join(escape(words) for words in told)}</p>'


def _lasts(r: Results) -> Iterator[str]:
    """How long it ran, how long a winding lasts, what the person gives."""
    if not r.wound:
        yield f"It ran for {_about(float(r.course.motion.time[-1]))}."
    for w in r.wound:
        lasts = (f"One winding of {w.weight} lasts {_about(w.per_winding)}{_many(w)}" if np.isfinite(w.per_winding) else
                 f"How long one winding of {w.weight} lasts is not known")
        yield f"{lasts}{_given(w)}."
        yield from _against_verdict(r, w)


def _against_verdict(r: Results, w: Wound) -> Iterator[str]:
    """Why a winding lasts another time in the verdict."""
    steady = float(np.mean(running_time(r.course.solved, w.weight, 0)))
    if np.isfinite(w.per_winding) and np.isfinite(steady) and abs(steady / w.per_winding - 1) > LEAST_OFF:
        yield (f"Those {_about(w.per_winding)} are the mean of this run, changes and all; the verdict counts a winding "
               f"of even running with everything engaged, without pulses: {_about(steady)} ({shown(steady, TIME)}).")


def _many(w: Wound) -> str:
    return f", and the run takes {figure(w.windings, 2)} of them" if np.isfinite(w.windings) else ""


def _given(w: Wound) -> str:
    """What is asked of the person, at the hardest of the bouts."""
    bouts = [b for b in w.bouts if np.isfinite(b.power)]
    if not bouts:
        return ""
    hardest = max(bouts, key=lambda b: b.power)
    often = "once" if len(bouts) == 1 else f"{len(bouts)} times"
    return (f"; whoever winds gives {shown(hardest.power, POWER, digits=2)} for {_about(hardest.lasted)} at a time, "
            f"{often} in the run, with {shown(hardest.force, FORCE, digits=2)} at the handle; at the hardest push "
            f"{shown(hardest.peak_power, POWER, digits=2)} with {shown(hardest.peak_force, FORCE, digits=2)}")


def _turned(r: Results, s: ShaftRun) -> Iterator[str]:
    if not (np.isfinite(s.mean) and np.isfinite(s.wanted) and s.wanted > 0):
        return
    even = _even(r, s.shaft)
    yield f"Where nothing is changed, {s.shaft} turns at {shown(even, SPEED, digits=3)}, {_off(even, s.wanted)}."
    if abs(s.mean / even - 1) > LEAST_OFF:
        yield f"Over the whole run, changes and all, it is {shown(s.mean, SPEED, digits=3)}."
    slowest, fastest = _extremes(r, s.shaft)
    if np.isfinite(slowest):
        yield (f"Once settled, it is slowest at {shown(slowest, SPEED, digits=3)} and fastest at "
               f"{shown(fastest, SPEED, digits=3)}.")


def _extremes(r: Results, shaft: str) -> tuple[float, float]:
    """Slowest and fastest speed from when the run has settled to the end of steady running, pulses and changes and all.

    Between two edges of a run the speed only rises or only falls, so both stand at edges.
    """
    m = r.course.motion
    there = m.omega[(m.time >= r.settled) & (m.time <= r.ends)] * abs(r.course.ratio[shaft])
    return (float(there.min()), float(there.max())) if there.size else (float("nan"), float("nan"))


def _even(r: Results, shaft: str) -> float:
    """Mean speed in the longest part of the run without a change: what the wanted speed is held against."""
    return r.course.mean(*r.even) * abs(r.course.ratio[shaft])


def _off(speed: float, wanted: float) -> str:
    off = speed / wanted - 1
    if abs(off) < LEAST_OFF:
        return "as wanted"
    return f"{figure(abs(100 * off), 2)} % {'faster' if off > 0 else 'slower'} than wanted"


def _asked(answer: Answer) -> Iterator[str]:
    found = answer.findings
    if found and all(f.verdict == "holds" for f in found):
        yield f"What only a run can answer holds, {len(found)} of {len(found)}{REST}" if len(found) > 1 else (
            f"The one want that only a run can answer holds{REST}")
    elif found:
        counts = ((w, sum(f.verdict == w for f in found)) for w in WORST_FIRST)
        yield f"Of what only a run can answer: {', '.join(f'{n} {w}' for w, n in counts if n)}{REST}"


def _about(seconds: float) -> str:
    """A time as one says it."""
    if seconds < 59.5:
        return f"{figure(seconds, 2)} s"
    minutes, rest = divmod(round(seconds), 60)
    hours, minutes = divmod(minutes, 60)
    parts = [f"{hours} h" if hours else "", f"{minutes} min" if minutes else "", f"{rest} s" if rest else ""]
    return " ".join(part for part in parts[:2 if hours else 3] if part)


def run_cautions(r: Results) -> str:
    """What can hurt somebody in such a run. An HTML fragment."""
    return f'<ul class="cautions">{"".join(f"<li>{escape(words)}</li>" for words in caution_words(r))}</ul>'


# Tables -------------------------------------------------------------------------------------------


def run_tables(r: Results, answer: Answer) -> str:
    """What the run says of what was wanted, of speeds, peaks and events. An HTML fragment."""
    return "".join([_stopped(r), _wanted(answer), _shafts(r), _peaks(r), _events(r)])


def _stopped(r: Results) -> str:
    return f'<p class="next"><b>It stopped.</b> {escape(r.stopped)}</p>' if r.stopped else ""


def _wanted(answer: Answer) -> str:
    rows = "".join(_finding(f) for f in answer.findings)
    heads = "Name, and what it asks", "Verdict", "As it came out", "Wanted", "Why"
    words = f'<p class="note">{escape(answer.words)}</p>' if answer.words else ""
    body = table("ledger", "Wants that only a run can answer", heads, f"<tbody>{rows}</tbody>", (2, 3)) if rows else ""
    return body + words


def _finding(f: Finding) -> str:
    came, wanted, least = came_out(f)
    mode, part = f.mode, part_words(f.part).removeprefix(WANTED)
    came_text = escape(shown(came, f.dimension))
    limit = f"at {'least' if least else 'most'} {shown(wanted, f.dimension)}"
    return (f'<tr><th scope="row"><b>{escape(part)}</b> <span class="of">{escape(mode)}</span></th>'
            f'{cell("Verdict", verdict_words(f.verdict))}{cell("As it came out", came_text, "num")}'
            f'{cell("Wanted", escape(limit), "num")}{cell("Why", escape(f.reason or f.note))}</tr>')


def _shafts(r: Results) -> str:
    rows = "".join(_shaft(r, s) for s in r.shafts)
    begin, end = r.even
    settled = f"from when it has settled, after {clock(r.settled)}" if np.isfinite(r.settled) else "it never settles"
    caption = (f"Speeds. Even part: the longest without a change, {clock(begin)} to {clock(end)}; "
               f"whole run: changes and all, {settled}")
    heads = "Shaft", "Wanted", "Mean, even part", "Off by", "Swing in a turn, by pulses", "Mean, whole run"
    return table("ledger", caption, heads, f"<tbody>{rows}</tbody>", (1, 2, 3, 4, 5)) + SWING if rows else ""


def _shaft(r: Results, s: ShaftRun) -> str:
    wanted, even = np.isfinite(s.wanted), _even(r, s.shaft)
    cells = (("Wanted", shown(s.wanted, SPEED) if wanted else ""), ("Mean, even part", shown(even, SPEED)),
             ("Off by", _share(even / s.wanted - 1) if wanted else ""), ("Swing in a turn, by pulses", _share(s.swing)),
             ("Mean, whole run", shown(s.mean, SPEED)))
    return f'<tr><th scope="row">{escape(s.shaft)}</th>{"".join(cell(h, escape(v), "num") for h, v in cells)}</tr>'


def _share(value: float) -> str:
    return f"{figure(100 * value, 3)} %" if np.isfinite(value) else ""


def _peaks(r: Results) -> str:
    rows = "".join(
        f'<tr><th scope="row">{escape(p.stage)}</th>{cell("At its first shaft", escape(shown(p.first, TORQUE)), "num")}'
        f'{cell("At its second", escape(shown(p.second, TORQUE)), "num")}'
        f'{cell("When", escape(clock(p.time)), "num")}</tr>'
        for p in sorted(r.peaks, key=lambda p: p.stage))
    heads = "Stage", "At its first shaft", "At its second", "When"
    found = table("ledger", "Largest torque of each stage", heads, f"<tbody>{rows}</tbody>", (1, 2, 3)) if rows else ""
    return f'<div class="peaks">{found}{_not_run(r)}</div>' if found else ""


def _not_run(r: Results) -> str:
    """Stages that do not turn with what was run, such as those a weight is wound by."""
    left = sorted(set(r.course.solved.machine.stages) - {p.stage for p in r.peaks})
    return (f'<p class="note">Not in it, for they do not turn with the train that runs: {escape(", ".join(left))}. '
            "Their torques stand at the parts.</p>") if left else ""


def _events(r: Results) -> str:
    marks = r.course.marks
    items = "".join(f"<li><b>{escape(clock(k.time))}</b> {escape(event_words(r, k))}</li>" for k in marks[:MOST_MARKS])
    more = f"<li>and {len(marks) - MOST_MARKS} more</li>" if len(marks) > MOST_MARKS else ""
    return (f'<section class="happened"><h3>What happened</h3><ol class="events">{items}{more}</ol></section>' if items
            else "")
