"""What is found on the machine as a whole: wants, kick-back, run-aways, collisions, and what nothing covers."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from typing import TYPE_CHECKING

import numpy as np

from layshaft.trace.findings import Finding
from layshaft.verdict.clearances import clearances
from layshaft.verdict.coverage import silent
from layshaft.verdict.driving import kept_from_driving
from layshaft.verdict.kicks import kicks
from layshaft.verdict.measured import against_guesses
from layshaft.verdict.run_peaks import not_covered
from layshaft.verdict.runaways import runaways
from layshaft.verdict.wants import wanted

if TYPE_CHECKING:
    from layshaft.verdict.rate import Verdict

Ask = Callable[["Verdict"], Iterable[Finding]]


def _wants(v: Verdict) -> Iterable[Finding]:
    return wanted(v.context, v.run)


def _peaks(v: Verdict) -> Iterable[Finding]:
    return not_covered(v.context, v.run)


def _kicks(v: Verdict) -> Iterable[Finding]:
    return kicks(v.context)


def _kept_from_driving(v: Verdict) -> Iterable[Finding]:
    return kept_from_driving(v.context)


def _runaways(v: Verdict) -> Iterable[Finding]:
    return runaways(v.context, v.rated)


def _clearances(v: Verdict) -> Iterable[Finding]:
    return clearances(v.context)


def _silent(v: Verdict) -> Iterable[Finding]:
    return silent(v.context, v.rated)


def _against_guesses(v: Verdict) -> Iterable[Finding]:
    return against_guesses(v.context.machine)


OF_THE_WHOLE: tuple[Ask, ...] = (_wants, _peaks, _kept_from_driving, _kicks, _runaways, _clearances, _silent,
                                 _against_guesses)
"""All that is found, once every kind of part is rated."""

AFTER_RATING = frozenset({_runaways, _silent})
"""Of these, what cannot be told before."""


def asked_of(verdict: Verdict, ask: Ask) -> list[Finding]:
    """What one of `OF_THE_WHOLE` finds."""
    with np.errstate(all="ignore"):
        return list(ask(verdict))
