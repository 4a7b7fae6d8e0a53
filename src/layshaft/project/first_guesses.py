"""Values to begin with where nobody has measured or decided anything: offered with their range, never silently."""

from __future__ import annotations

from typing import Any, NamedTuple

from layshaft.listings.tables import Row, table
from layshaft.machine import paths
from layshaft.machine.document import TextNode
from layshaft.machine.model import Machine

TABLE = "first_guesses"
SEAT_STEPS = 5


class FirstGuess(NamedTuple):
    """A value as the file writes it, its range, what it is usual for, and how that is known."""

    value: str
    low: str
    high: str
    why: str
    obtained: str

    @property
    def sure(self) -> bool:
        """Whether there is no range to speak of."""
        return self.low == self.high

    @property
    def written(self) -> dict[str, Any]:
        """What is written into the file: a guess with its range and what it rests on."""
        between = {} if self.sure else {"between": [self.low, self.high]}
        return {"value": self.value, **between, "source": "assumed", "note": f"{self.why}: {self.obtained}"}


def first_guess(machine: Machine, path: str) -> FirstGuess | None:
    """The guess for a line of the machine; None where the trade has no usual value for it."""
    row = table(TABLE).get(_name(machine, path))
    return None if row is None else _of(row)


def guesses_of(kind: str) -> dict[str, FirstGuess]:
    """Every guess for one kind, by its key."""
    head = f"{kind}: "
    return {row.name.removeprefix(head): _of(row) for row in table(TABLE).rows if row.name.startswith(head)}


def _of(row: Row) -> FirstGuess:
    return FirstGuess(*(row.text(c) for c in ("value", "low", "high", "why", "obtained")))


def _name(machine: Machine, path: str) -> str:
    """Kind and key of a line, as the table names them."""
    words = path.split(".")
    if words[0] == "shafts":
        return f"seat: {words[4]}" if len(words) == SEAT_STEPS and words[2] == "seats" else ""
    if len(words) != len(("collection", "name", "key")):
        return ""
    kind = paths.in_tree(machine.document, (words[0], words[1], "kind"))
    return f"{kind.text}: {words[2]}" if isinstance(kind, TextNode) else ""
