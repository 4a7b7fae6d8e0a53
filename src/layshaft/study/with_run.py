"""A machine rated with what a run of its programme finds, made on the spot."""

from __future__ import annotations

from layshaft.machine.model import Machine
from layshaft.trace.errors import BadInput
from layshaft.train.motion.figures import RunSeen, figures_of
from layshaft.train.motion.programme import programme_of
from layshaft.train.motion.results import motion_of
from layshaft.train.solve import Solved, solve
from layshaft.verdict.rate import Verdict, rate


def rated_with_run(machine: Machine) -> Verdict:
    """The verdict of a nominal machine after a run of its programme; without one, and why, where it cannot be run.

    Machines that are held against each other must all be seen alike: a run that is kept for one of them, and not
    for the others, would make verdicts differ that do not.
    """
    solved = solve(machine)
    run = run_of(solved)
    return rate(with_moments(machine, solved, run), run)


def run_of(solved: Solved) -> RunSeen:
    """The figures of a run of a machine's programme, or why it cannot be run."""
    try:
        return RunSeen(figures_of(motion_of(solved, programme_of(solved))))
    except BadInput as why:
        return RunSeen(None, str(why))


def with_moments(machine: Machine, solved: Solved, run: RunSeen) -> Solved:
    """The machine solved for the moments of its run too; as it was solved, where it has none."""
    return solve(machine, run.moments) if run.moments else solved
