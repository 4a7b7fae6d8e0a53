"""The course of a run as data for a drawing that plays it: angles of all shafts, heights of weights, lifts, events."""

from __future__ import annotations

from typing import Any

import numpy as np
import numpy.typing as npt

from layshaft.machine.kinds import Cam, EndlessLoop, Pulses, Suspended
from layshaft.train import sources
from layshaft.train.motion.course import Course, rises
from layshaft.train.motion.wound import heights
from layshaft.train.solve import Solved

Array = npt.NDArray[np.float64]
MOST = 1500
"""Moments told of a run; between two of them everything runs straight on."""

STEADY_TIME = 120.0
"""Seconds of steady running that are told where no run can be."""

STEADY_MOMENTS = 121

MARKS = {"wind": "winding", "wound": "wound", "brake": "brake on", "freed": "brake off", "landed": "landed",
         "still": "still", "stuck": "it stops", "change": "change"}


def course_data(c: Course) -> dict[str, Any]:
    """Everything a player needs, in SI, at moments of the run; between them it goes on evenly."""
    m = c.motion
    rows = _moments(m.time)
    time, angle = m.time[rows], m.angle[rows]
    high = {name: h[rows] for name, h in heights(c).items()}
    return {
        "time": _short(time), "turned": _turned(c, angle) | _wound(c, angle, high),
        "heights": {name: _short(h) for name, h in high.items()},
        "drops": {n: float(d.drop.nominal) for n, d in c.solved.machine.drives.items() if isinstance(d, Suspended)},
        "strikes": strikes(c.solved), "told": "",
        "marks": [{"time": round(float(k.time), 3), "words": f"{MARKS.get(k.kind, k.kind)}: {k.name}" if k.name else
                   MARKS.get(k.kind, k.kind)} for k in c.marks],
    }


def steady_data(solved: Solved, why: str) -> dict[str, Any]:
    """Steady running at the solved speeds, for a machine that cannot be run; `why` says what it lacks."""
    time = np.linspace(0.0, STEADY_TIME, STEADY_MOMENTS)
    turned, high = {}, {}
    for name, speeds in solved.speed.items():
        speed = float(np.mean(speeds[0]))
        if np.isfinite(speed):
            turned[name] = _short(speed * time)
    for name, drive in solved.machine.drives.items():
        if isinstance(drive, Suspended) and drive.shaft in turned:
            speed = float(np.mean(sources.weight_speed(solved.machine, drive, np.mean(solved.speed[drive.shaft][0]))))
            drop = float(drive.drop.nominal)
            if np.isfinite(speed * drop):
                way = np.minimum(speed * time, drop)
                high[name] = _short(way if rises(solved, name) else drop - way)
    drops = {n: float(d.drop.nominal) for n, d in solved.machine.drives.items() if isinstance(d, Suspended)}
    return {"time": _short(time), "turned": turned, "heights": high, "drops": drops, "strikes": strikes(solved),
            "told": f"Steady running at the solved speeds, since a run cannot be reckoned: {why}", "marks": []}


def _moments(time: Array) -> npt.NDArray[np.int64]:
    """Rows of a run, thinned evenly in time where there are too many; first and last stay."""
    if len(time) <= MOST:
        return np.arange(len(time))
    wanted = np.searchsorted(time, np.linspace(time[0], time[-1], MOST))
    return np.unique(np.clip(wanted, 0, len(time) - 1))


def _turned(c: Course, angle: Array) -> dict[str, list[float]]:
    """Angles of the shafts that turn with the root, about their own axes."""
    root = c.programme.root
    sense = float(np.sign(np.mean(c.solved.speed[root][0]))) or 1.0
    return {name: _short(angle * turns / c.ratio[root] * sense) for name, turns in c.ratio.items()}


def _wound(c: Course, angle: Array, high: dict[str, Array]) -> dict[str, list[float]]:
    """Angles of the shafts a loop is rewound from: what a weight has been lifted by, over what a radian lifts."""
    found: dict[str, list[float]] = {}
    machine = c.solved.machine
    for name, drive in machine.drives.items():
        if not isinstance(drive, EndlessLoop) or name not in high:
            continue
        arm = float(np.mean(sources.weight_speed(machine, drive, abs(c.ratio[drive.shaft]))))
        lifted = high[name] - high[name][0] + arm * (angle - angle[0])
        s = c.solved.set_of(drive.rewound_from)
        per_radian = float(np.mean(sources.weight_speed(machine, drive, 1.0)))
        way = _sense(c.solved, drive.rewound_from)
        for shaft, turns in s.ratio.items():
            found[shaft] = _short(way * lifted / per_radian * turns / s.ratio[drive.rewound_from])
    return found


def _sense(solved: Solved, shaft: str) -> float:
    """Which way a shaft turns in the first case in which it does."""
    speeds = np.mean(solved.speed[shaft], axis=1)
    turns = speeds[np.abs(speeds) > 1e-9]
    return float(np.sign(turns[0])) if len(turns) else 1.0


def strikes(solved: Solved) -> dict[str, dict[str, float | str]]:
    """Every hammer, cam or plunger: its shaft, lifts a turn, and the angle of a lift in radians."""
    found: dict[str, dict[str, float | str]] = {}
    for name, load in solved.machine.loads.items():
        per_turn = load.per_turn.nominal if isinstance(load, (Pulses, Cam)) and load.per_turn.known else np.nan
        over = load.over.nominal if isinstance(load, Pulses) else max(
            (row[0].nominal for row in load.lift), default=np.nan) if isinstance(load, Cam) else np.nan
        if isinstance(load, Cam) and not load.per_turn.known:
            per_turn = 1.0
        if np.isfinite(per_turn * over):
            found[name] = {"shaft": load.shaft, "per": float(per_turn), "over": float(over)}
    return found


def _short(values: Array) -> list[float]:
    """Numbers to a tenth of a milliradian or of a millimetre, and no longer than that."""
    return [round(float(v), 4) for v in values]
