"""What two chains side by side do not double, by name."""

from __future__ import annotations

from collections.abc import Iterator

from layshaft.elements.roller_chain.twins import ALONE
from layshaft.trace.formula import Remark
from layshaft.verdict.context import Context
from layshaft.verdict.kinds.twins import not_doubled, pairs


def remarks(c: Context) -> Iterator[tuple[str, Remark]]:
    """One remark for each chain of a pair, with its path."""
    for stage, _ in pairs(c):
        once = ", ".join(not_doubled(c, stage))
        yield stage.path, Remark(f"There once, with two chains or one: {once}. If one of these goes, both chains are "
                                 "of no use.", ALONE, True)
