"""A whole recheck after one edit beside the same formulas on quantities with units, and whole processes.

The own side does everything: the edit made, the machine read where it changed, ratios, torque balance of
every case, places, forces and beams, every part rated, findings, reasons and fingerprints; a different given
each time. Its answers are first compared with fresh checks of the edited text. The peer runs the formulas of
the rated rows alone, and only a stated share of the rows: its time is divided by that share.
"""

from __future__ import annotations

import math
import subprocess
import sys
import warnings
from collections.abc import Callable, Sequence
from pathlib import Path

import generated
import numpy as np
from edits import Rechecked
from harness import Pair
from on_pint import rows_of

HERE = Path(__file__).resolve().parent.parent
EXAMPLE = HERE / "examples" / "harbour-light"
EVERY = 25
GOAL = "goal: 40"


def _pair(name: str, text: str) -> Pair:
    machine = Rechecked(text)
    rows, margins, share = rows_of(machine.as_it_is(), EVERY)

    def own() -> Sequence[float]:
        return [float(len(machine.next_check().findings))]

    def peer() -> Sequence[float]:
        with warnings.catch_warnings(), np.errstate(all="ignore"):
            warnings.simplefilter("ignore")
            return [margin for row in rows for margin in row.margins_on_quantities()]

    def check() -> None:
        compared = machine.agrees(every=max(1, len(machine.givens) // 30))
        theirs = peer()
        assert len(theirs) == len(margins)
        for ours, other in zip(margins, theirs, strict=True):
            assert math.isclose(ours, other, rel_tol=1e-9) or (math.isnan(ours) and math.isnan(other))
        print(f"{name}: {compared} rechecks equal fresh checks of the edited text, "
              f"{len(margins)} margins equal those on quantities.")

    return Pair(f"recheck, {name}", own, peer,
                f"formulas of the rated rows on pint quantities, scaled from {share:.0%} of the rows; {GOAL}",
                share=share, check=check)


def _process(*words: str) -> Callable[[], Sequence[float]]:
    command = [str(Path(sys.executable).parent / "layshaft"), *words]

    def run() -> Sequence[float]:
        done = subprocess.run(command, check=False, capture_output=True, cwd=HERE)
        assert done.returncode in (0, 1), done.stderr
        return [0.0]

    return run


def _nothing() -> Sequence[float]:
    subprocess.run([sys.executable, "-c", "pass"], check=True, capture_output=True, cwd=HERE)
    return [0.0]


def pairs() -> list[Pair]:
    """Built when they are asked for: reading and comparing takes a while."""
    return [
        _pair("harbour-light", (EXAMPLE / "machine.yaml").read_text(encoding="utf-8")),
        _pair("generated machine", generated.machine_text()),
        Pair("process: layshaft --help", _process("--help"), _nothing, "an interpreter that does nothing; goal: 0.4 s"),
        Pair("process: layshaft check", _process("check", str(EXAMPLE)), _nothing,
             "an interpreter that does nothing; goal: 1.5 s"),
    ]
