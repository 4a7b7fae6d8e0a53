"""What the parts of a machine cost and how long they take, as far as somebody offered them.

A quote comes from the file's own part or, for a standard size, from whoever hands one over; the bill
itself looks nothing up.
"""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from typing import Protocol, TypeVar

from layshaft.machine.kinds import Part
from layshaft.machine.model import Machine

NAN = math.nan


@dataclass(frozen=True, slots=True)
class Quote:
    """Price of one piece (of a chain or rope: of one metre), lead time in s, who sells it under which number."""

    price: float = NAN
    currency: str = ""
    lead_time: float = NAN
    order: str = ""
    cad: str = ""


NO_QUOTE = Quote()
Quotes = Mapping[str, Quote]
"""By the name of a standard size, in small letters."""

Offered = Callable[[Sequence[str]], Quotes]
"""What standard sizes are offered for, by their names."""


def nothing_offered(_sizes: Sequence[str]) -> Quotes:
    """Where no lists are at hand."""
    return {}


class Priced(Protocol):
    """A line of a parts list, as far as it concerns its price; `size` is the name it is bought by."""

    size: str
    quote: Quote
    per: float

    @property
    def quantity(self) -> int:
        """How many."""


L = TypeVar("L", bound=Priced)


@dataclass(frozen=True, slots=True)
class Costs:
    """Sum of the known prices in the currency most of them are in, and how many pieces are not in it."""

    known: float
    currency: str
    without: int


@dataclass(frozen=True, slots=True)
class Times:
    """The longest lead time, NaN where any piece has none; the longest known one; how many pieces have none."""

    longest: float
    longest_known: float
    without: int


def quoted(lines: list[L], machine: Machine, quotes: Quotes) -> list[L]:
    """The same lines, each with what it is offered for."""
    for line in lines:
        line.quote = _quote_for(machine, line.size, quotes)
    return lines


def _quote_for(machine: Machine, size: str, quotes: Quotes) -> Quote:
    """The file's own part of that name, else what was handed over for the standard size."""
    folded = size.casefold()
    own = next((part for name, part in machine.parts.items() if name.casefold() == folded), None)
    if isinstance(own, Part):
        return Quote(own.price.value, own.price.currency, own.lead_time.nominal,
                     " ".join(word for word in (own.supplier, own.part_number) if word), own.cad)
    return quotes.get(folded, NO_QUOTE) if folded else NO_QUOTE


def costs(lines: Sequence[Priced]) -> Costs:
    """What the parts cost that have a price."""
    pieces: Counter[str] = Counter()
    for line in lines:
        if math.isfinite(line.quote.price * line.per):
            pieces[line.quote.currency] += line.quantity
    every = sum(line.quantity for line in lines)
    if not pieces:
        return Costs(NAN, "", every)
    currency = min(pieces, key=lambda c: (-pieces[c], c))
    known = sum(line.quote.price * line.per * line.quantity for line in lines
                if line.quote.currency == currency and math.isfinite(line.quote.price * line.per))
    return Costs(known, currency, every - pieces[currency])


def times(lines: Sequence[Priced]) -> Times:
    """How long one waits for the last of them."""
    known = [line.quote.lead_time for line in lines if math.isfinite(line.quote.lead_time)]
    without = sum(line.quantity for line in lines if not math.isfinite(line.quote.lead_time))
    most = max(known, default=NAN)
    return Times(NAN if without else most, most, without)
