"""What must fit of a hub on its seat: a pin in its shaft, a hub round it, a clamp's bore, a fit that exists."""

from __future__ import annotations

import math

from layshaft.listings import tolerance_classes as classes
from layshaft.machine import listings
from layshaft.machine.errors import Problem
from layshaft.machine.kinds import Clamp, CrossPin, PressFit, SetScrews, TaperClamp
from layshaft.machine.model import Machine, Seat
from layshaft.machine.schema import Given, Mark
from layshaft.machine.sentences import hubs as say
from layshaft.trace.units import LENGTH, shown

SAME_SIZE = 5e-5


def check(machine: Machine, seat: Seat, diameters: list[float], marks: dict[str, Mark],
          problems: list[Problem]) -> None:
    """Everything of a seat's hub and fits that clashes, added to `problems`."""
    if seat.fit:
        _fit(seat, diameters, marks["fit"], problems)
    if seat.housing:
        _housing(seat, marks["housing"], problems)
    if not seat.hub.stated:
        return
    if seat.bearing.state != "missing":
        problems.append(Problem(seat.hub.mark, say.hub_on_bearing(seat.hub.path)))
    if diameters:
        _sizes(machine, seat, min(diameters), diameters, problems)
    hub = seat.hub
    if isinstance(hub, PressFit) and hub.interference.known and seat.fit:
        problems.append(Problem(hub.interference.mark, say.two_ways(hub.interference.path)))
    if isinstance(hub, Clamp) and hub.hinge_to_screws.nominal <= hub.hinge_to_shaft.nominal:
        problems.append(Problem(hub.hinge_to_screws.mark, say.hinge_behind_screws(
            hub.path, shown(hub.hinge_to_screws.nominal, LENGTH), shown(hub.hinge_to_shaft.nominal, LENGTH))))


def _fit(seat: Seat, diameters: list[float], mark: Mark, problems: list[Problem]) -> None:
    path = f"{seat.path}.fit"
    try:
        if seat.bearing.state != "missing":
            if "/" in seat.fit or classes.read_class(seat.fit).hole:
                problems.append(Problem(mark, say.shaft_class_wanted(path, seat.fit)))
                return
            wanted = [classes.read_class(seat.fit)]
        else:
            wanted = list(classes.read_fit(seat.fit))
        for size in diameters[:1]:
            for c in wanted:
                classes.refuse_missing(size, c)
    except classes.FitError as why:
        problems.append(Problem(mark, say.not_a_fit(path, str(why))))


def _housing(seat: Seat, mark: Mark, problems: list[Problem]) -> None:
    path = f"{seat.path}.housing"
    try:
        if not classes.read_class(seat.housing).hole:
            problems.append(Problem(mark, say.hole_class_wanted(path, seat.housing)))
    except classes.FitError as why:
        problems.append(Problem(mark, say.not_a_fit(path, str(why))))


def _sizes(machine: Machine, seat: Seat, d: float, diameters: list[float], problems: list[Problem]) -> None:
    hub, there = seat.hub, shown(d, LENGTH)
    if isinstance(hub, SetScrews) and hub.size.known:
        size = listings.resolve(machine, "set screw", hub.size.name)
        thick = size.row.number("d_mm", listings.MILLI) if size is not None and size.row is not None else math.nan
        if thick >= d:
            problems.append(Problem(hub.size.mark, say.not_smaller(
                hub.size.path, f"the screw {hub.size.name}", shown(thick, LENGTH), there, "Choose a thinner screw.")))
    if isinstance(hub, CrossPin) and hub.diameter.nominal >= d:
        problems.append(Problem(hub.diameter.mark, say.not_smaller(
            hub.diameter.path, "the pin", shown(hub.diameter.nominal, LENGTH), there,
            "Take a pin of a quarter of the shaft's diameter.")))
    if isinstance(hub, PressFit) and hub.bore.nominal >= d:
        problems.append(Problem(hub.bore.mark, say.not_smaller(
            hub.bore.path, "the bore of the shaft", shown(hub.bore.nominal, LENGTH), there, "Correct one of the two.")))
    if isinstance(hub, TaperClamp):
        _taper(machine, seat, hub, diameters, problems)
    elif isinstance(hub, CrossPin | PressFit):
        _around(hub.hub_diameter, d, problems)


def _around(outside: Given, d: float, problems: list[Problem]) -> None:
    if outside.nominal <= d:
        problems.append(Problem(outside.mark, say.not_larger(
            outside.path, "the hub's outside diameter", shown(outside.nominal, LENGTH), shown(d, LENGTH))))


def _taper(machine: Machine, seat: Seat, hub: TaperClamp, diameters: list[float], problems: list[Problem]) -> None:
    size = listings.resolve(machine, "taper clamp", hub.listing.name) if hub.listing.known else None
    part = size.part if size is not None else None
    if part is None:
        return
    if all(abs(part.bore.nominal - d) > SAME_SIZE for d in diameters) and part.bore.known:
        problems.append(Problem(hub.listing.mark, say.clamp_bore_differs(
            seat.hub.path, hub.listing.name, shown(part.bore.nominal, LENGTH), shown(diameters[0], LENGTH))))
    if hub.hub_diameter.nominal <= part.outside.nominal:
        problems.append(Problem(hub.hub_diameter.mark, say.not_larger(
            hub.hub_diameter.path, "the hub's outside diameter", shown(hub.hub_diameter.nominal, LENGTH),
            f"{shown(part.outside.nominal, LENGTH)} over its clamp")))
