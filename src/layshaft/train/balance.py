"""Torque balance of one set of shafts, for many cases at once.

A set turns as one, so a case has one unknown: the speed (weight against brakes), a torque at one
shaft (a crank, a ratchet, a jam), or the acceleration (a pulse against turning masses). Torques go
through the tree by elimination from the leaves to the root; what is left at the root is a monotone
function of the unknown, and its zero is the answer.

While power keeps its direction through every link, that function is a quadratic with a known zero; so
the directions are assumed, the zero taken, and the directions looked at again until they stay. Arrays
are (cases, samples), with shafts in front where all of a set are together.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field, replace
from typing import Any

import numpy as np
import numpy.typing as npt

from layshaft.train.graph import ShaftSet

Array = npt.NDArray[np.float64]
SETTLED = 1e-13
MOST_ROUNDS = 80
MOST_DIRECTIONS = 12
SPEED, TORQUE, ACCELERATION = 0, 1, 2


@dataclass(slots=True)
class Problem:
    """One set of shafts in C cases with S samples.

    `applied` are the torques that are known, (shafts, C, S); `unknown` says per case which unknown it
    has, `at` the shaft where an unknown torque acts. `motion` is the sense the root turns or would
    turn. `outward[link]` and `inward[link]` are the shares of power that get through, `attached[shaft]`
    is 0 where the case has taken the shaft out.
    """

    set: ShaftSet
    applied: Array
    unknown: npt.NDArray[np.int64]
    at: list[str]
    motion: float
    outward: list[Any]
    inward: list[Any]
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
    speed: Array
    acceleration: Array
    on_child: list[Array]
    """Torque each link exerts on its outer shaft, in the order of the set's links."""
    on_parent: list[Array]
    residual: Array


@dataclass(slots=True)
class _Setting:
    """What every sweep of a problem needs, laid out once. Shafts by their number in the set."""

    number: dict[str, int]
    turning: Array
    """Speed of each shaft over that of the root; 0 where the case has taken it out."""

    is_speed: npt.NDArray[np.bool_]
    is_acceleration: npt.NDArray[np.bool_]
    pushed: list[int]
    push: Array
    """Torque on each of `pushed` for one unit of an unknown torque, by case."""

    links: list[tuple[int, int, float, Array, Array]]
    """Child, parent, sense, and what a torque on the child becomes if it drives inward or outward."""


def solve(p: Problem) -> Balance:
    """Find the unknown of every case and the torques that go with it.

    A speed that comes out backward is no answer: the machine stands, and nothing is known of that case. So it is
    of every case without an answer: on all links, whatever other cases are solved beside it.
    """
    s = _setting(p)
    root = _zero(p, s)
    answer = _sweep(p, s, root)
    beyond = s.is_speed & (root <= 0)
    for shaft, limit in p.critical.items():
        beyond = beyond | (np.abs(answer.speed[s.number[shaft]]) > limit)
    nothing = beyond | np.isnan(root)
    if not nothing.any():
        return answer
    applied = np.where(nothing, np.nan, p.applied)
    return _sweep(replace(p, applied=applied), s, np.where(nothing, np.nan, root))


def spelled(p: Problem, case: int) -> tuple[Array, list[tuple[int, int, float, float, float]]]:
    """One case of the first sample in plain terms, for those who need the balance at every speed.

    Torque along the motion on every shaft as c0 + c1 omega + c2 omega^2 + c3 alpha of the root, shape
    (4, shafts), and the links of `_Setting` with plain numbers. Speeds along the motion are above zero.
    """
    s = _setting(p)
    c = np.zeros((4, len(p.set.shafts)))
    c[0] = p.applied[:, case, 0]

    def plain(value: Any) -> float:
        return float(np.broadcast_to(value, p.applied.shape[1:])[case, 0])

    turning = [plain(r) for r in s.turning]
    for shaft, square, linear in _brakes(p):
        k = s.number[shaft]
        c[1, k] -= plain(linear) * turning[k] * p.motion
        c[2, k] -= plain(square) * turning[k] * abs(turning[k]) * p.motion
    for shaft, J in p.inertia.items():
        c[3, s.number[shaft]] -= plain(J) * turning[s.number[shaft]] * p.motion
    links = [(child, parent, sense, plain(inward), plain(outward)) for child, parent, sense, inward, outward in s.links]
    return c, links


def spelled_all(p: Problem) -> tuple[Array, list[tuple[int, int, float, Array, Array]]]:
    """The same of every case and sample at once: terms of shape (4, shafts, cases, samples)."""
    s = _setting(p)
    c = np.zeros((4, *p.applied.shape))
    c[0] = p.applied
    turning = np.broadcast_to(s.turning, p.applied.shape)
    for shaft, square, linear in _brakes(p):
        k = s.number[shaft]
        c[1, k] -= linear * turning[k] * p.motion
        c[2, k] -= square * turning[k] * np.abs(turning[k]) * p.motion
    for shaft, J in p.inertia.items():
        c[3, s.number[shaft]] -= J * turning[s.number[shaft]] * p.motion
    return c, s.links


def _setting(p: Problem) -> _Setting:
    shafts, ratio = p.set.shafts, p.set.ratio
    number = {shaft: i for i, shaft in enumerate(shafts)}
    turning = np.array([ratio[shaft] for shaft in shafts])[:, None, None]
    if p.attached:
        turns = np.ones((len(shafts), *p.applied.shape[1:]))
        for shaft, on in p.attached.items():
            turns[number[shaft]] *= on
        turning = turning * turns
    asks = p.unknown == TORQUE
    pushed = sorted({number[at] for at, asked in zip(p.at, asks, strict=True) if asked})
    push = np.zeros((len(pushed), len(p.at), 1))
    for case in np.flatnonzero(asks):
        k = number[p.at[case]]
        push[pushed.index(k), case] = -np.sign(ratio[p.at[case]]) * p.motion
    links = [(number[link.child], number[link.parent], link.ratio * float(np.sign(ratio[link.parent])) * p.motion,
              link.ratio * p.inward[i], link.ratio / p.outward[i]) for i, link in enumerate(p.set.links)]
    return _Setting(number, turning, (p.unknown == SPEED)[:, None], (p.unknown == ACCELERATION)[:, None],
                    pushed, push, links)


def _sweep(p: Problem, s: _Setting, x: Array) -> Balance:
    """Torques for one value of the unknown; `residual` is what is left over at the root.

    Positive means the set is driven harder than it resists, along its motion. It falls as speed or
    acceleration rise; for a torque the sign is turned so that it falls too.
    """
    speed = s.turning * np.where(s.is_speed, x * p.motion, p.speed * p.motion)
    acceleration = s.turning * np.where(s.is_acceleration, x * p.motion, 0.0)
    net = p.applied.copy()
    for shaft, a, b in _brakes(p):
        omega = speed[s.number[shaft]]
        net[s.number[shaft]] -= a * omega * np.abs(omega) + b * omega
    for shaft, J in p.inertia.items():
        net[s.number[shaft]] += inertia_torque(J, acceleration[s.number[shaft]])
    for shaft, on in p.attached.items():
        net[s.number[shaft]] *= on
    net[s.pushed] += s.push * x
    on_child: list[Array] = [net[0]] * len(s.links)
    on_parent = list(on_child)
    for i in range(len(s.links) - 1, -1, -1):
        child, parent, sense, inward, outward = s.links[i]
        torque = net[child]
        on_parent[i] = torque * np.where(torque * sense > 0, inward, outward)
        on_child[i] = -torque
        net[parent] += on_parent[i]
    return Balance(x, speed, acceleration, on_child, on_parent, net[0] * p.motion)


def _brakes(p: Problem) -> list[tuple[str, Any, Any]]:
    """Shafts with brakes; an answer beyond a critical speed is thrown away in the end."""
    pairs = [(shaft, square, p.linear_brake.get(shaft, 0.0)) for shaft, square in p.square_brake.items()]
    return [(shaft, a, b) for shaft, a, b in pairs if np.ndim(a) or np.ndim(b) or a != 0 or b != 0]


def inertia_torque(J: Any, alpha: Array) -> Array:
    """What a turning mass holds against; nothing at steady speed, also where the mass is unknown."""
    return np.where(alpha == 0, 0.0, -J * alpha)


# The unknown -----------------------------------------------------------------------------------


def _zero(p: Problem, s: _Setting) -> Array:
    """The unknown at which nothing is left over at the root; NaN where there is none."""
    terms = _terms(p, s)
    x = np.where(s.is_speed, 1.0, np.zeros(p.applied.shape[1:]))
    for _ in range(MOST_DIRECTIONS):
        before, x = x, _zero_of(*_at_root(s, terms, x) * p.motion)
        moved = np.abs(x - before) > SETTLED * np.abs(x)
        if not moved.any():
            return np.where(np.isfinite(x), x, np.nan)
    searched = find_zero(lambda v: _sweep(p, s, v).residual, *_first_guesses(p, s))
    return np.where(moved, searched, np.where(np.isfinite(x), x, np.nan))


def _terms(p: Problem, s: _Setting) -> Array:
    """Torque on every shaft as c0 + c1 x + c2 x |x|: the three terms in front of (shafts, cases, samples)."""
    c = np.zeros((3, *p.applied.shape))
    c[0] = p.applied
    for shaft, square, linear in _brakes(p):
        k = s.number[shaft]
        for term, brake in ((1, linear), (2, square)):
            force = brake * s.turning[k] * (np.abs(s.turning[k]) if term == 2 else 1.0) * p.motion
            running = p.speed * (np.abs(p.speed) if term == 2 else 1.0)
            c[term, k] -= np.where(s.is_speed, force, 0.0)
            c[0, k] -= np.where(s.is_speed, 0.0, force * running)
    for shaft, J in p.inertia.items():
        k = s.number[shaft]
        c[1, k] -= np.where(s.is_acceleration & (s.turning[k] != 0), J * s.turning[k] * p.motion, 0.0)
    for shaft, on in p.attached.items():
        c[:, s.number[shaft]] *= on
    c[1, s.pushed] += s.push
    return c


def _at_root(s: _Setting, terms: Array, x: Array) -> Array:
    """The three terms left over at the root if power goes through every link as it does at `x`."""
    c, square = terms.copy(), x * np.abs(x)
    for child, parent, sense, inward, outward in reversed(s.links):
        t = c[:, child]
        torque = t[0] + t[1] * x + t[2] * square
        c[:, parent] += t * np.where(torque * sense > 0, inward, outward)
    return c[:, 0]


def _zero_of(c0: Array, c1: Array, c2: Array) -> Array:
    """Zero of c0 + c1 x + c2 x |x|, a falling function; infinite where it never comes down."""
    zero: Array = 2 * c0 / (np.sqrt(c1 * c1 - 4 * c2 * np.abs(c0)) - c1)
    return np.where(c0 == 0, 0.0, zero)


def _first_guesses(p: Problem, s: _Setting) -> tuple[Array, Array]:
    size = np.maximum(np.abs(p.applied).max(axis=0), 1.0)
    return np.where(s.is_speed, 1e-3, np.zeros(size.shape)), np.where(s.is_speed, 1.0, size)


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
    x = close_in(f, low, high, f_low, f_high)
    return np.where(bracketed, x, np.nan)


def close_in(f: Callable[[Array], Array], low: Array, high: Array, f_low: Array, f_high: Array) -> Array:
    """Zero of a function that falls from `f_low` >= 0 to `f_high` <= 0; NaN where it does not settle.

    Regula falsi with the Anderson-Björck weights, which keep its ends from sticking.
    """
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
