"""Offers out of imported lists: searched by kind and values, or looked up by standard designation.

A project folder's lists come first, then the user's own. Nothing here is read by the solve: a
machine file stays whole on its own.
"""

from __future__ import annotations

import os
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path

from layshaft.listings.imports.fields import OFFER_NUMBERS
from layshaft.listings.offers import NAN, Offer
from layshaft.store import lists as store
from layshaft.trace.source import Source

Range = tuple[float, float]


@dataclass(frozen=True, slots=True)
class Searched:
    """How many offers fit, and the first of them."""

    count: int
    offers: list[Offer]


def user_folder() -> Path:
    """Where lists are kept that belong to no project."""
    base = os.environ.get("XDG_DATA_HOME", "")
    return (Path(base) if base else Path.home() / ".local" / "share") / "layshaft"


def folders(project: Path | None) -> list[Path]:
    """Folders that hold lists: the project's, then the user's."""
    wanted = [project, user_folder()] if project is not None else [user_folder()]
    return [folder for folder in dict.fromkeys(wanted) if (folder / store.FILE).is_file()]


def search(places: Sequence[Path], kind: str, where: Mapping[str, Range] | None = None, *,
           words: Mapping[str, str] | None = None, require_cad: bool = False, supplier: str | None = None,
           order: str = "", most: int = 200) -> Searched:
    """Imported offers of a kind whose values lie within `where` (SI, both ends in); unknown lies in none.

    `order` is a numeric key: smallest first, unknown last. `most` bounds how many are handed back of each folder;
    `count` is how many fit.
    """
    count, offers = 0, []
    for folder in places:
        with store.lists(folder) as db:
            found = store.search(db, kind, where or {}, words or {}, require_cad=require_cad, supplier=supplier,
                                 order=order, most=most)
        count += found.count
        offers += [_offer(hit) for hit in found.hits]
    return Searched(count, offers)


def named(places: Sequence[Path], part: str, supplier: str | None = None) -> list[Offer]:
    """Imported offers with that part number."""
    return [_offer(hit) for folder in places for hit in _hits(folder, [part], standard=False, supplier=supplier)]


def of_standard(places: Sequence[Path], names: Iterable[str]) -> dict[str, list[Offer]]:
    """Imported offers that are examples of each standard designation; names without one are left out."""
    found: dict[str, list[Offer]] = {}
    wanted = list(dict.fromkeys(names))
    for folder in places:
        for hit in _hits(folder, wanted, standard=True):
            found.setdefault(hit.texts["standard"], []).append(_offer(hit))
    return found


def _hits(folder: Path, names: Sequence[str], *, standard: bool, supplier: str | None = None) -> Iterator[store.Hit]:
    with store.lists(folder) as db:
        for name in names:
            yield from store.named(db, name, standard=standard, supplier=supplier)


def _offer(hit: store.Hit) -> Offer:
    numbers = {k: v for k, v in hit.numbers.items() if k not in OFFER_NUMBERS}
    words = {k: v for k, v in hit.words.items() if k not in ("currency", "country")}
    own = {k.replace(" ", "_"): hit.numbers.get(k, NAN) for k in OFFER_NUMBERS}
    place = hit.texts["place"]
    row = place if "row" in place else f"row {place}"
    source = Source(f"list of {hit.supplier}", f"{hit.file}, {row}, read {hit.read_on}", obtained="given")
    part, name = hit.texts["part"], hit.texts["name"]
    told = {"description": name} if name != part else {}
    return Offer(hit.kind, part, hit.supplier, {**numbers, **words, **told}, hit.texts["standard"],
                 currency=hit.words.get("currency", ""), country=hit.words.get("country", ""), cad=hit.texts["cad"],
                 source=source, where=f"{hit.file}, {row}", **own)
