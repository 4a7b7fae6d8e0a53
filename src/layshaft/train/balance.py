"""Torque balance of one set of shafts, for many cases at once.

A set turns as one, so a case has one unknown: the speed (weight against brakes), a torque at one
shaft (a crank, a ratchet, a jam), or the acceleration (a pulse against turning masses). Torques go
through the tree by elimination from the leaves to the root; what is left at the root is a monotone
function of the unknown, and its zero is the answer. Arrays are (cases, samples).
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field
from typing import Any

import numpy as np
import numpy.typing as npt

from layshaft.train.graph import ShaftSet

Array = npt.NDArray[np.float64]
SETTLED = 1e-13
MOST_ROUNDS = 80
SPEED, TORQUE, ACCELERATION = 0, 1, 2


@dataclass(slots=True)
class Problem:
    """One set of shafts in C cases with S samples.

    `applied` are the torques that are known, by shaft; `unknown` says per case which unknown it
    has, `at` where an unknown torque acts (index into the set's shafts). `motion` is the sense the
    root turns or would turn. `passed[link]` are the shares of power that get through outwards and
    inwards, `attached[shaft]` is 0 where the case has taken the shaft out.
    """

    set: ShaftSet
    applied: dict[str, Array]
    unknown: npt.NDArray[np.int64]
    at: list[str]
    motion: Array
    outward: dict[int, Array]
    inward: dict[int, Array]
    inertia: dict[str, Any]
    square_brake: dict[str, Any]
    linear_brake: dict[str, Any]
    critical: dict[str, Any]
    speed: Array
    attached: dict[str, Array] = field(default_factory=dict)


@dataclass(slots=True)
class Balance:
    """The answer: the unknown, speeds and accelerations by shaft, torques by link."""

    unknown: Array
    speed: dict[str, Array]
    acceleration: dict[str, Array]
    brake_torque: dict[str, Array]
    inertia_torque: dict[str, Array]
    on_child: list[Array]
    """Torque each link exerts on its outer shaft, in the order of the set's links."""
    on_parent: list[Array]
    residual: Array


def solve(p: Problem) -> Balance:
    """Find the unknown of every case and the torques that go with it.

    A speed that comes out backward is no answer: the machine stands, and everything that needs the
    speed is unknown.
    """
    root = find_zero(lambda x: _sweep(p, x).residual, *_first_guesses(p))
    answer = _sweep(p, root)
    beyond = (p.unknown == SPEED)[:, None] & (root <= 0)
    for shaft, limit in p.critical.items():
        beyond |= np.abs(answer.speed[shaft]) > limit
    return _sweep(p, np.where(beyond, np.nan, root)) if beyond.any() else answer


def _first_guesses(p: Problem) -> tuple[Array, Array]:
    shape = next(iter(p.applied.values())).shape
    zero = np.zeros(shape)
    size = np.ones(shape)
    for torque in p.applied.values():
        size = np.maximum(size, np.abs(torque))
    unit = np.where((p.unknown == SPEED)[:, None], 1.0, size)
    return np.where((p.unknown == SPEED)[:, None], 1e-3, zero), unit


def _sweep(p: Problem, x: Array) -> Balance:
    """Torques for one value of the unknown; `residual` is what is left over at the root.

    Positive means the set is driven harder than it resists, along its motion. It falls as speed or
    acceleration rise; for a torque the sign is turned so that it falls too.
    """
    is_speed = (p.unknown == SPEED)[:, None]
    is_torque = (p.unknown == TORQUE)[:, None]
    is_acceleration = (p.unknown == ACCELERATION)[:, None]
    omega_root = np.where(is_speed, x * p.motion, p.speed * p.motion)
    alpha_root = np.where(is_acceleration, x * p.motion, 0.0)
    net, out = {}, Balance(x, {}, {}, {}, {}, [], [], x)
    for shaft in p.set.shafts:
        r = p.set.ratio[shaft]
        turns = p.attached.get(shaft, 1.0)
        omega = r * omega_root * turns
        out.speed[shaft] = omega
        out.acceleration[shaft] = r * alpha_root * turns
        out.brake_torque[shaft] = _brake(p, shaft, omega)
        out.inertia_torque[shaft] = inertia_torque(p.inertia.get(shaft, 0.0), out.acceleration[shaft])
        net[shaft] = (p.applied[shaft] + out.brake_torque[shaft] + out.inertia_torque[shaft])
        if shaft in p.attached:
            net[shaft] = net[shaft] * p.attached[shaft]
        here = np.array([[1.0] if at == shaft else [0.0] for at in p.at]) * is_torque
        if here.any():
            net[shaft] = net[shaft] - x * here * np.sign(r) * p.motion
    _eliminate(p, net, out)
    out.residual = net[p.set.root] * p.motion
    return out


def inertia_torque(J: Any, alpha: Array) -> Array:
    """What a turning mass holds against; nothing at steady speed, also where the mass is unknown."""
    return np.where(alpha == 0, 0.0, -J * alpha)


def _brake(p: Problem, shaft: str, omega: Array) -> Array:
    """Torque of the brakes; an answer beyond a critical speed is thrown away in the end."""
    square, linear = p.square_brake.get(shaft, 0.0), p.linear_brake.get(shaft, 0.0)
    if np.ndim(square) == 0 and np.ndim(linear) == 0 and square == 0 and linear == 0:
        return np.zeros_like(omega)
    return -square * omega * np.abs(omega) - linear * omega


def _eliminate(p: Problem, net: dict[str, Array], out: Balance) -> None:
    """Move the torque on every outer shaft inwards, with losses in the direction power flows."""
    on_child: list[Array] = [net[p.set.root]] * len(p.set.links)
    on_parent = list(on_child)
    for i in range(len(p.set.links) - 1, -1, -1):
        link = p.set.links[i]
        torque = net[link.child]
        drives_inward = torque * link.ratio * np.sign(p.set.ratio[link.parent]) * p.motion > 0
        passed = np.where(drives_inward, p.inward[i], 1 / p.outward[i])
        arrives = torque * link.ratio * passed
        on_child[i], on_parent[i] = -torque, arrives
        net[link.parent] = net[link.parent] + arrives
    out.on_child, out.on_parent = on_child, on_parent


def find_zero(f: Callable[[Array], Array], low: Array, high: Array) -> Array:
    """Zero of a falling function, elementwise: secant steps kept inside a bracket that is grown first.

    Entries that find no bracket or do not settle, or are NaN, come back NaN.
    """
    f_low, f_high = f(low), f(high)
    for _ in range(40):
        grow_up, grow_down = f_high > 0, f_low < 0
        if not (grow_up.any() or grow_down.any()):
            break
        step = 4 * (high - low)
        high, low = np.where(grow_up, high + step, high), np.where(grow_down, low - step, low)
        f_low, f_high = f(low), f(high)
    bracketed = (f_low >= 0) & (f_high <= 0)
    x = _close_in(f, low, high, f_low, f_high)
    return np.where(bracketed, x, np.nan)


def _close_in(f: Callable[[Array], Array], low: Array, high: Array, f_low: Array, f_high: Array) -> Array:
    """Regula falsi with the Anderson-Björck weights, which keep its ends from sticking."""
    x, settled, moved = low, np.zeros(low.shape, bool), np.zeros(low.shape)
    scale = np.abs(f_low) + np.abs(f_high)
    for _ in range(MOST_ROUNDS):
        span = f_low - f_high
        x = np.where(span > 0, (low * -f_high + high * f_low) / np.where(span > 0, span, 1.0), low)
        fx = f(x)
        settled = (np.abs(fx) <= SETTLED * scale) | (high - low <= SETTLED * np.abs(x)) | np.isnan(fx)
        if settled.all():
            return x
        above = fx > 0
        stuck_high, stuck_low = above & (moved > 0) & ~settled, ~above & (moved < 0) & ~settled
        f_high, f_low = (
            np.where(above, f_high * np.where(stuck_high, _weight(fx, f_low), 1.0), fx),
            np.where(above, fx, f_low * np.where(stuck_low, _weight(fx, f_high), 1.0)),
        )
        low, high = np.where(above, x, low), np.where(above, high, x)
        moved = np.where(above, 1, -1)
    return np.where(settled, x, np.nan)


def _weight(fx: Array, replaced: Array) -> Array:
    """Shrinks the value kept at the other end when the same end moves twice."""
    share = 1 - fx / np.where(replaced == 0, 1.0, replaced)
    return np.where(share > 0, share, 0.5)

