"""Pulls of chains and belts on their two wheels, along the tight strand and the slack one."""

from __future__ import annotations

import numpy as np

from layshaft.elements import belt, roller_chain
from layshaft.machine.kinds import RollerChain, SynchronousBelt, VBelt
from layshaft.machine.model import Machine, Shaft
from layshaft.train.idlers import has_idlers, slopes
from layshaft.train.sizes import belt_diameters, chain_pitch
from layshaft.train.vectors import Vector, axis, cross, seen_along, spread

NAN = float("nan")


def chain_pull(machine: Machine, stage: RollerChain, first: Shaft, between: Vector,
                torque: Vector, torque_second: Vector) -> tuple[Vector, Vector]:
    """Pull on both sprockets along the strand that is tight, and along the slack one.

    With losses the two torques ask for different pulls: the sprocket that drives has the larger.
    """
    p = chain_pitch(machine, stage.chain)
    z = stage.teeth[0].nominal, stage.teeth[1].nominal
    r = tuple(float(roller_chain.pitch_diameter(p, count)) / 2 for count in z)
    # The strand on the +n side pulls the first sprocket backwards about its axis.
    forward = torque <= 0
    pull = np.maximum(np.abs(torque) / r[0], np.abs(torque_second) / r[1])
    slack = stage.slack_force.value if stage.slack_force.known else 0.0
    near, far = np.where(forward, pull + slack, slack), np.where(forward, slack, pull + slack)
    tight, other = strand_directions(axis(first), between, r[0], r[1])
    if not has_idlers(stage):
        force = spread(tight, near) + spread(other, far)
        return force, -force
    ends = [_bent(machine, stage, first, between, plain, n) for plain, n in ((tight, 1.0), (other, -1.0))]
    at_first, at_second = (spread(ends[0][k], near) + spread(ends[1][k], far) for k in (0, 1))
    return at_first, at_second


def _bent(machine: Machine, stage: RollerChain, first: Shaft, between: Vector, plain: Vector,
          n: float) -> tuple[Vector, Vector]:
    """Directions in which the strand on the side n (1 or -1) pulls the first and the second sprocket."""
    found = slopes(machine, stage, positive=n * seen_along(first) > 0)
    if found is None:
        return plain, -plain
    u = between / float(np.linalg.norm(between))
    out = n * cross(axis(first), u)
    return np.cos(found[0]) * u + np.sin(found[0]) * out, -np.cos(found[1]) * u - np.sin(found[1]) * out


def belt_pull(machine: Machine, stage: SynchronousBelt | VBelt, first: Shaft, between: Vector,
               torque: Vector, torque_second: Vector) -> Vector:
    """Pull of both strands on the first pulley: the tension at rest, half of the pull added to one and taken off
    the other. It loads both shafts before anything turns. Centrifugal tension presses on no pulley.
    """
    r = tuple(d / 2 for d in belt_diameters(machine, stage))
    near, far = strand_directions(axis(first), between, r[0], r[1])
    pull = np.maximum(np.abs(torque) / r[0], np.abs(torque_second) / r[1])
    count = stage.belts.value if isinstance(stage, VBelt) else 1.0
    tight = belt.tight_tension(stage.pretension.value, 0.0, pull, count) * count
    slack = belt.slack_tension(stage.pretension.value, 0.0, pull, count) * count
    forward = torque <= 0
    return spread(near, np.where(forward, tight, slack)) + spread(far, np.where(forward, slack, tight))


def strand_directions(a: Vector, between: Vector, r_1: float, r_2: float) -> tuple[Vector, Vector]:
    """Unit vectors from first to second sprocket along the two outer tangents.

    The first lies on the side n = axis x line; it turns the first sprocket backwards when tight. Two
    axes on one another have no such direction.
    """
    distance = float(np.linalg.norm(between)) or NAN
    u = between / distance
    n = cross(a, u)
    sine = (r_1 - r_2) / distance
    cosine = np.sqrt(1 - sine**2)
    return u * cosine - n * sine, u * cosine + n * sine
