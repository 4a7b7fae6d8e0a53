"""Whole machines side by side: every margin that moves, and what else a choice costs or gives."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, field

import numpy as np

from layshaft.bill.parts import Line, parts_list, total
from layshaft.bill.prices import Offered, costs, nothing_offered, quoted, times
from layshaft.machine.model import Machine
from layshaft.machine.options import named_option
from layshaft.study.harms import Harm, Key, by_key, moved, told_once
from layshaft.study.places import table_of
from layshaft.study.room_and_push import rows
from layshaft.study.with_run import rated_with_run
from layshaft.study.without import Loss, losses
from layshaft.trace.findings import WORST_FIRST, Finding
from layshaft.trace.units import COUNT, FORCE, MASS, MONEY, POWER, RATIO, TIME, Dimension
from layshaft.verdict.rate import Verdict

MOVES = 0.01
"""A margin that changes by less than this share of itself has not moved."""

Progress = Callable[[float], None]

AND = "+"
AS_IT_STANDS = "as it stands"
DAYS = "days"


@dataclass(frozen=True, slots=True)
class Fact:
    """One number of a whole machine beside those of the others; NaN where it is not known.

    `unit` is the one it is told in, where that is not for the number to say.
    """

    name: str
    dimension: Dimension
    values: tuple[float, ...]
    note: str = ""
    unit: str | None = None

    @property
    def moves(self) -> bool:
        """Whether it differs between the machines."""
        known = [v for v in self.values if np.isfinite(v)]
        return len(known) < len(self.values) or bool(np.ptp(known) > 1e-9 * max(map(abs, known), default=0.0))


@dataclass(frozen=True, slots=True)
class Moved:
    """One part and mode whose margin or verdict differs; None where a machine has no such finding."""

    key: Key
    found: tuple[Finding | None, ...]

    @property
    def rank(self) -> tuple[int, float]:
        """The worst of them first."""
        return min(f.rank for f in self.found if f is not None)


@dataclass(slots=True)
class Comparison:
    """Machines in the order they were asked for, as it stands first."""

    labels: list[str]
    verdicts: list[Verdict]
    facts: list[Fact] = field(default_factory=list)
    moved: list[Moved] = field(default_factory=list)
    losses: list[Loss] = field(default_factory=list)

    def changes(self, i: int) -> dict[tuple[str, str], list[Finding]]:
        """Findings of machine `i` by how their verdict changed from the first machine: (from, to)."""
        first = by_key(self.verdicts[0].findings)
        found: dict[tuple[str, str], list[Finding]] = {}
        for key, finding in by_key(self.verdicts[i].findings).items():
            before = first.get(key)
            word = before.verdict if before is not None else "not there"
            if word != finding.verdict:
                found.setdefault((word, finding.verdict), []).append(finding)
        return found

    def weaker(self, i: int) -> list[Harm]:
        """What gets worse in machine `i` and yet, at its worst place, fails or is thin as it did in the first one."""
        said = {(f.part, f.mode) for found in self.changes(i).values() for f in found}
        first, other = (table_of(self.verdicts[k]) for k in (0, i))
        return [h for h in told_once(moved(first, other).harms) if (h.now.part, h.now.mode) not in said]


def compare(machine: Machine, options: Sequence[str], offered: Offered = nothing_offered,
            progress: Progress = lambda _done: None) -> Comparison:
    """The machine as it stands beside itself with each option, or several joined by `+`. Raises `MachineErrors`.

    `progress` hears through how many machines the losses have been followed, which is most of the work.
    """
    machines = [machine]
    for text in options:
        other = machine
        for name in text.split(AND):
            other = named_option(other, name.strip())
        machines.append(other)
    return beside([AS_IT_STANDS, *options], machines, offered, progress)


def beside(labels: Sequence[str], machines: Sequence[Machine], offered: Offered = nothing_offered,
           progress: Progress = lambda _done: None) -> Comparison:
    """Machines side by side, whatever made them differ; the first is what the others are held against.

    `offered` says for names of standard sizes what they are offered for.
    """
    verdicts = [rated_with_run(m) for m in machines]
    found = Comparison(list(labels), verdicts)
    found.facts = _facts(verdicts, offered)
    found.moved = _moved(verdicts)
    found.losses = losses(verdicts, progress)
    return found


def _moved(verdicts: list[Verdict]) -> list[Moved]:
    tables = [by_key(v.findings) for v in verdicts]
    keys = dict.fromkeys(key for table in tables for key in table)
    found = [Moved(key, tuple(table.get(key) for table in tables)) for key in keys]
    return sorted((m for m in found if _differs(m.found)), key=lambda m: m.rank)


def _differs(found: Sequence[Finding | None]) -> bool:
    there = [f for f in found if f is not None]
    if len(there) < len(found) or len({f.verdict for f in there}) > 1:
        return True
    margins = [f.margin for f in there if np.isfinite(f.margin)]
    return len(margins) > 1 and max(margins) - min(margins) > MOVES * abs(max(margins))


def _facts(verdicts: list[Verdict], offered: Offered) -> list[Fact]:
    found = [Fact(f"verdicts: {word}", COUNT, tuple(
        float(sum(f.verdict == word for f in v.findings)) for v in verdicts)) for word in WORST_FIRST]
    bills = [parts_list(v.solved.machine, v.solved) for v in verdicts]
    quotes = offered(sorted({line.size for bill in bills for line in bill if line.size}))
    for bill, verdict in zip(bills, verdicts, strict=True):
        quoted(bill, verdict.solved.machine, quotes)
    totals = [total(bill) for bill in bills]
    unknown = max(t.unknown for t in totals)
    found += [
        Fact("mass of all parts", MASS, tuple(t.known for t in totals),
             f"without {unknown} parts of unknown mass" if unknown else ""),
        Fact("pieces", COUNT, tuple(float(sum(line.quantity for line in bill)) for bill in bills)),
        Fact("different parts", COUNT, tuple(float(len(bill)) for bill in bills)),
        *_buying(bills),
        Fact("power lost while it runs", POWER, tuple(_lost(v) for v in verdicts)),
        Fact("largest push along a shaft", FORCE, tuple(_thrust(v) for v in verdicts), "worst case of every shaft"),
    ]
    placed = (Fact(*row) for row in rows(verdicts))
    return [*found, *(f for f in placed if f.moves), *_windings(verdicts), *_starts(verdicts), *_wants(verdicts)]


def _buying(bills: list[list[Line]]) -> list[Fact]:
    """Price and lead time, with how much of the machine has none: most of one is made, not bought."""
    cost, time = [costs(bill) for bill in bills], [times(bill) for bill in bills]
    found = [Fact(f"price of the parts that have one, {word}", MONEY,
                  tuple(c.known if c.currency == word else np.nan for c in cost))
             for word in sorted({c.currency for c in cost if c.currency})]
    if found:
        found.append(Fact("pieces without a price", COUNT, tuple(float(c.without) for c in cost)))
    if any(np.isfinite(t.longest_known) for t in time):
        found += [
            Fact("longest lead time", TIME, tuple(t.longest for t in time), "unknown while any piece has none", DAYS),
            Fact("longest of those that have one", TIME, tuple(t.longest_known for t in time), unit=DAYS),
            Fact("pieces without a lead time", COUNT, tuple(float(t.without) for t in time))]
    return found


def _lost(verdict: Verdict) -> float:
    books = verdict.solved.budget
    return float(np.mean(books.total("lost"))) if books is not None else np.nan


def _thrust(verdict: Verdict) -> float:
    pushes = [np.abs(np.asarray(loads.thrust, float)) for loads in verdict.solved.loads.values()]
    known = [float(p[np.isfinite(p)].max()) for p in pushes if np.isfinite(p).any()]
    return max(known, default=np.nan)


def _windings(verdicts: list[Verdict]) -> list[Fact]:
    """How long a drop lasts and what winding asks, of every weight that all machines have."""
    tables = [{w.drive: w for w in v.solved.budget.windings} if v.solved.budget else {} for v in verdicts]
    found = []
    for drive in tables[0]:
        rows = [t.get(drive) for t in tables]
        time = tuple(np.nan if w is None else float(np.mean(w.time)) for w in rows)
        force = tuple(np.nan if w is None else float(np.mean(w.handle_force)) for w in rows)
        found.append(Fact(f"one drop of {drive} lasts", TIME, time))
        if np.isfinite(force).any():
            found.append(Fact(f"mean force on the handle, {drive}", FORCE, force))
    return found


def _starts(verdicts: list[Verdict]) -> list[Fact]:
    tables = [v.solved.budget.start_ratio if v.solved.budget else {} for v in verdicts]
    return [Fact(f"start of {drive}, drive torque over all torques at rest", RATIO,
                 tuple(float(np.mean(t[drive])) if drive in t else np.nan for t in tables)) for drive in tables[0]]


def _wants(verdicts: list[Verdict]) -> list[Fact]:
    """What is wanted of speed and swing, as it comes out."""
    tables = [{(f.part, f.mode): f for f in v.whole if f.part.startswith("wants.") and (
        "swing" in f.mode or "error" in f.mode)} for v in verdicts]
    return [Fact(f"{key[1]}", f.dimension, tuple(t[key].demand if key in t else np.nan for t in tables))
            for key, f in tables[0].items()]
