"""What the sizes offered in the room of needs do to the rest of the machine, worked out once for a state."""

from __future__ import annotations

import time
from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Any

from layshaft.machine.model import Machine
from layshaft.machine.options import apply
from layshaft.study.elsewhere import Elsewhere, elsewhere, plainly
from layshaft.trace.errors import BadInput
from layshaft.verdict.needs import Need
from layshaft.verdict.rate import Verdict

PATIENCE = 0.7
"""Seconds a page waits for them; what is not worked out then is asked for by a link."""


@dataclass(slots=True)
class AfterTaking:
    """Answers for one state, by the path of the part."""

    verdict: Verdict
    before: Verdict | None = None
    known: dict[str, Elsewhere | None] = field(default_factory=dict)
    """None where the size does not go in as it is."""

    def look(self, needs: list[Need], asked: str = "") -> None:
        """Work out what is asked for, and of the rest what there is time for; a bar that does not go in at once."""
        end = time.monotonic() + PATIENCE
        machine = self.verdict.solved.machine
        first = [n for n in needs if n.path == asked]
        for need in [n for n in (*first, *needs) if n.smallest is not None and n.path not in self.known]:
            assert need.smallest is not None
            if need.what == "shaft" and not _goes_in(machine, need.smallest.option):
                self.known[need.path] = None
            elif need.path == asked or time.monotonic() < end:
                if self.before is None:
                    self.before = plainly(machine)
                self.known[need.path] = self._of(need.path, need.smallest.option)

    def _of(self, path: str, option: Mapping[str, Any]) -> Elsewhere | None:
        assert self.before is not None
        try:
            return elsewhere(self.verdict.solved.machine, self.before, option, path)
        except BadInput:
            return None


def _goes_in(machine: Machine, option: Mapping[str, Any]) -> bool:
    """Whether a thicker bar fits what sits on it."""
    try:
        apply(machine, option)
    except BadInput:
        return False
    return True
