"""A verdict made step by step: what one finding follows from first, and all the rest only where that is worth it."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from layshaft.trace.findings import Finding
from layshaft.train.motion.figures import UNSEEN, RunSeen
from layshaft.train.solve import Solved
from layshaft.verdict.context import context
from layshaft.verdict.open import open_owners, taken_weights
from layshaft.verdict.rate import ONE_KIND, Rated, Verdict, rated_kind
from layshaft.verdict.whole import AFTER_RATING, OF_THE_WHOLE, asked_of

Step = int
"""Number of a kind of part, then of what is found on the machine as a whole."""


class Stepwise:
    """A solved machine, and of its verdict what has been asked for."""

    def __init__(self, solved: Solved, run: RunSeen = UNSEEN) -> None:
        self.verdict = Verdict(solved, context(solved), run=run)
        self._unsettled = open_owners(solved), taken_weights(solved)
        self._kinds: dict[Step, list[Rated]] = {}
        self._whole: dict[Step, list[Finding]] = {}

    def rated(self, steps: Iterable[Step]) -> list[Rated]:
        """The kinds of part among these steps."""
        return [r for step in steps if step < len(ONE_KIND) for r in self._kind(step)]

    def found(self, steps: Iterable[Step]) -> list[Finding]:
        """What is found on the machine as a whole in these steps."""
        return [f for step in steps if step >= len(ONE_KIND) for f in self._asked(step)]

    def all(self) -> Verdict:
        """The verdict with everything in it."""
        kinds, last = len(ONE_KIND), len(ONE_KIND) + len(OF_THE_WHOLE)
        self.verdict.rated = self.rated(range(kinds))
        self.verdict.whole = self.found(range(kinds, last))
        return self.verdict

    def steps_of(self, part: str, mode: str) -> Sequence[Step]:
        """The steps that one finding follows from; none where it follows from the rating of all parts."""
        self.all()
        kinds = [s for s, rated in self._kinds.items()
                 if any(r.mode == mode and any(p.path == part for p in r.block.parts) for r in rated)]
        whole = [s for s, found in self._whole.items() if any((f.part, f.mode) == (part, mode) for f in found)]
        late = any(OF_THE_WHOLE[s - len(ONE_KIND)] in AFTER_RATING for s in whole)
        return () if late else (*kinds, *whole)

    def _kind(self, step: Step) -> list[Rated]:
        if step not in self._kinds:
            self._kinds[step] = rated_kind(self.verdict.context, ONE_KIND[step], *self._unsettled)
        return self._kinds[step]

    def _asked(self, step: Step) -> list[Finding]:
        if step not in self._whole:
            self._whole[step] = asked_of(self.verdict, OF_THE_WHOLE[step - len(ONE_KIND)])
        return self._whole[step]
