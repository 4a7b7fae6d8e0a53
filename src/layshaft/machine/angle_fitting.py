"""What must fit in a torque by angle or a lift: rising angles, no more than a repeat, no lift that jumps."""

from __future__ import annotations

import math
from itertools import pairwise

from layshaft.machine.errors import Problem
from layshaft.machine.kinds import Cam, TorqueByAngle
from layshaft.machine.schema import Given, Thing
from layshaft.machine.sentences import measured as say
from layshaft.trace.units import ANGLE, shown

SAME = 1e-9


def check(load: Thing, problems: list[Problem]) -> None:
    """Everything about the points of a load that does not fit, added to `problems`."""
    if not isinstance(load, TorqueByAngle | Cam):
        return
    points = load.points if isinstance(load, TorqueByAngle) else load.lift
    path = f"{load.path}.{'points' if isinstance(load, TorqueByAngle) else 'lift'}"
    if not all(value.known for row in points for value in row):
        return
    angles = [row[0].nominal for row in points]
    period = 2 * math.pi / (load.per_turn.nominal if load.per_turn.known else 1.0)
    for (before, _), (this, _) in pairwise(points):
        if this.nominal < before.nominal - SAME:
            late, early = shown(before.nominal, ANGLE), shown(this.nominal, ANGLE)
            problems.append(Problem(this.mark, say.back(path, early, late)))
            return
    if angles[-1] - angles[0] > period * (1 + SAME):
        problems.append(Problem(points[-1][0].mark, say.too_long(
            path, shown(angles[-1] - angles[0], ANGLE), shown(period, ANGLE))))
    elif angles[-1] - angles[0] <= SAME:
        problems.append(Problem(points[0][0].mark, say.one_angle(path)))
    elif isinstance(load, Cam):
        _jumps(load, points, path, period, problems)


def _jumps(load: Cam, points: tuple[tuple[Given, Given], ...], path: str, period: float,
           problems: list[Problem]) -> None:
    """A lift may only drop at once, where the follower falls by itself."""
    ways = [*pairwise(points), (points[-1], points[0])]
    for (angle, lift), (then, other) in ways:
        span = then.nominal - angle.nominal
        span += period if (then is points[0][0]) else 0.0
        change = other.nominal - lift.nominal
        if abs(span) <= SAME and change and not (change < 0 and load.falls_free):
            problems.append(Problem(angle.mark, say.jumps(path, shown(angle.nominal, ANGLE), down=change < 0)))
            return
