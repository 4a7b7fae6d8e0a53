"""Where a number or a method comes from, and how far it can be trusted."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

Obtained = Literal["read", "second text", "from memory", "typical", "derived", "common practice", "given"]

WEAK: frozenset[Obtained] = frozenset({"from memory", "typical"})


@dataclass(frozen=True, slots=True)
class Source:
    """A published place, or the person, list or measurement a value came from.

    `obtained` says how: read on the page, read in a second text, from memory, a typical value,
    derived here, common practice with no single source, or given in the machine file.
    """

    work: str
    place: str = ""
    obtained: Obtained = "read"

    @property
    def weak(self) -> bool:
        """True where nobody has seen the number on a page: it counts as a guess."""
        return self.obtained in WEAK

    def __str__(self) -> str:
        text = ", ".join(part for part in (self.work, self.place) if part)
        return text if self.obtained in ("given", "derived") else f"{text} [{self.obtained}]"


STATICS = Source("elementary statics", obtained="derived")
KINEMATICS = Source("elementary kinematics", obtained="derived")
MECHANICS_OF_MATERIALS = Source("elementary mechanics of materials", obtained="derived")
