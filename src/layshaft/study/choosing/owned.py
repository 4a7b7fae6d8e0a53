"""The file's own parts as offers, and suppliers' offers as parts of the file."""

from __future__ import annotations

import re
from collections.abc import Mapping
from typing import Any

from layshaft.listings.offers import Offer
from layshaft.machine.kinds import PARTS
from layshaft.machine.model import Machine
from layshaft.machine.schema import Given, Quantity, Word, keys
from layshaft.trace.source import Source

NAN = float("nan")
NOT_ALLOWED = re.compile(r"[^\w -]+")


def named_offers(machine: Machine, kind: type, what: str) -> list[Offer]:
    """The file's own parts of a kind, as offers that are named already."""
    return [_offer(part, what) for part in machine.parts.values() if type(part) is kind]


def _offer(part: Any, what: str) -> Offer:
    values: dict[str, float | str] = {}
    for word, (name, _) in keys(type(part)).items():
        value = getattr(part, name)
        if isinstance(value, Given):
            values[word] = value.nominal
        elif isinstance(value, str):
            values[word] = value

    def known(word: str) -> float:
        value = values.get(word, NAN)
        return value if isinstance(value, float) else NAN

    return Offer(what, part.name, "", values, part.name, mass=known("mass"), price=known("price"),
                 lead_time=known("lead time"), source=Source(part.path, part.read_in, "given"),
                 where="own part of the file")


def part_of(offer: Offer, what: str) -> tuple[str, dict[str, Any]]:
    """Name and keys of the own part that a supplier's offer becomes in the machine file."""
    kind = PARTS[what]
    name = " ".join(NOT_ALLOWED.sub(" ", f"{offer.name} {offer.supplier}").split())
    said: dict[str, Any] = {"kind": what, "source": "listed", "read in": offer.where or str(offer.source)}
    for word, (_, k) in keys(kind).items():
        value = offer.values.get(word)
        if isinstance(k.reads, Quantity) and isinstance(value, float | int) and value == value:
            said[word] = written(k.reads, float(value))
        elif isinstance(k.reads, Word) and isinstance(value, str) and value in k.reads.choices:
            said[word] = value
    return name, said | _dealings(offer, keys(kind))


def _dealings(offer: Offer, known: Mapping[str, Any]) -> dict[str, str]:
    """What it weighs, costs and how long it takes, as far as parts of the file have such keys."""
    found: dict[str, str] = {}
    for word, value in {"mass": offer.mass, "lead time": offer.lead_time}.items():
        if word in known and value == value:
            found[word] = written(known[word][1].reads, value)
    for word, text in {"supplier": offer.supplier, "part number": offer.name, "cad": offer.cad}.items():
        if word in known and text:
            found[word] = text
    if "price" in known and offer.price == offer.price and offer.currency:
        found["price"] = f"{offer.price:.2f} {offer.currency}"
    return found


def written(reads: Quantity, value: float) -> str:
    """A number as the file writes it, in the unit that reads best."""
    unit = reads.dimension.best_unit(value)
    return f"{value / reads.dimension.units[unit]:.10g} {unit}".rstrip()

