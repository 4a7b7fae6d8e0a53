"""From a machine, or a machine with edits laid over it, to its verdict."""

from __future__ import annotations

from layshaft.faces.desk.drafting.edits import Edit, Edits
from layshaft.machine.model import Machine
from layshaft.project.runs import kept_run
from layshaft.trace.errors import BadInput
from layshaft.train.solve import solve
from layshaft.verdict.rate import Verdict, rate


def standing(edits: Edits, base: Machine, before: Verdict) -> tuple[Verdict, list[tuple[Edit, str]]]:
    """The verdict with edits that apply; all of them lost where the machine cannot be solved with them."""
    if not edits.made:
        return before, []
    try:
        return rated(edits.over(base)), []
    except BadInput as why:
        return before, [(edit, str(why)) for edit in edits.made]


def rated(machine: Machine) -> Verdict:
    """A machine solved and rated, as `layshaft check` does it, its findings sorted. Raises `MachineErrors`."""
    run = kept_run(machine)
    verdict = rate(solve(machine, run.moments), run)
    _ = verdict.findings  # sorted here, once, by whoever solves, and not by the first window that reads
    return verdict
