"""A measured log laid over a run, as text, as data and in the drawing; the friction it speaks for as a proposal."""

from __future__ import annotations

import json
import shlex
import sys
from collections.abc import Iterator
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Any

import numpy as np

from layshaft.faces.plain import number
from layshaft.faces.progress import Progress
from layshaft.faces.run_files import Measured, write_csv, write_plot
from layshaft.faces.running import clock
from layshaft.faces.text import wrapped
from layshaft.machine.model import Machine
from layshaft.machine.schema import Given
from layshaft.study.friction_fit import Fit, Fitted, fit, proposals
from layshaft.study.laid_over import LaidOver, laid_over
from layshaft.study.speed_log import SpeedLog, read_log
from layshaft.trace.units import SPEED, shown
from layshaft.train.motion.programme import Programme
from layshaft.train.motion.results import Results
from layshaft.train.solve import Solved

MOST_OTHERS = 4
DIGITS = 5


@dataclass(frozen=True, slots=True)
class Laid:
    """The log, what it says beside the run, and the fit."""

    place: Path
    log: SpeedLog
    over: LaidOver
    fitted: Fitted


def as_long_as(solved: Solved, programme: Programme, place: Path | None, shaft: str, pulses: float | None,
               *, told: bool) -> tuple[Programme, SpeedLog | None]:
    """The log, if there is one, and a run that lasts as long unless its time was `told`. Raises `BadInput`."""
    if place is None:
        return programme, None
    log = read_log(place, list(solved.sets[programme.root].ratio), shaft, pulses)
    return (programme if told else replace(programme, time=float(log.time[-1]))), log


def laid(place: Path, machine: Machine, solved: Solved, programme: Programme, log: SpeedLog | None) -> Laid | None:
    """Lay the log over the run and fit its losses; a terminal shows how far it has come."""
    if log is None:
        return None
    with Progress(sys.stderr, 100, "fitting the log, {done:.0f} %", "ends it") as progress:
        fitted = fit(machine, solved, programme, log, lambda share: progress.reached(100 * share))
    ratio = abs(solved.sets[programme.root].ratio[log.shaft])
    return Laid(place, log, laid_over(log, fitted.given.motion, ratio, fitted.late), fitted)


def lines(found: Laid | None) -> Iterator[str]:
    """What the log says, and what it proposes."""
    if found is None:
        return
    log, over = found.log, found.over
    i = over.worst
    yield from ("", f"MEASURED LOG: {log.file}")
    yield wrapped(f"{len(log.time)} lines over {clock(float(log.time[-1] - log.time[0]))}, {log.count[-1]:.0f} pulses "
                  f"of {log.shaft}, {log.per_turn:g} a turn; it set off {clock(max(found.fitted.late, 0.0))} after "
                  "the log's time 0.", "  ")
    yield (f"  mean speed: measured {shown(over.measured_mean, SPEED)}, predicted "
           f"{shown(over.predicted_mean, SPEED)}, difference {100 * over.mean:+.2g} %")
    yield wrapped(f"largest difference: {100 * over.difference[i]:+.2g} % of the mean, {clock(over.begin[i])} to "
                  f"{clock(over.end[i])} after setting off (measured {shown(over.measured[i], SPEED)}, predicted "
                  f"{shown(over.predicted[i], SPEED)}), over spans of {clock(float(np.median(over.end - over.begin)))}"
                  ".",
                  "    ", "  ")
    yield from _fit(found)


def _fit(found: Laid) -> Iterator[str]:
    best, given = found.fitted.best, found.fitted.given
    yield from ("", "FITTED FRICTION, least squares on the pulses counted")
    yield f"  as the file has it: {given.left:.3g} pulses are left, root mean square"
    if best is None:
        yield wrapped("No loss of this train can be fitted: none is given, or none changes what the log counts.", "  ")
        return
    yield wrapped(f"{_factors(best)}: {best.left:.3g} pulses are left", "    ", "  ")
    for other in found.fitted.others[:MOST_OTHERS]:
        yield wrapped(f"as well explained by {_factors(other)}: {other.left:.3g} pulses are left", "    ", "  ")
    if found.fitted.others:
        yield wrapped("The log cannot tell these apart; a spring balance at each shaft can. What is proposed has the "
                      "widest ends of all of them it is in.", "  ")
    yield wrapped("The ends are two standard deviations of the counts alone: weight, radii, moments of inertia and "
                  "weather are taken as the file has them.", "  ")
    if all(low <= 1 <= high for low, high in map(found.fitted.ends, best.losses)):
        yield wrapped("What the file gives lies within them.", "  ")
    yield from ("", "  PROPOSED, nothing is changed by itself:", *(f"  {line}" for line in commands(found)))


def _factors(fit_: Fit) -> str:
    parts = []
    for i, (loss, factor) in enumerate(zip(fit_.losses, fit_.factors, strict=True)):
        low, high = fit_.ends(i)
        parts.append(f"{loss.name} x {factor:.5g} ({low:.5g} to {high:.5g})")
    return " and ".join(parts)


def commands(found: Laid) -> list[str]:
    """The change that is proposed, as one command."""
    if found.fitted.best is None:
        return []
    sets = [f"--set {shlex.quote(_set(*row, found.log))}" for row in proposals(found.fitted)]
    return [f"layshaft change {shlex.quote(str(found.place))} {' '.join(sets)}"]


def _set(given: Given, value: float, low: float, high: float, log: SpeedLog) -> str:
    texts = [shown(v, given.dimension, digits=DIGITS) for v in (value, low, high)]
    return (f"{given.cause}={{value: {texts[0]}, between: [{texts[1]}, {texts[2]}], source: measured, "
            f"note: {json.dumps('fitted to ' + Path(log.file).name)}}}")


def written(r: Results, csv: Path | None, plot: Path | None, found: Laid | None) -> Iterator[Path]:
    """Write what was asked for, the drawing with the measured speeds in it; the places one by one."""
    if csv is not None:
        write_csv(r, csv)
        yield csv
    if plot is not None:
        measured = None
        if found is not None:
            middle = (found.over.begin + found.over.end) / 2
            measured = Measured(found.log.shaft, middle, found.over.measured)
        write_plot(r, plot, measured)
        yield plot


def as_dict(found: Laid | None) -> dict[str, Any]:
    """The same as data, numbers in SI."""
    if found is None:
        return {}
    over, best = found.over, found.fitted.best
    return {"log": {
        "file": found.log.file, "shaft": found.log.shaft, "pulses per turn": number(found.log.per_turn),
        "lines": len(found.log.time), "set off at": number(found.fitted.late),
        "mean difference": number(over.mean), "largest difference": number(float(over.difference[over.worst])),
        "largest from": number(float(over.begin[over.worst])), "largest to": number(float(over.end[over.worst])),
        "left as given": number(found.fitted.given.left), "fit": None if best is None else _fit_dict(best),
        "as well": [_fit_dict(f) for f in found.fitted.others], "proposed": commands(found),
    }}


def _fit_dict(found: Fit) -> dict[str, Any]:
    return {"losses": [loss.name for loss in found.losses], "factors": [number(f) for f in found.factors],
            "deviation": [number(s) for s in found.spread], "left": number(found.left)}
