"""What can be left out where only some findings are asked of very many draws.

Forces are solved on the shafts those findings are on. Of all places and cases of a part few are ever near to its
worst: those that stay `FAR` away from it in every draw of a trial are left out of all further draws, and so is a
machine held fast at a shaft where that is near to the worst of nothing that is asked.
"""

from __future__ import annotations

import numpy as np
import numpy.typing as npt

from layshaft.machine.model import Machine
from layshaft.machine.once import once
from layshaft.machine.sampling import Draws, doubts, draw, ends, stream, with_draws
from layshaft.train.cases import HELD
from layshaft.train.solve import Asked, Solved, solve
from layshaft.verdict.context import context
from layshaft.verdict.sampled import RATED, Key, Plan, Row, plan_of, rated_rows

TRIALS, SEED = 62, 0
FAR = 1.3
"""Times the smallest margin of a finding in a draw, from which on a row is taken never to become the smallest one."""

Share = npt.NDArray[np.float64]


@once
def narrowed(machine: Machine, only: frozenset[Key]) -> Plan:
    """The plan of a few findings, with what they do not need left out."""
    wide = plan_of(machine, only)
    if wide.whole:
        return wide
    solved = solve(with_draws(machine, _trial(machine)), asked=wide.asked)
    near = _near(wide, solved)
    held = {column.title for column in solved.columns if column.case == HELD}
    shafts, stages = (frozenset(name for name, thing in things.items() if _is_asked(thing.path, only))
                      for things in (machine.shafts, machine.stages))
    return plan_of(machine, only, Asked(RATED.without | (held - {title for *_, title in near}), shafts, stages), near)


def _is_asked(path: str, only: frozenset[Key]) -> bool:
    return any(part == path or part.startswith(f"{path}.") for part, _ in only)


def _trial(machine: Machine) -> dict[str, Draws]:
    """Draws of every cause, and all of them at their low and at their high ends."""
    return {cause: np.concatenate([draw(given, TRIALS, stream(SEED, cause)), ends(given)])
            for cause, given in doubts(machine).items()}


def _near(plan: Plan, solved: Solved) -> frozenset[Row]:
    """Rows whose margin comes near to the smallest one of its finding in any draw."""
    worst: dict[Key, Share] = {}
    rows_of: list[tuple[Row, Share]] = []
    with np.errstate(all="ignore"):
        for block, ask, check, k, rows in rated_rows(plan, context(solved)):
            share = np.nan_to_num(check.margin / ask.required[k, rows][:, None, None], nan=0.0)
            titles = [column.title for column in np.array(solved.columns)[ask.cases]]
            for i, p in enumerate(ask.parts[rows]):
                part, mode = block.parts[p], ask.modes[k]
                here = np.broadcast_to(share[i], (len(titles), solved.samples))
                for j in np.nonzero(ask.asked[k, rows][i])[0]:
                    worst[part.path, mode] = np.minimum(worst.get((part.path, mode), here[j]), here[j])
                    rows_of.append(((part.path, part.place, mode, titles[j]), here[j]))
    return frozenset(row for row, share in rows_of if (share <= FAR * worst[row[0], row[2]]).any())
