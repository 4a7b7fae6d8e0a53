"""Life and margin of a part over its speed: the same `rate()`, one input of the row replaced by many.

The load is that of the case, whatever the speed: how the machine itself would load the part at another
speed is what a solve says. A part whose rating knows no speed has no such curve.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from typing import Any, cast

import numpy as np
import numpy.typing as npt

from layshaft.trace.checks import Check
from layshaft.trace.findings import Finding
from layshaft.trace.units import SPEED, TIME
from layshaft.verdict.rate import Rated, Verdict

Curve = npt.NDArray[np.float64]
SPEEDS = ("omega", "omega_1", "omega_w")
"""Inputs that carry the turning speed of the case."""

LIVES = ("t_life", "t_w")
"""Inputs that carry the running time wanted."""

LEAST, MOST, POINTS = 0.1, 10.0, 61
STILL = 0.01
"""A margin that changes by less than this share of itself over the whole range is no line worth drawing."""


@dataclass(frozen=True, slots=True)
class Line:
    """One failure mode over the speed: margin over what is required, and the life where there is one."""

    mode: str
    place: str
    share: Curve
    life: Curve | None


@dataclass(frozen=True, slots=True)
class Sweep:
    """One part in one case: its lines over `speed`, and the speed and life it has now."""

    part: str
    title: str
    meaning: str
    """What the speed is the speed of."""

    speed: Curve
    now: float
    wanted: float
    """Running time asked for; NaN where the rating asks for none."""

    lines: tuple[Line, ...]


def speed_sweeps(verdict: Verdict, path: str) -> list[Sweep]:
    """The sweeps of a part and of what sits on it, one for each rating that knows a speed."""
    together: dict[tuple[int, int, int], list[tuple[Rated, Finding]]] = {}
    for found in verdict.of(path):
        at = _row(verdict, found)
        if at is not None:
            rated, row, case = at
            together.setdefault((id(rated.block), row, case), []).append((rated, found))
    return [s for (_, row, case), ours in together.items() if (s := _sweep(row, case, ours)) is not None]


def _row(verdict: Verdict, found: Finding) -> tuple[Rated, int, int] | None:
    for rated in verdict.rated:
        if rated.mode == found.mode:
            for row, part in enumerate(rated.block.parts):
                if part.path == found.part and part.place == found.place:
                    titles = [c.title for c in verdict.solved.columns]
                    return rated, row, titles.index(found.title) if found.title in titles else 0
    return None


def _sweep(row: int, case: int, ours: list[tuple[Rated, Finding]]) -> Sweep | None:
    block, first = ours[0][0].block, ours[0][1]
    inputs = block.single(block.parts[row], case, first.mode)
    fields = {f.name: f for f in inputs.quantities()}
    name = next((n for n in SPEEDS if n in fields and fields[n].metadata["dimension"] is SPEED), "")
    now = float(getattr(inputs, name)) if name else np.nan
    if not (np.isfinite(now) and now > 0):
        return None
    speed = now * np.geomspace(LEAST, MOST, POINTS)
    with np.errstate(all="ignore"):
        checks = block.rate(replace(inputs, **cast("dict[str, Any]", {name: speed}))).checks
    life = next((n for n in LIVES if n in fields and fields[n].metadata["dimension"] is TIME), "")
    wanted = float(getattr(inputs, life)) if life else np.nan
    lines = tuple(_lines(checks, [f for _, f in ours], speed, wanted))
    meaning = fields[name].metadata["meaning"]
    return Sweep(first.part, first.title, meaning, speed, now, wanted, lines) if lines else None


def _lines(checks: tuple[Check, ...], ours: list[Finding], speed: Curve, wanted: float) -> Iterator[Line]:
    for found in ours:
        check = next(c for c in checks if c.mode == found.mode)
        share = np.broadcast_to(np.asarray(check.margin / found.required, float), speed.shape)
        life = None
        if "life" in found.mode:
            life = wanted * np.asarray(check.rating / check.demand, float) * np.ones_like(speed)
        known = share[np.isfinite(share)]
        moves = known.size > 1 and np.ptp(known) > STILL * float(np.abs(known).max())
        if moves or (known.size and known.size < speed.size):
            yield Line(found.mode, found.place, share, life)


def at_now(sweep: Sweep, values: Curve) -> float:
    """The value of a line at the speed the part has."""
    return float(values[int(np.argmin(np.abs(sweep.speed - sweep.now)))])
