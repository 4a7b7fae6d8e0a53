"""What the standard sizes of machines are offered for in the imported lists, handed on as plain values."""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from pathlib import Path

from layshaft.bill.prices import Offered, Quote
from layshaft.listings import imported
from layshaft.listings.offers import Offer


def offered_to(project: Path | None) -> Offered:
    """What imported lists offer standard sizes for: the project's lists first, then the user's for the rest."""
    folders = imported.folders(project)

    def offered(sizes: Sequence[str]) -> dict[str, Quote]:
        found: dict[str, Quote] = {}
        for folder in folders:
            left = [size for size in sizes if size.casefold() not in found]
            offers = imported.of_standard([folder], {word for size in left for word in _names(size)})
            for size in left:
                fitting = [offer for word in _names(size) for offer in offers.get(word, [])]
                if fitting:
                    found[size.casefold()] = _quote(_least(fitting))
        return found

    return offered


def _names(size: str) -> list[str]:
    """The designation, and the one before its first blank or dash: seals and clearance are not in a standard's."""
    return list(dict.fromkeys((size, size.split()[0], size.split()[0].partition("-")[0])))


def _least(offers: Iterable[Offer]) -> Offer:
    """The cheapest; of equal ones that which is here first. An unknown price or time comes last."""
    def rank(offer: Offer) -> tuple[float, float]:
        known = (math.inf if math.isnan(v) else v for v in (offer.price, offer.lead_time))
        price, time = known
        return price, time
    return min(offers, key=rank)


def _quote(offer: Offer) -> Quote:
    return Quote(offer.price, offer.currency, offer.lead_time, f"{offer.supplier} {offer.name}".strip(), offer.cad)
