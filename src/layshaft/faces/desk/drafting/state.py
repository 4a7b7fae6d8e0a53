"""What every window of a desk shows: the file as it stands, the draft over it, and what is wrong with either.

A state never changes once it is there; what is newer has a higher number.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cached_property
from typing import Any

from layshaft.faces.desk.drafting.broken import Broken
from layshaft.faces.desk.drafting.edits import Edit, Edits
from layshaft.machine.model import Machine
from layshaft.trace.errors import BadInput
from layshaft.trace.findings import Finding
from layshaft.verdict.rate import Verdict
from layshaft.verdict.unfinished import unfinished

NO_MACHINE = "There is no machine yet."


@dataclass(frozen=True)
class Lost:
    """An edit that no longer applies to the file as it was edited elsewhere, and why."""

    edit: Edit
    why: str


@dataclass(frozen=True, eq=False)
class State:
    """What every window shows. `before` is the file as it stands, `verdict` the same with the draft laid over it."""

    number: int = 0
    before: Verdict | None = None
    verdict: Verdict | None = None
    edits: tuple[Edit, ...] = ()
    lost: tuple[Lost, ...] = ()
    trouble: str = ""
    """What is wrong with the file now; the verdicts are then of its last good text."""

    broken: tuple[Broken, ...] = ()
    """The same, one by one, with the lines of the file."""

    read_only: str = ""
    can_undo: bool = False
    from_before: bool = False
    """Whether the draft is one that an earlier desk left behind, and nobody touched it since."""

    fleeting: str = ""
    """Why the draft would be gone with this desk, where it cannot be laid aside."""

    @property
    def empty(self) -> bool:
        """Whether there is nothing that turns yet."""
        return self.verdict is not None and not self.machine.shafts

    @property
    def open(self) -> bool:
        """Whether something is changed and not kept."""
        return bool(self.edits)

    @property
    def machine(self) -> Machine:
        """The machine with the draft laid over it."""
        if self.verdict is None:
            raise BadInput(self.trouble or NO_MACHINE)
        return self.verdict.solved.machine

    def says(self, option: Mapping[str, Any]) -> bool:
        """Whether a change would change nothing that is shown."""
        if self.before is None:
            return False
        laid = Edits(self.edits).plus(Edit(dict(option)), self.before.solved.machine)
        return [edit.option for edit in laid.made] == [edit.option for edit in self.edits]

    def was(self, found: Finding) -> Finding | None:
        """The same finding of the file as it stands; None where there was none."""
        return self._before.get(key(found))

    @cached_property
    def unfinished(self) -> dict[str, list[str]]:
        """By thing the lines that are missing or open; what the train waits for first."""
        return {} if self.verdict is None else unfinished(self.verdict)

    @cached_property
    def unknown(self) -> int:
        """Verdicts that are not known."""
        return 0 if self.verdict is None else sum(f.verdict == "unknown" for f in self.verdict.findings)

    @cached_property
    def _before(self) -> dict[tuple[str, str, str], Finding]:
        return {key(f): f for f in self.before.findings} if self.before is not None else {}


def key(found: Finding) -> tuple[str, str, str]:
    """What tells findings apart."""
    return found.part, found.place, found.mode
