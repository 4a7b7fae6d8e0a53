"""What one change of the file does to the rest of the machine: the whole of it solved and rated again."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from layshaft.machine.model import Machine
from layshaft.machine.options import apply
from layshaft.study.harms import by_key, moved_by
from layshaft.trace.findings import Finding
from layshaft.train.solve import solve
from layshaft.verdict.rate import Verdict, rate


@dataclass(frozen=True, slots=True)
class Elsewhere:
    """Findings of other parts that are moved: those that hold now, those that begin to fail, those not known any more.

    A verdict that a run over time gave is not among them: neither machine is run.
    """

    mended: tuple[Finding, ...] = ()
    failing: tuple[Finding, ...] = ()
    lost: tuple[Finding, ...] = ()


def plainly(machine: Machine) -> Verdict:
    """The machine rated without a run, so that like stands beside like."""
    return rate(solve(machine))


def elsewhere(machine: Machine, before: Verdict, option: Mapping[str, Any], own: str) -> Elsewhere:
    """What a change of the part at `own` does to all others. Raises `BadInput` where the file cannot be so."""
    after = by_key(plainly(apply(machine, option)).findings)
    better, _, breaks = moved_by(by_key(before.findings), after, (own, ""))
    others = [f for f in breaks if not (f.part == own or f.part.startswith(f"{own}."))]
    return Elsewhere(
        tuple(f for f in better if f.verdict == "holds" and f.part != own),
        tuple(f for f in others if f.verdict == "fails"), tuple(f for f in others if f.verdict == "unknown"))
