"""Straight bevel pairs in space: where the mesh lies, what its forces are, and how bent shafts move it."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import numpy as np

from layshaft.machine.kinds import BevelPair
from layshaft.machine.model import Shaft
from layshaft.train.vectors import Vector, axis, cross, spread


def apex_sides(stage: BevelPair) -> tuple[float, float]:
    """For each gear, +1 where it stands beyond the crossing of the axes, -1 where before it."""
    return tuple(-1.0 if where == "beyond" else 1.0 for where in stage.apex)  # type: ignore[return-value]


@dataclass(frozen=True, slots=True)
class BevelMesh:
    """The middle of the face of a pair at right angles: from the apex outward, and from the seat to the mesh.

    The seats stand at the large ends of the pitch cones, the mesh half a face nearer to the apex.
    """

    delta: tuple[float, float]
    r: tuple[float, float]
    height: tuple[float, float]
    """From the apex to each seat, along its axis."""

    out: tuple[Vector, Vector]
    arm: tuple[Vector, Vector]


@dataclass(frozen=True, slots=True)
class Bent:
    """What bending does to a shaft at one seat: its shift, and what it adds to the direction of its axis."""

    shift: Vector
    lean: Vector


def bevel_mesh(stage: BevelPair, first: Shaft, second: Shaft) -> BevelMesh:
    """Nominal places of a pair."""
    z = stage.teeth[0].nominal, stage.teeth[1].nominal
    m, face = stage.normal_module.nominal, stage.face.nominal
    delta_1 = float(np.arctan2(z[0], z[1]))
    r_1 = m * z[0] / 2 - face / 2 * np.sin(delta_1)
    r_2 = m * z[1] / 2 - face / 2 * np.cos(delta_1)
    s_1, s_2 = apex_sides(stage)
    out_1, out_2 = axis(first) * s_1, axis(second) * s_2  # from the apex towards each gear
    # The mesh lies towards the other gear: radially out along its axis, at the mean radius.
    height = m * z[1] / 2, m * z[0] / 2
    arm_1 = out_2 * r_1 - out_1 * (height[0] - r_2)
    arm_2 = out_1 * r_2 - out_2 * (height[1] - r_1)
    return BevelMesh((delta_1, np.pi / 2 - delta_1), (r_1, r_2), height, (out_1, out_2), (arm_1, arm_2))


def bevel_forces(stage: BevelPair, first: Shaft, second: Shaft, torque_1: Vector,
                 torque_2: Vector) -> tuple[tuple[Vector, Vector], tuple[Vector, Vector]]:
    """Straight bevel gears at right angles: force at the mean radius, pushing both gears off the apex."""
    mesh = bevel_mesh(stage, first, second)
    (out_1, out_2), (r_1, r_2), (arm_1, arm_2) = mesh.out, mesh.r, mesh.arm
    lift = np.maximum(np.abs(torque_1) / r_1, np.abs(torque_2) / r_2) * np.tan(stage.pressure_angle.nominal)
    # What thrusts one gear parts the other.
    push = spread(out_1, lift * np.sin(mesh.delta[0])) - spread(out_2, lift * np.cos(mesh.delta[0]))
    force_1 = spread(np.cross(axis(first), out_2), torque_1 / r_1) + push
    force_2 = spread(np.cross(axis(second), out_1), torque_2 / r_2) - push
    couple_1 = cross(spread(arm_1, np.ones_like(lift)), force_1) - spread(axis(first), torque_1)
    couple_2 = cross(spread(arm_2, np.ones_like(lift)), force_2) - spread(axis(second), torque_2)
    return (force_1, couple_1), (force_2, couple_2)


def lean_along_face(stage: BevelPair, first: Shaft, second: Shaft, torque_1: Any, moved: tuple[Bent, Bent]) -> Any:
    """How fast the gap between two flanks opens along the face, once the gears have turned until they touch.

    Bevel teeth bear all along while the points of both cones meet, however the gears turn about them. Where bending
    parts the points, the share of that along the normal of the flanks is what the face opens by over the way from the
    point to its middle. The normal turns over with the torque.
    """
    mesh = bevel_mesh(stage, first, second)
    (out_1, out_2), delta, alpha = mesh.out, mesh.delta[0], stage.pressure_angle.nominal
    points = [bent.shift - bent.lean * float(axis(shaft) @ out) * height
              for bent, shaft, out, height in zip(moved, (first, second), mesh.out, mesh.height, strict=True)]
    lifting = (out_1 * np.sin(delta) - out_2 * np.cos(delta)) * np.sin(alpha)
    along = np.cross(axis(first), out_2) * np.cos(alpha)
    by_push, by_lift = (np.tensordot(part, points[0] - points[1], axes=1) for part in (along, lifting))
    return np.abs(np.sign(torque_1) * by_push + by_lift) / (mesh.r[0] / np.sin(delta))


def shift_of_middle(stage: BevelPair, first: Shaft, second: Shaft, moved: tuple[Bent, Bent]) -> Any:
    """How far the middles of both faces shift against each other, in whatever direction."""
    mesh = bevel_mesh(stage, first, second)
    one, two = (bent.shift + cross(cross(_all(axis(shaft), bent.lean), bent.lean), _all(arm, bent.lean))
                for bent, shaft, arm in zip(moved, (first, second), mesh.arm, strict=True))
    return np.linalg.norm(one - two, axis=0)


def _all(v: Vector, like: Vector) -> Vector:
    """A fixed vector in every case and sample."""
    return spread(v, np.ones_like(like[0]))
