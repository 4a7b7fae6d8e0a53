"""Facts of whole machines side by side: room along the shafts, thrust on bearings, how far events are off in time."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from layshaft.trace.units import FORCE, LENGTH, TIME, Dimension
from layshaft.train.kinematic.answer import uneven
from layshaft.train.placed import BLOCK, Placed
from layshaft.train.solve import Solved
from layshaft.train.stages import axis
from layshaft.verdict.rate import Verdict

Row = tuple[str, Dimension, tuple[float, ...], str]
"""Name, dimension, one value a machine, note."""


def rows(verdicts: list[Verdict]) -> Iterator[Row]:
    """All of them; what no machine knows is left out."""
    for row in (*_wide(verdicts), *_thrusts(verdicts), *_timing(verdicts)):
        if np.isfinite(row[2]).any():
            yield row


def _wide(verdicts: list[Verdict]) -> Iterator[Row]:
    machines = [v.solved.machine for v in verdicts]
    for module in machines[0].modules:
        names = [s.name for s in machines[0].shafts.values() if s.module == module]
        for a, b in dict.fromkeys((s.from_, s.to) for m in machines for s in m.stages.values() if s.from_ in names):
            yield (f"width along {a} of what turns {b}", LENGTH,
                   tuple(_width(v, a, b) for v in verdicts), "")
        yield f"length along its shafts of what turns in {module}", LENGTH, tuple(
            _length(v, module) for v in verdicts), ""


def _width(verdict: Verdict, a: str, b: str) -> float:
    """From edge to edge of all wheels on one shaft that turn another; NaN where a width or place is not known."""
    machine = verdict.solved.machine
    owners = {s.path for s in machine.stages.values() if (s.from_, s.to) == (a, b)}
    return _extent(verdict, [x for x in verdict.context.space.bodies if x.owner in owners and x.shaft == a], a)


def _length(verdict: Verdict, module: str) -> float:
    """Of shafts side by side; the longest of their directions."""
    machine, bodies = verdict.solved.machine, verdict.context.space.bodies
    ours = [s.name for s in machine.shafts.values() if s.module == module]
    stand = [b for b in bodies if b.shaft in ours and b.kind not in ("strand", BLOCK)]
    return max((_extent(verdict, stand, n) for n in ours), default=np.nan)


def _extent(verdict: Verdict, bodies: list[Placed], along: str) -> float:
    line = axis(verdict.solved.machine.shafts[along])
    at = [(float(line @ np.array(p)), abs(float(line @ np.array(b.axis))) * b.half) for b in bodies
          for p in (b.first, b.last)]
    return max(x + h for x, h in at) - min(x - h for x, h in at) if at else np.nan


def _thrusts(verdicts: list[Verdict]) -> Iterator[Row]:
    for name in verdicts[0].solved.machine.shafts:
        yield (f"thrust on the bearings of {name} while it runs", FORCE,
               tuple(_thrust(v.solved, name) for v in verdicts), "")


def _thrust(solved: Solved, shaft: str) -> float:
    return float(np.abs(np.asarray(solved.loads[shaft].thrust, float)[0]).max()) if shaft in solved.loads else np.nan


def _timing(verdicts: list[Verdict]) -> Iterator[Row]:
    wants = verdicts[0].solved.machine.wants or {}
    for shaft in dict.fromkeys(w.shaft for w in wants.values() if w.shaft):
        found = [uneven(v.solved, [shaft])[0] if shaft in v.solved.machine.shafts else None for v in verdicts]
        lacking = sorted({x.stage for u in found if u for x in u.lacking})
        yield (f"timing error of {shaft} by links, teeth and runout", TIME,
               tuple(np.nan if u is None else float(np.mean(u.time())) for u in found),
               f"without what {', '.join(lacking)} does not state" if lacking else "")
