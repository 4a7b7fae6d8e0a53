"""One given of a machine file changed: as an option, and in the text of the file, to be compared."""

from __future__ import annotations

import math
import re
from dataclasses import dataclass, field

import layshaft
from layshaft import Machine, Verdict
from layshaft.machine.schema import Given

LARGEST = 1.02
STEPS = 997
NUMBER = re.compile(r"-?\d+(\.\d+)?")


@dataclass
class Rechecked:
    """A machine file, and edits of it: another given each time, and never twice the same value."""

    text: str
    machine: Machine = field(init=False)
    givens: list[Given] = field(init=False)
    made: int = 0

    def __post_init__(self) -> None:
        self.machine = layshaft.read_text(self.text)
        self.givens = [given for given in self.machine.givens.values() if self._turns_when_edited(given)]

    def _turns_when_edited(self, given: Given) -> bool:
        """False where the file says more than a number, and where the machine could not turn any more."""
        if not given.known or given.doubtful or not given.mark.line or given.dimension.name == "count":
            return False
        try:
            layshaft.solve(self.apply(edit(given, LARGEST)))
        except layshaft.MachineErrors:
            return False
        return True

    def next_edit(self) -> tuple[str, str]:
        """A small change of the next given."""
        self.made += 1
        return edit(self.givens[self.made % len(self.givens)], 1 + (LARGEST - 1) * (self.made % STEPS) / STEPS)

    def apply(self, change: tuple[str, str]) -> Machine:
        """The machine with the change, as a recheck makes it."""
        return layshaft.apply(self.machine, {"set": dict([change])})

    def read_again(self, change: tuple[str, str]) -> Machine:
        """The machine of the edited text, read from its first letter."""
        given = self.machine.givens[change[0]]
        lines = self.text.splitlines()
        line, at = lines[given.mark.line - 1], given.mark.column - 1
        assert line.startswith(given.written, at)
        lines[given.mark.line - 1] = line[:at] + change[1] + line[at + len(given.written):]
        return layshaft.read_text("\n".join(lines))

    def as_it_is(self) -> Verdict:
        """The check of the machine unchanged."""
        return layshaft.rate(layshaft.solve(self.machine))

    def next_check(self) -> Verdict:
        """A whole recheck after the next edit: findings, reasons and fingerprints."""
        verdict = layshaft.rate(layshaft.solve(self.apply(self.next_edit())))
        assert verdict.findings
        return verdict

    def agrees(self, every: int) -> int:
        """Compare rechecks of every so many edits with fresh checks of the edited text; how many there were."""
        some = self.givens[::every]
        for given in some:
            change = edit(given, LARGEST)
            both = self.apply(change), self.read_again(change)
            ours, fresh = (answers(layshaft.rate(layshaft.solve(machine))) for machine in both)
            assert ours.keys() == fresh.keys(), change
            for key, values in fresh.items():
                assert all(same(a, b) for a, b in zip(ours[key], values, strict=True)), (change, key)
        return len(some)


def edit(given: Given, factor: float) -> tuple[str, str]:
    """A given times a factor, as its path and what the file would say."""
    return given.path, NUMBER.sub(lambda m: f"{float(m[0]) * factor:.9g}", given.written, count=1)


def answers(verdict: Verdict) -> dict[tuple[str, ...], tuple[object, ...]]:
    """What a check answers, by part, place, mode and case."""
    return {(f.part, f.place, f.mode, f.title): (f.demand, f.rating, f.margin, f.required, f.verdict, f.fingerprint)
            for f in verdict.findings}


def same(a: object, b: object) -> bool:
    """Equal, with numbers to twelve digits and an unknown equal to an unknown."""
    if isinstance(a, float) and isinstance(b, float):
        return math.isclose(a, b, rel_tol=1e-12) or (math.isnan(a) and math.isnan(b))
    return a == b
