"""What a part must carry in each case, told whether or not a size is chosen."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import numpy as np

from layshaft.machine.kinds import Suspended
from layshaft.trace.units import FORCE, SPEED, TORQUE, Dimension, figure, shown
from layshaft.train import sources
from layshaft.train.cases import CASES, RUNNING, STOPPED, WINDING
from layshaft.verdict.context import NAN, Context
from layshaft.verdict.reasons import MOST_NAMED, missing_in_train

Series = dict[str, tuple[Any, Dimension]]


@dataclass(frozen=True, slots=True)
class Demand:
    """The hardest moment of one case: named values with their dimensions."""

    case: str
    title: str
    values: dict[str, tuple[float, Dimension]]


def of(c: Context, path: str) -> list[Demand]:
    """One line a case that asks something, the first value deciding which moment is the hardest."""
    series = _series(c, path)
    if not series:
        return []
    flat = {name: (_per_case(c, v), dimension) for name, (v, dimension) in series.items()}
    lead = next(iter(flat.values()))[0]
    found = []
    for case in CASES:
        columns = [i for i, name in enumerate(c.solved.cases) if name == case and case != STOPPED]
        known = [i for i in columns if np.isfinite(lead[i])]
        if not columns or (known and not max(lead[i] for i in known) > 0):
            continue
        worst = max(known, key=lambda i: lead[i]) if known else columns[0]
        values = {name: (float(v[worst]), dimension) for name, (v, dimension) in flat.items()}
        found.append(Demand(case, c.solved.columns[worst].title, values))
    return found


def _per_case(c: Context, value: Any) -> Any:
    array = np.abs(np.asarray(value, dtype=float))
    array = array.mean(axis=-1) if array.ndim == 2 else array
    return np.broadcast_to(array, (len(c.solved.columns),))


def _series(c: Context, path: str) -> Series:
    words = path.split(".")
    if words[0] == "stages":
        return _stage(c, words[1])
    if words[0] == "drives":
        return _drive(c, words[1])
    if words[0] == "loads":
        shaft = c.machine.loads[words[1]].shaft
        seat = c.machine.loads[words[1]].seat
        return {"torque": (_seat_torque(c, shaft, seat), TORQUE), "speed": (c.solved.speed[shaft], SPEED)}
    if words[0] != "shafts":
        return {}
    return _shaft(c, words[1]) if len(words) == 2 else _seat(c, words[1], words[3], words[4])


def _seat_torque(c: Context, shaft: str, seat: str) -> Any:
    return c.solved.seat_torque[shaft].get(seat, np.zeros((len(c.solved.columns), c.solved.samples)))


def _stage(c: Context, name: str) -> Series:
    stage = c.machine.stages[name]
    if name not in c.solved.stage_torque:
        torque = _seat_torque(c, stage.from_, stage.seats[0])
        return {"torque": (torque, TORQUE), "speed": (c.solved.speed[stage.from_], SPEED)}
    first, second = c.solved.stage_torque[name]
    found: Series = {"torque at the first shaft": (first, TORQUE), "speed": (c.solved.speed[stage.from_], SPEED),
                     "torque at the second": (second, TORQUE), "its speed": (c.solved.speed[stage.to], SPEED)}
    radius = sources.sprocket_radius(c.machine, stage, 0) if hasattr(stage, "chain") else NAN
    if hasattr(stage, "chain"):
        found["pull"] = (np.abs(first) / radius, FORCE)
    return found


def _drive(c: Context, name: str) -> Series:
    drive = c.machine.drives[name]
    found: Series = {"torque": (_seat_torque(c, drive.shaft, drive.seat), TORQUE),
                     "speed": (c.solved.speed[drive.shaft], SPEED)}
    if isinstance(drive, Suspended):
        pull = np.stack([np.broadcast_to(column.pull.get(name, 1.0), (c.solved.samples,))
                         for column in c.solved.columns])
        found["pull on the wheel"] = (pull * sources.strands(c.machine, drive).drive, FORCE)
    return found


def _shaft(c: Context, name: str) -> Series:
    loads = c.solved.loads[name]
    torque = np.abs(np.stack([loads.torque_left, loads.torque_right])).max(axis=(0, 1))
    bending = np.hypot(loads.moment_left[:, 0], loads.moment_left[:, 1]).max(axis=0)
    return {"torque": (torque, TORQUE), "bending moment": (bending, TORQUE), "speed": (c.solved.speed[name], SPEED)}


def _seat(c: Context, shaft: str, seat: str, kind: str) -> Series:
    speed = (c.solved.speed[shaft], SPEED)
    if kind in ("key", "hub"):
        return {"torque": (_seat_torque(c, shaft, seat), TORQUE), "speed": speed}
    loads = c.solved.loads[shaft]
    i = loads.supports.index(seat)
    radial = np.hypot(loads.reaction[i, 0], loads.reaction[i, 1])
    return {"radial load": (radial, FORCE), "axial load": (loads.thrust, FORCE), "speed": speed}


# In words --------------------------------------------------------------------------------------


def turns_in_life(c: Context, shaft: str) -> float:
    """Turns of a shaft in the whole running time; NaN where it turns only while winding."""
    speed = float(np.abs(c.solved.speed[shaft][0]).mean())
    return speed * float(np.mean(c.life)) / (2 * np.pi) if speed > 0 else NAN


def sentence(c: Context, path: str, found: list[Demand]) -> str:
    """What it carries when running, what at the worst, and how often it turns in its life."""
    if not found:
        return ""
    if not any(np.isfinite(v) for d in found for v, dimension in d.values.values() if dimension is not SPEED):
        waits = missing_in_train(c.solved)
        more = " and more" if len(waits) > MOST_NAMED else ""
        return f"what it carries is not known yet: that follows from {', '.join(waits[:MOST_NAMED])}{more}" \
            if waits else "what it carries is not known yet"
    steady = next((d for d in found if d.case in (RUNNING, WINDING)), None)
    name = next(iter(found[0].values))
    worst = max(found, key=lambda d: np.nan_to_num(d.values[name][0], nan=-1.0))
    texts = []
    if steady is not None:
        at = " while winding" if steady.case == WINDING else ""
        texts.append(f"carries {_said(steady, name)} at {_said(steady, 'speed')}{at}")
    if np.isfinite(worst.values[name][0]) and worst is not steady:
        texts.append(f"{_said(worst, name)} at the worst ({worst.title})")
    turns = turns_in_life(c, c.machine.shaft_of(path))
    if np.isfinite(turns):
        texts.append(f"{_rounded(turns)} turns in its life")
    return "; ".join(texts)


def _said(demand: Demand, name: str) -> str:
    value, dimension = demand.values[name]
    what = {FORCE: f" of {name}", TORQUE: ""}.get(dimension, "")
    if not np.isfinite(value):
        return f"a {name} not known yet"
    return f"{shown(value, dimension, digits=3)}{what}"


def _rounded(turns: float) -> str:
    digits = max(0, int(np.floor(np.log10(max(turns, 1.0)))) - 2)
    return f"{round(turns, -digits):,.0f}".replace(",", " ") if turns < 1e9 else figure(turns, 3)

