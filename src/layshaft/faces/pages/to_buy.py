"""What the machine buys as it is chosen: each size with how many, who offers it, for what, and by when to order it."""

from __future__ import annotations

import datetime
import math
from collections.abc import Sequence
from dataclasses import dataclass

from layshaft.bill.parts import Line, parts_list
from layshaft.bill.prices import Offered, costs, quoted
from layshaft.faces.pages.here_by import HereBy
from layshaft.faces.pages.ordering import when_words
from layshaft.train.solve import Solved


@dataclass(frozen=True, slots=True)
class Bought:
    """One size: what it is, how many, whose offer, the price of all of them, and when it is here or to be ordered."""

    name: str
    many: str
    where: Sequence[str]
    offer: str
    price: str
    when: str
    late: bool
    rank: float
    """Time that is left to order it; the least first, what nobody tells last."""


@dataclass(frozen=True, slots=True)
class ToBuy:
    """Everything that is bought by a name, and in words what of it costs how much."""

    rows: list[Bought]
    cost: str


def to_buy(solved: Solved, offered: Offered, by: HereBy | None, today: datetime.date) -> ToBuy:
    """Sizes that are chosen, the most pressing first."""
    lines = [line for line in parts_list(solved.machine, solved) if line.size and line.chosen]
    quoted(lines, solved.machine, offered(sorted({line.size for line in lines})))
    rows = sorted((_bought(line, by, today) for line in lines), key=lambda row: (row.rank, row.name))
    cost = costs(lines)
    words = f"{cost.known:.2f} {cost.currency}" if math.isfinite(cost.known) else ""
    if words and cost.without:
        words += f", without {cost.without} {'piece' if cost.without == 1 else 'pieces'} whose price no list says"
    return ToBuy(rows, words)


def _bought(line: Line, by: HereBy | None, today: datetime.date) -> Bought:
    lead = line.quote.lead_time if math.isfinite(line.quote.lead_time) else math.inf
    left = (by.seconds if by is not None else 0.0) - lead
    price = line.quote.price * line.per * line.quantity
    many = f"{line.quantity} × {line.per:.3g} m" if line.per != 1 else str(line.quantity)
    return Bought(line.name, many, line.where, line.quote.order,
                  f"{price:.2f} {line.quote.currency}".strip() if math.isfinite(price) else "",
                  when_words(lead, by, today), by is not None and math.isfinite(left) and left < 0,
                  left if math.isfinite(left) else math.inf)
