"""What is wrong with a machine file: problems with their places. Their wording is in `sentences`."""

from __future__ import annotations

from collections.abc import Iterable
from typing import NamedTuple

from layshaft.machine.schema import Mark
from layshaft.trace.errors import BadInput


class Problem(NamedTuple):
    """One thing wrong, and its place. A mark without a line prints no place."""

    mark: Mark
    sentence: str

    def __str__(self) -> str:
        return f"{self.mark}: {self.sentence}" if self.mark.line else self.sentence


class MachineErrors(BadInput):
    """All problems one pass found, in file order."""

    def __init__(self, problems: Iterable[Problem]) -> None:
        self.problems: tuple[Problem, ...] = tuple(sorted(set(problems)))
        super().__init__(str(self))

    def __str__(self) -> str:
        return "\n".join(map(str, self.problems))
