"""One hour of a wheel with eight pulses a turn, beside a general integrator of differential equations."""

from __future__ import annotations

from functools import cache
from pathlib import Path
from typing import Any

import numpy as np
from harness import Pair
from scipy.integrate import solve_ivp

import layshaft
from layshaft.machine.reader import read_text
from layshaft.machine.sampling import at_sample
from layshaft.train.motion.course import follow
from layshaft.train.motion.programme import Programme
from layshaft.train.motion.reduced import Reduced, reduce
from layshaft.train.motion.sampled import motion_of_samples
from layshaft.train.motion.steady import repeating, settled_speed, steady

DRAWS, ALONE = 1000, 20
HOUR, PART = 3600.0, 1 / 600
"""The integrator does six seconds; its time is scaled up."""

# A weight on a drum turns a wheel once a second; eight hammers a turn, a fan. Invented for the timing.
TEXT = """layshaft: 1
name: Eight hammers
gravity: 9.81 m/s2
modules: {frame: {mass: 20 kg}}
shafts:
  main:
    module: frame
    axis: x
    at: [0 m, 0 m, 2000 m]
    material: C45+N
    sections: [[30 mm, 400 mm]]
    seats:
      left: {at: 0 mm, bearing: open, drag: 0.05 N m, break away: 1}
      drum: {at: 50 mm}
      wheel: {at: 100 mm}
      fan: {at: 150 mm}
      cam: {at: 200 mm}
      right: {at: 380 mm, bearing: open, drag: 0.05 N m, break away: 1}
drives:
  weight: {kind: falling weight, shaft: main, seat: drum, hangs on: +y, over people: no, mass: 40 kg, drop: 2000 m,
    diameter: 100 mm}
loads:
  wheel: {kind: flywheel, shaft: main, inertia: 0.9 kg m2}
  fan: {kind: fan brake, shaft: main, constant: 0.3 N m s2, inertia: 0.1 kg m2}
  cam: {kind: pulses, shaft: main, per turn: 8, energy: 5.9 J, over: 25 deg, break away: 1}
"""


@cache
def machine() -> tuple[layshaft.Solved, Reduced]:
    solved = layshaft.solve(read_text(TEXT))
    return solved, reduce(solved, "main")


def hour() -> tuple[float, float]:
    """Speed and angle at the end of an hour from rest, every edge of every lift kept."""
    m = follow(machine()[0], Programme("main", time=HOUR)).motion
    return float(m.omega[-1]), float(m.angle[-1])


def integrated(until: float = HOUR * PART) -> tuple[float, float]:
    """Speed and angle by scipy: an event at every edge, tolerances for an error of 1e-9."""
    r, lift = machine()[1], machine()[1].lifts[0]
    t, z = 0.0, [0.0, 0.0]
    while t < until:
        n = np.floor(z[0] / lift.pitch + 1e-9)
        lifts = bool(z[0] - n * lift.pitch < lift.over * (1 - 1e-9))
        edge = n * lift.pitch + (lift.over if lifts else lift.pitch)
        done = solve_ivp(_balance(r, lifts), (t, until), z, events=_at(edge), rtol=1e-10, atol=1e-12)
        t, z = done.t[-1], [edge if done.status == 1 else done.y[0, -1], done.y[1, -1]]
    return float(z[1]), float(z[0])


def _balance(r: Reduced, lifts: bool) -> Any:
    return lambda _, y: [y[1], r.band((lifts,), max(y[1], 0.0)).at(y[1])]


def _at(edge: float) -> Any:
    def reached(_: float, y: Any) -> float:
        return float(y[0] - edge)

    reached.terminal, reached.direction = True, 1  # type: ignore[attr-defined]
    return reached


def _agree() -> None:
    """Both on the same six seconds."""
    m = follow(machine()[0], Programme("main", time=HOUR * PART)).motion
    assert np.allclose((m.omega[-1], m.angle[-1]), integrated(), rtol=1e-8), "the hour"
    turns = abs(hour()[1]) / (2 * np.pi) / 60
    assert 55 < turns < 65, f"{turns} turns a minute"


def cycle() -> tuple[float, float]:
    """Smallest and largest speed of the cycle that repeats."""
    found = repeating(machine()[1])
    return found.low, found.high


def run_until_it_repeats() -> tuple[float, float]:
    """The same by running on until a cycle repeats."""
    found = steady(machine()[1])
    return found.low, found.high


@cache
def drawn() -> layshaft.Machine:
    """A thousand draws of the demo machine; the solve of all its cases is part of the time."""
    return layshaft.sample(layshaft.read(Path(__file__).parents[1] / "examples" / "harbour-light"), DRAWS, 1)


def thousand() -> list[float]:
    """Mean speed and swing of the first machines, all of them solved and run over ten minutes."""
    run = motion_of_samples(layshaft.solve(drawn()), ["spindle"])[0]
    return np.nan_to_num(np.concatenate([run.speed[:ALONE], run.swing[:ALONE]])).tolist()


def one_by_one() -> list[float]:
    """The same of a few, each solved and settled by itself."""
    found = []
    for i in range(ALONE):
        r = reduce(layshaft.solve(at_sample(drawn(), i)), "main")
        found.append(settled_speed(r) if r.at_rest > 0 else None)
    turns = abs(layshaft.solve(at_sample(drawn(), 0)).sets["main"].ratio["spindle"])
    return [*(f.mean * turns if f else 0.0 for f in found), *(f.swing if f else 0.0 for f in found)]


def pairs() -> list[Pair]:
    """The hour, the repeating cycle, and many machines at once."""
    return [
        Pair("1,000 sampled machines, 10 minutes", thousand, one_by_one, "one machine at a time, 20 of them scaled up",
             share=ALONE / DRAWS),
        Pair("one hour, 8 pulses a turn", hour, integrated, "scipy, six seconds of it scaled up, error 1e-9",
             share=PART, check=_agree),
        Pair("repeating cycle of 8 pulses", cycle, run_until_it_repeats, "running on until it repeats"),
    ]
