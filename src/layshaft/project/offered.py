"""What can be bought for a project: standard series and imported lists, as one question by kind."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from pathlib import Path

from layshaft.listings import imported
from layshaft.listings.offers import Offer, standard_offers

MOST = 3_000
"""Offers of lists taken for one question; what is left out is counted."""


class Offered:
    """Offers by kind: the standard series, then those of lists whose values lie within ranges."""

    def __init__(self, folders: list[Path]) -> None:
        self.folders = folders
        self.left_out: dict[str, int] = {}

    def __call__(self, kind: str, where: Mapping[str, tuple[float, float]] | None = None) -> list[Offer]:
        """Standard series first. A listed standard size has the values of its standard where its list is silent."""
        series = standard_offers(kind)
        standards = {o.name: o for o in series}
        found = imported.search(self.folders, kind, where, most=MOST) if self.folders else None
        offers = list(found.offers) if found is not None else []
        if where and self.folders:  # a list that names the standard need not repeat its sizes
            there = {(o.supplier, o.name, o.where) for o in offers}
            by_name = imported.of_standard(self.folders, [o.name for o in series if _within(o, where)])
            offers += [o for more in by_name.values() for o in more
                       if o.kind == kind and (o.supplier, o.name, o.where) not in there]
        if found is not None and found.count > len(found.offers):
            self.left_out[kind] = found.count - len(found.offers)
        return [*series, *(_completed(o, standards) for o in offers)]


def offers_for(machine: Path) -> Offered:
    """What can be bought for the machine of that file or folder: its project's lists, then the user's."""
    folder = machine.parent if machine.is_file() else machine
    return Offered(imported.folders(folder))


def _completed(offer: Offer, standards: Mapping[str, Offer]) -> Offer:
    standard = standards.get(offer.standard)
    return offer if standard is None else replace(offer, values={**standard.values, **offer.values})


def _within(offer: Offer, where: Mapping[str, tuple[float, float]]) -> bool:
    for key, (low, high) in where.items():
        value = offer.values.get(key)
        if not isinstance(value, float | int) or not low <= value <= high:
            return False
    return True
