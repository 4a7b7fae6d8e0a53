"""What one change of the file does to the rest of the machine: the whole of it solved and rated again."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from layshaft.machine.model import Machine
from layshaft.machine.options import apply
from layshaft.study.harms import Harm, moved, told_once
from layshaft.study.places import table_of
from layshaft.study.with_run import rated_with_run
from layshaft.trace.findings import Finding
from layshaft.train.solve import solve
from layshaft.verdict.rate import Verdict, rate


@dataclass(frozen=True, slots=True)
class Elsewhere:
    """What a change moves: verdicts of other parts that hold now, and all that it makes worse."""

    mended: tuple[Finding, ...] = ()
    harms: tuple[Harm, ...] = ()
    """What can hurt people first."""

    ran: bool = False
    """Whether the machine was run over time before and after it; else what only a run says is not among them."""

    not_run: str = ""
    """Why it cannot be run with the change, where it was run without; blank otherwise."""

    @property
    def people(self) -> bool:
        """Whether somebody can be hurt by what it makes worse."""
        return any(harm.people for harm in self.harms)

    @property
    def harmless(self) -> bool:
        """True where nothing is made worse, and a run can say so where it could before."""
        return not self.harms and not self.not_run


def plainly(machine: Machine) -> Verdict:
    """The machine rated without a run, so that like stands beside like."""
    return rate(solve(machine))


def elsewhere(machine: Machine, before: Verdict, option: Mapping[str, Any], own: str) -> Elsewhere:
    """What a change of the part at `own` does to the machine. Raises `BadInput` where the file cannot be so.

    It is run over time where it was run `before`. Of the part itself it is no harm that a check comes to be asked
    which nothing can answer: that is told of the size.
    """
    changed, run = apply(machine, option), before.run.figures is not None
    after = rated_with_run(changed) if run else plainly(changed)
    ran = after.run.figures is not None
    other = moved(table_of(before), table_of(after))
    return Elsewhere(
        tuple(f for f in other.better if f.verdict == "holds" and f.part != own),
        told_once(h for h in other.harms if h.was is not None or h.now.part != own or h.now.verdict != "unknown"),
        ran, after.run.why if run and not ran else "")
