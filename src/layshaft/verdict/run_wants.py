"""What the builder asks of a run over time, held against the figures of the last run of the machine as it stands.

Without such figures every one of these wants is unknown: a run is made on demand.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass, replace

import numpy as np

from layshaft.machine.model import Want
from layshaft.trace.findings import WORST_FIRST, Finding, verdicts
from layshaft.trace.source import Source
from layshaft.trace.units import POWER, RATIO, TIME, Dimension, shown
from layshaft.train.cases import RUNNING
from layshaft.train.motion.figures import Figures, RunSeen, Timed

RIGID = Source("rigid train over time, from edge to edge of every lift", obtained="derived")
TITLE = "a run over time"
LEAST_EVENTS = 4
SHARE = replace(RATIO, shown=("%",))
"""A ratio that is told as a share of a whole."""

SLACK = 1e-9
"""Share of a time by which a run may miss it: a sum of stretches ends at the last digit but one."""


AIR = ("what air does to its fan is not known: state venue.coldest, venue.warmest and venue.air density, and the "
       "vanes of the fan, not its constant or an air of its own")


@dataclass(frozen=True, slots=True)
class Seen:
    """What a run says to one want: a number, or why there is none; `note` says where it comes from."""

    value: float
    why: str = ""
    note: str = ""


@dataclass(frozen=True, slots=True)
class _Asks:
    mode: str
    dimension: Dimension
    seen: Callable[[Figures, Want], Seen]
    least: bool = False
    """True where the wanted value is the least, not the most."""


def of_run(want: Want, run: RunSeen) -> Iterator[Finding]:
    """One finding for each key of a want that only a run can answer."""
    for key, asks in ASKS.items():
        if getattr(want, key).known:
            yield _finding(want, key, asks, run)


def asked(wants: dict[str, Want]) -> bool:
    """Whether any want needs a run."""
    return any(getattr(want, key).known for want in wants.values() for key in ASKS)


def came_out(f: Finding) -> tuple[float, float, bool]:
    """What the run gave, what was wanted of it, and whether that is the least."""
    least = any(asks.least and asks.mode == f.mode for asks in ASKS.values())
    return (f.rating, f.demand, True) if least else (f.demand, f.rating, False)


def _finding(want: Want, key: str, asks: _Asks, run: RunSeen) -> Finding:
    given, limit = getattr(want, key), float(getattr(want, key).nominal)
    seen = asks.seen(run.figures, want) if run.figures is not None else Seen(np.nan, run.why)
    if asks.least:
        demand, rating, margin = limit, seen.value, seen.value * (1 + SLACK) / limit
    else:
        demand, rating, margin = seen.value, limit, limit / np.maximum(seen.value, limit * 1e-6)
    code = verdicts(demand, rating, margin, 1.0, False)
    reason = "" if np.isfinite(seen.value) else seen.why or "the run gives no such number"
    mode = asks.mode.format(shaft=want.shaft or "?", crank=want.crank or "the crank")
    return Finding(want.path, "", mode, RUNNING, TITLE, asks.dimension, demand, rating, float(margin), 1.0,
                   WORST_FIRST[int(code)], RIGID, given.origin, reason=reason, note=seen.note)


# What the figures say -----------------------------------------------------------------------------


def _timing(name: str) -> Callable[[Figures, Want], Seen]:
    def seen(figures: Figures, want: Want) -> Seen:
        if not want.shaft:
            return Seen(np.nan, f"name the shaft its events are of: {want.path}.shaft")
        timed = figures.timed.get(want.shaft)
        if timed is None:
            return Seen(np.nan, f"{want.shaft} does not turn with the train that was run")
        if timed.events < LEAST_EVENTS:
            return Seen(np.nan, f"only {timed.events} {timed.event} in the longest part of the run without a change")
        return _of_events(timed, name, want)

    return seen


def _of_events(timed: Timed, name: str, want: Want) -> Seen:
    value = abs(float(getattr(timed, name)))
    why = "" if name != "rate_error" else f"no rate is wanted: state {want.path}.speed"
    note = f"of {timed.events} {timed.event} in the longest part of the run without a change"
    if name == "scatter":
        note += f"; {shown(timed.of_shape, TIME)} of it by chains, teeth and runout"
    if name != "drift":
        return Seen(value, why, note)
    slow = f", and {100 * timed.slow:.2g} % by air and drag" if np.isfinite(timed.slow) else ""
    return Seen(value + timed.slow, AIR, f"{100 * value:.2g} % {note}{slow}")


def _settled(figures: Figures, _want: Want) -> Seen:
    return Seen(figures.settled, "its mean speed had not settled before something else came in the run")


def _lasted(figures: Figures, want: Want) -> Seen:
    if want.run_time.nominal > figures.lasted and figures.lasted >= figures.time * (1 - SLACK):
        return Seen(np.nan, "the programme is over before: give it at least this time")
    return Seen(figures.lasted)


def _droop(figures: Figures, _want: Want) -> Seen:
    known = np.isfinite(figures.droop)
    return Seen(figures.droop, figures.droop_at, f"largest at '{figures.droop_at}'" if known else "")


def _wind_every(figures: Figures, _want: Want) -> Seen:
    shortest = min(figures.per_winding.items(), key=lambda item: item[1], default=("", np.nan))
    return Seen(float(shortest[1]), "no weight drives the run", f"of {shortest[0]}")


def _power(name: str) -> Callable[[Figures, Want], Seen]:
    def seen(figures: Figures, want: Want) -> Seen:
        bouts = [b for b in figures.asked if not want.crank or b.crank == want.crank]
        if not bouts:
            return Seen(np.nan, f"nobody winds{f' with {want.crank}' if want.crank else ''} in the run")
        hardest = max(bouts, key=lambda b: np.nan_to_num(getattr(b, name), nan=np.inf))
        return Seen(float(getattr(hardest, name)), "", f"largest in '{hardest.bout}'")

    return seen


ASKS = {
    "rate_error": _Asks("timing of {shaft}: error of the mean rate", SHARE, _timing("rate_error")),
    "drift": _Asks("timing of {shaft}: drift of the rate", SHARE, _timing("drift")),
    "scatter": _Asks("timing of {shaft}: scatter about the rate", TIME, _timing("scatter")),
    "settle_time": _Asks("settling time from rest", TIME, _settled),
    "run_time": _Asks("run got through with the windings of the programme", TIME, _lasted, least=True),
    "droop": _Asks("change of the mean speed at a change", SHARE, _droop),
    "wind_every": _Asks("running time one winding gives", TIME, _wind_every, least=True),
    "mean_power": _Asks("mean power asked of the person at {crank}", POWER, _power("power")),
    "peak_power": _Asks("power of the hardest push at {crank}", POWER, _power("peak_power")),
}
"""Keys of a want that a run answers."""
