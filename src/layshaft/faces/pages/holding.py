"""Whether what is offered holds in its place: an offer is the size of its name, and sizes were tried one by one."""

from __future__ import annotations

import functools
import math
from collections.abc import Mapping

from layshaft.listings.offers import Offer, standard_offers
from layshaft.machine import paths
from layshaft.machine.model import Machine
from layshaft.verdict.needs import Need

MM = 1e-3
SAME = 1e-3
"""Figures of a list and of its standard are one where they differ by less than this share: lists round."""

JUDGED = ", as far as it can be judged"
"""Said of what holds where some ways to fail could not be judged on any size."""


def tried_sizes(machine: Machine, need: Need, choice: str) -> dict[str, bool]:
    """Whether each size holds that was tried, by its name; of the size that is there, only that it does not."""
    found: dict[str, bool] = {}
    for t in need.tried:
        name = _size(need, t.candidate.sets, choice)
        if name and t.answers:
            found[name] = found.get(name, False) or t.holds
    if any(f.verdict in ("fails", "thin") for f in need.short) and (there := name_there(machine, choice)):
        found[there] = False
    return found


def _size(need: Need, sets: Mapping[str, float | str], choice: str) -> str:
    """The name it is bought by: a bar by its thickest step, from which it is turned."""
    if need.what != "shaft":
        return str(sets.get(choice, "")) if choice else ""
    bars = [v for p, v in sets.items() if p.endswith("[0]") and isinstance(v, float)]
    return f"{max(bars) / MM:.6g} mm" if bars else ""


def name_there(machine: Machine, choice: str) -> str:
    """The size that is there by its name; blank where none is."""
    steps = paths.split(choice) if choice else None
    return str(getattr(paths.in_model(machine, steps), "name", "") or "") if steps is not None else ""


def holds(held: dict[str, bool], offer: Offer) -> bool | None:
    """Whether its size holds; None where that size was not tried, or the list says other figures than the standard."""
    if not offer.supplier:
        return held.get(offer.name)
    standard = _series(offer.kind).get(offer.standard)
    return held.get(standard.name) if standard is not None and _alike(offer, standard) else None


@functools.cache
def _series(kind: str) -> dict[str, Offer]:
    return {offer.name: offer for offer in standard_offers(kind)}


def _alike(offer: Offer, standard: Offer) -> bool:
    """Whether a list says of a standard size what its standard says, as far as it says anything."""
    return all(math.isclose(value, there, rel_tol=SAME) for key, value in offer.values.items()
               if isinstance(value, float | int) and math.isfinite(value)
               and isinstance(there := standard.values.get(key), float | int))


def tally(count: int, holding: int, failing: int, *, hopeless: bool, unjudged: bool = False) -> str:
    """How many are offered, and how many of them hold. `hopeless` where of all sizes tried none does; `unjudged` where
    there are ways to fail of which no size could be judged.
    """
    far = JUDGED if unjudged else ""
    fits = f"{count} {'offer fits' if count == 1 else 'offers fit'}"
    if not holding and not failing:
        return f"{fits} these words, but no size that was tried holds" if count and hopeless else fits
    if holding == count:
        return f"{fits} and {'holds' if count == 1 else 'hold'}{far}"
    if count == 1:
        return "1 is of that kind, and it does not hold"
    rest = count - holding - failing
    if not holding:
        return f"{count} are of that kind, none {'is known to hold' if rest else 'holds'}"
    held = f"{holding} {'hold' if holding > 1 else 'holds'}{far}"
    return f"{count} are of that kind, {held}{f', {rest} not tried' if rest else ''}"
