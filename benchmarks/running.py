"""One hour of a wheel with eight pulses a turn, beside a general integrator of differential equations."""

from __future__ import annotations

from functools import cache
from typing import Any

import numpy as np
from harness import Pair
from scipy.integrate import solve_ivp

import layshaft
from layshaft.machine.reader import read_text
from layshaft.train.motion.course import follow
from layshaft.train.motion.programme import Programme
from layshaft.train.motion.reduced import Reduced, reduce
from layshaft.train.motion.steady import repeating, steady

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


def pairs() -> list[Pair]:
    """The hour and the repeating cycle."""
    return [
        Pair("one hour, 8 pulses a turn", hour, integrated, "scipy, six seconds of it scaled up, error 1e-9",
             share=PART, check=_agree),
        Pair("repeating cycle of 8 pulses", cycle, run_until_it_repeats, "running on until it repeats"),
    ]
