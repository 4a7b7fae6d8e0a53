"""What `layshaft run` prints: how the run went, in tables a reader can check against each other."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from typing import Any

import numpy as np

from layshaft.faces.text import wrapped
from layshaft.faces.uneven_turning import by_source_text
from layshaft.trace.units import ENERGY, FORCE, LENGTH, POWER, RATIO, SPEED, TIME, TORQUE, figure, shown
from layshaft.train.motion.changes import Changed
from layshaft.train.motion.course import BROKEN_OFF, STILL, STUCK, Mark
from layshaft.train.motion.drift import drifts
from layshaft.train.motion.results import Results, ShaftRun
from layshaft.train.motion.run import TIME as TIME_IS_OVER
from layshaft.train.motion.wound import BoutDone, Wound
from layshaft.verdict.cautions import DEFER

ENDS = {
    TIME_IS_OVER: "its time was over", STILL: "all was still", STUCK: "it stopped by itself",
    BROKEN_OFF: "it was broken off here; what follows is the part that was done",
}
EVENTS = {
    "change": "{0} begins", "wind": "winding: {0}", "wound": "{0} is over", "brake": "{0} is put on",
    "freed": "{0} is let go", "landed": "{0} is at the end of its drop", "still": "all is still", "stuck": "it stops",
}
MOST_MARKS = 24
LEAST_SHARE = 1e-5
LEAST_CHANGE = 0.001
"""Droop below which a change is only counted."""

LEAST_LINE = 0.005
"""Share of what went in below which a loss is summed up with others."""


def run_text(r: Results, wanted: Iterable[str] = ()) -> str:
    """The whole answer of `layshaft run`; `wanted` says how what is wanted of it came out."""
    machine = r.course.solved.machine
    m = r.course.motion
    head = [
        machine.title + (f", with {machine.label}" if machine.label else ""),
        wrapped(f"A run of {clock(float(m.time[-1]))}, {figure(float(m.angle[-1]) / (2 * np.pi))} turns of {m.root}; "
                f"{ENDS.get(r.course.ended, r.course.ended)}."),
    ]
    lines = [*head, *_stopped(r), *_events(r), *_speeds(r), *_timing(r), *by_source_text(r), *_drift(r),
             *_changes(r), *_combinations(r), *_weights(r), *wanted, *_peaks(r), *_books(r), *_notes(r), *_cautions(r)]
    return "\n".join(lines)


def clock(seconds: float) -> str:
    """A time of a run: seconds up to a minute or two, else minutes and seconds."""
    if not np.isfinite(seconds):
        return "never"
    if seconds < 120:
        return f"{seconds:.1f} s"
    return f"{int(seconds // 60)} min {seconds % 60:04.1f} s"


def _percent(share: float, digits: int = 3) -> str:
    return shown(share, RATIO, "%", digits) if np.isfinite(share) else "-"


def _signed(share: float) -> str:
    if not np.isfinite(share):
        return "-"
    return f"{100 * share:+.2g} %" if abs(share) >= LEAST_SHARE else "< 0.001 %"


def _speed(omega: float) -> str:
    return shown(omega, SPEED) if np.isfinite(omega) else "-"


def _stopped(r: Results) -> Iterator[str]:
    if r.stopped:
        yield wrapped(r.stopped)


def _events(r: Results) -> Iterator[str]:
    marks = r.course.marks
    yield from ("", "WHAT HAPPENED")
    settled = f"settled after {clock(r.settled)}: from then on the mean speed stays within 1 %" if np.isfinite(
        r.settled) else "its mean speed had not settled to within 1 % before something else came"
    yield wrapped(settled, "    ", "  ")
    for mark in marks[:MOST_MARKS]:
        yield f"  {clock(mark.time):>14}  {event_words(r, mark)}"
    if len(marks) > MOST_MARKS:
        yield f"  and {len(marks) - MOST_MARKS} more"


def event_words(r: Results, mark: Mark) -> str:
    """What happened, in words."""
    words = EVENTS[mark.kind].format(mark.name)
    if mark.kind in ("brake", "landed"):
        still = next((m.time for m in r.course.marks if m.kind == "still" and m.time >= mark.time), None)
        words += f"; still {clock(still - mark.time)} later" if still is not None else ""
    return words


def _speeds(r: Results) -> Iterator[str]:
    yield from ("", "SPEED, once settled")
    yield f"  {'':<20}{'mean':>14}{'wanted':>14}{'mean error':>12}{'swing in a turn':>18}"
    for s in r.shafts:
        yield (f"  {s.shaft:<20}{_speed(s.mean):>14}{_speed(s.wanted):>14}{_signed(s.error):>12}"
               f"{_percent(s.swing):>18}")
    begin, end = r.even
    yield wrapped(f"swing: (largest - smallest) / mean in the worst turn; it and the timing are of the longest part of "
                  f"the run without a change, {clock(begin)} to {clock(end)}.", "  ")


def _timing(r: Results) -> Iterator[str]:
    found = [s for s in r.shafts if s.timing is not None]
    if not found:
        return
    yield from ("", "TIMING, against even spacing: of each turn, or of each drop of what a cam lifts")
    yield (f"  {'':<24}{'counted':>8}{'spacing':>12}{'mean rate':>12}{'drift of rate':>15}{'scatter':>12}"
           f"{'furthest off':>14}")
    for s in found:
        yield _timing_line(s)
    yield wrapped("mean rate: how fast in all, cured by trim or weight; drift: how much faster at the end than at the "
                  "beginning, by what warms or wears; scatter: how far single ones are off that, cured by flywheel, "
                  "lift or gearing.", "  ")


def _drift(r: Results) -> Iterator[str]:
    """What moves the rate over hours and seasons."""
    if not r.shafts:
        return
    found = drifts(r.course.solved, r.shafts[0].shaft)
    yield from ("", f"SLOW DRIFT OF THE RATE of {r.shafts[0].shaft}, each alone")
    for d in found:
        first, last = map(_signed, d.rate)
        told = f"{first} at {d.begins}, {last} at {d.ends}" if d.moves else "none"
        yield wrapped(f"{d.what}: {told}", "    ", "  ")
    if not any(d.what.startswith("air") for d in found):
        yield wrapped("air: not told; the venue states no coldest, warmest or air density", "    ", "  ")
    yield wrapped("Weather, oil that thickens and chains that dry come on top; a trim takes out what stays for "
                  "an hour.", "  ")


def _timing_line(s: ShaftRun) -> str:
    t = s.timing
    assert t is not None
    return (f"  {s.event:<24}{t.events:>8}{shown(t.spacing, TIME):>12}{_signed(t.rate_error):>12}"
            f"{_signed(t.drift):>15}{shown(t.scatter, TIME, digits=2):>12}{shown(t.worst, TIME, digits=2):>14}")


def _changes(r: Results) -> Iterator[str]:
    if not r.changes:
        return
    turns, shaft = abs(r.course.ratio[r.shafts[0].shaft]), r.shafts[0].shaft
    told = [c for c in r.changes if not abs(c.droop) < LEAST_CHANGE]
    yield from ("", f"CHANGES, mean speed of {shaft} over one cycle")
    if told:
        yield f"  {'':<15}{'':<20}{'before':>15}{'furthest':>15}{'droop':>9}{'comes to':>15}   within 1 % after"
    for change in told:
        yield _change_line(change, turns)
    if len(told) < len(r.changes):
        most = max(abs(c.droop) for c in r.changes if c not in told)
        yield wrapped(f"{len(r.changes) - len(told)} {'more' if told else 'changes'}, none of which moves it by more "
                      f"than {_percent(most, 2)}.", "  ")


def _change_line(c: Changed, turns: float) -> str:
    return (f"  {clock(c.time):<15}{c.name:<20}{_speed(c.before * turns):>15}{_speed(c.furthest * turns):>15}"
            f"{_signed(c.droop):>9}{_speed(c.level * turns):>15}   {clock(c.recovery)}")


def _combinations(r: Results) -> Iterator[str]:
    if not r.combinations:
        return
    turns = abs(r.course.ratio[r.shafts[0].shaft])
    known = [c for c in r.combinations if np.isfinite(c.mean)]
    yield from ("", f"EVERY COMBINATION OF LOADS, settled: {r.shafts[0].shaft}")
    for c in sorted(known, key=lambda c: c.mean):
        name = f"without {' and '.join(c.off)}" if c.off else "all engaged"
        yield f"  {name:<44}{_speed(c.mean * turns):>12}   swing {_percent(c.swing)}"
    if known:
        slow, rough = min(known, key=lambda c: c.mean), max(known, key=lambda c: np.nan_to_num(c.swing))
        names = [f"without {' and '.join(c.off)}" if c.off else "all engaged" for c in (slow, rough)]
        yield wrapped(f"slowest: {names[0]}; largest swing: {names[1]}.", "  ")


def _weights(r: Results) -> Iterator[str]:
    for w in r.wound:
        yield from ("", f"WINDING: {w.weight}")
        yield from _drop(r, w)
        if w.bouts:
            yield (f"  {'':<15}{'':<20}{'lasts':>9}{'lifts':>10}{'handle':>10}{'power':>10}{'hardest push':>14}"
                   f"{'power':>10}{'in all':>11}")
        for bout in w.bouts:
            yield _bout(bout)


def _drop(r: Results, w: Wound) -> Iterator[str]:
    if not np.isfinite(w.per_winding):
        return
    time = r.course.programme.time
    run = f"; a run of {clock(time)} takes {figure(w.windings, 3)} windings" if np.isfinite(time) else ""
    yield wrapped(f"One winding lasts {clock(w.per_winding)} at the mean speed of the run{run}. Lowest in this run: "
                  f"{shown(w.lowest, LENGTH)} above the end of its drop, at {clock(w.lowest_at)}.", "  ")


def _bout(b: BoutDone) -> str:
    return (f"  {clock(b.time):<15}{b.name:<20}{clock(b.lasted):>9}{shown(b.lifted, LENGTH):>10}"
            f"{shown(b.force, FORCE):>10}{shown(b.power, POWER):>10}{shown(b.peak_force, FORCE):>14}"
            f"{shown(b.peak_power, POWER):>10}{shown(b.work, ENERGY):>11}")


def _peaks(r: Results) -> Iterator[str]:
    yield from ("", "LARGEST TORQUE OF EACH STAGE")
    yield f"  {'':<28}{'at its first shaft':>20}{'at its second':>16}   when"
    for p in sorted(r.peaks, key=lambda p: p.stage):
        yield f"  {p.stage:<28}{shown(p.first, TORQUE):>20}{shown(p.second, TORQUE):>16}   {clock(p.time)}"


def _books(r: Results) -> Iterator[str]:
    whole = r.books.total("in")
    yield from ("", "ENERGY OF THE RUN")
    small = 0.0
    for kind, head in (("in", "from"), ("used", "used by"), ("lost", "lost in")):
        for line in (x for x in r.books.lines if x.kind == kind):
            if kind == "lost" and abs(line.work) < LEAST_LINE * whole:
                small += line.work
            else:
                yield _energy(f"{head} {line.name}", line.work)
    rest: list[tuple[str, Any]] = [("lost in small losses together", small), ("taken by the floor", r.books.landing)]
    rest += [(f"in motion at the end: {name}", value) for name, value in r.books.moving.items()]
    for name, value in rest:
        if value:
            yield _energy(name, value)
    yield wrapped(f"The books leave {r.books.open:.1g} of it open.", "  ")


def _energy(name: str, value: float) -> str:
    return f"  {name:<52}{shown(value, ENERGY):>14}"


def _notes(r: Results) -> Iterator[str]:
    yield from ("", "HOW IT WAS RECKONED")
    yield wrapped(f"{r.method}; estimated error of the angle turned {r.error:.1g}.", "    ", "  ")
    yield wrapped("Shafts, teeth and chains are taken as rigid and true, but for swing and timing by source; air, oil "
                  "and temperature stay as they are, so drift comes from the programme alone.", "    ", "  ")
    for note in r.notes:
        yield wrapped(note, "    ", "  ")


def _cautions(r: Results) -> Iterator[str]:
    yield from ("", "CAUTIONS")
    yield from (wrapped(words, "    ", "  ") for words in caution_words(r))


def caution_words(r: Results) -> Iterator[str]:
    """What can hurt somebody in a run like this one."""
    if r.wound:
        yield ("Keep the place below a weight closed off for the whole run and while it is wound, and fingers out of "
               "every place where chain or rope meets a wheel.")
    moving = float(np.max(r.course.motion.omega)) ** 2 / 2 * sum(r.inertias.values())
    yield (f"Up to {shown(moving, ENERGY)} are stored in what turns: it runs on after the drive lets go, and a jam "
           "meets all of it at once. Let it come to rest before anyone reaches in.")
    yield DEFER
