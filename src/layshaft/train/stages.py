"""What the solver asks of a stage, whatever its kind.

One function a question, told apart by kind here and nowhere else: the ratio, the share of power that
gets through in either direction, where the second shaft lies, and the forces on the two seats.
Vectors are in the machine's frame (x, y, z up), SI, shape (3,) for places and (3, cases, samples)
for forces.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache
from typing import Any

import numpy as np

from layshaft.elements import belt, roller_chain
from layshaft.elements.gear_pair import geometry as gears
from layshaft.elements.gear_pair import meshing
from layshaft.machine.kinds import (
    BevelPair,
    GearPair,
    InLine,
    RollerChain,
    Stage,
    SynchronousBelt,
    VBelt,
    Worm,
)
from layshaft.machine.model import Machine, Shaft
from layshaft.machine.once import once
from layshaft.train import worms
from layshaft.train.bevels import apex_sides as apex_sides
from layshaft.train.bevels import bevel_forces
from layshaft.train.idlers import has_idlers, links_for
from layshaft.train.sizes import belt_diameters, belt_length, chain_pitch
from layshaft.train.strands import belt_pull, chain_pull
from layshaft.train.vectors import UP as UP
from layshaft.train.vectors import Vector as Vector
from layshaft.train.vectors import axis as axis
from layshaft.train.vectors import cross as cross
from layshaft.train.vectors import frame as frame
from layshaft.train.vectors import line_direction as line_direction
from layshaft.train.vectors import spread as spread

NAN = float("nan")


def same_sense(machine: Machine, stage: Stage) -> float:
    """1 where the two axes point the same way, -1 where they are opposed."""
    first, second = machine.shafts[stage.from_], machine.shafts[stage.to]
    return 1.0 if float(axis(first) @ axis(second)) >= 0 else -1.0


@once
def turn_ratio(machine: Machine, stage: Stage) -> float:
    """Speed of the second shaft over that of the first, signed about their axes; NaN while open."""
    if isinstance(stage, Worm):
        return worms.turn_ratio(machine, stage)
    if isinstance(stage, VBelt):
        return _v_belt_ratio(stage) * same_sense(machine, stage)
    if not isinstance(stage, (RollerChain, SynchronousBelt, GearPair, BevelPair)):
        return same_sense(machine, stage)
    size = stage.teeth[0].nominal / stage.teeth[1].nominal
    if not np.isfinite(size):
        size = 1 / stage.ratio.nominal
    if isinstance(stage, (RollerChain, SynchronousBelt)):
        return size * same_sense(machine, stage)
    if isinstance(stage, GearPair):
        return (size if stage.internal else -size) * same_sense(machine, stage)
    first, second = apex_sides(stage)
    return -size * first * second


def _v_belt_ratio(stage: VBelt) -> float:
    """Pitch diameters, and the little the second pulley stays behind."""
    size = stage.diameters[0].nominal / stage.diameters[1].nominal
    size = size if np.isfinite(size) else 1 / stage.ratio.nominal
    return size * (1 - _known_or(stage.creep, 0.0))


def shares(stage: Stage) -> tuple[Any, Any]:
    """Share of the power that gets through from first to second shaft, and back."""
    if isinstance(stage, Worm):
        return worms.shares(stage)
    return stage.efficiency.value, stage.efficiency.value


# Where the second shaft lies ------------------------------------------------------------------


@once
def centre_distance(machine: Machine, stage: Stage) -> float:
    """Distance of the two axes at the nominal machine; NaN while a size is open."""
    if isinstance(stage, RollerChain):
        if has_idlers(stage):
            return stage.centres.nominal
        links = chain_links(machine, stage)
        z = stage.teeth[0].nominal, stage.teeth[1].nominal
        p = chain_pitch(machine, stage.chain)
        if np.isfinite(links * p * z[0] * z[1]):
            return _chain_centres(links, min(z), max(z), p)
        return stage.centres.nominal
    if isinstance(stage, (SynchronousBelt, VBelt)):
        return _belt_centres(machine, stage)
    if isinstance(stage, GearPair):
        return gear_sizes(stage).a
    if isinstance(stage, Worm):
        return worms.worm_sizes(stage).a
    if isinstance(stage, InLine):
        return 0.0
    return NAN


def _belt_centres(machine: Machine, stage: SynchronousBelt | VBelt) -> float:
    d, length = sorted(belt_diameters(machine, stage)), belt_length(machine, stage)
    if not np.isfinite(length):
        return stage.centres.nominal
    with np.errstate(invalid="ignore"):
        return float(belt.centre_distance(length, d[0], d[1]))


@cache
def _chain_centres(links: float, z_1: float, z_2: float, p: float) -> float:
    return float(roller_chain.centre_distance_exact(links, z_1, z_2, p))


@once
def chain_links(machine: Machine, stage: RollerChain) -> float:
    """Links as given, or the even number that comes nearest above the wanted distance or goes round the idlers."""
    if stage.links.known:
        return stage.links.nominal
    if has_idlers(stage):
        return links_for(machine, stage)
    p = chain_pitch(machine, stage.chain)
    z = sorted((stage.teeth[0].nominal, stage.teeth[1].nominal))
    exact = roller_chain.links_exact(stage.centres.nominal, p, z[0], z[1])
    return float(roller_chain.links_even(exact)) if np.isfinite(exact) else NAN


@dataclass(frozen=True, slots=True)
class GearSizes:
    """Nominal transverse geometry of a gear pair: angles, distance of the axes, shifts, signed pitch radii.

    Of a ring with internal teeth, and of the gear inside it, one radius carries a minus: the mesh lies
    beyond the nearer axis, not between the two.
    """

    alpha_t: float
    helix: float
    alpha_wt: float
    a: float
    x: tuple[float, float]
    r: tuple[float, float]


@once
def gear_sizes(stage: GearPair) -> GearSizes:
    """Where a pair runs: at its `centres` where they are given, else where its shifts ask for."""
    z = stage.teeth[0].nominal, stage.teeth[1].nominal
    if stage.internal:
        z = (z[0], -z[1]) if z[1] > z[0] else (-z[0], z[1])
    shifted = any(x.known for x in stage.shift) or not stage.centres.known
    x = (_known_or(stage.shift[0], 0.0), _known_or(stage.shift[1], 0.0)) if shifted else None
    return _gear_sizes(
        stage.normal_module.nominal, _known_or(stage.helix, 0.0), stage.pressure_angle.nominal, z, x,
        stage.centres.nominal if stage.centres.known else 0.0, stage.pinion_shift.nominal)


@cache
def _gear_sizes(m: float, helix: float, alpha_n: float, z: tuple[float, float], x: tuple[float, float] | None,
                centres: float, pinion_shift: float) -> GearSizes:
    alpha_t = gears.transverse_angle(alpha_n, helix)
    a_0 = gears.reference_centre_distance(z[0], z[1], gears.transverse_module(m, helix))
    if centres > 0:
        alpha_wt = gears.working_angle_at(a_0, alpha_t, centres if a_0 > 0 else -centres)
    else:
        alpha_wt = gears.working_angle(gears.working_involute(alpha_t, alpha_n, *(x or (NAN, NAN)), z[0], z[1]))
    if x is None:
        x = _split(float(gears.shift_sum(z[0], z[1], alpha_t, alpha_wt, alpha_n)), z, pinion_shift)
    a = centres or float(np.abs(gears.working_centre_distance(a_0, alpha_t, alpha_wt)))
    r = a * z[0] / (z[0] + z[1]), a * z[1] / (z[0] + z[1])
    return GearSizes(float(alpha_t), helix, float(alpha_wt), a, x, r)


def least_centres(stage: GearPair) -> float:
    """Distance of the axes below which the base circles overlap, and no teeth mesh; NaN while a size is open."""
    helix = _known_or(stage.helix, 0.0)
    z = [t.nominal for t in stage.teeth]
    signed = z[0] - z[1] if stage.internal else z[0] + z[1]
    alpha_t = gears.transverse_angle(stage.pressure_angle.nominal, helix)
    a_0 = gears.reference_centre_distance(abs(signed), 0.0, gears.transverse_module(stage.normal_module.nominal, helix))
    return float(a_0 * np.cos(alpha_t))


def _split(x_s: float, z: tuple[float, float], pinion_shift: float) -> tuple[float, float]:
    """The sum of shifts on the two gears: what is given for the smaller one, else by the usual rule."""
    small = 0 if abs(z[0]) <= abs(z[1]) else 1
    x = pinion_shift
    if not np.isfinite(x):
        x = float(meshing.pinion_shift(x_s, z[small], z[1 - small]))
    return (x, x_s - x) if small == 0 else (x_s - x, x)


def _known_or(given: Any, value: float) -> float:
    """A plain spur gear without shift need not say so: zero is the meaning of the absent key."""
    return float(given.nominal) if given.known else value


# Forces on the two seats ----------------------------------------------------------------------


@dataclass(frozen=True, slots=True)
class SeatLoad:
    """Force and couple a stage, drive or load puts on one seat, shape (3, cases, samples)."""

    shaft: str
    seat: str
    force: Vector
    couple: Vector


def seat_loads(machine: Machine, stage: Stage, between: Vector, torque_first: Vector,
               torque_second: Vector) -> tuple[SeatLoad, SeatLoad]:
    """Loads a stage puts on its two seats.

    `between` is the vector from the first seat to the second; the torques are those the stage
    exerts on each shaft about its axis, shape (cases, samples).
    """
    first, second = machine.shafts[stage.from_], machine.shafts[stage.to]
    name_1, name_2 = stage.seats
    nothing = np.zeros((3, *torque_first.shape))
    if isinstance(stage, RollerChain):
        pulls = chain_pull(machine, stage, first, between, torque_first, torque_second)
        loads = (pulls[0], nothing), (pulls[1], nothing)
    elif isinstance(stage, (SynchronousBelt, VBelt)):
        force = belt_pull(machine, stage, first, between, torque_first, torque_second)
        loads = (force, nothing), (-force, nothing)
    elif isinstance(stage, GearPair):
        loads = _gear_forces(stage, first, second, between, torque_first, torque_second)
    elif isinstance(stage, BevelPair):
        loads = bevel_forces(stage, first, second, torque_first, torque_second)
    elif isinstance(stage, Worm):
        loads = worms.forces(machine, stage, between, torque_first, torque_second)
    else:
        loads = (nothing, nothing), (nothing, nothing)
    return (SeatLoad(stage.from_, name_1, *loads[0]), SeatLoad(stage.to, name_2, *loads[1]))


def _gear_forces(stage: GearPair, first: Shaft, second: Shaft, between: Vector, torque_1: Vector,
                 torque_2: Vector) -> tuple[tuple[Vector, Vector], tuple[Vector, Vector]]:
    """Force at the pitch point, referred to the seat centres; thrust leaves a couple.

    With losses the two sides differ; each shaft gets the force its own torque asks for, and the
    larger tangential force sets the radial parts of both. With a helix above zero the first gear is
    right-handed: driving, it is pushed the way its torque points by the right-hand rule.
    """
    sizes, u = gear_sizes(stage), between / np.linalg.norm(between)
    r_1, r_2 = sizes.r
    along_1 = cross(axis(first), u)
    along_2 = cross(axis(second), -u)
    tangential_1, tangential_2 = torque_1 / r_1, torque_2 / r_2
    size = np.maximum(np.abs(tangential_1), np.abs(tangential_2))
    apart = -1.0 if stage.internal else 1.0  # teeth inside a ring push it outward
    radial = spread(u, apart * size * np.tan(sizes.alpha_wt))
    # The helix leans more on a larger circle: its lead is the same on all of them. Two halves cancel.
    lean = 0.0 if stage.double else np.tan(sizes.helix) * np.cos(sizes.alpha_t) / np.cos(sizes.alpha_wt)
    thrust = spread(axis(first), -torque_1 / abs(r_1) * lean)
    force_1 = spread(along_1, tangential_1) - radial + thrust
    force_2 = spread(along_2, tangential_2) + radial - thrust
    couple_1 = cross(spread(u * r_1, np.ones_like(torque_1)), thrust)
    couple_2 = cross(spread(-u * r_2, np.ones_like(torque_1)), -thrust)
    return (force_1, couple_1), (force_2, couple_2)
