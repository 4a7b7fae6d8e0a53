"""What one change of the file does to the rest of the machine: the whole of it solved and rated again."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from layshaft.machine.model import Machine
from layshaft.machine.options import apply
from layshaft.study.harms import EVERY, Harm, by_key, harms_of, moved_by
from layshaft.trace.findings import Finding
from layshaft.train.solve import solve
from layshaft.verdict.rate import Verdict, rate


@dataclass(frozen=True, slots=True)
class Elsewhere:
    """What a change moves: verdicts of other parts that hold now, and all that it makes worse.

    A verdict that a run over time gave is not among them: neither machine is run.
    """

    mended: tuple[Finding, ...] = ()
    harms: tuple[Harm, ...] = ()
    """What can hurt people first."""

    @property
    def people(self) -> bool:
        """Whether somebody can be hurt by what it makes worse."""
        return any(harm.people for harm in self.harms)


def plainly(machine: Machine) -> Verdict:
    """The machine rated without a run, so that like stands beside like."""
    return rate(solve(machine))


def elsewhere(machine: Machine, before: Verdict, option: Mapping[str, Any], own: str) -> Elsewhere:
    """What a change of the part at `own` does to the machine. Raises `BadInput` where the file cannot be so.

    Of the part itself it is no harm that a check comes to be asked which nothing can answer: that is told of the size.
    """
    was, now = by_key(before.findings), by_key(plainly(apply(machine, option)).findings)
    better = moved_by(was, now, EVERY)[0]
    harms = harms_of(was, now, EVERY)
    return Elsewhere(
        tuple(f for f in better if f.verdict == "holds" and f.part != own),
        tuple(h for h in harms if not (h.was is None and h.now.part == own and h.now.verdict == "unknown")))
