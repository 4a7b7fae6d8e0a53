"""A worm and its wheel in the train: sizes, side and sense, share of power either way, forces, what cannot be.

The worm sits on the first shaft. `line` points from its axis to that of the wheel, so it lies along the common
perpendicular of the two. A mesh of no stated efficiency loses by its friction; where that is not stated either,
it follows from the sliding speed, and the machine is solved again until the two agree.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import TYPE_CHECKING, Any

import numpy as np

from layshaft.elements import worm_pair
from layshaft.machine.errors import MachineErrors, Problem
from layshaft.machine.kinds import Worm
from layshaft.machine.model import Machine
from layshaft.machine.once import once
from layshaft.machine.schema import Given
from layshaft.machine.sentences import train as say
from layshaft.mechanics import loads as friction
from layshaft.trace.units import LENGTH, RATIO, shown
from layshaft.train.vectors import Vector, axis, cross, line_direction, spread

if TYPE_CHECKING:
    from layshaft.train.solve import Solved

NAN = float("nan")
SAME = 0.01
"""Sizes that say the same worm may differ by this share: a lead angle is printed to a few digits."""

SQUARE = 1e-3
"""Cosine below which two directions count as square to each other."""

MOST_SHIFT = 1.0
"""Profile shift coefficient beyond which no wheel is cut."""

NOTE = "friction of the worm mesh"


# Sizes and place --------------------------------------------------------------------------------


@dataclass(frozen=True, slots=True)
class WormSizes:
    """Nominal sizes of a pair, SI; NaN while open. `d_w` and `gamma` are those of the cylinder the wheel rolls on."""

    d_1: float
    d_2: float
    a: float
    x: float
    d_w: float
    gamma: float


@once
def worm_sizes(stage: Worm) -> WormSizes:
    """From whichever of its four sizes tells the diameter of the worm."""
    m, z_1, z_2 = stage.axial_module.nominal, stage.starts.nominal, stage.wheel_teeth.nominal
    d_1 = next((d for _, d in _diameters(stage)), NAN)
    d_2 = float(worm_pair.wheel_diameter(m, z_2))
    x = 0.0
    if not np.isfinite(d_1):
        d_1 = float(worm_pair.diameter_by_centres(stage.centres.nominal, m, z_2))
    elif stage.centres.known:
        x = float(worm_pair.shift_at(stage.centres.nominal, d_1, d_2, m))
    a = float(worm_pair.centre_distance(d_1, d_2, x, m))
    d_w = float(worm_pair.rolling_diameter(a, d_2))
    return WormSizes(d_1, d_2, a, x, d_w, float(worm_pair.lead_angle(m, z_1, d_w)))


def _diameters(stage: Worm) -> list[tuple[Given, float]]:
    """Every way in which the file tells the diameter of the worm by itself."""
    m = stage.axial_module.nominal
    told = [(stage.worm_diameter, stage.worm_diameter.nominal),
            (stage.quotient, float(worm_pair.diameter_by_quotient(stage.quotient.nominal, m))),
            (stage.lead_angle, float(worm_pair.diameter_by_lead_angle(m, stage.starts.nominal,
                                                                      stage.lead_angle.nominal)))]
    return [(given, d) for given, d in told if given.known and np.isfinite(d)]


def told(stage: Worm) -> bool:
    """True where the file says how thick the worm is, in one way or another."""
    return any(given.known for given in (stage.worm_diameter, stage.quotient, stage.lead_angle, stage.centres))


@once
def side(machine: Machine, stage: Worm) -> float:
    """1 where the wheel lies towards first axis x second axis, -1 on the other side, NaN where nothing says it."""
    first, second = machine.shafts[stage.from_], machine.shafts[stage.to]
    if not stage.line.known:
        return NAN
    return float(np.sign(line_direction(first, stage.line.nominal) @ np.cross(axis(first), axis(second))))


@once
def turn_ratio(machine: Machine, stage: Worm) -> float:
    """Speed of the wheel over that of the worm, signed about their axes; forward while no side is given.

    The thread of a right-handed worm that turns about its axis moves against it past a fixed point.
    """
    size = stage.starts.nominal / stage.wheel_teeth.nominal
    size = size if np.isfinite(size) else 1 / stage.ratio.nominal
    lies = side(machine, stage)
    return size * hand(stage) * lies if np.isfinite(lies) else size


def hand(stage: Worm) -> float:
    """1 for right-handed threads, -1 for left-handed ones."""
    return -1.0 if stage.hand == "left" else 1.0


def refuse(machine: Machine) -> None:
    """Raise `MachineErrors` for sizes that clash, and for shafts that no worm joins."""
    problems: list[Problem] = []
    for stage in machine.stages.values():
        if isinstance(stage, Worm):
            _refuse(machine, stage, problems)
    if problems:
        raise MachineErrors(problems)


def _refuse(machine: Machine, stage: Worm, problems: list[Problem]) -> None:
    first, second = machine.shafts[stage.from_], machine.shafts[stage.to]
    if abs(float(axis(first) @ axis(second))) > SQUARE:
        problems.append(Problem(stage.mark, say.worm_not_square(stage.path, stage.from_, stage.to)))
    elif stage.line.known and abs(float(line_direction(first, stage.line.nominal) @ axis(second))) > SQUARE:
        problems.append(Problem(stage.line.mark, say.worm_line(stage.line.path, stage.to)))
    told = _diameters(stage)
    for given, d in told[1:]:
        if abs(d / told[0][1] - 1) > SAME:
            problems.append(Problem(given.mark, say.worm_sizes_clash(
                given.path, shown(d, LENGTH), told[0][0].path, shown(told[0][1], LENGTH))))
    sizes = worm_sizes(stage)
    if stage.centres.known and sizes.d_1 <= 0:
        problems.append(Problem(stage.centres.mark, say.no_room_for_worm(
            stage.centres.path, shown(stage.centres.nominal, LENGTH), shown(sizes.d_2, LENGTH))))
    elif abs(sizes.x) > MOST_SHIFT:
        problems.append(Problem(stage.centres.mark, say.worm_centres(
            stage.centres.path, shown(stage.centres.nominal, LENGTH), f"{sizes.x:.3g}",
            shown((sizes.d_1 + sizes.d_2) / 2, LENGTH))))


# Share of the power -----------------------------------------------------------------------------


def shares(stage: Worm) -> tuple[Any, Any]:
    """Share that gets through from worm to wheel, and back; none where the worm locks by itself."""
    forward, mu = stage.efficiency.value, running_friction(stage)
    sizes, alpha = worm_sizes(stage), stage.pressure_angle.nominal
    back = worm_pair.reverse_efficiency(alpha, mu, sizes.gamma)
    back = np.where(np.isfinite(back), back, friction.worm_reverse_efficiency(forward))
    return forward, np.maximum(back, 0.0)


def running_friction(stage: Worm) -> Any:
    """Friction of the running mesh that its efficiency implies; NaN while a size is open."""
    sizes = worm_sizes(stage)
    return worm_pair.implied_friction(stage.efficiency.value, stage.pressure_angle.nominal, sizes.gamma)


def locks(stage: Worm) -> str:
    """`running` where the wheel never turns the worm, `at rest` where a shake lets it, else blank."""
    if bool(np.all(shares(stage)[1] == 0)):
        return "running"
    least = worm_pair.locking_friction(stage.pressure_angle.nominal, worm_sizes(stage).gamma)
    return "at rest" if bool(worm_pair.AT_REST >= least) else ""


@once
def undecided(machine: Machine) -> tuple[str, ...]:
    """Worms whose loss follows from their friction: sizes known, no efficiency stated."""
    return tuple(name for name, stage in machine.stages.items() if isinstance(stage, Worm)
                 and stage.efficiency.state == "missing"
                 and np.isfinite(worm_sizes(stage).gamma * stage.pressure_angle.nominal))


def frictions(solved: Solved, names: tuple[str, ...]) -> dict[str, Any]:
    """Friction of each mesh at its speed in the running case; what stands has that of rest."""
    found: dict[str, Any] = {}
    for name in names:
        stage: Any = solved.machine.stages[name]
        sizes = worm_sizes(stage)
        v_s = worm_pair.sliding_speed(np.nan_to_num(solved.speed[stage.from_][0]), sizes.d_w, sizes.gamma)
        found[name] = stage.friction.value if stage.friction.known else worm_pair.mesh_friction(v_s)
    return found


def first_guess(machine: Machine) -> dict[str, Any]:
    """Friction to begin with: as stated, else that of a slow mesh."""
    found: dict[str, Any] = {}
    for name in undecided(machine):
        stage: Any = machine.stages[name]
        found[name] = stage.friction.value if stage.friction.known else worm_pair.mesh_friction(SLOW)
    return found


SLOW = 0.1
"""Sliding speed of the first guess, m/s."""


def with_friction(machine: Machine, mus: dict[str, Any]) -> Machine:
    """The machine with the efficiencies that these frictions give, marked as assumed."""
    stages = dict(machine.stages)
    for name, mu in mus.items():
        stage: Any = stages[name]
        sizes, alpha = worm_sizes(stage), stage.pressure_angle.nominal
        eta = worm_pair.efficiency(alpha, mu, sizes.gamma)
        more: dict[str, Any] = {"efficiency": _given(stage.efficiency, eta)}
        if stage.break_away.state == "missing":
            at_rest = worm_pair.efficiency(alpha, np.maximum(worm_pair.AT_REST, mu), sizes.gamma)
            more["break_away"] = _given(stage.break_away, worm_pair.losses_at_rest(at_rest, eta))
        stages[name] = replace(stage, **more)
    return replace(machine, stages=stages)


def _given(missing: Given, found: Any) -> Given:
    values = np.asarray(found, dtype=float)
    value: Any = values if values.size > 1 else float(values.reshape(-1)[0])
    return Given(missing.path, RATIO, value, source="assumed", note=NOTE, cause=missing.path,
                 middle=float(np.mean(values)))


# Forces -----------------------------------------------------------------------------------------


def forces(machine: Machine, stage: Worm, between: Vector, torque_1: Vector,
           torque_2: Vector) -> tuple[tuple[Vector, Vector], tuple[Vector, Vector]]:
    """One force where the two roll on each other, and its reaction, referred to the seat centres.

    Across each axis it is what that shaft's torque asks for; friction is in the two torques. It leans by the
    pressure angle against the normal of the flank, which friction does not touch.
    """
    a_1, a_2 = axis(machine.shafts[stage.from_]), axis(machine.shafts[stage.to])
    sizes, u = worm_sizes(stage), between / np.linalg.norm(between)
    lies = float(np.sign(u @ np.cross(a_1, a_2)))
    if not lies * hand(stage) * turn_ratio(machine, stage) > 0:
        lies = NAN  # nothing says on which side the wheel lies, or its place says otherwise
    r_1, r_2 = sizes.d_w / 2, sizes.d_2 / 2
    across, along = torque_1 / r_1, lies * torque_2 / r_2
    normal = np.sin(sizes.gamma) * across - hand(stage) * np.cos(sizes.gamma) * along
    apart = np.abs(normal) * np.tan(stage.pressure_angle.nominal)
    force = spread(np.cross(a_1, u), across) + spread(a_1, along) - spread(u, apart)
    arm_1, arm_2 = spread(u * r_1, np.ones_like(torque_1)), spread(-u * r_2, np.ones_like(torque_1))
    couple_1 = cross(arm_1, force) - spread(a_1, torque_1)
    couple_2 = cross(arm_2, -force) - spread(a_2, torque_2)
    return (force, couple_1), (-force, couple_2)
