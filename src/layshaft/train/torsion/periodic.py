"""Modes under torques that are held for a while, then another: exact states, and the cycle that repeats.

Between two changes each mode answers in closed form, so nothing is lost to steps in time, however stiff
the springs. A mode's state is its deflection and its rate.
"""

from __future__ import annotations

import numpy as np
import numpy.typing as npt

Array = npt.NDArray[np.float64]
APART = 1e-7
"""Least relative difference of a mode's two roots: at critical damping they would fall together."""


def roots(omega: Array, rate: Array) -> tuple[npt.NDArray[np.complex128], npt.NDArray[np.complex128]]:
    """The two roots of each mode, held apart where damping is critical."""
    half = rate / 2
    root = np.sqrt((half**2 - omega**2).astype(complex))
    least = APART * (half + omega) + 1e-300
    root = np.asarray(np.where(np.abs(root) < least, least, root), complex)
    return -half + root, -half - root


def free(omega: Array, rate: Array, time: Array) -> Array:
    """How a state goes on while nothing acts: (times, modes, 2, 2) for times of shape (times,).

    Of what turns as one (omega 0) the deflection grows with the rate, braked by what there is.
    """
    one, two = roots(omega, rate)
    t = np.asarray(time)[:, None]
    e_1, e_2 = np.exp(one * t), np.exp(two * t)
    apart = one - two
    found = np.empty((*e_1.shape, 2, 2))
    found[..., 0, 0] = ((one * e_2 - two * e_1) / apart).real
    found[..., 0, 1] = ((e_1 - e_2) / apart).real
    found[..., 1, 0] = (one * two * (e_2 - e_1) / apart).real
    found[..., 1, 1] = ((one * e_1 - two * e_2) / apart).real
    still = (omega == 0) & (rate == 0)
    found[:, still] = np.array([[1.0, 0.0], [0.0, 1.0]])
    found[:, still, 0, 1] = t
    return found


def settled(omega: Array, force: Array) -> Array:
    """State in which a held force leaves each mode: (..., modes, 2); nothing for what turns as one."""
    elastic = omega > 0
    rest = np.where(elastic, force / np.where(elastic, omega, 1.0) ** 2, 0.0)
    return np.stack([rest, np.zeros_like(rest)], axis=-1)


def repeating(omega: Array, rate: Array, spans: Array, forces: Array) -> Array:
    """States at the start of every span of a cycle that repeats, (spans, modes, 2).

    `spans` are times, `forces` (spans, modes) the modal force held in each. What turns as one is left at rest.
    """
    elastic = omega > 0
    steps = free(omega, rate, spans)
    rests = settled(omega, forces)
    through = np.broadcast_to(np.eye(2), (len(omega), 2, 2)).copy()
    offset = np.zeros((len(omega), 2))
    for step, rest in zip(steps, rests, strict=True):
        through = step @ through
        offset = rest + (step @ (offset - rest)[..., None])[..., 0]
    closing = np.where(elastic[:, None, None], np.eye(2) - through, np.eye(2))
    start = np.linalg.solve(closing, np.where(elastic[:, None], offset, 0.0)[..., None])[..., 0]
    states = [start]
    for step, rest in zip(steps[:-1], rests[:-1], strict=True):
        states.append(rest + (step @ (states[-1] - rest)[..., None])[..., 0])
    return np.array(states) * elastic[None, :, None]


def within(omega: Array, rate: Array, start: Array, force: Array, times: Array) -> Array:
    """States at times after a start, under a held force: (times, modes, 2)."""
    rest = settled(omega, force)
    return np.asarray(rest + np.einsum("tmij,mj->tmi", free(omega, rate, times), start - rest))
