"""Sizes on a shaft: its bar, its bearings and its keys."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import replace
from typing import Any

import numpy as np

from layshaft.listings.offers import Offer, key_lengths
from layshaft.machine.bearing_pairs import part_on
from layshaft.machine.fitting import SAME_SIZE
from layshaft.machine.kinds import BearingPart
from layshaft.machine.listings import bore as bore_of
from layshaft.machine.listings import resolve
from layshaft.machine.model import Seat, Shaft
from layshaft.machine.schema import Choice
from layshaft.mechanics import inertia
from layshaft.study.choosing.joining import Values
from layshaft.study.choosing.owned import named_offers
from layshaft.study.choosing.space import (
    Chosen,
    Sets,
    Space,
    bores_of,
    offer_axis,
    priced,
    room_across,
    same_size,
)
from layshaft.trace.errors import BadInput
from layshaft.trace.units import LENGTH, shown
from layshaft.train.forces import STEEL_DENSITY
from layshaft.verdict.candidates import WEAKEST, of_shafts, only_shaft, plain_length, weakest
from layshaft.verdict.kinds import bearings, keys

NAN = float("nan")
MM = 1e-3
KEY_LEAST = 2.0
"""Shortest key over its width: common practice, no single source."""


def bar(space: Space, shaft: Shaft, step: int | None = None) -> None:
    """The diameter of a shaft: of its open steps, of its only one, or of the step that is named."""
    steps = _steps(shaft, step)
    part = shaft.path if step is None else f"{shaft.path}.sections[{step}]"
    offers = [o for o in space.offers("bright bar") if np.isfinite(_value(o, "diameter"))]
    offers.sort(key=lambda o: _value(o, "diameter"))
    lengths, note = _lengths(shaft)
    rest = lengths | weakest(shaft.material)
    sets: list[Sets] = [{shaft.sections[i][0].path: _value(o, "diameter") for i in steps} | rest for o in offers]
    name = f"{part}.diameter"
    axis = offer_axis(space, name, part, f"bar of {shaft.name}", offers, sets, {"d": "diameter", "piece": "length"})
    space.bars[shaft.name] = f"{part}|d", frozenset(steps)
    space.trains.add(name)
    run = sum(lengths.get(shaft.sections[i][1].path, shaft.sections[i][1].nominal) for i in steps)  # type: ignore[misc]
    mass = space.reckon(f"{part}|bar mass", [f"{part}|d"],
                        lambda d: STEEL_DENSITY * np.asarray(inertia.ring_volume(d, 0.0, float(run))))
    space.adds("mass", part, "bar", mass)
    space.adds("across", part, "bar", f"{part}|d")
    for wish in ("lead time", "distance"):
        space.adds(wish, part, "bar", f"{part}|offered {wish}")
    priced(space, part, "bar", [f"{part}|d"], lambda d: np.full(np.shape(d), float(run)))
    space.notes += [f"{shaft.name}: {note}"] if note else []
    space.notes += _untold([shaft.material])
    space.parts[part] = Chosen(part, "bar", [axis.name], of_shafts, only_shaft(shaft.name),
                               lambda path: path == shaft.path, (shaft.name,))
    _what_stays(space, shaft)


def _steps(shaft: Shaft, step: int | None) -> list[int]:
    if step is not None:
        if step >= len(shaft.sections):
            raise BadInput(f"{shaft.path} has {len(shaft.sections)} steps, the first is {shaft.path}.sections[0]; "
                           f"there is no step {step}.")
        return [step]
    found = [i for i, (d, _) in enumerate(shaft.sections) if not d.known]
    if not found and len(shaft.sections) > 1:
        names = " or ".join(f"'{shaft.path}.sections[{i}]'" for i in range(len(shaft.sections)))
        raise BadInput(f"{shaft.path} has {len(shaft.sections)} steps. Name the one to choose: {names}.")
    return found or list(range(len(shaft.sections)))


def _lengths(shaft: Shaft) -> tuple[dict[str, float | str], str]:
    """Open lengths as one plain bar, as in the list of needs."""
    open_ = [length for _, length in shaft.sections if not length.known]
    if len(open_) > 1:
        raise BadInput(f"{shaft.path} has more than one open length. Write the lengths of its steps first.")
    if not open_:
        return {}, ""
    whole = plain_length(shaft)
    return {open_[0].path: whole}, f"reckoned as one plain bar of {shown(whole, LENGTH)}"


def _what_stays(space: Space, shaft: Shaft) -> None:
    """Bearings and keys that are not to be chosen keep the bar to their own sizes."""
    for seat in shaft.seats.values():
        known, columns = bores_of(space, shaft, seat.at.nominal)
        if not columns or known:
            continue
        size = resolve(space.machine, "bearing", seat.bearing.name) if seat.bearing.known else None
        if size is not None and np.isfinite(bore_of(size)) and f"{seat.path}.bearing" not in space.asked:
            space.ask(f"bar of {shaft.name} fits the {seat.bearing.name} on {seat.name}", columns,
                      _on(bore_of(size)))
        key = resolve(space.machine, "key", seat.key_size.name) if seat.key_size.known else None
        if key is not None and key.row is not None and f"{seat.path}.key" not in space.asked:
            over = key.row.number("shaft_over_mm", MM)
            space.ask(f"bar of {shaft.name} is thick enough for the key {seat.key_size.name} on {seat.name}", columns,
                      _thicker(over))


def bearing(space: Space, shaft: Shaft, seat: Seat) -> None:
    """A deep groove ball bearing for a seat, by the bore of the shaft there."""
    part = f"{seat.path}.bearing"
    if part_on(space.machine, seat) is not None:
        raise BadInput(f"{part} is one of a pair that faces each other: such pairs are not searched, since the load "
                       "centres move with the choice. Try sizes by hand with --set and `layshaft check`.")
    known, columns = bores_of(space, shaft, seat.at.nominal)
    where = None if columns or not known else {"bore": (min(known) - SAME_SIZE, max(known) + SAME_SIZE)}
    offers = [*space.offers("bearing", where), *named_offers(space.machine, BearingPart, "bearing")]
    offers = sorted((o for o in offers if np.isfinite(_value(o, "bore"))),
                    key=lambda o: (_value(o, "dynamic rating"), _value(o, "outside")))
    sets = [{seat.bearing.path: space.named(o, "bearing")} for o in offers]
    axis = offer_axis(space, part, part, f"bearing {seat.name} of {shaft.name}", offers, sets,
                      {"bore": "bore", "outside": "outside", "width": "width"})
    if known or columns:
        space.ask(f"bore of {shaft.name} {seat.name} is the diameter of its shaft", [f"{part}|bore", *columns],
                  same_size(known))
    room = room_across(space.machine, shaft)
    if np.isfinite(room):
        space.ask(f"bearing {seat.name} of {shaft.name} stays inside its module", [f"{part}|outside"],
                  lambda outside: room / outside)
    for wish, column in {"width": "width", "across": "outside", **_said()}.items():
        space.adds(wish, part, "bearing", f"{part}|{column}")
    space.parts[part] = Chosen(part, "bearing", [axis.name], bearings.blocks, only_shaft(shaft.name),
                               lambda path: path == part, (shaft.name,))


def key(space: Space, shaft: Shaft, seat: Seat) -> None:
    """A parallel key for a seat: the section that belongs to the diameter, in the lengths of the standard."""
    part = f"{seat.path}.key"
    offers, sets = [], []
    rest = weakest(seat.key_steel) | weakest(seat.hub_steel) | ({} if seat.keys.known else {seat.keys.path: 1.0})
    for offer in space.offers("key steel"):
        for length in key_lengths(offer.name):
            if length >= KEY_LEAST * _value(offer, "width") and "least shaft" in offer.values and not offer.supplier:
                name = f"{offer.name}x{length / MM:g}"
                offers.append(replace(offer, name=name, values={**offer.values, "length": length}))
                sets.append(rest | {seat.key_size.path: name})
    space.notes += _untold([seat.key_steel, seat.hub_steel])
    axis = offer_axis(space, part, part, f"key on {seat.name} of {shaft.name}", offers, sets, {
        "least": "least shaft", "greatest": "greatest shaft", "b": "width", "h": "height", "l": "length"})
    known, columns = bores_of(space, shaft, seat.at.nominal)
    if known or columns:
        space.ask(f"key on {seat.name} of {shaft.name} belongs to the diameter of the shaft",
                  [f"{part}|least", f"{part}|greatest", *columns], _belongs(known))
    mass = space.reckon(f"{part}|key mass", [f"{part}|b", f"{part}|h", f"{part}|l"],
                        lambda b, h, l: STEEL_DENSITY * (b * h * (l - b) + np.pi / 4 * b**2 * h))  # noqa: E741
    space.adds("mass", part, "key", mass)
    space.adds("width", part, "key", f"{part}|l")
    space.parts[part] = Chosen(part, "key", [axis.name], lambda k: [keys.block(k)], only_shaft(shaft.name),
                               lambda path: path == part, (shaft.name,))


def _untold(choices: Sequence[Choice]) -> list[str]:
    """What is said where a steel is not chosen."""
    return [f"{one.path} is not chosen: reckoned as {WEAKEST}, the weakest of the table, which --take writes with it"
            for one in choices if weakest(one)]


def _on(bore: float) -> Callable[[Values], Values]:
    return lambda d: same_size([])(np.asarray(bore), d)


def _thicker(over: float) -> Callable[[Values], Values]:
    return lambda d: np.asarray(np.where(d > over - SAME_SIZE, 1.0, np.minimum(d / over, 0.999)))


def _belongs(known: Sequence[float]) -> Callable[..., Values]:
    def share(least: Values, greatest: Values, *chosen: Values) -> Values:
        bars: list[Any] = [*known, *chosen]
        thin: Any = np.inf
        for d in bars:
            thin = np.minimum(thin, d)
        inside = (thin > least) & (thin <= greatest)
        near = np.minimum(thin / least, greatest / thin)
        return np.asarray(np.where(inside, 1.0, np.minimum(near, 0.999)))

    return share


def _said() -> dict[str, str]:
    return {wish: f"offered {wish}" for wish in ("mass", "price", "lead time", "distance")}


def _value(offer: Offer, key_: str) -> float:
    value = offer.values.get(key_)
    return float(value) if isinstance(value, float | int) else NAN

