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
        """Work out what is asked for, and of the rest what there is time for; a bar that does not go in at once.

        A run takes longer than all the rest, so every size is looked at without one first.
        """
        end = time.monotonic() + PATIENCE
        machine = self.verdict.solved.machine
        wanted = {n.path: n.smallest.option for n in needs if n.smallest is not None}
        for need in needs:
            if need.path in wanted and need.what == "shaft" and not _goes_in(machine, wanted[need.path]):
                self.known[need.path] = None
        paths = [path for path in (asked, *wanted) if path in wanted]
        for path in paths:
            if path not in self.known and (path == asked or time.monotonic() < end):
                self.known[path] = self._of(path, wanted[path], self._plain())
        for path in paths if self.verdict.run.figures is not None else ():
            known = self.known.get(path)
            if known is not None and not known.ran and not known.not_run and (path == asked or time.monotonic() < end):
                self.known[path] = self._of(path, wanted[path], self.verdict)

    def _plain(self) -> Verdict:
        if self.before is None:
            self.before = plainly(self.verdict.solved.machine)
        return self.before

    def _of(self, path: str, option: Mapping[str, Any], before: Verdict) -> Elsewhere | None:
        try:
            return elsewhere(self.verdict.solved.machine, before, option, path)
        except BadInput:
            return None


def _goes_in(machine: Machine, option: Mapping[str, Any]) -> bool:
    """Whether a thicker bar fits what sits on it."""
    try:
        apply(machine, option)
    except BadInput:
        return False
    return True
