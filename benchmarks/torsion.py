"""An hour of pulses on a train of twelve masses, edge to edge, beside a general integrator on part of it."""

from __future__ import annotations

import numpy as np
from harness import Pair
from scipy.integrate import solve_ivp

from layshaft.train.torsion.damping import of_modes
from layshaft.train.torsion.march import march
from layshaft.train.torsion.modes import natural

MASSES, HOUR, PITCH, LIFT = 12, 3600.0, 0.125, 0.05
PEER_TIME = 0.5
"""Seconds of machine time the general integrator is given; its time is scaled up to the hour."""

# 60 rev/min with 8 lifts a turn. Invented for the timing.
RANDOM = np.random.default_rng(12)
MODES = natural(RANDOM.uniform(0.02, 2.0, MASSES), [(i, i + 1) for i in range(MASSES - 1)],
                RANDOM.uniform(400.0, 8000.0, MASSES - 1))
RATE = of_modes(MODES, np.full(MASSES - 1, 0.02), np.r_[np.zeros(MASSES - 1), 0.5]).rate
FORCES = np.array([[-0.6], [0.4]]) * 10 * MODES.shapes[4]
PULL = MODES.stiffness[:, None] * MODES.twists


def edges(until: float) -> np.ndarray:
    turns = np.arange(round(until / PITCH)) * PITCH
    return np.r_[np.stack([turns, turns + LIFT], axis=1).ravel(), until]


def marched(until: float) -> list[float]:
    """Torque in every spring at the end."""
    time = edges(until)
    return list(march(MODES, RATE, time, FORCES, np.arange(len(time) - 1) % 2).torque[-1])


def integrated() -> list[float]:
    time, y = edges(PEER_TIME), np.zeros(2 * MASSES)
    for i in range(len(time) - 1):
        force = FORCES[i % 2]
        y = solve_ivp(lambda _, z, g=force: np.r_[z[MASSES:], g - RATE * z[MASSES:] - MODES.omega**2 * z[:MASSES]],
                      (time[i], time[i + 1]), y, method="DOP853", rtol=1e-8, atol=1e-10).y[:, -1]
    return list(PULL @ y[:MASSES])


def same() -> None:
    np.testing.assert_allclose(marched(PEER_TIME), integrated(), rtol=1e-4, atol=1e-5)


def pairs() -> list[Pair]:
    """The hour, and its first moments by scipy."""
    return [Pair("torsion, an hour of 12 masses, peaks each ms", lambda: marched(HOUR), integrated,
                 f"solve_ivp, {PEER_TIME:g} s scaled to the hour", share=PEER_TIME / HOUR, check=same)]
