"""What can be left out where only some findings are asked of very many draws.

Forces are solved on the shafts those findings are on: nothing else is needed. Of all places and cases of a part few
are ever near to its worst. Where there are more than `FEW` draws, those that stay `FAR` away from it in a trial are
left out of all, and so is a machine held fast at a shaft where that is near to the worst of nothing that is asked.

That is no proof. The trial is taken from the draws themselves, by lot, with those in which any given is least or
greatest; so by the rule of three a row that was left out comes `FAR` near to the worst, for which it would still not
count, in fewer than 3 / `TRIALS` of the draws, with a confidence of 95 %. Few draws, such as all givens at their bad
ends, are where a proof is wanted: nothing is left out of them.
"""

from __future__ import annotations

from collections.abc import Mapping

import numpy as np
import numpy.typing as npt

from layshaft.machine.model import Machine
from layshaft.machine.once import once
from layshaft.machine.sampling import Draws, with_draws
from layshaft.train.adjusting import adjusted
from layshaft.train.cases import HELD
from layshaft.train.solve import Asked, Solved, solve
from layshaft.verdict.context import context
from layshaft.verdict.sampled import RATED, Key, Plan, Row, plan_of, rated_rows

FEW = 2048
TRIALS, SEED = 256, 0
FAR = 1.3
"""Times the smallest margin of a finding in a draw, from which on a row is taken never to become the smallest one."""

AT_ONCE = 64
"""Draws of a trial that are gone through at once."""

Share = npt.NDArray[np.float64]


@once
def narrowed(machine: Machine, only: frozenset[Key], near: frozenset[Row] | None = None) -> Plan:
    """The plan of a few findings, with what they do not need left out; of all their rows, or of those in `near`."""
    wide = plan_of(machine, only)
    if wide.whole:
        return wide
    shafts, stages = (frozenset(name for name, thing in things.items() if _is_asked(thing.path, only))
                      for things in (machine.shafts, machine.stages))
    if near is None:
        return plan_of(machine, only, Asked(RATED.without, shafts, stages))
    held = {column.title for column in solve(machine, asked=RATED).columns if column.case == HELD}
    return plan_of(machine, only, Asked(RATED.without | (held - {title for *_, title in near}), shafts, stages), near)


def _is_asked(path: str, only: frozenset[Key]) -> bool:
    return any(part == path or part.startswith(f"{path}.") for part, _ in only)


def near_rows(machine: Machine, only: frozenset[Key], draws: Mapping[str, Draws]) -> frozenset[Row] | None:
    """The rows that come near to the worst of their finding in a trial of these draws; None where all are gone through.
    """
    plan = narrowed(machine, only)
    count = len(next(iter(draws.values())))
    if plan.whole or count <= FEW:
        return None
    picked, found = _trial(draws, count), set[Row]()
    for start in range(0, len(picked), AT_ONCE):
        here = picked[start: start + AT_ONCE]
        drawn, _ = adjusted(machine, with_draws(machine, {cause: values[here] for cause, values in draws.items()}))
        found |= _near(plan, solve(drawn, asked=plan.asked))
    return frozenset(found)


def _trial(draws: Mapping[str, Draws], count: int) -> npt.NDArray[np.intp]:
    """Some draws by lot, and those in which any given is least or greatest."""
    ends = [end(values) for values in draws.values() for end in (np.argmin, np.argmax)]
    return np.unique([*np.random.default_rng(SEED).choice(count, TRIALS, replace=False), *ends])


def _near(plan: Plan, solved: Solved) -> frozenset[Row]:
    """Rows whose margin comes near to the smallest known one of its finding in any draw, or is unknown in any."""
    worst: dict[Key, Share] = {}
    rows_of: list[tuple[Row, Share]] = []
    with np.errstate(all="ignore"):
        for block, ask, check, k, rows in rated_rows(plan, context(solved)):
            share = check.margin / ask.required[k, rows][:, None, None]
            titles = [column.title for column in np.array(solved.columns)[ask.cases]]
            for i, p in enumerate(ask.parts[rows]):
                part, mode = block.parts[p], ask.modes[k]
                here = np.broadcast_to(share[i], (len(titles), solved.samples))
                for j in np.nonzero(ask.asked[k, rows][i])[0]:
                    worst[part.path, mode] = np.fmin(worst.get((part.path, mode), here[j]), here[j])
                    rows_of.append(((part.path, part.place, mode, titles[j]), here[j]))
        reach = {key: np.maximum(FAR * least, least / FAR) for key, least in worst.items()}
    return frozenset(row for row, share in rows_of if (np.isnan(share) | (share <= reach[row[0], row[2]])).any())
