"""Advice on fits: what a stated fit leaves between the parts, and whether it is usual for what sits there."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from typing import Any

import numpy as np

from layshaft.elements import press_fit
from layshaft.listings.tables import table
from layshaft.listings.tolerance_classes import read_class
from layshaft.machine import listings
from layshaft.machine.kinds import HUBS, PressFit
from layshaft.machine.model import Machine, Seat, Shaft
from layshaft.mechanics import fits
from layshaft.trace.formula import Remark
from layshaft.trace.source import Source
from layshaft.trace.units import FORCE, TEMPERATURE, shown
from layshaft.train.place import diameter_at
from layshaft.verdict.rows import Block

MILLI, MICRO, HAIR = 1e-3, 1e-6, 1e-9
KINDS = {kind: word for word, kind in HUBS.items()}
ALONE = Source("two joints on one seat", obtained="common practice")


def remarks(machine: Machine) -> Iterator[tuple[str, Remark]]:
    """One remark for each fit that is stated, one for each seat with a key and another joint."""
    for shaft in machine.shafts.values():
        for seat in shaft.seats.values():
            if seat.hub.stated and seat.key_size.state != "missing":
                yield seat.path, Remark(
                    f"Key and {KINDS[type(seat.hub)]} are each rated alone, as if the other were not there: their "
                    "torques never add, since the stiffer one takes all until it gives way.", ALONE, True)
            if seat.bearing.state != "missing":
                yield from _bearing(machine, shaft, seat)
            elif seat.fit:
                yield from _hub(shaft, seat)


def joining(blocks: Iterable[Block]) -> Iterator[tuple[str, Remark]]:
    """How each press fit is put together: the force at the end of the stroke, or the temperature of its hub."""
    for block in blocks:
        for part in block.parts if block.inputs is press_fit.PressFitInputs else ():
            with np.errstate(all="ignore"):
                found = block.rate(block.single(part, 0))
            if np.isfinite(found.F_p) and np.isfinite(found.theta_j):
                yield part.path, Remark(
                    f"To join it at its tightest: {shown(found.F_p, FORCE)} at the end of the stroke of a press, or "
                    f"the hub heated to {shown(found.theta_j, TEMPERATURE)} in an oven so that it drops over. Keep "
                    "hands and faces away from a loaded press, and wear gloves for a hot hub.",
                    press_fit.DIN_7190, True)


def _hub(shaft: Shaft, seat: Seat) -> Iterator[tuple[str, Remark]]:
    d = diameter_at(shaft, seat.at.nominal)
    alone = "bush" if seat.rubs else "key" if seat.key_size.state != "missing" else ""
    what = KINDS.get(type(seat.hub), alone)
    if np.isfinite(d):
        fit = fits.fit_of(round(d, 7), seat.fit)
        told = f"{fit}: {_between(fit.least_interference, fit.greatest_interference)}, {_a(fit.kind)} fit."
        if isinstance(seat.hub, PressFit) and fit.kind != "interference":
            told += " A press fit needs interference at both ends: take s6 or tighter."
        yield f"{seat.path}.fit", Remark(told + _usual(what, seat.fit), _source(what), True)


def _bearing(machine: Machine, shaft: Shaft, seat: Seat) -> Iterator[tuple[str, Remark]]:
    size = listings.resolve(machine, "bearing", seat.bearing.name) if seat.bearing.known else None
    d = diameter_at(shaft, seat.at.nominal)
    if seat.fit and np.isfinite(d):
        told = _on_ring("bore", d, fits.limits_of(round(d, 7), read_class(seat.fit)), seat.fit)
        yield f"{seat.path}.fit", Remark(told + _usual("bearing shaft", seat.fit), _source("bearing shaft"), True)
    outside = listings.outside(size) if size is not None else float("nan")
    if seat.housing and np.isfinite(outside):
        hole = fits.limits_of(round(outside, 7), read_class(seat.housing))
        told = _on_ring("outside", outside, hole, seat.housing)
        yield f"{seat.path}.housing", Remark(told + _usual("bearing housing", seat.housing),
                                             _source("bearing housing"), True)


def _on_ring(ring: str, d: float, other: fits.Limits, text: str) -> str:
    """What a class leaves on a bearing ring of the normal tolerance class."""
    row = next((r for r in table("bearing_ring_tolerances").rows if r.text("ring") == ring
                and d <= r.number("to_mm", MILLI) + HAIR), None)
    if row is None:
        return f"{d / MILLI:g} {text}."
    lower = row.number("lower_um", MICRO)
    least, most = ((fits.least_interference(other.lower, 0.0), fits.greatest_interference(other.upper, lower))
                   if ring == "bore" else
                   (fits.least_interference(lower, other.upper), fits.greatest_interference(0.0, other.lower)))
    where = "under" if ring == "bore" else "round"
    return f"{d / MILLI:g} {text} {where} a ring of the normal class: {_between(least, most)}."


def _between(least: Any, most: Any) -> str:
    """`from 19 um of play to 15 um of interference`."""
    return f"from {_um(least)} to {_um(most)}"


def _um(interference: Any) -> str:
    amount = round(float(interference) / MICRO, 1)
    return "none" if amount == 0 else f"{abs(amount):g} um of {'interference' if amount > 0 else 'play'}"


def _a(kind: str) -> str:
    return f"{'an' if kind[0] in 'aeiou' else 'a'} {kind}"


def _usual(what: str, text: str) -> str:
    row = table("fit_advice").get(what)
    if row is None:
        return ""
    classes = row.text("classes").split()
    if "".join(text.split()) in classes:
        return ""
    return f" Usual here: {', '.join(classes[:3])}; {row.text('why')}."


def _source(what: str) -> Source:
    row = table("fit_advice").get(what)
    return row.source if row is not None else fits.RULES
