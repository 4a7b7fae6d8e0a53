"""The run of the machine as it stands, made by itself a moment after every change: no verdict waits for a command."""

from __future__ import annotations

import time
from collections.abc import Callable
from functools import partial

from layshaft.faces import run_wants
from layshaft.faces.desk.drafting.draft import Draft
from layshaft.faces.desk.drafting.state import State
from layshaft.faces.desk.jobs import Jobs
from layshaft.project.runs import state_of, still_wanted
from layshaft.train.motion.programme import programme_of
from layshaft.train.motion.results import motion_of
from layshaft.train.solve import solve
from layshaft.verdict.rate import Verdict

REST = 0.2
"""Seconds without a change before a run is begun: somebody may be trying one value after the other."""

ASIDE = 0.01
"""Seconds a run stands aside at a time while an edit is being solved."""


class Runs:
    """Runs what a draft shows and then the file it lies over, one at a time; the newest state wins."""

    def __init__(self, draft: Draft) -> None:
        self._draft = draft
        self._jobs = Jobs()
        if not draft.read_only:
            draft.told = self.begin
            self.begin(draft.state)

    def under_way(self, state: State) -> bool:
        """Whether the run of what a state shows is still to come."""
        job = self._jobs.now
        return job is not None and job.running and state.verdict is not None and job.key == _key(state.verdict)

    def begin(self, state: State) -> None:
        """Run what has not been run, if it can be; a machine that cannot is not tried again."""
        for verdict in (state.verdict, state.before):
            if verdict is None or verdict.run.figures is not None or not verdict.solved.machine.shafts:
                continue
            job = self._jobs.of(_key(verdict))
            if job is None or job.running:
                self._jobs.ask(_key(verdict), 0.0, "", partial(self._run, verdict))
            return

    def _run(self, verdict: Verdict, told: Callable[[float], None]) -> bool:
        """Whether the run was kept. Raises `BadInput` where there is nothing to run, `KeyboardInterrupt` if stopped."""
        def reached(done: float) -> None:
            while self._draft.busy:
                told(done)
                time.sleep(ASIDE)
            told(done)

        machine = verdict.solved.machine
        programme_of(verdict.solved)  # what cannot be run is told before anything rests or is solved
        time.sleep(REST)
        reached(0.0)
        solved = solve(machine)
        kept = run_wants.asked_of(machine, motion_of(solved, programme_of(solved), reached), whole=True).kept
        if kept:
            before = self._draft.state.before
            if before is not None and before.run.figures is not None:
                still_wanted(before.solved.machine)
            self._draft.look(again=True)
        return kept


def _key(verdict: Verdict) -> tuple[str, str]:
    return str(verdict.solved.machine.file), state_of(verdict.solved.machine)
