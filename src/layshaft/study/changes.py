"""A change of the file and what it does, and the answer for one finding: which of them mend it, and at what cost."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Any

from layshaft.study.harms import Harm, share_of
from layshaft.trace.findings import Finding
from layshaft.verdict.runaways import MODE as RUN_AWAY


@dataclass(frozen=True, slots=True)
class Step:
    """One value that is changed: its key in the file, how it read, how it reads then; an option of the file has a name.
    """

    what: str
    was: str = ""
    then: str = ""
    listed: bool = False
    """Whether it is a size of a series, not a value."""


@dataclass(frozen=True, slots=True)
class Change:
    """A change of the file and what it does: the finding after it, and the others that it moves."""

    steps: tuple[Step, ...]
    option: Any
    far: float
    """How far it is from what there is, as a share of it; options of the file have none."""

    found: Finding
    better: tuple[Finding, ...] = ()
    worse: tuple[Finding, ...] = ()
    breaks: tuple[Finding, ...] = ()
    """Those that did not fail before and do now, or held and are unknown."""

    harms: tuple[Harm, ...] = ()
    """These and all that failed or was thin before and gets worse, what can hurt people first."""

    watched: Finding | None = None
    """Another finding that was asked for, after the change."""

    no_better: bool = False
    """Whether the finding is no better with it: then nothing else was asked, and it is no answer."""

    ran: bool = False
    """Whether the machine was run over time with it, and rated with what the run says."""

    not_run: str = ""
    """Why it cannot be run over time with it, where it can without; blank otherwise."""

    @property
    def what(self) -> str:
        """What is changed, in one line."""
        return " and ".join(step.what for step in self.steps)

    @property
    def share(self) -> float:
        """Margin over required margin of the finding."""
        return share_of(self.found)

    @property
    def mends(self) -> bool:
        """True where the finding holds and nothing else is lost or made worse."""
        return self.found.verdict == "holds" and self.harmless

    @property
    def harmless(self) -> bool:
        """True where nothing else is made worse, and a run over time can say so where it could before."""
        return not self.harms and not self.not_run

    @property
    def refused(self) -> bool:
        """True where it makes worse what can hurt people and does not hold: such a change is never offered."""
        return any(harm.people for harm in self.harms)


@dataclass(slots=True)
class Mending:
    """The answer for one finding."""

    finding: Finding
    options: list[Change] = field(default_factory=list)
    values: list[Change] = field(default_factory=list)
    spare: dict[str, Change] = field(default_factory=dict)
    """The same value moved further, by its key, where the least that will do leaves nothing to spare."""

    pairs: list[Change] = field(default_factory=list)
    """Two changes together, looked for where no single one mends it."""

    nearest: Change | None = None
    """What comes nearest of all that harm nothing, where nothing mends it."""

    in_the_way: Change | None = None
    """What would come nearer still, and what it makes worse."""

    but: list[Change] = field(default_factory=list)
    """What mends it and makes others worse."""

    refused: list[Change] = field(default_factory=list)
    """What would mend it or come nearer, and is not offered: it makes worse what can hurt people."""

    best_pair: Change | None = None
    """Of two together what came out best, where none of them mends it."""

    opens: list[Change] = field(default_factory=list)
    """What leaves it unknown instead of failing."""

    tried: int = 0
    paired: int = 0
    """How many of those that were tried were two together."""

    not_run: str = ""
    """Why the machine cannot be run over time, so that nothing a run would say is judged; blank where it was run."""

    stopped: bool = False

    @property
    def shown(self) -> list[Change]:
        """Every change that is offered, in the order it is told, and the best of two together."""
        single = [c for c in (self.nearest, self.in_the_way, self.best_pair) if c is not None]
        return [*self.changes, *self.spare.values(), *self.but, *self.opens, *(c for c in single if not c.refused)]

    @property
    def sizes(self) -> bool:
        """Whether sizes decide it; a loss that nothing ends is no matter of size."""
        return self.finding.mode != RUN_AWAY

    @property
    def changes(self) -> list[Change]:
        """All that mend it, options of the file first."""
        return [*self.options, *self.values, *self.pairs]
