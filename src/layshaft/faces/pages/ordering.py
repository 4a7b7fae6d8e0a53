"""The sizes found as a list to order from: who offers each, for what, and until when it must be ordered."""

from __future__ import annotations

import datetime
import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from pathlib import Path

from layshaft.faces.pages.asked import Asked, price
from layshaft.faces.pages.here_by import DAY, HereBy, arrival, day_words, span_words
from layshaft.listings import imported
from layshaft.listings.offers import Offer, standard_offers

SAME = {"bearing": ("bore", "outside", "width"), "parallel key": ("width", "height", "length")}
"""Sizes that make a supplier's part the standard one where its list does not name the standard."""

CLOSE = 1e-6


@dataclass(frozen=True, slots=True)
class Order:
    """One size to be ordered, and the offer for it that is best: in time if any is, then the cheapest."""

    path: str
    size: str
    offer: Offer | None
    when: str
    late: bool
    rank: float
    """Time that is left to order it; the least first, what no list tells last."""

    @property
    def price(self) -> str:
        """Its price; blank where no list says it."""
        return price(self.offer) if self.offer is not None else ""


def orders(found: Iterable[Sequence[Asked]], project: Path, by: HereBy | None, today: datetime.date) -> list[Order]:
    """One order for every need with a size that is bought by its name, the most pressing first."""
    places = imported.folders(project)
    rows = [_order(asked[0], places, by, today) for asked in found if asked]
    return sorted((row for row in rows if row is not None), key=lambda row: row.rank)


def _order(asked: Asked, places: Sequence[Path], by: HereBy | None, today: datetime.date) -> Order | None:
    best = asked.need.smallest
    name = str(best.candidate.sets.get(asked.choice, "")) if best is not None and asked.choice else ""
    if not name:
        return None
    offers = _offers(asked.kind, name, places)
    span = by.seconds if by is not None else math.inf
    offer = min(offers, key=lambda o: (_lead(o) > span, not math.isfinite(o.price), o.price), default=None)
    lead = _lead(offer) if offer is not None else math.inf
    left = (span if by is not None else 0.0) - lead
    known = math.isfinite(left)
    return Order(asked.need.path, name, offer, when_words(lead, by, today), by is not None and known and left < 0,
                 left if known else math.inf)


def _lead(offer: Offer) -> float:
    return offer.lead_time if math.isfinite(offer.lead_time) else math.inf


def _offers(kind: str, name: str, places: Sequence[Path]) -> list[Offer]:
    """What lists offer of a standard size: by its name, else by the sizes that make it one."""
    found = imported.of_standard(places, [name]).get(name, []) if places else []
    standard = next((o for o in standard_offers(kind) if o.name == name), None)
    if not found and places and standard is not None and kind in SAME:
        exact = {key: float(standard.values[key]) for key in SAME[kind]}
        ranges = {key: (v * (1 - CLOSE), v * (1 + CLOSE)) for key, v in exact.items()}
        found = imported.search(places, kind, ranges).offers
    return [o for o in found if o.kind == kind]


def when_words(lead: float, by: HereBy | None, today: datetime.date) -> str:
    """When what takes so long is here, or until when it is ordered; blank where nobody says how long it takes."""
    if not math.isfinite(lead):
        return ""
    if by is None:
        return f"here on {day_words(arrival(lead, today))} if ordered today"
    last = by.day - (arrival(lead, today) - today)
    if last < today:
        return f"{span_words((today - last).days * DAY)} too late, even if ordered today"
    return f"order by {day_words(last)}"
