"""Swing and timing by source: what is pulses, what is links, teeth and runout. As text and as data."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

import numpy as np

from layshaft.faces.plain import number
from layshaft.faces.shaking import hertz
from layshaft.faces.text import wrapped
from layshaft.trace.units import RATIO, TIME, shown
from layshaft.train.kinematic.answer import Order, Uneven, events_per_turn, uneven
from layshaft.train.kinematic.errors import KINDS
from layshaft.train.motion.results import Results, ShaftRun

TOLD = 0.05
"""Share of a shaft's swing by its shape from which on an order is told by itself."""

HOW = ("worst: all phases as bad as they fall some time, the sum, which a want is held against; as a rule: root of the "
       "sum of squares of all but the pulses, beside them. Timing is how far each source shifts single turns or "
       "drops, pulses by the run; what is the same at each of them does not show in it. Cardan: what universal joints "
       "at an angle add. Elastic: shafts, chains and couplings twist as springs; near the speed at which they swing by "
       "themselves they turn a small error into a large one.")


def by_source(r: Results) -> list[tuple[ShaftRun, Uneven]]:
    """The shafts of a run with their uneven turning by the shape of the train."""
    return list(zip(r.shafts, uneven(r.course.solved, [s.shaft for s in r.shafts]), strict=True))


def by_source_text(r: Results) -> Iterator[str]:
    """The section of `layshaft run`."""
    found = by_source(r)
    if not any(shape.orders or shape.lacking for _, shape in found):
        return
    yield from ("", "SWING AND TIMING BY SOURCE")
    yield f"  {'':<24}{'pulses':>11}" + "".join(f"{kind:>11}" for kind in KINDS) + f"{'worst':>11}{'as a rule':>12}"
    for run, shape in found:
        yield from _lines(r, run, shape)
    yield wrapped(HOW, "  ")
    for run, shape in found:
        yield from _largest(run, shape)
    yield from _unknown(found)


def _lines(r: Results, run: ShaftRun, shape: Uneven) -> Iterator[str]:
    parts = [float(np.mean(shape.swing(kind))) for kind in KINDS]
    usual = float(np.hypot(run.swing, np.mean(shape.usual())))
    cells = [run.swing, *parts, run.swing + sum(parts)]
    yield f"  {run.shaft:<24}" + "".join(f"{_percent(x):>11}" for x in cells) + f"{_percent(usual):>12}"
    if run.timing is not None:
        often = events_per_turn(r.course.solved.machine, run.shaft)
        off = [float(np.mean(shape.time(kind, often))) for kind in KINDS]
        cells = [run.timing.worst, *off, run.timing.worst + sum(off)]
        yield f"  {run.event:<24}" + "".join(f"{shown(x, TIME, digits=2):>11}" for x in cells)


def _largest(run: ShaftRun, shape: Uneven) -> Iterator[str]:
    whole = float(np.mean(shape.swing()))
    for o in sorted(shape.orders, key=lambda o: -float(np.mean(o.swing))):
        if float(np.mean(o.swing)) > TOLD * whole:
            yield wrapped(f"{run.shaft}: {o.error.stage}, {o.error.words}, {hertz(o.omega)}: "
                          f"{_percent(float(np.mean(o.swing)))}, {_followed(o)}.{_phase(o)}", "      ", "    ")


def _followed(o: Order) -> str:
    if not o.elastic:
        return f"rigid: {shown(o.gain, RATIO, '%', 3)} of the error arrives there"
    return f"elastic: {o.gain:.2g} times the error arrives there (rigid: {o.share:.2g})"


def _phase(o: Order) -> str:
    new = o.error.as_new / float(np.mean(o.error.theta))
    return f" In the phase of new sprockets and chain {new:.0%} of that; wear shifts it." if np.isfinite(new) else ""


def _unknown(found: list[tuple[ShaftRun, Uneven]]) -> Iterator[str]:
    lacking = dict.fromkeys(f"{x.stage}: {x.words}" for _, shape in found for x in shape.lacking)
    if lacking:
        yield wrapped(f"Without {'; without '.join(lacking)}.", "  ")
    twisting = dict.fromkeys(words for _, shape in found for words in shape.twisting)
    if twisting:
        yield wrapped(f"All of it for a rigid train, as the elastic one is not known: {'; '.join(twisting)}.", "  ")


def by_source_dict(r: Results) -> list[dict[str, Any]]:
    """The same as data; numbers in SI."""
    return [{"shaft": run.shaft, "pulses": number(run.swing),
             **{kind: number(float(np.mean(shape.swing(kind)))) for kind in KINDS},
             "worst": number(run.swing + float(np.mean(shape.swing()))),
             "without": [f"{x.stage}: {x.words}" for x in shape.lacking], "rigid because": shape.twisting,
             "orders": [_order_dict(o) for o in shape.orders]} for run, shape in by_source(r)]


def _order_dict(o: Order) -> dict[str, Any]:
    return {"stage": o.error.stage, "what": o.error.words, "of": o.error.shaft, "order": number(o.error.order),
            "amplitude at its first shaft": number(float(np.mean(o.error.theta))), "source": str(o.error.source),
            "frequency": number(o.omega), "elastic": o.elastic, "follows": number(o.gain),
            "swing": number(float(np.mean(o.swing))), "time": number(float(np.mean(o.time)))}


def _percent(share: float) -> str:
    return shown(share, RATIO, "%", 3) if np.isfinite(share) else "-"
