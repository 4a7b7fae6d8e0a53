"""Doubt carried through the generated machine, every finding in every draw, beside one check after the other.

The peer solves and rates the machine of each draw alone, on plain floats; it does a stated share of the draws and
its time is divided by that share. Before anything is timed both give the same word to every finding in these draws.
What the goal asks in seconds and memory is measured in a process of its own.
"""

from __future__ import annotations

import subprocess
import sys
import tempfile
from collections.abc import Sequence
from pathlib import Path

import generated
import numpy as np
from harness import Pair

from layshaft import read
from layshaft.machine.model import Machine
from layshaft.machine.sampling import at_sample, with_draws
from layshaft.study.draws import drawn
from layshaft.study.outcomes import Key, outcomes
from layshaft.trace.findings import WORST_FIRST
from layshaft.train.solve import solve
from layshaft.verdict.rate import rate

DRAWS, ALONE = 256, 4
ALL, MANY, FEW = 4096, 100_000, 20
GOAL = "goal: 20"


def _machine() -> Machine:
    with tempfile.TemporaryDirectory() as folder:
        place = Path(folder) / "machine.yaml"
        place.write_text(generated.machine_text(), encoding="utf-8")
        return read(place)


def _every_finding() -> Pair:
    machine = _machine()
    draws = drawn(machine, DRAWS, 1)
    sampled = with_draws(machine, draws)

    def own() -> Sequence[float]:
        return [float(outcomes(machine, draws).holds.mean())]

    def peer() -> Sequence[float]:
        with np.errstate(all="ignore"):
            return [float(len(rate(solve(at_sample(sampled, i))).findings)) for i in range(ALONE)]

    def check() -> None:
        found = outcomes(machine, draws)
        for i in range(ALONE):
            words = {(f.part, f.mode): f.verdict for f in rate(solve(at_sample(sampled, i))).findings}
            assert {key: WORST_FIRST[found.codes[found.row(key), i]] for key in found.keys} == words
        print(f"doubt: {len(found.keys)} findings equal single checks in {ALONE} draws; {_measured('every')}, "
              "goal 5 s and 300 MB.")

    return Pair("doubt, every finding of the generated machine", own, peer,
                f"one check a draw on plain floats, scaled from {ALONE} of {DRAWS} draws; {GOAL}",
                share=ALONE / DRAWS, check=check)


def _few_findings() -> Pair:
    """The findings nearest to failing."""
    machine = _machine()
    draws = drawn(machine, 8 * DRAWS, 1)
    sampled, only = with_draws(machine, draws), _worst(machine)

    def own() -> Sequence[float]:
        return [float(outcomes(machine, draws, only=only).holds.mean())]

    def peer() -> Sequence[float]:
        with np.errstate(all="ignore"):
            return [float(len(rate(solve(at_sample(sampled, i))).findings)) for i in range(ALONE)]

    def check() -> None:
        few, every = outcomes(machine, draws, only=only), outcomes(machine, draws)
        for key in few.keys:
            assert np.allclose(few.share[few.row(key)], every.share[every.row(key)], rtol=1e-6, atol=0)
        print(f"doubt: {FEW} findings alone equal themselves among all in {few.draws} draws; {_measured('few')}, "
              "goal 5 s and 300 MB.")

    return Pair(f"doubt, {FEW} findings of the generated machine", own, peer,
                f"one check a draw on plain floats, scaled from {ALONE} of {8 * DRAWS} draws; {GOAL}",
                share=ALONE / (8 * DRAWS), check=check)


def _worst(machine: Machine) -> frozenset[Key]:
    known = [(f.part, f.mode) for f in rate(solve(machine)).findings if f.verdict != "unknown"]
    return frozenset(list(dict.fromkeys(known))[:FEW])


def _measured(what: str) -> str:
    """Seconds and peak memory of the whole job, in a process of its own."""
    done = subprocess.run([sys.executable, __file__, what], check=True, capture_output=True, text=True)
    return done.stdout.strip()


def pairs() -> list[Pair]:
    """Built when they are asked for."""
    return [_every_finding(), _few_findings()]


def _peak() -> float:
    """Most memory of this process in MB. The system's count of usage goes on from the process that began this one."""
    status = Path("/proc/self/status")
    if status.exists():
        line = next(line for line in status.read_text().splitlines() if line.startswith("VmHWM"))
        return int(line.split()[1]) / 1024
    import resource

    return resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / (1024**2 if sys.platform == "darwin" else 1024)


def main(what: str) -> None:
    """One whole job, measured: draws, solution, ratings."""
    import time

    machine = _machine()
    start, busy = time.perf_counter(), time.process_time()
    only = _worst(machine) if what == "few" else None
    found = outcomes(machine, drawn(machine, MANY if only else ALL, 1), only=only)
    seconds, busy = time.perf_counter() - start, time.process_time() - busy
    peak = _peak()
    print(f"{len(found.keys)} findings in {found.draws} draws took {seconds:.2f} s ({busy:.2f} s of one processor) "
          f"and {peak:.0f} MB at most")


if __name__ == "__main__":
    main(sys.argv[1])
