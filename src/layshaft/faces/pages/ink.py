"""One quantity at a time along shafts and stages: numbers of one case, ready to be drawn on the machine itself."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any

import numpy as np
import numpy.typing as npt

from layshaft.faces.pages.look import Look
from layshaft.faces.pages.tallies import used
from layshaft.trace.errors import BadInput
from layshaft.trace.units import FORCE, LENGTH, POWER, RATIO, SLOPE, TORQUE, Dimension, shown
from layshaft.train.forces import ShaftLoads
from layshaft.train.solve import Solved

Array = npt.NDArray[np.float64]
QUANTITIES: dict[str, Dimension] = {"torque": TORQUE, "power": POWER, "shear": FORCE, "moment": TORQUE,
                                    "deflection": LENGTH, "slope": SLOPE, "margin": RATIO}
MEANS = {"torque": "torque in the shafts, and in each stage at its first shaft", "power": "power that passes",
         "shear": "shear force, both planes together", "moment": "bending moment, both planes together",
         "deflection": "deflection, both planes together", "slope": "slope, both planes together",
         "margin": "how much each place uses of what it may, its required margin counted: up to 100 %"}
POINTS = 8
"""Places between two stations at which a bent line is drawn."""


@dataclass(frozen=True, slots=True)
class Curve:
    """Values along one shaft; `posts` where only the places themselves have one."""

    shaft: str
    x: Array
    value: Array
    posts: bool = False

    @property
    def peak(self) -> int:
        """Where it is largest."""
        return int(np.nanargmax(np.abs(self.value)))


@dataclass(slots=True)
class Ink:
    """A quantity of one case over the whole machine."""

    quantity: str
    curves: list[Curve]
    stages: dict[str, float]
    largest: float

    @property
    def most_at(self) -> str:
        """The shaft or stage that has the largest value."""
        peaks = {c.shaft: float(np.nanmax(np.abs(c.value))) for c in self.curves}
        return next((name for name, value in (peaks | self.stages).items() if value == self.largest), "")

    @property
    def legend(self) -> tuple[str, str]:
        """What its largest value is, and where, in two lines."""
        most = self.words(self.largest)
        if self.quantity == "margin":
            return f"so high: used up to {most}", f"of what it may, in {self.most_at}"
        return f"so high: {most}", f"the most, in {self.most_at}"

    def words(self, value: float) -> str:
        """A value as it is printed beside the drawing."""
        if self.quantity == "margin":
            return f"{100 * value:.0f} %" if value < 10 else "over 1000 %"
        return shown(abs(value), QUANTITIES[self.quantity], digits=3)


def ink(solved: Solved, of: Look) -> Ink | None:
    """What is asked for, in the case that is looked at; None where nothing is asked."""
    if not of.quantity:
        return None
    if of.quantity not in QUANTITIES:
        raise BadInput(f"There is no '{of.quantity}' to draw. Choose one of {', '.join(QUANTITIES)}.")
    case = of.case or 0
    curves = list(_margins(of)) if of.quantity == "margin" else [
        c for name in solved.machine.shafts if (c := _curve(solved, name, of.quantity, case)) is not None]
    stages = _of_stages(solved, of, case)
    values = [float(np.nanmax(np.abs(c.value))) for c in curves] + [abs(v) for v in stages.values()]
    finite = [v for v in values if np.isfinite(v)]
    return Ink(of.quantity, curves, stages, max(finite, default=0.0))


def _curve(solved: Solved, name: str, quantity: str, case: int) -> Curve | None:
    """Along one shaft; None where it is not known or nothing of it is there."""
    loads = solved.loads.get(name)
    if loads is None or len(loads.stations) < 2:
        return None
    with np.errstate(all="ignore"):
        found = _along(solved, loads, quantity, case)
    if found is None or not np.isfinite(found.value).any() or not np.nanmax(np.abs(found.value)) > 0:
        return None
    return found


def _along(solved: Solved, loads: ShaftLoads, quantity: str, case: int) -> Curve | None:
    x = np.array(loads.stations)
    if quantity in ("torque", "power"):
        turns = float(np.mean(solved.speed[loads.shaft][case])) if quantity == "power" else 1.0
        return _steps(loads.shaft, x, turns * _of(loads.torque_left, case), turns * _of(loads.torque_right, case))
    if len(loads.moment_left) != len(x):
        return None
    left, right = _of(loads.moment_left, case), _of(loads.moment_right, case)
    if quantity == "moment":
        return _steps(loads.shaft, x, np.hypot(*left.T), np.hypot(*right.T))
    if quantity == "shear":
        force = np.hypot(*((left[1:] - right[:-1]) / np.diff(x)[:, None]).T)
        return Curve(loads.shaft, np.repeat(x, 2)[1:-1], np.repeat(force, 2))
    bent, lean = _of(loads.deflection, case), _of(loads.slope, case)
    if quantity == "slope":
        return Curve(loads.shaft, x, np.hypot(*lean.T))
    return _bent(loads.shaft, x, bent, lean)


def _of(values: Array, case: int) -> Array:
    """One case, the mean of its draws: (stations) or (stations, planes)."""
    found: Array = values[..., case, :].mean(axis=-1)
    return found


def _steps(shaft: str, x: Array, left: Array, right: Array) -> Curve:
    """Values just before and just after each station."""
    return Curve(shaft, np.repeat(x, 2)[1:-1], np.column_stack([left, right]).ravel()[1:-1])


def _bent(shaft: str, x: Array, bent: Array, lean: Array) -> Curve:
    """Between stations the cubic that fits place and slope at both ends: exact where the bar is even and unloaded."""
    t = np.linspace(0, 1, POINTS, endpoint=False)[None, :, None]
    h = np.diff(x)[:, None, None]
    a, b, u, v = bent[:-1, None], bent[1:, None], lean[:-1, None] * h, lean[1:, None] * h
    between = ((2 * t**3 - 3 * t**2 + 1) * a + (t**3 - 2 * t**2 + t) * u + (3 * t**2 - 2 * t**3) * b
               + (t**3 - t**2) * v).reshape(-1, 2)
    places = (x[:-1, None] + np.diff(x)[:, None] * t[0, :, 0]).ravel()
    return Curve(shaft, np.append(places, x[-1]), np.hypot(*np.vstack([between, bent[-1:]]).T))


def _margins(of: Look) -> Iterator[Curve]:
    """Share used at every section of a shaft, the worst of all its modes and cases."""
    assert of.verdict is not None
    worst: dict[tuple[str, str], float] = {}
    for r in of.verdict.rated:
        for p, part in enumerate(r.block.parts):
            if part.path == f"shafts.{part.shaft}" and part.place and r.asked[p].any():
                least = float(np.min(r.ranked[p][r.asked[p]]))
                share = 1 / least if least > 0 else np.nan
                key = (part.shaft, part.place)
                worst[key] = np.fmax(worst.get(key, np.nan), share)
    for name, loads in of.verdict.solved.loads.items():
        places = [n or f"step at {s * 1e3:.0f} mm" for n, s in zip(loads.names, loads.stations, strict=True)]
        values = np.array([worst.get((name, place), np.nan) for place in places], dtype=float)
        if np.isfinite(values).any():
            yield Curve(name, np.array(loads.stations), values, posts=True)


def _of_stages(solved: Solved, of: Look, case: int) -> dict[str, float]:
    found: dict[str, Any] = {}
    for name, stage in solved.machine.stages.items():
        torque = solved.stage_torque.get(name)
        if of.quantity == "margin":
            f = of.tightest.get(stage.path)
            found[name] = used(f) if f is not None else np.nan
        elif of.quantity in ("torque", "power") and torque is not None:
            value = float(np.mean(torque[0][case]))
            turns = float(np.mean(solved.speed[stage.from_][case])) if of.quantity == "power" else 1.0
            found[name] = abs(value * turns)
    return {name: float(v) for name, v in found.items() if np.isfinite(v) and v > 0}
